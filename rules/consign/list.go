package consign

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"loosecell/rules/facts"
)

// The codes of a problem with a list of cells, beside those of package facts.
const (
	CodeNoHeader    = "no-header"     // the first line does not name facts
	CodeRagged      = "ragged-row"    // more or fewer fields than the header
	CodeTable       = "csv-syntax"    // quotes that do not close, and so on
	CodeDuplicateID = "duplicate-id"  // the same job.id on two rows
	CodeNotForList  = "not-for-list"  // a fact that the packing works out
	CodeTooManyRows = "too-many-rows" // more than MaxRows
)

// The bounds of a list.
const (
	MaxRows  = 100000  // rows
	MaxCells = 1000000 // cells in all
	MaxBytes = 1 << 25 // of a CSV list; a YAML list is read up to facts.MaxBytes
)

// mostProblems is how many problems of one list are told.
const mostProblems = 100

// A Row is one line of a list: what is known of a cell, and how many are alike.
type Row struct {
	ID    string // job.id, or the line where there is none
	Count int    // from 1
	Case  *facts.Case
	At    facts.Position
}

// workedOut are the facts of a package, which the packing decides.
var workedOut = map[string]bool{
	"dispatch.cells": true, "dispatch.batteries": true, "dispatch.net_mass": true,
	"dispatch.gross_mass": true, "dispatch.equipment": true, "dispatch.packages": true,
}

// Read reads a list of cells, as CSV or as YAML; the name's ending says which,
// and where it says nothing, the contents. The error is of type facts.Problems,
// and then there are no rows at all.
func Read(cat *facts.Catalogue, name string, data []byte) ([]Row, error) {
	var rows []Row
	var problems facts.Problems
	if isYAML(name, data) {
		rows, problems = readYAML(cat, name, data)
	} else {
		rows, problems = readCSV(cat, name, data)
	}
	problems = append(problems, checkRows(cat, name, rows)...)
	if len(problems) == 0 {
		return rows, nil
	}
	slices.SortStableFunc(problems, func(a, b facts.Problem) int {
		return cmp.Or(cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.At.Column, b.At.Column))
	})
	if len(problems) > mostProblems {
		problems = append(problems[:mostProblems], facts.Problem{At: problems[mostProblems].At, Code: facts.CodeTooMany,
			Message: "there are more problems, which are not listed", Fix: "mend those above first"})
	}
	return nil, problems
}

func isYAML(name string, data []byte) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".yaml", ".yml":
		return true
	case ".csv":
		return false
	}
	first := bytes.TrimLeft(bytes.TrimPrefix(data, byteOrderMark), " \t\r\n")
	return len(first) == 0 || first[0] == '-' || first[0] == '[' || first[0] == '#'
}

func readYAML(cat *facts.Catalogue, name string, data []byte) ([]Row, facts.Problems) {
	entries, err := facts.ParseList(cat, name, bytes.TrimPrefix(data, byteOrderMark))
	if err != nil {
		if problems, ok := err.(facts.Problems); ok {
			return nil, problems
		}
		return nil, facts.Problems{{At: facts.Position{File: name, Line: 1, Column: 1}, Code: facts.CodeSyntax, Message: err.Error()}}
	}
	rows := make([]Row, len(entries))
	for i, e := range entries {
		rows[i] = Row{Count: e.Count, Case: e.Case, At: e.At}
	}
	return rows, nil
}

// checkRows finds what is wrong with rows that can each be read, and names
// those without an id.
func checkRows(cat *facts.Catalogue, name string, rows []Row) facts.Problems {
	var problems facts.Problems
	first := map[string]facts.Position{}
	cells := 0
	for i := range rows {
		r := &rows[i]
		at := r.At
		if id := r.Case.Get("job.id"); id.State == facts.Stated && id.Text != "" {
			r.ID = id.Text
			if id.At.Line > 0 {
				at = id.At
			}
		} else {
			r.ID = fmt.Sprintf("line %d", r.At.Line)
		}
		if there, twice := first[r.ID]; twice {
			problems = append(problems, facts.Problem{At: at, Code: CodeDuplicateID,
				Message: fmt.Sprintf("job.id %q stands again, first on line %d", r.ID, there.Line),
				Fix:     "give each row its own, and use count for cells that are alike"})
		}
		first[r.ID] = at
		if cells += r.Count; cells > MaxCells {
			problems = append(problems, facts.Problem{At: r.At, Code: CodeTooManyRows,
				Message: fmt.Sprintf("the list has more than %d cells", MaxCells), Fix: "split it"})
			break
		}
		for fact := range workedOut {
			if v := r.Case.Get(fact); v.State != facts.Missing {
				problems = append(problems, notForList(fact, cmp.Or(v.At, r.At)))
			}
		}
	}
	return problems
}

func notForList(fact string, at facts.Position) facts.Problem {
	return facts.Problem{At: at, Code: CodeNotForList, Message: fact + " is of a package, and the packing works it out",
		Fix: "leave it out; state battery.mass and count"}
}
