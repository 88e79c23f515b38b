// Package handout renders a document of headings, sentences, tables, lines to
// fill in and cards, as plain text, as Markdown and as one self-contained HTML
// file that prints on A4 and Letter.
package handout

import (
	"slices"
	"strconv"
	"strings"
)

// Kind is what a block is.
type Kind uint8

// The kinds of blocks.
const (
	Heading  Kind = iota // Text; Level 2 or 3
	Para                 // Lines, each a paragraph
	Bullets              // Lines
	Numbered             // Lines
	Table                // Text as caption, Head, Rows
	Form                 // Rows of a label and what is filled in; "" is a line to write on
	Card                 // Act
	Choices              // Lines, each with a box to tick
	Break                // a new sheet of paper
)

// Line is a sentence and the documents behind it.
type Line struct {
	Text  string
	Cited []string
}

// Row is a row of a table or form.
type Row struct {
	Cells []string
	Cited []string
}

// Act is a card of immediate acts.
type Act struct {
	Title, First, Then string
	Steps, Never       []Line
}

// Block is one part of a document.
type Block struct {
	Kind  Kind
	Level int
	Text  string
	Lines []Line
	Head  []string
	Rows  []Row
	Act   Act
}

// Document is a whole page or leaflet.
type Document struct {
	Title  string
	Under  string // the line under the title
	Foot   string
	Dense  bool // one sheet in small print and columns
	Blocks []Block
}

// Add appends a block.
func (d *Document) Add(b Block) { d.Blocks = append(d.Blocks, b) }

// Heading opens a section.
func (d *Document) Heading(level int, text string) {
	d.Add(Block{Kind: Heading, Level: level, Text: text})
}

// sources lists the documents behind everything, in the order in which they
// are met; note numbers them from 1.
func (d *Document) sources() []string {
	var out []string
	add := func(cited []string) {
		for _, c := range cited {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	for i := range d.Blocks {
		b := &d.Blocks[i]
		for _, lines := range [][]Line{b.Lines, b.Act.Steps, b.Act.Never} {
			for _, l := range lines {
				add(l.Cited)
			}
		}
		for _, r := range b.Rows {
			add(r.Cited)
		}
	}
	return out
}

// notedCell is the cell of a row that carries its notes: the last one with a
// text, since the others are there to be filled in.
func notedCell(cells []string) int {
	for i := len(cells) - 1; i > 0; i-- {
		if !isBlank(cells[i]) {
			return i
		}
	}
	return 0
}

// bracket writes numbers in one pair of brackets, runs of three and more as a
// range; "" if there are none.
func bracket(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		switch {
		case j-i >= 2:
			parts = append(parts, strconv.Itoa(numbers[i])+"-"+strconv.Itoa(numbers[j]))
		default:
			for _, n := range numbers[i : j+1] {
				parts = append(parts, strconv.Itoa(n))
			}
		}
		i = j + 1
	}
	if len(parts) == 0 {
		return ""
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

// isBlank tells that a text is only a line to write on.
func isBlank(text string) bool { return strings.Trim(text, "_ ") == "" }

func note(sources, cited []string) []int {
	var out []int
	for _, c := range cited {
		if i := slices.Index(sources, c); i >= 0 {
			out = append(out, i+1)
		}
	}
	slices.Sort(out)
	return out
}
