package advice

import (
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// judged is the storage part of a case's answer that store.go fills.
func judged(t *testing.T, on, yaml string) *Storage {
	t.Helper()
	w := writerOf(t, on, yaml)
	s := &Storage{Class: "recycling", Waste: w.lines("waste")}
	w.storeVerdict(s)
	return s
}

func writerOf(t *testing.T, on, yaml string) *writer {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	c, err := facts.ParseCase(facts.Shipped(), "case", []byte(yaml))
	if err != nil {
		t.Fatal(err)
	}
	a := &adviser{book: b, cat: c.Catalogue(), opts: Options{On: on, Now: time.Unix(0, 0)}}
	o, err := a.outcome(c)
	if err != nil {
		t.Fatal(err)
	}
	return &writer{adviser: a, outcome: o, fill: o.placeholders()}
}

func texts(lines []Line) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.Text + " <" + l.Source + ">\n")
	}
	return b.String()
}

const soundCell = `
battery: {place: removed, looked: both-faces, history_asked: yes, rated_energy: 15 Wh, rest_voltage: 3.7 V, volts_at: cell}
device: {kind: phone}
`

// Waste law by place and date. Published: 40 CFR 273.13(a) and the EPA's answers
// on a breached casing; Decision (EU) 2025/934, applied from 2026-11-09.
func TestWasteByPlaceAndDate(t *testing.T) {
	for name, c := range map[string]struct {
		on, yaml  string
		has, lack []string
	}{
		"nothing said of place: silent": {"2026-06-01", soundCell + "dispatch: {purpose: recycle}", nil, []string{"niversal", "code"}},
		"place but no purpose: silent":  {"2026-06-01", soundCell + "dispatch: {jurisdiction: us}", nil, []string{"niversal", "code"}},
		"us, closed casing": {"2026-06-01", soundCell + "dispatch: {jurisdiction: us, purpose: recycle, discarded_by: business}",
			[]string{"Universal waste: every cell casing", "Universal Waste-Battery(ies)", "within a year", "273.14(a)"}, []string{"D001", "Waste code"}},
		"us, swollen but sealed stays universal waste": {"2026-06-01", "battery: {place: removed, looked: both-faces, swelling: slight}\ndispatch: {jurisdiction: us, purpose: dispose, discarded_by: business}",
			[]string{"Universal waste: every cell casing", "do neither"}, []string{"D001", "Allowed while"}},
		"us, pierced": {"2026-06-01", "battery: {place: removed, looked: both-faces, puncture: confirmed}\ndispatch: {jurisdiction: us, purpose: recycle, discarded_by: business}",
			[]string{"D001", "D003", "273.13(a)(2)"}, []string{"Label each", "Allowed while"}},
		"us, leaking": {"2026-06-01", "battery: {place: removed, leakage: suspected}\ndispatch: {jurisdiction: us, purpose: recycle, discarded_by: business}",
			[]string{"D001", "Contain what has leaked"}, []string{"Label each"}},
		"us, nobody looked: both, and the question": {"2026-06-01", "battery: {place: removed}\ndispatch: {jurisdiction: us, purpose: recycle, discarded_by: business}",
			[]string{"Either: Casing open", "Either: Universal waste", "Look for a hole"}, []string{"Label each"}},
		"us, household":           {"2026-06-01", soundCell + "dispatch: {jurisdiction: us, purpose: recycle, discarded_by: household}", []string{"by choice", "273.8"}, nil},
		"eu business, day before": {"2026-11-08", soundCell + "dispatch: {jurisdiction: eu, purpose: recycle, discarded_by: business}", []string{"16 06 05 if a business"}, []string{"Either"}},
		"eu business, the day":    {"2026-11-09", soundCell + "dispatch: {jurisdiction: eu, purpose: recycle, discarded_by: business}", []string{"16 06 07* if a business", "2025/934"}, []string{"16 06 05", "20 01 43"}},
		"eu household":            {"2026-11-09", soundCell + "dispatch: {jurisdiction: eu, purpose: recycle, discarded_by: household}", []string{"20 01 43* if a household", "crossed-out bin"}, []string{"16 06"}},
		"eu household before":     {"2026-06-01", soundCell + "dispatch: {jurisdiction: eu, purpose: recycle, discarded_by: household}", []string{"20 01 34 if a household"}, []string{"16 06"}},
		"eu, nobody said who":     {"2026-11-09", soundCell + "dispatch: {jurisdiction: eu, purpose: recycle}", []string{"Either: Waste code 16 06 07*", "Either: Waste code 20 01 43*", "Who gave it up"}, nil},
		"uk keeps the old codes":  {"2026-11-20", soundCell + "dispatch: {jurisdiction: uk, purpose: recycle, discarded_by: business}", []string{"16 06 05 inside the UK"}, []string{"16 06 07*  if"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := texts(judged(t, c.on, c.yaml).Waste)
			for _, want := range c.has {
				if !strings.Contains(got, want) {
					t.Errorf("want %q in:\n%s", want, got)
				}
			}
			for _, never := range c.lack {
				if strings.Contains(got, never) {
					t.Errorf("want no %q in:\n%s", never, got)
				}
			}
		})
	}
}

// The store. Published: WAC 51-54A-0322 (7.5 ft3 = 212.4 L, 15 ft3 = 424.8 L,
// 3 ft = 914 mm); VdS 3103 (2.5 m, 5 m over 100 Wh); the year of 40 CFR 273.15.
func TestStoreVerdict(t *testing.T) {
	const good = "store: {container: vented-noncombustible, combustibles_distance: 3 m, sleeping_above: no"
	for name, c := range map[string]struct{ on, yaml, verdict, limit string }{
		"nothing stated: silent":    {"2026-06-01", soundCell, "", ""},
		"good":                      {"2026-06-01", soundCell + good + "}", "fit", "holds no pressure"},
		"only the container stated": {"2026-06-01", soundCell + "store: {container: open-noncombustible}", "open", "not known"},
		"airtight":                  {"2026-06-01", soundCell + "store: {container: closed-airtight, combustibles_distance: 3 m, sleeping_above: no}", "unfit", "airtight"},
		"cardboard":                 {"2026-06-01", soundCell + "store: {container: cardboard, combustibles_distance: 3 m, sleeping_above: no}", "mend", "322.4.1(1)"},
		"cardboard, not looked at":  {"2026-06-01", "battery: {place: removed}\nstore: {container: cardboard, combustibles_distance: 3 m, sleeping_above: no}", "unfit", "not proven sound"},
		"212 L":                     {"2026-06-01", soundCell + good + ", volume: 212 L}", "fit", ""},
		"213 L":                     {"2026-06-01", soundCell + good + ", volume: 213 L}", "mend", "322.4.1(2)"},
		"425 L":                     {"2026-06-01", soundCell + good + ", volume: 425 L}", "unfit", "permit"},
		"914 mm apart":              {"2026-06-01", soundCell + good + ", separation: 914 mm}", "fit", ""},
		"913 mm apart":              {"2026-06-01", soundCell + good + ", separation: 913 mm}", "mend", "322.4.1(3)"},
		"2.4 m to what burns":       {"2026-06-01", soundCell + "store: {container: vented-noncombustible, combustibles_distance: 2.4 m, sleeping_above: no, sprinklers: no}", "mend", "2.5 m"},
		"the same with sprinklers":  {"2026-06-01", soundCell + "store: {container: vented-noncombustible, combustibles_distance: 2.4 m, sleeping_above: no, sprinklers: yes}", "fit", ""},
		"damaged, with sprinklers":  {"2026-06-01", "battery: {place: removed, swelling: slight}\nstore: {container: vented-noncombustible, combustibles_distance: 2.4 m, sleeping_above: no, sprinklers: yes}", "unfit", "2.5 m"},
		"150 Wh at 3 m":             {"2026-06-01", "battery: {place: removed, looked: both-faces, history_asked: yes, rated_energy: 150 Wh}\n" + good + ", sprinklers: no}", "mend", "5 m"},
		"sleepers and damage":       {"2026-06-01", "battery: {place: removed, swelling: slight}\nstore: {container: vented-noncombustible, combustibles_distance: 3 m, sleeping_above: yes}", "unfit", "Not overnight"},
		"us, day 365":               {"2026-06-01", soundCell + good + ", since: 2025-06-01}\ndispatch: {jurisdiction: us, purpose: recycle}", "fit", "leaves by 2026-06-01"},
		"us, day 366":               {"2026-06-02", soundCell + good + ", since: 2025-06-01}\ndispatch: {jurisdiction: us, purpose: recycle}", "unfit", "366 days"},
	} {
		t.Run(name, func(t *testing.T) {
			s := judged(t, c.on, c.yaml)
			if word, _, _ := strings.Cut(s.StoreVerdict, ":"); word != c.verdict {
				t.Errorf("store verdict %q, want %q; limits:\n%s", s.StoreVerdict, c.verdict, texts(s.Limits))
			}
			if got := texts(s.Limits); !strings.Contains(got, c.limit) {
				t.Errorf("want %q in:\n%s", c.limit, got)
			}
		})
	}
}

// A cell that must lie apart or outdoors does not fit where other cells lie.
// Common practice; VdS 3103 for damaged cells apart from others.
func TestStoreIsJudgedAgainstTheClassOfTheCell(t *testing.T) {
	const store = "store: {container: vented-noncombustible, combustibles_distance: 3 m, sleeping_above: no"
	for name, c := range map[string]struct{ class, yaml, verdict string }{
		"critical beside others":   {"outdoor-quarantine", "battery: {place: removed, odour: yes, rated_energy: 15 Wh}\n" + store + ", cells: 3}", "unfit"},
		"critical, alone":          {"outdoor-quarantine", "battery: {place: removed, odour: yes, rated_energy: 15 Wh}\n" + store + ", cells: 0}", "open"},
		"damaged beside others":    {"kept-apart", "battery: {place: removed, swelling: slight, rated_energy: 15 Wh}\n" + store + ", cells: 3}", "mend"},
		"damaged, nobody counted":  {"kept-apart", "battery: {place: removed, swelling: slight, rated_energy: 15 Wh}\n" + store + "}", "open"},
		"sound beside others, fit": {"recycling", soundCell + store + ", cells: 3}", "fit"},
	} {
		t.Run(name, func(t *testing.T) {
			s := &Storage{Class: c.class}
			writerOf(t, "2026-06-01", c.yaml).storeVerdict(s)
			if word, _, _ := strings.Cut(s.StoreVerdict, ":"); word != c.verdict {
				t.Errorf("store verdict %q, want %q; limits:\n%s", s.StoreVerdict, c.verdict, texts(s.Limits))
			}
		})
	}
}

// Nothing that a person can do lifts a swelling, so nothing is offered for it.
func TestNothingPutsBackWhatASwellingBars(t *testing.T) {
	w := writerOf(t, "2026-06-01", "battery: {place: in-open-device, looked: opened, history_asked: yes, swelling: slight}\nadhesive: {kind: plain-tape}\ndevice: {kind: phone}")
	for _, p := range []rules.Permission{"rung.card", "heat"} {
		if back := w.putBack(p); len(back) > 0 {
			t.Errorf("%s: %q, want nothing", p, back)
		}
	}
}
