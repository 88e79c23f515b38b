package runaway

import (
	"loosecell/battery"
	"loosecell/hazards"
)

// Heat is the energy and the power of a failing battery.
type Heat struct {
	StoredKJ    hazards.Estimate // electrical energy at the charge now
	NoFlameKJ   hazards.Estimate // set free inside the cell while nothing burns outside
	WithFlameKJ hazards.Estimate // with the gas and the casing burning
	PeakW       hazards.Estimate // highest heat release of such a fire
}

// ReckonHeat gives the heat of a battery of ratedWh (above 0, to 1e6) at a charge in percent
// (0 to 150).
//
//	stored = 3.6 kJ/Wh · energy · charge
//
// Without flame: low and middle follow the charge; the high case does not, because the heat of
// decomposition is there at low charge too and no source says how much less. With flame, total and
// peak are not lowered for a low charge: the total depends only weakly on it (larsson-2016), and no
// figures were read for the peak. Sources: larsson-2014 (fire tests), quintiere-energetics, factor
// 1.5 to 3 from memory. Errors: ErrDomain.
func ReckonHeat(ratedWh, chargePct hazards.Estimate) (Heat, error) {
	if err := checkEnergy(ratedWh); err != nil {
		return Heat{}, err
	}
	var perWh [4]hazards.Estimate
	for i, q := range []Quantity{StoredHeat, HeatNoFlame, HeatWithFlame, PeakHeat} {
		y, err := YieldOf(q, battery.AllChemistries, chargePct)
		if err != nil {
			return Heat{}, err
		}
		perWh[i] = times(y, ratedWh)
	}
	share := scaled(chargePct, 0.01)
	noFlame := times(perWh[1], share)
	noFlame.High = perWh[1].High * max(1, share.High)
	return Heat{StoredKJ: times(perWh[0], share), NoFlameKJ: noFlame, WithFlameKJ: perWh[2], PeakW: perWh[3]}, nil
}
