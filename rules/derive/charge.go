package derive

import (
	"loosecell/battery"
	"loosecell/rules/expression"
)

// stateOfCharge spans every charge, in %, that the gauge and the voltage leave
// possible. The gauge is believed alone only on a cell that is certainly sound
// and dry (common practice).
func stateOfCharge(l *expression.Layout) expression.Derive {
	slot := l.MustSlot
	gauge, volts, series := slot("battery.gauge_charge"), slot("battery.rest_voltage"), slot("battery.series_cells")
	chemistry, nominal, limit := slot("battery.chemistry"), slot("battery.nominal_voltage"), slot("battery.charge_limit")
	at, rest, air := slot("battery.volts_at"), slot("battery.rest_time"), slot("bench.air_temperature")
	var bad []int
	for _, name := range UnsoundSigns {
		bad = append(bad, slot(name))
	}
	return func(b *expression.Box) expression.Range {
		sound := true
		for _, s := range bad {
			// The first word of each of these is the harmless one.
			if b.At(s).Words != 1 {
				sound = false
				break
			}
		}
		f := battery.ChargeFacts{
			Gauge: given(b, gauge), RestVolts: given(b, volts), Series: seriesCount(b, series),
			MeasuredAt:   battery.PlaceSet(b.At(at).Words),
			Chemistries:  battery.ChemistrySet(b.At(chemistry).Words),
			NominalVolts: given(b, nominal), LimitVolts: given(b, limit),
			RestMinutes: rested(b, rest), AirC: given(b, air), SoundAndDry: sound,
		}
		return ranged(overCounts(&f))
	}
}

// fewCounts is how many counts of cells in series are reckoned one by one.
const fewCounts = 4

// overCounts is the charge over every count of cells in series that is possible.
// Where these are few each is taken alone, since the label means another kind of
// cell with each; a span of counts would mix them.
func overCounts(f *battery.ChargeFacts) battery.Interval {
	counts := f.Series
	if !counts.Given || counts.High-counts.Low >= fewCounts {
		return battery.StateOfChargePercent(f)
	}
	f.Series = battery.GivenExactly(counts.Low)
	out := battery.StateOfChargePercent(f)
	for n := counts.Low + 1; n <= counts.High; n++ {
		f.Series = battery.GivenExactly(n)
		out = out.Hull(battery.StateOfChargePercent(f))
	}
	return out
}

// longestRestMinutes is ten years. A longer rest reads no better, and package
// battery takes no more.
const longestRestMinutes = 5256000

// rested is how long the cell has lain without current, in minutes.
func rested(b *expression.Box, slot int) battery.Maybe {
	m := given(b, slot)
	m.Low, m.High = min(m.Low, longestRestMinutes), min(m.High, longestRestMinutes)
	return m
}

// UnsoundSigns are the facts that take the word of a device's gauge away.
var UnsoundSigns = []string{
	"battery.swelling", "battery.deformation", "battery.puncture", "battery.leakage", "battery.odour",
	"battery.self_heating", "battery.wetted", "battery.terminal_corrosion",
}

// storedEnergy is charge times rated energy, in Wh.
func storedEnergy(l *expression.Layout) expression.Derive {
	energy, charge := l.MustSlot("derived.rated_energy"), l.MustSlot("derived.state_of_charge")
	return func(b *expression.Box) expression.Range {
		e, c := b.At(energy), b.At(charge)
		return expression.Range{Low: e.Low * c.Low / 100, High: e.High * c.High / 100}
	}
}
