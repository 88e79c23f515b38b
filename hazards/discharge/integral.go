package discharge

import "fmt"

// HoursThrough gives the hours one cell takes from one charge to another, in percent, through a
// total resistance (outer plus internal) in ohm:
//
//	t = Q ∫ (R + r) / OCV(s) ds
//
// summed exactly over the straight pieces of the curve; capacity Q in Ah. A cell is no capacitor:
// there is no exponential. It gives 0 when fromPct is not above toPct.
// Domain: capacity and resistance above 0, charges 0 to 100. Source: Ohm's law and charge balance.
// Errors: ErrCurve, a value outside its domain.
func HoursThrough(c Curve, capacityAh, totalOhm, fromPct, toPct float64) (float64, error) {
	pieces, err := c.segments()
	if err != nil {
		return 0, err
	}
	if !positive(capacityAh) || !positive(totalOhm) {
		return 0, fmt.Errorf("discharge: %g Ah through %g ohm, want both above 0", capacityAh, totalOhm)
	}
	for _, pct := range []float64{fromPct, toPct} {
		if !finite(pct) || pct < 0 || pct > 100 {
			return 0, fmt.Errorf("discharge: charge %g %%, want 0 to 100", pct)
		}
	}
	return capacityAh * totalOhm * inverseVolts(pieces, fromPct, toPct) / 100, nil
}
