package derive

import (
	"loosecell/battery"
	"loosecell/rules/expression"
	"loosecell/rules/facts"
)

// bind makes the function of a derived fact once its parents have slots.
type bind = func(*expression.Layout) expression.Derive

// functions holds the function of every derived fact.
var functions = map[string]bind{
	"derived.rated_energy":       ratedEnergy,
	"derived.unit":               unit,
	"derived.lithium_content":    lithiumContent,
	"derived.state_of_charge":    stateOfCharge,
	"derived.stored_energy":      storedEnergy,
	"derived.energy_per_cell":    energyPerCell,
	"derived.volts_per_cell":     voltsPerCell,
	"derived.volts_over_limit":   voltsOverLimit,
	"derived.volts_under_cutoff": voltsUnderCutOff,
	"derived.thickness_growth":   thicknessGrowth,
	"derived.excess_over_room":   excessOverRoom,
	"derived.solvent_vapour":     solventVapour,
}

// Layout lays out a catalogue with the functions of its derived facts.
func Layout(cat *facts.Catalogue) (*expression.Layout, error) {
	return expression.NewLayout(cat, functions)
}

// Needs lists the facts without which a derived fact says nothing about this
// case: nobody stated them, so no alarm may come from it.
var Needs = map[string][]string{
	"derived.volts_per_cell":     {"battery.rest_voltage"},
	"derived.volts_over_limit":   {"battery.rest_voltage"},
	"derived.volts_under_cutoff": {"battery.rest_voltage"},
	"derived.thickness_growth":   {"battery.thickness", "battery.nominal_thickness"},
	"derived.excess_over_room":   {"battery.temperature"},
}

// Evidence is what a derived fact says where alarms are weighed: only what is
// stated, and against the limit or cut-off that is kindest to the cell, since
// not knowing which limit applies is ignorance and not evidence. Facts without
// an entry are read from the alarm box itself.
var Evidence = map[string]func(full, alarm *expression.Box) expression.Range{
	"derived.volts_over_limit":   func(full, _ *expression.Box) expression.Range { return overHighestLimit(full) },
	"derived.volts_under_cutoff": func(full, _ *expression.Box) expression.Range { return underLowestCutOff(full) },
	"derived.volts_per_cell":     func(full, _ *expression.Box) expression.Range { return fewestCells(full) },
}

// given is a parent's range, and whether the reading was taken at all.
func given(b *expression.Box, slot int) battery.Maybe {
	return battery.Maybe{Interval: interval(b.At(slot)), Given: !b.Absent(slot)}
}

func interval(r expression.Range) battery.Interval { return battery.Interval{Low: r.Low, High: r.High} }

func ranged(iv battery.Interval) expression.Range {
	return expression.Range{Low: iv.Low, High: iv.High}
}
