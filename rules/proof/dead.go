package proof

import (
	"fmt"

	"loosecell/rules/expression"
)

// dead asks of every rule and every row whether it can hold on some date.
// Answers of earlier stages are left free, so that what is shown dead is dead.
func (p *prover) dead() {
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		p.alive(r.ID, place(r.At), acting(r))
		if r.Choose == nil {
			continue
		}
		for j := range r.Choose.Rows {
			row := &r.Choose.Rows[j]
			p.alive(row.ID, place(row.At), p.arena.And(r.Holds, row.Holds))
		}
	}
}

func (p *prover) alive(id, at string, ref expression.Ref) {
	ref = p.settled(ref)
	p.add(Finding{Law: LawDead, What: id, At: at}, func(w *worker, f *Finding) {
		seen, concrete := 0, false
		_, settled := w.search.Find(ref, w.anyDay, func(region *expression.Box) bool {
			seen++
			concrete = w.pointIn(region, ref)
			return concrete || seen == mostRegions
		})
		switch {
		case concrete:
			f.Status, f.How = Proved, "it holds for concrete facts"
		case seen > 0:
			f.Status = Open
			f.How = fmt.Sprintf("it may hold in %s, but no readings were found that get there", counted(seen, "region"))
		case settled:
			f.Status, f.How = Refuted, "it can never hold: no facts make its condition true"
		default:
			f.Status, f.How = Open, fmt.Sprintf("not settled within %d regions", w.opts.Budget)
		}
	})
}
