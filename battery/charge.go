package battery

import (
	"math/bits"
)

// Bounds of what a caller may give; anything outside is a mistake.
const (
	smallestVolts   = 0.1     // V, nominal or limit of a battery
	mostVolts       = 1000    // V, whole battery
	mostRestMinutes = 5256000 // ten years
	coldestAirC     = -60
	hottestAirC     = 100
)

// Margins around a table, in points of charge. The first four follow the
// uncertainty budget of the tables: slope of the curve for +-10 mV, spread of
// suppliers, the gap between charging and discharging. The wider one for
// indicative tables is our own judgement (common practice).
const (
	settledBelow60   = 5.0
	settledAbove60   = 3.0
	unsettled        = 10.0
	indicativePoints = 15.0
	aboveTablePoints = 6.0 // a 4.48 V cell read with the 4.45 V table
)

// Rest after which the small margins hold: 3 h was enough for NMC and LFP, NCA
// still moved after 24 h (Theuerkauf and Swan, Batteries 2022, 8(8), 77).
const (
	leastMinutes      = 30 // common practice: before that it may be far under its rest voltage
	settledMinutes    = 180
	settledMinutesNCA = 1440
)

// coldVolts is how much lower a cell reads under 15 degC than the 25 degC
// tables have it (measured on the 4.40 V phone profile at 50 %).
const (
	coldVolts  = 0.035
	coldUnderC = 15
)

// Under trippedVolts per cell at a connector the reading may be that of a
// protection board that has switched off; under openVolts anywhere it may be
// that of a broken path: a torn tab, a blown fuse, an opened interrupter.
// Common practice.
const (
	trippedVolts = 2.5
	openVolts    = 0.5
)

// Iron phosphate: the curve is flat from 10 to 95 %, so only three bands are
// told apart. The shift covers the 5 to 25 mV by which a rested cell lies
// above or below the curve, twice that when it has hardly rested.
const (
	plateauFrom       = 10.0
	plateauTo         = 95.0
	plateauMargin     = 30.0
	hysteresisVolts   = 0.025
	hysteresisUnready = 0.050
)

var wholeCharge = Interval{0, 100}

// ChargeFacts is what may be known about the charge of a battery. The zero
// value knows nothing.
type ChargeFacts struct {
	Gauge        Maybe // %, shown by the device
	RestVolts    Maybe // V, whole battery, at rest
	Series       Maybe // cells in series; not given: inferred from the label
	MeasuredAt   PlaceSet
	Chemistries  ChemistrySet
	NominalVolts Maybe // V, whole battery, from the label
	LimitVolts   Maybe // V, whole battery, charge limit from the label
	RestMinutes  Maybe // since it last carried current; not given: as long as a reading asks for, leastMinutes
	AirC         Maybe // degC; not given counts as perhaps cold
	SoundAndDry  bool  // certainly so: only then the gauge is believed alone
}

// StateOfChargePercent is the fast form of [StateOfCharge]: the same interval
// in %, without reasons, without errors and without allocating. Input that
// cannot be used answers 0..100.
func StateOfChargePercent(f *ChargeFacts) Interval {
	if !f.usable() || f.Chemistries.orAll().Has(LithiumMetal) {
		return wholeCharge
	}
	switch {
	case f.RestVolts.Given && f.Gauge.Given:
		// A gauge that cannot be believed alone still may be the one that is
		// right, so the answer spans both.
		return f.fromVoltage().Hull(f.Gauge.Interval)
	case f.RestVolts.Given:
		return f.fromVoltage()
	case f.Gauge.Given && f.SoundAndDry:
		return f.Gauge.Interval
	case f.Gauge.Given:
		// Not believed when it says low; but no voltage read later could take
		// back that it said as much, so it still counts from below.
		return Interval{f.Gauge.Low, 100}
	}
	return wholeCharge
}

// usable is explainCheck without the words, and without their cost. A test
// keeps the two together.
func (f *ChargeFacts) usable() bool {
	return !f.Gauge.wrong(0, 100) &&
		!f.RestVolts.wrong(-mostVolts, mostVolts) &&
		!f.Series.wrong(1, MostSeriesCells) &&
		!f.NominalVolts.wrong(smallestVolts, mostVolts) &&
		!f.LimitVolts.wrong(smallestVolts, mostVolts) &&
		!f.RestMinutes.wrong(0, mostRestMinutes) &&
		!f.AirC.wrong(coldestAirC, hottestAirC)
}

func (f *ChargeFacts) series() Interval {
	if f.Series.Given {
		return f.Series.Interval
	}
	return inferSeries(f.Chemistries, f.NominalVolts, f.LimitVolts)
}

// fromVoltage reads every candidate table and returns the hull.
func (f *ChargeFacts) fromVoltage() Interval {
	series := f.series()
	cell := f.RestVolts.dividedBy(series).snapped()
	tables := shipped.candidates.of(f.Chemistries, labelOf(f.NominalVolts, f.LimitVolts, series))
	if tables&noTable != 0 || f.maybeOpen(cell) {
		return wholeCharge
	}
	cell = f.warmed(cell)
	out := Interval{100, 0}
	mayReadHigh := tables&aboveTables != 0
	for rest := tables &^ aboveTables; rest != 0; rest &= rest - 1 {
		t := &shipped.tables[bits.TrailingZeros32(uint32(rest))]
		out = out.Hull(t.reading(cell, f.RestMinutes, mayReadHigh))
	}
	if f.hardlyRested() {
		out.High = 100
	}
	return out
}

// hardlyRested reports that the voltage may still be climbing from a load, so
// that it tells the charge from below only.
func (f *ChargeFacts) hardlyRested() bool {
	return f.RestMinutes.Given && f.RestMinutes.Low < leastMinutes
}

// maybeOpen reports whether the meter may not have seen the cells at all.
func (f *ChargeFacts) maybeOpen(cell Interval) bool {
	return cell.Low < openVolts || cell.Low < trippedVolts && f.MeasuredAt.behindBoard()
}

// warmed adds what a cold cell may read too low.
func (f *ChargeFacts) warmed(cell Interval) Interval {
	if !f.AirC.Given || f.AirC.Low < coldUnderC {
		cell.High += coldVolts
	}
	return cell
}

// reading returns the charge that one table allows, margins included.
func (t *Table) reading(cell Interval, restMinutes Maybe, mayReadHigh bool) Interval {
	if t.Chemistry == LFP {
		return t.plateauReading(cell, restMinutes)
	}
	low, high := t.charge(cell.Low), t.charge(cell.High)
	above := cell.Low > t.LimitV.High
	switch {
	case t.Indicative:
		low, high = low-indicativePoints, high+indicativePoints
	case t.settled(restMinutes):
		low, high = lessSettled(low), moreSettled(high)
	default:
		low, high = low-unsettled, high+unsettled
	}
	if mayReadHigh && t.LimitV.High >= classLimits[limit4V48] {
		low -= aboveTablePoints
	}
	if above {
		low = 100
	}
	return Interval{low, high}.Clamp(0, 100)
}

func (t *Table) settled(restMinutes Maybe) bool {
	needed := float64(settledMinutes)
	if t.Chemistry == NCA {
		needed = settledMinutesNCA
	}
	return restMinutes.Given && restMinutes.Low >= needed
}

// lessSettled and moreSettled put on the margin of the side they are named
// after: 5 points below 60 %, 3 above. The upper one holds its value for two
// points past 60 % so that a higher voltage never reads lower.
func lessSettled(soc float64) float64 {
	if soc < 60 {
		return soc - settledBelow60
	}
	return soc - settledAbove60
}

func moreSettled(soc float64) float64 {
	return max(min(soc, 60)+settledBelow60, soc+settledAbove60)
}

// plateauReading tells three bands of an iron phosphate cell apart: under 10 %,
// 10 to 95 %, above 95 %. Under 30 %, where the curve still slopes, the upper
// end is the table's and 10 points more.
func (t *Table) plateauReading(cell Interval, restMinutes Maybe) Interval {
	shift := hysteresisUnready
	if t.settled(restMinutes) {
		shift = hysteresisVolts
	}
	low, high := t.charge(cell.Low-shift), t.charge(cell.High+shift)
	switch {
	case cell.Low > t.LimitV.High:
		low = 100
	case low < plateauFrom:
		low = 0
	case low <= plateauTo:
		low = plateauFrom
	default:
		low = plateauTo
	}
	switch {
	case high < plateauMargin:
		high += unsettled
	case high <= plateauTo:
		high = plateauTo
	default:
		high = 100
	}
	return Interval{low, high}
}
