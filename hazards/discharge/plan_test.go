package discharge_test

import (
	"math"
	"testing"

	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

// ironPhosphate has the flat middle of a measured 18650 cell (open pseudo-OCV data, IEEE Trans.
// Instrum. Meas. 2025), a few points of it.
func ironPhosphate() discharge.Curve {
	return linear([]float64{0, 5, 10, 20, 30, 50, 70, 90, 95, 100},
		[]float64{2.010, 3.072, 3.203, 3.241, 3.278, 3.299, 3.316, 3.341, 3.343, 3.598})
}

func mustPlan(t *testing.T, task discharge.ResistorTask) discharge.ResistorPlan {
	t.Helper()
	p, err := discharge.ThroughResistor(task)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPlanForAPhoneCell(t *testing.T) {
	p := mustPlan(t, soundPhone(t))
	if !p.Due || p.InVolts || p.AtLowerLimit {
		t.Errorf("due %v, in volts %v, at lower limit %v, want only due", p.Due, p.InVolts, p.AtLowerLimit)
	}
	// 15 ohm for C/10, 4.2 V: 1.18 W, more than half of a 1 W part; a body of 5 W or more (trade rule)
	if p.ResistorOhm != 15 || p.Body.RatedW < 5 {
		t.Errorf("%g ohm in a %g W body", p.ResistorOhm, p.Body.RatedW)
	}
	// 25 % on the list is 3.75 V; the loaded reading is lower by the drop over 0.1 ohm
	if math.Abs(p.StopRestV-3.75) > 1e-9 || math.Abs(p.StopLoadedV-3.75*15/15.1) > 1e-9 {
		t.Errorf("stop at %g V rested, %g V loaded", p.StopRestV, p.StopLoadedV)
	}
	if math.Abs(p.Hours.Low/p.Hours.Middle-0.90) > 1e-9 || math.Abs(p.Hours.High/p.Hours.Middle-1.15) > 1e-9 {
		t.Errorf("hours %v, want -10 %% and +15 %% round the middle", p.Hours)
	}
	if !p.StandOff {
		t.Error("a resistor that hot must stand off the bench")
	}
}

func TestFlatCurveStopsInVolts(t *testing.T) {
	task := soundPhone(t)
	task.Curves[0], task.ChargeLimitV, task.CutOffV = ironPhosphate(), 3.65, 2.0
	p := mustPlan(t, task)
	if !p.InVolts || p.StopPct != 10 || math.Abs(p.StopRestV-3.203) > 1e-9 {
		t.Errorf("in volts %v, stop %g %% at %g V, want 10 %% at 3.203 V", p.InVolts, p.StopPct, p.StopRestV)
	}
}

func TestNeverUnderTheLowerLimit(t *testing.T) {
	task := soundPhone(t)
	task.TargetPct, task.CutOffV = 0, 3.5
	task.InternalOhm = hazards.Estimate{Low: 0.06, Middle: 0.09, High: 0.16}
	p := mustPlan(t, task)
	if !p.AtLowerLimit || p.StopLoadedV < 3.5-1e-12 || p.StopPct <= 0 {
		t.Errorf("at lower limit %v, loaded stop %g V, %g %%", p.AtLowerLimit, p.StopLoadedV, p.StopPct)
	}
}

func TestTargetAlreadyMet(t *testing.T) {
	task := soundPhone(t)
	task.NowPct = hazards.Estimate{Low: 15, Middle: 20, High: 25}
	if p := mustPlan(t, task); p.Due || p.Hours != (hazards.Estimate{}) {
		t.Errorf("due %v, hours %v, want neither", p.Due, p.Hours)
	}
}

// A small earbud cell must get a small, cool part and a large phone pack still get one.
func TestBodiesCoverTheUsualCells(t *testing.T) {
	for name, ah := range map[string]float64{"earbud": 0.05, "watch": 0.3, "phone": 5, "tablet": 10} {
		task := soundPhone(t)
		task.CapacityAh = exact(ah)
		p := mustPlan(t, task)
		if p.PowerW.High > p.Body.RatedW/2 || p.SurfaceC.High > p.Body.MaxC {
			t.Errorf("%s: %g W in a body of %g W at %g degC", name, p.PowerW.High, p.Body.RatedW, p.SurfaceC.High)
		}
	}
}

// The exact sum over straight pieces agrees with a fine midpoint sum.
func TestIntegralAgainstMidpointSum(t *testing.T) {
	curve := listCurve(t)
	const strips = 20000
	total := 0.0
	for i := range strips {
		total += 1 / curve.Volts((float64(i)+0.5)*100/strips) * 100 / strips
	}
	got, err := discharge.HoursThrough(curve, 3, 10.1, 100, 0)
	if err != nil {
		t.Fatal(err)
	}
	if want := 3 * 10.1 * total / 100; math.Abs(got-want) > 1e-6 {
		t.Errorf("%g h, midpoint sum %g h", got, want)
	}
}

func TestSocAtInvertsTheCurve(t *testing.T) {
	curve := listCurve(t)
	for pct := 0.0; pct <= 100; pct += 2.5 {
		got, err := curve.SocAt(curve.Volts(pct))
		if err != nil || math.Abs(got-pct) > 1e-6 {
			t.Errorf("%g %% came back as %g %% (%v)", pct, got, err)
		}
	}
	for v, want := range map[float64]float64{1: 0, 5: 100} {
		if got, err := curve.SocAt(v); err != nil || got != want {
			t.Errorf("%g V is %g %% (%v), want %g", v, got, err, want)
		}
	}
}

// The quick ways come first, but never one that warms the battery much.
func TestOrderOfWays(t *testing.T) {
	for _, device := range []string{"phone", "tablet", "laptop", "watch", "earbud", "earbud-case", "handheld", "power-bank", "other"} {
		ways, err := discharge.InDevice(discharge.DeviceTask{Device: device, EnergyWh: exact(15), NowPct: exact(72), TargetPct: 25})
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(ways); i++ {
			before, after := ways[i-1], ways[i]
			warmBefore, warmAfter := before.Load.Warmth == discharge.WarmthMuch, after.Load.Warmth == discharge.WarmthMuch
			if warmBefore && !warmAfter || warmBefore == warmAfter && before.Hours.Middle > after.Hours.Middle {
				t.Errorf("%s: %q before %q", device, before.Load.Activity, after.Load.Activity)
			}
		}
	}
}
