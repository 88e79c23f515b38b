package why

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

var options = advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

// asked are the answers explained here: permitted and not, picked and stopped.
var asked = []struct{ file, path string }{
	{"02-phone-one-tab-torn", "verdict"},
	{"03-phone-plain-tape-over-display", "heat"},
	{"05-laptop-swollen-glued", "verdict"},
	{"08-phone-dented-strips-whole", "heat"},
	{"11-phone-alone-in-store-room", "verdict"},
	{"22-torn-tab-solvent-used", "removal.pick"},
	{"34-phone-tape-warm", "condition"},
	{"42-pierced", "verdict"},
	{"02-phone-one-tab-torn", "storage.class"},
}

func fixture(t *testing.T, file string) (*rules.Book, *facts.Case) {
	t.Helper()
	b, err := book.With() // its own arena: explaining makes it grow
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile("../../testdata/cases/" + file + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := facts.ParseCase(facts.Shipped(), file, data)
	if err != nil {
		t.Fatal(err)
	}
	return b, c
}

// TestExplanationsAreTrue holds every explanation against the engine: rules by
// taking them out of the book, changes by making them.
func TestExplanationsAreTrue(t *testing.T) {
	for _, q := range asked {
		t.Run(q.file+" "+q.path, func(t *testing.T) {
			t.Parallel()
			b, c := fixture(t, q.file)
			w, err := Explain(b, c, q.path, options)
			if err != nil {
				t.Fatal(err)
			}
			x, err := newExplainer(b, c, q.path, options)
			if err != nil {
				t.Fatal(err)
			}
			everyNeededRuleIsNamed(t, x, w)
			noIrrelevantRuleIsNamed(t, x, w)
			flipsFlip(t, x, w)
		})
	}
}

// everyNeededRuleIsNamed takes out each rule of the book alone.
func everyNeededRuleIsNamed(t *testing.T, x *explainer, w *Why) {
	for _, r := range x.book.Rules() {
		if r.Say != nil {
			continue
		}
		is, err := x.without(map[string]bool{r.ID: true}, false)
		if err != nil {
			t.Fatal(err)
		}
		named := slices.ContainsFunc(w.Reasons, func(s Reason) bool { return s.Rule == r.ID && s.Part == Needed })
		if (is != w.Is) != named {
			t.Errorf("without %s the answer is %s, was %s; named as needed: %v", r.ID, is, w.Is, named)
		}
	}
}

// noIrrelevantRuleIsNamed shows of each named rule how the answer rests on it.
func noIrrelevantRuleIsNamed(t *testing.T, x *explainer, w *Why) {
	for _, r := range w.Reasons {
		gone := map[string]bool{}
		for _, id := range r.Given {
			gone[id] = true
		}
		switch r.Part {
		case Enough, Joint:
			before, err := x.without(gone, r.Granted)
			if err != nil {
				t.Fatal(err)
			}
			gone[r.Rule] = true
			after, err := x.without(gone, r.Granted)
			if err != nil {
				t.Fatal(err)
			}
			if before != w.Is || after == w.Is {
				t.Errorf("%s (%s): the answer is %s with it and %s without it, given the others gone", r.Rule, r.Part, before, after)
			}
		case Behind:
			grade, _ := x.book.Rule(r.Rule)
			target, _ := x.book.Rule(r.For)
			reads := slices.ContainsFunc(w.Reasons, func(s Reason) bool {
				return s.Rule == r.For && slices.ContainsFunc(s.Facts, func(f Seen) bool { return strings.HasPrefix(f.Fact, "answer.") })
			})
			if !reads && !x.implies(grade, target) {
				t.Errorf("%s does not make %s hold", r.Rule, r.For)
			}
		case Offer:
			offer, _ := x.book.Rule(r.Rule)
			if offer.Permit == nil || x.ask.Explore(offer.Holds) == expression.True {
				t.Errorf("%s is no offer that does not hold", r.Rule)
			}
		}
		if len(r.Facts) == 0 && r.Effect != "restrict" && r.Effect != "choose" {
			t.Errorf("%s names no fact it saw", r.Rule)
		}
	}
}

// flipsFlip makes each change, then less of it.
func flipsFlip(t *testing.T, x *explainer, w *Why) {
	for _, f := range w.Flips {
		if got := changed(t, x, f.Parts...); got != f.To {
			t.Errorf("%v gives %s, was to give %s", f.Parts, got, f.To)
		}
		if len(f.Parts) == 2 {
			for _, p := range f.Parts {
				if got := changed(t, x, p); got != w.Is {
					t.Errorf("%v: one part alone gives %s already", f.Parts, got)
				}
			}
		}
		for i, p := range f.Parts {
			if less, ok := nearer(t, x, p); ok && len(f.Parts) == 1 {
				parts := slices.Clone(f.Parts)
				parts[i] = less
				if got := changed(t, x, parts...); got != w.Is {
					t.Errorf("%v: a nearer %v gives %s already", f.Parts, less, got)
				}
			}
		}
	}
}

// changed is the answer of the case with parts of a flip made.
func changed(t *testing.T, x *explainer, parts ...Part) string {
	t.Helper()
	c := x.c.Clone()
	for _, p := range parts {
		if p.Fact == "battery.looked" {
			advice.LookAgain(c, p.To)
		} else if err := c.SetText(x.cat, p.Fact, p.To); err != nil {
			t.Fatal(err)
		}
	}
	is, err := x.reckon.Answer(c, x.path)
	if err != nil {
		t.Fatal(err)
	}
	return is
}

// nearer moves a number one step of its lattice back to what it is now.
func nearer(t *testing.T, x *explainer, p Part) (Part, bool) {
	f, _ := x.cat.Lookup(p.Fact)
	v, _ := x.reckon.Value(x.c, p.Fact)
	if f.Kind == facts.Words || f.Kind == facts.Members || !v.Exact() {
		return p, false
	}
	low, _, err := facts.ParseQuantity(p.To, f.Unit)
	if err != nil {
		t.Fatal(err)
	}
	l := lineOf(f)
	k, at := int(math.Round(low/l.unit)), int(math.Round(v.Low/l.unit))
	switch {
	case k > at+1:
		k--
	case k < at-1:
		k++
	default:
		return p, false
	}
	p.To = f.FormatValue(l.value(k))
	return p, true
}

// A cell that must not be discharged is never said to be open to discharging,
// however much that would change the answer.
func TestNobodyIsToldToDischargeADamagedCell(t *testing.T) {
	for _, file := range []string{"05-laptop-swollen-glued", "08-phone-dented-strips-whole"} {
		b, c := fixture(t, file)
		w, err := Explain(b, c, "verdict", options)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range w.Flips {
			for _, p := range f.Parts {
				if p.Fact == "battery.gauge_charge" && p.Kind == Changeable {
					t.Errorf("%s: %v is called changeable", file, p)
				}
			}
		}
	}
}

// Common practice: the store room case (11) is made safe to start by air and by
// running the phone down, in two steps; a puncture is as it is.
func TestKindsOfChange(t *testing.T) {
	b, c := fixture(t, "11-phone-alone-in-store-room")
	w, err := Explain(b, c, "verdict", options)
	if err != nil {
		t.Fatal(err)
	}
	both := slices.IndexFunc(w.Flips, func(f Flip) bool { return f.To == "proceed" && len(f.Parts) == 2 })
	if both < 0 || KindOf(w.Flips[both]) != Changeable {
		t.Fatalf("airing and discharging are not named: %v", w.Flips)
	}
	b, c = fixture(t, "42-pierced")
	if w, err = Explain(b, c, "verdict", options); err != nil {
		t.Fatal(err)
	}
	for _, f := range w.Flips {
		if len(f.Parts) == 1 && f.Parts[0].Fact == "battery.puncture" && KindOf(f) != Fixed {
			t.Errorf("a puncture is %s", KindOf(f))
		}
	}
}

// A mode of carriage is explained although the case does not speak of carriage.
func TestAnswersThatAreNotAsked(t *testing.T) {
	b, c := fixture(t, "02-phone-one-tab-torn")
	w, err := Explain(b, c, "ship.road", options)
	if err != nil || w.Is == "" || len(w.Reasons) == 0 || len(w.Nearby) == 0 {
		t.Errorf("ship.road: %+v, %v", w, err)
	}
	if _, err := Explain(b, c, "nonsense", options); err == nil {
		t.Error("nonsense was explained")
	}
}
