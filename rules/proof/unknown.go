package proof

import (
	"fmt"
	"math/rand/v2"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// unknown shows that widening what is possible never gives anything: each gift
// is one condition over facts that has to be true in every completion, and what
// is derived widens when what it rests on widens.
func (p *prover) unknown() {
	p.add(Finding{Law: LawUnknown, What: "permissions and caps"}, func(_ *worker, f *Finding) {
		f.Status = Proved
		gifts := 0
		for _, perm := range rules.Permissions {
			if !p.stands(f, string(perm), p.book.Permits(perm), p.book.Forbids(perm)) {
				return
			}
			if p.book.May(perm) != p.arena.And(p.book.Permits(perm), p.book.Forbids(perm).Not()) {
				f.Status, f.How = Refuted, string(perm)+" is not what permits give less what restrictions take"
				return
			}
			gifts++
		}
		for _, c := range rules.Caps {
			for _, l := range p.book.Caps(c.Name) {
				if !p.stands(f, c.Name, l.Holds) {
					f.At = place(l.Rule.At)
					return
				}
			}
			gifts++
		}
		f.How = fmt.Sprintf("by construction: %d answers are each one condition over facts that must be true in every completion; none reads an answer", gifts)
	})
	for slot := range p.book.Layout.Slots {
		if p.book.Layout.Slots[slot].Derive == nil {
			continue
		}
		p.add(Finding{Law: LawUnknown, What: p.book.Layout.Slots[slot].Name}, func(w *worker, f *Finding) { w.widens(f, slot) })
	}
}

// stands checks that conditions read facts and no answer, which could hide one.
func (p *prover) stands(f *Finding, name string, refs ...expression.Ref) bool {
	for _, ref := range refs {
		for _, s := range p.arena.Reads(ref) {
			if fact := p.book.Layout.Slots[s].Fact; fact.Stage != "" {
				f.Status, f.How = Refuted, name+" rests on "+fact.Name+", which is itself an answer"
				return false
			}
		}
	}
	return true
}

// widenings is how many pairs of boxes a derived fact is compared on.
const widenings = 200

// widens compares a derived fact on boxes and on boxes around them.
func (w *worker) widens(f *Finding, slot int) {
	l := w.book.Layout
	draw := rand.New(rand.NewPCG(uint64(slot), 7))
	rest := roots(l, slot)
	choices := make([][]expression.Range, len(rest))
	for i, s := range rest {
		choices[i] = w.readings(s, w.domain.At(s))
	}
	in, around := expression.NewBox(l), expression.NewBox(l)
	for n := range widenings {
		in.CopyFrom(w.domain)
		around.CopyFrom(w.domain)
		for i, s := range rest {
			a, b := choices[i][draw.IntN(len(choices[i]))], choices[i][draw.IntN(len(choices[i]))]
			wide := expression.Range{Low: min(a.Low, b.Low), High: max(a.High, b.High), Words: a.Words | b.Words}
			in.Set(s, a)
			switch draw.IntN(3) {
			case 0:
				around.Set(s, a)
			case 1:
				around.Set(s, wide)
			}
		}
		small, large := in.At(slot), around.At(slot)
		if in.Empty() || around.Empty() {
			continue
		}
		const slack = 1e-9
		if l.Slots[slot].Finite && small.Words&^large.Words != 0 ||
			!l.Slots[slot].Finite && (small.Low < large.Low-slack || small.High > large.High+slack) {
			f.Status = Refuted
			f.How = fmt.Sprintf("it narrows when what it rests on widens (pair %d: %v is not inside %v)", n, small, large)
			return
		}
	}
	f.Status, f.How = Proved, fmt.Sprintf("it widens with what it rests on: %d pairs of boxes", widenings)
}
