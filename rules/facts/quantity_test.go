package facts

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseQuantity(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		text, unit string
		low, high  float64
	}{
		{"3.78 V", "V", 3.78, 3.78},
		{"3.78V", "V", 3.78, 3.78},
		{"3780 mV", "V", 3.78, 3.78},
		{"3.70..3.85 V", "V", 3.70, 3.85},
		{"3.70 V..3.85 V", "V", 3.70, 3.85},
		{"3700 mV .. 3.85 V", "V", 3.70, 3.85},
		{"3.7 V..", "V", 3.7, inf},
		{"..45 degC", "degC", -inf, 45},
		{"3.80 +- 0.02 V", "V", 3.78, 3.82},
		{"3.80 V +/- 0.02 V", "V", 3.78, 3.82},
		{"3.80 ± 0.02 V", "V", 3.78, 3.82},
		{"20 +- 1 degC", "degC", 19, 21},
		{"68 +- 9 degF", "degC", 15, 25},
		{"-0.5 V", "V", -0.5, -0.5},
		{"4.5e3 mAh", "Ah", 4.5, 4.5},
		{"30%", "%", 30, 30},
		{"0.5..2 1/h", "1/h", 0.5, 2},
		{"15..30 °C", "degC", 15, 30},
		{"12", "", 12, 12},
		{"0.5 min", "min", 0.5, 0.5},
	} {
		low, high, err := ParseQuantity(c.text, c.unit)
		if err != nil || low != c.low || high != c.high {
			t.Errorf("%q in %s: %v..%v, %v; want %v..%v", c.text, c.unit, low, high, err, c.low, c.high)
		}
	}
}

func TestParseQuantityRefuses(t *testing.T) {
	for _, c := range []struct{ text, unit, code, hint string }{
		{"3.78", "V", CodeNoUnit, "V or mV"},
		{"3.7..3.8", "V", CodeNoUnit, "V or mV"},
		{"3.7 V..3.8", "V", CodeNoUnit, "V or mV"},
		{"3.8 +- 0.02", "V", CodeNoUnit, "V or mV"},
		{"3,8 V", "V", CodeDecimalComma, "3.8 V"},
		{"3.8 Ah", "V", CodeWrongUnit, "voltage"},
		{"20 degC", "K", CodeWrongUnit, "use K"},
		{"3.8 v", "V", CodeUnknownUnit, "V or mV"},
		{"", "V", CodeBadNumber, "3.5 V"},
		{"V", "V", CodeBadNumber, "3.5 V"},
		{"..", "V", CodeBadNumber, "unknown"},
		{"inf V", "V", CodeNotFinite, ""},
		{".nan V", "V", CodeNotFinite, ""},
		{"1e308 kg", "g", CodeNotFinite, ""},
		{"4..3 V", "V", CodeUpsideDown, "smaller"},
		{"3.7-3.8 V", "V", CodeUnknownUnit, ""},
		{"012 V", "V", CodeBadNumber, "zero"},
		{"1_000 mV", "V", CodeBadNumber, ""},
		{"3 V", "", CodeWrongUnit, "alone"},
	} {
		_, _, err := ParseQuantity(c.text, c.unit)
		var p *Problem
		if !errors.As(err, &p) || p.Code != c.code || !strings.Contains(p.Error(), c.hint) {
			t.Errorf("%q in %q: %v; want [%s] with %q", c.text, c.unit, err, c.code, c.hint)
		}
	}
}

// Conversions between units are definitions, so the nearest floating-point
// number is the only right answer. Sources: SI brochure, 9th edition (2019),
// table 8 and 2.3.1 (0 degC = 273.15 K); international yard and pound
// agreement, 1959 (1 in = 25.4 mm; 1 ft3 = 0.028316846592 m3); NIST SP 811
// (2008), B.8 (degF).
func TestConvertIsExact(t *testing.T) {
	for _, c := range []struct {
		value    float64
		from, to string
		want     float64
	}{
		{1, "ft3", "L", 28.316846592},
		{7.5, "ft3", "m3", 0.21237634944},
		{1, "in", "mm", 25.4},
		{1, "m", "mm", 1000},
		{25.4, "mm", "in", 1},
		{32, "degF", "degC", 0},
		{212, "degF", "degC", 100},
		{-40, "degF", "degC", -40},
		{53, "degF", "degC", 35.0 / 3}, // isopropanol's flash point in the NIOSH Pocket Guide, 11.7 degC
		{0, "degC", "K", 273.15},
		{344, "K", "degC", 70.85},
		{5, "K", "K", 5},
		{3780, "mV", "V", 3.78},
		{4300, "mAh", "Ah", 4.3},
		{1, "yr", "d", 365.25},
		{12, "month", "yr", 1},
		{90, "min", "h", 1.5},
		{250, "mL", "L", 0.25},
	} {
		got, err := Convert(c.value, c.from, c.to)
		if err != nil || got != c.want {
			t.Errorf("%v %s = %v %s, %v; want %v", c.value, c.from, got, c.to, err, c.want)
		}
	}
	for _, c := range [][2]string{{"V", "Ah"}, {"K", "K/min"}, {"furlong", "m"}, {"m", "furlong"}, {"", ""}} {
		if got, err := Convert(1, c[0], c[1]); err == nil {
			t.Errorf("1 %s became %v %s", c[0], got, c[1])
		}
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := Convert(x, "V", "mV"); err == nil {
			t.Errorf("%v V was converted", x)
		}
	}
}

func canonicalUnits() []string {
	names := []string{""}
	seen := map[string]bool{}
	for _, u := range units {
		if !seen[u.name] {
			names, seen[u.name] = append(names, u.name), true
		}
	}
	return names
}

func TestFormattedQuantitiesReadBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(canonicalUnits()).Draw(t, "unit")
		low := rapid.Float64().Draw(t, "low")
		high := rapid.Float64().Draw(t, "high")
		if low > high {
			low, high = high, low
		}
		switch rapid.IntRange(0, 3).Draw(t, "shape") {
		case 0:
			high = low
		case 1:
			low = math.Inf(-1)
		case 2:
			high = math.Inf(1)
		}
		if math.IsInf(low, 1) || math.IsInf(high, -1) || math.IsInf(low, -1) && math.IsInf(high, 1) {
			t.Skip("nothing is written for these")
		}
		text := FormatQuantity(low, high, unit)
		gotLow, gotHigh, err := ParseQuantity(text, unit)
		if err != nil || gotLow != low || gotHigh != high {
			t.Fatalf("%v..%v %s became %q and then %v..%v, %v", low, high, unit, text, gotLow, gotHigh, err)
		}
	})
}

func TestConversionThereAndBackIsTheSameToTheLastPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Filter(func(u unit) bool { return u.name != "K" }).Draw(t, "unit")
		to := rapid.SampledFrom(units).Filter(func(v unit) bool { return v.dimension == u.dimension && v.name != "K" }).Draw(t, "to")
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
		y, err := Convert(x, u.name, to.name)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Convert(y, to.name, u.name)
		if err != nil || math.Abs(back-x) > 1e-9*math.Max(1, math.Abs(x)) {
			t.Fatalf("%v %s = %v %s = %v, %v", x, u.name, y, to.name, back, err)
		}
	})
}

func FuzzParseQuantity(f *testing.F) {
	for _, text := range []string{
		"3.78 V", "3.70..3.85 V", "3.7 V..", "..45 degC", "3.80 +- 0.02 V", "3,8 V", "1e3 mV", "..", "...", "0x10 V",
		"1_0 V", "±", "+- 1 V", "-.5e-9 K", "1e999 V", "7.5 ft3", "90 degF", "2 years", "30%", "٣ V", "1/h", "\xff",
	} {
		for _, unit := range []string{"V", "degC", "K", "1/h", ""} {
			f.Add(text, unit)
		}
	}
	f.Fuzz(func(t *testing.T, text, unit string) {
		low, high, err := ParseQuantity(text, unit)
		if err != nil {
			return
		}
		if math.IsNaN(low) || math.IsNaN(high) || low > high || math.IsInf(low, 1) || math.IsInf(high, -1) {
			t.Fatalf("%q in %q: %v..%v", text, unit, low, high)
		}
		if unit != "" && !KnownUnit(unit) {
			t.Fatalf("%q was read in %q, which is no unit", text, unit)
		}
		again := FormatQuantity(low, high, unit)
		if l, h, err := ParseQuantity(again, unit); err != nil || l != low || h != high {
			t.Fatalf("%q was written back as %q: %v..%v, %v", text, again, l, h, err)
		}
	})
}
