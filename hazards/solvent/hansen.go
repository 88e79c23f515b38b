package solvent

import (
	"fmt"
	"math"
	"slices"

	"loosecell/hazards"
)

// RED is the relative energy difference of a liquid and a polymer, Ra/R0 with
// Ra^2 = 4(dD1-dD2)^2 + (dP1-dP2)^2 + (dH1-dH2)^2: under 1 it dissolves or
// swells, over 1 it does not (Hansen, Hansen Solubility Parameters, 2nd ed.,
// 2007, ch. 1). Names are those of data/hansen.csv; polymers: pema (stands in
// for an acrylic adhesive), pmma, polyisoprene, sbr, abs.
func RED(liquid, polymer string) (float64, error) {
	a, _, err := hansen(liquid, "liquid")
	if err != nil {
		return 0, err
	}
	b, radius, err := hansen(polymer, "polymer")
	if err != nil {
		return 0, err
	}
	return distance(a, b) / radius, nil
}

func distance(a, b [3]float64) float64 {
	d, p, h := a[0]-b[0], a[1]-b[1], a[2]-b[2]
	return math.Sqrt(4*d*d + p*p + h*h)
}

func hansen(name, kind string) (parameters [3]float64, radius float64, err error) {
	table, err := rows("hansen.csv")
	if err != nil {
		return parameters, 0, err
	}
	for _, r := range table {
		if r.value["name"] != name || r.value["kind"] != kind {
			continue
		}
		v, err := r.numbers("dispersion", "polar", "hydrogen")
		if err != nil {
			return parameters, 0, err
		}
		copy(parameters[:], v)
		if kind == "polymer" {
			if v, err = r.numbers("r0"); err != nil {
				return parameters, 0, err
			}
			radius = v[0]
		}
		return parameters, radius, nil
	}
	return parameters, 0, fmt.Errorf("solvent: no %s %q in data/hansen.csv", kind, name)
}

// proxies are the polymers an adhesive family is judged by, and how far the
// figure may be off: no sphere for the acrylic adhesives themselves was found.
var proxies = map[Family]struct {
	polymers []string
	doubt    float64
}{
	Acrylic: {[]string{"pema"}, 0.2},
	Rubber:  {[]string{"polyisoprene", "sbr"}, 0.2},
}

// REDFamily is the relative energy difference against an adhesive family, low to
// high over its proxies with 0.2 of doubt (rubber: polyisoprene and SBR). It
// explains; it permits nothing.
func (l Liquid) REDFamily(family Family) (hazards.Estimate, error) {
	proxy, ok := proxies[family]
	if !ok {
		return hazards.Estimate{}, fmt.Errorf("solvent: no adhesive family %q: acrylic or rubber fits", family)
	}
	var red []float64
	for _, polymer := range proxy.polymers {
		x, err := RED(l.Compound, polymer)
		if err != nil {
			return hazards.Estimate{}, err
		}
		red = append(red, x)
	}
	low, high := slices.Min(red), slices.Max(red)
	return hazards.New(max(0, low-proxy.doubt), (low+high)/2, high+proxy.doubt)
}
