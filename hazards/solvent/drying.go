package solvent

import (
	"math"

	"loosecell/hazards"
)

// Diffusion coefficients in air, m2/s, from memory: 1.0e-5 for the solvents
// here, 2.5e-5 for water. The spread of a third to three times covers them.
const (
	solventDiffusivity = 1.0e-5
	waterDiffusivity   = 2.5e-5
)

// StefanSeconds is the time for liquid to leave a slot closed on one side by
// diffusion alone: t = rho R T L^2/(2 D M p0 ln(1/(1-p/p0))) (Stefan tube). SI
// units, molar mass in g/mol; depth up to 0.5 m; p above 0 and under 0.95 of an
// atmosphere.
func StefanSeconds(densityKgPerM3, molarMassGPerMol, diffusivityM2PerS, depthM, pressurePa, temperatureC float64) (float64, error) {
	for _, part := range []struct {
		what         string
		x, low, high float64
	}{
		{"density, kg/m3", densityKgPerM3, 100, 3000},
		{"molar mass, g/mol", molarMassGPerMol, 1, 1000},
		{"diffusivity, m2/s", diffusivityM2PerS, 1e-7, 1e-3},
		{"depth, m", depthM, 0, 0.5},
		{"vapour pressure, Pa", pressurePa, 1, 0.95 * standardPa},
		{"temperature, degC", temperatureC, -40, 100},
	} {
		if err := within(part.what, part.x, part.low, part.high); err != nil {
			return 0, err
		}
	}
	drive := standardPa * math.Log(1/(1-pressurePa/standardPa))
	return densityKgPerM3 * gasConstant * (temperatureC + zeroC) * depthM * depthM /
		(2 * diffusivityM2PerS * molarMassGPerMol / 1000 * drive), nil
}

// TrappedDays is how long liquid under a cell that stays in place takes to dry
// from its open edge, days, a third to three times the Stefan time over depthMM
// (0 to 200) from that edge. Lift, wipe and air instead.
func (l Liquid) TrappedDays(depthMM, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("depth from the open edge, mm", depthMM, 0, 200); err != nil {
		return hazards.Estimate{}, err
	}
	p, err := l.VapourPressurePa(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	rho, err := l.Density(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	low, err := StefanSeconds(rho.Low, l.MolarMass, solventDiffusivity, depthMM.Low/1000, p.High, temperatureC.Low)
	if err != nil {
		return hazards.Estimate{}, err
	}
	middle, err := StefanSeconds(rho.Middle, l.MolarMass, solventDiffusivity, depthMM.Middle/1000, p.Middle, temperatureC.Middle)
	if err != nil {
		return hazards.Estimate{}, err
	}
	high, err := StefanSeconds(rho.High, l.MolarMass, solventDiffusivity, depthMM.High/1000, p.Low, temperatureC.High)
	if err != nil {
		return hazards.Estimate{}, err
	}
	if l.mixed() {
		water, err := waterPressurePa(temperatureC)
		if err != nil {
			return hazards.Estimate{}, err
		}
		behind, err := StefanSeconds(waterDensity, waterMolar, waterDiffusivity, depthMM.High/1000, water.Low, temperatureC.High)
		if err != nil {
			return hazards.Estimate{}, err
		}
		high = max(high, behind)
	}
	const day = 86400.0
	return hazards.New(low/filmFactor/day, middle/day, high*filmFactor/day)
}

// Drying is what must pass before power goes on.
type Drying struct {
	FilmMinutes  hazards.Estimate // wiped, open to the air
	TrappedDays  hazards.Estimate // cell left in place
	PowerMinutes float64          // wait this long after lifting and wiping: the high end of the film
	LiftFirst    bool             // drying in place is no basis for power
}

// DryBeforePower reckons the wait for a dose over a wetted area once the cell is
// lifted and the seat wiped, and what it would be were the cell left in place.
// The whole dose is taken as still there. Ranges as FilmMinutes and TrappedDays.
func (l Liquid) DryBeforePower(doseML, areaCM2, depthMM, airSpeedMPerS, temperatureC hazards.Estimate) (Drying, error) {
	film, err := l.FilmMinutes(doseML, areaCM2, airSpeedMPerS, temperatureC)
	if err != nil {
		return Drying{}, err
	}
	trapped, err := l.TrappedDays(depthMM, temperatureC)
	if err != nil {
		return Drying{}, err
	}
	return Drying{FilmMinutes: film, TrappedDays: trapped, PowerMinutes: film.High, LiftFirst: true}, nil
}
