package heat

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// row is one line of an embedded table, read by column name.
type row struct {
	table  string
	line   int
	fields map[string]string
}

// rows reads an embedded CSV table whose first line names the columns.
func rows(table, text string) ([]row, error) {
	reader := csv.NewReader(strings.NewReader(text))
	head, err := reader.Read()
	if err != nil {
		return nil, fmt.Errorf("heat: table %s: %w", table, err)
	}
	var out []row
	for {
		record, err := reader.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("heat: table %s: %w", table, err)
		}
		line, _ := reader.FieldPos(0)
		r := row{table: table, line: line, fields: make(map[string]string, len(head))}
		for i, name := range head {
			r.fields[name] = record[i]
		}
		out = append(out, r)
	}
}

// numbers reads the named columns as numbers above zero, in order.
func (r row) numbers(columns ...string) ([]float64, error) {
	out := make([]float64, len(columns))
	for i, column := range columns {
		v, err := strconv.ParseFloat(r.fields[column], 64)
		if err == nil {
			err = positive(column, v, "")
		}
		if err != nil {
			return nil, fmt.Errorf("heat: table %s line %d, column %s: %w", r.table, r.line, column, err)
		}
		out[i] = v
	}
	return out, nil
}
