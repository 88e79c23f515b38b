package proof

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loosecell/rules/advice"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// goal is a condition that must have no completion, and how a run of a case
// shows that it has one.
type goal struct {
	bad   expression.Ref
	holds func(d *advice.Decided) (run string, ok bool)
}

// counter is a counter-example that was run.
type counter struct {
	yaml, on, run string
	by            []string
	kase          *facts.Case
	point         *expression.Box
}

// counterexample searches the domain for a region in which the goal's condition
// is true and makes a case of it. left is the number of regions for which no
// case was found, -1 when the budget was spent.
func (w *worker) counterexample(g goal) (found *counter, left int) {
	_, settled := w.search.Find(g.bad, w.domain, func(region *expression.Box) bool {
		left++
		if left > mostRegions {
			return true
		}
		if !w.pointIn(region, g.bad) {
			return false
		}
		found = w.confirm(g)
		return found != nil
	})
	switch {
	case found != nil:
		return found, 0
	case !settled && left == 0:
		return nil, -1
	}
	return nil, left
}

// confirm writes the worker's point down as a case, runs it, and takes out of
// it what it does not need.
func (w *worker) confirm(g goal) *counter {
	on := isoDay(w.point.At(w.law).Low)
	c := w.caseOf(g.bad, false)
	run, ok := w.shows(g, c, on)
	if !ok {
		// Models beside the rules may want to know more: the size of the room.
		c = w.caseOf(g.bad, true)
		if run, ok = w.shows(g, c, on); !ok {
			return nil
		}
	}
	names := c.Names()
	slices.Reverse(names)
	for _, name := range names {
		less := c.Clone()
		less.Unset(name)
		if r, ok := w.shows(g, less, on); ok {
			c, run = less, r
		}
	}
	return &counter{yaml: string(c.YAML()), on: on, run: run, by: w.ofTheShop(), kase: c, point: w.point.Clone()}
}

// shows runs a case as it would be read from its file.
func (w *worker) shows(g goal, c *facts.Case, on string) (string, bool) {
	read, err := facts.ParseCase(w.cat, c.Name, c.YAML())
	if err != nil {
		return "", false
	}
	d, err := advice.Decide(w.book, read, advice.Options{On: on, Now: time.Unix(0, 0)})
	if err != nil {
		return "", false
	}
	return g.holds(d)
}

// caseOf states the facts of the point that a condition rests on, or all of them.
func (w *worker) caseOf(ref expression.Ref, all bool) *facts.Case {
	l := w.book.Layout
	c := facts.NewCase(w.cat, "counter-example")
	need := map[string]bool{}
	for _, s := range w.arena.Reads(ref) {
		need[l.Slots[s].Fact.Name] = true
		if l.Slots[s].Derive != nil {
			for _, r := range roots(l, s) {
				need[l.Slots[r].Fact.Name] = true
			}
		}
	}
	for i := range w.cat.Facts {
		f := &w.cat.Facts[i]
		if !f.Statable() || !need[f.Name] && (!all || f.Kind == facts.Members) {
			continue
		}
		if v, ok := exact(l, w.point, f); ok {
			c.Set(f.Name, v)
		}
	}
	return w.consistent(c)
}

// consistent takes out readings that the loader finds to contradict others, as
// long as what is left says the same of everything rules read.
func (w *worker) consistent(c *facts.Case) *facts.Case {
	for range 8 {
		_, err := facts.ParseCase(w.cat, c.Name, c.YAML())
		var problems facts.Problems
		if err == nil || !asProblems(err, &problems) {
			break
		}
		taken := false
		for _, name := range []string{"battery.rated_energy", "battery.rated_capacity", "battery.nominal_voltage", "battery.charge_limit", "adhesive.pull_tabs", "adhesive.pull_tabs_torn", "job.tried"} {
			if c.Get(name).State == facts.Missing {
				continue
			}
			less := c.Clone()
			less.Unset(name)
			if _, err := facts.ParseCase(w.cat, c.Name, less.YAML()); err == nil {
				c, taken = less, true
				break
			}
		}
		if !taken {
			break
		}
	}
	return c
}

func asProblems(err error, into *facts.Problems) bool {
	p, ok := err.(facts.Problems)
	*into = p
	return ok
}

// ofTheShop lists the rules of a shop that change something at the point.
func (w *worker) ofTheShop() []string {
	var out []string
	w.eval.On(w.point)
	for i := range w.book.Rules() {
		r := &w.book.Rules()[i]
		if r.Shop && r.Say == nil && w.eval.Value(acting(r)) == expression.True {
			out = append(out, r.ID)
		}
	}
	return out
}

// commented puts lines of explanation over a case file.
func commented(lines []string, yaml string) string {
	var b strings.Builder
	for _, l := range lines {
		fmt.Fprintln(&b, "# "+l)
	}
	b.WriteString(yaml)
	return b.String()
}
