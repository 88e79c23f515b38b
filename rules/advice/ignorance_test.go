package advice

import (
	"fmt"
	"os"
	"testing"

	"loosecell/rules/facts"
)

// shop is the bench that the minimal cases lie over.
func shop(t *testing.T, w *testWorld) *facts.Case {
	const name = "../../testdata/shops/harbour-lane.yaml"
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	s, err := facts.ParseShop(w.cat, name, data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// minimal states what a technician reads off in a minute.
func minimal(t *testing.T, w *testWorld, over *facts.Case, stated map[string]string) *facts.Case {
	c := facts.NewCase(w.cat, "minimal")
	for name, text := range map[string]string{
		"battery.place": "in-open-device", "device.powered_off": "yes", "device.battery_disconnected": "yes",
		"battery.looked": "opened", "battery.history_asked": "yes",
	} {
		if err := c.SetText(w.cat, name, text); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range stated {
		if err := c.SetText(w.cat, name, text); err != nil {
			t.Fatal(err)
		}
	}
	return c.Over(over)
}

// usualCells are a marked energy and the volts of a low charge for each kind of
// device (common practice).
var usualCells = map[string][2]string{
	"phone": {"15 Wh", "3.6 V"}, "tablet": {"30 Wh", "3.45 V"}, "laptop": {"50 Wh", "10.2 V"},
	"earbud": {"0.2 Wh", "3.6 V"}, "earbud-case": {"2 Wh", "3.6 V"}, "watch": {"1.2 Wh", "3.6 V"},
	"handheld": {"12 Wh", "3.6 V"}, "other": {"12 Wh", "3.6 V"},
}

// From what is read off in a minute the sheet names a method, or the one that is
// likely, asks for at most three things, and exactly their answers lead to that
// method.
func TestMinimalCasesLeadToAMethod(t *testing.T) {
	w := newWorld(t)
	bench := shop(t, w)
	for kind, cell := range usualCells {
		for _, adhesive := range []string{"none", "stretch-strip", "lift-film", "pull-cord", "plain-tape", "liquid-glue", "foam", "voltage-release"} {
			for _, tab := range []string{"intact", "short", "torn", "buried"} {
				for _, charge := range []string{"gauge", "volts"} {
					stated := map[string]string{
						"device.kind": kind, "battery.rated_energy": cell[0],
						"adhesive.kind": adhesive, "adhesive.pull_tab": tab,
					}
					if charge == "gauge" {
						stated["battery.gauge_charge"] = "20 %"
					} else {
						stated["battery.rest_voltage"] = cell[1]
					}
					t.Run(fmt.Sprintf("%s/%s/%s/%s", kind, adhesive, tab, charge), func(t *testing.T) {
						most := 3
						if kind == "other" || charge == "volts" && (kind == "tablet" || kind == "laptop") {
							most = 4 // volts of what may be several cells: count and kind have to be read before they say anything
						}
						w.leadsToAMethod(t, minimal(t, w, bench, stated), most)
					})
				}
			}
		}
	}
}

func (w *testWorld) leadsToAMethod(t *testing.T, c *facts.Case, most int) {
	o, err := w.outcome(c)
	if err != nil {
		t.Fatal(err)
	}
	if o.verdict == "proceed" {
		return
	}
	if o.verdict != "prepare" {
		t.Fatalf("%s, %s", o.verdict, o.pick)
	}
	list, likely := w.prepare(c, o)
	text := ""
	for _, p := range list {
		text += "\n  " + p.Fact + ": " + p.Answer
	}
	if likely == "" || len(list) > most {
		t.Errorf("pick %s, likely %q after %d preparations:%s", o.pick, likely, len(list), text)
	}
	for _, p := range list {
		if err := c.SetText(w.cat, p.Fact, p.Answer); err != nil {
			t.Fatalf("prepare asks for %s: %q, which a case cannot say: %v", p.Fact, p.Answer, err)
		}
	}
	after, err := w.outcome(c)
	if err != nil {
		t.Fatal(err)
	}
	if after.verdict != "proceed" || after.pick != likely {
		t.Errorf("likely %q, yet answering%s\ngives %s with %s", likely, text, after.verdict, after.pick)
	}
}

// What is copied off a label ("Li-ion") is no worse than saying nothing.
func TestLabelWordsLeadToAMethod(t *testing.T) {
	w := newWorld(t)
	bench := shop(t, w)
	for kind, cell := range usualCells {
		for _, charge := range []string{"gauge", "volts"} {
			t.Run(kind+"/"+charge, func(t *testing.T) {
				stated := map[string]string{
					"device.kind": kind, "battery.chemistry": "li-ion", "battery.rated_energy": cell[0],
					"adhesive.kind": "stretch-strip", "adhesive.pull_tab": "intact",
				}
				if charge == "gauge" {
					stated["battery.gauge_charge"] = "20 %"
				} else {
					stated["battery.rest_voltage"] = cell[1]
				}
				w.leadsToAMethod(t, minimal(t, w, bench, stated), 4)
			})
		}
	}
}

// Of a device of which only the kind is known the first thing is to look.
func TestOnlyTheKindKnown(t *testing.T) {
	w := newWorld(t)
	bench := shop(t, w)
	for kind := range usualCells {
		t.Run(kind, func(t *testing.T) {
			c := facts.NewCase(w.cat, kind)
			if err := c.SetText(w.cat, "device.kind", kind); err != nil {
				t.Fatal(err)
			}
			for _, c := range []*facts.Case{c, c.Over(bench)} {
				o, err := w.outcome(c)
				if err != nil {
					t.Fatal(err)
				}
				list, _ := w.prepare(c, o)
				if o.verdict != "prepare" || len(list) == 0 || len(list) > 5 {
					t.Fatalf("%s, %d preparations", o.verdict, len(list))
				}
				if list[0].Fact != "battery.looked" && list[0].Fact != "battery.place" {
					t.Errorf("the first thing is %s", list[0].Fact)
				}
			}
		})
	}
}
