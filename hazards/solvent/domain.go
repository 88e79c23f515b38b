package solvent

import (
	"fmt"
	"math"

	"loosecell/hazards"
)

// within refuses a number that is not finite or lies outside low..high.
func within(what string, x, low, high float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) || x < low || x > high {
		return fmt.Errorf("solvent: %s is %v: a finite number from %g to %g fits", what, x, low, high)
	}
	return nil
}

// inside refuses an estimate that is unordered, not finite or outside low..high.
func inside(what string, e hazards.Estimate, low, high float64) error {
	if err := e.Check(); err != nil {
		return fmt.Errorf("solvent: %s: %w", what, err)
	}
	if err := within(what, e.Low, low, high); err != nil {
		return err
	}
	return within(what, e.High, low, high)
}

// bound is one input with the range it must lie in.
type bound struct {
	what      string
	value     hazards.Estimate
	low, high float64
}

// insideAll is inside for several inputs, the first fault wins.
func insideAll(bounds ...bound) error {
	for _, b := range bounds {
		if err := inside(b.what, b.value, b.low, b.high); err != nil {
			return err
		}
	}
	return nil
}
