package listing

import (
	"bytes"
	"strings"
	"testing"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/book"
	"loosecell/rules/facts"
)

// allFacts are pointers into the shipped catalogue, derived ones included.
func allFacts() []*facts.Fact {
	cat := facts.Shipped()
	var all []*facts.Fact
	for i := range cat.Facts {
		all = append(all, &cat.Facts[i])
	}
	return all
}

func withinWidth(t *testing.T, text string) {
	t.Helper()
	for i, line := range strings.Split(text, "\n") {
		if n := page.Cells(line); n > page.Width {
			t.Errorf("line %d has %d cells: %q", i+1, n, line)
		}
	}
}

func TestEveryFactIsListed(t *testing.T) {
	var short, full bytes.Buffer
	if err := WriteFacts(&short, allFacts(), false); err != nil {
		t.Fatal(err)
	}
	if err := WriteFacts(&full, allFacts(), true); err != nil {
		t.Fatal(err)
	}
	withinWidth(t, short.String())
	withinWidth(t, full.String())
	shaped := Facts(allFacts())
	for i, f := range allFacts() {
		if !strings.Contains(short.String(), f.Key()) || !strings.Contains(full.String(), f.Name) {
			t.Errorf("%s is not listed", f.Name)
		}
		if shaped[i].Name != f.Name || shaped[i].Kind == "" {
			t.Errorf("%s is shaped as %+v", f.Name, shaped[i])
		}
	}
}

func TestOrderOfHazardIsShown(t *testing.T) {
	for name, want := range map[string]string{
		"battery.swelling":     "none < slight < severe; sign", // worse to the right
		"bench.eye_protection": "yes < no",                     // lacking it is worse
	} {
		fact, ok := facts.Shipped().Lookup(name)
		if !ok {
			t.Errorf("%s is not in the catalogue", name)
		} else if got := summary(fact); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, want it to begin %q", name, got, want)
		}
	}
}

func TestEveryRuleSaysWhatItDoes(t *testing.T) {
	shipped, err := book.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	var short, full bytes.Buffer
	if err := WriteRules(&short, shipped.Rules()); err != nil {
		t.Fatal(err)
	}
	if err := WriteRulesInFull(&full, shipped.Rules()); err != nil {
		t.Fatal(err)
	}
	withinWidth(t, short.String())
	withinWidth(t, full.String())
	for _, r := range Rules(shipped.Rules()) {
		switch {
		case r.Effect == "" || len(r.Does) == 0:
			t.Errorf("%s: no effect is shown", r.ID)
		case len(r.Sources) == 0:
			t.Errorf("%s: no source is shown", r.ID)
		case !strings.Contains(full.String(), r.ID):
			t.Errorf("%s is not shown", r.ID)
		}
		for _, s := range r.Sources {
			if s.Text == "" || knownWords[s.Known] == "" {
				t.Errorf("%s: source %+v", r.ID, s)
			}
		}
	}
}
