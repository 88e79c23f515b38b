package listing

import (
	"fmt"
	"io"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/cover"
)

// WriteCoverage prints what no case has exercised.
func WriteCoverage(w io.Writer, c *cover.Coverage) error {
	held, sides, seen := 0, 0, 0
	for i := range c.Entries {
		r := &c.Entries[i]
		if r.Held != "" {
			held++
		}
		sides += 2 * len(r.Thresholds)
		seen += 2*len(r.Thresholds) - len(r.Missing())
	}
	p := &page.Page{}
	p.Heading(fmt.Sprintf("%d of %d rules and rows have held in some case; %d of %d sides of thresholds are exercised (%d cases)",
		held, len(c.Entries), seen, sides, c.Cases))
	var never []string
	for i := range c.Entries {
		if r := &c.Entries[i]; r.Held == "" {
			never = append(never, page.Clean(r.ID)+" ("+page.Clean(r.At)+")")
		}
	}
	p.Bullets("Never held", never)
	told := map[string]bool{}
	var missing []string
	for i := range c.Entries {
		r := &c.Entries[i]
		for _, m := range r.Missing() {
			if !told[m] {
				told[m] = true
				missing = append(missing, page.Clean(m)+": "+page.Clean(r.ID))
			}
		}
	}
	p.Bullets("No case lies here", missing)
	return p.Write(w, nil)
}
