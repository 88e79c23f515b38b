package expression_test

import (
	"testing"

	"github.com/expr-lang/expr/vm"
	"pgregory.net/rapid"

	"loosecell/rules/book"
	"loosecell/rules/expression"
)

// anyPoint draws one value for every slot. Numbers are drawn at what they are
// compared with and one step either side as often as anywhere else.
func anyPoint(t *rapid.T, l *expression.Layout, cuts map[int][]float64) point {
	seed := rapid.Uint64().Draw(t, "point")
	next := func(n int) int {
		seed = seed*6364136223846793005 + 1442695040888963407
		return int(seed>>33) % n
	}
	p := make(point, len(l.Slots))
	for i := range l.Slots {
		s := &l.Slots[i]
		if at := completions(s, cuts[i]); s.Finite || len(cuts[i]) > 0 && next(2) == 0 {
			p[i] = at[next(len(at))]
			continue
		}
		p[i] = s.Domain.Low + (s.Domain.High-s.Domain.Low)*float64(next(1<<20))/(1<<20)
		if s.Whole {
			p[i] = float64(int(p[i]))
		}
	}
	return p
}

// boxAt is a box of one point. Derived facts are set like the others: here only
// the conditions are under test, not what follows from what.
func boxAt(l *expression.Layout, p point) *expression.Box {
	b := expression.NewBox(l)
	for i := range l.Slots {
		if l.Slots[i].Derive == nil {
			b.Set(i, exactly(&l.Slots[i], p[i]))
		}
	}
	for i := range l.Slots {
		if l.Slots[i].Derive != nil {
			b.Set(i, exactly(&l.Slots[i], p[i]))
		}
	}
	return b
}

func allSlots(l *expression.Layout) []int {
	out := make([]int, len(l.Slots))
	for i := range out {
		out[i] = i
	}
	return out
}

func asTruth(b bool) expression.Truth {
	if b {
		return expression.True
	}
	return expression.False
}

// The lowered form says what expr's machine says, and both say what the writer
// of the condition meant.
func TestLoweredFormAgreesWithTheMachine(t *testing.T) {
	l := layout(t)
	oracle := expression.NewOracle(l)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cl := anyClause(t, l, allSlots(l), 4)
		cond := compile(t, c, cl)
		program, err := oracle.Program(cond)
		if err != nil {
			t.Fatalf("%s: %v", cl.text, err)
		}
		eval := expression.NewEvaluator(c.Arena)
		for range 20 {
			p := anyPoint(t, l, cl.cuts)
			b := boxAt(l, p)
			known, ok := oracle.Facts(b)
			if !ok {
				t.Fatal("a point has unknown slots")
			}
			says, err := oracle.Run(program, known)
			if err != nil {
				t.Fatalf("%s: %v", cl.text, err)
			}
			eval.On(b)
			if got := eval.Value(cond.Ref); got != asTruth(says) || says != cl.holds(p) {
				t.Fatalf("%s: lowered %v, machine %v, meant %v", cl.text, got, says, cl.holds(p))
			}
		}
	})
}

// cutsOf collects what a book's conditions compare each slot with.
func cutsOf(a *expression.Arena, refs []expression.Ref) map[int][]float64 {
	out := map[int][]float64{}
	for _, ref := range refs {
		for _, atom := range a.Atoms(ref) {
			if !a.Layout.Slots[atom.Slot].Finite {
				out[atom.Slot] = append(out[atom.Slot], atom.Cut)
			}
		}
	}
	return out
}

// The same for every condition of the shipped rulebook, with its named
// conditions and grades written out for the machine.
func TestShippedConditionsAgreeWithTheMachine(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	l := b.Layout
	oracle := expression.NewOracle(l)
	conditions := map[string]expression.Condition{}
	var refs []expression.Ref
	for _, r := range b.Rules() {
		conditions[r.ID] = r.When
		if r.Choose != nil {
			for _, row := range r.Choose.Rows {
				conditions[row.ID] = row.When
			}
		}
	}
	for _, c := range conditions {
		refs = append(refs, c.Ref)
	}
	cuts := cutsOf(b.Arena, refs)
	programs := map[string]*vm.Program{}
	for id, cond := range conditions {
		if programs[id], err = oracle.Program(cond); err != nil {
			t.Fatalf("%s: %v", id, err)
		}
	}
	eval := expression.NewEvaluator(b.Arena)
	rapid.Check(t, func(t *rapid.T) {
		box := boxAt(l, anyPoint(t, l, cuts))
		known, _ := oracle.Facts(box)
		eval.On(box)
		for id, cond := range conditions {
			says, err := oracle.Run(programs[id], known)
			if err != nil {
				t.Fatalf("%s: %v", id, err)
			}
			if got := eval.Value(cond.Ref); got != asTruth(says) {
				t.Fatalf("%s: lowered %v, machine %v", id, got, says)
			}
		}
	})
}
