package facts

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// MaxText is the longest text a fact may hold, in characters.
const MaxText = 200

// parseText reads one value of the fact as a case file writes it in one line.
func (f *Fact) parseText(text string) (Value, error) {
	v, p := f.parseScalar(text)
	if p != nil {
		return Value{}, p
	}
	return v, nil
}

// parseScalar reads one value from the text of a scalar.
func (f *Fact) parseScalar(text string) (Value, *Problem) {
	trimmed := strings.TrimSpace(text)
	if trimmed == "" {
		return Value{}, problem(CodeEmptyValue, "write a value, or unknown, or leave the line out", "%s has no value", f.Name)
	}
	if strings.EqualFold(trimmed, "unknown") {
		return Value{State: Unknown}, nil
	}
	v, p := Value{State: Stated}, (*Problem)(nil)
	switch f.Kind {
	case Words, Layers:
		v.Words, p = f.parseWords(trimmed)
	case Members:
		v.Words, p = f.parseMember(trimmed)
		if trimmed == "none" || trimmed == "[]" {
			v.Words, p = 0, nil
		}
	case Number:
		v.Low, v.High, p = parseQuantity(trimmed, f.Unit)
	case Count:
		v.Low, v.High, p = parseCount(trimmed)
	case Date:
		v.Low, v.High, p = parseDates(trimmed)
	case Text:
		v.Text, p = parseFreeText(text)
	}
	if p == nil && (f.Kind == Number || f.Kind == Count || f.Kind == Date) {
		p = f.within(&v)
	}
	return v, p
}

// parseWords reads "nmc" or "lco | nmc".
func (f *Fact) parseWords(text string) (set uint64, p *Problem) {
	for part := range strings.SplitSeq(text, "|") {
		s, ok := f.Set(part)
		if !ok {
			return 0, f.unknownWord(part)
		}
		set |= s
	}
	return set, nil
}

func (f *Fact) parseMember(text string) (uint64, *Problem) {
	if strings.Contains(text, "|") {
		return 0, problem(CodeNotList, "write a list: ["+strings.Join(f.Words[:min(2, len(f.Words))], ", ")+"]",
			"%s holds several things at once, so %q does not say which are there", f.Name, clip(text))
	}
	s, ok := f.Set(text)
	if !ok {
		return 0, f.unknownWord(text)
	}
	return s, nil
}

func (f *Fact) unknownWord(text string) *Problem {
	fix := "use " + orList(f.Words)
	known := append([]string{}, f.Words...)
	for s := range f.Synonyms {
		known = append(known, s)
	}
	// A near spelling is named, and never taken: lco and nmc, or short and
	// sort, are one slip apart and not the same thing.
	if near := nearest(plainWord(text), sorted(known)); near != "" {
		fix = "did you mean " + near + "? " + fix
	}
	return problem(CodeUnknownWord, fix, "%q is no word of %s", clip(strings.TrimSpace(text)), f.Name)
}

var wholeNumber = regexp.MustCompile(`^[+-]?[0-9]{1,9}$`)

// parseCount reads "2", "1..2", "2.." or "..3".
func parseCount(text string) (low, high float64, p *Problem) {
	one := func(s string) (float64, *Problem) {
		digits := strings.TrimLeft(s, "+-")
		switch {
		case len(digits) > 1 && digits[0] == '0' && wholeNumber.MatchString(s):
			return 0, problem(CodeBadNumber, "leave the leading zero away", "%q could be read as an octal number", s)
		case wholeNumber.MatchString(s):
			n, _ := strconv.Atoi(s)
			return float64(n), nil
		case decimal.MatchString(s):
			return 0, problem(CodeNotWhole, "write a whole number, such as 2", "%q is not a whole number", clip(s))
		case strings.Contains(strings.ToLower(s), "inf") || strings.Contains(strings.ToLower(s), "nan"):
			return 0, problem(CodeNotFinite, "write a whole number, such as 2", "%q is not a finite number", clip(s))
		}
		if number, unit := splitNumber(s); decimal.MatchString(number) && unit != "" {
			return 0, problem(CodeWrongUnit, "write "+number+" alone", "a count takes no unit, and %q has one", clip(s))
		}
		return 0, problem(CodeBadNumber, "write a whole number, such as 2", "%q is not a plain whole number", clip(s))
	}
	left, right, isRange := strings.Cut(text, "..")
	left, right = strings.TrimSpace(left), strings.TrimSpace(right)
	if !isRange {
		low, p = one(text)
		return low, low, p
	}
	if left == "" && right == "" {
		return 0, 0, problem(CodeBadNumber, "give an end, or write unknown", "%q has neither a low nor a high end", text)
	}
	low, high = math.Inf(-1), math.Inf(1)
	if left != "" {
		if low, p = one(left); p != nil {
			return 0, 0, p
		}
	}
	if right != "" {
		if high, p = one(right); p != nil {
			return 0, 0, p
		}
	}
	if low > high {
		return 0, 0, problem(CodeUpsideDown, "put the smaller number first", "the range %q is upside down", text)
	}
	return low, high, nil
}

// parseDates reads "2026-11-24" or a range of two such days.
func parseDates(text string) (low, high float64, p *Problem) {
	one := func(s string) (float64, *Problem) {
		t, err := time.Parse(time.DateOnly, s)
		if err != nil {
			return 0, problem(CodeBadDate, "write the date as 2026-11-24", "%q is no date of the form year-month-day", clip(s))
		}
		return dayNumber(t), nil
	}
	left, right, isRange := strings.Cut(text, "..")
	left, right = strings.TrimSpace(left), strings.TrimSpace(right)
	if !isRange {
		low, p = one(left)
		return low, low, p
	}
	low, high = math.Inf(-1), math.Inf(1)
	if left == "" && right == "" {
		_, p = one(text)
		return 0, 0, p
	}
	if left != "" {
		if low, p = one(left); p != nil {
			return 0, 0, p
		}
	}
	if right != "" {
		if high, p = one(right); p != nil {
			return 0, 0, p
		}
	}
	if low > high {
		return 0, 0, problem(CodeUpsideDown, "put the earlier day first", "the range %q is upside down", text)
	}
	return low, high, nil
}

// parseFreeText refuses what would spoil a printed sheet: control and
// formatting characters, and texts that are not labels but letters.
func parseFreeText(text string) (string, *Problem) {
	text = strings.TrimSpace(text)
	if !utf8.ValidString(text) {
		return "", problem(CodeBadText, "save the file as UTF-8", "the text is not valid UTF-8")
	}
	for _, r := range text {
		if !unicode.IsGraphic(r) {
			return "", problem(CodeBadText, "keep to one line of plain text", "the text has the character U+%04X, which cannot be printed", r)
		}
	}
	if n := utf8.RuneCountInString(text); n > MaxText {
		return "", problem(CodeBadText, "shorten it", "the text has %d characters, and at most %d fit", n, MaxText)
	}
	return text, nil
}

// within clips the open ends of a range to the physical range of the fact, and
// refuses what lies outside it.
func (f *Fact) within(v *Value) *Problem {
	if math.IsInf(v.Low, -1) {
		v.Low = min(f.Min, v.High)
	}
	if math.IsInf(v.High, 1) {
		v.High = max(f.Max, v.Low)
	}
	if v.Low < f.Min || v.High > f.Max {
		return problem(CodeOutOfRange, "check the number and its unit",
			"%s lies outside what %s can be, %s", f.format(v.Low, v.High), f.Name, f.format(f.Min, f.Max))
	}
	return nil
}

// format writes a range of the fact's numbers as a case file would.
func (f *Fact) format(low, high float64) string {
	if f.Kind != Date {
		return FormatQuantity(low, high, f.Unit)
	}
	if low == high {
		return FormatDate(low)
	}
	return FormatDate(low) + ".." + FormatDate(high)
}

// FormatDate writes days since 1970-01-01 as an ISO date.
func FormatDate(days float64) string {
	return time.Unix(int64(days)*86400, 0).UTC().Format(time.DateOnly)
}
