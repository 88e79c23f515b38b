package heat

import (
	"math"

	"loosecell/hazards"
)

// Constants of the softening model.
const (
	// DefaultSoftC: by 50..60 °C most of the softening of a pressure-sensitive adhesive
	// is had (WLFShift with the glass point below; no table of peel force against
	// temperature for a battery adhesive was found).
	DefaultSoftC = 50
	// AdhesiveGlassC is a typical glass transition of a soft acrylic adhesive (from memory).
	AdhesiveGlassC = -40
	// BenchC is the temperature the force ratio is measured from.
	BenchC = 23

	wlfC1, wlfC2 = 17.44, 51.6
	// The universal constants are meant for about 100 K above the glass transition; 125 K
	// covers the heat a bench may use.
	wlfSpanK = 125
)

// WLFShift returns how many times faster an adhesive relaxes at temperatureC than at
// referenceC, from log10 a = -17.44 (T-Tg)/(51.6 + T-Tg) with the universal constants of
// Williams, Landel and Ferry (J. Am. Chem. Soc. 77 (1955) 3701, from memory). Both
// temperatures must lie from glassC to 125 K above it (degC). That the rule holds for
// peeling a pressure-sensitive adhesive: Chang, J. Adhesion 60 (1997) 233, introduction.
func WLFShift(temperatureC, referenceC, glassC float64) (float64, error) {
	if err := firstError(within("glass transition", glassC, -120, 60, "degC"),
		within("temperature", temperatureC, glassC, glassC+wlfSpanK, "degC"),
		within("reference temperature", referenceC, glassC, glassC+wlfSpanK, "degC")); err != nil {
		return 0, err
	}
	log := func(c float64) float64 { return -wlfC1 * (c - glassC) / (wlfC2 + c - glassC) }
	return math.Pow(10, log(referenceC)-log(temperatureC)), nil
}

// Peel force goes with pulling rate to the power n, n = 0.15..0.4 (from memory).
const rateLow, rateMiddle, rateHigh = 0.15, 0.25, 0.40

// ForceRatio returns the peel force at temperatureC (from BenchC to 85 degC) over the
// force at BenchC, as shift^-n. It is a model and not a measurement: print it in
// words ("roughly a third"), and never as the force that will be needed.
func ForceRatio(temperatureC float64) (hazards.Estimate, error) {
	if err := within("temperature", temperatureC, BenchC, AdhesiveGlassC+wlfSpanK, "degC"); err != nil {
		return hazards.Estimate{}, err
	}
	shift, err := WLFShift(temperatureC, BenchC, AdhesiveGlassC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	return hazards.New(math.Pow(shift, -rateHigh), math.Pow(shift, -rateMiddle), math.Pow(shift, -rateLow))
}
