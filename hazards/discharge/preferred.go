package discharge

import (
	_ "embed"
	"fmt"
	"math"
	"sync"
)

//go:embed preferred.csv
var preferredCSV string

var preferredSeries = sync.OnceValues(func() (map[string][]float64, error) {
	rows, err := readTable("preferred.csv", preferredCSV)
	if err != nil {
		return nil, err
	}
	out := map[string][]float64{}
	for _, r := range rows {
		out[r.text("series")] = append(out[r.text("series")], r.number("value"))
		if r.err != nil {
			return nil, r.err
		}
	}
	return out, nil
})

// Preferred gives the smallest value of an IEC 60063:2015 series (E12 or E24) that is at least
// ohm, which must lie from 1e-3 to 1e9. Errors: a value outside that range, an unknown series.
func Preferred(series string, ohm float64) (float64, error) {
	if !finite(ohm) || ohm < 1e-3 || ohm > 1e9 {
		return 0, fmt.Errorf("discharge: resistance %g ohm, want 0.001 to 1e9", ohm)
	}
	all, err := preferredSeries()
	if err != nil {
		return 0, err
	}
	values, known := all[series]
	if !known {
		return 0, fmt.Errorf("discharge: series %q, want E12 or E24", series)
	}
	const rounding = 1 - 1e-9 // 14.999999999 asks for 15, not for the next value
	for decade := math.Floor(math.Log10(ohm)) - 1; ; decade++ {
		for _, v := range values {
			candidate := round12(v * math.Pow(10, decade))
			if candidate >= ohm*rounding {
				return candidate, nil
			}
		}
	}
}

// round12 keeps twelve significant digits, so that 4.7 times 10 prints as 47.
func round12(x float64) float64 {
	scale := math.Pow(10, 11-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}
