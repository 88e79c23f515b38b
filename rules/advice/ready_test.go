package advice_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

var onTheDay = advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

// withAnswers is the verdict of a case in which some things were made ready.
func withAnswers(t *testing.T, r *advice.Reckoner, c *facts.Case, list []advice.Preparation) string {
	t.Helper()
	ready := c.Clone()
	for _, p := range list {
		if p.Fact == "battery.looked" {
			advice.LookAgain(ready, p.Answer)
		} else if err := ready.SetText(c.Catalogue(), p.Fact, p.Answer); err != nil {
			t.Fatal(err)
		}
	}
	is, err := r.Answer(ready, "verdict")
	if err != nil {
		t.Fatal(err)
	}
	return is
}

// TestReadyListIsShortest holds the list that makes it safe to start against
// every shorter set of things that could be made ready.
func TestReadyListIsShortest(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	cat := facts.Shipped()
	reckon := advice.NewReckoner(b, cat, onTheDay)
	var could []advice.Preparation
	for i := range cat.Facts {
		if f := &cat.Facts[i]; f.Statable() && f.Change != nil && f.Change.To != "" && f.Name != "battery.looked" {
			could = append(could, advice.Preparation{Fact: f.Name, Answer: f.Change.To})
		}
	}
	for _, file := range []string{"01-phone-strips-whole", "06-tablet-side-tabs", "11-phone-alone-in-store-room",
		"47-closed-phone", "48-just-switched-off", "49-ignition-near", "50-trainee-damaged", "56-dead-phone-charged", "46-dead-charge-unknown"} {
		t.Run(file, func(t *testing.T) {
			c := parse(t, casesDir+"/"+file+".yaml", facts.ParseCase)
			ready, err := advice.Ready(b, c, onTheDay)
			if err != nil {
				t.Fatal(err)
			}
			if ready.Verdict != "prepare" || !ready.Reaches {
				t.Skipf("nothing that can be made ready leads from %s to proceed", ready.Verdict)
			}
			if got := withAnswers(t, reckon, c, ready.List); got != "proceed" {
				t.Fatalf("the list leads to %s", got)
			}
			for i := range ready.List {
				if got := withAnswers(t, reckon, c, slices.Delete(slices.Clone(ready.List), i, i+1)); got == "proceed" {
					t.Errorf("%s can be left out", ready.List[i].Fact)
				}
			}
			if len(ready.List) <= 3 {
				noShorterSet(t, reckon, c, append(slices.Clone(ready.List), could...), len(ready.List)-1)
			}
		})
	}
}

// noShorterSet tries every set of at most n of the things that could be done.
func noShorterSet(t *testing.T, r *advice.Reckoner, c *facts.Case, could []advice.Preparation, n int) {
	var try func(from int, taken []advice.Preparation)
	try = func(from int, taken []advice.Preparation) {
		if got := withAnswers(t, r, c, taken); got == "proceed" {
			t.Errorf("%d things are enough: %v", len(taken), taken)
			return
		}
		if len(taken) == n {
			return
		}
		for i := from; i < len(could); i++ {
			try(i+1, append(slices.Clone(taken), could[i]))
		}
	}
	try(0, nil)
}

// What is listed as not known is not known, could change what it says, and
// stands in the order of its worth: danger that one look settles before a
// reading that takes an hour.
func TestUnknownsAreTrueAndInOrder(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	reckon := advice.NewReckoner(b, facts.Shipped(), onTheDay)
	for _, file := range []string{"90-device-kind-only", "91-what-one-reads-in-a-minute", "92-nothing", "20-torn-tab", "54-swelling-unknown"} {
		t.Run(file, func(t *testing.T) {
			c := parse(t, casesDir+"/"+file+".yaml", facts.ParseCase)
			a, err := advice.Advise(b, c, onTheDay)
			if err != nil {
				t.Fatal(err)
			}
			at := map[string]int{}
			for i, u := range a.Unknowns {
				at[u.Fact] = i + 1
				if v := c.Get(u.Fact); v.State == facts.Stated && u.Fact != "battery.looked" {
					t.Errorf("%s is stated", u.Fact)
				}
				if u.How == "" {
					t.Errorf("%s: no way to find out", u.Fact)
				}
				for _, ch := range u.Changes {
					comesTrue(t, reckon, c, u.Fact, ch)
				}
			}
			if look, slow := at["battery.looked"], at["battery.rest_drop"]; look > 0 && slow > 0 && look > slow {
				t.Errorf("an hour's reading stands before a look: %v", at)
			}
		})
	}
}

// comesTrue answers the fact as a change says and looks at the answer.
func comesTrue(t *testing.T, r *advice.Reckoner, c *facts.Case, fact string, ch advice.Change) {
	path, ok := advice.AnswerPath(ch.Answer)
	if !ok {
		t.Fatalf("no answer %s", ch.Answer)
	}
	work := c.Clone()
	sign, word, shown := strings.Cut(ch.If, " ")
	_, isSign := work.Catalogue().Lookup("battery." + sign)
	switch {
	case shown && isSign:
		if err := work.SetText(work.Catalogue(), "battery."+sign, word); err != nil {
			t.Fatal(err)
		}
	case fact == "battery.looked":
		advice.LookAgain(work, ch.If)
	default:
		if err := work.SetText(work.Catalogue(), fact, ch.If); err != nil {
			t.Fatal(err)
		}
	}
	got, err := r.Answer(work, path)
	if err != nil {
		t.Fatal(err)
	}
	if got != ch.To {
		t.Errorf("%s %s: %s becomes %s, said %s", fact, ch.If, ch.Answer, got, ch.To)
	}
}
