package facts

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// The codes of a Problem. A code keeps its meaning for ever.
const (
	CodeSyntax         = "syntax"          // the file is not YAML
	CodeTooLarge       = "too-large"       // more than MaxBytes
	CodeTooDeep        = "too-deep"        // nested deeper than any case is
	CodeTooMany        = "too-many"        // more problems than are listed
	CodeSecondDocument = "second-document" // a second YAML document in the file
	CodeAlias          = "alias"           // an anchor or an alias
	CodeMergeKey       = "merge-key"       // a << key
	CodeTag            = "tag"             // a ! tag
	CodeNotMapping     = "not-mapping"     // something else where key: value is due
	CodeNotScalar      = "not-scalar"      // a list or mapping where one value is due
	CodeNotList        = "not-list"        // something else where a list is due
	CodeUnknownKey     = "unknown-key"     // no such fact
	CodeDuplicate      = "duplicate"       // the same fact twice
	CodeNotStatable    = "not-statable"    // computed or set by the command
	CodeNotForShop     = "not-for-shop"    // a fact of one job in a shop file
	CodeEmptyValue     = "empty-value"     // a key without a value
	CodeUnknownWord    = "unknown-word"    // no such word of this fact
	CodeNoUnit         = "no-unit"         // a bare number for a quantity
	CodeUnknownUnit    = "unknown-unit"    // no such unit
	CodeWrongUnit      = "wrong-unit"      // a unit of another kind of quantity
	CodeBadNumber      = "bad-number"      // not a number as people write it
	CodeDecimalComma   = "decimal-comma"   // a comma where a point is due
	CodeNotWhole       = "not-whole"       // a count with a fraction
	CodeNotFinite      = "not-finite"      // infinite, or not a number
	CodeOutOfRange     = "out-of-range"    // outside what is physically possible
	CodeUpsideDown     = "upside-down"     // a range whose low end is above its high end
	CodeBadDate        = "bad-date"        // not an ISO date
	CodeBadText        = "bad-text"        // control characters, or too long
	CodeContradiction  = "contradiction"   // two facts that cannot both be so
)

// A Problem is one thing wrong with a case or shop file: where, what, and what
// would be right.
type Problem struct {
	At      Position
	Code    string
	Message string
	Fix     string // "" if there is nothing to add
}

// Error returns "file:line:column: message; fix [code]".
func (p Problem) Error() string {
	var b strings.Builder
	if p.At.File != "" {
		b.WriteString(p.At.File + ":")
	}
	if p.At.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", p.At.Line, p.At.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	b.WriteString(p.Message)
	if p.Fix != "" {
		b.WriteString("; " + p.Fix)
	}
	b.WriteString(" [" + p.Code + "]")
	return b.String()
}

// Problems are all the things wrong with a file, in the order of the file.
type Problems []Problem

// Error returns the problems, one a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

func (ps Problems) sort() {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column))
	})
}

// problem builds a Problem without a place; the reader of the file adds it.
func problem(code, fix, format string, args ...any) *Problem {
	return &Problem{Code: code, Message: fmt.Sprintf(format, args...), Fix: fix}
}
