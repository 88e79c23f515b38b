package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loosecell/rules/facts"
	"loosecell/rules/inquiry"
)

// Read makes a reply of one line that a person typed. The error says what is
// wrong with it.
func Read(q *inquiry.Question, line string) (Reply, error) {
	line = strings.TrimSpace(line)
	switch line {
	case "":
		return Reply{Act: Unknown}, nil
	case "?":
		return Reply{Act: Help}, nil
	case "!":
		return Reply{Act: Show}, nil
	case "<":
		return Reply{Act: Back}, nil
	case ".":
		return Reply{Act: Enough}, nil
	}
	if rest, ok := strings.CutPrefix(line, "="); ok {
		return readCorrection(rest)
	}
	if q.Fact == nil {
		marks, err := readMarks(line, len(q.Ticks))
		return Reply{Marks: marks}, err
	}
	text, err := readValue(q.Fact, line)
	return Reply{Text: text}, err
}

// readCorrection reads "battery.odour no", "battery.odour: no" and
// "battery.odour", which asks for it again.
func readCorrection(rest string) (Reply, error) {
	name, value, _ := strings.Cut(strings.TrimSpace(rest), " ")
	name = strings.TrimSuffix(name, ":")
	if name == "" {
		return Reply{}, fmt.Errorf("write the fact and its value, as in = battery.odour no")
	}
	return Reply{Act: Correct, Fact: name, Text: strings.TrimSpace(value)}, nil
}

// readMarks reads "1 3", "1, 2?", "0" and "none" for a list of n lines.
func readMarks(line string, n int) ([]inquiry.Mark, error) {
	marks := make([]inquiry.Mark, n)
	words := strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	if len(words) == 1 && (words[0] == "0" || strings.EqualFold(words[0], "none")) {
		return marks, nil
	}
	for _, w := range words {
		digits, asked := strings.CutSuffix(w, "?")
		i, err := strconv.Atoi(digits)
		if err != nil || i < 1 || i > n {
			return nil, fmt.Errorf("%q is no line of the list; write numbers from 1 to %d, 0 for none, or nothing if you do not know", w, n)
		}
		marks[i-1] = inquiry.So
		if asked {
			marks[i-1] = inquiry.CantSay
		}
	}
	return marks, nil
}

// readValue turns the numbers of a menu, and y and n, into the fact's words;
// everything else is left to the reader of case files.
func readValue(f *facts.Fact, line string) (string, error) {
	switch f.Kind {
	case facts.Members:
		return readMembers(f, line)
	case facts.Words:
	default:
		return line, nil
	}
	if f.YesNo() {
		switch strings.ToLower(line) {
		case "y":
			return "yes", nil
		case "n":
			return "no", nil
		}
	}
	var out []string
	for part := range strings.SplitSeq(line, "|") {
		part = strings.TrimSpace(part)
		if i, err := strconv.Atoi(part); err == nil && len(part) <= 2 {
			if i < 1 || i > len(f.Words) {
				return "", fmt.Errorf("%d is not on the list; write a number from 1 to %d, or nothing if you do not know", i, len(f.Words))
			}
			part = menu(f)[i-1]
		}
		out = append(out, part)
	}
	return strings.Join(out, " | "), nil
}

// menu lists a fact's words as they are offered.
func menu(f *facts.Fact) []string {
	if f.YesNo() {
		return []string{"yes", "no"}
	}
	return f.Words
}

func readMembers(f *facts.Fact, line string) (string, error) {
	if strings.HasPrefix(line, "[") || strings.EqualFold(line, "unknown") {
		return line, nil
	}
	if line == "0" || strings.EqualFold(line, "none") {
		return "[]", nil
	}
	var out []string
	for _, w := range strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		if i, err := strconv.Atoi(w); err == nil {
			if i < 1 || i > len(f.Words) {
				return "", fmt.Errorf("%d is not on the list; write numbers from 1 to %d, 0 for none, or nothing if you do not know", i, len(f.Words))
			}
			w = f.Words[i-1]
		}
		if !slices.Contains(out, w) {
			out = append(out, strconv.Quote(w))
		}
	}
	return "[" + strings.Join(out, ", ") + "]", nil
}
