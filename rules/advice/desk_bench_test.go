package advice

import (
	"os"
	"path/filepath"
	"testing"

	"loosecell/rules/facts"
)

// shippedCases are the cases of testdata.
func shippedCases(t testing.TB) []*facts.Case {
	names, err := filepath.Glob("../../testdata/cases/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var out []*facts.Case
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		c, err := facts.ParseCase(facts.Shipped(), n, data)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, c)
	}
	return out
}

// What a row of a triage costs, by what is asked of it, over the shipped cases.
func BenchmarkDesk(b *testing.B) {
	w := newWorld(b)
	cases := shippedCases(b)
	for _, name := range []string{"condition", "verdict", "storage.class", "ship.road", "because"} {
		b.Run(name, func(b *testing.B) {
			a, err := FindAnswer(name)
			if err != nil {
				b.Fatal(err)
			}
			d := NewDesk(w.book, w.opts, a)
			var out []string
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if out, err = d.Answers(cases[i%len(cases)], out[:0]); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
