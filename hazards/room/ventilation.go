package room

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"loosecell/hazards"
)

// Ventilation is how a bench gets its air, in the words of a case.
type Ventilation string

const (
	Extract    Ventilation = "extract"
	OpenWindow Ventilation = "open-window"
	NoAir      Ventilation = "none"
	UnknownAir Ventilation = "unknown"
)

//go:embed data/air-changes.csv
var airChangesCSV string

// AirChanges is the presumption for a kind of ventilation, air changes per hour
// (common practice; see data/air-changes.csv). An unknown kind spans them all,
// with the middle of a closed room.
func AirChanges(kind Ventilation) (hazards.Estimate, error) {
	table := csv.NewReader(strings.NewReader(airChangesCSV))
	table.Comment = '#'
	rows, err := table.ReadAll()
	if err != nil {
		return hazards.Estimate{}, fmt.Errorf("room: data/air-changes.csv: %w", err)
	}
	for _, row := range rows[1:] {
		if row[0] != string(kind) {
			continue
		}
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				return hazards.Estimate{}, fmt.Errorf("room: data/air-changes.csv, %s: %w", kind, err)
			}
		}
		return hazards.New(v[0], v[1], v[2])
	}
	return hazards.Estimate{}, fmt.Errorf("room: no ventilation %q: extract, open-window, none or unknown fits", kind)
}

// DesignAirChanges is the outdoor air a building code's rates give, air changes
// per hour: litres a second for each person and for each m2 of floor, over the
// room height in m. Rates as in ASHRAE 62.1 or EN 16798-1.
func DesignAirChanges(perPersonLps, perM2Lps, personsPerM2, heightM float64) (float64, error) {
	for _, part := range []struct {
		what         string
		x, low, high float64
	}{
		{"outdoor air, L/s a person", perPersonLps, 0, 100},
		{"outdoor air, L/s a m2", perM2Lps, 0, 100},
		{"persons a m2", personsPerM2, 0, 10},
		{"room height, m", heightM, 1.5, 30},
	} {
		if err := within(part.what, part.x, part.low, part.high); err != nil {
			return 0, err
		}
	}
	return (perPersonLps*personsPerM2 + perM2Lps) * 3.6 / heightM, nil
}

// MinimumAirM3PerHour is the air flow that holds a steady source of vapour
// (L/h) at limitPpm. Low and middle take a well-mixed room, Q = G/C; high
// multiplies by the worst mixing factor. For a quarter of the lower flammable
// limit pass QuarterOfLFL (NFPA 30, the quarter as quoted by OSHA, 1991).
func MinimumAirM3PerHour(litresPerHour hazards.Estimate, limitPpm float64) (hazards.Estimate, error) {
	if err := inside("vapour, L/h", litresPerHour, 0, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("limit, ppm", limitPpm, 1e-3, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	flow := func(g float64) float64 { return g / 1000 / (limitPpm * 1e-6) }
	return hazards.New(flow(litresPerHour.Low), flow(litresPerHour.Middle), flow(litresPerHour.High)*MixingFactor().High)
}
