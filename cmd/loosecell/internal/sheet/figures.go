package sheet

import (
	"math"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// number prints a value with about three figures, never in powers of ten: it
// is read at arm's length by someone with gloves on.
func number(v float64) string {
	size := math.Abs(v)
	decimals := 0
	switch {
	case size == 0 || math.IsNaN(v) || math.IsInf(v, 0):
		return strconv.FormatFloat(v, 'f', -1, 64)
	case size < 0.0005:
		return strconv.FormatFloat(v, 'g', 2, 64)
	case size < 0.01:
		decimals = 4
	case size < 1:
		decimals = 2
	case size < 10:
		decimals = 2
	case size < 100:
		decimals = 1
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// between prints a range with its unit: "3 to 5 mL", or "3 mL" when both ends
// print alike.
func between(low, high float64, unit string) string {
	a, b := number(low), number(high)
	if a == b {
		return a + unitOf(unit)
	}
	return a + " to " + b + unitOf(unit)
}

// wholePercent prints a span of charge in whole percents, rounded outwards: no
// table of voltages knows it better.
func wholePercent(r advice.Range) string {
	if number(r.Low) == number(r.High) {
		return number(r.Low) + unitOf("%")
	}
	return between(math.Floor(r.Low), math.Ceil(r.High), "%")
}

func unitOf(unit string) string {
	switch unit {
	case "":
		return ""
	case "degC", "C":
		return string(page.Glue) + "°C"
	case "%":
		return string(page.Glue) + "%"
	}
	return string(page.Glue) + page.Clean(unit)
}

func band(b advice.Band, unit string) string { return between(b.Low, b.High, unit) }

// estimate prints a band with its likely value first.
func estimate(b advice.Band, unit string) string {
	if number(b.Low) == number(b.High) {
		return number(b.Middle) + unitOf(unit)
	}
	return "about " + number(b.Middle) + unitOf(unit) + " (" + between(b.Low, b.High, "") + ")"
}

// minutes prints a length of time as a person says it.
func minutes(m float64) string {
	switch {
	case !(m > 0): // also not-a-number
		return "no time"
	case m > 60*24*365:
		return "over a year"
	}
	whole := int(math.Ceil(m))
	switch {
	case m < 1:
		return "under 1" + string(page.Glue) + "min"
	case whole < 90:
		return strconv.Itoa(whole) + string(page.Glue) + "min"
	case whole%60 == 0:
		return strconv.Itoa(whole/60) + string(page.Glue) + "h"
	}
	return strconv.Itoa(whole/60) + string(page.Glue) + "h " + strconv.Itoa(whole%60) + string(page.Glue) + "min"
}

// hours prints a band of hours, in minutes where that is the natural unit.
func hours(b advice.Band) string {
	switch {
	case b.High < 1.5:
		return between(math.Ceil(b.Low*60), math.Ceil(b.High*60), "min")
	case b.Low > 72:
		return between(b.Low/24, b.High/24, "days")
	}
	return between(math.Round(b.Low*10)/10, math.Round(b.High*10)/10, "h")
}
