package reckoning

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"loosecell/rules/facts"
)

// compound lists, by the unit a model takes, the ways to write it that case
// files do not know, each with its factor. Spaces do not count.
var compound = map[string][]struct {
	written string
	factor  float64
}{
	"mm":         {{"um", 1e-3}, {"µm", 1e-3}, {"ft", 304.8}},
	"m":          {{"um", 1e-6}, {"µm", 1e-6}, {"ft", 0.3048}},
	"W":          {{"kW", 1e3}, {"mW", 1e-3}},
	"ohm":        {{"mohm", 1e-3}, {"mΩ", 1e-3}},
	"ppm":        {{"ppm", 1}, {"%", 1e4}},
	"kJ":         {{"kJ", 1}, {"J", 1e-3}, {"MJ", 1e3}, {"Wh", 3.6}},
	"kW/m2":      {{"kW/m2", 1}, {"W/m2", 1e-3}},
	"W/m2":       {{"W/m2", 1}, {"kW/m2", 1e3}},
	"cm2":        {{"cm2", 1}, {"mm2", 0.01}, {"m2", 1e4}},
	"m2":         {{"m2", 1}, {"cm2", 1e-4}},
	"deg":        {{"deg", 1}, {"°", 1}, {"degrees", 1}},
	"m/s":        {{"m/s", 1}, {"cm/s", 0.01}},
	"Pas":        {{"Pas", 1}, {"mPas", 1e-3}, {"cP", 1e-3}},
	"N/m":        {{"N/m", 1}, {"mN/m", 1e-3}},
	"W/(mK)":     {{"W/(mK)", 1}, {"W/mK", 1}},
	"W/(m2K)":    {{"W/(m2K)", 1}, {"W/m2K", 1}},
	"kg/m3":      {{"kg/m3", 1}, {"g/cm3", 1e3}, {"g/mL", 1e3}},
	"J/(kgK)":    {{"J/(kgK)", 1}, {"J/kgK", 1}, {"kJ/(kgK)", 1e3}},
	"m2K/W":      {{"m2K/W", 1}},
	"m2/s":       {{"m2/s", 1}, {"mm2/s", 1e-6}},
	"g/mol":      {{"g/mol", 1}},
	"mg/m3":      {{"mg/m3", 1}, {"g/m3", 1e3}},
	"L/h":        {{"L/h", 1}, {"L/min", 60}, {"L/s", 3600}},
	"L/s":        {{"L/s", 1}},
	"L/(sm2)":    {{"L/(sm2)", 1}, {"L/sm2", 1}},
	"persons/m2": {{"persons/m2", 1}},
	"mol":        {{"mol", 1}, {"mmol", 1e-3}},
}

// part is one number of a quantity with the unit written after it.
var part = regexp.MustCompile(`^\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*?)\s*$`)

// Parse reads a quantity or a closed range of it in the unit a model takes, in
// any unit of a case file or one of the compound ones. The error says what would
// be right.
func Parse(text, unit string) (low, high float64, err error) {
	text = spaced(text)
	if plain, factor, ok := compoundOf(text, unit); ok {
		low, high, err = facts.ParseQuantity(plain, "")
		low, high = low*factor, high*factor
	} else if key := bare(unit); facts.KnownUnit(unit) || unit == "" {
		low, high, err = facts.ParseQuantity(text, unit)
	} else {
		return 0, 0, fmt.Errorf("%q is not understood; write a number with %s", text, written(key))
	}
	var wrong *facts.Problem
	if errors.As(err, &wrong) {
		return 0, 0, fmt.Errorf("%s; %s", wrong.Message, wrong.Fix)
	}
	if err != nil {
		return 0, 0, err
	}
	if math.IsInf(low, 0) || math.IsInf(high, 0) {
		return 0, 0, fmt.Errorf("%q is open at one end; give both ends of the range", text)
	}
	return low, high, nil
}

// spaced puts a space between each number and its unit, so that 10ohm reads as
// 10 ohm.
func spaced(text string) string {
	pieces, between := split(text)
	for i, p := range pieces {
		if m := part.FindStringSubmatch(p); m != nil {
			pieces[i] = strings.TrimSpace(m[1] + " " + m[2])
		}
	}
	return strings.Join(pieces, between)
}

// split parts a range or a spread into its numbers.
func split(text string) (pieces []string, between string) {
	for _, sign := range []string{"..", "+/-", "+-", "±"} {
		if left, right, cut := strings.Cut(text, sign); cut {
			return []string{left, right}, sign
		}
	}
	return []string{text}, ""
}

// compoundOf takes a compound unit off every number of a quantity.
func compoundOf(text, unit string) (plain string, factor float64, ok bool) {
	known := compound[bare(unit)]
	if known == nil {
		return "", 0, false
	}
	pieces, between := split(text)
	numbers := make([]string, len(pieces))
	unitText := ""
	for i, p := range pieces {
		m := part.FindStringSubmatch(p)
		if m == nil {
			return "", 0, false
		}
		numbers[i] = m[1]
		switch {
		case i == 0:
			unitText = m[2]
		case m[2] != "" && unitText == "":
			unitText = m[2]
		case bare(m[2]) != bare(unitText):
			return "", 0, false
		}
	}
	for _, k := range known {
		if k.written == bare(unitText) {
			return strings.Join(numbers, between), k.factor, true
		}
	}
	return "", 0, false
}

func bare(unit string) string {
	return strings.NewReplacer(" ", "", "·", "", "²", "2", "³", "3").Replace(unit)
}

func written(key string) string {
	var out []string
	for _, k := range compound[key] {
		out = append(out, k.written)
	}
	return strings.Join(out, " or ")
}
