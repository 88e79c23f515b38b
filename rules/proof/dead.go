package proof

import (
	"fmt"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// dead asks of every rule and every row whether it can hold on some date.
// Answers of earlier stages are left free, so that what is shown dead is dead.
func (p *prover) dead() {
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		if !p.answersFor(r) {
			continue
		}
		p.alive(r.ID, place(r.At), acting(r), false)
		if r.Choose == nil {
			continue
		}
		for j := range r.Choose.Rows {
			row := &r.Choose.Rows[j]
			p.alive(row.ID, place(row.At), p.arena.And(r.Holds, row.Holds), j == len(r.Choose.Rows)-1)
		}
	}
}

// answersFor tells whether it is asked of a rule that it says something of its
// own. With a shop's rules over the shipped ones only the shop's are: a shop may
// tighten until a shipped rule has nothing left to say.
func (p *prover) answersFor(r *rules.Rule) bool { return r.Shop || p.shopRules == 0 }

func (p *prover) alive(id, at string, ref expression.Ref, last bool) {
	known, ref := p.settled(ref), p.picked(ref)
	p.add(Finding{Law: LawDead, What: id, At: at}, func(w *worker, f *Finding) {
		seen, concrete, settled := w.reach(known)
		if concrete {
			f.Status, f.How = Proved, "it holds for concrete facts"
			return
		}
		if known != ref {
			// Some answers are only given while something is not known.
			more, point, exact := w.reach(ref)
			if point {
				f.Status, f.How = Proved, "it holds while something is not known"
				return
			}
			seen, settled = max(seen, more), settled && exact
		}
		switch {
		case seen > 0:
			f.Status = Open
			f.How = fmt.Sprintf("it may hold in %s, but no readings were found that get there", counted(seen, "region"))
		case settled && last:
			f.Status, f.How = Proved, "it takes what the rows before it leave, and they leave nothing"
		case settled:
			f.Status, f.How = Refuted, "it can never hold: no facts make its condition true"
		default:
			f.Status, f.How = Open, fmt.Sprintf("not settled within %d regions", w.opts.Budget)
		}
	})
}

// reach looks for concrete facts under which a condition holds.
func (w *worker) reach(ref expression.Ref) (regions int, concrete, settled bool) {
	_, settled = w.search.Find(ref, w.anyDay, func(region *expression.Box) bool {
		regions++
		concrete = w.pointIn(region, ref)
		return concrete || regions == mostRegions
	})
	return regions, concrete, settled
}
