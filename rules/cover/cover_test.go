package cover_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loosecell/rules/advice"
	"loosecell/rules/advice/carriagetest"
	"loosecell/rules/book"
	"loosecell/rules/cover"
	"loosecell/rules/facts"
	"loosecell/rules/triage"
)

// leftovers are rows that stand at the end of a table only because a table has
// to end with a row for everything; the rows before them leave nothing.
var leftovers = map[string]string{
	"waste-code-none": "before or after 2026-11-09 is every day",
}

var onOneDay = advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}

// count reads all shipped cases, as the tests of advice do, and the list for
// carriage.
func count(t *testing.T) *cover.Coverage {
	t.Helper()
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	shopData, err := os.ReadFile("../../testdata/shops/harbour-lane.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shop, err := facts.ParseShop(facts.Shipped(), "harbour-lane.yaml", shopData)
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/cases/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	counter := cover.New(b)
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		c, err := facts.ParseCase(facts.Shipped(), filepath.Base(file), data)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(strings.SplitN(string(data), "\n", 2)[0], "--shop") {
			c = c.Over(shop)
		}
		if err := counter.Add(c, onOneDay); err != nil {
			t.Fatal(err)
		}
	}
	addList(t, counter, "../../testdata/cells/carriage.csv")
	return counter.Result()
}

func addList(t *testing.T, counter *cover.Counter, name string) {
	t.Helper()
	in, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	o := triage.Options{Name: filepath.Base(name), Bad: func(b triage.Bad) error {
		t.Errorf("%s:%d: %s: %s", name, b.Line, b.Column, b.Reason)
		return nil
	}}
	if err := triage.Cases(in, o, func(c *facts.Case) error { return counter.Add(c, onOneDay) }); err != nil {
		t.Fatal(err)
	}
}

// Every rule is met by a shipped case or a row of the list for carriage, and so is
// each side of each threshold.
func TestShippedCasesExerciseEveryRule(t *testing.T) {
	for _, r := range count(t).Entries {
		switch why := leftovers[r.ID]; {
		case r.Leftover && why == "":
			t.Errorf("%s (%s): nothing is left for it, and nobody says why", r.ID, r.At)
		case !r.Leftover && why != "":
			t.Errorf("%s is no leftover; it is held by %q", r.ID, r.Held)
		case r.Held == "" && !r.Leftover:
			t.Errorf("%s (%s): no case in which it holds", r.ID, r.At)
		}
		for _, m := range r.Missing() {
			t.Errorf("%s (%s): no case where %s", r.ID, r.At, m)
		}
		if whole := r.Held != "" || r.Leftover; r.Complete() != (whole && len(r.Missing()) == 0) {
			t.Errorf("%s: complete is %v", r.ID, r.Complete())
		}
	}
}

// A row for damage that is not ruled out is met where it is the answer, though its
// condition is never certain; a row that is only possible is not.
func TestTheStrictestRowThatCanBeIsMet(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	c, err := carriagetest.Parcel("battery.looked=no; battery.odour=; battery.venting=; battery.self_heating=")
	if err != nil {
		t.Fatal(err)
	}
	counter := cover.New(b)
	if err := counter.Add(c, onOneDay); err != nil {
		t.Fatal(err)
	}
	for _, r := range counter.Result().Entries {
		switch r.ID {
		case "adr-critical-not-ruled-out", "sea-critical-not-ruled-out":
			if r.Held != c.Name {
				t.Errorf("%s is held by %q", r.ID, r.Held)
			}
		case "adr-small-loose", "adr-damaged", "us-reacting-not-ruled-out":
			if r.Held != "" {
				t.Errorf("%s is held by %q, and it is not the answer", r.ID, r.Held)
			}
		}
	}
}

// A case counts for a rule only where its facts are certain.
func TestWhatIsNotKnownExercisesNoThreshold(t *testing.T) {
	b, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	c, err := facts.ParseCase(facts.Shipped(), "unknown.yaml", []byte("battery: {odour: unknown, swelling: none | slight}\n"))
	if err != nil {
		t.Fatal(err)
	}
	counter := cover.New(b)
	if err := counter.Add(c, onOneDay); err != nil {
		t.Fatal(err)
	}
	for _, r := range counter.Result().Entries {
		if r.ID == "critical-odour" && (r.Held != "" || len(r.Missing()) != 2) {
			t.Errorf("an unknown smell exercises critical-odour: held %q, missing %v", r.Held, r.Missing())
		}
		if r.ID == "damaged-swollen" && r.Held != "" {
			t.Errorf("swelling that may be none exercises damaged-swollen")
		}
	}
}
