package drawing

import (
	"math"
	"strconv"
	"strings"

	"loosecell/rules/advice"
)

func whole(x float64) string { return strconv.FormatFloat(math.Round(x), 'f', -1, 64) }

func fixed(x float64, decimals int) string { return strconv.FormatFloat(x, 'f', decimals, 64) }

// short is two or three figures.
func short(x float64) string {
	switch size := math.Abs(x); {
	case size >= 1000:
		return "over 1000"
	case size >= 10:
		return whole(x)
	}
	text := strconv.FormatFloat(x, 'f', 1, 64)
	return strings.TrimSuffix(text, ".0")
}

// span prints a band from its low to its high end.
func span(b advice.Band) string {
	low, high := short(b.Low), short(b.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

func spanOf(b advice.Band, decimals int) string {
	low, high := fixed(b.Low, decimals), fixed(b.High, decimals)
	if low == high {
		return low
	}
	return low + " to " + high
}

// howLong is a length of time in the unit a person would use.
func howLong(minutes float64) string {
	switch {
	case minutes > 12*60:
		return "more than half a day"
	case minutes >= 120:
		return short(minutes/60) + " h"
	}
	return whole(math.Ceil(minutes)) + " min"
}
