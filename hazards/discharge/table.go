package discharge

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"loosecell/hazards"
)

// row is one line of an embedded table; the first error met stays in err.
type row struct {
	file  string
	cells map[string]string
	err   error
}

// readTable reads a CSV table with a heading line; lines starting with # are its sources.
func readTable(file, content string) ([]*row, error) {
	r := csv.NewReader(strings.NewReader(content))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("discharge: %s: %w", file, err)
	}
	var out []*row
	for _, line := range lines[min(1, len(lines)):] {
		cells := make(map[string]string, len(line))
		for i, heading := range lines[0] {
			cells[heading] = line[i]
		}
		out = append(out, &row{file: file, cells: cells})
	}
	return out, nil
}

func (r *row) text(column string) string { return r.cells[column] }

func (r *row) number(column string) float64 {
	x, err := strconv.ParseFloat(r.cells[column], 64)
	if err == nil && !positive(x) {
		err = fmt.Errorf("%g, want above 0", x)
	}
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("discharge: %s: %s: %w", r.file, column, err)
	}
	return x
}

// estimate reads the three columns name_low, name_middle and name_high.
func (r *row) estimate(name string) hazards.Estimate {
	e, err := hazards.New(r.number(name+"_low"), r.number(name+"_middle"), r.number(name+"_high"))
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("discharge: %s: %s: %w", r.file, name, err)
	}
	return e
}
