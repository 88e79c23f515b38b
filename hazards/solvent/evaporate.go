package solvent

import (
	"math"

	"loosecell/hazards"
)

// filmFactor: correlations for outdoor pools are carried down to bench air here,
// and a wind-tunnel study (Woodward and Krishna, 2002) found 0.10 where they
// have 0.78 as the exponent of air speed. So every rate and time is a third to
// three times the middle.
const filmFactor = 3

// MassTransferMPerS is the mass transfer coefficient of an open film, m/s:
// k = 0.0067 U^0.78 (18/M)^(1/3), U air speed 0.05 to 10 m/s, M molar mass 1 to
// 1000 g/mol (EPA 550-B-99-009, RMP guidance for off-site consequence analysis,
// appendix D, turned to SI).
func MassTransferMPerS(airSpeedMPerS, molarMassGPerMol float64) (float64, error) {
	if err := within("air speed, m/s", airSpeedMPerS, 0.05, 10); err != nil {
		return 0, err
	}
	if err := within("molar mass, g/mol", molarMassGPerMol, 1, 1000); err != nil {
		return 0, err
	}
	return 0.0067 * math.Pow(airSpeedMPerS, 0.78) * math.Cbrt(18/molarMassGPerMol), nil
}

// PoolMassTransferMPerS is the other form, k = 0.0048 U^(7/9) d^(-1/9) Sc^(-2/3)
// with d the pool length, 0.01 to 100 m, and Sc the Schmidt number, 0.1 to 10
// (Kawamura and Mackay 1987 after Mackay and Matsugu, Can. J. Chem. Eng. 51,
// 1973, 434). It checks the first: they differ by some 6 % at the bench.
func PoolMassTransferMPerS(airSpeedMPerS, lengthM, schmidt float64) (float64, error) {
	for _, part := range []struct {
		what         string
		x, low, high float64
	}{{"air speed, m/s", airSpeedMPerS, 0.05, 10}, {"pool length, m", lengthM, 0.01, 100}, {"Schmidt number", schmidt, 0.1, 10}} {
		if err := within(part.what, part.x, part.low, part.high); err != nil {
			return 0, err
		}
	}
	return 0.0048 * math.Pow(airSpeedMPerS, 7.0/9) * math.Pow(lengthM, -1.0/9) * math.Pow(schmidt, -2.0/3), nil
}

// flux is W = k M p/(R T), kg/(m2 s), with the logarithmic correction for vapour
// pressures over a tenth of an atmosphere (Mackay and Matsugu).
func flux(k, molarMassGPerMol, pressurePa, temperatureC float64) float64 {
	w := k * molarMassGPerMol / 1000 * pressurePa / (gasConstant * (temperatureC + zeroC))
	if share := pressurePa / standardPa; share > 0.1 {
		w *= math.Log(1/(1-share)) / share
	}
	return w
}

// Evaporation is the rate of loss of an open film, kg/(m2 s), a third to three
// times the middle. Air speed 0.05 to 10 m/s (0.2 is a bench without a fan),
// temperature within the vapour pressure range and below the boiling point.
func (l Liquid) Evaporation(airSpeedMPerS, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	p, err := l.VapourPressurePa(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("vapour pressure, Pa (below boiling)", p.High, 0, 0.95*standardPa); err != nil {
		return hazards.Estimate{}, err
	}
	return filmRate(l.MolarMass, p, airSpeedMPerS, temperatureC)
}

func filmRate(molarMass float64, p, airSpeed, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("air speed, m/s", airSpeed, 0.05, 10); err != nil {
		return hazards.Estimate{}, err
	}
	var w [3]float64
	for i, at := range [3]struct{ speed, pressure, temperature float64 }{
		{airSpeed.Low, p.Low, temperatureC.High}, // a warmer air makes the same pressure thinner
		{airSpeed.Middle, p.Middle, temperatureC.Middle},
		{airSpeed.High, p.High, temperatureC.Low},
	} {
		k, err := MassTransferMPerS(at.speed, molarMass)
		if err != nil {
			return hazards.Estimate{}, err
		}
		w[i] = flux(k, molarMass, at.pressure, at.temperature)
	}
	return hazards.New(w[0]/filmFactor, w[1], w[2]*filmFactor)
}

// FilmMinutes is the time for doseML (0 to 1000) spread over areaCM2 (0.1 to
// 10 000) to dry in the open, minutes; ranges otherwise as Evaporation. The high
// end of a bottle with water is that of the water left behind.
func (l Liquid) FilmMinutes(doseML, areaCM2, airSpeedMPerS, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	if err := insideAll(
		bound{"dose, mL", doseML, 0, 1000},
		bound{"wetted area, cm2", areaCM2, 0.1, 1e4}); err != nil {
		return hazards.Estimate{}, err
	}
	rate, err := l.Evaporation(airSpeedMPerS, temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	rho, err := l.Density(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	high := filmMinutes(rho.High, doseML.High, areaCM2.Low, rate.Low)
	if l.mixed() {
		water, err := waterRate(airSpeedMPerS, temperatureC)
		if err != nil {
			return hazards.Estimate{}, err
		}
		high = max(high, filmMinutes(waterDensity, doseML.High, areaCM2.Low, water.Low))
	}
	return hazards.New(
		filmMinutes(rho.Low, doseML.Low, areaCM2.High, rate.High),
		filmMinutes(rho.Middle, doseML.Middle, areaCM2.Middle, rate.Middle),
		high)
}

func filmMinutes(densityKgPerM3, doseML, areaCM2, rate float64) float64 {
	return densityKgPerM3 * doseML * 1e-6 / (rate * areaCM2 * 1e-4) / 60
}

// waterRate is the loss of a film of water into dry air.
func waterRate(airSpeed, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	p, err := waterPressurePa(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	return filmRate(waterMolar, p, airSpeed, temperatureC)
}

func waterPressurePa(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	curve, err := antoine("water")
	if err != nil {
		return hazards.Estimate{}, err
	}
	water := Liquid{Name: "water", properties: map[quantity]property{vapourPressure: curve}}
	return water.VapourPressurePa(temperatureC)
}
