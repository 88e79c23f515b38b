package advice_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gopkg.in/yaml.v3"

	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// expectation is what a case must come out as; an empty field is not checked.
type expectation struct {
	Verdict, Pick, Condition, Transport, Discharge, Heat, Solvent, Storage, Likely string
	Target                                                                         float64
}

const casesDir = "../../testdata/cases"

// TestShippedCases holds every case of testdata/cases against its expected
// answers, which were written from the scenarios of the trade (common practice)
// and not from what the program prints.
func TestShippedCases(t *testing.T) {
	data, err := os.ReadFile("../../testdata/expected/cases.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var expected map[string]expectation
	if err := yaml.Unmarshal(data, &expected); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(casesDir, "[0-9]*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		t.Run(name, func(t *testing.T) {
			want, ok := expected[name]
			if !ok {
				t.Skip("nothing is expected of this case here")
			}
			check(t, want, adviseFile(t, file, strings.HasPrefix(name, "9")))
		})
	}
	for name := range expected {
		if _, err := os.Stat(filepath.Join(casesDir, name+".yaml")); err != nil {
			t.Errorf("testdata/expected/cases.yaml speaks of %s, which is no case", name)
		}
	}
}

func adviseFile(t *testing.T, file string, withShop bool) *advice.Advice {
	t.Helper()
	c := parse(t, file, facts.ParseCase)
	if withShop {
		c = c.Over(parse(t, "../../testdata/shops/harbour-lane.yaml", facts.ParseShop))
	}
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	a, err := advice.Advise(b, c, advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func parse(t *testing.T, file string, read func(*facts.Catalogue, string, []byte) (*facts.Case, error)) *facts.Case {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, err := read(facts.Shipped(), file, data)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func check(t *testing.T, want expectation, a *advice.Advice) {
	t.Helper()
	storage := ""
	if a.Storage != nil {
		storage = a.Storage.Class
	}
	for _, c := range []struct{ what, want, got string }{
		{"verdict", want.Verdict, a.Verdict}, {"removal.pick", want.Pick, a.Removal.Pick},
		{"removal.likely", want.Likely, a.Removal.Likely},
		{"condition", want.Condition, a.Condition}, {"transport_state", want.Transport, a.TransportState},
		{"discharge.action", want.Discharge, a.Discharge.Action}, {"heat.may", want.Heat, a.Heat.May},
		{"solvent.may", want.Solvent, a.Solvent.May}, {"storage.class", want.Storage, storage},
	} {
		if c.want != "" && c.want != c.got {
			t.Errorf("%s is %s, want %s", c.what, c.got, c.want)
		}
	}
	if want.Target != 0 && want.Target != a.Discharge.TargetSoCPct {
		t.Errorf("discharge.target is %g %%, want %g", a.Discharge.TargetSoCPct, want.Target)
	}
}

// TestPresumedWarmthIsNoEvidence: a cell whose temperature nobody took does not
// alarm in a cold room.
func TestPresumedWarmthIsNoEvidence(t *testing.T) {
	c := parse(t, casesDir+"/33-soldered-coin.yaml", facts.ParseCase)
	c.Unset("battery.temperature")
	if err := c.SetText(facts.Shipped(), "bench.air_temperature", "5 degC"); err != nil {
		t.Fatal(err)
	}
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	a, err := advice.Advise(b, c, advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	if a.Verdict == "stop" || a.Verdict == "evacuate" {
		t.Errorf("verdict %s: %s", a.Verdict, a.Because)
	}
}
