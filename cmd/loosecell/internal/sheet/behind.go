package sheet

import (
	"slices"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// unknownsShown is how many missing facts are told in full, the most telling
// first; of the others the sheet prints the question. changesShown is how many
// possible changes of an answer are told for one of them. The JSON form has all.
const (
	unknownsShown = 2
	changesShown  = 3
)

// unknowns prints each missing fact as a question, how to answer it without
// harm, and what the answer could change.
func unknowns(p *page.Page, missing []advice.Unknown) {
	if len(missing) == 0 {
		return
	}
	p.Heading("NOT KNOWN, AND IT WOULD MATTER")
	for i, u := range missing {
		if i >= unknownsShown {
			var rest []string
			for _, u := range missing[i:] {
				rest = append(rest, question(u))
			}
			p.Item(page.Plain, "?", 2, "Also: "+strings.Join(rest, " "))
			return
		}
		p.Item(page.Plain, "?", 2, question(u))
		how := sentence(u.How)
		if u.StandIn != "" {
			how += " Or: " + sentence(u.StandIn)
		}
		p.Item(page.Plain, "", 4, how)
		p.Item(page.Plain, "", 4, changes(u.Changes))
	}
}

// notKnown is what is missing and would matter. Of a cell that is out nobody
// asks what would let it be warmed or wetted.
func notKnown(a *advice.Advice) []advice.Unknown {
	if !isOut(a) {
		return a.Unknowns
	}
	var out []advice.Unknown
	for _, u := range a.Unknowns {
		u.Changes = slices.DeleteFunc(slices.Clone(u.Changes), func(c advice.Change) bool {
			return c.Answer == "heat.may" || c.Answer == "solvent.may"
		})
		if len(u.Changes) > 0 {
			out = append(out, u)
		}
	}
	return out
}

func question(u advice.Unknown) string {
	ask := page.Clean(u.Ask)
	if ask == "" {
		ask = capital(factName(u.Fact)) + "?"
	}
	if u.Minutes > 0 {
		ask += " (" + minutes(u.Minutes) + ")"
	}
	return ask
}

func changes(all []advice.Change) string {
	text := ""
	for i, c := range all {
		if i == changesShown {
			text += "; and " + strconv.Itoa(len(all)-i) + " more"
			break
		}
		if text != "" {
			text += "; "
		}
		text += answerName(c.Answer) + " to " + plain(c.To)
		if c.If != "" {
			text += " if it is " + page.Clean(c.If)
		}
	}
	if text == "" {
		return ""
	}
	return "Could change " + text + "."
}

// assumed prints the presumptions under the names that a case file gives them,
// since stating the fact there, or stating it as unknown, cancels one. What was
// derived from them is left to the JSON form.
func assumed(p *page.Page, all []advice.Assumption) {
	rows := assumedRows(all)
	if len(rows) == 0 {
		return
	}
	p.Heading("TAKEN AS SO, BECAUSE NOBODY SAID OTHERWISE")
	var groups []string
	for _, r := range rows {
		groups = append(groups, r[0]+": "+r[1])
	}
	p.Item(page.Plain, "", 0, sentence(strings.Join(groups, "; ")))
}

func assumedRows(all []advice.Assumption) []page.Row {
	var rows []page.Row
	for _, a := range all {
		group, key, found := strings.Cut(page.Clean(a.Fact), ".")
		if group == "derived" {
			continue
		}
		text := page.Clean(a.Value)
		if found {
			text = key + " " + text
		}
		if n := len(rows); n > 0 && rows[n-1][0] == group {
			rows[n-1][1] += ", " + text
			continue
		}
		rows = append(rows, page.Row{group, text})
	}
	return rows
}

// figures prints what was worked out; on what it rests is in the footnote and,
// in words, in the JSON form.
func figures(p *page.Page, n *notes, a *advice.Advice) {
	if ordinary(a) {
		return // the charge stands among the limits
	}
	var rows []page.Row
	for _, f := range a.Numbers {
		rows = append(rows, page.Row{capital(factName(f.Name)), figure(f) + n.mark(f.Source)})
	}
	p.Rows("NUMBERS", rows)
}

func figure(f advice.Figure) string {
	if f.Middle != nil {
		return estimate(advice.Band{Low: f.Low, Middle: *f.Middle, High: f.High}, f.Unit)
	}
	return between(f.Low, f.High, f.Unit)
}

// ordinary tells that the cell is shown to be sound, so that the sheet is kept
// short.
func ordinary(a *advice.Advice) bool {
	return (a.Verdict == "proceed" || a.Verdict == "prepare") && (a.Condition == "sound" || a.Condition == "worn")
}

// consequence prints what the room would see if the cell failed in it; of an
// ordinary cell only what follows from it.
func consequence(p *page.Page, n *notes, a *advice.Advice) {
	c := a.Consequence
	if c == nil {
		return
	}
	if ordinary(a) {
		// What would burn and how long to stay out is on the sheet already.
		p.Bullets("IF THE CELL FAILED HERE", citeAll(n, c.Text[:min(len(c.Text), 1)]))
		return
	}
	p.Rows("IF THE CELL FAILED HERE", consequenceRows(n, c))
	for _, text := range citeAll(n, c.Text) {
		p.Item(page.Plain, "-", 2, text)
	}
}

func consequenceRows(n *notes, c *advice.Consequence) []page.Row {
	return []page.Row{
		{"Energy", estimate(c.ReleasedKJ, "kJ")},
		{"Gas", estimate(c.GasL, "L") + ", " + estimate(c.GasLFLPct, "%") + " of what could ignite"},
		{"Fluoride", estimate(c.HFMg, "mg") + " hydrogen fluoride, " + estimate(c.HFPPM, "ppm") + " in the room; " + number(c.HFLimitPPM) + unitOf("ppm") + " is the limit"},
		{"Fresh air", estimate(c.PurgeMin, "min") + " until the room is clear"},
		{"Heat", "pain to " + estimate(c.PainM, "m") + ", fire to " + estimate(c.IgnitionM, "m") + n.mark(c.Source)},
	}
}

// deference closes every sheet but an evacuation, also where the advice was
// built without one.
const deference = "Local law, the maker's instructions and trained judgement stand above this sheet; " +
	"damaged cells and dangerous goods are for trained people."

func closing(p *page.Page, a *advice.Advice, n *notes) {
	last := n.cite(a.Deference.Text, a.Deference.Source)
	if page.Clean(a.Deference.Text) == "" {
		last = deference
	}
	sources(p, n)
	p.Blank()
	p.Item(page.Strong, "", 0, last)
}

// sources prints what the numbers behind the lines stand for.
func sources(p *page.Page, n *notes) {
	if len(n.order) == 0 {
		return
	}
	p.Heading("SOURCES")
	var all []string
	for i, source := range n.order {
		all = append(all, "["+strconv.Itoa(i+1)+"]"+string(page.Glue)+source)
	}
	p.Item(page.Plain, "", 0, strings.Join(all, "; ")+".")
}
