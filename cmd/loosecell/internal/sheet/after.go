package sheet

import (
	"io"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
	"loosecell/rules/events"
)

// After writes what to do next, what was noted, and a sheet shortened to what
// hands need in the middle of a job. A stop prints its whole sheet below the
// next action, an evacuation nothing but its own ten lines.
func After(w io.Writer, r *events.Report, o Options) error {
	a := r.Advice
	if a.Verdict == "evacuate" {
		return Text(w, a, o)
	}
	p, n := &page.Page{}, &notes{}
	edge := strings.Repeat("=", page.Width)
	p.Put(page.Plain, edge)
	p.Item(page.Banner, "NEXT", 6, n.cite(r.Next.Text, r.Next.Source))
	p.Put(page.Plain, edge)
	var loud []string
	for _, h := range r.Happened {
		for _, text := range cleanAll(h.Loud) {
			loud = append(loud, page.Clean(h.Event)+": "+sentence(text))
		}
	}
	for _, text := range loud {
		p.Item(page.Strong, "!", 2, text)
	}
	p.Bullets("NOTED", noted(r))
	p.Rows("USED UP", usedUp(r.Used))
	p.Rows("NO LONGER", struckRows(r.Struck))
	p.Blank()
	if a.Verdict == "stop" {
		p.Append(refusal(a, o))
	} else {
		shortened(p, n, a)
	}
	var paints page.Paint
	if o.Colour {
		paints = paintFor(a.Verdict)
	}
	return p.Write(w, paints)
}

// shortened prints the verdict, what comes first, the steps, the limits in one
// line each, and when to stop.
func shortened(p *page.Page, n *notes, a *advice.Advice) {
	banner(p, a, meaning(a))
	because(p, a)
	p.ItemAtMost(page.Plain, "How", 7, wayOut(a), timeLines)
	relaxed(p, a.Relaxations)
	numbered(p, "BEFORE YOU GO ON", preparations(a, n))
	opening := openingSteps(a, n)
	openingSection(p, n, a.Opening, opening)
	numbered(p, "TAKE IT OUT", stepTexts(a.Removal.Steps, n))
	p.Rows("LIMITS", limitRows(a, n))
	if a.Storage != nil {
		p.Rows("STORE IT", []page.Row{{"Class", plain(a.Storage.Class)}, {"In", container(a.Storage.Container)}})
	}
	p.Bullets("STOP AT ONCE IF", citeAll(n, a.StopSigns))
	closing(p, a, n)
}

// noted says back what was taken into the case.
func noted(r *events.Report) []string {
	var out []string
	for _, h := range r.Happened {
		text := page.Clean(h.Event) + ": " + sentence(h.Says)
		gone := 0
		var told, stale []string
		for _, c := range h.Changes {
			switch {
			case c.Is == "" && c.Was != "" && !isAbsent(c.Was):
				stale = append(stale, factName(c.Fact)+" "+page.Clean(c.Was))
			case c.Is == "":
				gone++
			case strings.HasPrefix(c.Fact, "battery.") && c.Was == "" && isAbsent(c.Is):
			default:
				told = append(told, factName(c.Fact)+" "+page.Clean(c.Is))
			}
		}
		if len(told) > 0 {
			text += " Now " + strings.Join(told, ", ") + "."
		}
		if len(stale) > 0 {
			text += " No longer counts: " + strings.Join(stale, ", ") + "."
		}
		if gone > 1 {
			text += " What was seen before no longer counts."
		}
		out = append(out, text)
	}
	return out
}

func isAbsent(word string) bool { return word == "no" || word == "none" }

var usedNames = map[string]string{"job.minutes": "Time", "job.warmings": "Warmings", "adhesive.solvent_volume": "Solvent"}

// usedUp prints how much of each limit of a job is used.
func usedUp(used []events.Used) []page.Row {
	var out []page.Row
	for _, u := range used {
		text := "not known, so it counts as used up"
		if u.Known {
			text = between(u.Low, u.High, u.Unit) + " of at most " + number(u.Limit) + unitOf(u.Unit)
			if u.Unit == "" {
				text = between(u.Low, u.High, "") + " of at most " + strconv.Itoa(int(u.Limit))
			}
		}
		if u.Reached {
			text += ". Limit reached: no more of it in this job."
		}
		out = append(out, page.Row{usedNames[u.Fact], text})
	}
	return out
}

func struckRows(struck []events.Struck) []page.Row {
	var out []page.Row
	for _, s := range struck {
		out = append(out, page.Row{capital(plain(s.Rung)), sentence(s.Why)})
	}
	return out
}
