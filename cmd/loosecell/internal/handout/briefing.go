package handout

import (
	"strings"

	"loosecell/rules"
	"loosecell/rules/book"
	"loosecell/rules/briefing"
	"loosecell/rules/facts"
)

// Deference stands under everything that teaches.
const Deference = "Local law, the maker's instructions and trained judgement stand above this sheet. Damaged cells and dangerous goods are for trained people."

// jurisdictions are the places whose law on training is told, in order.
var jurisdictions = []struct{ key, title string }{
	{"us", "United States"}, {"eu", "European Union"}, {"uk", "United Kingdom"}, {"un", "By air and sea, everywhere"},
}

// Teacher makes documents of the material for one shop.
type Teacher struct {
	Material *briefing.Material
	Book     *rules.Book
	Shop     *facts.Case // nil: every place is left blank
}

func (t *Teacher) document(title string) *Document {
	d := &Document{Title: title, Foot: Deference}
	var under []string
	if name := briefing.Place("shop_name", t.Shop); name != briefing.Blank {
		under = append(under, name)
	}
	d.Under = strings.Join(append(under, "Material "+t.Material.Edition), ". ") + "."
	return d
}

func (t *Teacher) fill(text string) string { return briefing.Fill(text, t.Shop) }

func (t *Teacher) lines(list []briefing.Statement) []Line {
	var out []Line
	for i := range list {
		out = append(out, Line{t.fill(list[i].Text), list[i].Cited(t.Book)})
	}
	return out
}

// plain are lines without their sources.
func (t *Teacher) plain(list []briefing.Statement) []Line {
	var out []Line
	for i := range list {
		out = append(out, Line{Text: t.fill(list[i].Text)})
	}
	return out
}

// Briefing is the talk, the handout, the practical checklist, the record and
// the table of training. place is the jurisdiction of the shop; "" tells all.
func (t *Teacher) Briefing(place string) *Document {
	m := t.Material
	d := t.document(m.Title)
	d.Add(Block{Kind: Para, Lines: []Line{{Text: m.Lead}}})
	for _, p := range m.Talk {
		d.Heading(2, p.Heading)
		d.Add(Block{Kind: Para, Lines: t.lines(p.Say)})
	}
	d.Add(Block{Kind: Break})
	for _, p := range m.Handout {
		d.Heading(2, p.Heading)
		t.part(d, &p)
	}
	d.Add(Block{Kind: Break})
	t.checklist(d)
	d.Add(Block{Kind: Break})
	t.training(d, place)
	return d
}

// part adds sentences, items or a table.
func (t *Teacher) part(d *Document, p *briefing.Part) {
	if len(p.Items) > 0 {
		d.Add(Block{Kind: Bullets, Lines: t.lines(p.Items)})
	}
	if len(p.Rows) == 0 {
		return
	}
	b := Block{Kind: Table, Text: p.Heading, Head: p.Head}
	for i := range p.Rows {
		b.Rows = append(b.Rows, t.row(&p.Rows[i]))
	}
	d.Add(b)
}

func (t *Teacher) row(s *briefing.Statement) Row {
	r := Row{Cited: s.Cited(t.Book)}
	for _, c := range s.Cells {
		r.Cells = append(r.Cells, t.fill(c))
	}
	return r
}

// checklist is what is shown and not told, with lines to sign.
func (t *Teacher) checklist(d *Document) {
	p := &t.Material.Checklist
	d.Heading(2, p.Heading)
	d.Add(Block{Kind: Para, Lines: t.lines([]briefing.Statement{p.Lead})})
	d.Add(Block{Kind: Form, Rows: []Row{{Cells: []string{"Learner", ""}}, {Cells: []string{"Trainer", ""}}, {Cells: []string{"Date", ""}},
		{Cells: []string{"Material", t.Material.Edition}}, {Cells: []string{"Quiz result", ""}}}})
	b := Block{Kind: Table, Text: "Shown, not told", Head: []string{"What the learner does", "Learner signs", "Trainer signs"}}
	for i := range p.Items {
		s := &p.Items[i]
		b.Rows = append(b.Rows, Row{Cells: []string{t.fill(s.Text), "", ""}, Cited: s.Cited(t.Book)})
	}
	for _, leave := range []string{"From now on: works alone on sound cells", "From now on: works on damaged cells, with a second person"} {
		b.Rows = append(b.Rows, Row{Cells: []string{leave, "", ""}})
	}
	d.Add(b)
}

func (t *Teacher) training(d *Document, place string) {
	p := &t.Material.Training
	d.Heading(2, p.Heading)
	d.Add(Block{Kind: Para, Lines: t.lines([]briefing.Statement{p.Lead})})
	for _, at := range jurisdictions {
		if place != "" && at.key != place && at.key != "un" {
			continue
		}
		b := Block{Kind: Table, Text: at.title, Head: p.Head}
		for i := range p.Rows {
			if p.Rows[i].At == at.key {
				b.Rows = append(b.Rows, t.row(&p.Rows[i]))
			}
		}
		d.Add(b)
	}
}

// WallSheet is the one page that hangs where everybody passes.
func (t *Teacher) WallSheet() *Document {
	w := &t.Material.Wall
	d := t.document(w.Heading)
	d.Dense = true
	d.Heading(2, "Call")
	call := Block{Kind: Form}
	for i := range w.Call {
		s := &w.Call[i]
		text := s.Text
		if s.Place != "" {
			text = briefing.Place(s.Place, t.Shop)
		}
		call.Rows = append(call.Rows, Row{Cells: []string{s.Label, text}})
	}
	d.Add(call)
	d.Heading(2, "Where it is")
	where := Block{Kind: Form}
	for i := range w.Places {
		s := &w.Places[i]
		text := ""
		switch {
		case s.Place != "":
			text = briefing.Place(s.Place, t.Shop)
		case s.Fact != "" && briefing.Has(s.Fact, t.Shop) == "no":
			text = "We have none. Get one."
		}
		where.Rows = append(where.Rows, Row{Cells: []string{s.Label, text}})
	}
	d.Add(where)
	d.Heading(2, "What to do")
	numbers := Block{Kind: Bullets}
	for i := range w.Numbers {
		numbers.Lines = append(numbers.Lines, Line{Text: t.fill(w.Numbers[i].Text)})
	}
	d.Add(numbers)
	for i := range w.Cards {
		d.Add(Block{Kind: Card, Act: act(&w.Cards[i])})
	}
	return d
}

// act is a card for the wall: without its sources, which "act" prints.
func act(c *book.Card) Act {
	a := Act{Title: c.Title, First: c.First, Then: c.Then}
	for _, l := range c.Steps {
		a.Steps = append(a.Steps, Line{Text: l.Text})
	}
	for _, l := range c.Never {
		a.Never = append(a.Never, Line{Text: l.Text})
	}
	return a
}

// CounterCard is what is asked when a device is booked in. It goes to customers
// on one page, so its sources stay in the material.
func (t *Teacher) CounterCard() *Document {
	c := &t.Material.Counter
	d := t.document(c.Heading)
	d.Add(Block{Kind: Para, Lines: []Line{{Text: c.Lead}}})
	b := Block{Kind: Table, Head: []string{"Ask", "If so", "Answer"}, Text: "Questions at booking"}
	for i := range c.Questions {
		s := &c.Questions[i]
		b.Rows = append(b.Rows, Row{Cells: []string{s.Text, s.Then, ""}})
	}
	d.Add(b)
	d.Add(Block{Kind: Bullets, Lines: t.plain(c.Rules)})
	d.Heading(2, "Consent")
	d.Add(Block{Kind: Bullets, Lines: t.plain(c.Consent)})
	d.Add(Block{Kind: Form, Rows: []Row{{Cells: []string{"Device and ticket", ""}}, {Cells: []string{"Customer", ""}},
		{Cells: []string{"Signature", ""}}, {Cells: []string{"Taken in by", ""}}, {Cells: []string{"Date", ""}}}})
	return d
}
