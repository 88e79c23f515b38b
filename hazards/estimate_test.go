package hazards

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestNewRefuses(t *testing.T) {
	for _, c := range []struct {
		name              string
		low, middle, high float64
		want              error
	}{
		{"NaN low", math.NaN(), 1, 2, ErrNotFinite},
		{"NaN middle", 0, math.NaN(), 2, ErrNotFinite},
		{"infinite high", 0, 1, math.Inf(1), ErrNotFinite},
		{"low above middle", 2, 1, 3, ErrOutOfOrder},
		{"middle above high", 1, 3, 2, ErrOutOfOrder},
		{"in order", 1, 2, 3, nil},
		{"all the same", 2, 2, 2, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := New(c.low, c.middle, c.high); !errors.Is(err, c.want) {
				t.Errorf("New(%g, %g, %g) error = %v, want %v", c.low, c.middle, c.high, err, c.want)
			}
		})
	}
	if _, err := Exact(math.Inf(-1)); !errors.Is(err, ErrNotFinite) {
		t.Errorf("Exact(-Inf) error = %v, want %v", err, ErrNotFinite)
	}
}

func TestScaleKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e6, 1e6).Draw(t, "low")
		middle := low + rapid.Float64Range(0, 1e6).Draw(t, "middle above low")
		high := middle + rapid.Float64Range(0, 1e6).Draw(t, "high above middle")
		e, err := New(low, middle, high)
		if err != nil {
			t.Fatal(err)
		}
		factor := rapid.Float64Range(-1e3, 1e3).Draw(t, "factor")
		s, err := e.Scale(factor)
		if err != nil {
			t.Fatal(err)
		}
		if s.Middle != middle*factor {
			t.Errorf("middle %g, want %g", s.Middle, middle*factor)
		}
	})
}

func TestScaleOverflow(t *testing.T) {
	e, err := Exact(math.MaxFloat64)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := e.Scale(2); !errors.Is(err, ErrNotFinite) {
		t.Errorf("error = %v, want %v", err, ErrNotFinite)
	}
}

func TestCoversAndString(t *testing.T) {
	wide, narrow := Estimate{1, 2, 5}, Estimate{1, 3, 4}
	if !wide.Covers(narrow) || narrow.Covers(wide) {
		t.Error("a wider estimate covers a narrower one and not the reverse")
	}
	if got := wide.String(); got != "1..5 (2)" {
		t.Errorf("got %q", got)
	}
	if got := (Estimate{3, 3, 3}).String(); got != "3" {
		t.Errorf("got %q", got)
	}
}
