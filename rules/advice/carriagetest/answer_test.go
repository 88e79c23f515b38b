package carriagetest

import (
	"testing"

	"loosecell/rules/advice"
)

// An answer is compared in every field that asks something, and in no other.
func TestEveryFieldOfAnAnswerIsCompared(t *testing.T) {
	pct, kg := 30.0, 5.0
	got := advice.Shipping{
		Mode: "air-cargo", Allowed: "yes", UNNumber: "UN 3481", Basis: []string{"PI 966-II"}, Marks: []string{"Battery mark"},
		Edition: "ICAO Technical Instructions 2025-2026", EditionUntil: "2026-12-31", SoCCapPct: &pct, SoCCapKind: "mandatory", NetLimitKg: &kg,
	}
	for _, tc := range []struct {
		name   string
		want   Answer
		misses int
	}{
		{"nothing asked", Answer{}, 0},
		{"all as it is", Answer{Allowed: "yes", UN: "UN 3481", Clauses: []string{"PI 966-II", "not A154"}, Words: []string{"Battery mark", "not Class 9A", "until 2026-12-31"},
			ChargeCap: "30", CapKind: "mandatory", NetLimit: "5"}, 0},
		{"another permission", Answer{Allowed: "no"}, 1},
		{"another entry", Answer{UN: "UN 3480"}, 1},
		{"a clause that lacks and one too many", Answer{Clauses: []string{"A154", "not PI 966-II"}}, 2},
		{"words that lack and words too many", Answer{Words: []string{"Class 9A", "not Battery mark"}}, 2},
		{"other limits", Answer{ChargeCap: "25", CapKind: "recommended", NetLimit: "35"}, 3},
		{"a cap where there is none", Answer{CapKind: "none"}, 1},
		{"a limit that is no number", Answer{NetLimit: "five"}, 1},
	} {
		if misses := tc.want.Misses(got); len(misses) != tc.misses {
			t.Errorf("%s: %d misses %q, want %d", tc.name, len(misses), misses, tc.misses)
		}
	}
}

func TestNothingIsPublishedInAnEmptyFolder(t *testing.T) {
	if _, err := Published(t.TempDir()); err == nil {
		t.Error("no error for a folder without tables")
	}
	if _, err := Parcel("battery.flavour=sweet"); err == nil {
		t.Error("no error for a fact that is none")
	}
}
