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
	if isOut(a) {
		return nil
	}
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
	lines := append(append(against(s.Limits), s.Notes...), s.Waste...)
	for _, text := range citeAll(n, lines) {
		p.Item(page.Plain, "-", 2, text)
	}
}

// against leaves out what is right about the store, which its verdict says in
// one word.
func against(limits []advice.Line) []advice.Line {
	var out []advice.Line
	for _, l := range limits {
		if !strings.HasPrefix(l.Text, "fit: ") {
			out = append(out, l)
		}
	}
	return out
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

// shipping prints how the cell may be carried, only where that was asked for:
// modes with the same answer share a block, and what holds for several of them
// is said once below.
func shipping(p *page.Page, n *notes, a *advice.Advice, o Options) {
	if len(a.Shipping) == 0 || !o.Carriage {
		return
	}
	p.Heading("SHIP IT (as it is now)")
	notes := map[string]int{}
	for _, s := range a.Shipping {
		for _, text := range cleanAll(s.Notes) {
			notes[text]++
		}
	}
	var common []string
	for _, s := range a.Shipping {
		for _, text := range cleanAll(s.Notes) {
			if notes[text] > 1 {
				common = append(common, text)
				notes[text] = -1
			}
		}
	}
	for _, same := range alikeModes(a.Shipping) {
		var names []string
		source := ""
		for _, s := range same {
			names = append(names, mode(s.Mode))
			if mark := basis(s, n); !strings.Contains(source, mark) {
				source += mark
			}
		}
		s := same[0]
		own := s.Notes
		s.Notes = nil
		for _, text := range cleanAll(own) {
			if notes[text] == 1 {
				s.Notes = append(s.Notes, text)
			}
		}
		p.Item(page.Plain, "-", 2, strings.Join(names, ", ")+": "+carriage(s, n)+source)
	}
	for _, text := range common {
		p.Item(page.Plain, "-", 2, text)
	}
}

// alikeModes puts modes together whose answers differ in nothing but the
// document they rest on.
func alikeModes(modes []advice.Shipping) [][]advice.Shipping {
	var out [][]advice.Shipping
	for _, s := range modes {
		at := slices.IndexFunc(out, func(same []advice.Shipping) bool {
			return face(same[0]) == face(s)
		})
		if at < 0 {
			out = append(out, []advice.Shipping{s})
			continue
		}
		out[at] = append(out[at], s)
	}
	return out
}

// face is all that a block says of a mode.
func face(s advice.Shipping) string {
	return allowed(s.Allowed) + page.Clean(s.UNNumber) + page.Clean(s.Name) + strings.Join(firstReasons(s.Why), "\n") + conditions(s)
}

// firstReasons are those of the reasons that a sheet prints.
func firstReasons(why []string) []string { return why[:min(len(why), 2)] }

func carriage(s advice.Shipping, n *notes) string {
	text := allowed(s.Allowed)
	if s.UNNumber != "" {
		text += ", " + page.Clean(s.UNNumber) + " " + page.Clean(s.Name)
	}
	return n.withReasons(text, s.Why) + conditions(s)
}

// openWords says in plain words what a mode of carriage waits for.
var openWords = map[string]string{
	"dispatch.purpose": "what it is sent for (reuse, return, recycling, disposal)", "dispatch.packing": "whether it travels by itself or in its device",
	"dispatch.discarded_by": "whether a household or a business gives it up", "dispatch.destination": "where it goes",
	"dispatch.load_per_vehicle": "how much one vehicle carries", "dispatch.net_mass": "the net mass of the package",
	"dispatch.gross_mass": "the gross mass of the package", "dispatch.jurisdiction": "whose law holds",
	"battery.mass": "what it weighs", "battery.test_summary": "whether the maker's test summary is at hand",
	"battery.looked": "a look at both faces", "battery.history_asked": "what its owner remembers",
	"battery.chemistry": "its chemistry", "battery.rated_energy": "its watt-hours", "battery.rest_voltage": "its voltage at rest",
}

func openFact(name string) string {
	if said := openWords[name]; said != "" {
		return said
	}
	_, key, found := strings.Cut(name, ".")
	if !found {
		key = name
	}
	return factName(key)
}

// conditions is what a mode takes, each with its name.
func conditions(s advice.Shipping) string {
	text := ""
	add := func(label string, items []string, sep string) {
		if items = cleanAll(items); len(items) > 0 {
			text += " " + label + stopped(strings.Join(items, sep))
		}
	}
	var open []string
	for _, name := range s.Unsettled {
		open = append(open, openFact(name))
	}
	add("Not settled: ", open, ", ")
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
