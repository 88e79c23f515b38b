package runaway

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// row is one line of an embedded table; the first error met stays in err.
type row struct {
	file  string
	cells map[string]string
	err   error
}

// readTable reads a CSV table with a heading line and turns every line into a T.
func readTable[T any](file, content string, build func(*row) T) ([]T, error) {
	r := csv.NewReader(strings.NewReader(content))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("runaway: %s: %w", file, err)
	}
	var out []T
	for _, line := range lines[min(1, len(lines)):] {
		one := &row{file: file, cells: make(map[string]string, len(line))}
		for i, heading := range lines[0] {
			one.cells[heading] = line[i]
		}
		out = append(out, build(one))
		if one.err != nil {
			return nil, one.err
		}
	}
	return out, nil
}

func (r *row) text(column string) string { return r.cells[column] }

// number reads a figure that is finite and not below 0.
func (r *row) number(column string) float64 {
	x, err := strconv.ParseFloat(r.cells[column], 64)
	if err == nil && !(x >= 0 && !math.IsInf(x, 0)) {
		err = fmt.Errorf("%g, want 0 or more", x)
	}
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("runaway: %s: %s: %w", r.file, column, err)
	}
	return x
}

// numberOr reads a figure that may be left out.
func (r *row) numberOr(column string, missing float64) float64 {
	if r.cells[column] == "" {
		return missing
	}
	return r.number(column)
}
