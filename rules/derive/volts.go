package derive

import (
	"loosecell/battery"
	"loosecell/rules/expression"
)

// voltsPerCell divides the whole battery's rest voltage by its cells in series.
func voltsPerCell(l *expression.Layout) expression.Derive {
	volts, series := l.MustSlot("battery.rest_voltage"), l.MustSlot("battery.series_cells")
	return func(b *expression.Box) expression.Range {
		return perCell(b.At(volts), b.At(series))
	}
}

// perCell divides a range that may be negative by a positive one.
func perCell(v, n expression.Range) expression.Range {
	low, high := v.Low/n.High, v.High/n.Low
	if v.Low < 0 {
		low = v.Low / n.Low
	}
	if v.High < 0 {
		high = v.High / n.High
	}
	return expression.Range{Low: low, High: high}
}

// limitParents are the slots the cell's own charge limit rests on.
type limitParents struct {
	volts, series, limit, nominal, chemistry int
}

func limitsOf(l *expression.Layout) limitParents {
	s := l.MustSlot
	return limitParents{s("battery.rest_voltage"), s("battery.series_cells"), s("battery.charge_limit"),
		s("battery.nominal_voltage"), s("battery.chemistry")}
}

// own is what is possible for the charge limit, in V per cell.
func (p limitParents) own(b *expression.Box) expression.Range {
	iv, err := battery.ChargeLimits(battery.ChemistrySet(b.At(p.chemistry).Words), given(b, p.nominal), given(b, p.limit), seriesCount(b, p.series).Interval)
	if err != nil {
		return expression.Range{Low: lowestLimitV, High: highestLimitV}
	}
	return ranged(iv)
}

// The charge limits of all cells lie between these, in V per cell: lithium
// titanate at 2.7 V and the highest cobalt cells at 4.50 V.
const (
	lowestLimitV  = 2.7
	highestLimitV = 4.5
)

// voltsOverLimit is volts per cell less the cell's own charge limit.
func voltsOverLimit(l *expression.Layout) expression.Derive {
	p := limitsOf(l)
	return func(b *expression.Box) expression.Range {
		v, own := perCell(b.At(p.volts), b.At(p.series)), p.own(b)
		return snapped(v.Low-own.High, v.High-own.Low)
	}
}

// overHighestLimit compares the stated volts with the highest limit the cell
// can have and with the most cells in series it can have.
func overHighestLimit(b *expression.Box) expression.Range {
	p := limitsOf(b.Layout)
	cell := perCell(b.At(p.volts), expression.Exactly(b.At(p.series).High))
	own := p.own(b)
	return snapped(cell.Low-own.High, cell.High-own.High)
}

// voltsUnderCutOff is the cell's own cut-off less volts per cell.
func voltsUnderCutOff(l *expression.Layout) expression.Derive {
	volts, series := l.MustSlot("battery.rest_voltage"), l.MustSlot("battery.series_cells")
	chemistry := l.MustSlot("battery.chemistry")
	return func(b *expression.Box) expression.Range {
		v := perCell(b.At(volts), b.At(series))
		own := battery.CutOffVolts(battery.ChemistrySet(b.At(chemistry).Words))
		return snapped(own.Low-v.High, own.High-v.Low)
	}
}

// fewestCells is volts per cell with the fewest cells in series it can have: a
// count nobody knows is no evidence of an emptied cell. How far a cell lies over
// its limit has its own reading.
func fewestCells(b *expression.Box) expression.Range {
	series := b.At(b.Layout.MustSlot("battery.series_cells"))
	return perCell(b.At(b.Layout.MustSlot("battery.rest_voltage")), expression.Exactly(series.Low))
}

// underLowestCutOff compares the stated volts with the lowest cut-off the cell
// can have and with the fewest cells in series it can have.
func underLowestCutOff(b *expression.Box) expression.Range {
	v := fewestCells(b)
	own := battery.CutOffVolts(battery.ChemistrySet(b.At(b.Layout.MustSlot("battery.chemistry")).Words))
	return snapped(own.Low-v.High, own.Low-v.Low)
}
