package room

import (
	"fmt"
	"math"

	"loosecell/hazards"
)

// within refuses a number that is not finite or lies outside low..high.
func within(what string, x, low, high float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) || x < low || x > high {
		return fmt.Errorf("room: %s is %v: a finite number from %g to %g fits", what, x, low, high)
	}
	return nil
}

// inside refuses an estimate that is unordered, not finite or outside low..high.
func inside(what string, e hazards.Estimate, low, high float64) error {
	if err := e.Check(); err != nil {
		return fmt.Errorf("room: %s: %w", what, err)
	}
	if err := within(what, e.Low, low, high); err != nil {
		return err
	}
	return within(what, e.High, low, high)
}

func (b Box) check() error {
	if err := inside("room volume, m3", b.VolumeM3, 1e-6, 1e5); err != nil {
		return err
	}
	return inside("air changes per hour", b.AirChangesPerHour, 0, 1000)
}

func (b Box) checkWith(r Release) error {
	if err := b.check(); err != nil {
		return err
	}
	if err := inside("vapour released, L", r.Litres, 0, 1e6); err != nil {
		return err
	}
	return inside("time of release, minutes", r.Minutes, 0, 1e7)
}
