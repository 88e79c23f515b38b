package proof

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// gift is something a sheet gives that must never grow when a fact gets worse.
type gift struct {
	name  string
	may   expression.Ref
	asked func(q *rules.Question, d *advice.Decided) bool // a run gives it
	mode  string                                          // carriage: the mode, else ""
	exact expression.Ref                                  // carriage: may, with the grades spelled out in facts
}

// carried is the answer of a table of carriage that counts as given.
const carried = "yes"

// gifts lists all permissions, the looser end of each cap, and the modes of the
// tables of carriage.
func (p *prover) gifts() []gift {
	var out []gift
	for _, perm := range rules.Permissions {
		if p.book.May(perm) != expression.Never {
			out = append(out, gift{name: string(perm), may: p.book.May(perm), asked: func(_ *rules.Question, d *advice.Decided) bool {
				return d.May[perm] == expression.True
			}})
		}
	}
	for _, c := range rules.Caps {
		var values []float64
		for _, l := range p.book.Caps(c.Name) {
			values = append(values, l.Value)
		}
		for _, v := range slices.Compact(values) {
			out = append(out, gift{name: fmt.Sprintf("%s over %g %s", c.Name, v, c.Unit), may: p.capped(c.Name, v).Not(),
				asked: func(q *rules.Question, _ *advice.Decided) bool {
					got, _, ok := q.Cap(c.Name)
					return !ok || got > v
				}})
		}
	}
	for _, m := range rules.Modes {
		if p.book.Table("ship."+m) == nil {
			continue
		}
		// An approval that a competent authority may give is no permission.
		table := p.answered("ship."+m, oneOf(carried))
		out = append(out, gift{name: "ship." + m, mode: m, may: p.byGrade(table), exact: p.settled(table)})
	}
	return out
}

// papers are the facts about a battery's papers, and how they stand where it is
// asked whether damage opens a mode: damaged batteries go without some of them,
// so that only a battery that has them all can be compared with.
var papers = map[string]string{"battery.test_summary": "yes", "battery.wh_printed": "yes", "dispatch.prototype": "no"}

// within is the domain a gift is asked over.
func (p *prover) within(g gift) *expression.Box {
	if g.mode == "" {
		return p.domain
	}
	b := p.domain.Clone()
	for name, word := range papers {
		slot := p.book.Layout.MustSlot(name)
		if i, ok := p.book.Layout.Slots[slot].Fact.Word(word); ok {
			b.Set(slot, expression.Word(i))
		}
	}
	return b
}

// monotone asks of each gift whether it moves the wrong way with some fact.
func (p *prover) monotone() {
	for _, g := range p.gifts() {
		q := &question{gift: g, domain: p.within(g), signs: p.arena.Polarities(g.may)}
		for slot := range p.book.Layout.Slots {
			s := &p.book.Layout.Slots[slot]
			switch {
			case s.Fact.Worse == facts.NoOrder || s.Member >= 0:
			case s.Fact.Statable():
				p.directly(q, slot)
				p.throughGrades(q, slot)
				p.throughDerived(q, slot)
			case s.Fact.Stage == facts.StageDecide:
				p.directly(q, slot)
			}
		}
		p.add(Finding{Law: LawMonotone, What: g.name}, func(w *worker, f *Finding) { w.neverGrows(f, q) })
	}
}

// question is what has to be asked so that a gift is known never to grow when
// a fact gets worse.
type question struct {
	gift
	domain   *expression.Box
	signs    map[int]expression.Polarity
	bySign   int // facts that their sign settles
	byParent int // facts that act through derived ones, by declared sign
	pairs    []pairGoal
	derived  map[int][]pairGoal // derived slots with both signs: never grows as they rise
	readings []reading
}

// whole is the gift with nothing left out of the facts it rests on.
func (q *question) whole() expression.Ref {
	if q.mode != "" {
		return q.exact
	}
	return q.may
}

// directly settles by sign how a gift moves with a fact, or asks by pairs.
func (p *prover) directly(q *question, slot int) {
	polarity, reads := q.signs[slot]
	switch worse := p.book.Layout.Slots[slot].Fact.Worse; {
	case !reads:
	case wrongWay(polarity, worse):
		q.pairs = append(q.pairs, p.pairs(q.may, slot, worse)...)
	default:
		q.bySign++
	}
}

// throughGrades sees to the facts that reach a mode of carriage through the
// grades. Where the grades only rise as the fact gets worse, it is enough that
// the mode never grows as they rise, which is asked of the answers themselves;
// where the sign does not tell, the whole is asked in facts.
func (p *prover) throughGrades(q *question, slot int) {
	if q.mode == "" {
		return
	}
	worse := p.book.Layout.Slots[slot].Fact.Worse
	for _, r := range p.ranks {
		polarity := p.arena.Polarities(r.facts)[slot]
		if wrongWay(flipped(polarity), worse) {
			q.pairs = append(q.pairs, p.pairs(q.exact, slot, worse)...)
			return
		}
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

func (p *prover) pairs(may expression.Ref, slot int, worse facts.Worse) []pairGoal {
	regions := p.arena.Regions(slot, may)
	if worse == facts.LowerWorse {
		slices.Reverse(regions)
	}
	var out []pairGoal
	for i := 1; i < len(regions); i++ {
		if bad := p.arena.Gains(may, slot, regions[i], regions[i-1]); bad != expression.Never {
			out = append(out, pairGoal{slot, regions[i-1], regions[i], bad})
		}
	}
	return out
}

// neverGrows settles the doubts about one gift.
func (w *worker) neverGrows(f *Finding, q *question) {
	f.Status = Proved
	f.How = fmt.Sprintf("%s by sign", counted(q.bySign, "fact"))
	if q.mode != "" {
		f.How = "for a battery with all its papers (test summary, watt-hours printed, no prototype), since the law asks a damaged one for fewer: " + f.How
	}
	for _, pair := range q.pairs {
		if !w.pairHolds(f, q, pair) {
			return
		}
	}
	if len(q.pairs) > 0 {
		f.How += fmt.Sprintf(", %s of regions where the sign does not tell (%s)", counted(len(q.pairs), "pair"), w.doubted(q.gift, q.pairs))
	}
	falls := map[int]bool{} // derived slots with both signs that the gift falls with
	for d, pairs := range q.derived {
		falls[d] = w.gradesRise(q, d)
		for _, pair := range pairs {
			if possible, _ := w.search.Possible(pair.bad, q.domain); possible {
				falls[d] = false
			}
		}
	}
	tried, worst := 0, ""
	for _, r := range q.readings {
		if r.both && !falls[r.derived] {
			r.up = false
			worst = fmt.Sprintf("it can grow with %s", w.book.Layout.Slots[r.derived].Name)
		}
		n, wrong := w.readingHolds(r)
		tried += n
		if wrong != "" {
			f.Status, f.How = Open, wrong
			if worst != "" {
				f.How += "; " + worst
			}
			return
		}
	}
	if q.byParent > 0 {
		f.How += fmt.Sprintf("; %s through derived facts: by their declared sign, and %d pairs of readings agree", counted(q.byParent, "way"), tried)
	}
}

// gradesRise tells that the grades a mode rests on only rise with a slot.
func (w *worker) gradesRise(q *question, slot int) bool {
	if q.mode == "" {
		return true
	}
	for _, r := range w.ranks {
		if w.arena.Polarities(r.facts)[slot]&expression.Falls != 0 {
			return false
		}
	}
	return true
}

func (w *worker) pairHolds(f *Finding, q *question, pair pairGoal) bool {
	fact := w.book.Layout.Slots[pair.slot].Fact
	g := q.gift
	c, left := w.pairCounter(q, pair)
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
func (w *worker) pairCounter(q *question, pair pairGoal) (*counter, int) {
	slot, g := pair.slot, q.gift
	fact := w.book.Layout.Slots[slot].Fact
	value := func(r expression.Range) facts.Value {
		x := usual(&w.book.Layout.Slots[slot], r)
		return facts.Value{State: facts.Stated, Low: x.Low, High: x.High, Words: x.Words}
	}
	worse := fact.FormatValue(value(pair.worse))
	var withheld *facts.Case
	c, left := (*counter)(nil), 0
	_, settled := w.search.Find(pair.bad, q.domain, func(region *expression.Box) bool {
		left++
		if left > mostRegions || !w.pointIn(region, pair.bad) {
			return left > mostRegions
		}
		withheld = w.caseOf(q.whole(), false)
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
	read, err := facts.ParseCase(w.cat, c.Name, c.YAML())
	if err != nil {
		return unclear
	}
	options := advice.Options{On: on, Now: time.Unix(0, 0)}
	if g.mode != "" {
		return w.carried(g, read, options)
	}
	d, err := advice.Decide(w.book, read, options)
	if err != nil {
		return unclear
	}
	if g.asked(w.book.Ask(d.Full, d.Alarm), d) {
		return yes
	}
	return no
}

// carried tells what a run of a case says of a mode of carriage.
func (w *worker) carried(g gift, c *facts.Case, options advice.Options) int {
	out, err := advice.Carry(w.book, c, options)
	if err != nil {
		return unclear
	}
	for _, s := range out.Shipping {
		if s.Mode != g.mode {
			continue
		}
		if s.Allowed == carried {
			return yes
		}
		return no
	}
	return unclear
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
			if !concerns(r, g.name) {
				continue
			}
			polarity := w.arena.Polarities(acting(r))[pair.slot]
			if polarity == 0 {
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
