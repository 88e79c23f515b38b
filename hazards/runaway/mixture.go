package runaway

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
)

//go:embed species.csv
var speciesCSV string

//go:embed mixtures.csv
var mixturesCSV string

// LitresPerMol20C is the molar volume of an ideal gas at 20 degC and 101.325 kPa.
const LitresPerMol20C = 24.055

// ErrNotFlammable marks a mixture without a flammable gas.
var ErrNotFlammable = errors.New("runaway: mixture holds no flammable gas")

// Species is one gas: molar mass in g/mol, lower flammable limit in percent of air (0: not flammable).
type Species struct {
	Name           string
	MolarG, LflPct float64
	Known          string
	Sources        []string // keys of the table of documents
}

// Mixture is a measured vent gas: litres at 20 degC from a cell of ratedWh at a charge, and the
// share of each species in percent.
type Mixture struct {
	Name                       string
	ChargePct, Litres, RatedWh float64
	SharePct                   map[string]float64
	Known                      string
	Sources                    []string // keys of the table of documents
}

var speciesTable = sync.OnceValues(func() (map[string]Species, error) {
	list, err := readTable("species.csv", speciesCSV, func(r *row) Species {
		return Species{r.text("species"), r.number("molar_g"), r.numberOr("lfl_pct", 0), r.text("known"), strings.Fields(r.text("source"))}
	})
	out := map[string]Species{}
	for _, s := range list {
		out[s.Name] = s
	}
	return out, err
})

// Mixtures lists the measured vent gases.
func Mixtures() ([]Mixture, error) {
	return readTable("mixtures.csv", mixturesCSV, func(r *row) Mixture {
		m := Mixture{r.text("mixture"), r.number("charge_pct"), r.number("litres"), r.number("rated_wh"),
			map[string]float64{}, r.text("known"), strings.Fields(r.text("source"))}
		for _, gas := range []string{"hydrogen", "carbon-dioxide", "carbon-monoxide", "methane", "ethene", "ethane", "propane"} {
			m.SharePct[gas] = r.number(gas)
		}
		return m
	})
}

// FlammableLimitOf gives the lower flammable limit in percent of air of a gas mixture by Le
// Chatelier's rule, 1/LFL = sum of x/LFL(x), with x the shares (any scale, not below 0). Inert gas
// counts as part of the mixture; leave it out for the limit of the flammable part alone. Electrolyte
// vapour and mist are not in it: they make gas ignitable that this rule calls safe.
// Source: Le Chatelier's mixing rule; limits in species.csv. Errors: ErrNotFlammable, ErrDomain, an
// unknown gas.
func FlammableLimitOf(shares map[string]float64) (float64, error) {
	total, weighted := 0.0, 0.0
	for _, name := range sortedNames(shares) {
		s, share, err := shareOf(shares, name)
		if err != nil {
			return 0, err
		}
		total += share
		if s.LflPct > 0 {
			weighted += share / s.LflPct
		}
	}
	if weighted == 0 {
		return 0, ErrNotFlammable
	}
	return total / weighted, nil
}

// MolarMassOf gives the mean molar mass in g/mol of a gas mixture. Errors as FlammableLimitOf.
func MolarMassOf(shares map[string]float64) (float64, error) {
	total, weighted := 0.0, 0.0
	for _, name := range sortedNames(shares) {
		s, share, err := shareOf(shares, name)
		if err != nil {
			return 0, err
		}
		total += share
		weighted += share * s.MolarG
	}
	if total == 0 {
		return 0, fmt.Errorf("%w: an empty mixture", ErrDomain)
	}
	return weighted / total, nil
}

func shareOf(shares map[string]float64, name string) (Species, float64, error) {
	table, err := speciesTable()
	if err != nil {
		return Species{}, 0, err
	}
	s, known := table[name]
	if !known {
		return Species{}, 0, fmt.Errorf("runaway: gas %q is not in the table of species", name)
	}
	share := shares[name]
	if !(share >= 0) || math.IsInf(share, 0) {
		return Species{}, 0, fmt.Errorf("%w: share of %s %g, want 0 or more", ErrDomain, name, share)
	}
	return s, share, nil
}

// sortedNames fixes the order of the sum, so that equal inputs give equal bits.
func sortedNames(shares map[string]float64) []string {
	names := make([]string, 0, len(shares))
	for name := range shares {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
