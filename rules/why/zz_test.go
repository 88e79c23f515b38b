package why

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
	for _, q := range [][2]string{{"02-phone-one-tab-torn", "verdict"}, {"08-phone-dented-strips-whole", "heat"}, {"08-phone-dented-strips-whole", "verdict"}, {"11-phone-alone-in-store-room", "verdict"}, {"42-pierced", "verdict"}, {"92-nothing", "verdict"}, {"22-torn-tab-solvent-used", "removal.pick"}, {"03-phone-plain-tape-over-display", "heat"}, {"05-laptop-swollen-glued", "verdict"}, {"02-phone-one-tab-torn", "storage.class"}, {"13-phone-recalled-to-post", "ship.post"}} {
		data, _ := os.ReadFile("../../testdata/cases/" + q[0] + ".yaml")
		c, _ := facts.ParseCase(facts.Shipped(), q[0], data)
		start := time.Now()
		w, err := Explain(b, c, q[1], advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			fmt.Println(q, err)
			continue
		}
		fmt.Println("==", q, w.Is, time.Since(start), w.Search)
		for _, r := range w.Reasons {
			fmt.Println("   R", r.Part, r.Rule, r.Effect, r.Certain, r.Facts, r.For)
		}
		for _, n := range w.Nearby {
			fmt.Println("   N", n)
		}
		for i, n := range w.Flips {
			if i < 12 || len(n.Parts) > 1 {
				fmt.Println("   F", n)
			}
		}
		if w.Start != nil {
			fmt.Println("   S", w.Start.Reaches, w.Start.Minutes, w.Start.Rung)
			for _, p := range w.Start.List {
				fmt.Println("     ", p.Fact, p.Answer, p.Minutes)
			}
		}
	}
}
