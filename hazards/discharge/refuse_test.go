package discharge_test

import (
	"errors"
	"math"
	"testing"

	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

// soundPhone is a 3 Ah cell at 80 %, to be brought to 25 %.
func soundPhone(t *testing.T) discharge.ResistorTask {
	return discharge.ResistorTask{
		Curves: []discharge.Curve{listCurve(t)}, SeriesCells: 1, CapacityAh: exact(3), NowPct: exact(80), TargetPct: 25,
		InternalOhm: exact(0.1), ChargeLimitV: 4.2, CutOffV: 3.0, AmbientC: 20,
	}
}

func TestThroughResistorRefuses(t *testing.T) {
	anyError := errors.New("any")
	for name, c := range map[string]struct {
		change func(*discharge.ResistorTask)
		want   error
	}{
		"two cells in series":     {func(r *discharge.ResistorTask) { r.SeriesCells = 2 }, discharge.ErrSeries},
		"cells not counted":       {func(r *discharge.ResistorTask) { r.SeriesCells = 0 }, discharge.ErrSeries},
		"no curve":                {func(r *discharge.ResistorTask) { r.Curves = []discharge.Curve{{}} }, discharge.ErrCurve},
		"curves not given":        {func(r *discharge.ResistorTask) { r.Curves = nil }, discharge.ErrCurve},
		"falling curve":           {func(r *discharge.ResistorTask) { r.Curves[0] = linear([]float64{0, 100}, []float64{4, 3}) }, discharge.ErrCurve},
		"curve with a gap":        {func(r *discharge.ResistorTask) { r.Curves[0].Breakpoints = []float64{10, 100} }, discharge.ErrCurve},
		"breakpoints not sorted":  {func(r *discharge.ResistorTask) { r.Curves[0].Breakpoints = []float64{0, 60, 40, 100} }, discharge.ErrCurve},
		"no capacity":             {func(r *discharge.ResistorTask) { r.CapacityAh = exact(0) }, anyError},
		"capacity NaN":            {func(r *discharge.ResistorTask) { r.CapacityAh = exact(math.NaN()) }, anyError},
		"capacity infinite":       {func(r *discharge.ResistorTask) { r.CapacityAh = exact(math.Inf(1)) }, anyError},
		"charge over 100":         {func(r *discharge.ResistorTask) { r.NowPct = exact(101) }, anyError},
		"charge upside down":      {func(r *discharge.ResistorTask) { r.NowPct = hazards.Estimate{Low: 80, Middle: 70, High: 60} }, anyError},
		"target NaN":              {func(r *discharge.ResistorTask) { r.TargetPct = math.NaN() }, anyError},
		"no internal resistance":  {func(r *discharge.ResistorTask) { r.InternalOhm = exact(0) }, anyError},
		"cut-off above the limit": {func(r *discharge.ResistorTask) { r.CutOffV = 4.3 }, anyError},
		"limit infinite":          {func(r *discharge.ResistorTask) { r.ChargeLimitV = math.Inf(1) }, anyError},
		"faster than a fifth":     {func(r *discharge.ResistorTask) { r.RatePerHour = 0.25 }, anyError},
		"resistor at hand small":  {func(r *discharge.ResistorTask) { r.ResistorOhm = 4.7 }, discharge.ErrTooFast},
		"resistor at hand NaN":    {func(r *discharge.ResistorTask) { r.ResistorOhm = math.NaN() }, anyError},
		"air NaN":                 {func(r *discharge.ResistorTask) { r.AmbientC = math.NaN() }, anyError},
		"pack too large":          {func(r *discharge.ResistorTask) { r.CapacityAh, r.InternalOhm = exact(200), exact(0.001) }, discharge.ErrPower},
		"drop past the cut-off":   {func(r *discharge.ResistorTask) { r.InternalOhm = exact(10) }, anyError},
	} {
		t.Run(name, func(t *testing.T) {
			task := soundPhone(t)
			c.change(&task)
			_, err := discharge.ThroughResistor(task)
			if err == nil || c.want != anyError && !errors.Is(err, c.want) {
				t.Errorf("error %v, want %v", err, c.want)
			}
		})
	}
}

func TestInDeviceRefuses(t *testing.T) {
	good := discharge.DeviceTask{Device: "phone", EnergyWh: exact(15), NowPct: exact(72), TargetPct: 25}
	if _, err := discharge.InDevice(good); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*discharge.DeviceTask){
		"unknown kind":    func(d *discharge.DeviceTask) { d.Device = "toaster" },
		"energy NaN":      func(d *discharge.DeviceTask) { d.EnergyWh = exact(math.NaN()) },
		"energy 0":        func(d *discharge.DeviceTask) { d.EnergyWh = exact(0) },
		"charge negative": func(d *discharge.DeviceTask) { d.NowPct = exact(-1) },
		"target infinite": func(d *discharge.DeviceTask) { d.TargetPct = math.Inf(1) },
		"target over 100": func(d *discharge.DeviceTask) { d.TargetPct = 101 },
	} {
		t.Run(name, func(t *testing.T) {
			task := good
			change(&task)
			if _, err := discharge.InDevice(task); err == nil {
				t.Error("accepted")
			}
		})
	}
}

func TestSmallFunctionsRefuse(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0} {
		if _, err := discharge.Preferred("E12", x); err == nil {
			t.Errorf("Preferred took %g", x)
		}
		if _, err := discharge.BrineLimit(x); err == nil {
			t.Errorf("BrineLimit took %g", x)
		}
		if _, err := discharge.SurfaceRise(x, 10); err == nil {
			t.Errorf("SurfaceRise took %g", x)
		}
		if _, err := discharge.PickBody(x, 20); err == nil {
			t.Errorf("PickBody took %g", x)
		}
		if _, err := discharge.LeastOhm(x, 3, 0.1); err == nil {
			t.Errorf("LeastOhm took %g", x)
		}
	}
	if _, err := discharge.Preferred("E13", 10); err == nil {
		t.Error("Preferred took an unknown series")
	}
	if _, err := constant(3.7).SocAt(math.NaN()); err == nil {
		t.Error("SocAt took NaN")
	}
}
