package solvent

import (
	"math"

	"loosecell/hazards"
)

// PlateWickSeconds is the time for a liquid to wick lengthM into the open gap
// between two plates: t = 3 eta L^2/(gamma h cos theta), from plane Poiseuille
// flow under capillary pressure 2 gamma cos theta/h (form used for underfill:
// Schwiebert and Leong, IEEE Trans. CPMT-C 19, 1996, 133). SI units; gap 1 um to
// 10 mm, length up to 1 m, contact angle 0 to 89 degrees. Horizontal, far edge
// open, inertia and evaporation left out. A gap filled with adhesive does not
// wick at all.
func PlateWickSeconds(viscosityPaS, tensionNPerM, gapM, lengthM, angleDeg float64) (float64, error) {
	if err := checkWick(viscosityPaS, tensionNPerM, gapM, lengthM, angleDeg); err != nil {
		return 0, err
	}
	return 3 * viscosityPaS * lengthM * lengthM / (tensionNPerM * gapM * cosDeg(angleDeg)), nil
}

// PlateWickLengthM is the length reached after so many seconds (0 to 1e7); same
// form and ranges as PlateWickSeconds.
func PlateWickLengthM(viscosityPaS, tensionNPerM, gapM, seconds, angleDeg float64) (float64, error) {
	if err := checkWick(viscosityPaS, tensionNPerM, gapM, 0, angleDeg); err != nil {
		return 0, err
	}
	if err := within("time, s", seconds, 0, 1e7); err != nil {
		return 0, err
	}
	return math.Sqrt(tensionNPerM * gapM * cosDeg(angleDeg) * seconds / (3 * viscosityPaS)), nil
}

// TubeWickSeconds is the same for a round channel of that radius:
// t = 2 eta L^2/(gamma r cos theta) (Washburn, Phys. Rev. 17, 1921, 273).
func TubeWickSeconds(viscosityPaS, tensionNPerM, radiusM, lengthM, angleDeg float64) (float64, error) {
	if err := checkWick(viscosityPaS, tensionNPerM, radiusM, lengthM, angleDeg); err != nil {
		return 0, err
	}
	return 2 * viscosityPaS * lengthM * lengthM / (tensionNPerM * radiusM * cosDeg(angleDeg)), nil
}

func cosDeg(angle float64) float64 { return math.Cos(angle * math.Pi / 180) }

func checkWick(viscosity, tension, gap, length, angle float64) error {
	for _, part := range []struct {
		what         string
		x, low, high float64
	}{
		{"viscosity, Pa s", viscosity, 1e-5, 10},
		{"surface tension, N/m", tension, 1e-3, 1},
		{"gap or radius, m", gap, 1e-6, 0.01},
		{"length, m", length, 0, 1},
		{"contact angle, degrees", angle, 0, 89},
	} {
		if err := within(part.what, part.x, part.low, part.high); err != nil {
			return err
		}
	}
	return nil
}

// Wick is the time to wet an open channel under a cell. EntryCertain is always
// false: a gap that adhesive fills takes no liquid, however long one waits.
type Wick struct {
	Seconds      hazards.Estimate
	EntryCertain bool
}

// WickTime is the time to wet lengthMM (0.1 to 500) of an open gap gapMM (0.005
// to 2) under a cell: contact angle 0 at the low end, 30 degrees in the middle,
// 60 at the high end (the angles are assumptions).
func (l Liquid) WickTime(gapMM, lengthMM, temperatureC hazards.Estimate) (Wick, error) {
	if err := insideAll(
		bound{"gap, mm", gapMM, 0.005, 2},
		bound{"length, mm", lengthMM, 0.1, 500}); err != nil {
		return Wick{}, err
	}
	eta, err := l.Viscosity(temperatureC)
	if err != nil {
		return Wick{}, err
	}
	gamma, err := l.SurfaceTension(temperatureC)
	if err != nil {
		return Wick{}, err
	}
	low, err := PlateWickSeconds(eta.Low, gamma.High, gapMM.High/1000, lengthMM.Low/1000, 0)
	if err != nil {
		return Wick{}, err
	}
	middle, err := PlateWickSeconds(eta.Middle, gamma.Middle, gapMM.Middle/1000, lengthMM.Middle/1000, 30)
	if err != nil {
		return Wick{}, err
	}
	high, err := PlateWickSeconds(eta.High, gamma.Low, gapMM.Low/1000, lengthMM.High/1000, 60)
	if err != nil {
		return Wick{}, err
	}
	seconds, err := hazards.New(low, middle, high)
	return Wick{Seconds: seconds}, err
}

// SwellingHours is the time for a liquid to work depthMM (0 to 50) into the
// adhesive itself, t = x^2/D with D 5e-10, 1e-10 and 1e-11 m2/s (from memory,
// rubbery polymers). It says why lifting and dripping again beats waiting.
func SwellingHours(depthMM hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("depth, mm", depthMM, 0, 50); err != nil {
		return hazards.Estimate{}, err
	}
	hours := func(mm, d float64) float64 { return mm * mm * 1e-6 / d / 3600 }
	return hazards.New(hours(depthMM.Low, 5e-10), hours(depthMM.Middle, 1e-10), hours(depthMM.High, 1e-11))
}
