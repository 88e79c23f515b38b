package advice

import (
	"math"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/discharge"
	"loosecell/hazards/heat"
	"loosecell/hazards/room"
	"loosecell/hazards/runaway"
	"loosecell/rules"
	"loosecell/rules/facts"
)

// Pictures is what the drawings of a sheet show beyond the advice itself: how
// things lie in the device, and the courses behind the summary numbers. It is no
// part of the JSON form. A course that the advice has no numbers for is nil.
type Pictures struct {
	Scene     Scene
	Heat      *HeatPicture
	Discharge *DischargePicture
	Gas       *GasPicture
}

// Scene is how the cell lies in its device, in the catalogue's words; "" is not
// known, and so is a count of -1.
type Scene struct {
	Kind, Place                 string // device.kind, battery.place
	Adhesive, PullTab, SideTabs string
	Tabs, TabsTorn              int
	UnderCell, Taped            string // device.under_cell, openings_taped
	Soldered, Swelling          string // battery.soldered, swelling
	Pick, Likely                string // of the advice's removal
}

// HeatPicture is the course of the warming that the sheet's window sums up, run
// on past its time to show what forgetting it would do. Degrees Celsius, minutes.
type HeatPicture struct {
	SetPointC, CellLimitC, SoftC, LimitMin float64
	Points                                 []HeatPoint
}

// HeatPoint is the adhesive's far side and the cell (its colder face at the low
// end, its hotter at the high) after so many minutes.
type HeatPoint struct {
	Minutes         float64
	AdhesiveC, Cell Band
}

// DischargePicture is the charge and the resting voltage of one cell while it is
// run down, each way by its likely time, between the quickest and the slowest.
type DischargePicture struct {
	TargetPct   float64
	Ways        []DischargeWay
	Points      []DischargePoint
	StopRestedV float64 // with a resistor; 0 otherwise
}

// DischargeWay is one load and the hours it is likely to take.
type DischargeWay struct {
	Name  string
	Hours float64
}

// DischargePoint is the state after so many hours. Volts are those of one cell
// at rest, nil where the chemistry has no voltage table.
type DischargePoint struct {
	Hours     float64
	ChargePct Band
	Volts     *Band
}

// GasPicture is hydrogen fluoride in the room after a failure, well mixed, in ppm
// against minutes, with the limits it is held against.
type GasPicture struct {
	Points                []GasPoint
	DangerPPM, ReenterPPM float64
	BackMin               Band // before anyone goes back in
}

// GasPoint is the concentration after so many minutes.
type GasPoint struct {
	Minutes float64
	PPM     Band
}

// parts of a course that a picture shows.
const pictureSteps = 48

// PicturesOf gives what to draw for an advice on the case it was given for. The
// error is that of Advise.
func PicturesOf(b *rules.Book, c *facts.Case, opts Options, a *Advice) (*Pictures, error) {
	o, err := (&adviser{book: b, cat: c.Catalogue(), opts: opts}).outcome(c)
	if err != nil {
		return nil, err
	}
	return &Pictures{
		Scene:     o.scene(a),
		Heat:      o.heatPicture(a),
		Discharge: o.dischargePicture(),
		Gas:       o.gasPicture(a),
	}, nil
}

func (o *outcome) scene(a *Advice) Scene {
	word := func(fact string) string { return o.word(fact, "") }
	return Scene{
		Kind: word("device.kind"), Place: word("battery.place"),
		Adhesive: word("adhesive.kind"), PullTab: word("adhesive.pull_tab"), SideTabs: word("adhesive.side_tabs"),
		Tabs: o.count("adhesive.pull_tabs"), TabsTorn: o.count("adhesive.pull_tabs_torn"),
		UnderCell: word("device.under_cell"), Taped: word("device.openings_taped"),
		Soldered: word("battery.soldered"), Swelling: word("battery.swelling"),
		Pick: a.Removal.Pick, Likely: a.Removal.Likely,
	}
}

// count is a whole number that is known, else -1.
func (o *outcome) count(fact string) int {
	slot := o.full.Layout.MustSlot(fact)
	if r := o.full.At(slot); o.full.Known(slot) && !o.full.Absent(slot) {
		return int(r.Low)
	}
	return -1
}

// heatPicture follows the recipe of the sheet's window on every stack.
func (o *outcome) heatPicture(a *Advice) *HeatPicture {
	h := a.Heat
	if h.Window == nil || h.SurfaceLimitC == nil || h.CellLimitC == nil || h.TimeLimitMin == nil {
		return nil
	}
	set, ok := o.setPoint(*h.SurfaceLimitC)
	if !ok {
		return nil
	}
	w, ok := o.courses(o.stacks(), set, *h.TimeLimitMin, *h.CellLimitC)
	if !ok {
		return nil
	}
	out := &HeatPicture{SetPointC: set.High, CellLimitC: *h.CellLimitC, SoftC: heat.DefaultSoftC, LimitMin: *h.TimeLimitMin}
	end := min(1.6**h.TimeLimitMin, max(*h.TimeLimitMin, heat.Outlook))
	for i := range pictureSteps + 1 {
		at := end * float64(i) / pictureSteps
		var adhesive, cell hazards.Estimate
		for j, c := range w.courses {
			s, err := c.At(at)
			if err != nil {
				return nil
			}
			both := hazards.Estimate{Low: min(s.CellNearC.Low, s.CellFarC.Low), Middle: s.CellFarC.Middle, High: max(s.CellNearC.High, s.CellFarC.High)}
			if j == 0 {
				adhesive, cell = s.AdhesiveC, both
				continue
			}
			adhesive, cell = either(adhesive, s.AdhesiveC), either(cell, both)
		}
		out.Points = append(out.Points, HeatPoint{Minutes: at, AdhesiveC: band(adhesive), Cell: band(cell)})
	}
	return out
}

// dischargePicture draws out the plan: the charge falls as the way does it, from
// the charge now to the target.
func (o *outcome) dischargePicture() *DischargePicture {
	p := o.planDischarge()
	if p.hours == nil || p.hours.High <= 0 {
		return nil
	}
	out := &DischargePicture{TargetPct: o.target}
	for _, way := range p.ways {
		out.Ways = append(out.Ways, DischargeWay{Name: way.Load.Activity, Hours: way.Hours.Middle})
	}
	if r := p.resistor; r != nil {
		out.StopRestedV = r.StopRestV
		out.Ways = append(out.Ways, DischargeWay{Name: "resistor of " + number(r.ResistorOhm) + " ohm", Hours: p.hours.Middle})
	}
	now, tables := estimate(o.charge, 0, 100), o.voltageTables()
	for i := range pictureSteps + 1 {
		at := p.hours.High * float64(i) / pictureSteps
		charge := hazards.Estimate{
			Low:    fallen(now.Low, o.target, at, p.hours.Low),
			Middle: fallen(now.Middle, o.target, at, p.hours.Middle),
			High:   fallen(now.High, o.target, at, p.hours.High),
		}
		point := DischargePoint{Hours: at, ChargePct: band(charge)}
		if volts, ok := voltsAt(tables, charge); ok {
			point.Volts = &volts
		}
		out.Points = append(out.Points, point)
	}
	return out
}

// fallen is the charge after some of the hours it takes to the target, in
// percent: energy leaves evenly, and at the target it stops.
func fallen(now, target, at, hours float64) float64 {
	switch {
	case now <= target:
		return now
	case hours <= 0 || at >= hours:
		return target
	}
	return now - (now-target)*at/hours
}

// voltageTables are those of the chemistries the cell may be of; none where one
// of them has no table.
func (o *outcome) voltageTables() []battery.Table {
	series := o.at("battery.series_cells")
	names, without, err := battery.CandidateTables(battery.ChemistrySet(o.at("battery.chemistry").Words),
		o.given("battery.nominal_voltage"), o.given("battery.charge_limit"), battery.Interval{Low: series.Low, High: series.High})
	if err != nil || without {
		return nil
	}
	var out []battery.Table
	for _, n := range names {
		t, err := battery.TableNamed(n)
		if err != nil {
			return nil
		}
		out = append(out, t)
	}
	return out
}

// voltsAt is the resting voltage of one cell at a charge, over all tables; its
// middle is half-way.
func voltsAt(tables []battery.Table, charge hazards.Estimate) (Band, bool) {
	if len(tables) == 0 {
		return Band{}, false
	}
	low, high := math.Inf(1), math.Inf(-1)
	middleLow, middleHigh := math.Inf(1), math.Inf(-1)
	for _, t := range tables {
		volts := discharge.FromTable(t).Volts
		low, high = min(low, volts(charge.Low)), max(high, volts(charge.High))
		middleLow, middleHigh = min(middleLow, volts(charge.Middle)), max(middleHigh, volts(charge.Middle))
	}
	return band(hazards.Estimate{Low: low, Middle: (middleLow + middleHigh) / 2, High: high}), true
}

// longestPictureMin is where a course of gas in a room ends: beyond half a day
// the answer is "not today".
const longestPictureMin = 12 * 60

// gasPicture follows the fluoride in the room's air.
func (o *outcome) gasPicture(a *Advice) *GasPicture {
	c := a.Consequence
	if c == nil {
		return nil
	}
	mass := hazards.Estimate{Low: c.HFMg.Low / 1000, Middle: c.HFMg.Middle / 1000, High: c.HFMg.High / 1000}
	release, err := runaway.ReleaseOf(runaway.GasHydrogenFluoride, mass)
	if err != nil {
		return nil
	}
	danger, err := runaway.DangerLimit(runaway.GasHydrogenFluoride)
	if err != nil {
		return nil
	}
	reenter, err := runaway.ReentryLimit(runaway.GasHydrogenFluoride)
	if err != nil {
		return nil
	}
	until := min(longestPictureMin, max(30, 1.25*c.PurgeMin.Middle))
	course, err := o.failureRoom().Course(release, until, pictureSteps)
	if err != nil {
		return nil
	}
	out := &GasPicture{DangerPPM: danger.PPM, ReenterPPM: reenter.PPM, BackMin: c.PurgeMin}
	for _, p := range course {
		out.Points = append(out.Points, GasPoint{Minutes: p.Minutes, PPM: band(p.Value)})
	}
	return out
}

// failureRoom is the room as a failure in it is reckoned: even a shut one has a
// little air.
func (o *outcome) failureRoom() room.Box {
	box := o.box()
	box.AirChangesPerHour.Low = max(closedRoom, box.AirChangesPerHour.Low)
	box.AirChangesPerHour.Middle = max(closedRoom, box.AirChangesPerHour.Middle)
	box.AirChangesPerHour.High = max(closedRoom, box.AirChangesPerHour.High)
	return box
}
