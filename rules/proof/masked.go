package proof

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/expression"
)

// masked asks of every rule that gives or takes something whether it ever does
// so where no other rule does the same. A rule that names the rule it stands
// beside says that this is on purpose.
func (p *prover) masked() {
	for i := range p.book.Rules() {
		r := &p.book.Rules()[i]
		if r.Holds == expression.Never || !p.answersFor(r) {
			continue
		}
		adds, rivals, ok := p.adds(r)
		if !ok {
			continue
		}
		p.add(Finding{Law: LawMasked, What: r.ID, At: place(r.At)}, func(w *worker, f *Finding) {
			possible, exact := w.search.Possible(adds, w.domain)
			switch {
			case possible && exact:
				f.Status, f.How = Proved, "it says something no other rule says"
			case possible:
				f.Status, f.How = Open, fmt.Sprintf("not settled within %d regions", w.opts.Budget)
			case len(r.Beside) > 0:
				f.Status, f.How = Proved, "it stands beside "+strings.Join(r.Beside, ", ")+" on purpose"
			case !w.everActs(r):
				f.Status, f.How = Proved, "it never acts, so it repeats nothing"
			default:
				f.Status, f.How = Refuted, "it never adds to "+w.maskers(r, rivals)+"; take it out, or say beside: which rule"
			}
		})
	}
}

func (w *worker) everActs(r *rules.Rule) bool {
	possible, _ := w.search.Possible(acting(r), w.domain)
	return possible
}

// adds is the condition under which a rule makes a difference to what rules of
// its effect say together, and the rules that may say the same.
func (p *prover) adds(r *rules.Rule) (ref expression.Ref, rivals []*rules.Rule, ok bool) {
	// together collects the conditions under which the others say as much.
	together := func(same func(o *rules.Rule) bool) expression.Ref {
		var any []expression.Ref
		for i := range p.book.Rules() {
			if o := &p.book.Rules()[i]; o.ID != r.ID && same(o) {
				any = append(any, acting(o))
				if !slices.Contains(rivals, o) {
					rivals = append(rivals, o)
				}
			}
		}
		return p.arena.Or(any...)
	}
	var others []expression.Ref // for each thing the rule says: when it is said anyhow
	switch {
	case r.Restrict != nil:
		for _, perm := range r.Restrict.Forbid {
			others = append(others, together(func(o *rules.Rule) bool {
				return o.Restrict != nil && slices.Contains(o.Restrict.Forbid, perm)
			}))
		}
		for name, value := range r.Restrict.Caps {
			others = append(others, together(func(o *rules.Rule) bool {
				v, ok := map[string]float64(nil)[name], false
				if o.Restrict != nil {
					v, ok = o.Restrict.Caps[name]
				}
				return ok && v <= value
			}))
		}
	case r.Permit != nil:
		for _, perm := range r.Permit {
			// A permit that is always forbidden adds nothing either.
			others = append(others, p.arena.Or(p.book.Forbids(perm), together(func(o *rules.Rule) bool { return slices.Contains(o.Permit, perm) })))
		}
	case r.Grade != nil:
		if r.Grade.Condition > 0 {
			others = append(others, together(func(o *rules.Rule) bool { return o.Grade != nil && o.Grade.Condition >= r.Grade.Condition }))
		}
		if r.Grade.Transport > 0 {
			others = append(others, together(func(o *rules.Rule) bool { return o.Grade != nil && o.Grade.Transport >= r.Grade.Transport }))
		}
	case r.Alarm != nil:
		others = append(others, together(func(o *rules.Rule) bool {
			return o.Alarm != nil && (o.Alarm.Verdict == r.Alarm.Verdict || o.Alarm.Verdict == "evacuate")
		}))
	case r.Fit != nil:
		for _, rung := range r.Fit {
			others = append(others, together(func(o *rules.Rule) bool { return slices.Contains(o.Fit, rung) }))
		}
	default:
		return 0, nil, false
	}
	return p.arena.And(acting(r), p.arena.And(others...).Not()), rivals, true
}

// maskers names one rule that says everything a rule says, if there is one.
func (w *worker) maskers(r *rules.Rule, rivals []*rules.Rule) string {
	var names []string
	for _, o := range rivals {
		// The arena is complete by now; a box narrowed to the rule would not be
		// exact, so each rival is asked about through the search alone.
		alone := true
		_, settled := w.search.Find(acting(r), w.domain, func(region *expression.Box) bool {
			w.eval.On(region)
			alone = w.eval.Value(acting(o)) == expression.True
			return !alone
		})
		if alone && settled {
			return o.ID
		}
		names = append(names, o.ID)
	}
	if len(names) > 4 {
		return fmt.Sprintf("what %d other rules say together", len(names))
	}
	return "what " + strings.Join(names, ", ") + " say together"
}
