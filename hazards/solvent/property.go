package solvent

import (
	"fmt"
	"math"

	"loosecell/hazards"
)

const (
	gasConstant  = 8.314462618 // J/(mol K), exact since the 2019 SI
	standardPa   = 101325.0
	zeroC        = 273.15
	waterMolar   = 18.015 // g/mol
	waterDensity = 998.0  // kg/m3 at 20 degC, Lebo 1921
)

// quantity names a property in the data files.
type quantity string

const (
	vapourPressure quantity = "vapour-pressure"
	density        quantity = "density"
	viscosity      quantity = "viscosity"
	surfaceTension quantity = "surface-tension"
)

// property is a curve over temperature with the range it may be read in.
type property struct {
	minC, maxC float64
	rising     bool // with temperature
	below      float64
	above      float64 // low = below * curve, high = above * curve
	middle     float64
	curve      func(temperatureC float64) float64
}

// at reads a property over a range of temperature.
func (l Liquid) at(q quantity, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	p, ok := l.properties[q]
	if !ok {
		return hazards.Estimate{}, fmt.Errorf("solvent: no %s known of liquid %q", q, l.Name)
	}
	if err := inside(fmt.Sprintf("%s of %s: temperature, degC", q, l.Name), temperatureC, p.minC, p.maxC); err != nil {
		return hazards.Estimate{}, err
	}
	first, last := temperatureC.Low, temperatureC.High
	if !p.rising {
		first, last = last, first
	}
	return hazards.New(p.below*p.curve(first), p.middle*p.curve(temperatureC.Middle), p.above*p.curve(last))
}

// VapourPressurePa is the saturation pressure of the compound over the liquid,
// Pa, by the Antoine equation (data/antoine.csv gives the range of each, about 8
// to 100 degC for isopropanol). Over a mixture with water it lies between the
// compound's mole fraction of it and all of it.
func (l Liquid) VapourPressurePa(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	return l.at(vapourPressure, temperatureC)
}

// Density is the liquid's density, kg/m3, up to its boiling point (DIPPR 105
// form, Perry's Handbook 8th ed. table 2-32; mixtures as one point).
func (l Liquid) Density(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	return l.at(density, temperatureC)
}

// Viscosity is the liquid's viscosity, Pa s (Perry's Handbook 8th ed. table
// 2-313; mixtures and limonene from memory, 15 to 30 degC only).
func (l Liquid) Viscosity(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	return l.at(viscosity, temperatureC)
}

// SurfaceTension is N/m (Jasper as tabulated in Lange's Handbook; mixtures from
// memory, 15 to 30 degC only).
func (l Liquid) SurfaceTension(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	return l.at(surfaceTension, temperatureC)
}

// moleFraction is the compound's share of the molecules in the bottle.
func (l Liquid) moleFraction() float64 {
	compound := l.MassFraction / l.MolarMass
	return compound / (compound + (1-l.MassFraction)/waterMolar)
}

// mixed says the bottle holds water by design.
func (l Liquid) mixed() bool { return l.MassFraction < 1 }

func fillProperties(l *Liquid) error {
	l.properties = map[quantity]property{}
	for _, fill := range []func(*Liquid) error{fillAntoine, fillCurves, fillPoints} {
		if err := fill(l); err != nil {
			return err
		}
	}
	for _, q := range []quantity{vapourPressure, density, viscosity, surfaceTension} {
		if _, ok := l.properties[q]; !ok {
			return fmt.Errorf("solvent: data holds no %s for %s", q, l.Name)
		}
	}
	return nil
}

// celsius turns an absolute temperature of a table into Celsius.
func celsius(kelvin float64) float64 { return kelvin - zeroC }

func fillAntoine(l *Liquid) error {
	p, err := antoine(l.Compound)
	if err != nil {
		return err
	}
	if l.mixed() {
		x := l.moleFraction()
		p.below *= x
		p.middle = (1 + x) / 2
	}
	l.properties[vapourPressure] = p
	return nil
}

// antoine reads the vapour pressure curve of a compound (water too).
func antoine(compound string) (property, error) {
	table, err := rows("antoine.csv")
	if err != nil {
		return property{}, err
	}
	for _, r := range table {
		if r.value["compound"] != compound {
			continue
		}
		v, err := r.numbers("a", "b", "c", "min_k", "max_k", "tolerance_percent")
		if err != nil {
			return property{}, err
		}
		base := 10.0
		if r.value["form"] == "e" {
			base = math.E
		}
		curve := func(t float64) float64 { return math.Pow(base, v[0]-v[1]/(t+zeroC+v[2])) }
		return spread(v[3], v[4], v[5], true, curve), nil
	}
	return property{}, fmt.Errorf("solvent: data/antoine.csv has no row for %s", compound)
}

// spread builds a property with its tolerance either side.
func spread(minK, maxK, tolerancePercent float64, rising bool, curve func(float64) float64) property {
	return property{minC: celsius(minK), maxC: celsius(maxK), rising: rising,
		below: 1 - tolerancePercent/100, middle: 1, above: 1 + tolerancePercent/100, curve: curve}
}

// fillCurves reads density, viscosity and surface tension of a pure compound; a
// mixture has single points instead.
func fillCurves(l *Liquid) error {
	if l.mixed() {
		return nil
	}
	for _, form := range []struct {
		quantity quantity
		file     string
		columns  []string
		curve    func(v []float64) func(float64) float64
	}{
		{density, "density.csv", []string{"c1", "c2", "c3", "c4"}, l.densityCurve},
		{viscosity, "viscosity.csv", []string{"c1", "c2", "c3", "c4", "c5"}, viscosityCurve},
		{surfaceTension, "surface-tension.csv", []string{"a", "b"}, tensionCurve},
	} {
		table, err := rows(form.file)
		if err != nil {
			return err
		}
		for _, r := range table {
			if r.value["compound"] != l.Compound {
				continue
			}
			v, err := r.numbers(append(form.columns, "min_k", "max_k", "tolerance_percent")...)
			if err != nil {
				return err
			}
			n := len(form.columns)
			l.properties[form.quantity] = spread(v[n], v[n+1], v[n+2], false, form.curve(v[:n]))
		}
	}
	return nil
}

func (l *Liquid) densityCurve(v []float64) func(float64) float64 {
	molar := l.MolarMass / 1000
	return func(t float64) float64 {
		return molar * v[0] / math.Pow(v[1], 1+math.Pow(1-(t+zeroC)/v[2], v[3]))
	}
}

func viscosityCurve(v []float64) func(float64) float64 {
	return func(t float64) float64 {
		k := t + zeroC
		return math.Exp(v[0] + v[1]/k + v[2]*math.Log(k) + v[3]*math.Pow(k, v[4]))
	}
}

func tensionCurve(v []float64) func(float64) float64 {
	return func(t float64) float64 { return (v[0] - v[1]*t) / 1000 }
}

func fillPoints(l *Liquid) error {
	table, err := rows("single-points.csv")
	if err != nil {
		return err
	}
	for _, r := range table {
		if r.value["liquid"] != l.Name {
			continue
		}
		v, err := r.numbers("low", "middle", "high", "min_c", "max_c")
		if err != nil {
			return err
		}
		l.properties[quantity(r.value["property"])] = property{minC: v[3], maxC: v[4],
			below: v[0], middle: v[1], above: v[2], curve: func(float64) float64 { return 1 }}
	}
	return nil
}
