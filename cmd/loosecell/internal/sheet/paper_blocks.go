package sheet

import (
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

func openingIntro(o *advice.Opening) string {
	text := may(o.May) + "."
	if o.May == "yes" && o.SurfaceLimitC > 0 {
		text = "Rim at most " + number(o.SurfaceLimitC) + unitOf("degC") + ", at most " + minutes(o.TimeLimitMin) + " of heat. "
		if o.WhereToHeat != "" {
			text += capital(sentence(o.WhereToHeat))
		}
	}
	for _, why := range cleanAll(o.Why) {
		text += " " + sentence(why)
	}
	return text
}

// moreOnLimits is what stands behind charge, heat and solvent.
func moreOnLimits(n *notes, a *advice.Advice) block {
	said := append(append(append([]advice.Line{}, a.Discharge.Notes...), a.Heat.Notes...), a.Solvent.Notes...)
	b := block{Heading: "More on charge, heat and solvent", After: citeAll(n, said)}
	if w := a.Heat.Window; w != nil && !isOut(a) {
		b.Rows = append(b.Rows, page.Row{"Warming", window(*w) + n.mark(w.Source)})
	}
	if isOut(a) {
		b.Heading = "More on charge"
	} else {
		b.Rows = append(b.Rows, page.Row{"Solvent", strings.TrimSpace(solventEffects(a.Solvent, n))})
	}
	if a.Discharge.Due != "no" {
		for _, q := range a.Discharge.QuickWays {
			b.After = append(b.After, capital(page.Clean(q.Way))+": "+hours(q.Hours)+n.mark(q.Source))
		}
	}
	if text := resistorText(a.Discharge.Resistor, n); text != "" {
		b.After = append(b.After, text)
	}
	return b
}

func otherWaysBlock(a *advice.Advice, n *notes) block {
	b := block{Heading: "Other ways that fit"}
	for _, r := range otherRows(a, n) {
		b.Bullets = append(b.Bullets, capital(r[0])+": "+r[1])
	}
	return b
}

func storageBlock(n *notes, s *advice.Storage) block {
	if s == nil {
		return block{}
	}
	lines := append(append(append([]advice.Line{}, s.Limits...), s.Notes...), s.Waste...)
	return block{Heading: "Store it", Rows: storageRows(s), After: citeAll(n, lines)}
}

// shippingBlock is a table: one row a mode.
func shippingBlock(n *notes, modes []advice.Shipping) block {
	b := block{Heading: "Ship it, as it is now"}
	if len(modes) == 0 {
		return b
	}
	b.Head = []string{"By", "Allowed", "Entry", "What it takes"}
	for _, s := range modes {
		b.Table = append(b.Table, shippingRow(s, n))
	}
	return b
}

func shippingRow(s advice.Shipping, n *notes) []string {
	entry := strings.TrimSpace(page.Clean(s.UNNumber) + " " + page.Clean(s.Name))
	takes := strings.TrimSpace(n.withReasons("", s.Why))
	if takes == ", as above." {
		takes = "Why: as above."
	}
	return []string{mode(s.Mode), allowed(s.Allowed), entry, strings.TrimSpace(takes+conditions(s)) + basis(s, n)}
}

func unknownsBlock(missing []advice.Unknown) block {
	b := block{Heading: "Not known, and it would matter"}
	if len(missing) == 0 {
		return b
	}
	b.Head = []string{"Question", "How to find out", "What it could change"}
	for i, u := range missing {
		row := []string{question(u), "", ""}
		if i < unknownsShown {
			row[1] = sentence(u.How)
			if u.StandIn != "" {
				row[1] += " Or: " + sentence(u.StandIn)
			}
			row[2] = changes(u.Changes)
		}
		if i < unknownsShown {
			b.Table = append(b.Table, row)
			continue
		}
		b.After = append(b.After, row[0])
	}
	return b
}

// numbersBlock is a table: what, how much, on what it rests.
func numbersBlock(n *notes, all []advice.Figure) block {
	b := block{Heading: "Numbers"}
	if len(all) == 0 {
		return b
	}
	b.Head = []string{"What", "How much", "Rests on"}
	for _, f := range all {
		b.Table = append(b.Table, []string{capital(factName(f.Name)), figure(f), page.Clean(f.Basis) + n.mark(f.Source)})
	}
	return b
}

func consequenceBlock(n *notes, c *advice.Consequence) block {
	if c == nil {
		return block{}
	}
	return block{Heading: "If the cell failed here", Rows: consequenceRows(n, c), After: citeAll(n, c.Text)}
}

func assumedBlock(all []advice.Assumption) block {
	return block{Heading: "Taken as so, because nobody said otherwise", Rows: assumedRows(all)}
}
