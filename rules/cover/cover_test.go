package cover_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loosecell/rules/advice"
	"loosecell/rules/book"
	"loosecell/rules/cover"
	"loosecell/rules/facts"
)

// unreachable are rows that stand at the end of a table only because a table has
// to end with a row for everything; the rows before them leave nothing.
var unreachable = map[string]string{
	"waste-code-none": "before or after 2026-11-09 is every day",
}

// count reads all shipped cases, as the tests of advice do.
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
	files, err := filepath.Glob("../../testdata/cases/[0-9]*.yaml")
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
		if err := counter.Add(c, advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}); err != nil {
			t.Fatal(err)
		}
	}
	return counter.Result()
}

// Every rule but those of carriage is exercised by a shipped case, and so is
// each side of each threshold. Carriage is covered by the published cases that
// package advice is held to (testdata/published).
func TestShippedCasesExerciseEveryRule(t *testing.T) {
	for _, r := range count(t).Entries {
		if strings.HasPrefix(r.At, "shipped/transport-") {
			continue
		}
		if why := unreachable[r.ID]; r.Held == "" && why == "" {
			t.Errorf("%s (%s): no case in which it holds", r.ID, r.At)
		} else if r.Held != "" && why != "" {
			t.Errorf("%s is reached after all, by %s", r.ID, r.Held)
		}
		for _, m := range r.Missing() {
			t.Errorf("%s (%s): no case where %s", r.ID, r.At, m)
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
	if err := counter.Add(c, advice.Options{Now: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)}); err != nil {
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
