package room

import "loosecell/hazards"

const (
	gasConstant    = 8.314462618 // J/(mol K), exact since the 2019 SI
	standardPa     = 101325.0    // Pa, one atmosphere
	zeroCelsiusInK = 273.15
)

// molarLitres is the volume of one mole of gas at one atmosphere, L/mol:
// 24.47 at 25 degC, which tables of exposure limits round to 24.45.
func molarLitres(temperatureC float64) float64 {
	return gasConstant * (temperatureC + zeroCelsiusInK) / standardPa * 1000
}

func checkGas(amount string, x, molarMassGPerMol, temperatureC float64) error {
	if err := within(amount, x, 0, 1e12); err != nil {
		return err
	}
	if err := within("molar mass, g/mol", molarMassGPerMol, 1, 1000); err != nil {
		return err
	}
	return within("air temperature, degC", temperatureC, -40, 100)
}

// MgPerM3FromPpm turns ppm by volume into mg/m3 for a gas of that molar mass
// (1 to 1000 g/mol) at that air temperature (-40 to 100 degC, one atmosphere;
// exposure limits are stated at 25). NIOSH Pocket Guide, conversion factors.
func MgPerM3FromPpm(ppm, molarMassGPerMol, temperatureC float64) (float64, error) {
	if err := checkGas("concentration, ppm", ppm, molarMassGPerMol, temperatureC); err != nil {
		return 0, err
	}
	return ppm * molarMassGPerMol / molarLitres(temperatureC), nil
}

// PpmFromMgPerM3 is the inverse of MgPerM3FromPpm, same ranges.
func PpmFromMgPerM3(mgPerM3, molarMassGPerMol, temperatureC float64) (float64, error) {
	if err := checkGas("concentration, mg/m3", mgPerM3, molarMassGPerMol, temperatureC); err != nil {
		return 0, err
	}
	return mgPerM3 * molarLitres(temperatureC) / molarMassGPerMol, nil
}

// GasLitres is the volume of so many grams as gas at one atmosphere (ideal gas),
// litres; the ranges are those of MgPerM3FromPpm.
func GasLitres(massG hazards.Estimate, molarMassGPerMol float64, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("mass, g", massG, 0, 1e9); err != nil {
		return hazards.Estimate{}, err
	}
	if err := inside("air temperature, degC", temperatureC, -40, 100); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("molar mass, g/mol", molarMassGPerMol, 1, 1000); err != nil {
		return hazards.Estimate{}, err
	}
	litres := func(m, t float64) float64 { return m / molarMassGPerMol * molarLitres(t) }
	return hazards.New(
		litres(massG.Low, temperatureC.Low),
		litres(massG.Middle, temperatureC.Middle),
		litres(massG.High, temperatureC.High))
}
