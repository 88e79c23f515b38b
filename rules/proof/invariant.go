package proof

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/expression"
)

// part is one question that a statement makes: the condition that must have no
// completion, and how a run of a case shows that it has one.
type part struct {
	name  string
	bad   expression.Ref
	shows func(d *advice.Decided, q *rules.Question) (string, bool)
}

func (p *prover) invariants() ([]book.Invariant, error) {
	if !p.wants(LawInvariant) {
		return nil, nil
	}
	files := p.opts.Invariants
	if !p.opts.Bare {
		files = append([]book.File{book.ShippedInvariants()}, files...)
	}
	return book.Invariants(p.book, p.arena, files...)
}

// hold makes a question of each statement.
func (p *prover) hold(statements []book.Invariant) {
	for _, s := range statements {
		parts := p.parts(&s)
		p.add(Finding{Law: LawInvariant, What: s.ID, At: place(s.At), Because: s.Because}, func(w *worker, f *Finding) {
			f.Status, f.How = Proved, fmt.Sprintf("no completion of %s breaks it", counted(len(parts), "question"))
			for _, part := range parts {
				w.refute(f, part, s.When.Ref)
				if f.Status != Proved {
					return
				}
			}
		})
	}
}

// refute looks for a case that breaks one part of a statement.
func (w *worker) refute(f *Finding, part part, when expression.Ref) {
	goal := goal{bad: part.bad, holds: func(d *advice.Decided) (string, bool) {
		q := w.book.Ask(d.Full, d.Alarm)
		if w.certain(when, d.Full) != expression.True {
			return "", false
		}
		return part.shows(d, q)
	}}
	c, left := w.counterexample(goal)
	switch {
	case c != nil:
		f.Status, f.How = Refuted, part.name
		f.Case, f.On, f.Run, f.By = c.yaml, c.on, c.run, c.by
	case left > 0:
		f.Status = Open
		f.How = fmt.Sprintf("%s: %s could not be ruled out, and no concrete case was found in them", part.name, counted(left, "region"))
	case left < 0:
		f.Status, f.How = Open, fmt.Sprintf("%s: not settled within %d regions", part.name, w.opts.Budget)
	}
}

// certain decides a condition of the prover's own arena on a box.
func (w *worker) certain(ref expression.Ref, b *expression.Box) expression.Truth {
	x := expression.NewExplorer(w.arena)
	return x.Truth(ref, b)
}

// parts splits a statement into questions.
func (p *prover) parts(s *book.Invariant) []part {
	var out []part
	add := func(name string, is expression.Ref, shows func(*advice.Decided, *rules.Question) (string, bool)) {
		if s.Always {
			is = is.Not()
		}
		out = append(out, part{name: name, bad: p.arena.And(s.When.Ref, is), shows: shows})
	}
	c := &s.Claim
	for _, perm := range c.Permit {
		add(string(perm)+" is "+given(!s.Always), p.book.May(perm), func(d *advice.Decided, _ *rules.Question) (string, bool) {
			return fmt.Sprintf("%s may: %v", perm, mayWord(d.May[perm])), (d.May[perm] == expression.True) != s.Always
		})
	}
	for _, perm := range c.Offer {
		add(string(perm)+" is "+other(s.Always)+"offered", p.book.Permits(perm), func(_ *advice.Decided, q *rules.Question) (string, bool) {
			n := 0
			for _, offer := range q.For(perm) {
				if offer.Truth == expression.True {
					n++
				}
			}
			return fmt.Sprintf("rules that offer %s: %d, whatever else the sheet finds against it", perm, n), (n > 0) != s.Always
		})
	}
	for _, perm := range c.Forbid {
		add("nothing stands against "+string(perm), p.book.Forbids(perm), func(_ *advice.Decided, q *rules.Question) (string, bool) {
			n := len(q.Against(perm))
			return fmt.Sprintf("restrictions against %s: %d, even if the sheet finds no offer of it", perm, n), (n > 0) != s.Always
		})
	}
	if c.Alarm != "" {
		add("no alarm says "+c.Alarm, p.alarmed(c.Alarm), func(d *advice.Decided, _ *rules.Question) (string, bool) {
			return "verdict: " + d.Verdict, slices.ContainsFunc(d.Alarms, func(a rules.Finding) bool {
				return c.Alarm == "stop" || a.Rule.Alarm.Verdict == c.Alarm
			}) != s.Always
		})
	}
	if c.Grade != nil {
		add("the grade is not reached", p.graded(*c.Grade), func(d *advice.Decided, _ *rules.Question) (string, bool) {
			reached := d.Graded.Condition >= c.Grade.Condition && d.Graded.Transport >= c.Grade.Transport
			return fmt.Sprintf("condition %s, transport state %s", p.rank("answer.condition", d.Graded.Condition),
				p.rank("answer.transport_state", d.Graded.Transport)), reached != s.Always
		})
	}
	for name, value := range c.Caps {
		add("the cap "+name+" is looser", p.capped(name, value), func(_ *advice.Decided, q *rules.Question) (string, bool) {
			got, _, ok := q.Cap(name)
			if !ok {
				return name + " is not capped", s.Always
			}
			return fmt.Sprintf("%s is capped at %g", name, got), (got <= value) != s.Always
		})
	}
	p.planned(c, s.Always, add)
	return out
}

// planned are the parts about what is picked from what is permitted; runs show
// them where the case reaches the answers they read.
func (p *prover) planned(c *book.Claim, always bool, add func(string, expression.Ref, func(*advice.Decided, *rules.Question) (string, bool))) {
	if c.Hold != nil {
		add("nothing holds the verdict for "+strings.Join(c.Hold, " or "), p.holding(c.Hold, c.Kind),
			func(d *advice.Decided, _ *rules.Question) (string, bool) {
				held := slices.ContainsFunc(d.Holds, func(h rules.Finding) bool {
					return slices.Contains(c.Hold, h.Rule.Hold.Fact) && (c.Kind == "" || h.Rule.Hold.Kind == c.Kind)
				})
				return "verdict: " + d.Verdict, held != always
			})
	}
	for _, id := range c.Says {
		holds, _ := p.book.Spoken(id)
		add("rule "+id+" "+speaks(!always), holds, func(_ *advice.Decided, q *rules.Question) (string, bool) {
			t := q.Explore(holds)
			return fmt.Sprintf("%s holds: %v", id, t), t.Possible() != always
		})
	}
	for _, rung := range c.Fit {
		add("rung "+rung+" "+applies(!always), p.book.Fits(rung), func(d *advice.Decided, _ *rules.Question) (string, bool) {
			return fmt.Sprintf("%s fits: %s", rung, mayWord(d.Fits[rung])), (d.Fits[rung] == expression.True) != always
		})
	}
	if c.Answer != "" {
		matches := oneOf(c.Values...)
		add(c.Answer+" is "+other(always)+"one of "+strings.Join(c.Values, ", "), p.answered(c.Answer, matches),
			func(_ *advice.Decided, q *rules.Question) (string, bool) {
				row, _ := q.Choose(c.Answer)
				if row == nil {
					return "no table answers " + c.Answer, false
				}
				return c.Answer + ": " + word(row.Value), matches(row.Value) != always
			})
	}
}

func (p *prover) rank(fact string, rank int) string {
	f, _ := p.cat.Lookup(fact)
	return f.Words[rank]
}

func mayWord(t expression.Truth) string {
	return map[expression.Truth]string{expression.True: "yes", expression.False: "no"}[t] + map[bool]string{true: "open"}[t == expression.Open]
}

func given(yes bool) string {
	if yes {
		return "permitted"
	}
	return "not permitted"
}

func speaks(yes bool) string {
	if yes {
		return "speaks"
	}
	return "is silent"
}

func applies(yes bool) string {
	if yes {
		return "applies"
	}
	return "does not apply"
}

func other(always bool) string {
	if always {
		return "not "
	}
	return ""
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
