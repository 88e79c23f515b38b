package inquiry

import (
	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// goal is one condition that leaves an answer that matters open. Its parts must
// all hold; slots are facts it waits for besides.
type goal struct {
	answer string
	weight float64
	parts  []expression.Ref
	waits  []int
	first  bool // among goals of this answer the first that holds settles it
	slot   int  // a number that lies on both sides of a cut
	cut    float64
	number bool
}

// Weights of the answers: what hands do first, what is only nice to know last.
const (
	weightVerdict   = 4
	weightDischarge = 2
	weightStorage   = 2
	weightMeans     = 1 // heat, solvent
)

// open lists what the standing leaves open, by exact exploration: a goal is
// there only while some completion of the case makes it true and some false.
func (q *Inquiry) open(s *advice.Standing) []goal {
	q.ask.About(s.Full, s.Alarm)
	var out []goal
	add := func(answer string, weight float64, refs ...expression.Ref) {
		for _, r := range refs {
			if q.ask.Explore(r) == expression.Open {
				out = append(out, goal{answer: answer, weight: weight, parts: []expression.Ref{r}})
			}
		}
	}
	q.openGrades(add)
	q.openAlarms(add)
	out = q.openPick(s, out)
	for _, r := range q.holdRules {
		add("prepare", weightVerdict, r.Holds)
	}
	out = q.openDischarge(s, out)
	if s.Pick != "already-out" {
		add("heat", weightMeans, q.book.May("heat"))
		add("solvent", weightMeans, q.book.May("solvent"))
	}
	if s.Opening != "" {
		add("opening", weightDischarge, q.book.May("opening"))
	}
	if s.Refit != "" {
		add("refit", weightVerdict, q.book.May("refit"))
	}
	for _, c := range q.ask.Candidates("storage.class") {
		if !c.Certain {
			add("storage", weightStorage, c.Row.Holds)
		}
	}
	return out
}

// openGrades adds the grades above the one that must hold.
func (q *Inquiry) openGrades(add func(string, float64, ...expression.Ref)) {
	least := 0
	truths := make([]expression.Truth, len(q.gradeRules))
	for i, r := range q.gradeRules {
		if truths[i] = q.ask.Explore(r.Holds); truths[i] == expression.True {
			least = max(least, r.Grade.Condition)
		}
	}
	for i, r := range q.gradeRules {
		if truths[i] == expression.Open && r.Grade.Condition > least {
			add("condition", weightVerdict, r.Holds)
		}
	}
}

// openAlarms adds the alarms that are not yet certain or ruled out.
func (q *Inquiry) openAlarms(add func(string, float64, ...expression.Ref)) {
	for _, r := range q.alarmRules {
		add("verdict", weightVerdict, r.Holds)
	}
}

// openPick adds each rung that may still turn out to be the gentlest usable
// one, up to the first that certainly is usable.
func (q *Inquiry) openPick(s *advice.Standing, out []goal) []goal {
	place := q.book.Layout.MustSlot("battery.place")
	if s.Full.At(place) == expression.Word(removed) {
		return out
	}
	tried, _, _ := q.book.Layout.MemberSlots("job.tried")
	words := q.book.Layout.Slots[tried].Fact
	for _, rung := range rules.Rungs {
		g := goal{answer: "pick", weight: weightVerdict, first: true,
			parts: []expression.Ref{q.book.Fits(rung), q.book.May(rules.RungPermission(rung))}}
		if i, ok := words.Word(rung); ok {
			switch s.Full.At(tried + i).Words {
			case yes:
				continue
			case yes | no:
				g.waits = append(g.waits, tried+i)
			}
		}
		fits, may := q.ask.Explore(g.parts[0]), q.ask.Explore(g.parts[1])
		if rung == "solvent" && may == expression.True {
			may = modelled(s.Solvent)
		}
		if fits == expression.False || may == expression.False {
			continue
		}
		if fits == expression.True && may == expression.True && len(g.waits) == 0 {
			break
		}
		out = append(out, g)
	}
	if q.ask.Explore(q.isRemoved) == expression.Open {
		out = append(out, goal{answer: "pick", weight: weightVerdict, parts: []expression.Ref{q.isRemoved}})
	}
	return out
}

// modelled is what the model of the liquids makes of a permission that the rules
// give: it may take it back, and then the standing says so.
func modelled(word string) expression.Truth {
	switch word {
	case "yes":
		return expression.True
	case "no":
		return expression.False
	}
	return expression.Open
}

// The words of a yes-or-no member of a box, and of battery.place.
const (
	no      = 0b01
	yes     = 0b10
	removed = 2
)

// openDischarge adds whether a discharge may be and whether one is due.
func (q *Inquiry) openDischarge(s *advice.Standing, out []goal) []goal {
	if s.Discharge == "open" {
		for _, p := range []rules.Permission{"discharge.in-device", "discharge.resistor"} {
			if q.ask.May(p) == expression.Open {
				out = append(out, goal{answer: "discharge", weight: weightDischarge, first: true, parts: []expression.Ref{q.book.May(p)}})
			}
		}
	} else if s.Discharge == "yes" && q.ask.May("discharge.in-device") == expression.Open {
		// Which of two ways it is depends on this.
		out = append(out, goal{answer: "discharge", weight: weightDischarge, parts: []expression.Ref{q.book.May("discharge.in-device")}})
	}
	if s.DischargeDue == "unknown" {
		out = append(out, goal{answer: "discharge", weight: weightDischarge, number: true,
			slot: q.book.Layout.MustSlot("derived.state_of_charge"), cut: s.TargetPct})
	}
	for _, c := range q.ask.Candidates("discharge.target") {
		if !c.Certain && q.ask.Explore(c.Row.Holds) == expression.Open {
			out = append(out, goal{answer: "discharge", weight: weightDischarge, parts: []expression.Ref{c.Row.Holds}})
		}
	}
	return out
}

// work is how much each goal still leaves open on a box: 0 once it is decided,
// else growing with the number of facts it waits for. Where base says what it was
// before the facts in stated, goals that read none of them are not looked at.
func (q *Inquiry) work(goals []goal, b *expression.Box, out, base []float64, stated map[string]facts.Value) []float64 {
	q.eval.On(b)
	out = out[:0]
	settled := ""
	for i := range goals {
		g := &goals[i]
		if base != nil && !g.first && !q.reads(g, stated) {
			out = append(out, base[i])
			continue
		}
		if g.first && g.answer == settled {
			out = append(out, 0)
			continue
		}
		n, holds := q.waiting(g, b)
		if g.first && holds {
			settled = g.answer
		}
		if n == 0 {
			out = append(out, 0)
			continue
		}
		out = append(out, g.weight*(1+more*float64(n)))
	}
	return out
}

// more is what each further fact adds to an open goal, beside the one it is
// open at all for.
const more = 0.25

// waiting counts the facts a goal waits for on a box, and whether it holds.
func (q *Inquiry) waiting(g *goal, b *expression.Box) (n int, holds bool) {
	if g.number {
		r := b.At(g.slot)
		if r.High <= g.cut || r.Low > g.cut {
			return 0, r.High <= g.cut
		}
		return 1, false
	}
	holds = true
	for _, part := range g.parts {
		switch q.eval.Value(part) {
		case expression.False:
			return 0, false
		case expression.Open:
			n, holds = n+len(q.explore.Undecided(part, b)), false
		}
	}
	for _, slot := range g.waits {
		switch b.At(slot).Words {
		case yes:
			return 0, false
		case yes | no:
			n, holds = n+1, false
		}
	}
	return n, holds
}

// reads tells whether a goal looks at any of the facts, itself or through what
// is derived from them.
func (q *Inquiry) reads(g *goal, stated map[string]facts.Value) bool {
	if g.number {
		return true
	}
	for _, part := range g.parts {
		behind := q.readBy[part]
		if behind == nil {
			behind = map[string]bool{}
			for _, slot := range q.book.Arena.Reads(part) {
				q.addParents(behind, q.book.Layout.Slots[slot].Fact)
			}
			q.readBy[part] = behind
		}
		for name := range stated {
			if behind[name] {
				return true
			}
		}
	}
	return false
}

func (q *Inquiry) addParents(to map[string]bool, f *facts.Fact) {
	to[f.Name] = true
	for _, p := range f.Parents {
		if parent, ok := q.cat.Lookup(p.Name); ok && !to[p.Name] {
			q.addParents(to, parent)
		}
	}
}
