package proof

import (
	"fmt"
	"math/rand/v2"

	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// reading is a question about a derived fact: its worse end must not move back
// when the fact it rests on gets worse.
type reading struct {
	derived, parent int
	up              bool // the end that withholds the gift is the upper one
	both            bool // the signs do not tell which end does
}

// throughDerived lists what has to be asked about the derived facts that rest
// on a slot. Where a gift falls as the derived fact rises, its upper end must not
// sink when the fact gets worse; and the other way round.
func (p *prover) throughDerived(q *question, slot int) {
	l := p.book.Layout
	signs := q.signs
	if q.mode != "" {
		signs = p.arena.Polarities(q.exact)
	}
	for d := range l.Slots {
		polarity, reads := signs[d]
		if !reads || l.Slots[d].Derive == nil {
			continue
		}
		if _, rests := p.signBetween(slot, d); !rests {
			continue
		}
		q.byParent++
		r := reading{derived: d, parent: slot, up: polarity&expression.Falls != 0, both: polarity == expression.Rises|expression.Falls}
		q.readings = append(q.readings, r)
		if _, have := q.derived[d]; r.both && !have {
			if q.derived == nil {
				q.derived = map[int][]pairGoal{}
			}
			q.derived[d] = p.pairs(q.may, d, facts.HigherWorse)
		}
	}
}

// signBetween is the declared sign with which a derived slot moves with one it
// rests on; 0 if it is declared to be neither, or differs by the way taken.
func (p *prover) signBetween(slot, derived int) (sign int, rests bool) {
	l := p.book.Layout
	for _, parent := range l.Slots[derived].Fact.Parents {
		for _, s := range l.SlotsOf(parent.Name) {
			step, on := 0, false
			if s == slot {
				step, on = int(parent.Sign), true
			} else if l.Slots[s].Derive != nil {
				if inner, ok := p.signBetween(slot, s); ok {
					step, on = inner*int(parent.Sign), true
				}
			}
			switch {
			case on && !rests:
				sign, rests = step, true
			case on && step != sign:
				sign = 0
			}
		}
	}
	return sign, rests
}

// readingsTried is how many pairs of readings are compared for one reading.
const readingsTried = 120

// readingHolds draws readings of all that a derived fact rests on and compares
// it before and after one of them gets worse. It returns how many pairs it
// tried and, if one went the wrong way, which.
func (w *worker) readingHolds(r reading) (tried int, wrong string) {
	l := w.book.Layout
	draw := rand.New(rand.NewPCG(uint64(r.derived), uint64(r.parent)))
	rest := roots(l, r.derived)
	choices := make([][]expression.Range, len(rest))
	for i, s := range rest {
		choices[i] = w.readings(s, w.domain.At(s))
	}
	fact := l.Slots[r.parent].Fact
	a, b := expression.NewBox(l), expression.NewBox(l)
	for range readingsTried {
		a.CopyFrom(w.domain)
		for i, s := range rest {
			a.Set(s, choices[i][draw.IntN(len(choices[i]))])
		}
		was := a.At(r.parent)
		list := w.readings(r.parent, w.domain.At(r.parent))
		next := list[draw.IntN(len(list))]
		if !worseThan(&l.Slots[r.parent], next, was, fact.Worse) {
			continue
		}
		b.CopyFrom(a)
		b.Set(r.parent, next)
		before, after := a.At(r.derived), b.At(r.derived)
		if a.Empty() || b.Empty() {
			continue
		}
		tried++
		const slack = 1e-9
		if !l.Slots[r.derived].Finite && (r.up && after.High < before.High-slack || !r.up && after.Low > before.Low+slack) {
			return tried, fmt.Sprintf("%s gets safer when %s goes from %s to %s", l.Slots[r.derived].Name, fact.Name,
				text(fact, was), text(fact, next))
		}
	}
	return tried, ""
}

func text(f *facts.Fact, r expression.Range) string {
	return f.FormatValue(facts.Value{State: facts.Stated, Low: r.Low, High: r.High, Words: r.Words})
}

func worseThan(s *expression.Slot, next, was expression.Range, worse facts.Worse) bool {
	if s.Finite {
		return next.Words > was.Words
	}
	return worse == facts.HigherWorse && next.Low > was.Low || worse == facts.LowerWorse && next.Low < was.Low
}
