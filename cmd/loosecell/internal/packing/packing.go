// Package packing renders a consignment as a packing list of at most 80
// columns that a person ticks off. It decides nothing.
package packing

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
	"loosecell/rules/consign"
)

// Options tell how a list is printed.
type Options struct {
	Colour bool
	Place  string // name of the shop; may be empty
}

const tick = "[ ]"

// Text writes the packing list. The only errors are the writer's.
func Text(w io.Writer, c *consign.Consignment, o Options) error {
	p := &page.Page{}
	head(p, c, o)
	sorting(p, c)
	packages(p, c)
	aside(p, c)
	totals(p, c)
	p.Bullets("PEOPLE AND APPROVALS", cleaned(append(append([]string{}, c.Training...), c.Approvals...)))
	ticks(p, "BEFORE IT IS HANDED OVER", c.Checks)
	records(p, c)
	foot(p, c)
	var paints page.Paint
	if o.Colour {
		paints = page.Paint{page.Banner: "\x1b[1m", page.Head: "\x1b[1m", page.Strong: "\x1b[1m"}
	}
	return p.Write(w, paints)
}

func cleaned(texts []string) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = page.Clean(t)
	}
	return out
}

// text puts wrapped lines at the margin.
func text(p *page.Page, s page.Style, format string, args ...any) {
	p.Item(s, "", 0, page.Clean(fmt.Sprintf(format, args...)))
}

func head(p *page.Page, c *consign.Consignment, o Options) {
	title := "PACKING LIST  " + c.Mode
	if c.Jurisdiction != "" {
		title += ", " + c.Jurisdiction
	}
	title += ", " + c.Date
	for _, l := range page.Wrap(page.Clean(title), page.Width) {
		p.Put(page.Banner, l)
	}
	if o.Place != "" {
		text(p, page.Plain, "%s", o.Place)
	}
	n := c.Counts
	text(p, page.Strong, "%s in %s: %d packed in %s, %d set aside.", many(n.Cells, "cell"), many(n.Rows, "row"),
		n.Packed, many(n.Packages, "package"), n.SetAside)
	if n.Packages > 0 {
		text(p, page.Plain, "No plan under the same limits needs fewer than %s.", many(n.Fewest, "package"))
	}
	if c.Edition != "" {
		line := "Read from: " + c.Edition
		if c.EditionUntil != "" {
			line += ", known until " + c.EditionUntil
		}
		text(p, page.Plain, "%s.", line)
	}
	for _, note := range c.Notes {
		text(p, page.Strong, "%s", note)
	}
}

func sorting(p *page.Page, c *consign.Consignment) {
	if s := c.Sort; s != nil {
		p.Heading("SORT FIRST")
		text(p, page.Strong, "%s", s.Text)
		for _, l := range s.LookFor {
			p.Item(page.Plain, "-", 2, page.Clean(l))
		}
		text(p, page.Plain, "Rows: %s", strings.Join(s.Rows, ", "))
		text(p, page.Plain, "Write down what was found, in the list, and run this again.")
	}
	if c.Collection != nil {
		p.Bullets("COLLECTION BOX", cleaned(c.Collection.Text))
	}
}

// packages prints packages that differ only in what lies in them under one
// description.
func packages(p *page.Page, c *consign.Consignment) {
	for i := 0; i < len(c.Packages); {
		j := i + 1
		for j < len(c.Packages) && alike(&c.Packages[i], &c.Packages[j]) {
			j++
		}
		describe(p, c.Packages[i:j])
		i = j
	}
}

func alike(a, b *consign.Package) bool { return face(a) == face(b) }

// face is everything of a package but its number, contents and masses.
func face(q *consign.Package) string {
	r := *q
	r.Number, r.Contents, r.Cells, r.NetKg, r.GrossKg, r.MassKnown = 0, nil, 0, 0, 0, false
	return fmt.Sprintf("%q %v %v %v %v", []string{r.Scheme, r.Title, r.UNNumber, r.Name, r.State, r.Packing, r.SoCCapKind},
		[][]string{r.Basis, r.Rules, r.Marks, r.Documents, r.Waste, r.Notes}, number(r.NetLimit), number(r.GrossLim), number(r.SoCCapPct))
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

func describe(p *page.Page, list []consign.Package) {
	q := list[0]
	name := fmt.Sprintf("PACKAGE %d", q.Number)
	if len(list) > 1 {
		name = fmt.Sprintf("PACKAGES %d TO %d, PACKED ALIKE", q.Number, list[len(list)-1].Number)
	}
	p.Heading(name)
	text(p, page.Strong, "%s", q.Title)
	rows := [][2]string{
		{"UN number", strings.Trim(q.UNNumber+" "+q.Name, " ")},
		{"rests on", strings.Join(q.Basis, "; ")},
		{"limits", limits(&q)},
		{"charge", charge(&q)},
	}
	for _, r := range rows {
		if r[1] != "" {
			p.Item(page.Plain, r[0], 12, page.Clean(r[1]))
		}
	}
	for _, r := range [][2]string{
		{"inner", q.Inner}, {"round it", q.Cushioning}, {"outer", q.Outer},
	} {
		p.Item(page.Plain, tick+" "+r[0], 14, page.Clean(r[1]))
	}
	for _, l := range q.Rules {
		p.Item(page.Plain, "    packing", 14, page.Clean(l))
	}
	for _, l := range q.Marks {
		p.Item(page.Plain, tick+" mark", 14, page.Clean(l))
	}
	p.Item(page.Plain, "    sizes", 14, page.Clean(q.MarkSizes))
	for _, l := range q.Documents {
		p.Item(page.Plain, tick+" paper", 14, page.Clean(l))
	}
	for _, l := range q.Waste {
		p.Item(page.Plain, "    waste", 14, page.Clean(l))
	}
	for _, l := range q.Notes {
		p.Item(page.Plain, "    note", 14, page.Clean(l))
	}
	p.Item(page.Plain, "    source", 14, page.Clean(q.Source))
	for _, one := range list {
		p.Item(page.Plain, fmt.Sprintf("%s no. %d", tick, one.Number), 14, page.Clean(fmt.Sprintf("%s; %s, %s kg net, %s kg gross%s",
			contents(one.Contents), many(one.Cells, "cell"), mass(one.NetKg), mass(one.GrossKg), taken(one.MassKnown))))
	}
}

func taken(known bool) string {
	if known {
		return " (packing taken, weigh it)"
	}
	return " (taken, weigh it)"
}

func contents(list []consign.Content) string {
	var out []string
	for _, c := range list {
		out = append(out, fmt.Sprintf("%s x%d", c.Row, c.Count))
	}
	return strings.Join(out, ", ")
}

func limits(q *consign.Package) string {
	var out []string
	if q.NetLimit != nil {
		out = append(out, number(q.NetLimit)+" kg net")
	}
	if q.GrossLim != nil {
		out = append(out, number(q.GrossLim)+" kg gross")
	}
	if q.CountLimit != nil {
		out = append(out, many(*q.CountLimit, "item"))
	}
	return strings.Join(out, ", ")
}

func charge(q *consign.Package) string {
	if q.SoCCapPct == nil {
		return ""
	}
	return fmt.Sprintf("at most %s %% (%s)", number(q.SoCCapPct), q.SoCCapKind)
}

func aside(p *page.Page, c *consign.Consignment) {
	if len(c.SetAside) == 0 {
		return
	}
	p.Heading("SET ASIDE")
	for i, s := range c.SetAside {
		if i > 0 && s.Reason == c.SetAside[i-1].Reason && strings.Join(s.Next, "\n") == strings.Join(c.SetAside[i-1].Next, "\n") {
			continue
		}
		var rows []string
		for _, t := range c.SetAside[i:] {
			if t.Reason != s.Reason || strings.Join(t.Next, "\n") != strings.Join(s.Next, "\n") {
				break
			}
			rows = append(rows, fmt.Sprintf("%s x%d", t.Row, t.Count))
		}
		p.Item(page.Strong, "-", 2, page.Clean(strings.Join(rows, ", ")+": "+s.Reason))
		for _, n := range s.Next {
			p.Item(page.Plain, "  "+tick, 6, page.Clean(n))
		}
	}
}

func totals(p *page.Page, c *consign.Consignment) {
	if len(c.Packages) == 0 {
		return
	}
	p.Heading("TOTALS")
	text(p, page.Plain, "%s kg net, about %s kg gross.", mass(c.Totals.NetKg), mass(c.Totals.GrossKg))
	for _, t := range []struct {
		tally *consign.Tally
		unit  string
	}{{c.Totals.Collection, "kg"}, {c.Totals.Points, "points"}} {
		if t.tally != nil {
			text(p, page.Plain, "%s of %s %s. %s (%s)", mass(t.tally.Value), mass(t.tally.Limit), t.unit, t.tally.Text, t.tally.Source)
		}
	}
}

func ticks(p *page.Page, heading string, list []string) {
	if len(list) == 0 {
		return
	}
	p.Heading(heading)
	for _, l := range list {
		p.Item(page.Plain, tick, 4, page.Clean(l))
	}
}

// records prints the damage assessments, those alike under one heading.
func records(p *page.Page, c *consign.Consignment) {
	if len(c.Assessments) == 0 {
		return
	}
	p.Heading("ASSESSMENT RECORD OF DAMAGED CELLS")
	face := func(a consign.Assessment) string {
		a.Row, a.Count = "", 0
		return fmt.Sprintf("%#v", a)
	}
	for i := 0; i < len(c.Assessments); {
		a := c.Assessments[i]
		var rows []string
		j := i
		for ; j < len(c.Assessments) && face(c.Assessments[j]) == face(a); j++ {
			rows = append(rows, fmt.Sprintf("%s x%d", c.Assessments[j].Row, c.Assessments[j].Count))
		}
		i = j
		p.Item(page.Strong, "-", 2, page.Clean(strings.Join(rows, ", ")+": "+a.Reading))
		p.Item(page.Plain, "  seen", 12, page.Clean(strings.Join(a.Signs, " ")))
		p.Item(page.Plain, "  judged", 12, page.Clean(blank(a.JudgedBy, "by ____________________")+", "+
			blank(a.JudgedOn, "on __________")+": "+verdictOf(a.Judged)))
	}
	p.Item(page.Plain, "on what", 12, page.Clean(strings.Join(c.Assessments[0].Criteria, "; ")+" ("+c.Assessments[0].Source+")"))
}

func verdictOf(judged string) string {
	if judged == "none" {
		return "not critical / critical (strike one out)"
	}
	return judged
}

func blank(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

func foot(p *page.Page, c *consign.Consignment) {
	p.Blank()
	text(p, page.Plain, "Local law, the carrier's and the maker's instructions and trained judgement stand above this list. Damaged cells and dangerous goods are for trained people.")
}

func many(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// mass writes kilograms to the gram without trailing zeros.
func mass(kg float64) string { return strconv.FormatFloat(kg, 'f', -1, 64) }
