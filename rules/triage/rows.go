package triage

import (
	"fmt"
	"strings"
	"unicode"

	"loosecell/rules/facts"
)

// The codes of what can be wrong with a row or a heading, beside those of
// package facts.
const (
	CodeNoHeader = "no-header"  // the first line does not name facts
	CodeRagged   = "ragged-row" // more or fewer fields than the heading
	CodeQuotes   = "csv-syntax" // quotes that do not fit
	CodeJSON     = "json-syntax"
	CodeTooLong  = "too-long" // a row of more than maxRecord bytes
)

// Bad is one thing wrong with a row.
type Bad struct {
	Line   int    // on which the row starts
	Column string // the heading or key; "" if it is about the whole row
	Code   string
	Reason string // and what would be right
}

// mostBad is how many problems of one row are told.
const mostBad = 10

// row is what a worker reads of one row, kept from row to row.
type row struct {
	cat   *facts.Catalogue
	shop  map[string]facts.Value
	line  int
	facts *facts.Case
	echo  []string // what is copied to the answer, by place in layout.echo
	count int      // alike cells
	bad   []Bad
}

func newRow(cat *facts.Catalogue, shop *facts.Case, echo int) *row {
	r := &row{cat: cat, facts: facts.NewCase(cat, ""), echo: make([]string, echo)}
	if shop != nil {
		r.shop = facts.NewCase(cat, "").Over(shop).Values
	}
	return r
}

func (r *row) start(line int) {
	r.line, r.count, r.bad = line, 1, r.bad[:0]
	clear(r.facts.Values)
	clear(r.echo)
}

// take reads a row; false leaves in r.bad what is wrong with it.
func (r *row) take(from reader, line int, broken, text string) bool {
	r.start(line)
	switch broken {
	case tooLong:
		r.wrong("", &facts.Problem{Code: CodeTooLong, Message: fmt.Sprintf("this row has more than %d bytes", maxRecord), Fix: "check that it is one cell"})
		return false
	case openQuote:
		r.wrong("", &facts.Problem{Code: CodeQuotes, Message: "a quote opens in this row and does not close", Fix: "double each quote inside a field"})
		return false
	}
	from.read(text, r)
	return r.finish(from.heading)
}

func (r *row) wrong(column string, p *facts.Problem) {
	if len(r.bad) == mostBad {
		return
	}
	reason := p.Message
	if p.Fix != "" {
		reason += "; " + p.Fix
	}
	r.bad = append(r.bad, Bad{Line: r.line, Column: column, Code: p.Code, Reason: reason})
}

// finish lays the case over the shop; false if something is wrong with the row.
func (r *row) finish(heading func(column int) string) bool {
	if len(r.bad) == 0 {
		for _, p := range facts.Contradictions(r.facts) {
			r.wrong(heading(p.At.Column), &p)
		}
	}
	for name, v := range r.shop {
		if _, stated := r.facts.Values[name]; !stated {
			r.facts.Values[name] = v
		}
	}
	return len(r.bad) == 0
}

// copied takes over a field that is no fact, as it stands.
func (r *row) copied(place int, column, text string) {
	if at := strings.IndexFunc(text, func(c rune) bool { return !unicode.IsGraphic(c) }); at >= 0 {
		r.wrong(column, &facts.Problem{Code: facts.CodeBadText, Message: "the text has a character that cannot be printed", Fix: "keep to plain text"})
		return
	}
	r.echo[place] = text
}

// counted takes over how many cells are alike.
func (r *row) counted(column, text string) {
	if text == "" {
		return
	}
	n, p := facts.ParseCount(text)
	if p != nil {
		r.wrong(column, p)
		return
	}
	r.count = n
}
