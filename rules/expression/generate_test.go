package expression_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"loosecell/rules/derive"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// point gives every slot one value: the index of a word, or a number.
type point []float64

// clause is a condition twice: as text for the compiler, and as what the text
// means to its writer, for the tests to hold the compiler against.
type clause struct {
	text  string
	holds func(point) bool
	cuts  map[int][]float64 // numbers that each slot is compared with
}

func layout(t testing.TB) *expression.Layout {
	l, err := derive.Layout(facts.Shipped())
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// stated lists the slots of facts that a case can state.
func stated(l *expression.Layout) []int {
	var out []int
	for i := range l.Slots {
		if l.Slots[i].Fact.Statable() {
			out = append(out, i)
		}
	}
	return out
}

// anyClause draws a condition over some of the slots.
func anyClause(t *rapid.T, l *expression.Layout, slots []int, depth int) clause {
	if depth == 0 || rapid.IntRange(0, 3).Draw(t, "shape") == 0 {
		return anyAtom(t, l, rapid.SampledFrom(slots).Draw(t, "slot"))
	}
	a := anyClause(t, l, slots, depth-1)
	switch rapid.SampledFrom([]string{"and", "or", "not", "&&", "||"}).Draw(t, "join") {
	case "not":
		return clause{"not (" + a.text + ")", func(p point) bool { return !a.holds(p) }, a.cuts}
	case "and", "&&":
		b := anyClause(t, l, slots, depth-1)
		return clause{"(" + a.text + ") and (" + b.text + ")", func(p point) bool { return a.holds(p) && b.holds(p) }, joined(a, b)}
	}
	b := anyClause(t, l, slots, depth-1)
	return clause{"(" + a.text + ") || (" + b.text + ")", func(p point) bool { return a.holds(p) || b.holds(p) }, joined(a, b)}
}

func joined(a, b clause) map[int][]float64 {
	out := map[int][]float64{}
	for _, c := range []clause{a, b} {
		for s, cuts := range c.cuts {
			out[s] = append(out[s], cuts...)
		}
	}
	return out
}

var operators = map[string]func(a, b float64) bool{
	"==": func(a, b float64) bool { return a == b }, "!=": func(a, b float64) bool { return a != b },
	"<": func(a, b float64) bool { return a < b }, "<=": func(a, b float64) bool { return a <= b },
	">": func(a, b float64) bool { return a > b }, ">=": func(a, b float64) bool { return a >= b },
}

var turned = map[string]string{"==": "==", "!=": "!=", "<": ">", "<=": ">=", ">": "<", ">=": "<="}

// anyAtom draws one comparison of a slot, in each of the ways there is to write it.
func anyAtom(t *rapid.T, l *expression.Layout, slot int) clause {
	s := &l.Slots[slot]
	f := s.Fact
	if s.Member >= 0 {
		text := "'" + f.Words[s.Member] + "' in " + f.Name
		if rapid.Bool().Draw(t, "without") {
			text = "'" + f.Words[s.Member] + "' not in " + f.Name
			return clause{text, func(p point) bool { return p[slot] == 0 }, map[int][]float64{slot: nil}}
		}
		return clause{text, func(p point) bool { return p[slot] == 1 }, map[int][]float64{slot: nil}}
	}
	if f.Kind == facts.Words {
		return wordAtom(t, slot, f)
	}
	return numberAtom(t, slot, s)
}

func wordAtom(t *rapid.T, slot int, f *facts.Fact) clause {
	at := map[int][]float64{slot: nil}
	if f.YesNo() && rapid.Bool().Draw(t, "bare") {
		yes, _ := f.Word("yes")
		return clause{f.Name, func(p point) bool { return p[slot] == float64(yes) }, at}
	}
	if rapid.Bool().Draw(t, "listed") {
		set := rapid.Uint64Range(1, f.All()).Draw(t, "words")
		return clause{f.Name + " in ['" + strings.Join(f.Names(set), "', '") + "']",
			func(p point) bool { return set>>int(p[slot])&1 == 1 }, at}
	}
	ops := []string{"==", "!="}
	if f.Ordered {
		ops = []string{"==", "!=", "<", "<=", ">", ">="}
	}
	op := rapid.SampledFrom(ops).Draw(t, "op")
	rank := rapid.IntRange(0, len(f.Words)-1).Draw(t, "word")
	return clause{f.Name + " " + op + " '" + f.Words[rank] + "'",
		func(p point) bool { return operators[op](p[slot], float64(rank)) }, at}
}

func numberAtom(t *rapid.T, slot int, s *expression.Slot) clause {
	f := s.Fact
	x, text := anyNumber(t, s)
	op := rapid.SampledFrom([]string{"==", "!=", "<", "<=", ">", ">="}).Draw(t, "op")
	one := clause{f.Name + " " + op + " " + text, func(p point) bool { return operators[op](p[slot], x) }, map[int][]float64{slot: {x}}}
	switch rapid.IntRange(0, 3).Draw(t, "writing") {
	case 0:
		one.text = text + " " + turned[op] + " " + f.Name
	case 1:
		y, other := anyNumber(t, s)
		return clause{text + " <= " + f.Name + " < " + other,
			func(p point) bool { return x <= p[slot] && p[slot] < y }, map[int][]float64{slot: {x, y}}}
	}
	return one
}

// anyNumber draws a number a slot may be compared with, and how it is written.
func anyNumber(t *rapid.T, s *expression.Slot) (float64, string) {
	f := s.Fact
	low, high := int(f.Min), int(f.Max)
	switch {
	case f.Kind == facts.Count:
		n := rapid.IntRange(low, min(high, low+6)).Draw(t, "count")
		return float64(n), fmt.Sprint(n)
	case f.Kind == facts.Date:
		n := rapid.IntRange(20440, 20460).Draw(t, "day")
		return float64(n), "'" + time.Unix(int64(n)*86400, 0).UTC().Format(time.DateOnly) + "'"
	}
	x := float64(rapid.IntRange(max(low+1, -5), min(high, 120)).Draw(t, "number"))
	if f.Unit == "" {
		return x, fmt.Sprint(x)
	}
	return x, fmt.Sprintf("'%g %s'", x, f.Unit)
}

// completions lists values of a slot that stand for all there are: every word,
// or each number it is compared with, one step either side, and the ends.
func completions(s *expression.Slot, cuts []float64) []float64 {
	if s.Finite {
		var out []float64
		for i := range 64 {
			if s.Domain.Words>>i&1 == 1 {
				out = append(out, float64(i))
			}
		}
		return out
	}
	step := 1e-6
	if s.Whole {
		step = 1
	}
	seen := map[float64]bool{}
	var out []float64
	for _, c := range cuts {
		for _, x := range []float64{c - step, c, c + step} {
			if x >= s.Domain.Low && x <= s.Domain.High && !seen[x] {
				seen[x] = true
				out = append(out, x)
			}
		}
	}
	if out == nil {
		out = []float64{s.Domain.Low}
	}
	return out
}

// exactly is a value as a range of the slot.
func exactly(s *expression.Slot, x float64) expression.Range {
	if s.Finite {
		return expression.Word(int(x))
	}
	return expression.Exactly(x)
}

// noNames is a book without named conditions.
type noNames struct{}

func (noNames) Named(string) (expression.Condition, bool, error) {
	return expression.Condition{}, false, nil
}
func (noNames) Graded(string, int) (expression.Condition, error) { return expression.Condition{}, nil }
func (noNames) Grades(string) ([]string, bool)                   { return nil, false }

func compiler(l *expression.Layout) *expression.Compiler {
	return expression.NewCompiler(expression.NewArena(l), facts.Shipped(), noNames{})
}

// compile compiles a drawn clause; the text of one that is too long is cut off
// by redrawing.
func compile(t *rapid.T, c *expression.Compiler, cl clause) expression.Condition {
	if len(cl.text) > expression.MaxText {
		t.Skip("longer than a condition may be")
	}
	cond, err := c.Compile(cl.text)
	if err != nil {
		t.Fatalf("%s: %v", cl.text, err)
	}
	return cond
}
