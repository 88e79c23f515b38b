package facts

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A cell means what the same words mean in a case file, with the unit of the
// heading where it has none.
func TestCellsOfAColumn(t *testing.T) {
	for _, c := range []struct{ heading, cell, asInACase string }{
		{"battery.rated_energy [Wh]", "15.2", "15.2 Wh"},
		{"battery.rated_energy (mWh)", "15200", "15.2 Wh"},
		{"battery.rated_energy [Wh]", "15200 mWh", "15.2 Wh"},
		{"battery.rated_energy", "15.2 Wh", "15.2 Wh"},
		{"battery.rated_energy [Wh]", " 12 .. 16 ", "12..16 Wh"},
		{"battery.rated_energy [Wh]", "12..", "12 Wh.."},
		{"battery.rated_energy [Wh]", "..16", "..16 Wh"},
		{"battery.rest_voltage [V]", "3.80 +- 0.02", "3.80 +- 0.02 V"},
		{"battery.rest_voltage [mV]", "3780±5", "3780 +- 5 mV"},
		{"bench.air_temperature [degC]", "-5", "-5 degC"},
		{"battery.rated_energy [Wh]", "unknown", "unknown"},
		{"Battery.Swelling", "Bloated", "bloated"},
		{"battery.chemistry", "lco | nmc", "lco | nmc"},
		{"job.tried", "warm; card", "[warm, card]"},
		{"job.tried", "[warm, card]", "[warm, card]"},
		{"job.tried", "none", "[]"},
		{"battery.odour", "true", "yes"},
		{"battery.made", "2024-02-29", "2024-02-29"},
	} {
		col, p := Shipped().Column(c.heading)
		if p != nil {
			t.Errorf("%s: %v", c.heading, p)
			continue
		}
		want := NewCase(Shipped(), "")
		if err := want.SetText(Shipped(), col.Fact.Name, c.asInACase); err != nil {
			t.Fatal(err)
		}
		for range 2 { // the second time from memory
			got, p := col.Read(c.cell)
			if p != nil || fmt.Sprint(got) != fmt.Sprint(want.Get(col.Fact.Name)) {
				t.Errorf("%s: %q is %+v (%v), want %+v", c.heading, c.cell, got, p, want.Get(col.Fact.Name))
			}
		}
	}
}

func TestEmptyCellsSayNothing(t *testing.T) {
	for _, heading := range []string{"battery.rated_energy [Wh]", "job.tried", "job.id", "device.kind"} {
		col, _ := Shipped().Column(heading)
		for _, cell := range []string{"", "  "} {
			if v, p := col.Read(cell); p != nil || v.State != Missing {
				t.Errorf("%s: %q is %+v, %v", heading, cell, v, p)
			}
		}
	}
}

// The short way of a plain decimal gives the number that the exact way gives.
func TestPlainDecimalsReadExactly(t *testing.T) {
	col, _ := Shipped().Column("battery.mass [g]")
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9]{1,9}(\.[0-9]{0,8})?`).Draw(t, "number")
		v, p := col.Read(text)
		low, _, err := ParseQuantity(text+" g", "g")
		switch {
		case err != nil || low < col.Fact.Min || low > col.Fact.Max:
			if p == nil {
				t.Errorf("%q is read as %v, and the exact way refuses it: %v", text, v.Low, err)
			}
		case p != nil || v.Low != low || v.High != low || math.Signbit(v.Low):
			t.Errorf("%q is %v to %v (%v), want %v", text, v.Low, v.High, p, low)
		}
	})
}

// A column does not remember without end.
func TestColumnForgets(t *testing.T) {
	col, _ := Shipped().Column("battery.rest_voltage [mV]")
	for i := range 3 * mostKnown {
		if _, p := col.Read(fmt.Sprint(1000 + i)); p != nil {
			t.Fatal(p)
		}
	}
	if _, p := col.Read("3 V" + strings.Repeat(" ", 1000)); p != nil || len(col.known) > mostKnown {
		t.Errorf("%v, %d cells remembered", p, len(col.known))
	}
}
