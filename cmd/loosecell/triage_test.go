package main

import (
	"strings"
	"testing"

	"loosecell/rules/advice"
)

// The help names every answer; it is written out, since listing them would read
// the whole catalogue at every start.
func TestTriageHelpNamesEveryAnswer(t *testing.T) {
	help := (&program{}).triage().Long
	for _, name := range advice.AnswerNames() {
		if !strings.HasPrefix(name, "derived.") && !strings.Contains(help, name) {
			t.Errorf("the help of triage does not name %s", name)
		}
	}
}
