package sheet

import (
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// notes numbers the sources in the order the sheet first leans on them, each
// once, so that a line carries [3] and the foot of the sheet tells what 3 is.
//
// It also remembers which reasons were told: the same restriction often stands
// against heat, solvent and every rung, and is read once.
type notes struct {
	order []string
	index map[string]int
	told  map[string]bool
}

// mark registers the sources of a line, which a semicolon parts, and returns
// what to print behind it.
func (n *notes) mark(source string) string {
	out := ""
	for one := range strings.SplitSeq(page.Clean(source), "; ") {
		if one == "" {
			continue
		}
		if n.index == nil {
			n.index = map[string]int{}
		}
		at, known := n.index[one]
		if !known {
			n.order = append(n.order, one)
			at = len(n.order)
			n.index[one] = at
		}
		if out != "" {
			out += ","
		}
		out += strconv.Itoa(at)
	}
	if out == "" {
		return ""
	}
	return string(page.Glue) + "[" + out + "]"
}

// cite is the cleaned text with the mark of its source.
func (n *notes) cite(text, source string) string {
	return page.Clean(text) + n.mark(source)
}

// withReasons ends an answer with its first two reasons, or points back where
// all of them were told before.
func (n *notes) withReasons(text string, why []string) string {
	text = stopped(text)
	why = cleanAll(why)
	if n.told == nil {
		n.told = map[string]bool{}
	}
	fresh := 0
	for _, reason := range why {
		if n.told[reason] || fresh == 2 {
			continue
		}
		n.told[reason] = true
		fresh++
		text += " " + stopped(reason)
	}
	if fresh == 0 && len(why) > 0 {
		text = strings.TrimSuffix(text, ".") + ", as above."
	}
	return text
}
