package battery

import (
	"fmt"
	"math"
)

// Interval is a closed range. The zero value is exactly zero.
type Interval struct{ Low, High float64 }

// Between returns the interval from low to high. It refuses numbers that are
// not finite and ends that are upside down. Any unit.
func Between(low, high float64) (Interval, error) {
	iv := Interval{low, high}
	if !finite(low) || !finite(high) {
		return Interval{}, fmt.Errorf("battery: interval %v..%v is not finite; give two finite numbers", low, high)
	}
	if low > high {
		return Interval{}, fmt.Errorf("battery: interval %v..%v is upside down; write %v..%v", low, high, high, low)
	}
	return iv, nil
}

// Exact returns the interval that holds only v. Check a v from outside with
// [Interval.Valid] or make it with [Between].
func Exact(v float64) Interval { return Interval{v, v} }

// Valid reports whether both ends are finite and in order.
func (iv Interval) Valid() bool { return finite(iv.Low) && finite(iv.High) && iv.Low <= iv.High }

// IsExact reports whether the interval holds one number only.
func (iv Interval) IsExact() bool { return iv.Low == iv.High }

// Width returns High - Low, in the interval's unit.
func (iv Interval) Width() float64 { return iv.High - iv.Low }

// Contains reports whether v lies in the interval, ends included.
func (iv Interval) Contains(v float64) bool { return iv.Low <= v && v <= iv.High }

// Encloses reports whether every number of other lies in the interval.
func (iv Interval) Encloses(other Interval) bool { return iv.Low <= other.Low && other.High <= iv.High }

// Overlaps reports whether the two intervals share a number.
func (iv Interval) Overlaps(other Interval) bool { return iv.Low <= other.High && other.Low <= iv.High }

// Hull returns the smallest interval that holds both.
func (iv Interval) Hull(other Interval) Interval {
	return Interval{min(iv.Low, other.Low), max(iv.High, other.High)}
}

// Add returns the range of a sum.
func (iv Interval) Add(other Interval) Interval {
	return Interval{iv.Low + other.Low, iv.High + other.High}
}

// Sub returns the range of a difference.
func (iv Interval) Sub(other Interval) Interval {
	return Interval{iv.Low - other.High, iv.High - other.Low}
}

// Scale multiplies both ends by factor; a negative factor turns the ends round.
func (iv Interval) Scale(factor float64) Interval {
	return hullOf(iv.Low*factor, iv.High*factor)
}

// Mul returns the range of a product.
func (iv Interval) Mul(other Interval) Interval {
	return hullOf(iv.Low*other.Low, iv.High*other.High).
		Hull(hullOf(iv.Low*other.High, iv.High*other.Low))
}

// Clamp moves both ends into low..high.
func (iv Interval) Clamp(low, high float64) Interval {
	return Interval{min(max(iv.Low, low), high), min(max(iv.High, low), high)}
}

// String writes the interval without a unit, "18" or "15..48".
func (iv Interval) String() string {
	if iv.IsExact() {
		return fmt.Sprintf("%.4g", iv.Low)
	}
	return fmt.Sprintf("%.4g..%.4g", iv.Low, iv.High)
}

// dividedBy divides by an interval that lies above zero; callers check that.
func (iv Interval) dividedBy(by Interval) Interval {
	return hullOf(iv.Low/by.Low, iv.High/by.High).Hull(hullOf(iv.Low/by.High, iv.High/by.Low))
}

func hullOf(a, b float64) Interval { return Interval{min(a, b), max(a, b)} }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// snap removes the last bits that decimal input leaves in binary, so that
// 3.2 V x 6.25 Ah is 20 Wh and 4.2 mm over 4.0 mm is 5 %. It keeps order.
func snap(v float64) float64 {
	if math.Abs(v) > 1e6 {
		return v
	}
	return math.Round(v*1e9) / 1e9
}

func (iv Interval) snapped() Interval { return Interval{snap(iv.Low), snap(iv.High)} }

// Maybe is an interval that may not have been given. Not given means that the
// quantity plays no part; see the package comment for how that differs from a
// quantity given as its full range.
type Maybe struct {
	Interval
	Given bool
}

// Given wraps a known interval.
func Given(iv Interval) Maybe { return Maybe{iv, true} }

// GivenExactly wraps one known number.
func GivenExactly(v float64) Maybe { return Given(Exact(v)) }

// wrong reports whether an interval was given that is not usable. The
// comparisons are also false for what is no number.
func (m *Maybe) wrong(low, high float64) bool {
	return m.Given && !(low <= m.Low && m.Low <= m.High && m.High <= high)
}

// check explains why a given interval is not usable; nil if it is, or if it
// was not given.
func (m Maybe) check(what, unit string, low, high float64) error {
	if !m.wrong(low, high) {
		return nil
	}
	if !m.Valid() {
		return fmt.Errorf("battery: %s is %v..%v; give two finite numbers in order", what, m.Low, m.High)
	}
	return fmt.Errorf("battery: %s is %s %s; it must lie in %g..%g %s", what, m.Interval, unit, low, high, unit)
}
