package proof

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// capped is the condition under which a cap stands at a value or less.
func (p *prover) capped(name string, value float64) expression.Ref {
	var any []expression.Ref
	for _, l := range p.book.Caps(name) {
		if l.Value <= value {
			any = append(any, l.Holds)
		}
	}
	return p.arena.Or(any...)
}

// graded is the condition under which the grade rules give at least a grade.
func (p *prover) graded(g rules.Grade) expression.Ref {
	var hands, carriage []expression.Ref
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		if r.Grade == nil {
			continue
		}
		if r.Grade.Condition >= g.Condition {
			hands = append(hands, r.Holds)
		}
		if r.Grade.Transport >= g.Transport {
			carriage = append(carriage, r.Holds)
		}
	}
	out := expression.Always
	if g.Condition > 0 {
		out = p.arena.And(out, p.arena.Or(hands...))
	}
	if g.Transport > 0 {
		out = p.arena.And(out, p.arena.Or(carriage...))
	}
	return out
}

// alarmed is the condition under which an alarm gives a verdict or a worse one.
func (p *prover) alarmed(verdict string) expression.Ref {
	var any []expression.Ref
	for i := range p.book.Rules() {
		if r := &p.book.Rules()[i]; r.Alarm != nil && (verdict == "stop" || r.Alarm.Verdict == verdict) {
			any = append(any, r.Holds)
		}
	}
	return p.arena.Or(any...)
}

// holding is the condition under which something holds the verdict that waits
// for one of some facts, and is of a kind if one is given.
func (p *prover) holding(names []string, kind string) expression.Ref {
	var any []expression.Ref
	for i := range p.book.Rules() {
		if r := &p.book.Rules()[i]; r.Hold != nil && slices.Contains(names, r.Hold.Fact) && (kind == "" || r.Hold.Kind == kind) {
			any = append(any, r.Holds)
		}
	}
	return p.arena.Or(any...)
}

// answered is the condition under which a table, or one it points to, answers
// with a value that matches.
func (p *prover) answered(answer string, matches func(value any) bool) expression.Ref {
	return p.answeredWithin(answer, matches, 0)
}

// deepest is how many tables may point to one another.
const deepest = 8

func (p *prover) answeredWithin(answer string, matches func(any) bool, depth int) expression.Ref {
	table := p.book.Table(answer)
	if table == nil || depth > deepest {
		return expression.Never
	}
	var any []expression.Ref
	for i := range table.Choose.Rows {
		row := &table.Choose.Rows[i]
		if next := see(row.Value); next != "" {
			any = append(any, p.arena.And(row.Holds, p.answeredWithin(next, matches, depth+1)))
		} else if matches(row.Value) {
			any = append(any, row.Holds)
		}
	}
	return p.arena.Or(any...)
}

// see is the table that a row's value points to, "" if none.
func see(value any) string {
	m, _ := value.(map[string]any)
	next, _ := m["see"].(string)
	return next
}

// word is the word a value stands for: a text up to its colon, or what a map
// says under allowed.
func word(value any) string {
	if m, ok := value.(map[string]any); ok {
		value = m["allowed"]
	}
	w, _, _ := strings.Cut(fmt.Sprint(value), ":")
	return w
}

// oneOf matches values that stand for one of some words.
func oneOf(words ...string) func(any) bool {
	return func(value any) bool { return slices.Contains(words, word(value)) }
}

// acting is the condition under which a restriction, permit, cap, grade, alarm
// or fit of a book acts; the others only say something.
func acting(r *rules.Rule) expression.Ref {
	if r.Relaxes != nil {
		return r.Acts
	}
	return r.Holds
}

// settled puts in the place of answers what the rules make of them when every
// fact is known: the grades that they add up to, and whether a permission is
// given. Other answers stay free.
func (p *prover) settled(ref expression.Ref) expression.Ref {
	for _, name := range []string{"condition", "transport_state"} {
		slot := p.book.Layout.MustSlot("answer." + name)
		ref = p.arena.Replace(ref, slot, func(atom expression.Atom) expression.Ref {
			var any []expression.Ref
			for rank := range p.book.Layout.Slots[slot].Fact.Words {
				if atom.Words>>rank&1 == 1 {
					any = append(any, p.arena.And(p.rankAtLeast(name, rank), p.rankAtLeast(name, rank+1).Not()))
				}
			}
			return p.arena.Or(any...)
		})
	}
	for _, a := range []struct {
		name string
		may  expression.Ref
	}{
		{"heat", p.book.May("heat")}, {"solvent", p.book.May("solvent")}, {"opening", p.book.May("opening")},
		{"discharge", p.arena.Or(p.book.May("discharge.in-device"), p.book.May("discharge.resistor"))},
	} {
		slot, may := p.book.Layout.MustSlot("answer."+a.name), a.may
		f := p.book.Layout.Slots[slot].Fact
		ref = p.arena.Replace(ref, slot, func(atom expression.Atom) expression.Ref {
			given, _ := f.Word("yes")
			withheld, _ := f.Word("no")
			var any []expression.Ref
			if atom.Words>>given&1 == 1 {
				any = append(any, may)
			}
			if atom.Words>>withheld&1 == 1 {
				any = append(any, may.Not())
			}
			return p.arena.Or(any...)
		})
	}
	return p.picked(ref)
}

// picked puts in the place of "this rung was picked" that it was, is permitted
// and applies, without which no rung is picked; and in the place of "it stays in"
// that the verdict says so.
func (p *prover) picked(ref expression.Ref) expression.Ref {
	slot := p.book.Layout.MustSlot("answer.pick")
	words := p.book.Layout.Slots[slot].Fact.Words
	return p.arena.Replace(ref, slot, func(atom expression.Atom) expression.Ref {
		var any []expression.Ref
		for i, w := range words {
			if atom.Words>>i&1 == 0 {
				continue
			}
			one := p.arena.Among(slot, 1<<i)
			switch {
			case slices.Contains(rules.Rungs, w):
				one = p.arena.And(one, p.book.May(rules.RungPermission(w)), p.book.Fits(w))
			case w == "leave-in-and-refer":
				one = p.arena.And(one, p.stopped())
			}
			any = append(any, one)
		}
		return p.arena.Or(any...)
	})
}

// stopped is "the verdict is stop or worse".
func (p *prover) stopped() expression.Ref {
	slot := p.book.Layout.MustSlot("answer.verdict")
	f := p.book.Layout.Slots[slot].Fact
	stop, _ := f.Word("stop")
	return p.arena.Among(slot, f.All()&^(1<<stop-1))
}

// rankAtLeast is the condition under which a reading reaches a rank.
func (p *prover) rankAtLeast(reading string, rank int) expression.Ref {
	switch {
	case rank == 0:
		return expression.Always
	case rank >= len(p.book.Layout.Slots[p.book.Layout.MustSlot("answer."+reading)].Fact.Words):
		return expression.Never
	case reading == "condition":
		return p.graded(rules.Grade{Condition: rank})
	}
	return p.graded(rules.Grade{Transport: rank})
}

// readings are the two that the grade rules add up to, and what each rank of
// them is in facts.
func (p *prover) readings() (ranks []gradeRank) {
	for _, name := range []string{"condition", "transport_state"} {
		slot := p.book.Layout.MustSlot("answer." + name)
		words := p.book.Layout.Slots[slot].Fact.Words
		for rank := len(words) - 1; rank > 0; rank-- {
			ranks = append(ranks, gradeRank{slot: slot, facts: p.rankAtLeast(name, rank),
				answer: p.arena.Among(slot, 1<<rank-1).Not()})
		}
	}
	return ranks
}

// gradeRank is "this reading reaches this rank", in facts and as an answer.
type gradeRank struct {
	slot          int
	facts, answer expression.Ref
}

// byGrade is a condition in which what the grade rules add up to is read from
// their answer again, so that it can be looked at apart from them.
func (p *prover) byGrade(ref expression.Ref) expression.Ref {
	var long, short []expression.Ref
	for _, r := range p.ranks {
		if r.facts != expression.Never {
			long, short = append(long, r.facts), append(short, r.answer)
		}
	}
	return p.arena.Fold(ref, long, short)
}
