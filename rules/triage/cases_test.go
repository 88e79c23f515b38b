package triage_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"loosecell/rules"
	"loosecell/rules/advice/carriagetest"
	"loosecell/rules/facts"
	"loosecell/rules/triage"
)

// read returns the cases of a list, cloned, and what is wrong with its rows.
func read(t *testing.T, list string, o triage.Options) (cases []*facts.Case, bad []string) {
	t.Helper()
	o.Bad = func(b triage.Bad) error {
		bad = append(bad, fmt.Sprintf("%d %s %s", b.Line, b.Column, b.Code))
		return nil
	}
	err := triage.Cases(strings.NewReader(list), o, func(c *facts.Case) error {
		cases = append(cases, c.Clone())
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cases, bad
}

// A table and the same cells as JSON lines are the same cases.
func TestCasesOfBothForms(t *testing.T) {
	shop := facts.NewCase(facts.Shipped(), "shop")
	if err := shop.SetText(facts.Shipped(), "dispatch.jurisdiction", "eu"); err != nil {
		t.Fatal(err)
	}
	lists := map[string]string{
		"csv":   "job.id,note,battery.chemistry,battery.rated_energy [Wh],dispatch.jurisdiction\nA,x,lco,15,\n,y,nmc,,uk\n",
		"jsonl": `{"job.id":"A","note":"x","battery":{"chemistry":"lco","rated_energy [Wh]":15}}` + "\n" + `{"note":"y","battery.chemistry":"nmc","dispatch.jurisdiction":"uk"}`,
	}
	for form, list := range lists {
		cases, bad := read(t, list, triage.Options{Name: "day", Shop: shop, Keep: []string{"note"}})
		if len(cases) != 2 || len(bad) > 0 {
			t.Fatalf("%s: %d cases, bad %v", form, len(cases), bad)
		}
		first := 2
		if form == "jsonl" {
			first = 1
		}
		if want := fmt.Sprintf("day:%d A", first); cases[0].Name != want {
			t.Errorf("%s: the first is named %q, want %q", form, cases[0].Name, want)
		}
		if want := fmt.Sprintf("day:%d", first+1); cases[1].Name != want {
			t.Errorf("%s: the second is named %q, want %q", form, cases[1].Name, want)
		}
		if v := cases[0].Get("battery.rated_energy"); v.Low != 15 || v.High != 15 {
			t.Errorf("%s: rated energy %v", form, v)
		}
		f, _ := facts.Shipped().Lookup("dispatch.jurisdiction")
		for i, want := range []string{"eu", "uk"} {
			if got := f.Names(cases[i].Get("dispatch.jurisdiction").Words); !slices.Equal(got, []string{want}) {
				t.Errorf("%s: row %d is under %v, want %s", form, i, got, want)
			}
		}
		if cases[1].Get("job.id").State != facts.Missing {
			t.Errorf("%s: the second row kept the job of the first", form)
		}
	}
}

func TestCasesTellBadRowsAndGoOn(t *testing.T) {
	list := "job.id,battery.made,battery.chemistry\nA,nonsense,lco\nB\nC,2020-01-01,lco\n\"D,,\nE,,nmc\n"
	cases, bad := read(t, list, triage.Options{Name: "day.csv"})
	if len(cases) != 2 || cases[0].Name != "day.csv:4 C" || cases[1].Name != "day.csv:6 E" {
		t.Errorf("cases %v", cases)
	}
	if want := []string{"2 battery.made bad-date", "3  ragged-row", "5  csv-syntax"}; !slices.Equal(bad, want) {
		t.Errorf("bad rows %q, want %q", bad, want)
	}
}

func TestCasesOfNoList(t *testing.T) {
	for name, list := range map[string]string{"array": `[{"job.id":"A"}]`, "no heading": "1,2,3\n"} {
		err := triage.Cases(strings.NewReader(list), triage.Options{Name: "x"}, func(*facts.Case) error { return nil })
		var problems facts.Problems
		if !errors.As(err, &problems) || problems[0].At.File != "x" {
			t.Errorf("%s: error %v", name, err)
		}
	}
	stop := errors.New("enough")
	for _, list := range []string{"job.id,battery.made\nA,2020-01-01\nB,\n", "job.id,battery.made\nA,nonsense\nB,\n"} {
		uses := 0
		err := triage.Cases(strings.NewReader(list), triage.Options{Bad: func(triage.Bad) error { return stop }},
			func(*facts.Case) error { uses++; return stop })
		if !errors.Is(err, stop) || uses > 1 {
			t.Errorf("error %v after %d uses, want the one that was given", err, uses)
		}
	}
}

// The shipped list for carriage is answered, mode by mode, as
// testdata/expected/carriage.csv says. What stands there is the law written down a
// second time (package carriagetest), and is held against it here; for cells on
// which nobody has looked or asked, the sources that each row names.
func TestTheListForCarriageIsAnsweredAsTheLawSays(t *testing.T) {
	expected := expectedCarriage(t)
	sound, err := carriagetest.Parcel("")
	if err != nil {
		t.Fatal(err)
	}
	in, err := os.Open("../../testdata/cells/carriage.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	b, ruled := shipped(t), 0
	bad := func(b triage.Bad) error { t.Errorf("line %d: %s: %s", b.Line, b.Column, b.Reason); return nil }
	err = triage.Cases(in, triage.Options{Name: "carriage.csv", Bad: bad}, func(c *facts.Case) error {
		job := c.Get("job.id").Text
		want, ok := expected[job]
		if !ok {
			t.Errorf("%s: nothing is expected of it, or it stands twice", c.Name)
			return nil
		}
		delete(expected, job)
		got, err := carriagetest.Carried(b, c)
		if err != nil {
			return err
		}
		var law map[string]carriagetest.Answer
		if certain(c, "battery.looked", "both-faces") && certain(c, "battery.history_asked", "yes") {
			// The law asks what a look has shown; the row leaves that to the look.
			law = carriagetest.Law(c.Over(sound))
			ruled++
		}
		for _, miss := range carriagetest.Misses(law, got) {
			t.Errorf("%s: %s", c.Name, miss)
		}
		for i, mode := range rules.Modes {
			if got[mode].Allowed != want[i] {
				t.Errorf("%s: %s is answered %q, want %q", c.Name, mode, got[mode].Allowed, want[i])
			}
			if law != nil && law[mode].Allowed != want[i] {
				t.Errorf("%s: %s is expected as %q, and the law says %q", c.Name, mode, want[i], law[mode].Allowed)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for job := range expected {
		t.Errorf("%q is expected, and is no row of the list", job)
	}
	if ruled < 90 {
		t.Errorf("the law rules on %d rows only", ruled)
	}
}

func certain(c *facts.Case, fact, word string) bool {
	f, _ := facts.Shipped().Lookup(fact)
	return slices.Equal(f.Names(c.Get(fact).Words), []string{word})
}

// expectedCarriage reads what each mode has to answer, by job.
func expectedCarriage(t *testing.T) map[string][]string {
	t.Helper()
	f, err := os.Open("../../testdata/expected/carriage.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	modes := len(rules.Modes)
	if want := slices.Concat([]string{"job.id"}, rules.Modes, []string{"source"}); !slices.Equal(lines[0], want) {
		t.Fatalf("the columns are %v, want %v", lines[0], want)
	}
	out := map[string][]string{}
	for _, line := range lines[1:] {
		if out[line[0]] != nil || line[modes+1] == "" {
			t.Errorf("%q stands twice or names no source", line[0])
		}
		out[line[0]] = line[1 : modes+1]
	}
	return out
}
