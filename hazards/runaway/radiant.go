package runaway

import (
	_ "embed"
	"fmt"
	"math"
	"sync"

	"loosecell/battery"
	"loosecell/hazards"
)

//go:embed flux.csv
var fluxCSV string

// Radiant heat in kW/m2 that the distances are drawn to.
const (
	// PeopleFlux is the end point for people (epa-550-b-99-009, 5 kW/m2 for 40 s); bare skin hurts
	// after 13 s.
	PeopleFlux = 5.0
	// CautiousPeopleFlux is a tenability limit for smoke layers (iso-13571, from memory; it only
	// widens the distance).
	CautiousPeopleFlux = 2.5
	// LitterFlux lights wood and many plastics when a flame or spark is near (usual engineering
	// level, lawson-simms-1952, secondary).
	LitterFlux = 12.5
	// LongFlux is the least that ever lit wood, in a single long test (babrauskas-2001).
	LongFlux = 4.3
)

// Least clear distances in m, whatever the sum says: jets and burning parts fly (common practice).
const (
	ClearPeopleM      = 1.0
	ClearCombustibleM = 0.5
)

// RadiantDistance gives the distance in m at which a fire of powerW sends fluxKWm2, taken as a point
// that radiates a fraction (0 to 1) of its heat:
//
//	R = sqrt(fraction · power / (4 pi flux))
//
// Good beyond about two flame lengths; closer in it reads low. Source: point-source model,
// sfpe-handbook; default fraction 0.4 of epa-550-b-99-009. Errors: ErrDomain.
func RadiantDistance(powerW, fraction, fluxKWm2 float64) (float64, error) {
	if err := above0("power in W, fraction and flux in kW/m2", powerW, fraction, fluxKWm2); err != nil {
		return 0, err
	}
	if fraction > 1 {
		return 0, fmt.Errorf("%w: radiative fraction %g, want at most 1", ErrDomain, fraction)
	}
	return math.Sqrt(fraction * powerW / (4 * math.Pi * fluxKWm2 * 1000)), nil
}

// RadiantReach gives RadiantDistance in m for a fire of peakW with the radiative fractions of the
// table (0.2, 0.3, 0.4). Errors: ErrDomain.
func RadiantReach(peakW hazards.Estimate, fluxKWm2 float64) (hazards.Estimate, error) {
	if err := within("power in W", peakW, 0, math.MaxFloat64, false); err != nil {
		return hazards.Estimate{}, err
	}
	fraction, err := YieldOf(RadiativeFraction, battery.AllChemistries, hazards.Estimate{Low: 100, Middle: 100, High: 100})
	if err != nil {
		return hazards.Estimate{}, err
	}
	low, errLow := RadiantDistance(peakW.Low, fraction.Low, fluxKWm2)
	middle, errMiddle := RadiantDistance(peakW.Middle, fraction.Middle, fluxKWm2)
	high, errHigh := RadiantDistance(peakW.High, fraction.High, fluxKWm2)
	for _, err := range []error{errLow, errMiddle, errHigh} {
		if err != nil {
			return hazards.Estimate{}, err
		}
	}
	return hazards.New(low, middle, high)
}

// BurnSeconds gives the time to a second-degree burn of bare skin at fluxKWm2 (1 to 100):
// t = 200 q^-1.46 (desr-6055-09), about twice as strict as the table of SkinTimes.
func BurnSeconds(fluxKWm2 float64) (float64, error) {
	if !(fluxKWm2 >= 1 && fluxKWm2 <= 100) {
		return 0, fmt.Errorf("%w: flux %g kW/m2, want 1 to 100", ErrDomain, fluxKWm2)
	}
	return 200 * math.Pow(fluxKWm2, -1.46), nil
}

type skinPoint struct{ flux, pain, burn float64 }

var skinTable = sync.OnceValues(func() ([]skinPoint, error) {
	return readTable("flux.csv", fluxCSV, func(r *row) skinPoint {
		return skinPoint{r.number("flux_kw_m2"), r.number("pain_s"), r.number("second_degree_s")}
	})
})

// SkinTimes gives the seconds to pain and to a second-degree burn of bare skin at fluxKWm2 (1 to
// 10), by straight lines in logarithms between the points of epa-chemical-hazard-1989, table 4.2.
func SkinTimes(fluxKWm2 float64) (painSeconds, burnSeconds float64, err error) {
	points, err := skinTable()
	if err != nil {
		return 0, 0, err
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if fluxKWm2 >= a.flux && fluxKWm2 <= b.flux {
			w := math.Log(fluxKWm2/a.flux) / math.Log(b.flux/a.flux)
			return a.pain * math.Pow(b.pain/a.pain, w), a.burn * math.Pow(b.burn/a.burn, w), nil
		}
	}
	return 0, 0, fmt.Errorf("%w: flux %g kW/m2, want %g to %g", ErrDomain, fluxKWm2, points[0].flux, points[len(points)-1].flux)
}
