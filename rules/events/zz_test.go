package events

import (
	"fmt"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
	"os"
	"testing"
	"time"
)

func TestZZ(t *testing.T) {
	b, _ := book.Shipped()
	data, _ := os.ReadFile("../../testdata/cases/02-phone-one-tab-torn.yaml")
	c, _ := facts.ParseCase(facts.Shipped(), "x", data)
	for _, s := range [][]string{{"strip-snapped"}, {"strip-snapped"}, {"warmed=2"}, {"cooled"}, {"tried=warm", "looked"}, {"solvent-applied=0.4mL"}, {"held", "looked"}, {"tried=card", "bent"}} {
		var l []Occurrence
		for _, x := range s {
			o, err := Parse(x)
			if err != nil {
				t.Fatal(err)
			}
			l = append(l, o)
		}
		start := time.Now()
		r, err := After(b, c, nil, l, advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println("==", s, r.Advice.Verdict, r.Advice.Removal.Pick, r.Advice.Removal.Likely, r.Advice.Heat.May, time.Since(start))
		fmt.Println("  next:", r.Next.Text)
		for _, h := range r.Happened {
			for _, ch := range h.Changes {
				fmt.Println("   ", ch)
			}
			fmt.Println("   loud", h.Loud)
		}
		fmt.Println("  struck", r.Struck, "used", r.Used)
		c = r.After
	}
}
