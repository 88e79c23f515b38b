package listing

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/difference"
)

// CaseChanges is what differs for one case.
type CaseChanges struct {
	Case string `json:"case"`
	*difference.Difference
}

// WriteChanges prints, case by case, what differs between two sides.
func WriteChanges(w io.Writer, all []CaseChanges) error {
	p := &page.Page{}
	same := 0
	for _, c := range all {
		if len(c.Changes) == 0 {
			same++
			continue
		}
		p.Heading(page.Clean(c.Case))
		alike := 0 // answers since the last list of rules, all by the same
		for i, ch := range c.Changes {
			p.Item(page.Plain, "", 0, page.Clean(ch.Answer)+": "+shown(ch.From)+" -> "+shown(ch.To))
			alike++
			if i+1 < len(c.Changes) && slices.Equal(c.Changes[i+1].By, ch.By) {
				continue
			}
			writeBy(p, ch.By, alike)
			alike = 0
		}
		if len(c.Besides) > 0 {
			p.Item(page.Plain, "", 0, "Besides, on one side only: "+page.Clean(strings.Join(c.Besides, ", ")))
		}
	}
	p.Blank()
	p.Item(page.Plain, "", 0, fmt.Sprintf("%d of %d cases are answered alike.", same, len(all)))
	return p.Write(w, nil)
}

// writeBy prints the rules that bear on the last answers.
func writeBy(p *page.Page, by []string, answers int) {
	if len(by) == 0 {
		return
	}
	text := "by "
	if answers > 1 {
		text = fmt.Sprintf("these %d by ", answers)
	}
	p.Item(page.Plain, "", 4, text+page.Clean(strings.Join(by, ", ")))
}

func shown(text string) string {
	if text == "" {
		return "nothing"
	}
	return page.Clean(text)
}
