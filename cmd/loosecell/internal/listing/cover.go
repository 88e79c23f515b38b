package listing

import (
	"fmt"
	"io"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/cover"
)

// WriteCoverage prints what no case has exercised.
func WriteCoverage(w io.Writer, c *cover.Coverage) error {
	held, left, sides, seen := 0, 0, 0, 0
	for i := range c.Entries {
		r := &c.Entries[i]
		switch {
		case r.Held != "":
			held++
		case r.Leftover:
			left++
		}
		sides += 2 * len(r.Thresholds)
		seen += 2*len(r.Thresholds) - len(r.Missing())
	}
	p := &page.Page{}
	p.Heading(fmt.Sprintf("%d of %d rules and rows have held in some case; %d of %d sides of thresholds are exercised (%d cases)",
		held, len(c.Entries)-left, seen, sides, c.Cases))
	var never, leftover []string
	for i := range c.Entries {
		switch r := &c.Entries[i]; {
		case r.Leftover:
			leftover = append(leftover, page.Clean(r.ID)+" ("+page.Clean(r.At)+")")
		case r.Held == "":
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
	p.Bullets("Not counted: the last row of a table, to which the rows before it leave nothing", leftover)
	return p.Write(w, nil)
}
