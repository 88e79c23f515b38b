package room

import (
	"fmt"
	"math"

	"loosecell/hazards"
)

// MixingFactor is how much longer a real room takes to clear, and how much more
// vapour stands near the work, than in a perfectly mixed one: 1, and up to 10
// where air is poorly distributed (CDC, MMWR 43 RR-13, note to table S3-1).
// The middle is the well-mixed room itself.
func MixingFactor() hazards.Estimate { return hazards.Estimate{Low: 1, Middle: 1, High: 10} }

// PurgeMinutes is the time to bring a concentration down to remaining (a
// fraction, 0 < remaining <= 1) of what it was, source removed, in minutes:
// t = mixing ln(1/remaining)/(air changes) 60 (CDC, MMWR 43 RR-13, table S3-1).
// mixing is 1 to 10. An air change that may be nothing never clears: an error.
func PurgeMinutes(airChangesPerHour hazards.Estimate, remaining float64, mixing hazards.Estimate) (hazards.Estimate, error) {
	if err := within("remaining fraction", remaining, 1e-12, 1); err != nil {
		return hazards.Estimate{}, err
	}
	if err := inside("air changes per hour", airChangesPerHour, 0, 1000); err != nil {
		return hazards.Estimate{}, err
	}
	if err := inside("mixing factor", mixing, 1, 10); err != nil {
		return hazards.Estimate{}, err
	}
	if airChangesPerHour.Low < 1e-3 {
		return hazards.Estimate{}, fmt.Errorf("room: air changes per hour may be %g: a room without air change does not clear; state a figure above 0.001", airChangesPerHour.Low)
	}
	minutes := -math.Log(remaining) * 60
	return hazards.New(
		mixing.Low*minutes/airChangesPerHour.High,
		mixing.Middle*minutes/airChangesPerHour.Middle,
		mixing.High*minutes/airChangesPerHour.Low)
}

// ClearMinutes is the time until a well-mixed concentration has fallen from one
// level to another (same unit, both above 0), times the mixing factor; 0 where
// it is there already. Errors as PurgeMinutes.
func ClearMinutes(from hazards.Estimate, to float64, airChangesPerHour, mixing hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("concentration to begin with", from, 0, 1e9); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("concentration to end with", to, 1e-9, 1e9); err != nil {
		return hazards.Estimate{}, err
	}
	one, err := PurgeMinutes(airChangesPerHour, 1/math.E, mixing) // minutes a factor of e
	if err != nil {
		return hazards.Estimate{}, err
	}
	folds := func(c float64) float64 { return max(0, math.Log(c/to)) }
	return hazards.New(folds(from.Low)*one.Low, folds(from.Middle)*one.Middle, folds(from.High)*one.High)
}
