package runaway_test

import (
	"errors"
	"math"
	"testing"

	"loosecell/battery"
	"loosecell/hazards"
	"loosecell/hazards/room"
	"loosecell/hazards/runaway"
)

func workshop() *room.Box {
	return &room.Box{VolumeM3: hazards.Estimate{Low: 30, Middle: 40, High: 50},
		AirChangesPerHour: hazards.Estimate{Low: 0.5, Middle: 2, High: 6}}
}

func phone() runaway.Failure {
	return runaway.Failure{RatedWh: exact(17.3), ChargePct: exact(25), Chemistries: battery.LayeredOxide, Room: workshop()}
}

func mustReckon(t *testing.T, f runaway.Failure) runaway.Consequence {
	t.Helper()
	c, err := runaway.Reckon(f)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAPhoneCanPassTheDangerLimitOfAClosedRoom(t *testing.T) {
	air := mustReckon(t, phone()).Air
	passed := map[string]bool{}
	for _, c := range air.HydrogenFluoride.Compared {
		passed[c.Limit.Name] = c.Passed
	}
	for _, name := range []string{"IDLH", "NIOSH ceiling (15 min)", "ACGIH ceiling (2005)"} {
		if !passed[name] {
			t.Errorf("17.3 Wh in 30 to 50 m3 may pass the %s", name)
		}
	}
	if passed["AEGL-3 (10 min)"] {
		t.Error("17.3 Wh at 200 mg/Wh in 30 m3 is 141 ppm, under the 170 ppm of AEGL-3")
	}
}

func TestReentryWaitsForFiveAirChangesAtLeast(t *testing.T) {
	box := room.Box{VolumeM3: exact(100), AirChangesPerHour: exact(6)}
	got, err := runaway.ReentryMinutes(map[string]hazards.Estimate{runaway.GasHydrogenFluoride: exact(1)}, box, exact(1))
	if err != nil || got.Middle != 50 {
		t.Errorf("%v (%v), want 50 min: five changes at 6 an hour (common practice)", got, err)
	}
	// 200 ppm to the 2 ppm ceiling: 99 % removal; 2 an hour is 138 min in CDC, MMWR 43 RR-13, table
	// S3-1, but five changes take 150
	box.AirChangesPerHour = exact(2)
	got, err = runaway.ReentryMinutes(map[string]hazards.Estimate{runaway.GasHydrogenFluoride: exact(200)}, box, exact(1))
	if err != nil || got.Middle != 150 {
		t.Errorf("%v (%v), want 150 min", got, err)
	}
	// 2000 ppm: 99.9 %, 207 min in the same table
	got, err = runaway.ReentryMinutes(map[string]hazards.Estimate{runaway.GasHydrogenFluoride: exact(2000)}, box, exact(1))
	if err != nil || math.Abs(got.Middle-207) > 0.5 {
		t.Errorf("%v (%v), want 207 min", got, err)
	}
}

func TestRoomThatMayBeClosedNeverClears(t *testing.T) {
	f := phone()
	f.Room.AirChangesPerHour.Low = 0
	if air := mustReckon(t, f).Air; air.Clears || air.ReentryMinutes != (hazards.Estimate{}) {
		t.Errorf("clears %v in %v min", air.Clears, air.ReentryMinutes)
	}
	_, err := runaway.ReentryMinutes(nil, *f.Room, exact(1))
	if !errors.Is(err, runaway.ErrDomain) {
		t.Errorf("error %v, want %v", err, runaway.ErrDomain)
	}
}

func TestOutdoorsHasNoRoomAir(t *testing.T) {
	f := phone()
	f.Room = nil
	if mustReckon(t, f).Air != nil {
		t.Error("air of a room outdoors")
	}
}

func TestLowChargeRemovesNoFluorideAndNoFireHeat(t *testing.T) {
	full, low := phone(), phone()
	full.ChargePct, low.ChargePct = exact(100), exact(5)
	a, b := mustReckon(t, full), mustReckon(t, low)
	if a.Gas.HydrogenFluorideG != b.Gas.HydrogenFluorideG || a.Heat.WithFlameKJ != b.Heat.WithFlameKJ {
		t.Error("fluoride and fire heat must not fall with the charge")
	}
	if b.Heat.StoredKJ.Middle >= a.Heat.StoredKJ.Middle || b.Gas.VentL.Middle >= a.Gas.VentL.Middle {
		t.Error("stored energy and vent gas must fall with the charge")
	}
}

func TestUnknownChemistryIsNoMilderThanAnyKnownOne(t *testing.T) {
	f := phone()
	f.Chemistries = 0
	unknown := mustReckon(t, f).Gas
	for c := battery.LFP; c <= battery.LithiumMetal; c++ {
		f.Chemistries = battery.Chemistries(c)
		if known := mustReckon(t, f).Gas; !unknown.VentL.Covers(known.VentL) || unknown.VentL.Middle < known.VentL.Middle {
			t.Errorf("%v: %v L, unknown %v L", c, known.VentL, unknown.VentL)
		}
	}
}

func TestVermiculiteIsNoHeatSink(t *testing.T) {
	beds, err := runaway.Beds(exact(108))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range beds {
		if b.Medium.Sink == (b.Medium.Name == "vermiculite") {
			t.Errorf("%s: heat sink %v", b.Medium.Name, b.Medium.Sink)
		}
	}
}

func TestReentryLimitIsTheStricterCeiling(t *testing.T) {
	for gas, want := range map[string]float64{runaway.GasHydrogenFluoride: 2, runaway.GasCarbonMonoxide: 200} {
		if l, err := runaway.ReentryLimit(gas); err != nil || l.PPM != want {
			t.Errorf("%s: %g ppm (%v), want %g", gas, l.PPM, err, want)
		}
	}
}

func TestReckonRefuses(t *testing.T) {
	for name, change := range map[string]func(*runaway.Failure){
		"energy NaN":          func(f *runaway.Failure) { f.RatedWh = exact(math.NaN()) },
		"energy infinite":     func(f *runaway.Failure) { f.RatedWh = exact(math.Inf(1)) },
		"energy 0":            func(f *runaway.Failure) { f.RatedWh = exact(0) },
		"energy negative":     func(f *runaway.Failure) { f.RatedWh = exact(-3) },
		"energy upside down":  func(f *runaway.Failure) { f.RatedWh = hazards.Estimate{Low: 3, Middle: 2, High: 1} },
		"charge NaN":          func(f *runaway.Failure) { f.ChargePct = exact(math.NaN()) },
		"charge beyond 150":   func(f *runaway.Failure) { f.ChargePct = exact(151) },
		"charge negative":     func(f *runaway.Failure) { f.ChargePct = exact(-1) },
		"room of nothing":     func(f *runaway.Failure) { f.Room.VolumeM3 = exact(0) },
		"room NaN":            func(f *runaway.Failure) { f.Room.VolumeM3 = exact(math.NaN()) },
		"air change negative": func(f *runaway.Failure) { f.Room.AirChangesPerHour.Low = -1 },
		"mixing under 1":      func(f *runaway.Failure) { f.Mixing = exact(0.5) },
	} {
		t.Run(name, func(t *testing.T) {
			f := phone()
			change(&f)
			if _, err := runaway.Reckon(f); err == nil {
				t.Error("accepted")
			}
		})
	}
}

func TestSmallFunctionsRefuse(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0} {
		if _, err := runaway.RadiantDistance(x, 0.3, 5); err == nil {
			t.Errorf("RadiantDistance took %g W", x)
		}
		if _, err := runaway.RadiantDistance(1000, 0.3, x); err == nil {
			t.Errorf("RadiantDistance took %g kW/m2", x)
		}
		if _, err := runaway.BurnSeconds(x); err == nil {
			t.Errorf("BurnSeconds took %g", x)
		}
		if _, _, err := runaway.SkinTimes(x); err == nil {
			t.Errorf("SkinTimes took %g", x)
		}
		if _, err := runaway.RoomAtPPM(room.Release{Litres: exact(1)}, x); err == nil {
			t.Errorf("RoomAtPPM took %g", x)
		}
		if x != 0 {
			if _, err := runaway.Beds(exact(x)); err == nil {
				t.Errorf("Beds took %g kJ", x)
			}
			if _, err := runaway.FlammableLimitOf(map[string]float64{"methane": x}); err == nil {
				t.Errorf("FlammableLimitOf took %g", x)
			}
		}
	}
	if _, err := runaway.RadiantDistance(1000, 1.1, 5); err == nil {
		t.Error("RadiantDistance took a fraction over 1")
	}
	if _, err := runaway.FlammableLimitOf(map[string]float64{"carbon-dioxide": 1}); !errors.Is(err, runaway.ErrNotFlammable) {
		t.Errorf("carbon dioxide alone: %v", err)
	}
	if _, err := runaway.FlammableLimitOf(map[string]float64{"ether": 1}); err == nil {
		t.Error("FlammableLimitOf took an unknown gas")
	}
	if _, err := runaway.Limits("methane"); err == nil {
		t.Error("Limits took a gas without limits")
	}
	if _, err := runaway.ReleaseOf("ether", exact(1)); err == nil {
		t.Error("ReleaseOf took an unknown gas")
	}
	if _, err := runaway.BedOf("cat litter", exact(1)); err == nil {
		t.Error("BedOf took an unknown medium")
	}
}
