package inquiry

import (
	"slices"

	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// liquidFacts are what the model of the liquids reads beyond the rules: whether
// some liquid at the bench does no harm here, in this room.
var liquidFacts = []string{
	"bench.solvents", "device.under_cell", "device.liquid_sensitive_near", "device.plastics_near",
	"bench.room_kind", "bench.room_volume", "bench.air_changes", "bench.air_temperature", "adhesive.solvent_volume",
	"adhesive.family", "battery.temperature",
}

// liquids adds the questions that the model of the liquids still waits for,
// where the rules permit solvent and the model does not yet. A fact counts if
// its answer changes the model's, all others being unremarkable.
func (q *Inquiry) liquids(list []*Question, c *facts.Case, s *advice.Standing) []*Question {
	q.ask.About(s.Full, s.Alarm)
	if s.Pick == "already-out" || s.Solvent != "open" || q.ask.May("solvent") != expression.True && q.ask.May("rung.solvent") != expression.True {
		return list
	}
	v := &variants{Inquiry: q, c: c, s: s}
	said := q.Whole() // without the doubts, so that what is doubted is asked for
	kind := c.Clone() // every open fact unremarkable
	for _, name := range liquidFacts {
		f, ok := q.cat.Lookup(name)
		if ok && said.Get(name).State == facts.Missing && (len(f.Presume) == 0 || !slices.Contains(q.presumedFrom(name, c), "bench.room_kind")) {
			kind.Set(name, v.harmless(f))
		}
	}
	for _, name := range liquidFacts {
		f, ok := q.cat.Lookup(name)
		if !ok || said.Get(name).State != facts.Missing {
			continue
		}
		question := q.askFor(name, c, s)
		if question == nil || slices.ContainsFunc(list, func(have *Question) bool { return have.ID == question.ID }) {
			continue
		}
		words := map[string]bool{}
		for _, x := range v.sampleOf(f) {
			try := kind.Clone()
			try.Set(name, x.value)
			if other, err := q.reckon.Standing(try); err == nil {
				words[other.Solvent] = true
			}
		}
		try := kind.Clone()
		try.Set(name, c.Get(name))
		if other, err := q.reckon.Standing(try); err == nil {
			words[other.Solvent] = true
		}
		if len(words) > 1 {
			question.Worth = weightMeans
			list = append(list, question)
		}
	}
	return list
}

// harmless is the unremarkable value of a fact; a usual bottle for the bench.
func (v *variants) harmless(f *facts.Fact) facts.Value {
	list := v.sampleOf(f)
	if f.Name == "bench.solvents" {
		return list[1].value // of the words the first, strong isopropanol
	}
	return list[0].value
}
