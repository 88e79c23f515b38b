package sheet

import (
	"io"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/book"
)

// Card writes an immediate-action card: the first act, what follows, what
// never, who takes over, and whom to call where the shop is known.
func Card(w io.Writer, c book.Card, o Options) error {
	p, n := &page.Page{}, &notes{}
	edge := strings.Repeat("=", page.Width)
	p.Put(page.Plain, edge)
	p.Item(page.Banner, "", 0, strings.ToUpper(page.Clean(c.Title)))
	p.Put(page.Plain, edge)
	p.Item(page.Strong, "", 0, page.Clean(c.First))
	numbered(p, "THEN", cardLines(c.Steps, n))
	calls := []page.Row{
		{"Number", page.Clean(o.Place.EmergencyNumber)},
		{"Address", page.Clean(o.Place.Address)},
		{"Meet at", page.Clean(o.Place.MeetingPoint)},
		{"Specialist", page.Clean(o.Place.Referral)},
	}
	if c.Topic == "torn-tab" {
		calls = calls[3:] // no emergency: somebody to hand it to, if it stays in
	}
	p.Rows("CALL", calls)
	p.Bullets("NEVER", cardLines(c.Never, n))
	p.Bullets("WHO TAKES OVER", nonEmpty(page.Clean(c.Then)))
	sources(p, n)
	p.Blank()
	p.Item(page.Plain, "", 0, deference)
	var paints page.Paint
	if o.Colour {
		paints = paintFor("stop")
	}
	return p.Write(w, paints)
}

func cardLines(lines []book.CardLine, n *notes) []string {
	var out []string
	for _, l := range lines {
		out = append(out, n.cite(l.Text, l.Source))
	}
	return out
}

func nonEmpty(text string) []string {
	if text == "" {
		return nil
	}
	return []string{text}
}
