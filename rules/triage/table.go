package triage

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"loosecell/rules/facts"
)

// table is the heading of a CSV file.
type table struct {
	separator byte
	columns   []column
	fields    []string // of the row at hand
}

// column is one column: a fact, the count, or one that is only copied.
type column struct {
	heading string
	fact    *facts.Column // nil if it states none
	count   bool
	echo    int // place among what is copied, -1 if it is not
}

// echoed are the facts that name a job: they are copied to the answer.
var echoed = []string{"job.id", "job.ticket"}

// readTable reads the first row of a table. keep names columns that are no
// facts and are copied to the answer. The error is facts.Problems.
func readTable(cat *facts.Catalogue, name string, src *records, keep []string) (t *table, echo []string, err error) {
	first, err := src.next()
	if err != nil {
		return nil, nil, err
	}
	fail := func(code, fix, format string, args ...any) (*table, []string, error) {
		return nil, nil, facts.Problems{{At: facts.Position{File: name, Line: max(first.line, 1), Column: 1}, Code: code, Fix: fix, Message: fmt.Sprintf(format, args...)}}
	}
	text := string(first.text)
	switch {
	case first.broken == tooLong:
		return fail(CodeTooLong, "check that it is a table of cells", "the first line has more than %d bytes", maxRecord)
	case strings.HasPrefix(text, "\xFF\xFE") || strings.HasPrefix(text, "\xFE\xFF") || strings.IndexByte(text, 0) >= 0:
		return fail(facts.CodeBadText, "save it as UTF-8", "this is no UTF-8 text")
	case !utf8.ValidString(text):
		return fail(facts.CodeBadText, "save it as UTF-8", "the heading is not valid UTF-8")
	case strings.IndexByte(text, '\r') >= 0:
		return fail(CodeQuotes, "save it with ordinary line ends", "the lines end in a way that is not read")
	}
	t = &table{separator: separatorOf(text)}
	if _, state := scan(text, t.separator); first.broken != "" || state != sound {
		return fail(CodeQuotes, "close each quote on its line, and double each quote inside a field", "the quotes of the heading do not fit")
	}
	var problems facts.Problems
	known := 0 // or at least meant
	for i, heading := range split(text, t.separator, nil) {
		c, p := t.column(cat, heading, keep, &echo)
		if p != nil {
			p.At = facts.Position{File: name, Line: first.line, Column: i + 1}
			problems = append(problems, *p)
		}
		if c.fact != nil || p != nil && (p.Code != facts.CodeUnknownKey || strings.Contains(heading, ".")) {
			known++
		}
		t.columns = append(t.columns, c)
	}
	if known == 0 {
		return fail(CodeNoHeader, "begin with a line such as job.id,battery.chemistry,battery.rated_energy [Wh]", "the first line names no fact of the catalogue")
	}
	for _, k := range keep {
		if !slices.Contains(echo, k) {
			problems = append(problems, facts.Problem{At: facts.Position{File: name, Line: first.line, Column: 1}, Code: facts.CodeUnknownKey,
				Message: fmt.Sprintf("there is no column %q to keep", k)})
		}
	}
	if len(problems) > 0 {
		return nil, nil, problems
	}
	src.separator, src.fields = t.separator, len(t.columns)
	return t, echo, nil
}

// separatorOf tells what parts the fields: no heading holds a tab or semicolon
// of its own.
func separatorOf(heading string) byte {
	switch {
	case strings.Contains(heading, "\t"):
		return '\t'
	case strings.Contains(heading, ";") && !strings.Contains(heading, ","):
		return ';'
	}
	return ','
}

func (t *table) column(cat *facts.Catalogue, heading string, keep []string, echo *[]string) (column, *facts.Problem) {
	c := column{heading: heading, echo: -1}
	twice := func(name string) *facts.Problem {
		for i := range t.columns {
			if have := &t.columns[i]; have.heading == name || have.fact != nil && have.fact.Fact.Name == name {
				return &facts.Problem{Code: facts.CodeDuplicate, Message: name + " has two columns", Fix: "keep one of them"}
			}
		}
		return nil
	}
	echoing := func(name string) { c.echo, *echo = len(*echo), append(*echo, name) }
	if strings.EqualFold(heading, "count") {
		c.count, c.heading = true, "count"
		p := twice("count")
		echoing("count")
		return c, p
	}
	var p *facts.Problem
	c.fact, p = cat.Column(heading)
	switch {
	case p == nil:
		p = twice(c.fact.Fact.Name)
		if slices.Contains(keep, heading) {
			echoing(heading)
		} else if slices.Contains(echoed, c.fact.Fact.Name) {
			echoing(c.fact.Fact.Name)
		}
	case slices.Contains(keep, heading):
		p = twice(heading)
		echoing(heading)
	case p.Code == facts.CodeUnknownKey:
		p.Fix = sentences(p.Fix, "Name it in --keep if it is only to be copied")
	}
	return c, p
}

// sentences puts a sentence behind what may be one already.
func sentences(first, then string) string {
	switch {
	case first == "":
		return then
	case strings.ContainsAny(first[len(first)-1:], ".?!"):
		return first + " " + then
	}
	return first + ". " + then
}

// clone is the heading for another worker, with a memory of its own.
func (t *table) clone(cat *facts.Catalogue) (reader, error) {
	d := &table{separator: t.separator, columns: slices.Clone(t.columns)}
	for i := range d.columns {
		c := &d.columns[i]
		if c.fact == nil {
			continue
		}
		own, p := cat.Column(c.heading)
		if p != nil {
			return nil, p
		}
		c.fact = own
	}
	return d, nil
}

func (t *table) heading(column int) string {
	if column < 1 || column > len(t.columns) {
		return ""
	}
	return t.columns[column-1].heading
}

// read reads a row of the table.
func (t *table) read(text string, r *row) {
	if n, state := scan(text, t.separator); state != sound {
		r.wrong("", &facts.Problem{Code: CodeQuotes, Message: "the quotes of this row do not fit",
			Fix: "put the whole field in double quotes, and double each quote inside it"})
		return
	} else if n != len(t.columns) {
		r.wrong("", &facts.Problem{Code: CodeRagged, Message: fmt.Sprintf("this row has %d fields, and the heading has %d", n, len(t.columns)),
			Fix: "leave nothing between separators where nothing is known, and quote a field that has one"})
		return
	}
	t.fields = split(text, t.separator, t.fields[:0])
	for i, field := range t.fields {
		c := &t.columns[i]
		switch {
		case c.fact == nil && c.count:
			r.counted(c.heading, field)
			fallthrough
		case c.fact == nil:
			r.copied(c.echo, c.heading, field)
			continue
		}
		v, p := c.fact.Read(field)
		if p != nil {
			r.wrong(c.heading, p)
			continue
		}
		if v.State != facts.Missing {
			v.At.Column = i + 1
			r.facts.Values[c.fact.Fact.Name] = v
		}
		if c.echo >= 0 {
			r.copied(c.echo, c.heading, field)
		}
	}
}
