package labels

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/compact"
	"loosecell/rules/facts"
)

var day = Request{Kind: Bag, Mode: "road", On: "2026-11-24", Now: time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)}

func shipped(t *testing.T) *rules.Book {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func parsed(t *testing.T, text string) *facts.Case {
	t.Helper()
	c, err := facts.ParseCase(facts.Shipped(), "case", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Every sentence on marks that the rulebook can print is read: as words with
// their legal height, as a place of the legal size, or as no mark at all.
func TestEveryMarkOfTheRulebookIsKnown(t *testing.T) {
	b := shipped(t)
	seen := 0
	all := b.Rules()
	for i := range all {
		if all[i].Choose == nil {
			continue
		}
		for _, row := range all[i].Choose.Rows {
			fields, ok := row.Value.(map[string]any)
			if !ok {
				continue
			}
			list, _ := fields["marks"].([]any)
			for _, item := range list {
				sentence := filled(item.(string))
				seen++
				m, err := readMark(sentence)
				if err != nil {
					t.Errorf("%s: %v", row.ID, err)
				}
				if m.Words == "" && m.Place == "" && !strings.HasPrefix(sentence, "No ") {
					t.Errorf("%s: nothing is printed for %q", row.ID, sentence)
				}
				if m.Words != "" && m.HeightMM < 12 && !strings.Contains(sentence, "6 mm") {
					t.Errorf("%s: letters of %g mm for %q", row.ID, m.HeightMM, sentence)
				}
			}
		}
	}
	if seen < 30 {
		t.Errorf("only %d marks: this test looks in the wrong place", seen)
	}
}

// filled puts words in the place of what the rulebook fills in for a case.
func filled(sentence string) string {
	return strings.NewReplacer("{un}", "UN 3480", "{name}", "LITHIUM ION BATTERIES", "{damaged}", "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
		"{waste}", "LITHIUM BATTERIES FOR RECYCLING", "{us_damaged}", "Damaged/defective lithium ion battery").Replace(sentence)
}

func TestLegalSizes(t *testing.T) {
	for name, c := range map[string]struct {
		sentence  string
		words     string
		height    float64
		wide, tal float64
	}{
		// 49 CFR 173.185(f): characters at least 12 mm.
		"US damaged": {"Damaged/defective lithium ion battery, letters at least 12 mm", "DAMAGED/DEFECTIVE LITHIUM ION BATTERY", 12, 0, 0},
		// ADR 2025, SP 376 with 3.3.1: 12 mm.
		"ADR damaged": {"DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES, letters at least 12 mm", "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES", 12, 0, 0},
		// 49 CFR 173.185(c)(1)(v): 6 mm, and 12 mm over 30 kg; the larger holds for both.
		"US forbidden aboard": {"LITHIUM BATTERIES-FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL, letters at least 6 mm (12 mm over 30 kg)",
			"LITHIUM BATTERIES-FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL", 12, 0, 0},
		// ADR 2025, 5.2.1.1: 12 mm.
		"UN number": {"UN 3480", "UN 3480", 12, 0, 0},
		// ADR 2025, 5.2.1.9.2: 100 x 100 mm.
		"battery mark": {"Battery mark with UN 3480: red hatched edge at least 5 mm wide, 100 x 100 mm, or 100 x 70 mm if the package is small.", "", 0, 100, 100},
		// ADR 2025, 5.2.2.2.1: a square of 100 mm on its corner, so its diagonal: 100 √2 = 141.4 mm.
		"class 9A": {"Class 9A label", "", 0, 142, 142},
		// 120 x 110 mm.
		"cargo aircraft only": {"Cargo Aircraft Only label, at least 120 x 110 mm", "", 0, 120, 110},
		"no mark":             {"No outside mark in international mail.", "", 0, 0, 0},
	} {
		m, err := readMark(c.sentence)
		if err != nil || m.Words != c.words || m.HeightMM != c.height || m.WideMM != c.wide || m.HighMM != c.tal {
			t.Errorf("%s: %+v, %v", name, m, err)
		}
	}
	if _, err := readMark("A mark of another kind"); err == nil {
		t.Error("a mark that no label knows was taken")
	}
}

// The day to look again agrees with how often the rulebook says to look.
func TestLookAgainAgreesWithTheRulebook(t *testing.T) {
	b := shipped(t)
	rows, err := conditions()
	if err != nil {
		t.Fatal(err)
	}
	table := b.Table("storage.look_again")
	for name, c := range rows {
		for _, row := range table.Choose.Rows {
			if !slices.Contains(c.rules, row.ID) {
				continue
			}
			text, _ := row.Value.(string)
			want := 0
			switch {
			case strings.Contains(text, "weekly"):
				want = 7
			case strings.Contains(text, "daily"), strings.Contains(text, "24 h"):
				want = 1
			}
			if c.lookAgainDays != want {
				t.Errorf("%s looks again after %d days, and the rulebook says %q", name, c.lookAgainDays, text)
			}
		}
		for _, id := range c.rules {
			if _, ok := b.Rule(id); !ok && !slices.ContainsFunc(table.Choose.Rows, func(r rules.Row) bool { return r.ID == id }) {
				t.Errorf("%s stands on %s, which is no rule", name, id)
			}
		}
	}
}

// The code on a label holds a case that gives the same advice, for every case
// that may have a label.
func TestTheCodeGivesTheSameAdvice(t *testing.T) {
	b := shipped(t)
	names, err := filepath.Glob("../../testdata/cases/[0-9]*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatal("no cases", err)
	}
	options := advice.Options{On: day.On, Now: day.Now}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		c := parsed(t, string(data))
		want, err := advice.Advise(b, c, options)
		if err != nil {
			t.Fatal(err)
		}
		l, err := Make(b, c, nil, day)
		var refused *Refused
		if errors.As(err, &refused) != (want.Verdict == "evacuate") {
			t.Errorf("%s: verdict %s and label %v", name, want.Verdict, err)
		}
		if err != nil {
			continue
		}
		back, err := compact.Decode(facts.Shipped(), c.Name, l.Code)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		got, err := advice.Advise(b, back, options)
		if err != nil {
			t.Fatal(err)
		}
		if got.Verdict != want.Verdict || got.Condition != want.Condition || got.Because != want.Because || len(got.Trace) != len(want.Trace) {
			t.Errorf("%s: the code advises %s %s, the case %s %s", name, got.Verdict, got.Because, want.Verdict, want.Because)
		}
		if l.Condition != want.Condition {
			t.Errorf("%s: the label says %s, the advice %s", name, l.Condition, want.Condition)
		}
	}
}

const swollen = `
job: {id: HL-9, goal: ship}
battery: {place: removed, looked: both-faces, history_asked: yes, chemistry: lco, rated_energy: 12 Wh, series_cells: 1, swelling: slight, leakage: none, puncture: none, odour: no, deformation: none, rest_voltage: 3.7 V, volts_at: cell, rest_time: 200 min, terminals: covered, test_summary: yes, wh_printed: yes, mass: 50 g}
dispatch: {purpose: recycle, packing: by-itself, destination: recycler, discarded_by: business, cells: 1, batteries: 0, equipment: 0, packages: 1, net_mass: 0.05 kg, gross_mass: 1 kg, prototype: no, own_vehicle: no}
`

func TestLabelOfASwollenCell(t *testing.T) {
	b := shipped(t)
	shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte("shop: {name: Harbour Lane bench, emergency_number: \"112\"}\ndispatch: {jurisdiction: us}\n"))
	if err != nil {
		t.Fatal(err)
	}
	l, err := Make(b, parsed(t, swollen), shop, day)
	if err != nil {
		t.Fatal(err)
	}
	if l.Condition != "damaged" || l.Heading != "DAMAGED BATTERY: QUARANTINE" || l.LookAgain != "2026-11-25" || l.Date != "2026-11-24" {
		t.Errorf("%+v", l)
	}
	// 40 CFR 273.14(a): one of the three wordings.
	if !slices.Contains(l.Law, "Universal Waste-Battery(ies)") {
		t.Errorf("the words of 40 CFR 273.14 are missing: %q", l.Law)
	}
	parcel := day
	parcel.Kind = Parcel
	if l, err = Make(b, parsed(t, swollen), shop, parcel); err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(l.Marks, func(m Mark) bool {
		return m.Words == "DAMAGED/DEFECTIVE LITHIUM ION BATTERY" && m.HeightMM >= 12
	}) {
		t.Errorf("the mark of 49 CFR 173.185(f) is missing: %+v", l.Marks)
	}
	parcel.Mode = "air-cargo"
	var refused *Refused
	if _, err := Make(b, parsed(t, swollen), shop, parcel); !errors.As(err, &refused) {
		t.Errorf("a swollen cell got a label for a flight: %v", err)
	}
}

// European waste codes change on 2026-11-09 (Delegated Decision (EU) 2025/934).
func TestWasteCodeFollowsTheDate(t *testing.T) {
	b := shipped(t)
	shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte("dispatch: {jurisdiction: eu}\n"))
	if err != nil {
		t.Fatal(err)
	}
	for on, want := range map[string]string{"2026-11-08": "16 06 05", "2026-11-09": "16 06 07*"} {
		q := day
		q.On = on
		l, err := Make(b, parsed(t, swollen), shop, q)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(strings.Join(l.Law, "; "), want) {
			t.Errorf("%s: %q, want code %s", on, l.Law, want)
		}
	}
}

func TestWhatIsFailingGetsNoLabel(t *testing.T) {
	var refused *Refused
	if _, err := Make(shipped(t), parsed(t, "battery: {venting: yes}"), nil, day); !errors.As(err, &refused) {
		t.Errorf("a hissing cell was labelled: %v", err)
	}
	if _, err := Make(shipped(t), parsed(t, ""), nil, Request{Kind: "hat", On: day.On}); err == nil {
		t.Error("a kind of label that is none was made")
	}
}

// A critical cell gets the label of the bag it waits in, and none of a parcel,
// whatever the law of a mode would allow, before somebody competent has judged it
// (ADR SP 376; for the United States the stricter reading of 49 CFR 173.185 (f)).
func TestWhatIsCriticalGetsNoParcel(t *testing.T) {
	b := shipped(t)
	const judged = ", assessed: not-critical, assessed_by: the maker's engineer, assessed_on: "
	for _, c := range []struct {
		name, place, sign string
		parcel            bool
	}{
		{"swollen only", "us", "odour: no", true},
		{"smelling", "us", "odour: yes", false},
		{"smelling", "eu", "odour: yes", false},
		{"smelling and judged", "eu", "odour: yes" + judged + "2026-11-20", true},
		{"smelling and judged long ago", "eu", "odour: yes" + judged + "2026-01-20", false},
		{"leaking, cold", "eu", "odour: no, discoloured: no, terminal_corrosion: no, leakage: confirmed", false},
		{"leaking, cold", "us", "odour: no, leakage: confirmed", false},
		{"warm", "us", "odour: no, temperature: 32 degC, off_time: 60 min", false},
		{"warm and judged", "eu", "odour: no, temperature: 32 degC, off_time: 60 min" + judged + "2026-11-20", false},
	} {
		t.Run(c.name+" "+c.place, func(t *testing.T) {
			shop, err := facts.ParseShop(facts.Shipped(), "shop", []byte("bench: {air_temperature: 20 degC}\ndispatch: {jurisdiction: "+c.place+"}\n"))
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Replace(swollen, "odour: no", c.sign, 1)
			if strings.Contains(c.sign, "leakage") {
				text = strings.Replace(text, "leakage: none, ", "", 1)
			}
			if _, err := Make(b, parsed(t, text), shop, day); err != nil {
				t.Errorf("no label for the bag: %v", err)
			}
			q := day
			q.Kind, q.Mode = Parcel, "road"
			var refused *Refused
			if _, err := Make(b, parsed(t, text), shop, q); errors.As(err, &refused) == c.parcel {
				t.Errorf("label of a parcel: %v", err)
			}
		})
	}
}
