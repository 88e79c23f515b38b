package events_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/events"
	"loosecell/rules/facts"
)

var options = advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

func shippedBook(t testing.TB) *rules.Book {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func readCase(t testing.TB, text string) *facts.Case {
	t.Helper()
	c, err := facts.ParseCase(facts.Shipped(), "case", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func caseFile(t testing.TB, name string) *facts.Case {
	t.Helper()
	data, err := os.ReadFile("../../testdata/cases/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return readCase(t, string(data))
}

func parse(t testing.TB, words ...string) []events.Occurrence {
	t.Helper()
	var out []events.Occurrence
	for _, w := range words {
		x, err := events.Parse(w)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

// value is a fact as the case file states it, "" if it does not.
func value(c *facts.Case, name string) string {
	f, _ := c.Catalogue().Lookup(name)
	return f.FormatValue(c.Get(name))
}

// What each event does to a case. Common practice: what is counted, what a look
// no longer shows, what is struck.
func TestWhatEachEventChanges(t *testing.T) {
	for _, c := range []struct {
		name, from string
		words      []string
		want       map[string]string
	}{
		{"a strip snaps: the offered way is struck, the torn tab counts", "01-phone-strips-whole", []string{"strip-snapped"},
			map[string]string{"job.tried": "[stretch-strips]", "adhesive.pull_tab": "torn | buried", "battery.looked": "opened"}},
		{"what snapped was the stub of a tab that counts already", "02-phone-one-tab-torn", []string{"strip-snapped=buried"},
			map[string]string{"job.tried": "[strip-stub]", "adhesive.pull_tab": "buried", "adhesive.pull_tabs_torn": "1"}},
		{"fishing for a stub is force: the look is stale", "02-phone-one-tab-torn", []string{"held"},
			map[string]string{"job.tried": "[strip-stub]", "job.force_used": "yes", "battery.looked": "no", "battery.swelling": ""}},
		{"a look after force states what it shows", "02-phone-one-tab-torn", []string{"held", "looked"},
			map[string]string{"battery.looked": "opened", "battery.swelling": "none", "battery.puncture": "none"}},
		{"a warming counts, is no failed try, and leaves the temperature unknown", "34-phone-tape-warm", []string{"warmed=2"},
			map[string]string{"job.warmings": "1", "job.minutes": "2 min", "job.tried": "[]", "battery.temperature": "unknown"}},
		{"cool again: nobody need presume it warm", "34-phone-tape-warm", []string{"warmed", "cooled"},
			map[string]string{"battery.temperature": "", "battery.self_heating": "no"}},
		{"cool again, measured", "34-phone-tape-warm", []string{"warmed", "cooled=23"},
			map[string]string{"battery.temperature": "23 degC"}},
		{"tried warm without a count is one warming", "34-phone-tape-warm", []string{"tried=warm"},
			map[string]string{"job.warmings": "1", "job.tried": "[warm]"}},
		{"doses add up", "03-phone-plain-tape-over-display", []string{"solvent-applied=0.4mL", "solvent=0.3 mL"},
			map[string]string{"adhesive.solvent_used": "yes", "adhesive.solvent_volume": "0.7 mL"}},
		{"solvent tried without a dose: how much is not known", "03-phone-plain-tape-over-display", []string{"tried=solvent"},
			map[string]string{"adhesive.solvent_used": "yes", "adhesive.solvent_volume": "unknown"}},
		{"a stated time replaces the usual one", "34-phone-tape-warm", []string{"held", "minutes=12"},
			map[string]string{"job.minutes": "12 min"}},
		{"bent: as bad as nobody has ruled out", "34-phone-tape-warm", []string{"bent"},
			map[string]string{"battery.deformation": "slight | severe", "job.force_used": "yes"}},
		{"bent a little, after it was bent badly", "34-phone-tape-warm", []string{"bent=severe", "bent=slight"},
			map[string]string{"battery.deformation": "severe"}},
		{"out: the underside has not been seen", "34-phone-tape-warm", []string{"lifted-out"},
			map[string]string{"battery.place": "removed", "battery.looked": "no"}},
		{"run down: an old voltage says nothing now", "55-dead-phone-measured", []string{"discharge=20%"},
			map[string]string{"battery.gauge_charge": "20 %", "battery.rest_voltage": ""}},
		{"opened: what was hidden is not yet looked at", "47-closed-phone", []string{"opened"},
			map[string]string{"battery.place": "in-open-device", "battery.looked": "closed"}},
		{"made ready", "34-phone-tape-warm", []string{"done=bench.fire_bin", "aired"},
			map[string]string{"bench.fire_bin": "yes", "bench.ventilation": "open-window"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			after, _, err := events.Happen(shippedBook(t), caseFile(t, c.from), nil, parse(t, c.words...), options)
			if err != nil {
				t.Fatal(err)
			}
			for name, want := range c.want {
				if got := value(after, name); got != want {
					t.Errorf("%s is %q, want %q", name, got, want)
				}
			}
		})
	}
}

// What should not have happened is taken in and said loudly.
func TestWhatDoesNotFitIsSaidLoudly(t *testing.T) {
	for _, c := range []struct{ name, from, words, want string }{
		{"heat after solvent", "22-torn-tab-solvent-used", "warmed", "not permitted here"},
		{"a strip in a phone with plain tape", "34-phone-tape-warm", "strip-snapped", "can only happen to stretch-strip"},
		{"more torn tabs than tabs", "25-everything-tried", "tab-torn", "one more than that is torn"},
		{"solvent without a dose", "34-phone-tape-warm", "tried=solvent", "does not say how much"},
		{"cool now, but it warmed by itself", "34-phone-tape-warm", "hot cooled", "does not undo it"},
		{"a look does not settle what is stated as unknown", "54-swelling-unknown", "looked", "is unknown"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, happened, err := events.Happen(shippedBook(t), caseFile(t, c.from), nil, parse(t, strings.Fields(c.words)...), options)
			if err != nil {
				t.Fatal(err)
			}
			if loud := strings.Join(happened[len(happened)-1].Loud, " "); !strings.Contains(loud, c.want) {
				t.Errorf("said %q, want something like %q", loud, c.want)
			}
		})
	}
}

func TestUnknownStaysUnknown(t *testing.T) {
	c := readCase(t, "job: {warmings: unknown, minutes: unknown}\nadhesive: {solvent_used: yes, solvent_volume: unknown}\n")
	after, _, err := events.Happen(shippedBook(t), c, nil, parse(t, "warmed", "solvent=0.4mL", "minutes=5"), options)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"job.warmings", "job.minutes", "adhesive.solvent_volume"} {
		if got := value(after, name); got != "unknown" {
			t.Errorf("%s became %s", name, got)
		}
	}
}

func TestUnknownTriesStayUntold(t *testing.T) {
	c := readCase(t, "job: {tried: unknown}\n")
	after, _, err := events.Happen(shippedBook(t), c, nil, parse(t, "tried=stretch-strips"), options)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"job.tried": "[stretch-strips]", "job.force_used": "unknown", "job.warmings": "unknown", "adhesive.solvent_used": "unknown"} {
		if got := value(after, name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}

// The limits of a job: three warmings, 45 minutes, 2 mL (common practice; the
// numbers are the rulebook's).
func TestLimitsEndWhatTheyLimit(t *testing.T) {
	for _, c := range []struct {
		name  string
		words []string
		fact  string
		limit float64
		check func(*advice.Advice) bool
	}{
		{"three warmings", []string{"warmed", "cooled", "warmed", "cooled", "warmed", "cooled"}, "job.warmings", 3,
			func(a *advice.Advice) bool { return a.Heat.May == "no" && a.Removal.Pick != "warm" }},
		{"2 mL", []string{"tried=warm", "looked", "solvent=1mL", "solvent=1mL"}, "adhesive.solvent_volume", 2,
			func(a *advice.Advice) bool { return a.Solvent.May == "no" && a.Removal.Pick != "solvent" }},
		{"45 minutes", []string{"minutes=45"}, "job.minutes", 45, func(a *advice.Advice) bool { return a.Verdict == "stop" }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := events.After(shippedBook(t), caseFile(t, "34-phone-tape-warm"), nil, parse(t, c.words...), options)
			if err != nil {
				t.Fatal(err)
			}
			if !c.check(r.Advice) {
				t.Errorf("verdict %s, pick %s, heat %s, solvent %s", r.Advice.Verdict, r.Advice.Removal.Pick, r.Advice.Heat.May, r.Advice.Solvent.May)
			}
			for _, u := range r.Used {
				if u.Fact == c.fact && (u.Limit != c.limit || !u.Reached) {
					t.Errorf("used %+v, want limit %g reached", u, c.limit)
				}
			}
		})
	}
}

// The dose of a whole job is smaller in a tiny device (0.1 to 0.2 mL) and on a
// swollen cell (1 mL), and every repeat comes out of it (common practice).
func TestRepeatedDosesStayWithinTheWholeDose(t *testing.T) {
	for _, c := range []struct {
		name, of, word string
		limit, left    float64 // mL
		reached        bool
	}{
		{"tiny, half used", "07-earbud-case-foam", "solvent=0.1mL", 0.2, 0.1, false},
		{"tiny, all used", "07-earbud-case-foam", "solvent=0.2mL", 0.2, 0, true},
		{"swollen, most used", "39-phone-swollen-tape-low", "solvent=0.8mL", 1, 0.2, false},
		{"swollen, all used", "39-phone-swollen-tape-low", "solvent=1mL", 1, 0, true},
		{"swollen, one dose used", "39-phone-swollen-tape-low", "solvent=0.4mL", 1, 0.6, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := events.After(shippedBook(t), caseFile(t, c.of), nil, parse(t, c.word, "looked"), options)
			if err != nil {
				t.Fatal(err)
			}
			a := r.Advice
			for _, u := range r.Used {
				if u.Fact == "adhesive.solvent_volume" && (u.Limit != c.limit || u.Reached != c.reached) {
					t.Errorf("used %+v, want limit %g, reached %v", u, c.limit, c.reached)
				}
			}
			if c.reached {
				if a.Solvent.May != "no" || a.Removal.Pick == "solvent" {
					t.Errorf("solvent %s, pick %s after the whole dose", a.Solvent.May, a.Removal.Pick)
				}
				return
			}
			if d := a.Solvent; d.DoseLeftML == nil || *d.DoseLeftML > c.left+1e-9 || d.DoseML.High > c.left+1e-9 {
				t.Errorf("solvent %+v, want at most %g mL left", d, c.left)
			}
		})
	}
}

func TestDangerComesFirst(t *testing.T) {
	for word, want := range map[string]string{
		"hissing": "evacuate", "hot": "evacuate", "smelled": "stop", "leaked": "stop", "pierced": "stop", "stained": "stop",
	} {
		r, err := events.After(shippedBook(t), caseFile(t, "34-phone-tape-warm"), nil, parse(t, word), options)
		if err != nil {
			t.Fatal(err)
		}
		if r.Advice.Verdict != want {
			t.Errorf("%s: verdict %s, want %s", word, r.Advice.Verdict, want)
		}
		if r.Next.Text == "" {
			t.Errorf("%s: no next action", word)
		}
	}
}

func TestMistakesNameTheRightWord(t *testing.T) {
	for typed, want := range map[string]string{
		"strip-snaped": "strip-snapped", "bendt": "bent", "Strip Snapped": "", "solvent": "wants a value",
		"solvent=0.4": "no unit", "solvent=-1mL": "", "tried=crowbar": "no such way", "bent=maybe": "deformation",
		"looked=hard": "looked", "done=firebin": "fire_bin", "unplugged=yes": "takes no value", "minutes=": "wants a value",
		"volts=unknown": "write what is known", "": "no event", "=": "no event",
	} {
		_, err := events.Parse(typed)
		if err == nil {
			if want != "" {
				t.Errorf("%q was taken", typed)
			}
			continue
		}
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want something about %q", typed, err, want)
		}
	}
}

// What the sheet gave for a cell just warmed is done while it is warm; a dose
// over the limit ends the solvent (common practice).
func TestNextAfterWarmthAndTooMuchSolvent(t *testing.T) {
	for _, c := range []struct{ file, event, want string }{
		{"34-phone-tape-warm", "warmed=2", "While it is warm"},
		{"34-phone-tape-warm", "warmed=2", "note it: cooled"},
		{"01-phone-strips-whole", "solvent-applied=3mL", "No more solvent in this job"},
	} {
		r, err := events.After(shippedBook(t), caseFile(t, c.file), nil, parse(t, c.event), options)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(r.Next.Text, c.want) {
			t.Errorf("%s, %s: next is %q, want %q in it", c.file, c.event, r.Next.Text, c.want)
		}
		if c.event == "warmed=2" && r.Advice.Verdict != "prepare" {
			t.Errorf("a cell just warmed is %s, want prepare until it has cooled", r.Advice.Verdict)
		}
	}
}

// A reason names a sign that is there, not one that may be.
func TestAPiercedCellIsNotSaidToSmell(t *testing.T) {
	r, err := events.After(shippedBook(t), caseFile(t, "01-phone-strips-whole"), nil, parse(t, "pierced"), options)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(r.Advice.Because, "foil") {
		t.Errorf("because %q, want the pierced foil", r.Advice.Because)
	}
}
