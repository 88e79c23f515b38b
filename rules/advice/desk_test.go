package advice

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

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
