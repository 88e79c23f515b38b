package proof_test

import (
	"encoding/csv"
	"os"
	"testing"

	"loosecell/rules"
)

// lawDates lists the dates of a book by rule or row and key.
func lawDates(b *rules.Book) map[string]string {
	out := map[string]string{}
	note := func(id, from, until string) {
		if from != "" {
			out[id+" from"] = from
		}
		if until != "" {
			out[id+" until"] = until
		}
	}
	for i := range b.Rules() {
		r := &b.Rules()[i]
		note(r.ID, r.From, r.Until)
		if r.Choose == nil {
			continue
		}
		for j := range r.Choose.Rows {
			note(r.Choose.Rows[j].ID, r.Choose.Rows[j].From, r.Choose.Rows[j].Until)
		}
	}
	return out
}

// publishedDates reads the dates that the laws behind the rules were published
// with.
func publishedDates(t testing.TB) map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/law-dates.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, line := range lines[1:] {
		if line[3] == "" {
			t.Errorf("%s %s has no source", line[0], line[1])
		}
		out[line[0]+" "+line[1]] = line[2]
	}
	return out
}

// Every rule and row stands from and until the dates that were published.
func TestDatesAreThePublishedOnes(t *testing.T) {
	got, want := lawDates(shippedBook(t)), publishedDates(t)
	for key, date := range got {
		if want[key] == "" {
			t.Errorf("%s %s: no published date in testdata/published/law-dates.csv", key, date)
		} else if want[key] != date {
			t.Errorf("%s is %s, published is %s", key, date, want[key])
		}
	}
	for key := range want {
		if got[key] == "" {
			t.Errorf("%s stands in law-dates.csv and no longer in the rules", key)
		}
	}
}
