package battery

import "fmt"

// Unit is what a lithium battery counts as for transport.
type Unit uint8

// A battery of a single cell is a cell, whatever the trade calls it.
const (
	UnitCell Unit = iota
	UnitBattery
)

// String returns "cell" or "battery".
func (u Unit) String() string {
	if u == UnitCell {
		return "cell"
	}
	return "battery"
}

// UnitSet holds the units that are possible; bit i is Unit(i).
type UnitSet uint8

// Has reports whether u is possible.
func (s UnitSet) Has(u Unit) bool { return s&(1<<u) != 0 }

const mostParallelCells = 1000

// TransportUnit returns what a battery of so many cells in series and in
// parallel counts as. One by one is a cell, so the limits for cells apply (20
// Wh, not 100); not given is any number. Counts are whole numbers from 1.
// UN Manual of Tests and Criteria 38.3.2.3, "single cell battery"; 49 CFR
// 173.185(a)(1).
func TransportUnit(series, parallel Maybe) (UnitSet, error) {
	var least, most float64 = 1, 1
	for _, n := range []struct {
		what string
		m    Maybe
		most float64
	}{{"number of cells in series", series, MostSeriesCells}, {"number of cells in parallel", parallel, mostParallelCells}} {
		if err := checkCount(n.what, n.m, n.most); err != nil {
			return 0, err
		}
		if !n.m.Given {
			most *= n.most
			continue
		}
		least *= n.m.Low
		most *= n.m.High
	}
	var s UnitSet
	if least == 1 {
		s |= 1 << UnitCell
	}
	if most > 1 {
		s |= 1 << UnitBattery
	}
	return s, nil
}

// EnergyPerCell returns the rated energy of one cell in Wh: that of the
// battery over the number of its cells. A count not given is any number.
func EnergyPerCell(ratedWh Interval, series, parallel Maybe) (Interval, error) {
	if err := Given(ratedWh).check("rated energy", "Wh", 0, UnknownWh); err != nil {
		return Interval{}, err
	}
	cells := Exact(1)
	for _, n := range []struct {
		what string
		m    Maybe
		most float64
	}{{"number of cells in series", series, MostSeriesCells}, {"number of cells in parallel", parallel, mostParallelCells}} {
		if err := checkCount(n.what, n.m, n.most); err != nil {
			return Interval{}, err
		}
		if !n.m.Given {
			n.m.Interval = Interval{1, n.most}
		}
		cells = cells.Mul(n.m.Interval)
	}
	return ratedWh.dividedBy(cells).snapped(), nil
}

func checkCount(what string, n Maybe, most float64) error {
	if err := n.check(what, "", 1, most); err != nil {
		return err
	}
	if n.Given && (n.Low != float64(int(n.Low)) || n.High != float64(int(n.High))) {
		return fmt.Errorf("battery: %s is %s; give whole numbers", what, n.Interval)
	}
	return nil
}

// UnknownLithiumG is the upper end of a lithium content that nobody states, g.
const UnknownLithiumG = 1000

// LithiumContentG returns the lithium in a battery of primary lithium cells, in
// g, as stated; not stated it is anything. A rechargeable battery has none in
// the sense of the transport rules, which count its watt-hours instead.
func LithiumContentG(cs ChemistrySet, statedG Maybe) (Interval, error) {
	if err := statedG.check("lithium content", "g", 0, UnknownLithiumG); err != nil {
		return Interval{}, err
	}
	cs = cs.orAll()
	if !cs.Has(LithiumMetal) {
		return Interval{}, nil
	}
	content := Interval{0, UnknownLithiumG}
	if statedG.Given {
		content = statedG.Interval
	}
	if cs != Chemistries(LithiumMetal) {
		content.Low = 0
	}
	return content, nil
}

// EquivalentLithiumG returns the old "equivalent lithium content" of lithium
// ion cells in g: 0.3 g for each Ah of rated capacity of one cell, times the
// number of cells. For information: the rules use watt-hours since 2009.
func EquivalentLithiumG(cellAh Interval, cells float64) (Interval, error) {
	const gramsPerAh = 0.3
	if err := Given(cellAh).check("capacity of a cell", "Ah", 0, mostAh); err != nil {
		return Interval{}, err
	}
	if err := checkCount("number of cells", GivenExactly(cells), MostSeriesCells*mostParallelCells); err != nil {
		return Interval{}, err
	}
	return cellAh.Scale(gramsPerAh * cells).snapped(), nil
}
