package discharge_test

import (
	"testing"

	"pgregory.net/rapid"

	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

func drawEstimate(t *rapid.T, name string, least, most float64) hazards.Estimate {
	low := rapid.Float64Range(least, most).Draw(t, name+" low")
	middle := rapid.Float64Range(low, most).Draw(t, name+" middle")
	return hazards.Estimate{Low: low, Middle: middle, High: rapid.Float64Range(middle, most).Draw(t, name+" high")}
}

func widen(t *rapid.T, name string, e hazards.Estimate, least, most float64) hazards.Estimate {
	return hazards.Estimate{Low: rapid.Float64Range(least, e.Low).Draw(t, name+" lower"), Middle: e.Middle,
		High: rapid.Float64Range(e.High, most).Draw(t, name+" higher")}
}

func drawCurve(t *rapid.T) discharge.Curve {
	pct, volts := []float64{0}, []float64{rapid.Float64Range(2, 3.4).Draw(t, "empty V")}
	for _, p := range []float64{5, 10, 30, 50, 70, 90, 100} {
		pct = append(pct, p)
		volts = append(volts, volts[len(volts)-1]+rapid.Float64Range(0, 0.15).Draw(t, "step V"))
	}
	return linear(pct, volts)
}

func drawTask(t *rapid.T) discharge.ResistorTask {
	return discharge.ResistorTask{
		Curves: []discharge.Curve{drawCurve(t)}, SeriesCells: 1, CapacityAh: drawEstimate(t, "capacity", 1.5, 6),
		NowPct: drawEstimate(t, "charge", 0, 100), TargetPct: rapid.Float64Range(0, 60).Draw(t, "target"),
		InternalOhm: drawEstimate(t, "resistance", 0.02, 0.4), ChargeLimitV: 4.45, CutOffV: 1.9,
		ResistorOhm: rapid.Float64Range(16, 100).Draw(t, "resistor"), AmbientC: rapid.Float64Range(0, 40).Draw(t, "air"),
	}
}

const slack = 1e-9 // rounding

func TestLessChargeNeverLengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := drawTask(t)
		less := task
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		less.NowPct = hazards.Estimate{Low: task.NowPct.Low * share, Middle: task.NowPct.Middle * share, High: task.NowPct.High * share}
		more, errMore := discharge.ThroughResistor(task)
		fewer, errLess := discharge.ThroughResistor(less)
		if errMore != nil || errLess != nil {
			t.Fatal(errMore, errLess)
		}
		if fewer.Hours.Low > more.Hours.Low+slack || fewer.Hours.Middle > more.Hours.Middle+slack || fewer.Hours.High > more.Hours.High+slack {
			t.Fatalf("less charge: %v h, more: %v h", fewer.Hours, more.Hours)
		}
	})
}

func TestWideningOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := drawTask(t)
		wide := task
		wide.CapacityAh = widen(t, "capacity", task.CapacityAh, 1.5, 6)
		wide.NowPct = widen(t, "charge", task.NowPct, 0, 100)
		wide.InternalOhm = widen(t, "resistance", task.InternalOhm, 0.02, 0.4)
		narrow, errNarrow := discharge.ThroughResistor(task)
		wider, errWide := discharge.ThroughResistor(wide)
		if errNarrow != nil || errWide != nil {
			t.Fatal(errNarrow, errWide)
		}
		if narrow.Due && (wider.Hours.Low > narrow.Hours.Low+slack || wider.Hours.High < narrow.Hours.High-slack) {
			t.Fatalf("hours %v widened to %v", narrow.Hours, wider.Hours)
		}
		if wider.CurrentA.Low > narrow.CurrentA.Low+slack || wider.CurrentA.High < narrow.CurrentA.High-slack {
			t.Fatalf("current %v widened to %v", narrow.CurrentA, wider.CurrentA)
		}
	})
}

// Whatever the plan, the cell is never drawn under its lower limit, the rested voltage at the loaded
// stop is at or under the wanted one, and the current stays under a fifth of the capacity.
func TestPlanKeepsItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := drawTask(t)
		task.ResistorOhm = 0
		task.RatePerHour = rapid.Float64Range(0.02, discharge.FastestRate).Draw(t, "rate")
		task.CutOffV = rapid.Float64Range(1.5, 2.3).Draw(t, "cut-off")
		p, err := discharge.ThroughResistor(task)
		if err != nil {
			t.Skip(err)
		}
		if p.StopLoadedV < task.CutOffV-slack {
			t.Fatalf("loaded stop %g V under the cut-off %g V", p.StopLoadedV, task.CutOffV)
		}
		for _, r := range []float64{task.InternalOhm.Low, task.InternalOhm.High} {
			if rested := p.StopLoadedV * (1 + r/p.ResistorOhm); rested > p.StopRestV+slack {
				t.Fatalf("rested %g V over %g V", rested, p.StopRestV)
			}
		}
		if !p.AtLowerLimit && p.StopRestV > task.Curves[0].Volts(task.TargetPct)+slack {
			t.Fatalf("stops at %g V, over the target's %g V", p.StopRestV, task.Curves[0].Volts(task.TargetPct))
		}
		if p.CurrentA.High > task.RatePerHour*task.CapacityAh.Low+slack {
			t.Fatalf("current %g A at rate %g of %g Ah", p.CurrentA.High, task.RatePerHour, task.CapacityAh.Low)
		}
		if p.PowerW.High > p.Body.RatedW/2+slack {
			t.Fatalf("%g W in a body of %g W", p.PowerW.High, p.Body.RatedW)
		}
	})
}

func TestDeviceHoursFollowCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := discharge.DeviceTask{Device: "phone", EnergyWh: drawEstimate(t, "energy", 1, 100),
			NowPct: drawEstimate(t, "charge", 0, 100), TargetPct: rapid.Float64Range(0, 100).Draw(t, "target")}
		wide := task
		wide.EnergyWh = widen(t, "energy", task.EnergyWh, 1, 100)
		wide.NowPct = widen(t, "charge", task.NowPct, 0, 100)
		narrow, errNarrow := discharge.InDevice(task)
		wider, errWide := discharge.InDevice(wide)
		if errNarrow != nil || errWide != nil {
			t.Fatal(errNarrow, errWide)
		}
		for i := range narrow {
			if !wider[i].Hours.Covers(narrow[i].Hours) {
				t.Fatalf("%v does not cover %v", wider[i].Hours, narrow[i].Hours)
			}
			if task.NowPct.High <= task.TargetPct && narrow[i].Hours.High != 0 {
				t.Fatalf("%v h although the target is met", narrow[i].Hours)
			}
		}
	})
}

func FuzzPreferred(f *testing.F) {
	f.Add("E12", 14.0)
	f.Add("E24", 8.25e5)
	f.Fuzz(func(t *testing.T, series string, ohm float64) {
		got, err := discharge.Preferred(series, ohm)
		if err == nil && got < ohm*(1-1e-8) {
			t.Errorf("%g for %g ohm", got, ohm)
		}
	})
}
