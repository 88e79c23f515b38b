package runaway_test

import (
	"testing"

	"pgregory.net/rapid"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/room"
	"loosecell/hazards/runaway"
)

func drawEstimate(t *rapid.T, name string, least, most float64) hazards.Estimate {
	low := rapid.Float64Range(least, most).Draw(t, name+" low")
	middle := rapid.Float64Range(low, most).Draw(t, name+" middle")
	return hazards.Estimate{Low: low, Middle: middle, High: rapid.Float64Range(middle, most).Draw(t, name+" high")}
}

func drawFailure(t *rapid.T) runaway.Failure {
	return runaway.Failure{
		RatedWh: drawEstimate(t, "energy", 0.1, 200), ChargePct: drawEstimate(t, "charge", 0, 150),
		Chemistries: battery.ChemistrySet(rapid.Uint16Range(1, uint16(battery.AllChemistries)).Draw(t, "chemistries")),
		Room: &room.Box{VolumeM3: drawEstimate(t, "room", 5, 500),
			AirChangesPerHour: drawEstimate(t, "air changes", 0.1, 12)},
	}
}

// figures lists the numbers of a consequence that grow with the battery.
func figures(c runaway.Consequence) map[string]hazards.Estimate {
	out := map[string]hazards.Estimate{
		"stored": c.Heat.StoredKJ, "no flame": c.Heat.NoFlameKJ, "flame": c.Heat.WithFlameKJ, "peak": c.Heat.PeakW,
		"vent": c.Gas.VentL, "cloud": c.Gas.CloudL, "carbon monoxide": c.Gas.CarbonMonoxideL,
		"hydrogen fluoride": c.Gas.HydrogenFluorideG, "phosphoryl fluoride": c.Gas.PhosphorylFluorideG,
		"people": c.PeopleM, "cautious people": c.CautiousPeopleM, "litter": c.LitterM, "long": c.LongM, "room": c.RoomAtIDLH,
		"hydrogen fluoride peak": c.Air.HydrogenFluoride.PeakPPM, "carbon monoxide peak": c.Air.CarbonMonoxide.PeakPPM,
		"limit share": c.Air.LFLShare, "re-entry": c.Air.ReentryMinutes,
	}
	for _, b := range c.Beds {
		out[b.Medium.Name] = b.Kg
	}
	for _, x := range c.Air.HydrogenFluoride.Compared {
		out["below "+x.Limit.Name] = x.BelowMinutes
	}
	return out
}

func reckon(t *rapid.T, f runaway.Failure) map[string]hazards.Estimate {
	c, err := runaway.Reckon(f)
	if err != nil {
		t.Fatal(err)
	}
	return figures(c)
}

const slack = 1e-9 // rounding, relative

func under(a, b float64) bool { return a <= b*(1+slack)+slack }

func TestMoreEnergyOrChargeNeverLowersAFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFailure(t)
		more := f
		energy := rapid.Float64Range(1, 5).Draw(t, "energy factor")
		more.RatedWh = hazards.Estimate{Low: f.RatedWh.Low * energy, Middle: f.RatedWh.Middle * energy, High: f.RatedWh.High * energy}
		up := rapid.Float64Range(0, 1).Draw(t, "charge up")
		raise := func(x float64) float64 { return x + up*(150-x) }
		more.ChargePct = hazards.Estimate{Low: raise(f.ChargePct.Low), Middle: raise(f.ChargePct.Middle), High: raise(f.ChargePct.High)}
		before, after := reckon(t, f), reckon(t, more)
		for name, b := range before {
			a := after[name]
			if !under(b.Low, a.Low) || !under(b.Middle, a.Middle) || !under(b.High, a.High) {
				t.Fatalf("%s fell from %v to %v", name, b, a)
			}
		}
	})
}

func TestWideningOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFailure(t)
		wide := f
		widen := func(name string, e hazards.Estimate, least, most float64) hazards.Estimate {
			return hazards.Estimate{Low: rapid.Float64Range(least, e.Low).Draw(t, name+" lower"), Middle: e.Middle,
				High: rapid.Float64Range(e.High, most).Draw(t, name+" higher")}
		}
		wide.RatedWh = widen("energy", f.RatedWh, 0.1, 200)
		wide.ChargePct = widen("charge", f.ChargePct, 0, 150)
		wide.Chemistries |= battery.ChemistrySet(rapid.Uint16Range(0, uint16(battery.AllChemistries)).Draw(t, "more chemistries"))
		wide.Room = &room.Box{VolumeM3: widen("room", f.Room.VolumeM3, 5, 500),
			AirChangesPerHour: widen("air changes", f.Room.AirChangesPerHour, 0.1, 12)}
		narrow, wider := reckon(t, f), reckon(t, wide)
		for name, n := range narrow {
			if w := wider[name]; !under(w.Low, n.Low) || !under(n.High, w.High) {
				t.Fatalf("%s: %v widened to %v", name, n, w)
			}
		}
	})
}

func TestFartherIsCooler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		watts := rapid.Float64Range(1, 1e5).Draw(t, "power")
		low := rapid.Float64Range(1, 20).Draw(t, "flux")
		high := rapid.Float64Range(low, 40).Draw(t, "more flux")
		far, errFar := runaway.RadiantDistance(watts, 0.3, low)
		near, errNear := runaway.RadiantDistance(watts, 0.3, high)
		if errFar != nil || errNear != nil || near > far {
			t.Fatalf("%g m at %g kW/m2, %g m at %g (%v, %v)", far, low, near, high, errFar, errNear)
		}
	})
}

// The strict burn formula never gives more time than the looser table.
func TestBurnFormulaIsTheStricter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flux := rapid.Float64Range(1, 10).Draw(t, "flux")
		strict, errStrict := runaway.BurnSeconds(flux)
		pain, loose, errLoose := runaway.SkinTimes(flux)
		if errStrict != nil || errLoose != nil || strict > loose || pain > loose {
			t.Fatalf("formula %g s, table %g s, pain %g s (%v, %v)", strict, loose, pain, errStrict, errLoose)
		}
	})
}
