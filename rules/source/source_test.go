package source

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

func table(t *testing.T, text string) (*Table, error) {
	t.Helper()
	return Load(fstest.MapFS{"s/a.yaml": &fstest.MapFile{Data: []byte(text)}}, "s")
}

func TestShippedTableIsWellFormed(t *testing.T) {
	docs := Shipped().Documents()
	if len(docs) < 40 {
		t.Fatalf("only %d documents", len(docs))
	}
	for _, d := range docs {
		if wrong := d.check(); wrong != "" {
			t.Errorf("%s:%d: %s", d.File, d.Line, wrong)
		}
		if got, ok := Shipped().Lookup(d.Key); !ok || got != d {
			t.Errorf("%s is not found by its key", d.Key)
		}
	}
	for _, key := range []string{"common-practice", "from-memory"} {
		if _, ok := Shipped().Lookup(key); !ok {
			t.Errorf("%s is missing", key)
		}
	}
}

func TestCitationsReadAsPeopleCite(t *testing.T) {
	tab, err := table(t, `
- {key: adr, title: ADR, edition: "2025", date: 2025, known: read, kind: law, until: 2027-01-01}
- {key: plain, title: A paper, known: secondary, kind: paper}
- {key: common-practice, title: common practice, known: practice, kind: practice}
- {key: from-memory, title: from memory, known: memory, kind: practice}
`)
	if err != nil {
		t.Fatal(err)
	}
	for cite, want := range map[string]string{
		"adr: SP 376":              "ADR, 2025, SP 376",
		"adr":                      "ADR, 2025",
		"plain: table 3: row 2":    "A paper, table 3: row 2",
		" plain ":                  "A paper",
		"common-practice":          "common practice",
		"common-practice: a bench": "common practice",
		"from-memory":              "from memory, not confirmed",
	} {
		c, err := tab.Resolve(cite)
		if err != nil || c.String() != want {
			t.Errorf("%q: %q, %v; want %q", cite, c, err, want)
		}
	}
	for cite, hint := range map[string]string{"plain-papers": "plain", "adr-sp": "adr", "": "table", ": 3": "table"} {
		if _, err := tab.Resolve(cite); err == nil || !strings.Contains(err.Error(), hint) {
			t.Errorf("%q: %v", cite, err)
		}
	}
	if (Citation{}).String() != "" {
		t.Error("an empty citation is not empty")
	}
}

func TestWhatADocumentMayDoDependsOnHowItIsKnown(t *testing.T) {
	for _, c := range []struct {
		known           Known
		permit, confirm bool
	}{{Read, true, false}, {Secondary, true, true}, {Practice, true, false}, {Memory, false, true}} {
		d := Document{Known: c.known}
		if d.MayPermit() != c.permit || d.Confirm() != c.confirm {
			t.Errorf("%s: may permit %v, confirm %v", c.known, d.MayPermit(), d.Confirm())
		}
	}
}

func TestADocumentIsOverOnTheDayItEnds(t *testing.T) {
	d := Document{Until: "2027-01-01"}
	last := time.Date(2026, 12, 31, 23, 0, 0, 0, time.UTC)
	if d.Over(last) || !d.Over(last.Add(time.Hour)) {
		t.Error("until is not half open")
	}
	if (&Document{}).Over(last) {
		t.Error("a document without an end is over")
	}
}

func TestBadTablesAreRefusedWithFileAndLine(t *testing.T) {
	for text, want := range map[string]string{
		"- {key: a, title: A, known: read, kind: law}\n- {key: a, title: B, known: read, kind: law}": "s/a.yaml:2: a is already in s/a.yaml:1",
		"- {key: A b, title: A, known: read, kind: law}":                                             "small-words",
		"- {key: a, known: read, kind: law}":                                                         "no title",
		"- {key: a, title: A, known: rumour, kind: law}":                                             "rumour",
		"- {key: a, title: A, known: read, kind: song}":                                              "song",
		"- {key: a, title: A, known: practice, kind: law}":                                           "from memory",
		"- {key: a, title: A, known: read, kind: law, date: 2026-13}":                                "2026-13",
		"- {key: a, title: A, known: read, kind: law, until: 2026}":                                  "2026",
		"- {key: a, title: A, known: read, kind: law, untill: 2026-01-01}":                           "untill",
		"- a":      "no field",
		"key: a":   "list of documents",
		"- {key: ": "list of documents",
		"- {key: [a], title: A, known: read, kind: law}": "s/a.yaml:1",
	} {
		if _, err := table(t, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s\ngave %v, want %q", text, err, want)
		}
	}
	if _, err := Load(fstest.MapFS{}, "s"); err == nil {
		t.Error("an empty folder is a table")
	}
}

func TestAllBadEntriesAreNamedAtOnce(t *testing.T) {
	_, err := table(t, "- {key: A, title: A, known: read, kind: law}\n- {key: b, title: B, known: x, kind: law}\n")
	if err == nil || !strings.Contains(err.Error(), "a.yaml:1") || !strings.Contains(err.Error(), "a.yaml:2") {
		t.Errorf("got %v", err)
	}
}
