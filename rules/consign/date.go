package consign

import (
	"fmt"
	"time"

	"loosecell/rules/facts"
)

// Date is the day the rows say they are handed over on; today where none says.
// One list is one consignment, so two days are a problem.
func Date(rows []Row, today time.Time) (string, error) {
	found, first := "", facts.Position{}
	for _, r := range rows {
		v := r.Case.Get("dispatch.date")
		if v.State != facts.Stated || !v.Exact() {
			continue
		}
		day := facts.FormatDate(v.Low)
		if found == "" {
			found, first = day, v.At
		}
		if day != found {
			return "", facts.Problems{{At: v.At, Code: facts.CodeContradiction,
				Message: fmt.Sprintf("%s here, and %s on line %d: one list is handed over on one day", day, found, first.Line),
				Fix:     "make a list of each, or give the day with --on"}}
		}
	}
	if found == "" {
		found = today.UTC().Format(time.DateOnly)
	}
	return found, nil
}
