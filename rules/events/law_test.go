package events_test

import (
	"math/bits"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/advice"
	"loosecell/rules/events"
	"loosecell/rules/facts"
)

var startingCases = []string{
	"01-phone-strips-whole", "02-phone-one-tab-torn", "08-phone-dented-strips-whole", "22-torn-tab-solvent-used",
	"34-phone-tape-warm", "35-already-out", "40-hissing", "42-pierced", "47-closed-phone", "54-swelling-unknown", "92-nothing",
}

// anyEvent draws an event with a value that fits it.
func anyEvent(t *rapid.T) events.Occurrence {
	all := events.Shipped()
	e := all[rapid.IntRange(0, len(all)-1).Draw(t, "event")]
	word := e.Word
	if rapid.Bool().Draw(t, "with a value") {
		word = e.Example()
	}
	if e.Takes != nil && e.Takes.Rung {
		word = e.Word + "=" + rapid.SampledFrom([]string{"stretch-strips", "other-tab", "warm", "solvent", "card"}).Draw(t, "rung")
	}
	x, err := events.Parse(word)
	if err != nil {
		x, err = events.Parse(e.Example())
	}
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Whatever happens, in whatever order: nothing seen is unsaid, nothing tried is
// offered again, counts only grow, and heat never comes back after solvent.
func TestNothingThatHappensMakesACellBetter(t *testing.T) {
	b := shippedBook(t)
	start := map[string]*facts.Case{}
	for _, name := range startingCases {
		start[name] = caseFile(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		c := start[rapid.SampledFrom(startingCases).Draw(t, "case")]
		for range rapid.IntRange(1, 4).Draw(t, "events") {
			x := anyEvent(t)
			after, _, err := events.Happen(b, c, nil, []events.Occurrence{x}, options)
			if err != nil {
				t.Fatalf("%s: %v", x, err)
			}
			worseOnly(t, x, c, after)
			if _, err := facts.ParseCase(facts.Shipped(), "again", after.YAML()); err != nil {
				t.Fatalf("%s: the case it writes cannot be read: %v", x, err)
			}
			c = after
		}
		a, err := advice.Advise(b, c, options)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range a.Removal.Rungs {
			if r.Tried && (a.Removal.Pick == r.Rung || a.Removal.Likely == r.Rung) {
				t.Fatalf("offers %s, which was tried", r.Rung)
			}
		}
		if used := c.Get("adhesive.solvent_used"); used.State == facts.Stated && used.Words == 2 && a.Heat.May != "no" {
			t.Fatalf("heat is %s after solvent", a.Heat.May)
		}
	})
}

// worseOnly holds a case against what it was before an event.
func worseOnly(t *rapid.T, x events.Occurrence, was, is *facts.Case) {
	cat := facts.Shipped()
	for i := range cat.Facts {
		f := &cat.Facts[i]
		before, after := was.Get(f.Name), is.Get(f.Name)
		if (f.Sign || f.History) && before.State == facts.Stated && before.Words&1 == 0 {
			if after.State != facts.Stated || bits.TrailingZeros64(after.Words) < bits.TrailingZeros64(before.Words) {
				t.Fatalf("%s: %s went from %s to %s", x, f.Name, f.FormatValue(before), f.FormatValue(after))
			}
		}
	}
	for _, name := range []string{"job.minutes", "job.warmings", "adhesive.solvent_volume", "adhesive.pull_tabs_torn"} {
		before, after := was.Get(name), is.Get(name)
		if before.State == facts.Stated && after.State == facts.Stated && after.Low < before.Low {
			t.Fatalf("%s: %s fell", x, name)
		}
	}
	tried := was.Get("job.tried").Words
	if is.Get("job.tried").Words&tried != tried {
		t.Fatalf("%s: a tried way was forgotten", x)
	}
}
