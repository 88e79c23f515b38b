package battery

import "fmt"

// ChargeEstimate is a state of charge with its reasons.
type ChargeEstimate struct {
	Percent     Interval       // %, the same as StateOfChargePercent
	FromGauge   bool           // the gauge took part
	FromVoltage bool           // the resting voltage took part
	VoltsCell   Maybe          // V per cell, if a resting voltage was given
	Readings    []TableReading // one for each candidate table
	Reasons     []string       // sentences: what it rests on and why it is wide
	Sources     []string       // keys
}

// TableReading is what one table says.
type TableReading struct {
	Table      string
	Percent    Interval // margins included
	Indicative bool
}

// StateOfCharge returns the charge of a battery in % of what it holds, as an
// interval, with its reasons. The gauge counts at face value on a cell that is
// certainly sound and dry (common practice); a resting voltage is read from
// every table that may describe the cell, with the margins of the uncertainty
// budget; given both, the answer spans both. A primary cell has no charge in
// this sense: 0..100. It refuses input that is not finite or not possible,
// naming it.
func StateOfCharge(f ChargeFacts) (ChargeEstimate, error) {
	if err := f.explainCheck(); err != nil {
		return ChargeEstimate{}, err
	}
	e := ChargeEstimate{Percent: StateOfChargePercent(&f)}
	if f.Chemistries.orAll().Has(LithiumMetal) {
		e.say("It may be a primary lithium cell; those are never called empty.")
		return e, nil
	}
	if f.Gauge.Given {
		e.explainGauge(&f)
	}
	if f.RestVolts.Given {
		e.explainVoltage(&f)
	}
	if !e.FromGauge && !e.FromVoltage {
		e.say("Neither a gauge that can be trusted nor a resting voltage is known, so it may hold any charge.")
	}
	return e, nil
}

func (e *ChargeEstimate) say(format string, a ...any) {
	e.Reasons = append(e.Reasons, fmt.Sprintf(format, a...))
}

func (e *ChargeEstimate) explainGauge(f *ChargeFacts) {
	switch {
	case f.RestVolts.Given && !f.SoundAndDry:
		e.FromGauge = true
		e.say("The gauge of a cell that may be damaged or wet is not believed alone; the answer also spans the resting voltage.")
	case f.RestVolts.Given:
		e.FromGauge = true
		e.say("The answer spans the gauge and the resting voltage.")
	case f.SoundAndDry:
		e.FromGauge = true
		e.say("The gauge of a sound, dry cell is taken at face value.")
	default:
		e.say("The gauge of a cell that may be damaged or wet is not believed; measure the resting voltage.")
	}
	e.Sources = append(e.Sources, "common-practice")
}

func (e *ChargeEstimate) explainVoltage(f *ChargeFacts) {
	e.FromVoltage = true
	series := f.series()
	cell := f.RestVolts.dividedBy(series).snapped()
	e.VoltsCell = Given(cell)
	if !series.IsExact() {
		e.say("It may have %.0f to %.0f cells in series, so the volts per cell are not certain. The nominal voltage on the label, or the number of cells, would tell.", series.Low, series.High)
	}
	tables := shipped.candidates.of(f.Chemistries, labelOf(f.NominalVolts, f.LimitVolts, series))
	switch {
	case tables&noTable != 0:
		e.say("There is no voltage table for one of the chemistries it may be, so it may hold any charge.")
		return
	case cell.Low < openVolts && cell.High >= openVolts:
		e.say("With that many cells in series each would show next to nothing, so it may hold any charge.")
		return
	case cell.Low < openVolts:
		e.say("Next to no voltage may mean a torn tab or a blown fuse and not an empty cell, so it may hold any charge.")
		return
	case f.maybeOpen(cell):
		e.say("Under %.1f V per cell at a connector the protection board may have switched off, so it may hold any charge; measure at the cell.", trippedVolts)
		return
	}
	warm := f.warmed(cell)
	if warm != cell {
		e.say("A cell under %d degC reads up to %.0f mV low.", coldUnderC, coldVolts*1000)
		e.Sources = append(e.Sources, "phone-profile-4v40")
	}
	e.explainTables(f, warm, tables)
}

func (e *ChargeEstimate) explainTables(f *ChargeFacts, cell Interval, tables tableSet) {
	rested := true
	for i := range shipped.tables {
		if tables&(1<<i) == 0 {
			continue
		}
		t := &shipped.tables[i]
		e.Readings = append(e.Readings, TableReading{t.Name, t.reading(cell, f.RestMinutes, tables&aboveTables != 0), t.Indicative})
		e.Sources = append(e.Sources, t.Source)
		rested = rested && t.settled(f.RestMinutes)
		switch {
		case t.Indicative:
			e.say("Table %s is indicative only: %s.", t.Name, t.Note)
		case t.How == "measured" && t.Chemistry == LFP:
			e.say("Iron phosphate hardly changes its voltage from 10 to 95 %%, so only three bands can be told apart.")
		}
	}
	if n := len(e.Readings); n > 1 {
		e.say("%d voltage tables may describe this cell; the answer spans them all.%s", n, f.tellingLabel())
	}
	if f.hardlyRested() {
		e.say("Under %d minutes at rest it may still climb, so it tells the charge from below only; let it rest and read it again.", leastMinutes)
	}
	if !rested {
		e.say("After less than 3 h at rest (24 h for nca) the voltage has not settled: 10 points either way.")
		e.Sources = append(e.Sources, "theuerkauf-swan-2022")
	}
	e.Sources = distinct(e.Sources)
}

// tellingLabel names what of the label was not given and would leave fewer
// tables.
func (f *ChargeFacts) tellingLabel() string {
	switch {
	case f.NominalVolts.Given && f.LimitVolts.Given:
		return ""
	case f.NominalVolts.Given:
		return " Its charge limit, if printed, would tell them apart."
	case f.LimitVolts.Given:
		return " Its nominal voltage would tell them apart."
	}
	return " Its label (nominal voltage, charge limit) would tell them apart."
}

func (f *ChargeFacts) explainCheck() error {
	for _, b := range f.facts() {
		if err := b.m.check(b.what, b.unit, b.low, b.high); err != nil {
			return err
		}
	}
	return checkCount("number of cells in series", f.Series, MostSeriesCells)
}

func (f *ChargeFacts) facts() [7]bounded {
	return [7]bounded{
		{&f.Gauge, "gauge", "%", 0, 100},
		{&f.RestVolts, "rest voltage", "V", -mostVolts, mostVolts},
		{&f.Series, "number of cells in series", "", 1, MostSeriesCells},
		{&f.NominalVolts, "nominal voltage", "V", smallestVolts, mostVolts},
		{&f.LimitVolts, "charge limit", "V", smallestVolts, mostVolts},
		{&f.RestMinutes, "rest time", "min", 0, mostRestMinutes},
		{&f.AirC, "air temperature", "degC", coldestAirC, hottestAirC},
	}
}

// distinct drops repeats and keeps the order of first appearance.
func distinct(words []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, w := range words {
		if !seen[w] {
			out = append(out, w)
			seen[w] = true
		}
	}
	return out
}
