package sheet

import (
	"slices"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/advice"
)

// otherWays lists the rungs that fit this cell beside the one the sheet is
// about, and what would put a barred one back; rungs that the same things stand
// against share a line.
func otherWays(p *page.Page, a *advice.Advice, n *notes) {
	rows := otherRows(a, n)
	if len(rows) == 0 {
		return
	}
	p.Heading("OTHER WAYS THAT FIT")
	for _, r := range rows {
		p.Item(page.Plain, "-", 2, capital(r[0])+": "+r[1])
	}
}

func otherRows(a *advice.Advice, n *notes) []page.Row {
	var rows []page.Row
	var last *advice.Rung
	for i := range a.Removal.Rungs {
		r := &a.Removal.Rungs[i]
		if r.Rung == way(a.Removal) || r.Fits != "yes" {
			continue
		}
		name := plain(r.Rung)
		if last != nil && alike(last, r) {
			rows[len(rows)-1][0] += ", " + name
			continue
		}
		last = r
		rows = append(rows, page.Row{name, standing(r, n)})
	}
	return rows
}

func alike(a, b *advice.Rung) bool {
	return a.May == b.May && a.Tried == b.Tried && slices.Equal(a.Why, b.Why)
}

// standing is whether a rung is permitted, why not, and what would change it.
func standing(r *advice.Rung, n *notes) string {
	text := strings.ToLower(may(r.May))
	if r.Tried {
		text += ", tried already"
	}
	text = n.withReasons(text, r.Why)
	if back := cleanAll(r.PutBack); len(back) > 0 && r.May != "yes" {
		for i := range back {
			back[i] = strings.TrimRight(back[i], ".?")
		}
		text += " What would put it back: " + stopped(strings.Join(back, "; "))
	}
	return text
}

func refit(p *page.Page, a *advice.Advice, n *notes) {
	if a.Goal != "refit" {
		return
	}
	p.Rows("REFIT", []page.Row{{"Same cell", n.withReasons(may(a.Refit.May), a.Refit.Why)}})
}

func storage(p *page.Page, n *notes, s *advice.Storage) {
	if s == nil {
		return
	}
	p.Rows("STORE IT", storageRows(s))
	lines := append(append(append([]advice.Line{}, s.Limits...), s.Notes...), s.Waste...)
	for _, text := range citeAll(n, lines) {
		p.Item(page.Plain, "-", 2, text)
	}
}

func storageRows(s *advice.Storage) []page.Row {
	band := ""
	if s.SoCBandPct != nil {
		band = between(s.SoCBandPct.Low, s.SoCBandPct.High, "%")
	}
	return []page.Row{
		{"Class", plain(s.Class)},
		{"In", container(s.Container)},
		{"Charge", band},
		{"Look again", page.Clean(s.LookAgain)},
		{"Away from", strings.Join(cleanAll(s.KeepApart), ", ")},
		{"Failing that", fallback(s.Fallback)},
		{"This store", page.Clean(s.StoreVerdict)},
	}
}

func fallback(text string) string {
	if text == "none" || text == "none-needed" {
		return ""
	}
	return page.Clean(text)
}

// shipping prints one block a mode, only where carriage was asked for.
func shipping(p *page.Page, n *notes, modes []advice.Shipping) {
	if len(modes) == 0 {
		return
	}
	p.Heading("SHIP IT (as it is now)")
	for _, s := range modes {
		p.Item(page.Plain, mode(s.Mode), 16, carriage(s, n)+basis(s, n))
	}
}

func carriage(s advice.Shipping, n *notes) string {
	text := allowed(s.Allowed)
	if s.UNNumber != "" {
		text += ", " + page.Clean(s.UNNumber) + " " + page.Clean(s.Name)
	}
	return n.withReasons(text, s.Why) + conditions(s)
}

// conditions is what a mode takes, each with its name.
func conditions(s advice.Shipping) string {
	text := ""
	add := func(label string, items []string, sep string) {
		if items = cleanAll(items); len(items) > 0 {
			text += " " + label + stopped(strings.Join(items, sep))
		}
	}
	add("Not settled: ", s.Unsettled, ", ")
	add("Yes if: ", s.AllowedIf, "; ")
	add("Pack: ", s.Packing, "; ")
	add("Marks: ", s.Marks, "; ")
	add("Papers: ", s.Documents, "; ")
	if s.SoCCapPct != nil {
		text += " Charge at most " + number(*s.SoCCapPct) + unitOf("%") + " (" + plain(s.SoCCapKind) + ")."
	}
	if s.NetLimitKg != nil {
		text += " At most " + number(*s.NetLimitKg) + unitOf("kg") + " net a package."
	}
	add("", s.Notes, " ")
	return text
}

func allowed(word string) string {
	if said := map[string]string{"yes": "Yes", "no": "No", "approval": "Only with an approval"}[word]; said != "" {
		return said
	}
	return plain(word)
}

// basis is the footnote of a mode: the clauses and the edition they stand in.
func basis(s advice.Shipping, n *notes) string {
	source := strings.Join(cleanAll(s.Basis), ", ")
	if s.Edition != "" {
		source += ", " + s.Edition
		if s.EditionOver {
			source += " (over on the date asked: check the edition in force)"
		} else if s.EditionUntil != "" {
			source += " (until " + s.EditionUntil + ")"
		}
	}
	return n.mark(strings.TrimPrefix(source, ", "))
}
