package derive

import (
	"loosecell/battery"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// usualWh is what the battery of a kind of device usually holds, in Wh (common
// practice). It counts only while nothing is known of mark, label, size or mass.
var usualWh = map[string]battery.Interval{
	"phone":       {Low: 8, High: 25},
	"tablet":      {Low: 15, High: 45},
	"laptop":      {Low: 25, High: 100},
	"earbud":      {Low: 0.05, High: 0.5},
	"earbud-case": {Low: 0.5, High: 4},
	"watch":       {Low: 0.5, High: 3},
}

// ratedEnergy is the rated energy in Wh: the mark, else volts times ampere-hours,
// else from size or mass, else what the kind of device usually holds.
func ratedEnergy(l *expression.Layout) expression.Derive {
	slot := l.MustSlot
	mark, volts, capacity := slot("battery.rated_energy"), slot("battery.nominal_voltage"), slot("battery.rated_capacity")
	series, chemistry, form := slot("battery.series_cells"), slot("battery.chemistry"), slot("battery.form")
	length, width, thickness, mass := slot("battery.length"), slot("battery.width"), slot("battery.thickness"), slot("battery.mass")
	kind := slot("device.kind")
	usual := usualByKind(l.Slots[kind].Fact)
	return func(b *expression.Box) expression.Range {
		f := battery.EnergyFacts{
			MarkedWh: given(b, mark), CapacityAh: given(b, capacity), NominalVolts: given(b, volts), Series: seriesCount(b, series),
			Chemistries: battery.ChemistrySet(b.At(chemistry).Words), Forms: battery.FormSet(b.At(form).Words),
			LengthMM: given(b, length), WidthMM: given(b, width), ThicknessMM: given(b, thickness), MassG: given(b, mass),
			PresumedWh: usual(b.At(kind).Words),
		}
		return ranged(battery.RatedWh(&f))
	}
}

// usualByKind spans the usual energies of the kinds a device may be; one kind
// without a usual energy leaves it unknown.
func usualByKind(kind *facts.Fact) func(words uint64) battery.Maybe {
	byRank := make([]battery.Maybe, len(kind.Words))
	for i, w := range kind.Words {
		if iv, ok := usualWh[w]; ok {
			byRank[i] = battery.Given(iv)
		}
	}
	return func(words uint64) battery.Maybe {
		var out battery.Maybe
		for i, m := range byRank {
			if words>>i&1 == 0 {
				continue
			}
			if !m.Given {
				return battery.Maybe{}
			}
			if out.Given {
				m.Interval = m.Hull(out.Interval)
			}
			out = m
		}
		return out
	}
}

// count is a parent's count, always given: the catalogue bounds it.
func count(b *expression.Box, slot int) battery.Maybe { return battery.Given(interval(b.At(slot))) }

// seriesCount is the count of cells in series, given also where nobody stated
// it: a count guessed from the label would be narrower than a presumed one, and
// then an explicit unknown could permit more than what was presumed. Not
// knowing means up to as many as package battery takes.
func seriesCount(b *expression.Box, slot int) battery.Maybe {
	iv := interval(b.At(slot))
	if iv.Low <= battery.MostSeriesCells {
		iv.High = min(iv.High, battery.MostSeriesCells)
	}
	return battery.Given(iv)
}

// unit is what the battery counts as for transport: one cell alone is a cell.
func unit(l *expression.Layout) expression.Derive {
	series, parallel := l.MustSlot("battery.series_cells"), l.MustSlot("battery.parallel_cells")
	return func(b *expression.Box) expression.Range {
		set, err := battery.TransportUnit(seriesCount(b, series), count(b, parallel))
		if err != nil {
			return expression.Range{Words: 0b11}
		}
		return expression.Range{Words: uint64(set)}
	}
}

// energyPerCell is the rated energy over the number of cells, in Wh.
func energyPerCell(l *expression.Layout) expression.Derive {
	energy := l.MustSlot("derived.rated_energy")
	series, parallel := l.MustSlot("battery.series_cells"), l.MustSlot("battery.parallel_cells")
	return func(b *expression.Box) expression.Range {
		iv, err := battery.EnergyPerCell(interval(b.At(energy)), seriesCount(b, series), count(b, parallel))
		if err != nil {
			return ranged(battery.Interval{High: battery.UnknownWh})
		}
		return ranged(iv)
	}
}

// lithiumContent is the lithium metal in the battery, in g; none in a
// rechargeable one, in the sense of the transport rules.
func lithiumContent(l *expression.Layout) expression.Derive {
	stated, chemistry := l.MustSlot("battery.lithium_content"), l.MustSlot("battery.chemistry")
	return func(b *expression.Box) expression.Range {
		iv, err := battery.LithiumContentG(battery.ChemistrySet(b.At(chemistry).Words), given(b, stated))
		if err != nil {
			return ranged(battery.Interval{High: battery.UnknownLithiumG})
		}
		return ranged(iv)
	}
}
