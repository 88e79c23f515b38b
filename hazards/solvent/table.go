package solvent

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"sync"
)

//go:embed data/*.csv
var files embed.FS

// row is one line of a data file by column name.
type row struct {
	file  string
	line  int
	value map[string]string
}

// tables is every data file by name, read once.
var tables = sync.OnceValues(func() (map[string][]row, error) {
	entries, err := files.ReadDir("data")
	if err != nil {
		return nil, fmt.Errorf("solvent: %w", err)
	}
	out := map[string][]row{}
	for _, entry := range entries {
		if out[entry.Name()], err = read(entry.Name()); err != nil {
			return nil, err
		}
	}
	return out, nil
})

// rows are the lines of a data file.
func rows(file string) ([]row, error) {
	all, err := tables()
	if err != nil {
		return nil, err
	}
	lines, ok := all[file]
	if !ok {
		return nil, fmt.Errorf("solvent: no data file %s", file)
	}
	return lines, nil
}

// read parses a data file; lines beginning with # are remarks.
func read(file string) ([]row, error) {
	f, err := files.Open("data/" + file)
	if err != nil {
		return nil, fmt.Errorf("solvent: %w", err)
	}
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("solvent: data/%s: %w", file, err)
	}
	var out []row
	for i, line := range lines[1:] {
		r := row{file: file, line: i + 1, value: map[string]string{}}
		for j, column := range lines[0] {
			r.value[column] = line[j]
		}
		out = append(out, r)
	}
	return out, nil
}

// numbers reads the named columns of a row.
func (r row) numbers(columns ...string) ([]float64, error) {
	out := make([]float64, len(columns))
	for i, column := range columns {
		x, err := strconv.ParseFloat(r.value[column], 64)
		if err != nil {
			return nil, fmt.Errorf("solvent: data/%s row %d, column %s: %w", r.file, r.line, column, err)
		}
		out[i] = x
	}
	return out, nil
}

// origin is the source key and how it is known.
func (r row) origin() Origin { return Origin{Source: r.value["source"], Known: r.value["known"]} }
