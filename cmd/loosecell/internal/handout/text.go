package handout

import (
	"io"
	"strconv"
	"strings"

	"loosecell/cmd/loosecell/internal/page"
)

// Text writes the document in at most 80 columns.
func Text(w io.Writer, d *Document) error {
	t := &texter{sources: d.sources()}
	edge := strings.Repeat("=", page.Width)
	t.p.Put(page.Plain, edge)
	t.p.Item(page.Banner, "", 0, page.Clean(d.Title))
	t.p.Item(page.Plain, "", 0, page.Clean(d.Under))
	t.p.Put(page.Plain, edge)
	for i := range d.Blocks {
		t.block(&d.Blocks[i])
	}
	if len(t.sources) > 0 {
		t.p.Heading("SOURCES")
		for i, s := range t.sources {
			t.p.Item(page.Plain, "["+strconv.Itoa(i+1)+"]", 6, page.Clean(s))
		}
	}
	if d.Foot != "" {
		t.p.Blank()
		t.p.Item(page.Plain, "", 0, page.Clean(d.Foot))
	}
	return t.p.Write(w, nil)
}

type texter struct {
	p       page.Page
	sources []string
}

func (t *texter) block(b *Block) {
	switch b.Kind {
	case Heading:
		text := page.Clean(b.Text)
		if b.Level <= 2 {
			text = strings.ToUpper(text)
		}
		t.p.Heading(text)
	case Para:
		for _, l := range b.Lines {
			t.p.Blank()
			t.p.Item(page.Plain, "", 0, t.cited(l.Text, l.Cited))
		}
	case Bullets:
		for _, l := range b.Lines {
			t.p.Item(page.Plain, "-", 2, t.cited(l.Text, l.Cited))
		}
	case Numbered:
		for i, l := range b.Lines {
			t.p.Item(page.Plain, strconv.Itoa(i+1)+".", 4, t.cited(l.Text, l.Cited))
		}
	case Table:
		t.table(b)
	case Form:
		t.form(b)
	case Card:
		t.card(&b.Act)
	case Choices:
		t.p.Blank()
		for _, l := range b.Lines {
			t.p.Item(page.Plain, "[ ]", 4, page.Clean(l.Text))
		}
	case Break:
		t.p.Blank()
	}
}

// table prints each row as a small list: no table of sentences fits 80 columns.
func (t *texter) table(b *Block) {
	if b.Text != "" {
		t.p.Blank()
		t.p.Item(page.Plain, "", 0, page.Clean(b.Text))
	}
	for _, r := range b.Rows {
		t.p.Blank()
		for i, cell := range r.Cells {
			text := page.Clean(cell)
			if i == notedCell(r.Cells) {
				text = t.cited(cell, r.Cited)
			}
			if text == "" {
				text = strings.Repeat("_", 30)
			}
			if i == 0 {
				t.p.Item(page.Strong, "", 0, text)
				continue
			}
			t.p.Item(page.Plain, "  "+page.Clean(b.Head[i])+":", 2+widest(b.Head)+2, text)
		}
	}
}

func widest(heads []string) int {
	n := 0
	for _, h := range heads[min(1, len(heads)):] {
		n = max(n, page.Cells(h))
	}
	return min(n, 24)
}

func (t *texter) form(b *Block) {
	n := 0
	for _, r := range b.Rows {
		n = max(n, page.Cells(page.Clean(r.Cells[0])))
	}
	n = min(n, 30)
	for _, r := range b.Rows {
		text := page.Clean(r.Cells[1])
		if text == "" {
			text = strings.Repeat("_", 30)
		}
		t.p.Item(page.Plain, page.Clean(r.Cells[0]), n+2, text)
	}
}

func (t *texter) card(a *Act) {
	t.p.Heading(strings.ToUpper(page.Clean(a.Title)))
	t.p.Item(page.Strong, "", 0, page.Clean(a.First))
	for i, l := range a.Steps {
		t.p.Item(page.Plain, strconv.Itoa(i+1)+".", 4, t.cited(l.Text, l.Cited))
	}
	for _, l := range a.Never {
		t.p.Item(page.Plain, "x", 4, t.cited(l.Text, l.Cited))
	}
	t.p.Item(page.Plain, ">", 4, page.Clean(a.Then))
}

// cited is a text with the numbers of its sources.
func (t *texter) cited(text string, cited []string) string {
	text = page.Clean(text)
	if notes := bracket(note(t.sources, cited)); notes != "" {
		text += string(page.Glue) + strings.ReplaceAll(notes, " ", string(page.Glue))
	}
	return text
}
