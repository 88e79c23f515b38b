package inquiry

import (
	"fmt"
	"slices"
	"testing"

	"loosecell/rules/facts"
)

func TestPrint(t *testing.T) {
	b := shipped(t)
	for _, sc := range scenarios(t) {
		q := New(b, facts.NewCase(facts.Shipped(), ""), Options{Now: today})
		p := person{sc.full, facts.Shipped()}
		want := answersOf(t, b, sc.full)
		line := ""
		n := 0
		for range 60 {
			question, s, left, err := q.Next()
			if err != nil {
				t.Fatal(err)
			}
			if question == nil {
				line += fmt.Sprintf("\n   END %v", s.Answers())
				break
			}
			line += fmt.Sprintf("\n  %d/%d %s %.1f", n+1, left, question.ID, question.Worth)
			p.answer(t, q, question)
			n++
		}
		if s2, _ := q.Settled(); true { for _, g := range q.open(s2) { for _, sl := range q.undecidedSlots([]goal{g}, s2.Full) { line += fmt.Sprintf("\n    still %s: %s", g.answer, b.Layout.Slots[sl].Name) } } }
		got := answersOf(t, b, q.Whole())
		t.Logf("%s: %d questions equal=%v %s", sc.name, n, slices.Equal(got, want), line)
		if !slices.Equal(got, want) {
			t.Logf("   WANT %v\n   GOT  %v", want, got)
		}
	}
}
