package battery

import (
	"fmt"
	"math"
)

// Bounds of what a caller may give.
const (
	// UnknownWh is the upper end of a rated energy about which nothing is
	// known, in Wh.
	UnknownWh  = 100000
	mostAh     = 10000
	mostGrams  = 1e6
	smallestMM = 0.01
	mostMM     = 10000
)

// EnergyFacts is what may be known about the rated energy of a battery. The
// zero value knows nothing.
type EnergyFacts struct {
	MarkedWh     Maybe // printed on the case
	CapacityAh   Maybe // rated, whole battery
	NominalVolts Maybe // whole battery
	Series       Maybe // cells in series, used when no nominal voltage is known
	Chemistries  ChemistrySet
	Forms        FormSet
	LengthMM     Maybe // of the cells without device parts
	WidthMM      Maybe
	ThicknessMM  Maybe
	MassG        Maybe
	PresumedWh   Maybe // ordinary range for this kind of device
}

// EnergyBasis is what a rated energy rests on, best first.
type EnergyBasis uint8

// The bases in the order in which they are used.
const (
	FromMark EnergyBasis = iota
	FromVoltsAndCapacity
	FromCellsAndCapacity
	FromSize
	FromMass
	FromPresumption
	FromNothing
)

var basisWords = [...]string{
	"the watt-hours marked on it",
	"nominal voltage times rated capacity",
	"rated capacity times the usual voltage of its cells",
	"its size and the energy such cells hold",
	"its mass and the energy such cells hold",
	"what this kind of device usually holds",
	"nothing: neither mark, label, size nor mass is known",
}

// String says in words what the energy rests on.
func (b EnergyBasis) String() string { return basisWords[min(b, FromNothing)] }

// Energy is a rated energy and what it rests on.
type Energy struct {
	Wh      Interval
	Basis   EnergyBasis
	Sources []string // keys, where a table was used
}

// RatedEnergy returns the rated energy of a battery in Wh. A mark wins; else
// volts times ampere-hours, which is how the rating is defined (UN Manual of
// Tests and Criteria 38.3.2.3); else an interval from size, mass or the
// presumption, whose High is the one for safety sums. It refuses input that is
// not finite or not possible.
func RatedEnergy(f EnergyFacts) (Energy, error) {
	if err := f.check(); err != nil {
		return Energy{}, err
	}
	wh, basis := f.rate()
	e := Energy{Wh: wh, Basis: basis}
	if basis == FromSize || basis == FromMass {
		for i := range shipped.densities {
			if d := &shipped.densities[i]; d.fits(f.Chemistries, f.Forms) {
				e.Sources = append(e.Sources, d.Source)
			}
		}
		e.Sources = distinct(e.Sources)
	}
	return e, nil
}

// RatedWh is the fast form of [RatedEnergy]: the same interval without
// allocating. Input that cannot be used answers 0..UnknownWh.
func RatedWh(f *EnergyFacts) Interval {
	if !f.usable() {
		return Interval{0, UnknownWh}
	}
	wh, _ := f.rate()
	return wh
}

func (f *EnergyFacts) rate() (Interval, EnergyBasis) {
	switch {
	case f.MarkedWh.Given:
		return f.MarkedWh.Interval, FromMark
	case f.CapacityAh.Given && f.NominalVolts.Given:
		return f.CapacityAh.Mul(f.NominalVolts.Interval).snapped(), FromVoltsAndCapacity
	case f.CapacityAh.Given && f.Series.Given:
		volts := NominalVolts(f.Chemistries).Mul(f.Series.Interval)
		return f.CapacityAh.Mul(volts).snapped(), FromCellsAndCapacity
	case f.LengthMM.Given && f.WidthMM.Given && f.ThicknessMM.Given:
		return f.fromSize(), FromSize
	case f.MassG.Given:
		return f.MassG.Mul(f.density(true)).Scale(1e-3).snapped(), FromMass
	case f.PresumedWh.Given:
		return f.PresumedWh.Interval, FromPresumption
	}
	return Interval{0, UnknownWh}, FromNothing
}

// fromSize takes the box of length, width and thickness, or the cylinder in it
// for round cells.
func (f *EnergyFacts) fromSize() Interval {
	const litrePerCubicMM = 1e-6
	const inBox = math.Pi / 4
	forms := f.Forms.orAll()
	fill := Interval{1, 1}
	if forms&Forms(Cylindrical, Coin) != 0 {
		fill.Low = inBox
	}
	if forms&Forms(Prismatic, Pouch) == 0 {
		fill.High = inBox
	}
	litres := f.LengthMM.Mul(f.WidthMM.Interval).Mul(f.ThicknessMM.Interval).Mul(fill).Scale(litrePerCubicMM)
	return litres.Mul(f.density(false)).snapped()
}

// density is the hull over the rows that may describe the cell: Wh/kg by mass,
// Wh/L by size.
func (f *EnergyFacts) density(byMass bool) Interval {
	out := Interval{math.Inf(1), 0}
	for i := range shipped.densities {
		d := &shipped.densities[i]
		if !d.fits(f.Chemistries, f.Forms) {
			continue
		}
		if byMass {
			out = out.Hull(d.WhPerKg.Range())
		} else {
			out = out.Hull(d.WhPerLitre.Range())
		}
	}
	return out
}

// facts lists what was given with the range it must lie in.
func (f *EnergyFacts) facts() [9]bounded {
	return [9]bounded{
		{&f.MarkedWh, "marked energy", "Wh", 0, UnknownWh},
		{&f.CapacityAh, "rated capacity", "Ah", 0, mostAh},
		{&f.NominalVolts, "nominal voltage", "V", smallestVolts, mostVolts},
		{&f.Series, "number of cells in series", "", 1, MostSeriesCells},
		{&f.LengthMM, "length", "mm", smallestMM, mostMM},
		{&f.WidthMM, "width", "mm", smallestMM, mostMM},
		{&f.ThicknessMM, "thickness", "mm", smallestMM, mostMM},
		{&f.MassG, "mass", "g", 0, mostGrams},
		{&f.PresumedWh, "presumed energy", "Wh", 0, UnknownWh},
	}
}

type bounded struct {
	m          *Maybe
	what, unit string
	low, high  float64
}

func (f *EnergyFacts) usable() bool {
	for _, b := range f.facts() {
		if b.m.wrong(b.low, b.high) {
			return false
		}
	}
	return true
}

func (f *EnergyFacts) check() error {
	for _, b := range f.facts() {
		if err := b.m.check(b.what, b.unit, b.low, b.high); err != nil {
			return err
		}
	}
	return nil
}

// MarkDisagrees reports that the marked watt-hours and volts times ampere-hours
// certainly differ by more than rounding explains: 3 % for a rounded voltage
// and for rated against typical capacity (common practice), and 0.05 Wh for a
// mark to one decimal. product is volts times ampere-hours in Wh. False if one
// of the three is not given.
func MarkDisagrees(markedWh, capacityAh, nominalVolts Maybe) (disagrees bool, product Interval, err error) {
	f := EnergyFacts{MarkedWh: markedWh, CapacityAh: capacityAh, NominalVolts: nominalVolts}
	if err := f.check(); err != nil {
		return false, Interval{}, err
	}
	if !capacityAh.Given || !nominalVolts.Given {
		return false, Interval{}, nil
	}
	const share, digit = 0.03, 0.05
	product = capacityAh.Mul(nominalVolts.Interval).snapped()
	if !markedWh.Given {
		return false, product, nil
	}
	around := Interval{snap(product.Low*(1-share) - digit), snap(product.High*(1+share) + digit)}
	return !around.Overlaps(markedWh.Interval), product, nil
}

// Density is how much energy one form of cell holds.
type Density struct {
	Name         string
	Forms        FormSet
	Chemistries  ChemistrySet
	WhPerLitre   Spread
	WhPerKg      Spread
	GramsPerCC   Interval
	HowKnown     string // read, secondary, memory
	Source, Note string
}

func (d *Density) fits(cs ChemistrySet, fs FormSet) bool {
	return d.Chemistries&cs.orAll() != 0 && d.Forms&fs.orAll() != 0
}

// Densities returns a copy of the energy densities, each with its source.
func Densities() []Density { return append([]Density(nil), shipped.densities...) }

// DensityNamed returns the row of that name.
func DensityNamed(name string) (Density, error) {
	for _, d := range shipped.densities {
		if d.Name == name {
			return d, nil
		}
	}
	return Density{}, fmt.Errorf("battery: no energy density %q in data/energy_density.csv", name)
}
