package main

import (
	"fmt"
	"math"
	"strings"

	"loosecell/cmd/loosecell/internal/reckoning"
	"loosecell/hazards"
	airing "loosecell/hazards/room"
	"loosecell/hazards/runaway"
)

func roomModel() model {
	return model{
		name: "room", short: "A failing cell, a vapour or a gas in the air of a room, and purging it",
		long: `What happens in a room: a battery that fails in it (--wh), a vapour that reaches
its air, a mass of gas, and how long airing takes; heat at a distance, burns,
bedding and cooling, and the flammable limit of a gas mixture. Gases:
hydrogen-fluoride, carbon-monoxide. The concentration is a course for --format csv.`,
		example: `  loosecell reckon room --wh '17.3 Wh' --charge '50 %' --room-volume '30 m3' --air-changes '0.5..2 1/h'
  loosecell reckon room --gas hydrogen-fluoride --mass '1.5 g' --room-volume '40 m3' --air-changes '4 1/h'
  loosecell reckon room --from-ppm '45.8 ppm' --to-ppm '3 ppm' --air-changes '4 1/h'
  loosecell reckon room --air-changes '6 1/h' --removed '99 %'
  loosecell reckon room --vapour '0.628 L' --release-time '600 s' --room-volume '30 m3' --air-changes '0.5 1/h' --at '600 s'
  loosecell reckon room --power '10 kW' --fraction 0.3 --flux '5 kW/m2'
  loosecell reckon room --mixture 'hydrogen=30,carbon-dioxide=24.9,carbon-monoxide=27.6,methane=8.6,ethene=7.7,ethane=1.2'`,
		flags: roomFlags(),
		sums: []sum{
			{"a battery that fails", [][]string{{"wh"}}, []string{"charge", "chemistry", "room-volume", "air-changes", "ventilation", "mixing", "distance", "until", "every"}, reckonFailure},
			{"a mass of gas in a room", [][]string{{"gas", "mass", "room-volume"}}, []string{"air-changes", "ventilation", "until", "every"}, reckonGasRoom},
			{"a mass of gas", [][]string{{"gas", "mass"}}, nil, reckonGasMass},
			{"units of a gas", [][]string{{"gas", "ppm"}, {"gas", "concentration"}, {"molar-mass", "ppm"}, {"molar-mass", "concentration"}}, []string{"temperature"}, reckonUnits},
			{"limits of a gas", [][]string{{"gas"}}, nil, reckonGasLimits},
			{"vapour in a room", [][]string{{"vapour", "room-volume", "air-changes"}, {"vapour", "room-volume", "ventilation"}},
				[]string{"release-time", "at", "until", "every"}, reckonRoomVapour},
			{"solvent in a room", [][]string{{"solvent", "dose", "room-volume", "air-changes"}, {"solvent", "dose", "room-volume", "ventilation"}},
				[]string{"temperature", "until", "every"}, reckonVapourRoom},
			{"steady vapour", [][]string{{"vapour-rate", "air-changes", "room-volume"}}, nil, reckonSteadyVapour},
			{"air for a steady vapour", [][]string{{"vapour-rate", "limit"}}, nil, reckonMinimumAir},
			{"purge", [][]string{{"air-changes", "removed"}, {"air-changes", "remaining"}}, []string{"mixing"}, reckonPurge},
			{"time to a level", [][]string{{"air-changes", "from-ppm", "to-ppm"}}, []string{"mixing"}, reckonClear},
			{"air changes by design", [][]string{{"per-person", "per-area", "crowd", "height"}}, nil, reckonDesign},
			{"air changes by kind", [][]string{{"ventilation"}}, nil, reckonVentilation},
			{"heat at a distance", [][]string{{"power", "flux"}, {"power", "distance"}}, []string{"fraction"}, reckonRadiant},
			{"burns by radiant heat", [][]string{{"flux"}}, nil, reckonBurns},
			{"bedding and cooling", [][]string{{"heat"}}, []string{"medium"}, reckonBedding},
			{"flammable limit of a mixture", [][]string{{"mixture"}, {"vent-gas"}}, nil, reckonMixture},
			{"moles of gas", [][]string{{"moles"}}, []string{"ah", "wh"}, reckonMoles},
		},
	}
}

func roomFlags() []quantity {
	return []quantity{
		{name: "wh", unit: "Wh", usage: "rated energy of the battery"},
		{name: "charge", unit: "%", usage: "charge (100 %)"},
		{name: "chemistry", word: true, usage: "lfp, lto, na-ion, lmo, nmc, nca, lco, several by commas (any)"},
		{name: "room-volume", unit: "m3", usage: "room"},
		{name: "air-changes", unit: "1/h", usage: "air changes"},
		{name: "ventilation", word: true, usage: "extract, open-window, none or unknown, instead of --air-changes"},
		{name: "mixing", usage: "mixing factor, 1 to 10 (1 for the plain forms, 1..10 for a failing battery)"},
		{name: "distance", unit: "m", usage: "from the fire"},
		{name: "gas", word: true, usage: "hydrogen-fluoride or carbon-monoxide"},
		{name: "mass", unit: "g", usage: "mass of the gas"},
		{name: "ppm", unit: "ppm", usage: "concentration by volume"},
		{name: "concentration", unit: "mg/m3", usage: "concentration by mass"},
		{name: "molar-mass", unit: "g/mol", usage: "of another gas"},
		{name: "temperature", unit: "degC", usage: "air (25 degC for units, 20 degC else)"},
		{name: "vapour", unit: "L", usage: "vapour that reaches the air"},
		{name: "release-time", unit: "min", usage: "over so long (at once)"},
		{name: "at", unit: "min", usage: "time at which the level is asked"},
		{name: "solvent", word: true, usage: "liquid"},
		{name: "dose", unit: "mL", usage: "how much of it"},
		{name: "vapour-rate", unit: "L/h", usage: "vapour that keeps coming"},
		{name: "limit", unit: "ppm", usage: "level to hold"},
		{name: "removed", unit: "%", usage: "share to be removed"},
		{name: "remaining", unit: "%", usage: "share that may remain"},
		{name: "from-ppm", unit: "ppm", usage: "level now"},
		{name: "to-ppm", unit: "ppm", usage: "level wanted"},
		{name: "per-person", unit: "L/s", usage: "outdoor air a person"},
		{name: "per-area", unit: "L/(s m2)", usage: "outdoor air a square metre"},
		{name: "crowd", unit: "persons/m2", usage: "persons a square metre"},
		{name: "height", unit: "m", usage: "room height"},
		{name: "power", unit: "W", usage: "heat a fire sets free"},
		{name: "fraction", usage: "share of it radiated (0.2..0.4)"},
		{name: "flux", unit: "kW/m2", usage: "radiant heat"},
		{name: "heat", unit: "kJ", usage: "heat to absorb"},
		{name: "medium", word: true, usage: "sand, vermiculite, water-cool or water-boil (all)"},
		{name: "mixture", word: true, usage: "gas=share,gas=share; gases: hydrogen, carbon-dioxide, carbon-monoxide, methane, ethene, ethane, propane"},
		{name: "vent-gas", word: true, usage: "a measured vent gas by name"},
		{name: "moles", unit: "mol", usage: "moles of gas"},
		{name: "ah", unit: "Ah", usage: "capacity of the cell it came from"},
		{name: "until", unit: "min", usage: "end of the course (120 min)"},
		{name: "every", unit: "min", usage: "step of the course (2 min)"},
	}
}

const fireSource = "fire tests of Larsson et al., J. Power Sources 271 (2014) 414"

func reckonFailure(g *given) {
	if g.has("moles") {
		return
	}
	f := runaway.Failure{RatedWh: g.n("wh"), ChargePct: g.or("charge", "%", exact(100)), Chemistries: g.chemistries()}
	if g.has("mixing") {
		f.Mixing = g.n("mixing")
	}
	if g.has("room-volume") {
		box := g.box()
		f.Room = &box
	}
	if g.err != nil {
		return
	}
	c, err := runaway.Reckon(f)
	if g.fail(err) {
		return
	}
	g.put("stored_heat", "kJ", "3.6 kJ/Wh x energy x charge", "definition")(c.Heat.StoredKJ, nil)
	g.put("heat_without_flame", "kJ", "1 to 3 times the stored energy; the high end not lowered for a low charge", "factor from memory; decomposition to 2 times by Quintiere")(c.Heat.NoFlameKJ, nil)
	g.put("heat_with_flame", "kJ", "28 to 75 kJ/Wh", fireSource)(c.Heat.WithFlameKJ, nil)
	g.put("peak_power", "W", "110 to 490 W/Wh", fireSource)(c.Heat.PeakW, nil)
	g.put("vent_gas", "L", "litres a Wh by chemistry and charge, at 20 degC", "vent gas as measured")(c.Gas.VentL, nil)
	g.put("flammable_cloud", "L", "vent gas / its lower flammable limit", "Le Chatelier's rule")(c.Gas.CloudL, nil)
	lfl, err := runaway.YieldOf(runaway.FlammableLimit, f.Chemistries, f.ChargePct)
	g.put("vent_gas_lower_limit", "%", "Le Chatelier's rule over measured mixtures", "vent gas as measured")(lfl, err)
	g.put("carbon_monoxide", "L", "share of the vent gas", "vent gas as measured")(c.Gas.CarbonMonoxideL, nil)
	g.put("hydrogen_fluoride", "g", "12 to 200 mg/Wh, whatever the charge", "Larsson et al., Sci. Rep. 7 (2017) 10018, and FIVE 2016")(c.Gas.HydrogenFluorideG, nil)
	g.put("phosphoryl_fluoride", "g", "0 to 22 mg/Wh, in some tests only", "Larsson et al., Sci. Rep. 7 (2017) 10018")(c.Gas.PhosphorylFluorideG, nil)
	g.put("room_at_idlh", "m3", "hydrogen fluoride / its danger limit, no air change", "NIOSH IDLH documentation, 1994")(c.RoomAtIDLH, nil)
	g.put("pain_distance", "m", "sqrt(fraction x power/(4 pi 5 kW/m2))", radiantSource)(c.PeopleM, nil)
	g.put("smoke_layer_distance", "m", "the same for 2.5 kW/m2", radiantSource)(c.CautiousPeopleM, nil)
	g.put("litter_distance", "m", "the same for 12.5 kW/m2", radiantSource)(c.LitterM, nil)
	g.put("long_ignition_distance", "m", "the same for 4.3 kW/m2", radiantSource)(c.LongM, nil)
	g.put("keep_people", "m", "the larger of the distance and common practice", "common practice: burning parts fly")(exact(c.KeepPeopleM), nil)
	g.put("keep_litter", "m", "the larger of the distance and common practice", "common practice: burning parts fly")(exact(c.KeepLitterM), nil)
	g.beds(c.Beds)
	if c.Air != nil {
		g.air(c, f)
	}
}

// air adds what a failing battery does to the air of a room, and the course of
// its hydrogen fluoride.
func (g *given) air(c runaway.Consequence, f runaway.Failure) {
	g.compared("hydrogen_fluoride", c.Air.HydrogenFluoride)
	g.compared("carbon_monoxide", c.Air.CarbonMonoxide)
	g.put("vent_gas_share", "%", "well mixed, of its lower flammable limit", "Le Chatelier's rule")(c.Air.LFLShare, nil)
	if c.Air.Clears {
		g.put("reentry", "min", "max(mixing ln(C0/C)/n, 5/n) to the lowest short-term limit of each gas", boxSource)(c.Air.ReentryMinutes, nil)
	} else {
		g.say("reentry", "never by itself: the air change may be nothing", "a room without air change does not clear", boxSource)
	}
	release, err := runaway.ReleaseOf(runaway.GasHydrogenFluoride, c.Gas.HydrogenFluorideG)
	if g.fail(err) {
		return
	}
	g.courseOf("hydrogen_fluoride", *f.Room, release)
}

func (g *given) courseOf(name string, box airing.Box, release airing.Release) {
	until, steps := g.span(120, 2)
	if g.err != nil {
		return
	}
	points, err := box.Course(release, until, steps)
	if !g.fail(err) {
		g.points(name, "ppm", points)
	}
}

// compared holds a gas against every limit published for it.
func (g *given) compared(gas string, e runaway.Exposure) {
	g.put(gas+"_peak", "ppm", "mass over volume, all at once, well mixed, 25 degC", "ideal gas")(e.PeakPPM, nil)
	for _, c := range e.Compared {
		name := gas + "_" + limitName(c.Limit)
		g.put(name+"_limit", "ppm", c.Limit.Kind, cited(strings.Join(c.Limit.Sources, " "))+" ("+c.Limit.Known+")")(exact(c.Limit.PPM), nil)
		g.put(name+"_times", "", "peak / limit", "arithmetic")(c.Times, nil)
		if e.Airing && c.Passed {
			g.put(name+"_below_after", "min", "ln(peak/limit)/air changes, well mixed", boxSource)(c.BelowMinutes, nil)
		}
	}
}

func limitName(l runaway.Limit) string {
	return strings.ToLower(strings.NewReplacer(" ", "_", "(", "", ")", "", "-", "_").Replace(l.Name))
}

func (g *given) gas() (string, float64, bool) {
	name := g.word("gas")
	molar := map[string]float64{runaway.GasHydrogenFluoride: 0, runaway.GasCarbonMonoxide: 0}
	if _, ok := molar[name]; !ok {
		g.oneOf("gas", name, runaway.GasHydrogenFluoride, runaway.GasCarbonMonoxide)
		return "", 0, false
	}
	m, err := runaway.MolarMassOf(map[string]float64{name: 1})
	return name, m, !g.fail(err)
}

func reckonGasRoom(g *given) {
	name, _, ok := g.gas()
	if !ok {
		return
	}
	release, err := runaway.ReleaseOf(name, g.n("mass"))
	if g.fail(err) {
		return
	}
	if !g.has("air-changes") && !g.has("ventilation") {
		box := airing.Box{VolumeM3: g.n("room-volume")}
		e, err := runaway.ExposureTo(name, release, box)
		if !g.fail(err) {
			g.compared(strings.ReplaceAll(name, "-", "_"), e)
		}
		g.massPerVolume()
		return
	}
	box := g.box()
	if g.err != nil {
		return
	}
	e, err := runaway.ExposureTo(name, release, box)
	if g.fail(err) {
		return
	}
	g.compared(strings.ReplaceAll(name, "-", "_"), e)
	g.massPerVolume()
	reentry, err := runaway.ReentryMinutes(map[string]hazards.Estimate{name: e.PeakPPM}, box, airing.MixingFactor())
	if err == nil {
		g.put("reentry", "min", "max(mixing ln(C0/C)/n, 5/n)", boxSource)(reentry, nil)
	}
	g.courseOf(strings.ReplaceAll(name, "-", "_"), box, release)
}

func (g *given) massPerVolume() {
	g.put("mass_per_volume", "mg/m3", "mass / volume", "arithmetic")(over(func(x ...float64) (float64, error) {
		return positiveRatio("--room-volume", x[0]*1000, x[1])
	}, g.n("mass"), g.n("room-volume")))
}

func reckonGasMass(g *given) {
	name, _, ok := g.gas()
	if !ok {
		return
	}
	release, err := runaway.ReleaseOf(name, g.n("mass"))
	if g.fail(err) {
		return
	}
	g.put("gas_volume", "L", "m R T/(M p0) at 25 degC", "ideal gas")(release.Litres, nil)
	danger, err := runaway.DangerLimit(name)
	if g.fail(err) {
		return
	}
	g.put("room_at_idlh", "m3", "volume / danger limit, no air change", "NIOSH IDLH documentation, 1994")(runaway.RoomAtPPM(release, danger.PPM))
}

func reckonUnits(g *given) {
	molar := g.n("molar-mass")
	if g.has("gas") {
		_, m, ok := g.gas()
		if !ok {
			return
		}
		molar = exact(m)
	}
	t := g.or("temperature", "degC", exact(25))
	const source = "NIOSH Pocket Guide, conversion factors; M/24.45 at 25 degC"
	if g.has("ppm") {
		g.put("mass_concentration", "mg/m3", "ppm x M p0/(R T)", source)(over(func(x ...float64) (float64, error) { return airing.MgPerM3FromPpm(x[0], x[1], x[2]) }, g.n("ppm"), molar, t))
	}
	if g.has("concentration") {
		g.put("volume_concentration", "ppm", "mg/m3 x R T/(M p0)", source)(over(func(x ...float64) (float64, error) { return airing.PpmFromMgPerM3(x[0], x[1], x[2]) }, g.n("concentration"), molar, t))
	}
}

func reckonGasLimits(g *given) {
	if g.has("room-volume") {
		return // told with the comparison
	}
	name, molar, ok := g.gas()
	if !ok {
		return
	}
	limits, err := runaway.Limits(name)
	if g.fail(err) {
		return
	}
	for _, l := range limits {
		g.put(limitName(l)+"_limit", "ppm", l.Kind, cited(strings.Join(l.Sources, " "))+" ("+l.Known+")")(exact(l.PPM), nil)
		mg, err := airing.MgPerM3FromPpm(l.PPM, molar, 25)
		g.put(limitName(l)+"_limit_by_mass", "mg/m3", "ppm x M/24.45", "arithmetic at 25 degC")(exact(mg), err)
	}
}

func reckonRoomVapour(g *given) {
	box := g.box()
	if g.err != nil {
		return
	}
	release := airing.Release{Litres: g.n("vapour")}
	if g.has("release-time") {
		release.Minutes = g.n("release-time")
	}
	g.put("room_peak", "ppm", "box model, C = G/Q (1 - exp(-Q t/V))", boxSource)(box.PeakPpm(release))
	if g.has("at") {
		if !g.n("at").IsExact() {
			g.fail(fmt.Errorf("--at takes one time"))
			return
		}
		g.put("room", "ppm", "box model, C = G/Q (1 - exp(-Q t/V)), then exp(-Q t/V)", boxSource)(box.Ppm(release, g.n("at").Middle))
	}
	if g.has("release-time") && release.Minutes.Low > 0 {
		rate, err := over(func(x ...float64) (float64, error) { return positiveRatio("--release-time", x[0]*60, x[1]) }, release.Litres, release.Minutes)
		g.fail(err)
		if s, err := box.SteadyPpm(rate); err == nil {
			g.put("steady", "ppm", "G/Q if it went on", boxSource)(s, nil)
		}
	}
	if g.err == nil {
		g.courseOf("room", box, release)
	}
}

func reckonSteadyVapour(g *given) {
	box := g.box()
	if g.err == nil {
		g.put("steady", "ppm", "G/Q", boxSource)(box.SteadyPpm(g.n("vapour-rate")))
	}
}

func reckonMinimumAir(g *given) {
	g.put("air", "m3/h", "G/C; high end the worst mixing", boxSource)(over2(g.n("limit"), func(limit float64) (hazards.Estimate, error) {
		return airing.MinimumAirM3PerHour(g.n("vapour-rate"), limit)
	}))
}

// over2 spans an answer over both ends of one more input.
func over2(in hazards.Estimate, f func(float64) (hazards.Estimate, error)) (hazards.Estimate, error) {
	middle, err := f(in.Middle)
	if err != nil {
		return middle, err
	}
	for _, x := range []float64{in.Low, in.High} {
		e, err := f(x)
		if err != nil {
			return middle, err
		}
		middle.Low, middle.High = min(middle.Low, e.Low), max(middle.High, e.High)
	}
	return middle, nil
}

func reckonPurge(g *given) {
	mixing := g.or("mixing", "", exact(1))
	share := g.n("remaining")
	if g.has("removed") {
		r := g.n("removed")
		share = hazards.Estimate{Low: 100 - r.High, Middle: 100 - r.Middle, High: 100 - r.Low}
	}
	g.put("purge_time", "min", "mixing ln(1/remaining)/(air changes) x 60", boxSource)(over2(share, func(percent float64) (hazards.Estimate, error) {
		return airing.PurgeMinutes(g.n("air-changes"), percent/100, mixing)
	}))
}

func reckonClear(g *given) {
	mixing := g.or("mixing", "", exact(1))
	g.put("clear_time", "min", "mixing ln(from/to)/(air changes) x 60", boxSource)(over2(g.n("to-ppm"), func(to float64) (hazards.Estimate, error) {
		return airing.ClearMinutes(g.n("from-ppm"), to, g.n("air-changes"), mixing)
	}))
}

func reckonDesign(g *given) {
	g.put("air_changes", "1/h", "(air a person x persons + air a m2)/height", "rates as in ASHRAE 62.1 or EN 16798-1")(over(func(x ...float64) (float64, error) {
		return airing.DesignAirChanges(x[0], x[1], x[2], x[3])
	}, g.n("per-person"), g.n("per-area"), g.n("crowd"), g.n("height")))
}

func reckonVentilation(g *given) {
	g.put("air_changes", "1/h", "presumption by kind", "common practice")(airing.AirChanges(airing.Ventilation(g.word("ventilation"))))
}

const radiantSource = "point source, SFPE Handbook; fraction 0.4 and 5 kW/m2 for 40 s as in EPA 550-B-99-009"

func reckonRadiant(g *given) {
	fraction := g.or("fraction", "", hazards.Estimate{Low: 0.2, Middle: 0.3, High: 0.4})
	if g.has("flux") {
		g.put("distance", "m", "sqrt(fraction x power/(4 pi flux))", radiantSource)(over(func(x ...float64) (float64, error) {
			return runaway.RadiantDistance(x[0], x[1], x[2])
		}, g.n("power"), fraction, g.n("flux")))
	}
	if g.has("distance") {
		g.put("flux", "kW/m2", "fraction x power/(4 pi distance^2)", radiantSource)(over(func(x ...float64) (float64, error) {
			return positiveRatio("--distance", x[0]*x[1]/1000, 4*math.Pi*x[2]*x[2])
		}, g.n("power"), fraction, g.n("distance")))
	}
}

func reckonBurns(g *given) {
	flux := g.n("flux")
	g.put("burn_time", "s", "200 q^-1.46, second-degree burn of bare skin", "DESR 6055.09")(over(func(x ...float64) (float64, error) { return runaway.BurnSeconds(x[0]) }, flux))
	if flux.Low >= 1 && flux.High <= 10 {
		const source = "EPA, FEMA and DOT, Handbook of Chemical Hazard Analysis Procedures, 1989, table 4.2"
		g.put("pain_time_by_table", "s", "between the rows, in logarithms", source)(over(func(x ...float64) (float64, error) { pain, _, err := runaway.SkinTimes(x[0]); return pain, err }, flux))
		g.put("burn_time_by_table", "s", "between the rows, in logarithms", source)(over(func(x ...float64) (float64, error) { _, burn, err := runaway.SkinTimes(x[0]); return burn, err }, flux))
	}
}

func reckonBedding(g *given) {
	if w := g.word("medium"); w != "" {
		b, err := runaway.BedOf(w, g.n("heat"))
		if !g.fail(err) {
			g.beds([]runaway.Bed{b})
		}
		return
	}
	b, err := runaway.Beds(g.n("heat"))
	if !g.fail(err) {
		g.beds(b)
	}
}

func (g *given) beds(list []runaway.Bed) {
	for _, b := range list {
		name := strings.ReplaceAll(b.Medium.Name, "-", "_")
		source := cited(strings.Join(b.Medium.Sources, " ")) + " (" + b.Medium.Known + ")"
		formula := "E/(c dT + latent)"
		if !b.Medium.Sink {
			formula += "; it keeps pieces apart and does not cool"
		}
		g.put(name+"_mass", "kg", formula, source)(b.Kg, nil)
		g.put(name+"_volume", "L", "mass / density", source)(b.Litres, nil)
	}
}

func reckonMixture(g *given) {
	shares := map[string]float64{}
	if g.has("vent-gas") {
		found, err := ventGas(g.word("vent-gas"))
		if g.fail(err) {
			return
		}
		shares = found.SharePct
		g.put("litres_per_wh", "L/Wh", "volume at 20 degC / rated energy", cited(strings.Join(found.Sources, " ")))(exact(found.Litres/found.RatedWh), nil)
	}
	for pair := range strings.SplitSeq(g.word("mixture"), ",") {
		if pair == "" {
			continue
		}
		name, share, ok := strings.Cut(pair, "=")
		if !ok {
			g.fail(fmt.Errorf("--mixture %q: write gas=share, as in hydrogen=30", pair))
			return
		}
		x, _, err := reckoning.Parse(strings.TrimSuffix(strings.TrimSpace(share), "%"), "")
		if err != nil {
			g.fail(fmt.Errorf("--mixture %q: %w", pair, err))
			return
		}
		if name = strings.TrimSpace(name); name == "ethylene" {
			name = "ethene"
		}
		shares[name] = x
	}
	lfl, err := runaway.FlammableLimitOf(shares)
	const source = "Le Chatelier's rule; limits of the gases as published"
	g.put("lower_flammable_limit", "%", "1/LFL = sum of x/LFL(x), inert gas counted", source)(exact(lfl), err)
	burning := map[string]float64{}
	for name, x := range shares {
		if name != "carbon-dioxide" && name != "nitrogen" {
			burning[name] = x
		}
	}
	lfl, err = runaway.FlammableLimitOf(burning)
	g.put("lower_flammable_limit_of_the_burning_part", "%", "the same without inert gas", source)(exact(lfl), err)
	m, err := runaway.MolarMassOf(shares)
	g.put("molar_mass", "g/mol", "sum of x M", "arithmetic")(exact(m), err)
	if err == nil {
		g.put("gas_density", "kg/m3", "M / 24.055 L/mol at 20 degC", "ideal gas")(exact(m/runaway.LitresPerMol20C), nil)
	}
}

func ventGas(name string) (runaway.Mixture, error) {
	all, err := runaway.Mixtures()
	if err != nil {
		return runaway.Mixture{}, err
	}
	var names []string
	for _, m := range all {
		if m.Name == name {
			return m, nil
		}
		names = append(names, m.Name)
	}
	return runaway.Mixture{}, fmt.Errorf("--vent-gas %q: one of %s fits", name, strings.Join(names, ", "))
}

func reckonMoles(g *given) {
	litres, err := g.n("moles").Scale(runaway.LitresPerMol20C)
	g.put("gas_volume", "L", "24.055 L/mol at 20 degC", "ideal gas at one atmosphere")(litres, err)
	for _, per := range []struct{ flag, name, unit string }{{"ah", "litres_per_ah", "L/Ah"}, {"wh", "litres_per_wh", "L/Wh"}} {
		if g.has(per.flag) && g.err == nil {
			g.put(per.name, per.unit, "volume / "+per.flag, "arithmetic")(over(func(x ...float64) (float64, error) { return positiveRatio("--"+per.flag, x[0], x[1]) }, litres, g.n(per.flag)))
		}
	}
}
