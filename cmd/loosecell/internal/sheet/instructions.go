package sheet

import (
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// instructions prints a proceed or prepare sheet: what to do first, the steps,
// the limits, then everything that stands behind them.
func instructions(a *advice.Advice, o Options) *page.Page {
	p, n := &page.Page{}, &notes{}
	ready := preparations(a, n)
	opening := openingSteps(a, n)
	steps := stepTexts(a.Removal.Steps, n)

	banner(p, a, meaning(a))
	because(p, a)
	p.ItemAtMost(page.Plain, "Time", 7, duration(a), timeLines)
	p.ItemAtMost(page.Plain, "How", 7, wayOut(a), timeLines)
	todo := append(append(append([]string{}, ready...), opening...), steps...)
	actions(p, "First", todo)

	relaxed(p, a.Relaxations)
	numbered(p, "BEFORE YOU START", ready)
	openingSection(p, n, a.Opening, opening)
	numbered(p, "TAKE IT OUT", steps)
	limits(p, n, a)
	otherWays(p, a, n)
	p.Bullets("ONCE IT IS OUT", citeAll(n, a.AfterCare))
	refit(p, a, n)
	storage(p, n, a.Storage)
	shipping(p, n, a, o)
	p.Bullets("WEAR", citeAll(n, a.PPE))
	p.Bullets("STOP AT ONCE IF", citeAll(n, a.StopSigns))
	p.Bullets("IF IT GOES WRONG", citeAll(n, a.Emergency))
	unknowns(p, notKnown(a))
	assumed(p, a.Assumed)
	p.Bullets("TAKE CARE", citeAll(n, a.Cautions))
	figures(p, n, a)
	consequence(p, n, a)
	closing(p, a, n)
	return p
}

// meaning says the verdict to a person.
func meaning(a *advice.Advice) string {
	if a.Verdict == "prepare" {
		if len(a.Prepare) == 0 {
			return "Not yet: something comes first."
		}
		return "Not yet: " + count(len(a.Prepare), "thing") + " first, then look at this sheet again."
	}
	switch a.Condition {
	case "sound", "worn":
		return "Go ahead. Taken in this order it is a job like any other."
	}
	return "Go ahead, with the precautions below and not one fewer."
}

func count(n int, thing string) string {
	words := []string{"nothing", "one", "two", "three", "four", "five", "six"}
	text := strconv.Itoa(n)
	if n < len(words) {
		text = words[n]
	}
	if n != 1 {
		thing += "s"
	}
	return text + " " + thing
}

// duration adds up what the rungs and preparations say they take; a discharge
// runs beside other work and is told apart.
func duration(a *advice.Advice) string {
	ready := 0.0
	for _, item := range a.Prepare {
		ready += max(item.Minutes, 0)
	}
	text := ""
	if ready > 0 {
		text = roughly(ready) + " to get ready"
	}
	for _, r := range a.Removal.Rungs {
		if r.Rung == way(a.Removal) && r.Minutes > 0 {
			if text != "" {
				text += ", then "
			}
			text += roughly(r.Minutes) + " at the cell"
		}
	}
	if d := a.Discharge; d.Due == "yes" && d.TimeH != nil {
		if text != "" {
			text += "; "
		}
		text += "the discharge runs " + hours(*d.TimeH) + " beside it"
	}
	if text == "" {
		return "not known until the way out is settled"
	}
	return text
}

// roughly is a time to plan with; under a minute is rough enough.
func roughly(min float64) string {
	text := minutes(min)
	if strings.HasPrefix(text, "under") {
		return text
	}
	return "about " + text
}

// way is the rung the sheet is about: the picked one or, while that is not
// settled, the one that stays once everything is prepared.
func way(r advice.Removal) string {
	if r.Pick == "undecided" && r.Likely != "" {
		return r.Likely
	}
	return r.Pick
}

func wayOut(a *advice.Advice) string {
	r := a.Removal
	text := rung(way(r))
	switch {
	case way(r) != r.Pick:
		text += " (most likely, once what comes first is done)"
	case r.Likely != "" && r.Likely != r.Pick:
		text += " (once what comes first is done, more likely: " + plain(r.Likely) + ")"
	}
	return text
}

func preparations(a *advice.Advice, n *notes) []string {
	var out []string
	for _, item := range a.Prepare {
		text := page.Clean(item.Text)
		if item.Minutes > 0 {
			text += " (" + minutes(item.Minutes) + ")"
		}
		out = append(out, text+n.mark(item.Source))
	}
	return out
}

func openingSteps(a *advice.Advice, n *notes) []string {
	if a.Opening == nil || !a.Opening.Needed {
		return nil
	}
	return stepTexts(a.Opening.Steps, n)
}

func openingSection(p *page.Page, n *notes, o *advice.Opening, steps []string) {
	if o == nil || !o.Needed {
		return
	}
	p.Heading("OPEN THE DEVICE")
	p.Item(page.Plain, "", 0, openingIntro(o))
	for i, step := range steps {
		p.Item(page.Plain, strconv.Itoa(i+1)+".", 4, step)
	}
}
