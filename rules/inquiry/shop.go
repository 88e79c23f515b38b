package inquiry

import (
	_ "embed"

	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// Shop asks once for what does not change from case to case: the texts that an
// emergency needs, the room, the kit and the means.
type Shop struct{ *Inquiry }

//go:embed data/shop.csv
var shopData string

// NewShop starts over what a shop file already says.
func NewShop(known *facts.Case) *Shop {
	return &Shop{&Inquiry{cat: known.Catalogue(), known: known.Clone(), asked: map[string]bool{}}}
}

// Next is the next question of the list, nil at its end. A shop has no standing.
func (s *Shop) Next() (question *Question, _ *advice.Standing, left int, err error) {
	missing := func(name string) bool { return s.known.Get(name).State == facts.Missing }
	for _, row := range rows(shopData) {
		id := row[0]
		if s.asked[id] || id == "bench.heat_setpoint" && !s.hasPad() {
			continue
		}
		ask := group(id, func(fact string) bool { return !missing(fact) })
		if f, ok := s.cat.Lookup(id); ok && missing(id) {
			ask = s.single(f.Name)
		}
		if ask == nil {
			continue
		}
		left++
		if question == nil {
			question = ask
		}
	}
	return question, nil, left, nil
}

// Settled tells that a shop has no answers of its own.
func (s *Shop) Settled() (*advice.Standing, error) { return nil, nil }

// hasPad tells whether there is a pad whose set point matters.
func (s *Shop) hasPad() bool {
	f, _ := s.cat.Lookup("bench.heat_source")
	i, _ := f.Word("pad")
	v := s.known.Get("bench.heat_source")
	return v.State == facts.Stated && v.Words == 1<<i
}
