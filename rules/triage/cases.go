package triage

import (
	"errors"
	"fmt"
	"io"

	"loosecell/rules/facts"
)

// Cases reads every row of in as Run does and hands it to use as a case over
// o.Shop, named for its line and job. The case is lent: use must not keep it.
// What is wrong with the input as a whole is facts.Problems; what is wrong with a
// row goes to o.Bad. Of o it also reads Name and Keep. An error of use or of
// o.Bad ends the reading and is returned.
func Cases(in io.Reader, o Options, use func(*facts.Case) error) error {
	cat := facts.Shipped()
	src := newRecords(in)
	rows, _, echo, err := opened(cat, src, o)
	if errors.Is(err, io.EOF) {
		return facts.Problems{{At: facts.Position{File: o.Name, Line: 1, Column: 1}, Code: facts.CodeNoRows,
			Message: "the list has no cells", Fix: "write a heading of fact names and a row for each cell"}}
	}
	if err != nil {
		return err
	}
	r := newRow(cat, o.Shop, len(echo))
	for {
		rec, err := src.next()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return fmt.Errorf("reading %s: %w", o.Name, err)
		}
		if r.take(rows, rec.line, rec.broken, string(rec.text)) {
			r.facts.Name = fmt.Sprintf("%s:%d", o.Name, r.line)
			if job := r.facts.Get("job.id"); job.State == facts.Stated {
				r.facts.Name += " " + job.Text
			}
			if err := use(r.facts); err != nil {
				return err
			}
		}
		for _, bad := range r.bad {
			if err := o.Bad(bad); err != nil {
				return err
			}
		}
	}
}

// opened finds out what the input is, reads its heading and returns what reads
// its rows, and the names of what is copied; io.EOF when there is nothing in it.
func opened(cat *facts.Catalogue, src *records, o Options) (rows reader, format Format, echo []string, err error) {
	first, err := src.prefix()
	if err != nil {
		return nil, "", nil, fmt.Errorf("reading %s: %w", o.Name, err)
	}
	switch first {
	case '[':
		return nil, "", nil, facts.Problems{{At: facts.Position{File: o.Name, Line: 1, Column: 1}, Code: CodeJSON,
			Message: "this is one JSON array", Fix: "write each cell as an object on a line of its own"}}
	case '{':
		rows, echo := newObjects(cat, o.Keep)
		return rows, JSONLines, echo, nil
	}
	t, echo, err := readTable(cat, o.Name, src, o.Keep)
	return t, CSV, echo, err
}
