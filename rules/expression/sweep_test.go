package expression_test

import (
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/expression"
)

// A sweep over many conditions finds of each what an evaluator finds of it
// alone, on any box, and so on a box after the next.
func TestSweepAgreesWithEvaluator(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		asked := []expression.Ref{expression.Never, expression.Always}
		cuts := map[int][]float64{}
		for range rapid.IntRange(1, 60).Draw(t, "conditions") {
			cl := anyClause(t, l, allSlots(l), 4)
			for s, at := range cl.cuts {
				cuts[s] = append(cuts[s], at...)
			}
			ref := compile(t, c, cl).Ref
			if rapid.Bool().Draw(t, "asked") { // else it only shares parts with the others
				asked = append(asked, ref, ref.Not())
			}
		}
		sweep, eval := expression.NewSweep(c.Arena, asked...), expression.NewEvaluator(c.Arena)
		b := expression.NewBox(l)
		for range 3 {
			p := anyPoint(t, l, cuts)
			for i := range l.Slots {
				if l.Slots[i].Derive == nil && rapid.Bool().Draw(t, "stated") {
					b.Set(i, anyRange(t, &l.Slots[i], p[i]))
				}
			}
			sweep.On(b)
			eval.On(b)
			for _, ref := range asked {
				if got, want := sweep.Value(ref), eval.Value(ref); got != want {
					t.Fatalf("condition %d of %d: swept %v, evaluated %v", ref, len(asked), got, want)
				}
			}
		}
	})
}

// Ranges on which nothing lies are read as an evaluator reads them.
func TestSweepOfWhatCannotBe(t *testing.T) {
	l := layout(t)
	c := compiler(l)
	var asked []expression.Ref
	for _, text := range []string{"battery.temperature > '40 °C'", "battery.place == 'removed'"} {
		cond, err := c.Compile(text)
		if err != nil {
			t.Fatal(err)
		}
		asked = append(asked, cond.Ref)
	}
	b := expression.NewBox(l)
	b.Set(l.MustSlot("battery.temperature"), expression.Range{Low: 50, High: 30})
	b.Set(l.MustSlot("battery.place"), expression.Range{})
	sweep, eval := expression.NewSweep(c.Arena, asked...), expression.NewEvaluator(c.Arena)
	sweep.On(b)
	eval.On(b)
	for _, ref := range asked {
		if got, want := sweep.Value(ref), eval.Value(ref); got != want {
			t.Errorf("condition %d: swept %v, evaluated %v", ref, got, want)
		}
	}
}
