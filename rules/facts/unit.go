package facts

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"
)

// A unit is a way to write a quantity of one dimension: base = value*factor + shift.
// Factors are exact fractions, so that 3780 mV is the very number 3.78 V is.
type unit struct {
	name      string
	dimension string
	factor    *big.Rat
	shift     *big.Rat // temperatures only
	aliases   []string
}

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("facts: bad factor " + s)
	}
	return r
}

// units are exact by definition: the inch is 25.4 mm and the foot 0.3048 m
// (international yard and pound agreement, 1959), hence ft3 = 28.316846592 L;
// 0 degC = 273.15 K (SI brochure, 9th edition, 2.3.1); degF = degC x 9/5 + 32.
// A month is a twelfth of a year and a year 365.25 days (Julian year).
// Temperature and temperature difference are two dimensions on purpose.
var units = []unit{
	{"V", "voltage", rat("1"), nil, []string{"volt", "volts"}},
	{"mV", "voltage", rat("1/1000"), nil, nil},
	{"Ah", "charge", rat("1"), nil, nil},
	{"mAh", "charge", rat("1/1000"), nil, nil},
	{"Wh", "energy", rat("1"), nil, nil},
	{"mWh", "energy", rat("1/1000"), nil, nil},
	{"g", "mass", rat("1"), nil, []string{"gram", "grams"}},
	{"mg", "mass", rat("1/1000"), nil, nil},
	{"kg", "mass", rat("1000"), nil, nil},
	{"mm", "length", rat("1"), nil, nil},
	{"cm", "length", rat("10"), nil, nil},
	{"m", "length", rat("1000"), nil, []string{"metre", "metres", "meter", "meters"}},
	{"in", "length", rat("254/10"), nil, []string{"inch", "inches"}},
	{"degC", "temperature", rat("1"), rat("0"), []string{"°C", "℃"}},
	{"degF", "temperature", rat("5/9"), rat("-160/9"), []string{"°F", "℉"}},
	{"K", "temperature", rat("1"), rat("-27315/100"), nil},
	{"K", "temperature difference", rat("1"), nil, nil},
	{"K/min", "heating rate", rat("1"), nil, nil},
	{"s", "time", rat("1"), nil, []string{"second", "seconds"}},
	{"min", "time", rat("60"), nil, []string{"minute", "minutes"}},
	{"h", "time", rat("3600"), nil, []string{"hour", "hours"}},
	{"d", "time", rat("86400"), nil, []string{"day", "days"}},
	{"week", "time", rat("604800"), nil, []string{"weeks"}},
	{"month", "time", rat("2629800"), nil, []string{"months"}},
	{"yr", "time", rat("31557600"), nil, []string{"year", "years"}},
	{"%", "share", rat("1"), nil, []string{"percent"}},
	{"m3", "volume", rat("1"), nil, []string{"m³"}},
	{"L", "volume", rat("1/1000"), nil, []string{"l", "litre", "litres", "liter", "liters"}},
	{"mL", "volume", rat("1/1000000"), nil, []string{"ml", "millilitre", "millilitres", "milliliter", "milliliters"}},
	{"ft3", "volume", rat("28316846592/1000000000000"), nil, []string{"ft³"}},
	{"1/h", "exchange rate", rat("1"), nil, []string{"/h"}},
	{"ohm", "resistance", rat("1"), nil, []string{"ohms", "Ω", "Ω"}},
	{"W", "power", rat("1"), nil, []string{"watt", "watts"}},
	{"A", "current", rat("1"), nil, []string{"ampere", "amperes", "amp", "amps"}},
	{"mA", "current", rat("1/1000"), nil, nil},
}

// canonicalDimension tells a fact's "K" (a difference) from a thermometer's.
func canonicalDimension(name string) string {
	if name == "K" {
		return "temperature difference"
	}
	for _, u := range units {
		if u.name == name {
			return u.dimension
		}
	}
	return ""
}

// KnownUnit reports whether name is a canonical unit name.
func KnownUnit(name string) bool { return canonicalDimension(name) != "" }

// findUnit returns the unit written as text among those of a dimension.
// Letter case counts: mAh and MAh, mL and ML are not the same.
func findUnit(text, dimension string) (unit, bool) {
	for _, u := range units {
		if u.dimension != dimension {
			continue
		}
		if u.name == text {
			return u, true
		}
		for _, a := range u.aliases {
			if a == text {
				return u, true
			}
		}
	}
	return unit{}, false
}

// dimensionOf returns the dimension of a written unit, "" if there is none.
func dimensionOf(text string) string {
	for _, u := range units {
		if _, ok := findUnit(text, u.dimension); ok {
			return u.dimension
		}
	}
	return ""
}

// fitting lists the units that fit a canonical unit: "V or mV".
func fitting(canonical string) string {
	var names []string
	for _, u := range units {
		if u.dimension == canonicalDimension(canonical) {
			names = append(names, u.name)
		}
	}
	return orList(names)
}

// orList joins words as one says a choice: "a, b or c".
func orList(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
}

// unitOf finds the unit in which a quantity with the given canonical unit is
// written, and says what is wrong if it does not fit.
func unitOf(text, canonical string) (unit, *Problem) {
	u, ok := findUnit(text, canonicalDimension(canonical))
	if ok {
		return u, nil
	}
	fix := "use " + fitting(canonical)
	if other := dimensionOf(text); other != "" {
		return u, problem(CodeWrongUnit, fix, "%s is a unit of %s, and %s is due here", text, other, canonicalDimension(canonical))
	}
	return u, problem(CodeUnknownUnit, fix, "%q is no unit known here", clip(text))
}

// exactly converts x from unit u to the canonical unit.
func (u unit) exactly(x *big.Rat, canonical string) *big.Rat {
	to, _ := findUnit(canonical, u.dimension)
	r := new(big.Rat).Mul(x, u.factor)
	if u.shift != nil {
		r.Add(r, u.shift)
		r.Sub(r, to.shift)
	}
	return r.Quo(r, to.factor)
}

// Convert returns value, a finite number in unit from, in unit to. The value is
// taken for the decimal number it was written as, so that 25.4 mm is 1 in, and
// the exact result is rounded once. Kelvin converts to degC and degF as a thermometer
// reading; a difference in K only to itself. It is an error if the units are
// of different dimensions or the result is not finite.
func Convert(value float64, from, to string) (float64, error) {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, problem(CodeNotFinite, "", "%v is not a finite number", value)
	}
	if from == to && KnownUnit(to) {
		return value, nil
	}
	dimension := canonicalDimension(to)
	if to == "K" {
		dimension = "temperature"
	}
	source, ok := findUnit(from, dimension)
	target, known := findUnit(to, dimension)
	if !ok || !known {
		return 0, problem(CodeWrongUnit, "", "there is no way from %q to %q", from, to)
	}
	x, ok := new(big.Rat).SetString(strconv.FormatFloat(value, 'g', -1, 64))
	if !ok {
		return 0, problem(CodeBadNumber, "", "%v is not a number", value)
	}
	out, _ := source.exactly(x, target.name).Float64()
	if math.IsInf(out, 0) {
		return 0, problem(CodeNotFinite, "", "%v %s is too large in %s", value, from, to)
	}
	return out, nil
}

// clip shortens text that is quoted in a message, and takes out what a terminal
// would obey instead of show.
func clip(s string) string {
	const most = 60
	r := []rune(strings.Map(func(c rune) rune {
		if unicode.IsGraphic(c) {
			return c
		}
		return unicode.ReplacementChar
	}, s))
	if len(r) <= most {
		return string(r)
	}
	return fmt.Sprintf("%s… (%d characters)", string(r[:most]), len(r))
}
