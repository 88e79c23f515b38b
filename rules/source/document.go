package source

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Known says how a document is known to those who wrote the rules. It decides
// what a rule that stands on it may do.
type Known string

// How a document is known, from best to least.
const (
	Read      Known = "read"      // the text itself was read
	Secondary Known = "secondary" // read in another text that quotes or sums it up
	Practice  Known = "practice"  // no document: what careful benches do
	Memory    Known = "memory"    // not read; may only tighten or ask
)

// Kind says what sort of document it is.
type Kind string

// The kinds of documents.
const (
	Law        Kind = "law"
	Standard   Kind = "standard"
	Paper      Kind = "paper"
	Guidance   Kind = "guidance"
	Dataset    Kind = "dataset"
	Handbook   Kind = "handbook"
	PracticeOf Kind = "practice" // no document at all
)

var (
	knownWords = []Known{Read, Secondary, Practice, Memory}
	kindWords  = []Kind{Law, Standard, Paper, Guidance, Dataset, Handbook, PracticeOf}
)

// A Document is one entry of the table.
type Document struct {
	Key     string `yaml:"key"`
	Title   string `yaml:"title"`
	Edition string `yaml:"edition"` // edition, volume or number; may be empty
	Date    string `yaml:"date"`    // 2026, 2026-11 or 2026-11-24; may be empty
	Known   Known  `yaml:"known"`
	Kind    Kind   `yaml:"kind"`
	Until   string `yaml:"until"` // first day on which it no longer holds; may be empty
	Note    string `yaml:"note"`

	File string `yaml:"-"` // where the entry stands
	Line int    `yaml:"-"`
}

// MayPermit reports whether a rule may permit something on this document alone.
func (d *Document) MayPermit() bool { return d.Known != Memory }

// Confirm reports whether the reader has to be told to confirm it in the
// current edition.
func (d *Document) Confirm() bool { return d.Known == Secondary || d.Known == Memory }

// Over reports whether the document no longer holds on a day.
func (d *Document) Over(on time.Time) bool {
	until, err := time.Parse(time.DateOnly, d.Until)
	return err == nil && !on.Before(until)
}

var (
	keyShape  = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	dateShape = regexp.MustCompile(`^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$`)
)

// check returns what is wrong with the entry, "" if nothing is.
func (d *Document) check() string {
	switch {
	case !keyShape.MatchString(d.Key):
		return fmt.Sprintf("key %q is not of the form small-words-with-hyphens", d.Key)
	case strings.TrimSpace(d.Title) == "":
		return fmt.Sprintf("%s has no title", d.Key)
	case !slices.Contains(knownWords, d.Known):
		return fmt.Sprintf("%s: known %q is none of read, secondary, practice, memory", d.Key, d.Known)
	case !slices.Contains(kindWords, d.Kind):
		return fmt.Sprintf("%s: kind %q is none of law, standard, paper, guidance, dataset, handbook, practice", d.Key, d.Kind)
	case d.Known == Practice && d.Kind != PracticeOf:
		return fmt.Sprintf("%s: a %s is known by reading or from memory, not by practice", d.Key, d.Kind)
	case d.Date != "" && !validDate(d.Date):
		return fmt.Sprintf("%s: date %q is not of the form 2026, 2026-11 or 2026-11-24", d.Key, d.Date)
	case d.Until != "" && (len(d.Until) != len(time.DateOnly) || !validDate(d.Until)):
		return fmt.Sprintf("%s: until %q is not a day of the form 2026-11-24", d.Key, d.Until)
	}
	return ""
}

func validDate(s string) bool {
	if !dateShape.MatchString(s) {
		return false
	}
	_, err := time.Parse(time.DateOnly[:len(s)], s)
	return err == nil
}

// A Citation is a place in a document.
type Citation struct {
	Document *Document
	Clause   string // may be empty
}

// Join names documents in one line, the first first.
func Join(list []Citation) string {
	var out []string
	for _, c := range list {
		out = append(out, c.String())
	}
	return strings.Join(out, "; ")
}

// String returns the citation as a person reads it: title, edition, clause.
// What is only done, and written nowhere, is called common practice.
func (c Citation) String() string {
	d := c.Document
	switch {
	case d == nil:
		return ""
	case d.Kind == PracticeOf && d.Known == Memory:
		return "from memory, not confirmed"
	case d.Kind == PracticeOf:
		return "common practice"
	}
	parts := []string{d.Title}
	for _, part := range []string{d.Edition, c.Clause} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}
