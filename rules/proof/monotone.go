package proof

import (
	"fmt"
	"slices"
	"strings"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// given is something a sheet gives that must never grow when a fact gets worse.
type gift struct {
	name string
	may  expression.Ref
	runs func(d *advice.Decided) bool // a run gives it; nil: cannot be seen so
}

// gifts lists all permissions, the looser end of each cap, and the modes of the
// tables of carriage.
func (p *prover) gifts() []gift {
	var out []gift
	for _, perm := range rules.Permissions {
		if p.book.May(perm) != expression.Never {
			out = append(out, gift{string(perm), p.book.May(perm), func(d *advice.Decided) bool { return d.May[perm] == expression.True }})
		}
	}
	for _, c := range rules.Caps {
		var values []float64
		for _, l := range p.book.Caps(c.Name) {
			values = append(values, l.Value)
		}
		for _, v := range slices.Compact(values) {
			out = append(out, gift{fmt.Sprintf("%s over %g %s", c.Name, v, c.Unit), p.capped(c.Name, v).Not(), func(d *advice.Decided) bool {
				got, _, ok := p.book.Ask(d.Full, d.Alarm).Cap(c.Name)
				return !ok || got > v
			}})
		}
	}
	for _, m := range rules.Modes {
		if p.book.Table("ship."+m) == nil {
			continue
		}
		for _, words := range [][]string{{"yes"}, {"yes", "approval"}} {
			out = append(out, gift{name: "ship." + m + " " + strings.Join(words, " or "), may: p.settled(p.answered("ship."+m, oneOf(words...)))})
		}
	}
	return out
}

// doubt is a fact whose worsening a permission may grow with, as far as the
// signs of its atoms tell.
type doubt struct {
	slot int // the slot itself
	pair bool
}

// monotone asks of each gift whether it moves the wrong way with some fact.
func (p *prover) monotone() {
	for _, g := range p.gifts() {
		signs := p.arena.Polarities(g.may)
		var pairs []pairGoal
		bySign, byParent := 0, 0
		var readings []reading
		for slot := range p.book.Layout.Slots {
			s := &p.book.Layout.Slots[slot]
			if s.Fact.Worse == facts.NoOrder || s.Fact.Outside || s.Fact.Stage == "" && !s.Fact.Statable() || s.Member >= 0 {
				continue
			}
			polarity, reads := signs[slot]
			if reads {
				if wrongWay(polarity, s.Fact.Worse) {
					pairs = append(pairs, p.pairs(g, slot)...)
				} else {
					bySign++
				}
			}
			more, sure := p.throughDerived(g, signs, slot)
			readings, byParent = append(readings, more...), byParent+sure
		}
		p.add(Finding{Law: LawMonotone, What: g.name}, func(w *worker, f *Finding) {
			w.neverGrows(f, g, pairs, readings, bySign, byParent)
		})
	}
}

func wrongWay(p expression.Polarity, worse facts.Worse) bool {
	return worse == facts.HigherWorse && p&expression.Rises != 0 || worse == facts.LowerWorse && p&expression.Falls != 0
}

// pairGoal asks whether a gift is withheld in one region of a fact and given in
// the next worse one, all else equal.
type pairGoal struct {
	slot          int
	better, worse expression.Range
	bad           expression.Ref
}

func (p *prover) pairs(g gift, slot int) []pairGoal {
	s := &p.book.Layout.Slots[slot]
	regions := p.arena.Regions(slot, g.may)
	if s.Fact.Worse == facts.LowerWorse {
		slices.Reverse(regions)
	}
	var out []pairGoal
	for i := 1; i < len(regions); i++ {
		if bad := p.arena.Gains(g.may, slot, regions[i], regions[i-1]); bad != expression.Never {
			out = append(out, pairGoal{slot, regions[i-1], regions[i], bad})
		}
	}
	return out
}

// neverGrows settles the doubts about one gift.
func (w *worker) neverGrows(f *Finding, g gift, pairs []pairGoal, readings []reading, bySign, byParent int) {
	f.Status = Proved
	f.How = fmt.Sprintf("%s by sign", counted(bySign, "fact"))
	if byParent > 0 {
		f.How += fmt.Sprintf(", %d through derived facts by their declared sign", byParent)
	}
	for _, pair := range pairs {
		if !w.pairHolds(f, g, pair) {
			return
		}
	}
	if len(pairs) > 0 {
		f.How += fmt.Sprintf(", %s of regions where the sign does not tell (%s)", counted(len(pairs), "pair"), w.doubted(g, pairs))
	}
	n := 0
	for _, r := range readings {
		tried, wrong := w.readingHolds(r)
		n += tried
		if wrong != "" {
			f.Status, f.How = Open, wrong
			return
		}
	}
	if len(readings) > 0 {
		f.How += fmt.Sprintf("; %d pairs of readings behind derived facts agree", n)
	}
}

func (w *worker) pairHolds(f *Finding, g gift, pair pairGoal) bool {
	fact := w.book.Layout.Slots[pair.slot].Fact
	c, left := w.pairCounter(g, pair)
	switch {
	case c != nil:
		f.Status = Refuted
		f.How = fmt.Sprintf("it grows when %s gets worse: %s", fact.Name, w.doubted(g, []pairGoal{pair}))
		f.Case, f.On, f.Run = c.yaml, c.on, c.run
	case left != 0:
		f.Status = Open
		f.How = fmt.Sprintf("%s: worsening it could not be shown to leave this as it is: %s", fact.Name, w.doubted(g, []pairGoal{pair}))
	default:
		return true
	}
	return false
}

// pairCounter looks for two concrete cases that differ in one fact alone.
func (w *worker) pairCounter(g gift, pair pairGoal) (*counter, int) {
	slot := pair.slot
	fact := w.book.Layout.Slots[slot].Fact
	value := func(r expression.Range) facts.Value {
		x := usual(&w.book.Layout.Slots[slot], r)
		return facts.Value{State: facts.Stated, Low: x.Low, High: x.High, Words: x.Words}
	}
	worse := fact.FormatValue(value(pair.worse))
	goal := goal{bad: pair.bad}
	if g.runs == nil || !fact.Statable() {
		// Carriage is decided after the grades; its regions are shown, not run.
		return nil, w.regionsOf(pair.bad)
	}
	var withheld *facts.Case
	goal.holds = func(*advice.Decided) (string, bool) { return "", false }
	c, left := (*counter)(nil), 0
	_, settled := w.search.Find(pair.bad, w.domain, func(region *expression.Box) bool {
		left++
		if left > mostRegions || !w.pointIn(region, pair.bad) {
			return left > mostRegions
		}
		withheld = w.caseOf(g.may)
		withheld.Set(fact.Name, value(pair.better))
		on := isoDay(w.point.At(w.law).Low)
		grows := func(c *facts.Case) bool {
			other := c.Clone()
			other.Set(fact.Name, value(pair.worse))
			return w.runs(g, other, on) == yes && w.runs(g, c, on) == no
		}
		if !grows(withheld) {
			return false
		}
		names := withheld.Names()
		slices.Reverse(names)
		for _, name := range names {
			if less := withheld.Clone(); name != fact.Name {
				less.Unset(name)
				if grows(less) {
					withheld = less
				}
			}
		}
		c = &counter{on: on, kase: withheld, run: g.name + ": no; with " + fact.Name + ": " + worse + ": yes",
			yaml: commented([]string{"Withheld as it stands; with " + fact.Name + ": " + worse + " it is given."}, string(withheld.YAML()))}
		return true
	})
	switch {
	case c != nil:
		return c, 0
	case !settled && left == 0:
		return nil, -1
	}
	return nil, left
}

const (
	unclear = iota
	no
	yes
)

// runs tells what a run of a case says of a gift.
func (w *worker) runs(g gift, c *facts.Case, on string) int {
	out := unclear
	w.shows(goal{holds: func(d *advice.Decided) (string, bool) {
		out = no
		if g.runs(d) {
			out = yes
		}
		return "", true
	}}, c, on)
	return out
}

// regionsOf counts regions in which a condition is true, up to one; -1: budget.
func (w *worker) regionsOf(ref expression.Ref) int {
	possible, exact := w.search.Possible(ref, w.domain)
	switch {
	case !exact:
		return -1
	case possible:
		return 1
	}
	return 0
}

// doubted names the facts and the rules whose conditions move the wrong way.
func (w *worker) doubted(g gift, pairs []pairGoal) string {
	var out []string
	add := func(s string) {
		if !slices.Contains(out, s) && len(out) < 4 {
			out = append(out, s)
		}
	}
	for _, pair := range pairs {
		fact := w.book.Layout.Slots[pair.slot].Fact
		for i := range w.book.Rules() {
			r := &w.book.Rules()[i]
			polarity := w.arena.Polarities(acting(r))[pair.slot]
			if polarity == 0 || !concerns(r, g.name) {
				continue
			}
			restricts := r.Restrict != nil
			if restricts && wrongWay(flipped(polarity), fact.Worse) || !restricts && wrongWay(polarity, fact.Worse) {
				add(fmt.Sprintf("%s in %s, %s", fact.Name, r.ID, place(r.At)))
			}
		}
	}
	if out == nil {
		for _, pair := range pairs {
			add(w.book.Layout.Slots[pair.slot].Fact.Name)
		}
	}
	return strings.Join(out, "; ")
}

func flipped(p expression.Polarity) expression.Polarity { return p>>1 | p&1<<1 }

// concerns tells that a rule permits or restricts what a gift is about.
func concerns(r *rules.Rule, name string) bool {
	perm := rules.Permission(name)
	if slices.Contains(r.Permit, perm) || r.Restrict != nil && slices.Contains(r.Restrict.Forbid, perm) {
		return true
	}
	if r.Restrict != nil {
		for c := range r.Restrict.Caps {
			if strings.HasPrefix(name, c+" ") {
				return true
			}
		}
	}
	return false
}
