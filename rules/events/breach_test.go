package events_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules/advice"
	"loosecell/rules/events"
	"loosecell/rules/facts"
)

// The safety review's cases: what was forbidden or overdone is said with its
// limit and its reason, and what makes safe comes next (common practice; the
// numbers are those of the sheet before).
func TestWhatWasNotPermittedIsSaidAndMadeSafeFirst(t *testing.T) {
	for _, c := range []struct {
		name, from, words string
		loud, next, never []string
	}{
		{"warmed far too long", "34-phone-tape-warm", "warmed=15",
			[]string{"15 min", "limit of this sheet", "2 min at most", "two minutes a time"},
			[]string{"Pad off", "hands off", "15 minutes", "Read the temperature before anything else"}, []string{"While it is warm"}},
		{"a swollen cell run down", "05-laptop-swollen-glued", "discharge=20%",
			[]string{"Running it down was not permitted", "is not run down", "the least it may hold", "voltage read before no longer counts"},
			[]string{"Stop running it down", "do not charge it", "watch it"}, nil},
		{"a gauge that fell shows that it was run down", "05-laptop-swollen-glued", "gauge=20%",
			[]string{"Running it down was not permitted"}, []string{"Stop running it down"}, nil},
		{"too much solvent", "34-phone-tape-warm", "solvent-applied=3mL",
			[]string{"3 mL", "limit of this sheet", "1.5 mL at most", "2 mL a job"},
			[]string{"No more solvent", "drain", "blot", "air the room", "no spark or flame", "run the case again"}, []string{"card", "thread"}},
		{"heat after solvent", "34-phone-tape-warm", "solvent-applied=0.4mL warmed",
			[]string{"not permitted", "Never heat after solvent", "warm vapour lights"},
			[]string{"Pad off", "No spark, no flame", "Air the room", "everybody back", "wait"}, nil},
		{"solvent on a warm cell", "34-phone-tape-warm", "warmed solvent-applied=0.4mL",
			[]string{"not permitted", "no solvent on a warm cell"}, []string{"Pad off", "No spark"}, nil},
		{"heat with the display under the cell", "03-phone-plain-tape-over-display", "warmed",
			[]string{"not permitted", "display behind the cell"}, []string{"Pad off", "hands off"}, []string{"While it is warm"}},
		{"heat on a swollen cell", "05-laptop-swollen-glued", "warmed",
			[]string{"not permitted"}, []string{"Pad off", "This job ends here"}, nil},
		{"levering where the sheet said stop", "05-laptop-swollen-glued", "lifted",
			[]string{"Lifting it was not permitted", "leave it in"}, []string{"Stop there", "hands off"}, nil},
		{"taken out where the sheet said stop", "05-laptop-swollen-glued", "lifted-out",
			[]string{"Taking it out was not permitted"}, []string{"dry sand"}, nil},
		{"a way that was barred", "05-laptop-swollen-glued", "tried=card",
			[]string{"This try was not permitted"}, []string{"Stop there"}, nil},
		{"pulled before the charge was down", "01-phone-strips-whole", "strip-snapped",
			[]string{"not permitted here yet", "bring the charge down"}, []string{"Stop there", "Then what comes first"}, nil},
		{"permitted: nothing is said", "34-phone-tape-warm", "warmed=2", nil, []string{"While it is warm"}, nil},
		{"the try that a warming was for", "34-phone-tape-warm", "warmed=2 lifted", nil, nil, []string{"Stop there"}},
		{"a permitted dose", "34-phone-tape-warm", "solvent-applied=0.4mL", nil, nil, []string{"Stop there", "No more solvent"}},
		{"looked at again since", "34-phone-tape-warm", "warmed=15 cooled=23 looked", []string{"limit of this sheet"}, nil, []string{"Pad off"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := events.After(shippedBook(t), caseFile(t, c.from), nil, parse(t, strings.Fields(c.words)...), options)
			if err != nil {
				t.Fatal(err)
			}
			said := loud(r.Happened)
			if len(c.loud) == 0 && said != "" {
				t.Errorf("said %q, want nothing", said)
			}
			for _, want := range c.loud {
				if !strings.Contains(said, want) {
					t.Errorf("said %q, want %q in it", said, want)
				}
			}
			for _, want := range c.next {
				if !strings.Contains(r.Next.Text, want) {
					t.Errorf("next is %q, want %q in it", r.Next.Text, want)
				}
			}
			for _, no := range c.never {
				if strings.Contains(r.Next.Text, no) {
					t.Errorf("next is %q, with %q in it", r.Next.Text, no)
				}
			}
		})
	}
}

func loud(happened []events.Happening) string {
	var all []string
	for _, h := range happened {
		all = append(all, h.Loud...)
	}
	return strings.Join(all, " ")
}

// A forbidden act takes away the look; the measured voltage goes, and is said to.
func TestAfterAForbiddenActTheCellIsLookedAtAgain(t *testing.T) {
	for _, c := range []struct{ from, words string }{
		{"34-phone-tape-warm", "warmed=15"}, {"05-laptop-swollen-glued", "discharge=20%"},
		{"34-phone-tape-warm", "solvent-applied=3mL"}, {"03-phone-plain-tape-over-display", "warmed"},
	} {
		r, err := events.After(shippedBook(t), caseFile(t, c.from), nil, parse(t, c.words), options)
		if err != nil {
			t.Fatal(err)
		}
		if looked := value(r.After, "battery.looked"); looked != "no" {
			t.Errorf("%s %s: looked is %s", c.from, c.words, looked)
		}
		if r.Advice.Verdict == "proceed" {
			t.Errorf("%s %s: goes on at once", c.from, c.words)
		}
	}
}

// A charge that is only read, and not lower than before, leaves the voltage.
func TestAReadingOfTheGaugeIsNoAct(t *testing.T) {
	r, err := events.After(shippedBook(t), caseFile(t, "05-laptop-swollen-glued"), nil, parse(t, "gauge=70%"), options)
	if err != nil {
		t.Fatal(err)
	}
	if said := loud(r.Happened); said != "" || value(r.After, "battery.rest_voltage") == "" {
		t.Errorf("said %q, voltage %q", said, value(r.After, "battery.rest_voltage"))
	}
}

// forbade tells from the advice of a case alone that its sheet forbade an act.
func forbade(was *advice.Advice, x events.Occurrence) bool {
	rung := func(name string) bool {
		i := slices.IndexFunc(was.Removal.Rungs, func(r advice.Rung) bool { return r.Rung == name })
		return was.Removal.Rungs[i].May == "no"
	}
	ended := was.Verdict == "stop" || was.Verdict == "evacuate"
	switch x.Event.Word {
	case "warmed":
		return ended || was.Heat.May == "no" || rung("warm")
	case "solvent-applied":
		return ended || was.Solvent.May == "no" || rung("solvent")
	case "discharge":
		return ended || was.Discharge.May == "no"
	case "opened":
		return ended || was.Opening != nil && was.Opening.May == "no"
	case "lifted", "lifted-out":
		return ended
	case "tried":
		return ended || rung(x.Value)
	}
	return false
}

// Whatever led to a case: an act that its sheet forbade, or more of it than the
// sheet allowed, is never answered without a loud line, and never by going on.
func TestAForbiddenActIsNeverAnsweredSilently(t *testing.T) {
	b := shippedBook(t)
	names := append([]string{"03-phone-plain-tape-over-display", "05-laptop-swollen-glued", "36-refit", "38-phone-swollen-strips-low",
		"43-over-its-limit", "45-lithium-metal", "49-ignition-near", "55-dead-phone-measured"}, startingCases...)
	start := map[string]*facts.Case{}
	for _, name := range names {
		start[name] = caseFile(t, name)
	}
	acts := []string{"warmed", "warmed=15", "solvent-applied=0.4mL", "solvent-applied=3mL", "discharge=10%", "opened", "lifted", "lifted-out",
		"tried=stretch-strips", "tried=card", "tried=cut-leads", "tried=voltage-release"}
	rapid.Check(t, func(t *rapid.T) {
		c := start[rapid.SampledFrom(names).Draw(t, "case")]
		for range rapid.IntRange(0, 2).Draw(t, "events before") {
			after, _, err := events.Happen(b, c, nil, []events.Occurrence{anyEvent(t)}, options)
			if err != nil {
				t.Fatal(err)
			}
			c = after
		}
		x, err := events.Parse(rapid.SampledFrom(acts).Draw(t, "act"))
		if err != nil {
			t.Fatal(err)
		}
		was, err := advice.Advise(b, c, options)
		if err != nil {
			t.Fatal(err)
		}
		minutes := was.Heat.TimeLimitMin
		over := x.Value == "15 min" && (minutes == nil || *minutes < 15) || x.Value == "3 mL"
		if !over && !forbade(was, x) || was.Removal.Pick == "already-out" && strings.HasPrefix(x.Event.Word, "lifted") {
			return
		}
		if tryOfWarming(c) && (x.Event.Word == "tried" || strings.HasPrefix(x.Event.Word, "lifted")) {
			return // judged as if the warmth were not there
		}
		r, err := events.After(b, c, nil, []events.Occurrence{x}, options)
		if err != nil {
			t.Fatal(err)
		}
		if loud(r.Happened) == "" {
			t.Fatalf("%s was forbidden, and nothing is said", x)
		}
		if r.Advice.Verdict != "evacuate" && !slices.ContainsFunc([]string{"Pad off", "hands off", "Hands off"}, func(s string) bool { return strings.Contains(r.Next.Text, s) }) &&
			!strings.Contains(r.Next.Text, "take your hands off") {
			t.Fatalf("%s was forbidden, and next is %q", x, r.Next.Text)
		}
	})
}

func tryOfWarming(c *facts.Case) bool {
	w := c.Get("job.warmings")
	return c.Get("battery.temperature").State == facts.Unknown && w.State == facts.Stated && w.Low >= 1
}
