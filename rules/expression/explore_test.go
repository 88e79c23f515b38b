package expression_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/book"
	"loosecell/rules/expression"
)

// anyRange draws a range of a slot around a value, so that the value is possible.
func anyRange(t *rapid.T, s *expression.Slot, x float64) expression.Range {
	if s.Finite {
		return expression.Range{Words: (rapid.Uint64().Draw(t, "also") & s.Domain.Words) | 1<<int(x)}
	}
	reach := rapid.SampledFrom([]float64{0, 0.5, 5, math.Inf(1)})
	low, high := x-reach.Draw(t, "below"), x+reach.Draw(t, "above")
	if s.Whole {
		low, high = math.Ceil(low), math.Floor(high)
	}
	return expression.Range{Low: max(s.Domain.Low, low), High: min(s.Domain.High, high)}
}

// A condition on a box covers what it is at every point of the box, derived
// facts included: the point follows from the parents, the box from their ranges.
func TestAbstractCoversConcrete(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cl := anyClause(t, l, allSlots(l), 4)
		cond := compile(t, c, cl)
		p := anyPoint(t, l, cl.cuts)
		wide := expression.NewBox(l)
		for i := range l.Slots {
			if l.Slots[i].Derive == nil {
				wide.Set(i, anyRange(t, &l.Slots[i], p[i]))
			}
		}
		narrow := wide.Clone()
		for _, i := range stated(l) {
			narrow.Narrow(i, exactly(&l.Slots[i], p[i]))
		}
		// What follows from a point may itself be a range: the state of charge
		// from a voltage. Then any value in it will do.
		for i := range l.Slots {
			s := &l.Slots[i]
			if s.Derive == nil {
				continue
			}
			r := narrow.At(i)
			p[i] = r.Low + (r.High-r.Low)*rapid.Float64Range(0, 1).Draw(t, "within")
			if s.Finite {
				p[i] = float64(slices.IndexFunc([]uint64{1, 2}, func(w uint64) bool { return r.Words&w != 0 }))
			}
			narrow.Narrow(i, exactly(s, p[i]))
		}
		if narrow.Empty() {
			return // the facts contradict each other: no such battery
		}
		if !wide.Contains(narrow) {
			t.Fatal("what follows from a point lies outside what follows from its box")
		}
		eval, explore := expression.NewEvaluator(c.Arena), expression.NewExplorer(c.Arena)
		eval.On(wide)
		is, is2 := eval.Value(cond.Ref), explore.Truth(cond.Ref, wide)
		at := asTruth(cl.holds(p))
		if is&at == 0 || is2&at == 0 {
			t.Fatalf("%s: %v at a point, %v on its box, %v explored", cl.text, at, is, is2)
		}
		if is2&^is != 0 {
			t.Fatalf("%s: %v on a box, yet exploring it finds %v", cl.text, is, is2)
		}
	})
}

// unknown makes up to six facts of a clause unknown on a box of one point and
// lists what is left open.
func unknown(t *rapid.T, l *expression.Layout, cl clause, b *expression.Box, p point) []int {
	var slots []int
	for s := range cl.cuts {
		slots = append(slots, s)
	}
	slices.Sort(slots)
	var open []int
	for _, s := range slots {
		if len(open) < 6 && rapid.IntRange(0, 4).Draw(t, "unknown") > 0 {
			b.Set(s, l.Slots[s].Domain)
			open = append(open, s)
		}
	}
	return open
}

// bruteForce is what a clause can be over every completion of the open slots.
func bruteForce(l *expression.Layout, cl clause, p point, open []int) expression.Truth {
	if len(open) == 0 {
		return asTruth(cl.holds(p))
	}
	var seen expression.Truth
	for _, x := range completions(&l.Slots[open[0]], cl.cuts[open[0]]) {
		p[open[0]] = x
		if seen |= bruteForce(l, cl, p, open[1:]); seen == expression.Open {
			break
		}
	}
	return seen
}

// Decide is exact: with up to six facts unknown it finds just what trying every
// completion finds, and never runs out of budget.
func TestDecideEqualsBruteForce(t *testing.T) {
	l := layout(t)
	facts := stated(l)
	settled, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		// Few facts, so that conditions meet the same one more than once.
		few := make([]int, 6)
		for i := range few {
			few[i] = rapid.SampledFrom(facts).Draw(t, "fact")
		}
		cl := anyClause(t, l, few, 5)
		cond := compile(t, c, cl)
		p := anyPoint(t, l, cl.cuts)
		b := boxAt(l, p)
		open := unknown(t, l, cl, b, p)
		explore := expression.NewExplorer(c.Arena)
		got, exact := explore.Decide(cond.Ref, b)
		want := bruteForce(l, cl, p, open)
		if got != want || !exact {
			t.Fatalf("%s with %d unknown: %v (exact %v), by trying every completion %v", cl.text, len(open), got, exact, want)
		}
		eval := expression.NewEvaluator(c.Arena)
		eval.On(b)
		if all++; want != expression.Open && eval.Value(cond.Ref) == expression.Open {
			settled++
		}
	})
	t.Logf("%d of %d conditions were settled by splitting alone", settled, all)
}

// Undecided names facts exactly while three-valued logic leaves a condition
// open, and only such as are unknown and stand in it.
func TestUndecidedNamesWhatIsMissing(t *testing.T) {
	l := layout(t)
	facts := stated(l)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cl := anyClause(t, l, facts, 3)
		cond := compile(t, c, cl)
		p := anyPoint(t, l, cl.cuts)
		b := boxAt(l, p)
		open := unknown(t, l, cl, b, p)
		eval := expression.NewEvaluator(c.Arena)
		eval.On(b)
		missing := expression.NewExplorer(c.Arena).Undecided(cond.Ref, b)
		if (eval.Value(cond.Ref) == expression.Open) != (len(missing) > 0) {
			t.Fatalf("%s is %v, undecided %v", cl.text, eval.Value(cond.Ref), missing)
		}
		for _, s := range missing {
			if !slices.Contains(open, s) {
				t.Fatalf("%s waits for %s, which is known", cl.text, l.Slots[s].Name)
			}
		}
	})
}

func TestDecide(t *testing.T) {
	l := layout(t)
	for _, c := range []struct {
		name, text string
		set        map[string]expression.Range
		want       expression.Truth
	}{
		{"a fact and its opposite", "battery.odour or not battery.odour", nil, expression.True},
		{"no number lies between neighbours", "battery.mass > '3 g' and battery.mass < '3 g'", nil, expression.False},
		{"a count has no value between 1 and 2", "battery.series_cells > 1 and battery.series_cells < 2", nil, expression.False},
		{"a count has one between 1 and 3", "battery.series_cells > 1 and battery.series_cells < 3", nil, expression.Open},
		{"a day follows the other", "battery.made > '2024-02-28' and battery.made < '2024-02-29'", nil, expression.False},
		{"the whole range", "battery.gauge_charge >= '0 %'", nil, expression.True},
		{"both ends of a range", "battery.gauge_charge >= '20 %' and battery.gauge_charge <= '30 %'",
			map[string]expression.Range{"battery.gauge_charge": {Low: 20, High: 30}}, expression.True},
		{"one step over the end", "battery.gauge_charge > '30 %'",
			map[string]expression.Range{"battery.gauge_charge": {Low: 20, High: 30}}, expression.False},
		// UN Manual of Tests and Criteria 38.3.2.3: a single-cell battery is a
		// cell; special provision 188: 20 Wh a cell, 100 Wh a battery. 15 Wh is
		// small either way.
		{"small as a cell and as a battery", "derived.unit == 'cell' and derived.rated_energy <= '20 Wh' or derived.unit == 'battery' and derived.rated_energy <= '100 Wh'",
			map[string]expression.Range{"battery.rated_energy": expression.Exactly(15)}, expression.True},
		{"40 Wh depends on it", "derived.unit == 'cell' and derived.rated_energy <= '20 Wh' or derived.unit == 'battery' and derived.rated_energy <= '100 Wh'",
			map[string]expression.Range{"battery.rated_energy": expression.Exactly(40)}, expression.Open},
	} {
		t.Run(c.name, func(t *testing.T) {
			comp := compiler(l)
			cond, err := comp.Compile(c.text)
			if err != nil {
				t.Fatal(err)
			}
			b := expression.NewBox(l)
			for _, s := range stated(l) {
				if r, ok := c.set[l.Slots[s].Name]; ok {
					b.Set(s, r)
				} else {
					b.MarkAbsent(s)
				}
			}
			got, exact := expression.NewExplorer(comp.Arena).Decide(cond.Ref, b)
			if got != c.want || !exact {
				t.Errorf("%s: %v (exact %v), want %v", c.text, got, exact, c.want)
			}
		})
	}
}

// Deciding leaves the box as it was.
func TestDecideLeavesTheBoxAlone(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cond := compile(t, c, anyClause(t, l, allSlots(l), 3))
		b := expression.NewBox(l)
		before := b.Clone()
		expression.NewExplorer(c.Arena).Decide(cond.Ref, b)
		if !before.Contains(b) || !b.Contains(before) || b.Empty() {
			t.Fatal("the box was changed")
		}
	})
}

// A spent budget answers open, never a half-truth.
func TestSpentBudgetIsOpen(t *testing.T) {
	l := layout(t)
	c := compiler(l)
	cond, err := c.Compile("battery.odour and battery.venting or not battery.odour or battery.odour and not battery.venting")
	if err != nil {
		t.Fatal(err)
	}
	explore := expression.NewExplorer(c.Arena)
	for budget, want := range map[int]expression.Truth{0: expression.Open, 100: expression.True} {
		explore.Budget = budget
		if got, exact := explore.Decide(cond.Ref, expression.NewBox(l)); got != want || exact != (want == expression.True) {
			t.Errorf("budget %d: %v, exact %v", budget, got, exact)
		}
	}
}

// The kernel works in memory it keeps.
func TestDecidingAllocatesNothing(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	box := expression.NewBox(b.Layout)
	eval := expression.NewEvaluator(b.Arena)
	explore := expression.NewExplorer(b.Arena)
	other := expression.NewBox(b.Layout)
	var refs []expression.Ref
	for _, r := range b.Rules() {
		refs = append(refs, r.Holds)
	}
	decide := func() {
		other.CopyFrom(box)
		eval.On(other)
		for _, r := range refs {
			eval.Value(r)
			explore.Truth(r, other)
		}
	}
	decide()
	if n := testing.AllocsPerRun(5, decide); n != 0 {
		t.Errorf("deciding %d rules allocates %v times", len(refs), n)
	}
}
