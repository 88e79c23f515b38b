package heat

import "fmt"

// LayerResistance returns thickness/conductivity in m²K/W for a layer of the given
// thickness (m, above zero) and conductivity (W/(m K), above zero).
// Incropera et al., Fundamentals of Heat and Mass Transfer, section 3.1.
func LayerResistance(thicknessM, conductivity float64) (float64, error) {
	if err := firstError(positive("thickness", thicknessM, "m"), positive("conductivity", conductivity, "W/(m K)")); err != nil {
		return 0, err
	}
	return thicknessM / conductivity, nil
}

// SeriesFlux returns the steady heat flux in W/m² from hotC to coldC (degC, finite)
// through resistances in series (m²K/W, none negative, their sum above zero), positive
// from hot to cold. Incropera et al., section 3.1; Cengel, Heat and Mass Transfer,
// section 3-1.
func SeriesFlux(hotC, coldC float64, resistances ...float64) (float64, error) {
	total := 0.0
	for i, r := range resistances {
		if err := finite("a resistance", r); err != nil {
			return 0, err
		}
		if r < 0 {
			return 0, fmt.Errorf("%w: resistance %d is %g m²K/W; give zero or more", ErrDomain, i+1, r)
		}
		total += r
	}
	if err := firstError(finite("hot temperature", hotC), finite("cold temperature", coldC), positive("total resistance", total, "m²K/W")); err != nil {
		return 0, err
	}
	return (hotC - coldC) / total, nil
}
