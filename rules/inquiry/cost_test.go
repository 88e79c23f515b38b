package inquiry

import (
	"testing"

	"loosecell/rules/facts"
)

// BenchmarkNextKnowingNothing is the dearest question: nothing is known, and so
// every question is weighed.
func BenchmarkNextKnowingNothing(b *testing.B) {
	q := New(shipped(b), facts.NewCase(facts.Shipped(), ""), Options{Now: today})
	for b.Loop() {
		if _, _, _, err := q.Next(); err != nil {
			b.Fatal(err)
		}
	}
}
