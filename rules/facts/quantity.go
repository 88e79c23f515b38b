package facts

import (
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// decimal is a number as people write it. The length of the exponent is capped
// because an exact number with a huge exponent is a huge number of digits.
var decimal = regexp.MustCompile(`^[+-]?([0-9]{1,60}(\.[0-9]{0,60})?|\.[0-9]{1,60})([eE][+-]?[0-9]{1,3})?$`)

// numberStart splits "3.78 V" into the number and the rest.
var numberStart = regexp.MustCompile(`^[+-]?(?:0[xXoO][0-9a-fA-F]+|[0-9.,_]*)(?:[eE][+-]?[0-9]+)?`)

var decimalComma = regexp.MustCompile(`[0-9],[0-9]`)

// ParseQuantity reads a quantity or a range of it and returns its ends in the
// canonical unit: "3.78 V", "3.70..3.85 V", "3.7 V..", "..45 degC",
// "3.80 +- 0.02 V". The open end of a range is an infinity; everything written
// has to be finite. With unit "" a bare number is read. Conversions are exact
// and rounded once. Errors are of type *Problem, without a place.
func ParseQuantity(text, unit string) (low, high float64, err error) {
	low, high, p := parseQuantity(text, unit)
	if p != nil {
		return 0, 0, p
	}
	return low, high, nil
}

func parseQuantity(text, unit string) (low, high float64, p *Problem) {
	text = strings.TrimSpace(text)
	if len(text) > 200 {
		return 0, 0, problem(CodeBadNumber, "write it as "+example(unit), "%q is no quantity", clip(text))
	}
	if decimalComma.MatchString(text) {
		return 0, 0, problem(CodeDecimalComma, "write "+decimalComma.ReplaceAllStringFunc(clip(text), func(s string) string {
			return strings.Replace(s, ",", ".", 1)
		}), "%q has a comma where the decimal point belongs", clip(text))
	}
	if left, right, ok := strings.Cut(text, ".."); ok {
		return parseRange(strings.TrimSpace(left), strings.TrimSpace(right), text, unit)
	}
	for _, sign := range []string{"+-", "+/-", "±"} {
		if left, right, ok := strings.Cut(text, sign); ok {
			return parseSpread(strings.TrimSpace(left), strings.TrimSpace(right), unit)
		}
	}
	x, p := parseOne(text, unit, "")
	if p != nil {
		return 0, 0, p
	}
	low, p = finite(x, text)
	return low, low, p
}

// parseRange reads the two sides of "..", either of which may be open.
func parseRange(left, right, text, unit string) (low, high float64, p *Problem) {
	if left == "" && right == "" {
		return 0, 0, problem(CodeBadNumber, "give an end, or write unknown", "%q has neither a low nor a high end", clip(text))
	}
	low, high = math.Inf(-1), math.Inf(1)
	_, written := splitNumber(right)
	if left != "" {
		x, p := parseOne(left, unit, written)
		if p != nil {
			return 0, 0, p
		}
		if low, p = finite(x, text); p != nil {
			return 0, 0, p
		}
	}
	if right != "" {
		x, p := parseOne(right, unit, "")
		if p != nil {
			return 0, 0, p
		}
		if high, p = finite(x, text); p != nil {
			return 0, 0, p
		}
	}
	if low > high {
		return 0, 0, problem(CodeUpsideDown, "put the smaller number first", "the range %q is upside down", clip(text))
	}
	return low, high, nil
}

// parseSpread reads the two sides of "+-": a middle and a spread about it.
func parseSpread(left, right, unit string) (low, high float64, p *Problem) {
	number, written := splitNumber(right)
	middleNumber, middleUnit := splitNumber(left)
	if middleUnit == "" {
		middleUnit = written
	}
	if unit != "" && written == "" {
		return 0, 0, noUnit(right, unit)
	}
	// A spread is a difference: 20 +- 1 degC is 19..21, whatever the zero point,
	// so both ends are formed before they are converted.
	if middleUnit != written {
		return 0, 0, problem(CodeWrongUnit, "write both in one unit", "the middle is in %q and the spread in %q", clip(middleUnit), clip(written))
	}
	middle, p := parseNumber(middleNumber, unit)
	if p != nil {
		return 0, 0, p
	}
	spread, p := parseNumber(number, unit)
	if p != nil {
		return 0, 0, p
	}
	if spread.Sign() < 0 {
		return 0, 0, problem(CodeUpsideDown, "write the spread without a sign", "the spread %s is negative", number)
	}
	ends := [2]float64{}
	for i, x := range []*big.Rat{new(big.Rat).Sub(middle, spread), new(big.Rat).Add(middle, spread)} {
		if unit != "" {
			u, p := unitOf(written, unit)
			if p != nil {
				return 0, 0, p
			}
			x = u.exactly(x, unit)
		} else if written != "" {
			return 0, 0, problem(CodeWrongUnit, "write the number alone", "a plain number is due here, without %q", clip(written))
		}
		if ends[i], p = finite(x, left); p != nil {
			return 0, 0, p
		}
	}
	return ends[0], ends[1], nil
}

// parseOne reads one number with its unit; lent is the unit of the other end of
// a range, used when this end has none.
func parseOne(text, unit, lent string) (*big.Rat, *Problem) {
	number, written := splitNumber(text)
	if written == "" {
		written = lent
	}
	x, p := parseNumber(number, unit)
	if p != nil {
		if number == "" {
			p = problem(CodeBadNumber, "write it as "+example(unit), "%q is no quantity", clip(text))
		}
		if s := strings.ToLower(strings.TrimLeft(text, "+-.")); strings.HasPrefix(s, "inf") || strings.HasPrefix(s, "nan") {
			p = problem(CodeNotFinite, "write a finite number, or an open range such as "+example(unit)+" ..", "%q is not a finite number", clip(text))
		}
		return nil, p
	}
	if unit == "" {
		if written != "" {
			return nil, problem(CodeWrongUnit, "write the number alone", "a plain number is due here, without %q", clip(written))
		}
		return x, nil
	}
	if written == "" {
		return nil, noUnit(number, unit)
	}
	u, p := unitOf(written, unit)
	if p != nil {
		return nil, p
	}
	return u.exactly(x, unit), nil
}

func noUnit(number, unit string) *Problem {
	return problem(CodeNoUnit, "write the unit: "+fitting(unit)+", as in "+number+" "+unit, "%q has no unit", clip(number))
}

// splitNumber parts "3.78 V" into "3.78" and "V".
func splitNumber(text string) (number, unit string) {
	number = numberStart.FindString(text)
	return number, strings.TrimSpace(text[len(number):])
}

// parseNumber reads a decimal number exactly. Digits grouped by underscores,
// hexadecimal and leading zeros are refused: they mean different numbers to
// different readers.
func parseNumber(text, unit string) (*big.Rat, *Problem) {
	digits := strings.TrimLeft(text, "+-")
	if len(digits) > 1 && digits[0] == '0' && digits[1] >= '0' && digits[1] <= '9' {
		return nil, problem(CodeBadNumber, "leave the leading zero away", "%q could be read as an octal number", clip(text))
	}
	if !decimal.MatchString(text) {
		return nil, problem(CodeBadNumber, "write it as "+example(unit), "%q is not a plain decimal number", clip(text))
	}
	x, ok := new(big.Rat).SetString(text)
	if !ok {
		return nil, problem(CodeBadNumber, "write it as "+example(unit), "%q is not a number", clip(text))
	}
	return x, nil
}

func finite(x *big.Rat, text string) (float64, *Problem) {
	f, _ := x.Float64()
	if math.IsInf(f, 0) || math.IsNaN(f) {
		return 0, problem(CodeNotFinite, "", "%q is too large a number", clip(text))
	}
	return f + 0, nil // -0 becomes 0
}

// example is a well-formed quantity of the unit.
func example(unit string) string {
	if unit == "" {
		return "3.5"
	}
	return "3.5 " + unit
}

// FormatQuantity writes a range so that ParseQuantity reads the same numbers
// back. An infinite end is left open; both infinite is "unknown".
func FormatQuantity(low, high float64, unit string) string {
	with := func(x float64) string {
		if unit == "" {
			return formatNumber(x)
		}
		return formatNumber(x) + " " + unit
	}
	switch openLow, openHigh := math.IsInf(low, -1), math.IsInf(high, 1); {
	case openLow && openHigh:
		return "unknown"
	case openLow:
		return ".." + with(high)
	case openHigh:
		return with(low) + ".."
	case low == high:
		return with(low)
	default:
		return formatNumber(low) + ".." + with(high)
	}
}

// formatNumber writes the shortest decimal that is exactly x, without an
// exponent where people would write none.
func formatNumber(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-4 || a >= 1e15) {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x+0, 'f', -1, 64)
}
