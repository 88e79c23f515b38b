package consign

import (
	"math"
	"strconv"
	"unicode"
	"unicode/utf8"
)

// kilograms writes whole milligrams as a quantity.
func kilograms(mg int64) string { return trim(float64(mg)/1e6) + " kg" }

// trim writes a number without trailing zeros.
func trim(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// kg is milligrams in kilograms, to the gram, rounded up.
func kg(mg int64) float64 { return math.Ceil(float64(mg)/1000) / 1000 }

func pointer(x *float64) string {
	if x == nil {
		return ""
	}
	return trim(*x)
}

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}
