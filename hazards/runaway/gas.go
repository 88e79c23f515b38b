package runaway

import (
	"loosecell/battery"
	"loosecell/hazards"
)

// Gas is what a failing battery blows out: litres at 20 degC, grams.
type Gas struct {
	VentL               hazards.Estimate // dry vent gas
	CloudL              hazards.Estimate // volume of gas and air it can bring to the lower flammable limit
	CarbonMonoxideL     hazards.Estimate
	HydrogenFluorideG   hazards.Estimate
	PhosphorylFluorideG hazards.Estimate
}

// ReckonGas gives the gas of a battery of ratedWh (above 0, to 1e6) at a charge in percent (0 to
// 150); the empty set of chemistries means unknown.
//
//	vent gas = yield · energy; cloud = vent gas / lower flammable limit
//
// Fluorides count the rated energy whatever the charge: hydrogen fluoride per Wh was found to rise,
// not fall, at low charge (larsson-2014, larsson-2016). Below 50 % charge the gas is kept at its
// 50 % value: no data. Electrolyte vapour is not counted. Sources: yields.csv. Errors: ErrDomain.
func ReckonGas(ratedWh, chargePct hazards.Estimate, chemistries battery.ChemistrySet) (Gas, error) {
	if err := checkEnergy(ratedWh); err != nil {
		return Gas{}, err
	}
	yields := map[Quantity]hazards.Estimate{}
	for _, q := range []Quantity{VentGas, FlammableLimit, CarbonMonoxide, HydrogenFluoride, PhosphorylFluoride} {
		y, err := YieldOf(q, chemistries, chargePct)
		if err != nil {
			return Gas{}, err
		}
		yields[q] = y
	}
	vent := times(yields[VentGas], ratedWh)
	return Gas{
		VentL:               vent,
		CloudL:              over(vent, scaled(yields[FlammableLimit], 0.01)),
		CarbonMonoxideL:     times(vent, scaled(yields[CarbonMonoxide], 0.01)),
		HydrogenFluorideG:   scaled(times(yields[HydrogenFluoride], ratedWh), 1e-3),
		PhosphorylFluorideG: scaled(times(yields[PhosphorylFluoride], ratedWh), 1e-3),
	}, nil
}
