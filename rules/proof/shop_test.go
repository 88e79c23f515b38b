package proof_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
	"loosecell/rules/proof"
)

func withShop(t *testing.T, text string) *rules.Book {
	t.Helper()
	b, err := book.With(book.File{Name: "shop.yaml", Data: []byte(text)})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// confirmed runs the case of a finding as it was printed.
func confirmed(t *testing.T, b *rules.Book, f proof.Finding) *advice.Decided {
	t.Helper()
	c, err := facts.ParseCase(facts.Shipped(), "counter-example.yaml", []byte(f.Case))
	if err != nil {
		t.Fatalf("%v\n%s", err, f.Case)
	}
	d, err := advice.Decide(b, c, advice.Options{On: f.On, Now: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A jig that holds the display away from the pad: the shop lifts the shipped
// restriction, says so, and the statement it breaks is named with its rule.
const jig = `
topic: harbour-lane
rules:
  - id: our-jig-keeps-the-display-off
    when: device.kind == 'tablet' and bench.thermometer
    lift: [heat, rung.warm]
    relaxes: {rule: no-heat-through-a-display, why: "The jig keeps the display off the pad.", who: "the owner of the bench", until: 2027-03-01}
    because: With the jig the heat does not pass through the display.
    source: common-practice
`

func TestRelaxingRuleIsNamedWithWhatItBreaks(t *testing.T) {
	b := withShop(t, jig)
	r := prove(t, b, proof.Options{OnlyLaws: []string{proof.LawInvariant}})
	var broken []string
	for _, f := range r.Findings {
		if f.Status == proof.Proved {
			continue
		}
		broken = append(broken, f.What)
		if !slices.Contains(f.By, "our-jig-keeps-the-display-off") {
			t.Errorf("%s is broken by %v", f.What, f.By)
		}
		d := confirmed(t, b, f)
		if n := len(b.Ask(d.Full, d.Alarm).Against("heat")); n != 0 && strings.Contains(f.How, "heat") {
			t.Errorf("the case as printed has %d restrictions against heat:\n%s", n, f.Case)
		}
	}
	if !slices.Equal(broken, []string{"no-heat-through-displays"}) {
		t.Errorf("broken: %v", broken)
	}
}

// A restriction is lifted only where the shop's rule certainly holds, only before
// its day, and never on a cell that may be critical.
func TestRelaxationHoldsOnlyWhereItIsCertain(t *testing.T) {
	b := withShop(t, jig)
	base := `
battery:
  place: in-open-device
  looked: opened
  history_asked: yes
  chemistry: lco
  series_cells: 1
  rest_voltage: 3.7 V
  rest_drop: 0 V
  off_time: 1 h
  temperature: 20 degC
  temperature_rate: 0 K/min
  assessed: none
device: {kind: tablet, under_cell: display}
bench: {thermometer: yes, air_temperature: 20 degC}
`
	for _, c := range []struct {
		name, on string
		with     map[string]string
		lifted   bool
	}{
		{"certain", "2026-11-24", nil, true},
		{"its last day", "2027-02-28", nil, true},
		{"expired", "2027-03-01", nil, false},
		{"no thermometer", "2026-11-24", map[string]string{"bench.thermometer": "no"}, false},
		{"thermometer not known", "2026-11-24", map[string]string{"bench.thermometer": "unknown"}, false},
		{"kind not known", "2026-11-24", map[string]string{"device.kind": "tablet | phone"}, false},
		{"pierced", "2026-11-24", map[string]string{"battery.puncture": "confirmed"}, false},
		{"perhaps pierced", "2026-11-24", map[string]string{"battery.puncture": "unknown"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			kase, err := facts.ParseCase(facts.Shipped(), "case.yaml", []byte(base))
			if err != nil {
				t.Fatal(err)
			}
			for name, value := range c.with {
				if err := kase.SetText(facts.Shipped(), name, value); err != nil {
					t.Fatal(err)
				}
			}
			d, err := advice.Decide(b, kase, advice.Options{On: c.on})
			if err != nil {
				t.Fatal(err)
			}
			against := b.Ask(d.Full, d.Alarm).Against("heat")
			stands := slices.ContainsFunc(against, func(f rules.Finding) bool { return f.Rule.ID == "no-heat-through-a-display" })
			if stands == c.lifted {
				t.Errorf("lifted: %v, want %v", !stands, c.lifted)
			}
			a, err := advice.Advise(b, kase, advice.Options{On: c.on})
			if err != nil {
				t.Fatal(err)
			}
			if c.lifted && (len(a.Relaxations) != 1 || a.Relaxations[0].ShippedRule != "no-heat-through-a-display" || a.Relaxations[0].Until != "2027-03-01") {
				t.Errorf("the sheet says %+v", a.Relaxations)
			}
		})
	}
}

// A sheet that a relaxation does not touch says nothing of it.
func TestUntouchedSheetIsSilent(t *testing.T) {
	c, err := facts.ParseCase(facts.Shipped(), "case.yaml", []byte("device: {kind: phone}\n"))
	if err != nil {
		t.Fatal(err)
	}
	a, err := advice.Advise(withShop(t, jig), c, advice.Options{On: "2026-11-24"})
	if err != nil {
		t.Fatal(err)
	}
	if a.Relaxations != nil {
		t.Errorf("%+v", a.Relaxations)
	}
}

// A relaxed cap gives way only where the shop's rule certainly holds.
func TestRelaxedCap(t *testing.T) {
	b := withShop(t, `
topic: harbour-lane
rules:
  - id: our-large-tablets-take-more
    when: device.kind == 'tablet'
    restrict: {cap: {solvent.dose: '3 mL'}}
    relaxes: {rule: solvent-dose, why: "Large tablets need more.", who: "the owner of the bench", until: 2027-03-01}
    because: Large tablets need more.
    source: common-practice
`)
	for kind, want := range map[string]float64{"tablet": 3, "phone": 2, "unknown": 2} {
		c := facts.NewCase(facts.Shipped(), "case")
		for name, value := range map[string]string{"device.kind": kind, "battery.swelling": "none", "battery.thickness": "5 mm",
			"battery.nominal_thickness": "5 mm", "adhesive.solvent_used": "no", "battery.puncture": "none", "battery.leakage": "none",
			"battery.odour": "no", "battery.discoloured": "no", "battery.venting": "no", "battery.self_heating": "no", "battery.temperature": "20 degC",
			"bench.air_temperature": "20 degC", "battery.temperature_rate": "0 K/min", "battery.rest_drop": "0 V", "battery.assessed": "none",
			"battery.rest_voltage": "3.7 V", "battery.series_cells": "1", "battery.chemistry": "lco", "battery.off_time": "1 h"} {
			if err := c.SetText(facts.Shipped(), name, value); err != nil {
				t.Fatal(err)
			}
		}
		d, err := advice.Decide(b, c, advice.Options{On: "2026-11-24"})
		if err != nil {
			t.Fatal(err)
		}
		got, by, _ := b.Ask(d.Full, d.Alarm).Cap("solvent.dose")
		if kind == "unknown" && got > want || kind != "unknown" && got != want {
			t.Errorf("%s: the dose is capped at %g mL by %s, want %g", kind, got, by.ID, want)
		}
	}
}

// A shop that opens the way to a lever on a charged cell breaks statements of
// both kinds, and the offer itself shows in the run.
func TestShopPermitBreaksStatements(t *testing.T) {
	b := withShop(t, `
topic: harbour-lane
rules:
  - id: our-masters-card-at-any-charge
    when: bench.worker == 'trained' and battery.looked <= 'opened'
    permit: [rung.card]
    relaxes: {rule: force-wants-low-charge, why: "Our masters are careful.", who: "the owner of the bench", until: 2027-03-01}
    because: Our masters are careful.
    source: common-practice
`)
	r := prove(t, b, proof.Options{OnlyLaws: []string{proof.LawInvariant}})
	for _, want := range []string{"heat-and-force-never-over-30", "heat-and-force-want-low-charge"} {
		i := slices.IndexFunc(r.Findings, func(f proof.Finding) bool { return f.What == want })
		f := r.Findings[i]
		if f.Status != proof.Refuted || !slices.Equal(f.By, []string{"our-masters-card-at-any-charge"}) {
			t.Fatalf("%s: %s by %v (%s)", want, f.Status, f.By, f.How)
		}
		d := confirmed(t, b, f)
		if want == "heat-and-force-never-over-30" && d.May["rung.card"] != expression.True {
			t.Errorf("the case as printed gives %v", d.May["rung.card"])
		}
	}
	for _, f := range r.Findings {
		if f.Status != proof.Proved && strings.Contains(f.What, "critical") {
			t.Errorf("%s is broken: %s", f.What, f.How)
		}
	}
}
