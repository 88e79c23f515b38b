package expression_test

import (
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/expression"
)

// points lists every combination of values of the slots that a clause reads, as
// far as they differ for it.
func points(l *expression.Layout, slots []int, cl clause) []point {
	out := []point{make(point, len(l.Slots))}
	for _, s := range slots {
		var next []point
		for _, p := range out {
			for _, x := range completions(&l.Slots[s], cl.cuts[s]) {
				q := append(point{}, p...)
				q[s] = x
				next = append(next, q)
			}
		}
		out = next
	}
	return out
}

// someSlots draws a few slots that a clause may read.
func someSlots(t *rapid.T, l *expression.Layout, n int) []int {
	all := stated(l)
	var out []int
	for len(out) < n {
		s := rapid.SampledFrom(all).Draw(t, "slot")
		if l.Slots[s].Member < 0 {
			out = append(out, s)
		}
	}
	return out
}

// reads are the slots of a list that a condition reads, each once.
func reads(a *expression.Arena, ref expression.Ref) []int { return a.Reads(ref) }

// The search finds a region exactly where brute force finds a point, and every
// point of a region it finds makes the condition true.
func TestSearchFindsWhatThereIs(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cl := anyClause(t, l, someSlots(t, l, 3), 3)
		cond := compile(t, c, cl)
		possible := false
		for _, p := range points(l, reads(c.Arena, cond.Ref), cl) {
			possible = possible || cl.holds(p)
		}
		if cond.Ref == expression.Always || cond.Ref == expression.Never {
			possible = cond.Ref == expression.Always
		}
		search := expression.NewSearch(c.Arena, 100_000)
		eval := expression.NewEvaluator(c.Arena)
		found, exact := search.Find(cond.Ref, expression.NewBox(l), func(region *expression.Box) bool {
			eval.On(region)
			if eval.Value(cond.Ref) != expression.True {
				t.Fatalf("%s: the region does not make it true", cl.text)
			}
			return true
		})
		if !exact || found != possible {
			t.Fatalf("%s: found %v (exact %v), by brute force %v", cl.text, found, exact, possible)
		}
	})
}

// All regions that a search visits together hold every point that makes the
// condition true.
func TestSearchLosesNothing(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		cl := anyClause(t, l, someSlots(t, l, 2), 2)
		cond := compile(t, c, cl)
		var regions []*expression.Box
		expression.NewSearch(c.Arena, 100_000).Find(cond.Ref, expression.NewBox(l), func(r *expression.Box) bool {
			regions = append(regions, r.Clone())
			return false
		})
		slots := reads(c.Arena, cond.Ref)
		for _, p := range points(l, slots, cl) {
			if !cl.holds(p) {
				continue
			}
			inside := false
			for _, r := range regions {
				all := true
				for _, s := range slots {
					at, x := r.At(s), exactly(&l.Slots[s], p[s])
					all = all && (l.Slots[s].Finite && at.Words&x.Words != 0 || !l.Slots[s].Finite && at.Low <= x.Low && x.High <= at.High)
				}
				inside = inside || all
			}
			if !inside {
				t.Fatalf("%s: a point that makes it true lies in none of %d regions", cl.text, len(regions))
			}
		}
	})
}

// A condition in which a slot is fixed is the condition at that value; what is
// gained from one value to another is where it is true at the one and false at
// the other.
func TestGivenAndGains(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		slots := someSlots(t, l, 3)
		cl := anyClause(t, l, slots, 3)
		cond := compile(t, c, cl)
		slot := rapid.SampledFrom(slots).Draw(t, "fixed")
		parts := c.Arena.Regions(slot, cond.Ref)
		to, from := rapid.SampledFrom(parts).Draw(t, "to"), rapid.SampledFrom(parts).Draw(t, "from")
		at, gain := c.Arena.Given(cond.Ref, slot, to), c.Arena.Gains(cond.Ref, slot, to, from)
		eval := expression.NewEvaluator(c.Arena)
		box := expression.NewBox(l)
		for _, p := range points(l, slots, cl) {
			for _, s := range slots {
				box.Set(s, exactly(&l.Slots[s], p[s]))
			}
			truth := func(part expression.Range) bool {
				q := append(point{}, p...)
				q[slot] = inside(&l.Slots[slot], part)
				return cl.holds(q)
			}
			eval.On(box)
			if got := eval.Value(at); got != truthOf(truth(to)) {
				t.Fatalf("%s with slot %s in %v: %v", cl.text, l.Slots[slot].Name, to, got)
			}
			if got := eval.Value(gain); got != truthOf(truth(to) && !truth(from)) {
				t.Fatalf("%s gained from %v to %v: %v", cl.text, from, to, got)
			}
		}
	})
}

// inside is one value of a part of a slot's domain.
func inside(s *expression.Slot, part expression.Range) float64 {
	if s.Finite {
		for i := range 64 {
			if part.Words>>i&1 == 1 {
				return float64(i)
			}
		}
	}
	return part.Low
}

func truthOf(b bool) expression.Truth {
	if b {
		return expression.True
	}
	return expression.False
}

// Where its polarity says that a slot cannot make a condition true by rising, no
// rise does; and the same for falling.
func TestPolarityIsSound(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		slots := someSlots(t, l, 2)
		cl := anyClause(t, l, slots, 3)
		cond := compile(t, c, cl)
		signs := c.Arena.Polarities(cond.Ref)
		for _, slot := range slots {
			for _, p := range points(l, slots, cl) {
				for _, x := range completions(&l.Slots[slot], cl.cuts[slot]) {
					q := append(point{}, p...)
					q[slot] = x
					if cl.holds(p) || !cl.holds(q) {
						continue
					}
					if x > p[slot] && signs[slot]&expression.Rises == 0 || x < p[slot] && signs[slot]&expression.Falls == 0 {
						t.Fatalf("%s: %s from %g to %g makes it true, against its sign %v", cl.text, l.Slots[slot].Name, p[slot], x, signs[slot])
					}
				}
			}
		}
	})
}

// Folding a longer condition into a shorter one of the same meaning keeps the
// whole's meaning.
func TestFoldKeepsTheMeaning(t *testing.T) {
	l := layout(t)
	rapid.Check(t, func(t *rapid.T) {
		c := compiler(l)
		slots := someSlots(t, l, 2)
		inner := anyClause(t, l, slots, 2)
		outer := anyClause(t, l, slots, 2)
		long := compile(t, c, inner)
		both := c.AnyOf(c.AllOf(long, compile(t, c, outer)), c.AllOf(c.Not(long), compile(t, c, anyClause(t, l, slots, 1))))
		// The short form is an atom of another slot, held equal to the long one.
		other := rapid.SampledFrom(someSlots(t, l, 1)).Draw(t, "short")
		for slot := range l.Slots {
			if l.Slots[slot].Finite && l.Slots[slot].Domain.Words == 0b11 && slot != slots[0] && slot != slots[1] && l.Slots[slot].Fact.Statable() {
				other = slot
				break
			}
		}
		short := c.Arena.Among(other, 0b10)
		folded := c.Arena.Fold(both.Ref, []expression.Ref{long.Ref}, []expression.Ref{short})
		eval := expression.NewEvaluator(c.Arena)
		box := expression.NewBox(l)
		for _, p := range points(l, slots, clause{cuts: joined(inner, outer)}) {
			for _, s := range slots {
				box.Set(s, exactly(&l.Slots[s], p[s]))
			}
			eval.On(box)
			is := eval.Value(long.Ref)
			box.Set(other, expression.Word(map[expression.Truth]int{expression.True: 1, expression.False: 0}[is]))
			eval.On(box)
			if a, b := eval.Value(both.Ref), eval.Value(folded); a != b {
				t.Fatalf("folded %v, whole %v", b, a)
			}
		}
	})
}
