package runaway

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
)

//go:embed limits.csv
var limitsCSV string

// Limit is one published limit of a gas in air.
type Limit struct {
	Gas     string
	Name    string
	Kind    string // danger, lethal, disabling, ceiling, average
	PPM     float64
	Minutes float64
	Known   string
	Sources []string // keys of the table of documents
}

var limitTable = sync.OnceValues(func() ([]Limit, error) {
	return readTable("limits.csv", limitsCSV, func(r *row) Limit {
		return Limit{r.text("gas"), r.text("limit"), r.text("kind"), r.number("ppm"), r.number("minutes"),
			r.text("known"), strings.Fields(r.text("source"))}
	})
})

// Limits lists the published limits of hydrogen-fluoride or carbon-monoxide. Errors: another gas.
func Limits(gas string) ([]Limit, error) {
	all, err := limitTable()
	if err != nil {
		return nil, err
	}
	own := slices.DeleteFunc(slices.Clone(all), func(l Limit) bool { return l.Gas != gas })
	if len(own) == 0 {
		return nil, fmt.Errorf("runaway: no air limits for gas %q, want hydrogen-fluoride or carbon-monoxide", gas)
	}
	return own, nil
}

// ReentryLimit is the lowest short-term (ceiling) limit of a gas: nobody goes back above it. For
// hydrogen fluoride that is 2 ppm (ACGIH 2005), stricter than the 6 ppm of NIOSH.
func ReentryLimit(gas string) (Limit, error) {
	return lowest(gas, "ceiling")
}

// DangerLimit is the concentration immediately dangerous to life or health (NIOSH).
func DangerLimit(gas string) (Limit, error) {
	return lowest(gas, "danger")
}

func lowest(gas, kind string) (Limit, error) {
	own, err := Limits(gas)
	if err != nil {
		return Limit{}, err
	}
	best := Limit{PPM: math.Inf(1)}
	for _, l := range own {
		if l.Kind == kind && l.PPM < best.PPM {
			best = l
		}
	}
	if best.Name == "" {
		return Limit{}, fmt.Errorf("runaway: no %s limit for gas %q", kind, gas)
	}
	return best, nil
}
