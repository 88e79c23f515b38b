package runaway

import (
	"errors"
	"fmt"
	"math"

	"loosecell/hazards"
)

// ErrDomain marks an input that is not finite, not ascending or outside its range.
var ErrDomain = errors.New("runaway: input outside its range")

// within refuses an estimate that is not ascending within least to most; least itself is allowed
// only where orEqual says so.
func within(what string, e hazards.Estimate, least, most float64, orEqual bool) error {
	for _, x := range []float64{e.Low, e.Middle, e.High} {
		if math.IsNaN(x) || math.IsInf(x, 0) || x < least || x > most || x == least && !orEqual {
			return fmt.Errorf("%w: %s %g, want %s", ErrDomain, what, x, span(least, most, orEqual))
		}
	}
	if e.Low > e.Middle || e.Middle > e.High {
		return fmt.Errorf("%w: %s runs %g, %g, %g, want ascending", ErrDomain, what, e.Low, e.Middle, e.High)
	}
	return nil
}

// above0 refuses single numbers that are not finite and above 0.
func above0(what string, xs ...float64) error {
	for _, x := range xs {
		if !(x > 0) || math.IsInf(x, 0) {
			return fmt.Errorf("%w: %s %g, want above 0", ErrDomain, what, x)
		}
	}
	return nil
}

func span(least, most float64, orEqual bool) string {
	from := fmt.Sprintf("above %g", least)
	if orEqual {
		from = fmt.Sprintf("from %g", least)
	}
	if most == math.MaxFloat64 {
		return from
	}
	return fmt.Sprintf("%s to %g", from, most)
}

func checkCharge(pct hazards.Estimate) error { return within("charge in percent", pct, 0, 150, true) }

func checkEnergy(wh hazards.Estimate) error {
	return within("rated energy in Wh", wh, 0, 1e6, false)
}

// times multiplies two estimates of amounts that are not below 0.
func times(a, b hazards.Estimate) hazards.Estimate {
	return hazards.Estimate{Low: a.Low * b.Low, Middle: a.Middle * b.Middle, High: a.High * b.High}
}

// over divides: the smallest amount by the largest share gives the low case.
func over(a, b hazards.Estimate) hazards.Estimate {
	return hazards.Estimate{Low: a.Low / b.High, Middle: a.Middle / b.Middle, High: a.High / b.Low}
}

// scaled multiplies by a plain factor that is not below 0.
func scaled(a hazards.Estimate, k float64) hazards.Estimate {
	return hazards.Estimate{Low: a.Low * k, Middle: a.Middle * k, High: a.High * k}
}
