package advice

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// adviceSays reads an answer out of an advice by its place in the JSON form;
// known is false where the advice is silent about it.
func adviceSays(a *Advice, name string) (text string, known bool) {
	switch name {
	case "verdict":
		return a.Verdict, true
	case "because":
		return a.Because, true
	case "condition":
		return a.Condition, true
	case "transport_state":
		return a.TransportState, true
	case "removal.pick":
		return a.Removal.Pick, true
	case "discharge.may":
		return a.Discharge.May, true
	case "discharge.due":
		return a.Discharge.Due, true
	case "discharge.action":
		return a.Discharge.Action, true
	case "discharge.target_soc_pct":
		return number(a.Discharge.TargetSoCPct), true
	case "heat.may":
		return a.Heat.May, true
	case "solvent.may":
		return a.Solvent.May, true
	case "refit.may":
		return a.Refit.May, true
	case "storage.class":
		return a.Storage.Class, true
	case "storage.container":
		return a.Storage.Container, true
	case "storage.look_again":
		return a.Storage.LookAgain, true
	case "storage.fallback":
		return a.Storage.Fallback, true
	case "opening.may":
		if a.Opening == nil {
			return "", false
		}
		return a.Opening.May, true
	}
	if name == Relaxed {
		var ids []string
		for _, r := range a.Relaxations {
			ids = append(ids, r.Rule)
		}
		return strings.Join(ids, ListSeparator), true
	}
	for _, s := range a.Shipping {
		if name == "ship."+s.Mode {
			return s.Allowed, true
		}
	}
	return "", false
}

// A desk answers as Advise does, whatever it is asked and whichever cases it
// answered before.
func TestDeskAnswersAsAdviseDoes(t *testing.T) {
	w := newWorld(t)
	var all []Answer
	for _, name := range AnswerNames() {
		a, err := FindAnswer(name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, a)
	}
	whole := NewDesk(w.book, w.opts, all...)
	alone := make([]*Desk, len(all))
	for i := range all {
		alone[i] = NewDesk(w.book, w.opts, all[i])
	}
	check := func(t interface {
		Fatal(...any)
		Errorf(string, ...any)
	}, c *facts.Case) {
		want, err := Advise(w.book, c, w.opts)
		if err != nil {
			t.Fatal(err)
		}
		got, err := whole.Answers(c, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range all {
			says, known := adviceSays(want, a.Name)
			if known && got[i] != says {
				t.Errorf("%s: %s is %q at the desk and %q in the advice", c.Name, a.Name, got[i], says)
			}
			if a.Words != nil && !a.sentence && got[i] != "" && got[i] != "unknown" && !slices.Contains(a.Words, got[i]) {
				t.Errorf("%s: %s is %q, which is none of %v", c.Name, a.Name, got[i], a.Words)
			}
			one, err := alone[i].Answers(c, nil)
			if err != nil || one[0] != got[i] {
				t.Errorf("%s: %s alone is %q, among others %q (%v)", c.Name, a.Name, one[0], got[i], err)
			}
		}
	}
	for _, c := range shippedCases(t) {
		check(t, c)
	}
	rapid.Check(t, func(t *rapid.T) { check(t, w.anyCase(t)) })
}

// looseBench is a shop that loosens two shipped rules.
const looseBench = `
topic: harbour-lane
rules:
  - id: our-jig-keeps-the-display-off
    when: device.kind == 'tablet' and bench.thermometer
    lift: [heat, rung.warm]
    relaxes: {rule: no-heat-through-a-display, why: The jig keeps the display off the pad., who: the owner of the bench, until: 2027-03-01}
    because: With the jig the heat does not pass through the display.
    source: common-practice
  - id: we-use-more
    restrict: {cap: {solvent.dose: 3 mL}}
    relaxes: {rule: solvent-dose, why: Large cells only., who: the owner of the bench, until: 2027-03-01}
    because: A large cell takes more.
    source: common-practice
`

// A desk names the rules of a shop that a sheet says are relaxed: those that act,
// those that may, and none while the cell may be critical.
func TestDeskNamesWhatASheetSaysIsRelaxed(t *testing.T) {
	w := newWorld(t)
	shop, err := book.With(book.File{Name: "shop.yaml", Data: []byte(looseBench)})
	if err != nil {
		t.Fatal(err)
	}
	answer, err := FindAnswer(Relaxed)
	if err != nil {
		t.Fatal(err)
	}
	desk := NewDesk(shop, w.opts, answer)
	seen := map[string]bool{}
	check := func(t interface {
		Fatal(...any)
		Errorf(string, ...any)
	}, c *facts.Case) {
		sheet, err := Advise(shop, c, w.opts)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := adviceSays(sheet, Relaxed)
		got, err := desk.Answers(c, nil)
		if err != nil || got[0] != want {
			t.Errorf("%s: %q at the desk and %q on the sheet (%v)", c.Name, got, want, err)
		}
		seen[want] = true
	}
	for _, c := range shippedCases(t) {
		check(t, c)
	}
	if both := "our-jig-keeps-the-display-off; we-use-more"; !seen[""] || !seen[both] {
		t.Errorf("the cases relax %v; want none and %q among them", seen, both)
	}
	rapid.Check(t, func(t *rapid.T) { check(t, w.anyCase(t)) })
}

// A mode of carriage is answered alike wherever it is asked for, also where the
// case does not speak of carriage.
func TestCarriageIsAnsweredAlikeEverywhere(t *testing.T) {
	w := newWorld(t)
	reckon := NewReckoner(w.book, w.cat, w.opts)
	check := func(t interface {
		Fatal(...any)
		Errorf(string, ...any)
	}, c *facts.Case) {
		for _, mode := range rules.Modes {
			answer, err := FindAnswer("ship." + mode)
			if err != nil {
				t.Fatal(err)
			}
			desk, err := NewDesk(w.book, w.opts, answer).Answers(c, nil)
			if err != nil {
				t.Fatal(err)
			}
			word, err := reckon.Answer(c, "ship."+mode)
			if err != nil || word == "" || word != desk[0] {
				t.Errorf("%s: %s is %q (%v), and %q at the desk", c.Name, mode, word, err, desk[0])
			}
			whole, ok, err := reckon.Carriage(c, mode)
			if err != nil || !ok || whole.Allowed != word {
				t.Errorf("%s: %s is %q in words (%v, %v), and %q", c.Name, mode, whole.Allowed, ok, err, word)
			}
		}
	}
	for _, c := range shippedCases(t) {
		check(t, c)
	}
	rapid.Check(t, func(t *rapid.T) { check(t, w.anyCase(t)) })
}
