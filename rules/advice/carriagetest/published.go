package carriagetest

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Row is one published worked case and what it came to.
type Row struct {
	Table, Case, Source string
	Facts               string // changes to the sound parcel
	Mode                string
	Answer
}

// Published reads the worked cases of every transport-*.csv in a folder. The
// error tells of a table that cannot be read or lacks a column.
func Published(folder string) ([]Row, error) {
	files, err := filepath.Glob(filepath.Join(folder, "transport-*.csv"))
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("%s holds no transport-*.csv", folder)
	}
	var out []Row
	for _, file := range files {
		rows, err := readTable(file)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		out = append(out, rows...)
	}
	return out, nil
}

func readTable(file string) ([]Row, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.TrimLeadingSpace = true
	lines, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(lines) == 0 || !slices.Equal(lines[0], columns) {
		return nil, fmt.Errorf("the columns have to be %s", strings.Join(columns, ","))
	}
	table := strings.TrimSuffix(filepath.Base(file), ".csv")
	var out []Row
	for _, line := range lines[1:] {
		for i := range line {
			line[i] = strings.TrimSpace(line[i])
		}
		out = append(out, Row{
			Table: table, Case: line[0], Source: line[1], Facts: line[2], Mode: line[3], Answer: Answer{
				Allowed: line[4], UN: line[5], Clauses: parted(line[6]), Words: parted(line[7]),
				ChargeCap: line[8], CapKind: line[9], NetLimit: line[10],
			},
		})
	}
	return out, nil
}

var columns = strings.Split("case,source,facts,mode,allowed,un,clauses,words,charge_cap,cap_kind,net_limit", ",")

func parted(s string) []string {
	var out []string
	for part := range strings.SplitSeq(s, "|") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}
