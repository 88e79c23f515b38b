package listing

import (
	"fmt"
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/difference"
)

// CaseChanges is what differs for one case.
type CaseChanges struct {
	Case    string              `json:"case"`
	Changes []difference.Change `json:"changes"`
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
		for _, ch := range c.Changes {
			p.Item(page.Plain, "", 0, page.Clean(ch.Answer)+": "+shown(ch.From)+" -> "+shown(ch.To))
			if len(ch.By) > 0 {
				p.Item(page.Plain, "", 4, "by "+page.Clean(strings.Join(ch.By, ", ")))
			}
		}
	}
	p.Blank()
	p.Item(page.Plain, "", 0, fmt.Sprintf("%d of %d cases are answered alike.", same, len(all)))
	return p.Write(w, nil)
}

func shown(text string) string {
	if text == "" {
		return "nothing"
	}
	return page.Clean(text)
}
