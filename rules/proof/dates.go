package proof

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// dates asks of every table whether, on each stretch of days between two dates
// that any rule names, it answers with one row for each set of facts, and
// whether its last row, which takes everything, ever fills in for an edition
// that is missing between two others.
func (p *prover) dates() {
	cuts := p.stretches()
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		if r.Choose == nil {
			continue
		}
		unique := p.oneRowEach(r)
		places := p.jurisdictions(r)
		p.add(Finding{Law: LawDates, What: r.Choose.Answer, At: place(r.At)}, func(w *worker, f *Finding) {
			if unique != "" {
				f.Status, f.How = Refuted, unique
				return
			}
			f.Status = Proved
			f.How = fmt.Sprintf("one row each by construction; no gap over %s of days", counted(len(cuts), "span"))
			if len(places) > 1 {
				f.How += fmt.Sprintf(" in %d jurisdictions", len(places))
			}
			for _, in := range places {
				if gap := w.gap(r, cuts, in); gap != "" {
					f.Status, f.How = Refuted, gap
					return
				}
			}
		})
	}
	p.lapses()
}

// stretches lists the spans of days between which no rule changes.
func (p *prover) stretches() []expression.Range {
	var all []expression.Ref
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		all = append(all, r.Holds)
		if r.Choose != nil {
			for j := range r.Choose.Rows {
				all = append(all, r.Choose.Rows[j].Holds)
			}
		}
	}
	within := p.domain.At(p.law)
	var out []expression.Range
	for _, r := range p.arena.Regions(p.law, all...) {
		if r.High >= within.Low && r.Low <= within.High {
			out = append(out, expression.Range{Low: max(r.Low, within.Low), High: min(r.High, within.High)})
		}
	}
	return out
}

// oneRowEach checks that the rows were lowered so that each excludes those
// before it and the last takes the rest; "" if so.
func (p *prover) oneRowEach(r *rules.Rule) string {
	left := expression.Always
	for i := range r.Choose.Rows {
		row := &r.Choose.Rows[i]
		whole := p.arena.And(row.When.Ref, p.window(row.From, row.Until))
		if row.Holds != p.arena.And(left, whole) {
			return "row " + row.ID + " is not what it says less the rows before it"
		}
		left = p.arena.And(left, whole.Not())
	}
	if last := &r.Choose.Rows[len(r.Choose.Rows)-1]; last.When.Ref != expression.Always || last.From != "" || last.Until != "" {
		return "the last row " + last.ID + " does not take everything, so that the table may have no answer"
	}
	return ""
}

// window is the condition that the law is read within [from, until).
func (p *prover) window(from, until string) expression.Ref {
	in := expression.Always
	if from != "" {
		in = p.arena.And(in, p.arena.Under(p.law, dayOf(from)).Not())
	}
	if until != "" {
		in = p.arena.And(in, p.arena.Under(p.law, dayOf(until)))
	}
	return in
}

// jurisdictions lists the words under which a table is asked: each country's
// law where it, or a table it points to, reads the jurisdiction.
func (p *prover) jurisdictions(r *rules.Rule) []uint64 {
	slot := p.book.Layout.MustSlot("dispatch.jurisdiction")
	if !strings.HasPrefix(r.Choose.Answer, "ship.") && !strings.HasPrefix(r.Choose.Answer, "waste.") {
		return []uint64{p.book.Layout.Slots[slot].Domain.Words}
	}
	var out []uint64
	for i := range p.book.Layout.Slots[slot].Fact.Words {
		out = append(out, 1<<i)
	}
	return out
}

// gap looks for a stretch of days on which only the last row of a dated table
// can answer, while other rows answer before and after it.
func (w *worker) gap(r *rules.Rule, cuts []expression.Range, jurisdiction uint64) string {
	if len(r.Choose.Rows) < 2 || !slices.ContainsFunc(r.Choose.Rows, func(row rules.Row) bool { return row.From != "" || row.Until != "" }) {
		return ""
	}
	if see(r.Choose.Rows[len(r.Choose.Rows)-1].Value) != "" {
		return ""
	}
	box := w.domain.Clone()
	slot := w.book.Layout.MustSlot("dispatch.jurisdiction")
	box.Set(slot, expression.Range{Words: jurisdiction})
	bare := make([]bool, len(cuts))
	for i, days := range cuts {
		box.Set(w.law, days)
		bare[i] = true
		for j := range r.Choose.Rows[:len(r.Choose.Rows)-1] {
			if possible, _ := w.search.Possible(r.Choose.Rows[j].Holds, box); possible {
				bare[i] = false
				break
			}
		}
	}
	first, last := slices.Index(bare, false), len(bare)-1
	for last >= 0 && bare[last] {
		last--
	}
	if first < 0 {
		return ""
	}
	for i := 0; i < last; i++ {
		if bare[i] {
			f := w.book.Layout.Slots[slot].Fact
			return fmt.Sprintf("from %s to %s only its last row answers (jurisdiction %s)",
				isoDay(cuts[i].Low), isoDay(cuts[i].High), strings.Join(f.Names(jurisdiction), ", "))
		}
	}
	return ""
}

// lapses asks of rules of the same effect that follow one another whether a day
// between them is left out: one ends, another of its topic and effect begins
// later, and nothing of theirs holds in between.
func (p *prover) lapses() {
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		if r.Until == "" || r.Shop || r.Choose != nil {
			continue
		}
		p.add(Finding{Law: LawDates, What: r.ID, At: place(r.At)}, func(_ *worker, f *Finding) {
			f.Status, f.How = Proved, "it ends on "+r.Until+" and nothing takes its place later"
			for j := range p.book.Rules() {
				o := &p.book.Rules()[j]
				if o.Topic != r.Topic || o.EffectName() != r.EffectName() || o.When.Ref != r.When.Ref || o == r {
					continue
				}
				switch {
				case o.From == r.Until:
					f.How = "rule " + o.ID + " takes its place on " + r.Until
					return
				case o.From > r.Until:
					f.Status, f.How = Refuted, "from "+r.Until+" until "+o.From+" neither it nor rule "+o.ID+" holds"
				}
			}
		})
	}
}
