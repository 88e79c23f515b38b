package difference_test

import (
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"loosecell/rules/book"
	"loosecell/rules/difference"
	"loosecell/rules/facts"
)

func readCase(t *testing.T, name string) *facts.Case {
	t.Helper()
	data, err := os.ReadFile("../../testdata/cases/" + name)
	if err != nil {
		t.Fatal(err)
	}
	c, err := facts.ParseCase(facts.Shipped(), name, data)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func on(t *testing.T, day string, shop ...book.File) difference.Side {
	t.Helper()
	b, err := book.With(shop...)
	if err != nil {
		t.Fatal(err)
	}
	return difference.Side{Book: b, On: day, Now: time.Unix(0, 0)}
}

func changes(t *testing.T, a, b difference.Side, c *facts.Case) map[string]difference.Change {
	t.Helper()
	d, err := difference.Between(a, b, c)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]difference.Change{}
	for _, ch := range d.Changes {
		out[ch.Answer] = ch
	}
	return out
}

// Since 2026-01-01 the 30 % is binding for batteries packed with equipment that
// fly (ICAO Technical Instructions 2025-2026, packing instruction 966): a battery
// at 80 % that could fly the day before cannot fly now.
func TestTurnOfTheYear2026(t *testing.T) {
	c := readCase(t, "65-ship-spare-beside-device.yaml")
	if err := c.SetText(facts.Shipped(), "battery.gauge_charge", "80 %"); err != nil {
		t.Fatal(err)
	}
	got := changes(t, on(t, "2025-12-31"), on(t, "2026-01-01"), c)
	cap, ok := got["shipping.air-cargo.soc_cap_kind"]
	if !ok || cap.From != "recommended" || cap.To != "mandatory" {
		t.Errorf("the cap: %+v", cap)
	}
	allowed := got["shipping.air-cargo.allowed"]
	if allowed.From != "yes" || allowed.To == "yes" {
		t.Errorf("air-cargo: %+v", allowed)
	}
	if !slices.ContainsFunc(allowed.By, func(id string) bool { return strings.HasPrefix(id, "+") }) ||
		!slices.ContainsFunc(allowed.By, func(id string) bool { return strings.HasPrefix(id, "-") }) {
		t.Errorf("it does not say by which rows: %v", allowed.By)
	}
	for answer := range got {
		if !strings.HasPrefix(answer, "shipping.") && !strings.HasPrefix(answer, "storage.") {
			t.Errorf("%s changes with the year", answer)
		}
	}
}

// The waste codes of the EU change on 2026-11-09 (Commission Delegated Decision
// 2025/934).
func TestWasteCodesOfNovember2026(t *testing.T) {
	c := readCase(t, "737-eu-business-before-november.yaml")
	got := changes(t, on(t, "2026-11-08"), on(t, "2026-11-09"), c)["storage.waste"]
	if !strings.Contains(got.From, "16 06 05") || !strings.Contains(got.To, "16 06 07*") {
		t.Errorf("%+v", got)
	}
	if !slices.Contains(got.By, "-waste-code-business-before") || !slices.Contains(got.By, "+waste-code-business") {
		t.Errorf("by %v", got.By)
	}
}

func TestWasteCodesOfHouseholds(t *testing.T) {
	c := readCase(t, "738-eu-household-before-november.yaml")
	got := changes(t, on(t, "2026-11-08"), on(t, "2026-11-09"), c)["storage.waste"]
	if !strings.Contains(got.From, "20 01 34") || !strings.Contains(got.To, "20 01 43*") {
		t.Errorf("%+v", got)
	}
}

// Nothing changes from a day to the same day, nor where no rule changes.
func TestNothingChangesWithoutAReason(t *testing.T) {
	for _, days := range [][2]string{{"2026-11-24", "2026-11-24"}, {"2026-11-24", "2026-11-25"}} {
		for _, name := range []string{"01-phone-strips-whole.yaml", "09-phone-sweet-smell.yaml", "62-ship-swollen-to-recycler.yaml"} {
			if got := changes(t, on(t, days[0]), on(t, days[1]), readCase(t, name)); len(got) > 0 {
				t.Errorf("%s from %s to %s: %v", name, days[0], days[1], got)
			}
		}
	}
}

// A rule of a shop shows in what it changes, with its id.
func TestShopRuleShows(t *testing.T) {
	shop := book.File{Name: "shop.yaml", Data: []byte(`
topic: harbour-lane
rules:
  - id: no-strips-here
    restrict: {forbid: [rung.stretch-strips]}
    because: Nobody here has done it yet.
    source: common-practice
`)}
	got := changes(t, on(t, "2026-11-24"), on(t, "2026-11-24", shop), readCase(t, "45-lithium-metal.yaml"))
	if _, ok := got["verdict"]; ok {
		t.Errorf("a cell held by screws does not care: %v", got)
	}
	ch := changes(t, on(t, "2026-11-24"), on(t, "2026-11-24", shop), readCase(t, "08-phone-dented-strips-whole.yaml"))["removal.rungs.stretch-strips.may"]
	if ch.From != "yes" || ch.To != "no" || !slices.Contains(ch.By, "+no-strips-here") {
		t.Errorf("%+v", ch)
	}
}

// A rule stands under the answers it bears on and no other; one that bears on
// none that differs stands once, besides.
func TestRulesStandUnderWhatTheyBearOn(t *testing.T) {
	shop := book.File{Name: "shop.yaml", Data: []byte(`
topic: harbour-lane
rules:
  - id: no-strips-here
    restrict: {forbid: [rung.stretch-strips]}
    because: Nobody here has done it yet.
    source: common-practice
  - id: no-posting-here
    restrict: {forbid: [ship.post]}
    because: The post does not take them here.
    source: common-practice
  - id: cold-room
    say: {list: cautions, text: The room is cold in winter.}
    source: common-practice
`)}
	d, err := difference.Between(on(t, "2026-11-24"), on(t, "2026-11-24", shop), readCase(t, "08-phone-dented-strips-whole.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	under := map[string][]string{}
	for _, ch := range d.Changes {
		for _, id := range ch.By {
			under[id] = append(under[id], ch.Answer)
			if slices.Contains(d.Besides, id) {
				t.Errorf("%s stands under %s and besides", id, ch.Answer)
			}
		}
	}
	if got := under["+no-strips-here"]; !slices.Equal(got, []string{"removal.rungs.stretch-strips.may"}) {
		t.Errorf("no-strips-here stands under %v", got)
	}
	if got := under["+cold-room"]; !slices.Equal(got, []string{"cautions"}) {
		t.Errorf("cold-room stands under %v", got)
	}
	if !slices.Contains(d.Besides, "+no-posting-here") { // the case does not ask for carriage
		t.Errorf("besides are %v", d.Besides)
	}
}
