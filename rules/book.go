package rules

import (
	"loosecell/rules/expression"
)

// Book is a rulebook, added up: for each thing that can be permitted the one
// condition under which it is.
type Book struct {
	Layout *expression.Layout
	Arena  *expression.Arena

	rules  []Rule
	byID   map[string]int
	may    map[Permission]expression.Ref
	caps   map[string][]capRule // per cap, smallest first
	fits   map[string]expression.Ref
	choose map[string]*Rule
	grades []gradeRule
}

type capRule struct {
	rule  int
	value float64
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
		may: map[Permission]expression.Ref{}, caps: map[string][]capRule{},
		fits: map[string]expression.Ref{}, choose: map[string]*Rule{},
	}
	permits := map[Permission][]expression.Ref{}
	forbids := map[Permission][]expression.Ref{}
	fits := map[string][]expression.Ref{}
	for i := range b.rules {
		r := &b.rules[i]
		b.byID[r.ID] = i
		for _, p := range r.Permit {
			permits[p] = append(permits[p], r.Holds)
		}
		for _, rung := range r.Fit {
			fits[rung] = append(fits[rung], r.Holds)
		}
		if r.Grade != nil {
			b.grades = append(b.grades, gradeRule{i, *r.Grade})
		}
		if r.Choose != nil {
			b.choose[r.Choose.Answer] = r
		}
		if r.Restrict == nil {
			continue
		}
		for _, p := range r.Restrict.Forbid {
			forbids[p] = append(forbids[p], r.Holds)
		}
		for name, value := range r.Restrict.Caps {
			b.caps[name] = append(b.caps[name], capRule{i, value})
		}
	}
	for _, p := range Permissions {
		b.may[p] = a.And(a.Or(permits[p]...), a.Or(forbids[p]...).Not())
	}
	for _, rung := range Rungs {
		b.fits[rung] = a.Or(fits[rung]...)
	}
	for name := range b.caps {
		sortCaps(b.caps[name])
	}
	return b
}

func sortCaps(list []capRule) {
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && list[j].value < list[j-1].value; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}

// Rules lists the rules in the order of the files.
func (b *Book) Rules() []Rule { return b.rules }

// Rule finds a rule by its id.
func (b *Book) Rule(id string) (*Rule, bool) {
	i, ok := b.byID[id]
	if !ok {
		return nil, false
	}
	return &b.rules[i], true
}

// May is the condition under which a permission is given.
func (b *Book) May(p Permission) expression.Ref { return b.may[p] }

// Fits is the condition under which a rung applies.
func (b *Book) Fits(rung string) expression.Ref { return b.fits[rung] }

// Table is the rule that chooses an answer, nil if none does.
func (b *Book) Table(answer string) *Rule { return b.choose[answer] }
