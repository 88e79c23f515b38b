package main

import (
	"fmt"
	"strings"

	"loosecell/battery"
	"loosecell/cmd/loosecell/internal/reckoning"
)

func chargeModel() model {
	return model{
		name: "charge", short: "State of charge from a gauge or a rest voltage, and the voltage tables",
		long: "State of charge from the device's gauge and the voltage at rest, over every\ncell that the label leaves possible; volts against the cell's own limits; one\nvoltage table read either way. A table alone is a course for --format csv.",
		example: `  loosecell reckon charge --rest-voltage '3.80 V' --volts '3.85 V' --rest-time '3 h'
  loosecell reckon charge --rest-voltage '3.50 V'
  loosecell reckon charge --table phone-4.40-after-discharge --rest-voltage '3.85 V'
  loosecell reckon charge --table phone-4.45-gauge --charge '20 %'`,
		flags: []quantity{
			{name: "gauge", unit: "%", usage: "charge the device shows"},
			{name: "rest-voltage", unit: "V", usage: "voltage at rest of the whole battery; with --table of one cell"},
			{name: "volts", unit: "V", usage: "nominal voltage on the label"},
			{name: "charge-limit", unit: "V", usage: "charge limit on the label"},
			{name: "series", usage: "cells in series"},
			{name: "chemistry", word: true, usage: "lfp, lto, na-ion, lmo, nmc, nca, lco, li-metal, several by commas, or li-ion"},
			{name: "rest-time", unit: "min", usage: "time at rest"},
			{name: "temperature", unit: "degC", usage: "air temperature"},
			{name: "measured-at", word: true, usage: "cell, connector or smart-pack"},
			{name: "sound", word: true, usage: "yes if the cell is certainly sound and dry: then a gauge counts alone"},
			{name: "table", word: true, usage: "one voltage table by name: " + strings.Join(tableNames(), ", ")},
			{name: "charge", unit: "%", usage: "charge at which a table is read"},
			{name: "from", unit: "%", usage: "charge at which a span begins"},
			{name: "to", unit: "%", usage: "lower charge at which it ends"},
		},
		sums: []sum{
			{"one table", [][]string{{"table"}}, []string{"rest-voltage", "charge"}, reckonTable},
			{"state of charge", [][]string{{"gauge"}, {"rest-voltage"}},
				[]string{"gauge", "volts", "charge-limit", "series", "chemistry", "rest-time", "temperature", "measured-at", "sound"}, reckonCharge},
			{"mean voltage of a span", [][]string{{"from", "to"}}, []string{"volts", "charge-limit", "series", "chemistry"}, reckonMean},
			{"limits of a chemistry", [][]string{{"chemistry"}}, []string{"volts", "charge-limit", "series"}, reckonLimits},
		},
	}
}

func tableNames() []string {
	var out []string
	for _, t := range battery.Tables() {
		out = append(out, t.Name)
	}
	return out
}

const tableSource = "measured and modelled open-circuit curves at 25 degC, read between the rows"

func reckonTable(g *given) {
	t, err := battery.TableNamed(g.word("table"))
	if g.fail(err) {
		return
	}
	if g.has("rest-voltage") {
		g.put("charge", "%", "straight line between the rows of "+t.Name, tableSource+"; "+t.Source)(over(func(x ...float64) (float64, error) { return t.Charge(x[0]) }, g.n("rest-voltage")))
	}
	if g.has("charge") {
		g.put("rest_voltage", "V", "straight line between the rows of "+t.Name, tableSource+"; "+t.Source)(over(func(x ...float64) (float64, error) { return t.Voltage(x[0]) }, g.n("charge")))
	}
	g.put("mean_voltage", "V", "mean of "+t.Name+" from 0 to 100 %", t.Source)(exact(t.PublishedMean), nil)
	course := reckoning.Course{Columns: []string{"charge_pct", "rest_v"}}
	for soc := 0.0; soc <= 100; soc++ {
		v, err := t.Voltage(soc)
		if g.fail(err) {
			return
		}
		course.Rows = append(course.Rows, []float64{soc, v})
	}
	g.report.Course = &course
}

func reckonCharge(g *given) {
	if g.has("table") {
		return // that table alone was asked
	}
	facts := battery.ChargeFacts{
		Gauge: g.maybe("gauge"), RestVolts: g.maybe("rest-voltage"), Series: g.maybe("series"), Chemistries: g.chemistries(),
		NominalVolts: g.maybe("volts"), LimitVolts: g.maybe("charge-limit"), RestMinutes: g.maybe("rest-time"), AirC: g.maybe("temperature"),
	}
	if w := g.word("measured-at"); w != "" && g.oneOf("measured-at", w, "cell", "connector", "smart-pack") {
		facts.MeasuredAt = battery.Places(map[string]battery.Place{"cell": battery.AtCell, "connector": battery.AtConnector, "smart-pack": battery.AtSmartPack}[w])
	}
	if w := g.word("sound"); w != "" && g.oneOf("sound", w, "yes", "no") {
		facts.SoundAndDry = w == "yes"
	}
	if g.err != nil {
		return
	}
	e, err := battery.StateOfCharge(facts)
	if g.fail(err) {
		return
	}
	g.put("state_of_charge", "%", strings.Join(e.Reasons, " "), tableSource)(spread(e.Percent), nil)
	g.asOneCell(facts)
	for _, r := range e.Readings {
		g.put("by_"+r.Table, "%", "this table, with its margins", tableSource)(spread(r.Percent), nil)
	}
	if e.VoltsCell.Given {
		g.put("volts_per_cell", "V", "volts / cells in series", "arithmetic")(spread(e.VoltsCell.Interval), nil)
	}
	if s, known := g.cells(); g.has("rest-voltage") && known {
		g.againstLimits(s)
	}
}

// cells is how many there are in series, as given or as the label certainly says.
func (g *given) cells() (battery.Interval, bool) {
	if g.has("series") {
		return g.maybe("series").Interval, true
	}
	if !g.has("volts") && !g.has("charge-limit") {
		return battery.Interval{}, false
	}
	s, err := battery.SeriesCells(g.chemistries(), g.maybe("volts"), g.maybe("charge-limit"))
	return s, err == nil && s.IsExact()
}

// asOneCell adds, where nothing tells the number of cells, what the voltage
// would mean for a single cell.
func (g *given) asOneCell(f battery.ChargeFacts) {
	if !f.RestVolts.Given || f.RestVolts.High > mostOfOneCell || g.has("series") || g.has("volts") || g.has("charge-limit") {
		return
	}
	f.Series = battery.GivenExactly(1)
	e, err := battery.StateOfCharge(f)
	g.put("state_of_charge_if_one_cell", "%", "as --series 1; "+strings.Join(e.Reasons, " "), tableSource)(spread(e.Percent), err)
	g.againstLimits(f.Series.Interval)
}

// mostOfOneCell is the highest voltage that can be a single cell's, overcharged
// as it may be.
const mostOfOneCell = 5.0

// overLimit is how far over its limit a cell counts as overcharged, in V per
// cell (common practice).
const overLimit = 0.05

func (g *given) againstLimits(series battery.Interval) {
	volts := g.maybe("rest-voltage").Interval
	over, err := battery.VoltsOverLimit(volts, g.chemistries(), g.maybe("volts"), g.maybe("charge-limit"), series)
	g.put("volts_over_limit", "V", "volts per cell less the cell's own charge limit", "limits of the chemistry and label")(spread(over), err)
	switch {
	case err == nil && over.Low > overLimit:
		g.say("over_its_limit", "yes: hands off, no charger, no load; ask for advice on the case", "more than 0.05 V over its own limit", "common practice")
	case err == nil && over.High > overLimit:
		g.say("over_its_limit", "it may be: treat it so until its own limit is known", "more than 0.05 V over the lowest limit it may have", "common practice")
	}
	under, err := battery.VoltsUnderCutOff(volts, g.chemistries(), series)
	g.put("volts_under_cut_off", "V", "the cell's cut-off less volts per cell", "limits of the chemistry")(spread(under), err)
}

func reckonMean(g *given) {
	from, to := g.n("from"), g.n("to")
	if !from.IsExact() || !to.IsExact() {
		g.fail(fmt.Errorf("--from and --to take one charge each here"))
		return
	}
	series := battery.Exact(1)
	if g.has("series") {
		series = g.maybe("series").Interval
	}
	iv, err := battery.MeanVoltage(from.Middle, to.Middle, g.chemistries(), g.maybe("volts"), g.maybe("charge-limit"), series)
	g.put("mean_voltage", "V", "mean of the curve between the two charges, per cell", tableSource)(spread(iv), err)
}

func reckonLimits(g *given) {
	cs := g.chemistries()
	if g.err != nil || g.has("table") {
		return
	}
	series := battery.Exact(1)
	if g.has("series") {
		series = g.maybe("series").Interval
	}
	limit, err := battery.ChargeLimits(cs, g.maybe("volts"), g.maybe("charge-limit"), series)
	const source = "cell data sheets and measured packs"
	g.put("charge_limit", "V", "highest normal voltage, per cell", source)(spread(limit), err)
	for _, r := range []struct {
		name string
		iv   battery.Interval
	}{{"nominal_voltage", battery.NominalVolts(cs)}, {"cut_off", battery.CutOffVolts(cs)}, {"never_recharge_below", battery.NoRechargeVolts(cs)}} {
		g.put(r.name, "V", "per cell, over the chemistries given", "cell data sheets; common practice below the cut-off")(spread(r.iv), nil)
	}
}

// positiveRatio divides, and refuses to divide by nothing.
func positiveRatio(what string, a, b float64) (float64, error) {
	if !(b > 0) {
		return 0, fmt.Errorf("the %s is %g; it must be above zero", what, b)
	}
	return a / b, nil
}
