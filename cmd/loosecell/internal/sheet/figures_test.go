package sheet

import (
	"strings"
	"testing"

	"loosecell/cmd/loosecell/internal/page"
)

func TestMinutes(t *testing.T) {
	for in, want := range map[float64]string{0: "no time", 0.5: "under 1 min", 1: "1 min", 12.2: "13 min", 89: "89 min", 90: "1 h 30 min", 120: "2 h"} {
		if got := strings.ReplaceAll(minutes(in), string(page.Glue), " "); got != want {
			t.Errorf("minutes(%v) = %q, want %q", in, got, want)
		}
	}
}

func TestNumber(t *testing.T) {
	for in, want := range map[float64]string{0: "0", 3.85: "3.85", 5.2: "5.2", 15.36: "15.4", 4980: "4980", 0.3: "0.3", 0.0025: "0.0025", 100: "100"} {
		if got := number(in); got != want {
			t.Errorf("number(%v) = %q, want %q", in, got, want)
		}
	}
}
