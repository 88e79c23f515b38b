package labels

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/*.csv
var files embed.FS

// condition is what a label says of a handling grade.
type condition struct {
	heading, handling string
	lookAgainDays     int
	rules             []string
}

// place is the room a pictogram needs.
type place struct {
	mark, size, name, source string
	wide, high               float64
}

func table(name string) ([][]string, error) {
	data, err := files.ReadFile("data/" + name)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("data/%s: %w", name, err)
	}
	return rows[1:], nil
}

var conditions = sync.OnceValues(func() (map[string]condition, error) {
	rows, err := table("conditions.csv")
	if err != nil {
		return nil, err
	}
	out := map[string]condition{}
	for _, r := range rows {
		days, err := strconv.Atoi(r[3])
		if err != nil {
			return nil, fmt.Errorf("data/conditions.csv: %s: %w", r[0], err)
		}
		out[r[0]] = condition{heading: r[1], handling: r[2], lookAgainDays: days, rules: strings.Fields(r[4])}
	}
	return out, nil
})

var placeRows = sync.OnceValues(func() ([]place, error) {
	rows, err := table("places.csv")
	if err != nil {
		return nil, err
	}
	var out []place
	for _, r := range rows {
		wide, err1 := strconv.ParseFloat(r[2], 64)
		high, err2 := strconv.ParseFloat(r[3], 64)
		if err1 != nil || err2 != nil || !(wide > 0) || !(high > 0) {
			return nil, fmt.Errorf("data/places.csv: %s has no size", r[0])
		}
		out = append(out, place{mark: r[0], size: r[1], wide: wide, high: high, name: r[4], source: r[5]})
	}
	return out, nil
})
