package discharge

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"loosecell/battery"
)

// ErrCurve marks an open-circuit curve that cannot be used.
var ErrCurve = errors.New("discharge: unusable open-circuit curve")

// Curve is the open-circuit voltage of one cell over its charge. Volts takes percent, 0 to 100, and
// gives volts. Breakpoints are the charges in percent between which Volts runs in a straight line,
// ascending, from 0 to 100.
type Curve struct {
	Volts       func(socPct float64) float64
	Breakpoints []float64
}

// FromTable makes a curve of a voltage table of package battery, whose rows all lie at whole
// percents.
func FromTable(t battery.Table) Curve {
	breakpoints := make([]float64, 101)
	for i := range breakpoints {
		breakpoints[i] = float64(i)
	}
	return Curve{Breakpoints: breakpoints, Volts: func(socPct float64) float64 {
		v, err := t.Voltage(socPct)
		if err != nil {
			return math.NaN() // refused by the check of the curve
		}
		return v
	}}
}

// segment is one straight piece of a checked curve.
type segment struct{ fromPct, toPct, fromV, toV float64 }

// segments checks the curve and cuts it into straight pieces.
func (c Curve) segments() ([]segment, error) {
	if c.Volts == nil {
		return nil, fmt.Errorf("%w: no voltage function", ErrCurve)
	}
	b := c.Breakpoints
	if len(b) < 2 || b[0] != 0 || b[len(b)-1] != 100 {
		return nil, fmt.Errorf("%w: breakpoints must run from 0 to 100 %%", ErrCurve)
	}
	out := make([]segment, 0, len(b)-1)
	previousV := c.Volts(b[0])
	if !positive(previousV) {
		return nil, fmt.Errorf("%w: %g V at 0 %%, want above 0", ErrCurve, previousV)
	}
	for i := 1; i < len(b); i++ {
		if !(b[i] > b[i-1]) {
			return nil, fmt.Errorf("%w: breakpoint %g %% follows %g %%, want ascending", ErrCurve, b[i], b[i-1])
		}
		v := c.Volts(b[i])
		if !positive(v) || v < previousV {
			return nil, fmt.Errorf("%w: %g V at %g %%, want at least the %g V before it", ErrCurve, v, b[i], previousV)
		}
		out = append(out, segment{b[i-1], b[i], previousV, v})
		previousV = v
	}
	return out, nil
}

// flatSlope is the mean slope, in V per percent from 30 to 90 % charge, under which a voltmeter can
// no longer tell the charge: 10 mV of meter and rest error is then 5 points or more.
// The usual 3.6-3.9 V curves have 5 to 10 mV per percent, iron phosphate about 1 (measured curves,
// IEEE Trans. Instrum. Meas. 2025 open data).
const flatSlope = 0.002

// Flat reports whether the charge cannot be read from the resting voltage in the middle of the
// curve, as with iron phosphate. Errors: ErrCurve.
func (c Curve) Flat() (bool, error) {
	if _, err := c.segments(); err != nil {
		return false, err
	}
	return (c.Volts(90)-c.Volts(30))/60 < flatSlope, nil
}

// SocAt gives the highest charge in percent whose resting voltage is at most v: 0 below the curve,
// 100 above it. Errors: ErrCurve, or v not finite.
func (c Curve) SocAt(v float64) (float64, error) {
	pieces, err := c.segments()
	if err != nil {
		return 0, err
	}
	if !finite(v) {
		return 0, fmt.Errorf("discharge: voltage %g V is not a finite number", v)
	}
	for _, s := range slices.Backward(pieces) {
		switch {
		case v >= s.toV:
			return s.toPct, nil
		case v >= s.fromV:
			return s.fromPct + (s.toPct-s.fromPct)*(v-s.fromV)/(s.toV-s.fromV), nil
		}
	}
	return 0, nil
}

// inverseVolts integrates ds/V over charge, in percent per volt, exactly on every straight piece:
// (s2-s1) ln(V2/V1)/(V2-V1). It is 0 when fromPct is not above toPct.
func inverseVolts(pieces []segment, fromPct, toPct float64) float64 {
	sum := 0.0
	for _, s := range pieces {
		low, high := max(s.fromPct, toPct), min(s.toPct, fromPct)
		if !(high > low) {
			continue
		}
		lowV, highV := s.at(low), s.at(high)
		sum += (high - low) * meanInverse(lowV, highV)
	}
	return sum
}

// at reads the straight piece.
func (s segment) at(pct float64) float64 {
	return s.fromV + (s.toV-s.fromV)*(pct-s.fromPct)/(s.toPct-s.fromPct)
}

// meanInverse is the mean of 1/V while V runs in a straight line from a to b.
func meanInverse(a, b float64) float64 {
	x := (b - a) / a
	if math.Abs(x) < 1e-12 { // ln(1+x)/x tends to 1
		return 1 / a
	}
	return math.Log1p(x) / x / a
}

func finite(x float64) bool   { return !math.IsNaN(x) && !math.IsInf(x, 0) }
func positive(x float64) bool { return finite(x) && x > 0 }
