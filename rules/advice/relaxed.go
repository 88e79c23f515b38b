package advice

import (
	"loosecell/rules"
	"loosecell/rules/expression"
)

// Relaxation is a rule of the shop that loosens a shipped one for this case, as
// the shop declared it.
type Relaxation struct {
	Rule        string `json:"rule"`
	ShippedRule string `json:"shipped_rule"`
	Why         string `json:"why"`
	Who         string `json:"who"`
	Until       string `json:"until"`   // the first day it no longer holds
	Certain     bool   `json:"certain"` // else it acts only if what is not known turns out so
}

// Relaxations lists what the shop's rules loosen here, also where that rests on
// a fact that is not known: the reader is told in either case. While the cell may
// be critical nothing is loosened, and nothing is listed.
func Relaxations(q *rules.Question) []Relaxation {
	var out []Relaxation
	for _, f := range q.Relaxed() {
		r := f.Rule.Relaxes
		out = append(out, Relaxation{Rule: f.Rule.ID, ShippedRule: r.Rule, Why: r.Why, Who: r.Who, Until: r.Until,
			Certain: f.Truth == expression.True})
	}
	return out
}
