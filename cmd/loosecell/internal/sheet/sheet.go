// Package sheet renders an advice as the sheet a technician reads at the
// bench: plain text of at most 80 columns that is complete without colour.
//
// It decides nothing. What may be done, in which order and why comes from
// package advice; the sheet chooses only what is read first, and it never
// lets a text from a case or a rulebook reach the terminal uncleaned.
package sheet

import (
	"io"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// Place is the shop as sheets name it; empty fields are unknown.
type Place struct {
	Name            string
	Address         string
	EmergencyNumber string
	MeetingPoint    string
	Referral        string
	PoisonLine      string
}

// Options tell how a sheet is printed.
type Options struct {
	Colour   bool // paint the verdict and the headings
	Place    Place
	Carriage bool // the case asks how the cell may be carried
}

// Text writes the sheet. Its length follows the verdict: ten lines at most to
// evacuate, short to stop, whole otherwise. The only errors are the writer's.
func Text(w io.Writer, a *advice.Advice, o Options) error {
	var p *page.Page
	switch a.Verdict {
	case "evacuate":
		p = evacuation(a, o.Place)
	case "stop":
		p = refusal(a, o)
	default:
		p = instructions(a, o)
	}
	var paints page.Paint
	if o.Colour {
		paints = paintFor(a.Verdict)
	}
	return p.Write(w, paints)
}

// paintFor colours the banner by verdict; the word on it says the same.
func paintFor(verdict string) page.Paint {
	banner := map[string]string{
		"proceed":  "\x1b[1;32m",
		"prepare":  "\x1b[1;33m",
		"stop":     "\x1b[1;31m",
		"evacuate": "\x1b[1;7;31m",
	}[verdict]
	if banner == "" {
		banner = "\x1b[1m"
	}
	return page.Paint{page.Banner: banner, page.Head: "\x1b[1m", page.Strong: "\x1b[1m"}
}
