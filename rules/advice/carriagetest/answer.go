package carriagetest

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loosecell/rules/advice"
)

// Answer is what a mode has to answer. Fields that are empty ask nothing.
type Answer struct {
	Allowed string // yes, approval, no
	UN      string
	// Clauses stand in the basis, Words in what is said of the package, the papers
	// or the edition; "not " before one forbids it.
	Clauses, Words []string
	ChargeCap      string // %
	CapKind        string // mandatory, recommended; none: there is no cap
	NetLimit       string // kg
}

// Misses lists where the answer of a mode departs from what it has to be.
func (w *Answer) Misses(s advice.Shipping) []string {
	var out []string
	miss := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if w.Allowed != "" && s.Allowed != w.Allowed {
		miss("%s is %q, want %q; why %v, unsettled %v", s.Mode, s.Allowed, w.Allowed, s.Why, s.Unsettled)
	}
	if w.UN != "" && s.UNNumber != w.UN {
		miss("%s: entry %q, want %q", s.Mode, s.UNNumber, w.UN)
	}
	for _, clause := range w.Clauses {
		if no, is := strings.CutPrefix(clause, "not "); is == slices.Contains(s.Basis, no) {
			miss("%s: basis %v, want %s", s.Mode, s.Basis, clause)
		}
	}
	said := strings.Join(slices.Concat(s.Packing, s.Marks, s.Documents, s.Notes, s.AllowedIf, []string{s.Name, s.Edition + " until " + s.EditionUntil}), "\n")
	for _, words := range w.Words {
		if no, is := strings.CutPrefix(words, "not "); is == strings.Contains(said, no) {
			miss("%s has to say: %s; it says\n%s", s.Mode, words, said)
		}
	}
	limit := func(what, want string, got *float64) {
		if want == "" {
			return
		}
		if x, err := strconv.ParseFloat(want, 64); err != nil || got == nil || *got != x {
			miss("%s: %s %s, want %s", s.Mode, what, shown(got), want)
		}
	}
	limit("charge cap", w.ChargeCap, s.SoCCapPct)
	limit("net limit", w.NetLimit, s.NetLimitKg)
	switch {
	case w.CapKind == "none" && s.SoCCapPct != nil:
		miss("%s: charge cap %s, want none", s.Mode, shown(s.SoCCapPct))
	case w.CapKind != "" && w.CapKind != "none" && s.SoCCapKind != w.CapKind:
		miss("%s: the cap is %q, want %q", s.Mode, s.SoCCapKind, w.CapKind)
	}
	return out
}

func shown(x *float64) string {
	if x == nil {
		return "none"
	}
	return fmt.Sprint(*x)
}
