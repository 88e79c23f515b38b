package advice

import (
	"fmt"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/discharge"
	"loosecell/rules/expression"
)

// quickWays is how many ways of running a device down a sheet lists.
const quickWays = 3

// dischargePlan is how long it takes to bring the charge down, and by what.
type dischargePlan struct {
	hours    *hazards.Estimate
	ways     []discharge.Way
	resistor *discharge.ResistorPlan
}

// planDischarge works the plan out once; empty where nothing is to be run down
// or the energy is not known.
func (o *outcome) planDischarge() dischargePlan {
	if o.dischargeDone {
		return o.discharging
	}
	o.dischargeDone = true
	switch {
	case o.due == "no":
	case o.action == "resistor":
		o.discharging = o.throughResistor()
	case o.action == "in-device", o.action == "measure-first" && o.may["discharge.in-device"] == expression.True:
		o.discharging = o.inDevice()
	}
	return o.discharging
}

// mostDeviceWh is above every battery of a kind in the table of loads: beyond
// it the energy is as good as not known, and no hours are printed.
const mostDeviceWh = 1000

// inDevice lists the loads of the device that leave it cool, the quickest first.
func (o *outcome) inDevice() dischargePlan {
	energy, kind := o.at("derived.rated_energy"), o.loadKind()
	if kind == "" || energy.High > mostDeviceWh {
		return dischargePlan{}
	}
	ways, err := discharge.InDevice(discharge.DeviceTask{
		Device: kind, EnergyWh: scale(energy, 0.001, mostDeviceWh), NowPct: estimate(o.charge, 0, 100), TargetPct: o.target,
	})
	if err != nil {
		return dischargePlan{}
	}
	var out dischargePlan
	for _, w := range ways {
		if w.Load.Warmth == discharge.WarmthMuch || len(out.ways) == quickWays {
			break
		}
		out.ways = append(out.ways, w)
		if out.hours == nil {
			first := w.Hours
			out.hours = &first
			continue
		}
		*out.hours = either(*out.hours, w.Hours)
	}
	return out
}

// loadKind is the kind of device in the words of the table of loads.
func (o *outcome) loadKind() string {
	if roles := o.wordsOfFact("battery.role"); len(roles) == 1 && roles[0] == "power-bank" {
		return "power-bank"
	}
	if kinds := o.wordsOfFact("device.kind"); len(kinds) == 1 {
		return kinds[0]
	}
	return ""
}

// throughResistor plans the rig for one cell over every curve it may have.
func (o *outcome) throughResistor() dischargePlan {
	task, ok := o.resistorTask()
	if !ok {
		return dischargePlan{}
	}
	plan, err := discharge.ThroughResistor(task)
	if err != nil || !plan.Due {
		return dischargePlan{}
	}
	return dischargePlan{hours: &plan.Hours, resistor: &plan}
}

func (o *outcome) resistorTask() (discharge.ResistorTask, bool) {
	cs := battery.ChemistrySet(o.at("battery.chemistry").Words)
	one := battery.Exact(1)
	nominal, limit := o.given("battery.nominal_voltage"), o.given("battery.charge_limit")
	names, without, err := battery.CandidateTables(cs, nominal, limit, one)
	if err != nil || without || len(names) == 0 {
		return discharge.ResistorTask{}, false
	}
	task := discharge.ResistorTask{SeriesCells: 1, NowPct: estimate(o.charge, 0, 100), TargetPct: o.target,
		AmbientC: o.airC(-20, 60).High, CutOffV: battery.CutOffVolts(cs).High}
	for _, n := range names {
		t, err := battery.TableNamed(n)
		if err != nil {
			return task, false
		}
		task.Curves = append(task.Curves, discharge.FromTable(t))
	}
	limits, err := battery.ChargeLimits(cs, nominal, limit, one)
	if err != nil {
		return task, false
	}
	task.ChargeLimitV = limits.High
	capacity, ok := o.capacityAh(cs)
	if !ok {
		return task, false
	}
	task.CapacityAh = capacity
	task.InternalOhm, err = o.resistance()
	return task, err == nil
}

// given is a reading, and whether it was taken at all.
func (o *outcome) given(fact string) battery.Maybe {
	slot := o.full.Layout.MustSlot(fact)
	r := o.full.At(slot)
	return battery.Maybe{Interval: battery.Interval{Low: r.Low, High: r.High}, Given: !o.full.Absent(slot)}
}

// capacityAh is the capacity as marked, else energy over volts.
func (o *outcome) capacityAh(cs battery.ChemistrySet) (hazards.Estimate, bool) {
	if c := o.given("battery.rated_capacity"); c.Given {
		return scale(expression.Range{Low: c.Low, High: c.High}, 0.001, 1000), true
	}
	energy := o.at("derived.rated_energy")
	volts := battery.NominalVolts(cs)
	if n := o.given("battery.nominal_voltage"); n.Given {
		volts = n.Interval
	}
	if energy.High > mostDeviceWh || volts.Low <= 0 {
		return hazards.Estimate{}, false
	}
	return scale(expression.Range{Low: energy.Low / volts.High, High: energy.High / volts.Low}, 0.001, 1000), true
}

// resistance is that of one phone-size cell, from a new one in the warmest air
// possible to an aged one in the coldest.
func (o *outcome) resistance() (hazards.Estimate, error) {
	air := o.airC(-10, 60)
	fresh, err := battery.PhoneCellResistance(air.High, false)
	if err != nil {
		return hazards.Estimate{}, err
	}
	aged, err := battery.PhoneCellResistance(air.Low, true)
	if err != nil {
		return hazards.Estimate{}, err
	}
	return hazards.New(fresh.Low, hold(fresh.Middle, fresh.Low, aged.High), aged.High)
}

// dischargeFigures puts the plan into the answer.
func (w *writer) dischargeFigures(out *Discharge) {
	p := w.planDischarge()
	if p.hours == nil {
		return
	}
	hours := band(*p.hours)
	out.TimeH = &hours
	for _, way := range p.ways {
		out.QuickWays = append(out.QuickWays, QuickWay{Way: way.Load.Activity, Hours: band(way.Hours), Source: "common practice"})
	}
	if r := p.resistor; r != nil {
		out.Resistor = &Resistor{
			Ohms: r.ResistorOhm, Series: "E12", RatingW: r.Body.RatedW, CurrentA: band(r.CurrentA), TimeH: hours,
			SurfaceC: band(r.SurfaceC), StopLoadedV: three(r.StopLoadedV), StopRestedV: three(r.StopRestV),
			RecheckAfter: fmt.Sprintf("%d minutes", discharge.RecheckMinutes),
			Source:       "IEC 60063:2015; charge balance over the cell's voltage curve; ratings common practice",
		}
		out.Notes = append(out.Notes, resistorNotes(r)...)
	}
}

// resistorNotes say what the numbers of a rig mean for this cell.
func resistorNotes(r *discharge.ResistorPlan) []Line {
	var out []Line
	add := func(text string) { out = append(out, Line{Text: text, Source: "common practice"}) }
	if r.InVolts {
		add(fmt.Sprintf("This cell's voltage hardly falls while it empties: go by the %s V at rest, not by a percentage.", number(r.StopRestV)))
	}
	if r.AtLowerLimit {
		add("The target lies under this cell's lower limit: stop at the voltage above and go no lower.")
	}
	return out
}

// dischargeHours is the time for a sentence.
func (o *outcome) dischargeHours() string {
	p := o.planDischarge()
	if p.hours == nil {
		return "a few"
	}
	low, high := hoursText(p.hours.Low), hoursText(p.hours.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

// hoursText keeps a tenth of an hour below ten hours.
func hoursText(h float64) string {
	if h >= 10 {
		return whole(h)
	}
	return number(float64(int64(h*10+0.5)) / 10)
}
