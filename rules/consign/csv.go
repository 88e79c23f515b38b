package consign

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"loosecell/rules/facts"
)

var byteOrderMark = []byte("\xEF\xBB\xBF")

// column is one column of a CSV list.
type column struct {
	fact *facts.Fact // nil: the count column, or one that is not known
	unit string      // unit of bare numbers, from the header; may be empty
	used bool
}

// table reads one CSV list.
type table struct {
	cat      *facts.Catalogue
	name     string
	columns  []column
	rows     []Row
	problems facts.Problems
}

func (t *table) add(line, col int, code, fix, format string, args ...any) {
	t.problems = append(t.problems, facts.Problem{At: facts.Position{File: t.name, Line: line, Column: col},
		Code: code, Message: fmt.Sprintf(format, args...), Fix: fix})
}

// readCSV reads a header of fact names and one row a cell or kind of cell.
func readCSV(cat *facts.Catalogue, name string, data []byte) ([]Row, facts.Problems) {
	t := &table{cat: cat, name: name}
	data = bytes.TrimPrefix(data, byteOrderMark)
	if !t.readable(data) {
		return nil, t.problems
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	header := true
	for len(t.problems) <= mostProblems {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.broken(err)
			break
		}
		place := func(i int) (int, int) { return r.FieldPos(i) }
		if header {
			header = false
			if !t.header(record, place) {
				break
			}
			continue
		}
		if len(t.rows) == MaxRows {
			line, col := place(0)
			t.add(line, col, CodeTooManyRows, "split it", "the list has more than %d rows", MaxRows)
			break
		}
		t.row(record, place)
	}
	if len(t.problems) == 0 && len(t.rows) == 0 {
		t.add(1, 1, facts.CodeNoRows, "write a header of fact names and a row for each cell", "the list has no cells")
	}
	return t.rows, t.problems
}

// readable refuses what is no text that a table can be read from.
func (t *table) readable(data []byte) bool {
	switch {
	case len(data) > MaxBytes:
		t.add(1, 1, facts.CodeTooLarge, "split it", "the list has more than %d bytes", MaxBytes)
	case bytes.HasPrefix(data, []byte("\xFF\xFE")) || bytes.HasPrefix(data, []byte("\xFE\xFF")):
		t.add(1, 1, facts.CodeBadText, "save it as UTF-8", "the list is UTF-16 text")
	case !utf8.Valid(data):
		line, col := 1, 1
		for rest := data; len(rest) > 0; {
			c, n := utf8.DecodeRune(rest)
			if c == utf8.RuneError && n == 1 {
				break
			}
			if col++; c == '\n' {
				line, col = line+1, 1
			}
			rest = rest[n:]
		}
		t.add(line, col, facts.CodeBadText, "save it as UTF-8", "the list is not valid UTF-8")
	case bytes.ContainsRune(data, '\r') && !bytes.ContainsRune(data, '\n'):
		t.add(1, 1, CodeTable, "save it with ordinary line ends", "the lines end in a way that is not read")
	case bytes.IndexByte(data, 0) >= 0:
		t.add(1, 1, facts.CodeBadText, "export it as CSV text", "the list has null characters, so it is no text")
	default:
		return true
	}
	return false
}

func (t *table) broken(err error) {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		t.add(1, 1, CodeTable, "", "the list cannot be read: %v", err)
		return
	}
	fix := "put the whole field in double quotes, and double each quote inside it"
	if errors.Is(parse.Err, csv.ErrQuote) && parse.StartLine != parse.Line {
		fix = "a quote opened on line " + fmt.Sprint(parse.StartLine) + " does not close"
	}
	t.add(parse.Line, max(parse.Column, 1), CodeTable, fix, "the quotes of this line do not fit: %v", parse.Err)
}

// headerCell is a fact name with an optional unit: battery.rated_energy [Wh].
var headerCell = regexp.MustCompile(`^([A-Za-z_.]+)\s*(?:[\[(]\s*([^\])]+?)\s*[\])])?$`)

// header reads the first line; false if there is no point in reading on.
func (t *table) header(record []string, place func(int) (int, int)) bool {
	known := false
	seen := map[string]int{}
	for i, text := range record {
		line, col := place(i)
		c, ok := t.column(strings.TrimSpace(text), line, col)
		if ok {
			known = true
			name := "count"
			if c.fact != nil {
				name = c.fact.Name
			}
			if first, twice := seen[name]; twice {
				t.add(line, col, facts.CodeDuplicate, "keep one of them", "%s has two columns, first the one at %d", name, first)
			}
			seen[name] = col
		}
		t.columns = append(t.columns, c)
	}
	if known {
		return true
	}
	fix := "begin with a line such as job.id,count,battery.chemistry,battery.rated_energy [Wh]"
	if len(record) == 1 && strings.ContainsAny(record[0], ";\t") {
		fix = "part the fields with commas, not with semicolons or tabs"
	}
	t.problems = nil
	t.add(1, 1, CodeNoHeader, fix, "the first line names no fact of the catalogue")
	return false
}

func (t *table) column(text string, line, col int) (column, bool) {
	m := headerCell.FindStringSubmatch(text)
	if m == nil {
		t.add(line, col, facts.CodeUnknownKey, "write the name of a fact, with its unit in brackets", "%q is no heading", clipped(text))
		return column{}, false
	}
	name, unit := strings.ToLower(m[1]), m[2]
	if name == "count" && unit == "" {
		return column{used: true}, true
	}
	f, ok := t.cat.Lookup(name)
	switch {
	case !ok || !f.Statable():
		fix := "leave the column out"
		if near := t.cat.Nearest(name); near != "" && !ok {
			fix = "did you mean " + near + "?"
		}
		t.add(line, col, facts.CodeUnknownKey, fix, "%q is no fact that a list can state", clipped(name))
		return column{}, false
	case workedOut[name]:
		t.problems = append(t.problems, notForList(name, facts.Position{File: t.name, Line: line, Column: col}))
		return column{fact: f}, true
	case unit != "":
		if f.Kind != facts.Number {
			t.add(line, col, facts.CodeWrongUnit, "leave the unit away", "%s takes no unit", name)
		} else if _, _, err := facts.ParseQuantity("1 "+unit, f.Unit); err != nil {
			t.problems = append(t.problems, placed(err, t.name, line, col)...)
		}
	}
	return column{fact: f, unit: unit, used: true}, true
}

// row reads one line of fields.
func (t *table) row(record []string, place func(int) (int, int)) {
	line, col := place(0)
	if len(record) != len(t.columns) {
		line, col = place(min(len(record)-1, len(t.columns)))
		t.add(line, col, CodeRagged, "fill the missing ones with nothing between commas, and quote a field that has a comma",
			"this row has %d fields, and the header has %d", len(record), len(t.columns))
		return
	}
	r := Row{Count: 1, Case: facts.NewCase(t.cat, t.name), At: facts.Position{File: t.name, Line: line, Column: col}}
	before := len(t.problems)
	for i, text := range record {
		c := t.columns[i]
		if text = strings.TrimSpace(text); !c.used || text == "" {
			continue
		}
		line, col := place(i)
		if c.fact == nil {
			n, p := facts.ParseCount(text)
			if p != nil {
				t.problems = append(t.problems, placed(p, t.name, line, col)...)
			}
			r.Count = n
			continue
		}
		if err := r.Case.SetText(t.cat, c.fact.Name, c.written(text)); err != nil {
			t.problems = append(t.problems, placed(err, t.name, line, col)...)
			continue
		}
		v := r.Case.Get(c.fact.Name)
		v.At = facts.Position{File: t.name, Line: line, Column: col}
		r.Case.Set(c.fact.Name, v)
	}
	if len(t.problems) == before {
		t.problems = append(t.problems, facts.Contradictions(r.Case)...)
	}
	t.rows = append(t.rows, r)
}

// written is a field as a case file writes it: with the unit of the header
// where the field has none, and a list where several words stand.
func (c column) written(text string) string {
	if c.fact.Kind == facts.Members && strings.ContainsAny(text, ";,") && !strings.HasPrefix(text, "[") {
		return "[" + strings.ReplaceAll(text, ";", ",") + "]"
	}
	if c.unit == "" || strings.EqualFold(text, "unknown") {
		return text
	}
	bare, open := strings.CutSuffix(text, "..")
	bare = strings.TrimSpace(bare)
	if bare == "" || !strings.ContainsRune("0123456789.", rune(bare[len(bare)-1])) {
		return text
	}
	if open {
		return bare + " " + c.unit + " .."
	}
	return text + " " + c.unit
}

// placed gives problems without a place the one of a field.
func placed(err error, name string, line, col int) facts.Problems {
	var list facts.Problems
	var one *facts.Problem
	switch {
	case errors.As(err, &list):
		list = slices.Clone(list)
	case errors.As(err, &one):
		list = facts.Problems{*one}
	default:
		list = facts.Problems{{Code: facts.CodeSyntax, Message: err.Error()}}
	}
	for i := range list {
		list[i].At = facts.Position{File: name, Line: line, Column: col}
	}
	return list
}

func clipped(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}
