package inquiry

import (
	"slices"

	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// variants weighs answers to questions by trying them out on one case.
type variants struct {
	*Inquiry
	c     *facts.Case
	s     *advice.Standing
	goals []goal
	base  []float64
	was   float64
	buf   []float64
}

// worth is by how much less is open after the answer, on average over answers:
// where one is unremarkable it has half the weight, and the others share the
// rest. live tells whether any answer changes anything at all.
func (v *variants) worth(question *Question) (gain float64, live bool) {
	answers := v.answers(question)
	if len(answers) == 0 {
		return 0, false
	}
	for i, answer := range answers {
		left, changes := v.after(answer)
		live = live || changes
		weight := 1 / float64(len(answers))
		if len(answers) > 1 && usual(question.Fact) {
			weight = 0.5
			if i > 0 {
				weight = 0.5 / float64(len(answers)-1)
			}
		}
		gain += weight * (v.was - left)
	}
	if question.Fact != nil {
		gain /= float64(1 + len(v.together(question.Fact)))
	}
	return gain, live
}

// usual tells whether one answer is the unremarkable one: of the signs, the kit
// and the readings it is, of kinds of device or adhesive none is.
func usual(f *facts.Fact) bool { return f == nil || f.Kind != facts.Words || f.Ordered }

// after is how much is open once facts are stated, and whether that differs
// from now anywhere.
func (v *variants) after(stated map[string]facts.Value) (left float64, changes bool) {
	box, ok := v.direct(stated)
	if ok {
		v.buf = v.work(v.goals, box, v.buf, v.base, stated)
	} else {
		c := v.c.Clone()
		for name, value := range stated {
			c.Set(name, value)
		}
		var err error
		if box, err = v.reckon.Possible(c, v.s); err != nil {
			return v.was, false
		}
		v.buf = v.work(v.goals, box, v.buf, nil, nil)
	}
	return sum(v.buf), !slices.Equal(v.buf, v.base)
}

// direct states facts in a copy of the box, where nothing is presumed from them
// and no reading is taken by them: that is quicker than reading the case anew.
func (v *variants) direct(stated map[string]facts.Value) (*expression.Box, bool) {
	for name := range stated {
		if !v.plain[name] {
			return nil, false
		}
	}
	if v.scratch == nil {
		v.scratch = expression.NewBox(v.book.Layout)
	}
	v.scratch.CopyFrom(v.s.Full)
	for name, value := range stated {
		slot := v.book.Layout.MustSlot(name)
		if v.book.Layout.Slots[slot].Finite {
			v.scratch.Set(slot, expression.Range{Words: value.Words})
		} else {
			v.scratch.Set(slot, expression.Range{Low: value.Low, High: value.High})
		}
	}
	return v.scratch, true
}

// findPlain notes the facts that direct may state.
func (q *Inquiry) findPlain() {
	sources, parents := map[string]bool{}, map[string]bool{}
	for i := range q.cat.Facts {
		f := &q.cat.Facts[i]
		for _, p := range f.Presume {
			for name := range p.When {
				sources[name] = true
			}
		}
		for _, p := range f.Parents {
			parents[p.Name] = true
		}
	}
	for i := range q.cat.Facts {
		f := &q.cat.Facts[i]
		reading := f.Kind != facts.Words && parents[f.Name]
		q.plain[f.Name] = f.Statable() && (f.Kind == facts.Words || f.Kind == facts.Number || f.Kind == facts.Count) &&
			!sources[f.Name] && !reading && !readWhole[f.Name]
	}
}

// readWhole are facts from which more follows than themselves.
var readWhole = map[string]bool{
	"battery.looked": true, "battery.place": true, "job.force_used": true, "battery.thickness": true,
}

// answers are sample answers to a question, the unremarkable one first.
func (v *variants) answers(question *Question) []map[string]facts.Value {
	if question.Fact != nil {
		return v.singles(question.Fact)
	}
	benign := map[string]facts.Value{}
	state := func(into map[string]facts.Value, list []set) {
		c := facts.NewCase(v.cat, "")
		for name, value := range into {
			c.Set(name, value)
		}
		for _, s := range list {
			if v.state(c, s) == nil {
				into[s.fact] = c.Get(s.fact)
			}
		}
	}
	state(benign, question.states)
	// Ticking says something bad of a cell, and something good of a bench.
	for _, t := range question.Ticks {
		if v.unremarkable(t.sets[0]) {
			state(benign, t.sets)
		} else {
			state(benign, t.otherwise)
		}
	}
	out := []map[string]facts.Value{benign}
	for _, t := range question.Ticks {
		one := map[string]facts.Value{}
		for name, value := range benign {
			one[name] = value
		}
		if v.unremarkable(t.sets[0]) {
			state(one, t.otherwise)
		} else {
			state(one, t.sets)
		}
		out = append(out, one)
	}
	return out
}

// unremarkable tells whether a line of a list states what is usual.
func (v *variants) unremarkable(s set) bool {
	f, ok := v.cat.Lookup(s.fact)
	if !ok || f.Unseen == nil || f.Kind != facts.Words {
		return false
	}
	set, ok := f.Set(s.value)
	return ok && set>>f.Unseen.Rank&1 == 1
}

// singles are sample values of one fact within what is possible for it. Facts
// that only tell something together are sampled together.
func (v *variants) singles(f *facts.Fact) []map[string]facts.Value {
	together := v.together(f)
	var out []map[string]facts.Value
	for _, scale := range v.sampleOf(f) {
		one := map[string]facts.Value{f.Name: scale.value}
		for _, g := range together {
			list := v.sampleOf(g)
			one[g.Name] = list[min(scale.rank, len(list)-1)].value
		}
		out = append(out, one)
	}
	return out
}

// together lists the companions of a fact that are not known either.
func (v *variants) together(f *facts.Fact) []*facts.Fact {
	var out []*facts.Fact
	for _, other := range companions[f.Name] {
		if g, ok := v.cat.Lookup(other); ok && v.c.Get(other).State == facts.Missing {
			out = append(out, g)
		}
	}
	return out
}

// companions tell something only when they are known together.
var companions = map[string][]string{
	"battery.length":            {"battery.width", "battery.thickness"},
	"battery.width":             {"battery.length", "battery.thickness"},
	"battery.thickness":         {"battery.nominal_thickness", "battery.length", "battery.width"},
	"battery.nominal_thickness": {"battery.thickness"},
	"battery.rated_capacity":    {"battery.nominal_voltage"},
	"battery.nominal_voltage":   {"battery.rated_capacity"},
	"battery.rest_time":         {"battery.rest_voltage"},
	"battery.volts_at":          {"battery.rest_voltage"},
	"adhesive.pull_tabs":        {"adhesive.pull_tabs_torn"},
	"adhesive.pull_tabs_torn":   {"adhesive.pull_tabs"},
	"bench.release_voltage":     {"bench.release_current_limited"},
}

type sample struct {
	rank  int
	value facts.Value
}

// sampleOf lists values of a fact in different regions, the unremarkable first.
func (v *variants) sampleOf(f *facts.Fact) []sample {
	var out []sample
	add := func(value facts.Value) {
		value.State = facts.Stated
		for _, have := range out {
			if have.value.Low == value.Low && have.value.High == value.High && have.value.Words == value.Words {
				return
			}
		}
		out = append(out, sample{len(out), value})
	}
	switch f.Kind {
	case facts.Words:
		slot := v.book.Layout.MustSlot(f.Name)
		possible := v.s.Full.At(slot).Words
		if f.Unseen != nil && possible>>f.Unseen.Rank&1 == 1 {
			add(facts.Value{Words: 1 << f.Unseen.Rank})
		}
		for i := range f.Words {
			if possible>>i&1 == 1 {
				add(facts.Value{Words: 1 << i})
			}
		}
	case facts.Members:
		add(facts.Value{})
		for i := range f.Words {
			add(facts.Value{Words: 1 << i})
		}
	default:
		slot := v.book.Layout.MustSlot(f.Name)
		r := v.s.Full.At(slot)
		for _, x := range v.numbers(f, slot) {
			x = min(max(x, r.Low), r.High)
			add(facts.Value{Low: x, High: x})
		}
	}
	return out
}

// numbers are telling values of a fact: the unremarkable one, one well above
// and one well below, and one beyond each cut of the rules.
func (v *variants) numbers(f *facts.Fact, slot int) []float64 {
	out := []float64{}
	if f.Unseen != nil {
		x := f.Unseen.Number
		out = append(out, x, x/2, x*3/2+1)
	}
	return append(out, v.cuts[slot]...)
}
