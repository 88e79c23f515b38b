package rules

import (
	"cmp"
	"maps"
	"slices"

	"loosecell/rules/expression"
)

// Book is a rulebook, added up: for each thing that can be permitted the one
// condition under which it is.
type Book struct {
	Layout *expression.Layout
	Arena  *expression.Arena
	// Named holds the named conditions of the book's files.
	Named map[string]expression.Condition

	rules   []Rule
	byID    map[string]int
	may     map[Permission]expression.Ref
	permit  map[Permission]expression.Ref
	forbid  map[Permission]expression.Ref
	against map[Permission][]Limit
	caps    map[string][]Limit // per cap, smallest first
	fits    map[string]expression.Ref
	choose  map[string]*Rule
	grades  []gradeRule
}

// Limit is a rule that takes something away, and when it does: as long as it
// holds and no shop has lifted it.
type Limit struct {
	Rule  *Rule
	Holds expression.Ref
	Value float64 // caps: in the cap's unit
}

type gradeRule struct {
	rule  int
	grade Grade
}

// NewBook adds up rules whose conditions live in the arena. The rules must have
// been checked by a loader: names known, one effect each, ids unique.
func NewBook(a *expression.Arena, list []Rule) *Book {
	b := &Book{
		Layout: a.Layout, Arena: a, rules: list, byID: map[string]int{},
		may: map[Permission]expression.Ref{}, permit: map[Permission]expression.Ref{}, forbid: map[Permission]expression.Ref{},
		against: map[Permission][]Limit{}, caps: map[string][]Limit{},
		fits: map[string]expression.Ref{}, choose: map[string]*Rule{},
	}
	for i := range b.rules {
		r := &b.rules[i]
		b.byID[r.ID] = i
		if r.Grade != nil {
			b.grades = append(b.grades, gradeRule{i, *r.Grade})
		}
		if r.Choose != nil {
			b.choose[r.Choose.Answer] = r
		}
	}
	for i := range b.rules {
		b.rules[i].Acts = b.loosening(a, &b.rules[i])
	}
	b.offer(a)
	b.limit(a)
	for _, p := range Permissions {
		b.may[p] = a.And(b.permit[p], b.forbid[p].Not())
	}
	for name := range b.caps {
		sortCaps(b.caps[name])
	}
	return b
}

// offer adds up what is permitted and what fits.
func (b *Book) offer(a *expression.Arena) {
	permits := map[Permission][]expression.Ref{}
	fits := map[string][]expression.Ref{}
	for i := range b.rules {
		r := &b.rules[i]
		for _, p := range r.Permit {
			permits[p] = append(permits[p], r.Acts)
		}
		for _, rung := range r.Fit {
			fits[rung] = append(fits[rung], r.Holds)
		}
	}
	for _, p := range Permissions {
		b.permit[p] = a.Or(permits[p]...)
	}
	for _, rung := range Rungs {
		b.fits[rung] = a.Or(fits[rung]...)
	}
}

// limit adds up what is forbidden and capped, less what shops have lifted.
func (b *Book) limit(a *expression.Arena) {
	lifts := map[string][]*Rule{} // by the id of the shipped rule
	for i := range b.rules {
		if r := &b.rules[i]; r.Relaxes != nil {
			lifts[r.Relaxes.Rule] = append(lifts[r.Relaxes.Rule], r)
		}
	}
	forbids := map[Permission][]expression.Ref{}
	for i := range b.rules {
		r := &b.rules[i]
		if r.Restrict == nil {
			continue
		}
		for _, p := range r.Restrict.Forbid {
			l := Limit{Rule: r, Holds: b.unlessLifted(a, r, lifts[r.ID], func(s *Rule) bool {
				return slices.Contains(s.Lift, p) || slices.Contains(s.Permit, p)
			})}
			b.against[p] = append(b.against[p], l)
			forbids[p] = append(forbids[p], l.Holds)
		}
		over := map[Permission]expression.Ref{}
		for _, name := range slices.Sorted(maps.Keys(r.Restrict.Caps)) {
			value := r.Restrict.Caps[name]
			capped := Limit{Rule: r, Value: value, Holds: b.unlessLifted(a, r, lifts[r.ID], func(s *Rule) bool {
				_, other := s.caps()[name]
				return other
			})}
			b.caps[name] = append(b.caps[name], capped)
			if r.Shop { // the shipped rules say as much in rules of their own
				b.bar(a, capped, name, over)
			}
		}
		for _, p := range Permissions {
			if ref, ok := over[p]; ok {
				b.against[p] = append(b.against[p], Limit{Rule: r, Holds: ref})
				forbids[p] = append(forbids[p], ref)
			}
		}
	}
	for _, p := range Permissions {
		b.forbid[p] = a.Or(forbids[p]...)
	}
}

// bar adds what a cap forbids where the fact that it bounds lies above it.
func (b *Book) bar(a *expression.Arena, capped Limit, name string, over map[Permission]expression.Ref) {
	c, ok := CapNamed(name)
	if !ok {
		return
	}
	slot, ok := a.Layout.Slot(c.Of)
	if !ok {
		return
	}
	holds := a.And(capped.Holds, a.Below(slot, capped.Value).Not())
	for _, p := range c.Bars {
		over[p] = a.Or(over[p], holds)
	}
}

// unlessLifted is when a restriction acts: while it can hold, unless a shop's
// rule about the same thing certainly holds. Where that rule is open, the
// restriction stays.
func (b *Book) unlessLifted(a *expression.Arena, r *Rule, by []*Rule, about func(*Rule) bool) expression.Ref {
	holds := r.Holds
	for _, s := range by {
		if about(s) {
			holds = a.And(holds, s.Acts.Not())
		}
	}
	return holds
}

// loosening is when a rule may loosen something: a shop's rule never does while
// the cell may be critical, whatever it says.
func (b *Book) loosening(a *expression.Arena, r *Rule) expression.Ref {
	if r.Relaxes == nil {
		return r.Holds
	}
	var critical []expression.Ref
	for _, g := range b.grades {
		if g.grade.Condition > Damaged {
			critical = append(critical, b.rules[g.rule].Holds)
		}
	}
	return a.And(r.Holds, a.Or(critical...).Not())
}

func sortCaps(list []Limit) {
	slices.SortStableFunc(list, func(x, y Limit) int { return cmp.Compare(x.Value, y.Value) })
}

// Rules lists the rules in the order of the files.
func (b *Book) Rules() []Rule { return b.rules }

// Without is the book that lacks some rules and has some more. It shares the
// arena, so no evaluator over this book may be older.
func (b *Book) Without(gone func(*Rule) bool, more ...Rule) *Book {
	var rest []Rule
	for i := range b.rules {
		if !gone(&b.rules[i]) {
			rest = append(rest, b.rules[i])
		}
	}
	out := NewBook(b.Arena, append(rest, more...))
	out.Named = b.Named
	return out
}

// Rule finds a rule by its id.
func (b *Book) Rule(id string) (*Rule, bool) {
	i, ok := b.byID[id]
	if !ok {
		return nil, false
	}
	return &b.rules[i], true
}

// Spoken is the condition under which a rule, or a row of a table, speaks.
func (b *Book) Spoken(id string) (expression.Ref, bool) {
	if r, ok := b.Rule(id); ok {
		return r.Holds, true
	}
	for _, r := range b.choose {
		for i := range r.Choose.Rows {
			if r.Choose.Rows[i].ID == id {
				return r.Choose.Rows[i].Holds, true
			}
		}
	}
	return expression.Never, false
}

// May is the condition under which a permission is given.
func (b *Book) May(p Permission) expression.Ref { return b.may[p] }

// Permits is the condition under which some rule offers a permission.
func (b *Book) Permits(p Permission) expression.Ref { return b.permit[p] }

// Forbids is the condition under which some restriction takes it away.
func (b *Book) Forbids(p Permission) expression.Ref { return b.forbid[p] }

// Against lists the restrictions that can take a permission away.
func (b *Book) Against(p Permission) []Limit { return b.against[p] }

// Caps lists the rules that set a cap, the smallest value first.
func (b *Book) Caps(name string) []Limit { return b.caps[name] }

// Fits is the condition under which a rung applies.
func (b *Book) Fits(rung string) expression.Ref { return b.fits[rung] }

// Table is the rule that chooses an answer, nil if none does.
func (b *Book) Table(answer string) *Rule { return b.choose[answer] }
