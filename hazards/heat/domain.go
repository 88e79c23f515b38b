package heat

import (
	"errors"
	"fmt"
	"math"

	"loosecell/hazards"
)

// ErrDomain marks an input outside the range a function is valid for; the message
// names the input, its value and the range.
var ErrDomain = errors.New("heat: outside the valid range")

// within refuses a value that is not finite or lies outside low..high.
func within(name string, value, low, high float64, unit string) error {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return fmt.Errorf("%w: %s is not a finite number; give %g..%g %s", ErrDomain, name, low, high, unit)
	}
	if value < low || value > high {
		return fmt.Errorf("%w: %s is %g %s; give %g..%g %s", ErrDomain, name, value, unit, low, high, unit)
	}
	return nil
}

// positive refuses a value that is not finite or not above zero.
func positive(name string, value float64, unit string) error {
	if math.IsNaN(value) || math.IsInf(value, 0) || value <= 0 {
		return fmt.Errorf("%w: %s is %g %s; give a finite value above zero", ErrDomain, name, value, unit)
	}
	return nil
}

// finite refuses NaN and infinities.
func finite(name string, value float64) error {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return fmt.Errorf("%w: %s is not a finite number", ErrDomain, name)
	}
	return nil
}

// estimateWithin refuses an estimate that is out of order or not wholly inside low..high.
func estimateWithin(name string, e hazards.Estimate, low, high float64, unit string) error {
	if err := e.Check(); err != nil {
		return fmt.Errorf("heat: %s: %w", name, err)
	}
	if err := within(name, e.Low, low, high, unit); err != nil {
		return err
	}
	return within(name, e.High, low, high, unit)
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
