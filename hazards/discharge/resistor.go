package discharge

import (
	"errors"
	"fmt"
	"math"

	"loosecell/hazards"
)

// Rates of a resistor discharge, as a share of the capacity in one hour. Common practice: a tenth is
// gentle and leaves little rebound, a fifth is the most.
const (
	GentleRate  = 0.1
	FastestRate = 0.2
)

// RecheckMinutes is the rest after which the voltage is read again: it rebounds within minutes to
// hours once the load is off. 30 minutes is the least, coarse, wait (common practice).
const RecheckMinutes = 30

// flatStopPct is where a cell with a flat curve stops: the first charge its voltage can show.
const flatStopPct = 10

// woodContactC is the surface temperature above which lasting contact can bring wood to ignition
// by self-heating (Fire and Materials 31 (2007) 125, abstract read).
const woodContactC = 77

// The spread put on the integral: capacity tolerance and an aged, smaller cell shorten it;
// resistance in leads and board lengthen it (judgement, common practice).
const (
	shortestShare = 0.90
	longestShare  = 1.15
)

// ErrSeries marks a pack of several cells in series: one resistor would drive the weakest cell
// under its limit unseen.
var ErrSeries = errors.New("discharge: a resistor is for a single cell only")

// ErrTooFast marks a resistor that would draw more than a fifth of the capacity an hour.
var ErrTooFast = errors.New("discharge: resistor too small")

// ResistorTask is one cell to be discharged through a resistor. Whether the cell may be discharged
// at all (sound, dry, cool, protected, removed or reachable) is not judged here.
type ResistorTask struct {
	Curves       []Curve          // the curves the cell may have, the likeliest first; at least one
	SeriesCells  int              // must be 1
	CapacityAh   hazards.Estimate // above 0
	NowPct       hazards.Estimate // charge now, 0 to 100
	TargetPct    float64          // charge wanted, 0 to 100
	InternalOhm  hazards.Estimate // above 0, cell with its board
	ChargeLimitV float64          // highest voltage of the possible chemistries, V
	CutOffV      float64          // lowest voltage allowed under load, V: the highest cut-off of the possible chemistries
	RatePerHour  float64          // share of the capacity an hour; 0 means GentleRate, at most FastestRate
	ResistorOhm  float64          // the resistor at hand, ohm; 0 lets the plan choose
	AmbientC     float64          // air, degC
}

// ResistorPlan is how that is done.
type ResistorPlan struct {
	Due          bool // false: the charge is certainly at or under the target, Hours is zero
	ResistorOhm  float64
	Body         Body
	PowerW       hazards.Estimate // at the stop, now (middle), at the charge limit
	CurrentA     hazards.Estimate // the same
	CellHeatW    float64          // most heat inside the cell: a cell that grows warm has a fault
	SurfaceC     hazards.Estimate // of the resistor, at the highest power
	StandOff     bool             // the resistor can char what it lies on: ceramic or metal under it
	Hours        hazards.Estimate // to StopLoadedV
	StopPct      float64          // highest charge that StopRestV can stand for
	StopRestV    float64          // at rest, after RecheckMinutes, no higher than this
	StopLoadedV  float64          // with the resistor on: take it off here
	InVolts      bool             // flat curve: the target is a voltage, a percentage would be false comfort
	AtLowerLimit bool             // the target lies under the cell's lower limit: the plan stops at the limit
}

// ThroughResistor plans a discharge through one resistor of the E12 series (IEC 60063:2015):
// resistance at least V/(rate·Q), a body used to half its rating at most, the time by HoursThrough
// with -10 % and +15 %, and the voltage to stop at. The loaded stop is reckoned with the highest
// internal resistance, so that the rested voltage ends at or under the target, and never under the
// cell's lower limit. Hours.High lets the discharge run to that reading with the lowest one. Of
// several possible curves the one with the lowest voltage at the target sets the stop.
// Errors: ErrSeries, ErrTooFast, ErrPower, ErrCurve, a value outside its domain.
func ThroughResistor(task ResistorTask) (ResistorPlan, error) {
	if err := task.check(); err != nil {
		return ResistorPlan{}, err
	}
	var plan ResistorPlan
	var err error
	if plan.ResistorOhm, err = task.chooseResistor(); err != nil {
		return ResistorPlan{}, err
	}
	if err = task.stop(&plan); err != nil {
		return ResistorPlan{}, err
	}
	if err = task.load(&plan); err != nil {
		return ResistorPlan{}, err
	}
	plan.Due = task.NowPct.High > task.TargetPct
	if plan.Due {
		plan.Hours, err = task.hours(plan)
	}
	return plan, err
}

func (t ResistorTask) check() error {
	if t.SeriesCells != 1 {
		return fmt.Errorf("%w, this pack has %d in series; use the device", ErrSeries, t.SeriesCells)
	}
	if len(t.Curves) == 0 {
		return fmt.Errorf("%w: none given", ErrCurve)
	}
	for _, c := range t.Curves {
		if _, err := c.segments(); err != nil {
			return err
		}
	}
	if err := energyAbove0("capacity in Ah", t.CapacityAh); err != nil {
		return err
	}
	if err := energyAbove0("internal resistance in ohm", t.InternalOhm); err != nil {
		return err
	}
	if err := checkCharge(t.NowPct, t.TargetPct); err != nil {
		return err
	}
	if !positive(t.CutOffV) || !finite(t.ChargeLimitV) || t.ChargeLimitV <= t.CutOffV {
		return fmt.Errorf("discharge: cut-off %g V and charge limit %g V, want 0 < cut-off < limit", t.CutOffV, t.ChargeLimitV)
	}
	if !finite(t.RatePerHour) || t.RatePerHour < 0 || t.RatePerHour > FastestRate {
		return fmt.Errorf("discharge: rate %g of the capacity an hour, want up to %g (0 means %g)", t.RatePerHour, FastestRate, GentleRate)
	}
	return checkAmbient(t.AmbientC)
}

// highestV is the most the resistor can see: a curve may pass the nominal charge limit.
func (t ResistorTask) highestV() float64 {
	highest := t.ChargeLimitV
	for _, c := range t.Curves {
		highest = max(highest, c.Volts(100))
	}
	return highest
}

// chooseResistor takes the smallest capacity and the highest voltage: the stricter resistance.
func (t ResistorTask) chooseResistor() (float64, error) {
	if t.ResistorOhm == 0 {
		rate := t.RatePerHour
		if rate == 0 {
			rate = GentleRate
		}
		least, err := LeastOhm(t.highestV(), t.CapacityAh.Low, rate)
		if err != nil {
			return 0, err
		}
		return Preferred("E12", least)
	}
	if !positive(t.ResistorOhm) {
		return 0, fmt.Errorf("discharge: resistor %g ohm, want above 0", t.ResistorOhm)
	}
	least, err := LeastOhm(t.highestV(), t.CapacityAh.Low, FastestRate)
	if err != nil {
		return 0, err
	}
	if t.ResistorOhm < least*(1-1e-9) {
		return 0, fmt.Errorf("%w: %g ohm, want at least %.3g ohm", ErrTooFast, t.ResistorOhm, least)
	}
	return t.ResistorOhm, nil
}

// LeastOhm gives the smallest resistance in ohm that draws no more than ratePerHour (above 0, to
// FastestRate) of a capacity in Ah at volts: V/(rate·Q). Ohm's law. Errors: a value outside its
// domain.
func LeastOhm(volts, capacityAh, ratePerHour float64) (float64, error) {
	if !positive(volts) || !positive(capacityAh) || !positive(ratePerHour) || ratePerHour > FastestRate {
		return 0, fmt.Errorf("discharge: %g V, %g Ah at rate %g, want all above 0 and the rate at most %g", volts, capacityAh, ratePerHour, FastestRate)
	}
	return volts / (ratePerHour * capacityAh), nil
}

// stop fills the stop voltages.
func (t ResistorTask) stop(plan *ResistorPlan) error {
	dropHigh := 1 + t.InternalOhm.High/plan.ResistorOhm // rested over loaded voltage
	wantedV, lowestV := math.Inf(1), t.CutOffV*dropHigh
	for _, c := range t.Curves {
		flat, err := c.Flat()
		if err != nil {
			return err
		}
		pct := t.TargetPct
		if flat {
			plan.InVolts = true
			pct = min(pct, flatStopPct)
		}
		wantedV = min(wantedV, c.Volts(pct))
		if lowestV > c.Volts(100) {
			return fmt.Errorf("discharge: cut-off %g V cannot be kept: under load through %g ohm even a full cell reads less", t.CutOffV, plan.ResistorOhm)
		}
	}
	plan.AtLowerLimit = wantedV < lowestV
	plan.StopRestV = max(wantedV, lowestV)
	plan.StopLoadedV = plan.StopRestV / dropHigh
	for _, c := range t.Curves {
		pct, err := c.SocAt(plan.StopRestV)
		if err != nil {
			return err
		}
		plan.StopPct = max(plan.StopPct, pct)
	}
	if !plan.AtLowerLimit {
		plan.StopPct = min(plan.StopPct, t.TargetPct)
	}
	return nil
}

// load fills current, power and temperatures. Power counts the full cell voltage on the resistor.
func (t ResistorTask) load(plan *ResistorPlan) error {
	r := plan.ResistorOhm
	stopV, limitV := plan.StopLoadedV, t.highestV()
	nowV := min(max(t.Curves[0].Volts(t.NowPct.Middle), stopV), limitV)
	var err error
	if plan.CurrentA, err = hazards.New(stopV/(r+t.InternalOhm.High), nowV/(r+t.InternalOhm.Middle), limitV/r); err != nil {
		return fmt.Errorf("discharge: current: %w", err)
	}
	if plan.PowerW, err = hazards.New(plan.CurrentA.Low*plan.CurrentA.Low*r,
		plan.CurrentA.Middle*plan.CurrentA.Middle*r, limitV*limitV/r); err != nil {
		return fmt.Errorf("discharge: power: %w", err)
	}
	plan.CellHeatW = plan.CurrentA.High * plan.CurrentA.High * t.InternalOhm.High
	if plan.Body, err = PickBody(plan.PowerW.High, t.AmbientC); err != nil {
		return err
	}
	rise, err := SurfaceRise(plan.PowerW.High, plan.Body.AreaCm2)
	if err != nil {
		return err
	}
	plan.SurfaceC = hazards.Estimate{Low: t.AmbientC + rise.Low, Middle: t.AmbientC + rise.Middle, High: t.AmbientC + rise.High}
	plan.StandOff = plan.SurfaceC.High >= woodContactC
	return nil
}

// hours integrates down to the loaded reading for the low, middle and high case. The middle is that
// of the first curve, the ends those of the worst.
func (t ResistorTask) hours(plan ResistorPlan) (hazards.Estimate, error) {
	one := func(c Curve, capacityAh, fromPct, endRestV, driveOhm float64) (float64, error) {
		reached, err := c.SocAt(endRestV)
		if err != nil {
			return 0, err
		}
		return HoursThrough(c, capacityAh, plan.ResistorOhm+driveOhm, fromPct, min(plan.StopPct, reached))
	}
	q, now, r := t.CapacityAh, t.NowPct, t.InternalOhm
	// The reading at which the resistor comes off stands for the stop voltage with
	// the highest internal resistance, and for less with a lower one.
	rested := func(ohm float64) float64 { return plan.StopLoadedV * (1 + ohm/plan.ResistorOhm) }
	shortest, longest := math.Inf(1), 0.0
	for _, c := range t.Curves {
		low, errLow := one(c, q.Low, now.Low, plan.StopRestV, r.Low)
		high, errHigh := one(c, q.High, now.High, rested(r.Low), r.High)
		if err := errors.Join(errLow, errHigh); err != nil {
			return hazards.Estimate{}, err
		}
		shortest, longest = min(shortest, low), max(longest, high)
	}
	middle, err := one(t.Curves[0], q.Middle, now.Middle, rested(r.Middle), r.Middle)
	if err != nil {
		return hazards.Estimate{}, err
	}
	return hazards.New(shortest*shortestShare, middle, longest*longestShare)
}
