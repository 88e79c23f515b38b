package hazards

import (
	"errors"
	"fmt"
	"math"
)

// ErrNotFinite marks a number that is NaN or infinite.
var ErrNotFinite = errors.New("hazards: not a finite number")

// ErrOutOfOrder marks an estimate whose low, middle and high do not ascend.
var ErrOutOfOrder = errors.New("hazards: low, middle and high must ascend")

// Estimate is what a model knows of one quantity: the bounds it stands by and a
// middle value to plan with. The unit is that of the quantity and is named where
// the estimate crosses a package boundary (a field such as FarAtEndC).
//
// Low <= Middle <= High, all finite, in every estimate made by this package; the
// fields are open for reading. Build one with New or Exact.
type Estimate struct {
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
}

// New returns the estimate low, middle, high in any one unit. The three must be
// finite (ErrNotFinite) and must ascend (ErrOutOfOrder).
func New(low, middle, high float64) (Estimate, error) {
	e := Estimate{Low: low, Middle: middle, High: high}
	if err := e.Check(); err != nil {
		return Estimate{}, err
	}
	return e, nil
}

// Exact returns the estimate whose three values are x, which must be finite.
func Exact(x float64) (Estimate, error) {
	return New(x, x, x)
}

// Check reports what is wrong with an estimate that was not built by New: a
// value that is not finite, or values out of order.
func (e Estimate) Check() error {
	for _, v := range [...]struct {
		name  string
		value float64
	}{{"low", e.Low}, {"middle", e.Middle}, {"high", e.High}} {
		if math.IsNaN(v.value) || math.IsInf(v.value, 0) {
			return fmt.Errorf("%w: %s is %g", ErrNotFinite, v.name, v.value)
		}
	}
	if e.Low > e.Middle || e.Middle > e.High {
		return fmt.Errorf("%w: got %g, %g, %g", ErrOutOfOrder, e.Low, e.Middle, e.High)
	}
	return nil
}

// Scale multiplies the estimate by a finite factor. A negative factor turns the
// bounds round, so the result still ascends. An overflow is ErrNotFinite.
func (e Estimate) Scale(factor float64) (Estimate, error) {
	if factor < 0 {
		return New(e.High*factor, e.Middle*factor, e.Low*factor)
	}
	return New(e.Low*factor, e.Middle*factor, e.High*factor)
}

// IsExact reports whether the three values are the same.
func (e Estimate) IsExact() bool { return e.Low == e.High }

// Covers reports whether the bounds of e contain the bounds of other. The middle
// values do not count.
func (e Estimate) Covers(other Estimate) bool {
	return e.Low <= other.Low && e.High >= other.High
}

// String prints one number when the estimate is exact and "low..high (middle)"
// otherwise, without a unit.
func (e Estimate) String() string {
	if e.IsExact() {
		return fmt.Sprintf("%.4g", e.Middle)
	}
	return fmt.Sprintf("%.4g..%.4g (%.4g)", e.Low, e.High, e.Middle)
}
