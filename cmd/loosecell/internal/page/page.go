// Package page lays out plain text for a terminal: headings, marked items and
// labelled rows in at most 80 columns, with colour only as paint over lines
// that are complete without it.
package page

import (
	"io"
	"strings"
)

// Style is what a line is, not how it looks: without colour every line still
// says everything.
type Style uint8

const (
	Plain  Style = iota
	Head         // a section's name
	Banner       // the verdict
	Strong       // what must be read first
)

type line struct {
	text  string
	style Style
}

// Page collects finished lines, each at most Width cells.
type Page struct {
	lines []line
}

// Indent is the left margin of everything below a heading.
const Indent = 2

// Put adds one finished line, which the caller has wrapped.
func (p *Page) Put(s Style, text string) { p.lines = append(p.lines, line{text, s}) }

// Blank leaves one empty line, never two and never at the top.
func (p *Page) Blank() {
	if n := len(p.lines); n > 0 && p.lines[n-1].text != "" {
		p.Put(Plain, "")
	}
}

// Heading opens a section.
func (p *Page) Heading(text string) {
	p.Blank()
	for _, l := range Wrap(text, Width) {
		p.Put(Head, l)
	}
}

// Item prints text beside a mark ("1", "Heat", "-"); every further line starts
// below the text, so that the marks stand free at the left.
func (p *Page) Item(s Style, mark string, markCells int, text string) {
	p.ItemAtMost(s, mark, markCells, text, 0)
}

// ItemAtMost is Item with at most n lines; 0 is no limit.
func (p *Page) ItemAtMost(s Style, mark string, markCells int, text string, n int) {
	if text == "" {
		return
	}
	if Cells(mark) > markCells {
		mark = Clip(Wrap(mark, markCells), 1, markCells)[0]
	}
	left := Indent + markCells
	body := Wrap(text, Width-left)
	if n > 0 {
		body = Clip(body, n, Width-left)
	}
	for _, l := range body {
		p.Put(s, strings.Repeat(" ", Indent)+pad(mark, markCells)+l)
		mark = ""
	}
}

// Bullets prints a section of equal lines, or nothing where there are none.
func (p *Page) Bullets(heading string, texts []string) {
	if len(texts) == 0 {
		return
	}
	p.Heading(heading)
	for _, text := range texts {
		p.Item(Plain, "-", 2, text)
	}
}

// Row is one labelled line of a section: its mark and its text.
type Row [2]string

// maxMark is the widest label that still leaves room for the text beside it.
const maxMark = 26

// Rows prints labelled lines with the texts in one column.
func (p *Page) Rows(heading string, rows []Row) {
	widest := 0
	for _, r := range rows {
		if r[1] != "" {
			widest = max(widest, Cells(r[0]))
		}
	}
	if widest == 0 {
		return
	}
	p.Heading(heading)
	widest = min(widest, maxMark) + 2
	for _, r := range rows {
		p.Item(Plain, r[0], widest, r[1])
	}
}

// Paint is the escape sequence that opens a style on a terminal.
type Paint map[Style]string

const PaintOff = "\x1b[0m"

// Write prints the page, with colour where paints says so.
func (p *Page) Write(w io.Writer, paints Paint) error {
	var out strings.Builder
	for _, l := range p.lines {
		text := strings.TrimRight(l.text, " ")
		if open := paints[l.style]; open != "" && text != "" {
			text = open + text + PaintOff
		}
		out.WriteString(text)
		out.WriteByte('\n')
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// Len is how many lines the page has so far.
func (p *Page) Len() int { return len(p.lines) }

// Append puts another page below this one.
func (p *Page) Append(other *Page) { p.lines = append(p.lines, other.lines...) }
