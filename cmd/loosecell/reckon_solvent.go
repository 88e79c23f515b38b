package main

import (
	"fmt"
	"strings"

	"loosecell/cmd/loosecell/internal/reckoning"
	"loosecell/hazards"
	airing "loosecell/hazards/room"
	"loosecell/hazards/solvent"
	"loosecell/rules/source"
)

func solventModel() model {
	return model{
		name: "solvent", short: "Properties, dose, wicking, drying, vapour and choice of a solvent",
		long: `What a liquid of the bench does: properties and limits, how fast it wicks, how
much and how long, how fast it dries, what its vapour does to the room, and which
of several to take. Solvents: ` + strings.Join(solventNames(), ", ") + `.
The vapour in a room is a course for --format csv.`,
		example: `  loosecell reckon solvent --solvent isopropanol-99 --temperature '20 degC'
  loosecell reckon solvent --viscosity '2.37 mPa s' --surface-tension '21.32 mN/m' --gap '50 um' --length '35 mm'
  loosecell reckon solvent --solvent isopropanol-99 --dose '2 mL' --room-volume '30 m3' --air-changes '0.5 1/h'
  loosecell reckon solvent --length '90 mm' --width '60 mm' --gap '0.05..0.1 mm'
  loosecell reckon solvent --solvent isopropanol --polymer pema`,
		flags: []quantity{
			{name: "solvent", word: true, usage: "which liquid; with --polymer also isopropanol, methyl-acetate, water"},
			{name: "temperature", unit: "degC", usage: "of liquid and air (20 degC)"},
			{name: "gap", unit: "mm", usage: "gap under the cell"},
			{name: "length", unit: "mm", usage: "length to wet, or of the bonded face"},
			{name: "width", unit: "mm", usage: "width of the bonded face"},
			{name: "angle", unit: "deg", usage: "contact angle (0 deg for the plain forms)"},
			{name: "viscosity", unit: "Pa s", usage: "viscosity"},
			{name: "surface-tension", unit: "N/m", usage: "surface tension"},
			{name: "radius", unit: "mm", usage: "radius of a round channel"},
			{name: "time", unit: "s", usage: "time spent wicking"},
			{name: "dose", unit: "mL", usage: "how much liquid"},
			{name: "used", unit: "mL", usage: "how much went in before (0 mL)"},
			{name: "edges", usage: "edges within reach, 1 to 4 (4)"},
			{name: "thick", word: true, usage: "yes for foam or liquid glue (no)"},
			{name: "area", unit: "cm2", usage: "area a film spreads over"},
			{name: "depth", unit: "mm", usage: "how far liquid under a cell is from the open edge"},
			{name: "air-speed", unit: "m/s", usage: "air over the film (0.2 m/s)"},
			{name: "molar-mass", unit: "g/mol", usage: "for the mass transfer alone"},
			{name: "pool-length", unit: "m", usage: "length of a pool along the air"},
			{name: "schmidt", usage: "Schmidt number of the vapour"},
			{name: "polymer", word: true, usage: "pema (acrylic adhesive), pmma, polyisoprene, sbr, abs"},
			{name: "material", word: true, usage: "plastic near: pc, abs, pmma, pet, silicone, display, nitrile ..."},
			{name: "room-volume", unit: "m3", usage: "room"},
			{name: "air-changes", unit: "1/h", usage: "air changes"},
			{name: "ventilation", word: true, usage: "extract, open-window, none or unknown, instead of --air-changes"},
			{name: "until", unit: "min", usage: "end of the course (120 min)"},
			{name: "every", unit: "min", usage: "step of the course (2 min)"},
			{name: "available", word: true, many: true, usage: "solvents at the bench, to choose among"},
			{name: "family", word: true, usage: "acrylic or rubber (either)"},
			{name: "plastics", word: true, many: true, usage: "plastics near, or none (unknown)"},
			{name: "display", word: true, usage: "none, near or under (under)"},
			{name: "hottest", unit: "degC", usage: "hottest surface near (the room)"},
		},
		sums: []sum{
			{"choice", [][]string{{"available", "room-volume"}}, []string{"air-changes", "ventilation", "family", "plastics", "display", "hottest", "temperature", "dose"}, reckonChoice},
			{"solubility", [][]string{{"solvent", "polymer"}}, nil, reckonRED},
			{"wicking under a cell", [][]string{{"solvent", "gap", "length"}}, []string{"temperature", "angle"}, reckonWick},
			{"wicking by figures", [][]string{{"viscosity", "surface-tension", "gap", "length"}, {"viscosity", "surface-tension", "gap", "time"},
				{"viscosity", "surface-tension", "radius", "length"}}, []string{"angle"}, reckonWickRaw},
			{"dose and soak", [][]string{{"length", "width", "gap"}}, []string{"edges", "used", "thick", "solvent"}, reckonDose},
			{"mass transfer", [][]string{{"air-speed", "molar-mass"}, {"air-speed", "pool-length", "schmidt"}}, nil, reckonTransfer},
			{"evaporation", [][]string{{"solvent", "air-speed"}, {"solvent", "dose", "area"}}, []string{"temperature"}, reckonEvaporation},
			{"liquid left under a cell", [][]string{{"solvent", "depth"}}, []string{"temperature"}, reckonTrapped},
			{"swelling into the adhesive", [][]string{{"depth"}}, nil, reckonSwelling},
			{"vapour of a dose", [][]string{{"solvent", "dose"}}, []string{"temperature"}, reckonVapour},
			{"vapour in a room", [][]string{{"solvent", "dose", "room-volume", "air-changes"}, {"solvent", "dose", "room-volume", "ventilation"}},
				[]string{"temperature", "until", "every"}, reckonVapourRoom},
			{"plastics", [][]string{{"solvent", "material"}}, nil, reckonPlastics},
			{"properties and limits", [][]string{{"solvent"}}, []string{"temperature"}, reckonProperties},
		},
	}
}

func solventNames() []string {
	all, err := solvent.All()
	if err != nil {
		return nil
	}
	var out []string
	for _, l := range all {
		out = append(out, l.Name)
	}
	return out
}

// cited turns keys of documents into titles.
func cited(keys string) string {
	var out []string
	for key := range strings.FieldsSeq(keys) {
		if c, err := source.Shipped().Resolve(key); err == nil {
			key = c.String()
		}
		out = append(out, key)
	}
	return strings.Join(out, "; ")
}

func (g *given) liquid() (solvent.Liquid, hazards.Estimate, bool) {
	l, err := solvent.Find(g.word("solvent"))
	if g.fail(err) {
		return l, hazards.Estimate{}, false
	}
	return l, g.or("temperature", "degC", exact(20)), true
}

func reckonProperties(g *given) {
	if g.has("polymer") {
		return // solubility alone was asked, for liquids that no bench may have
	}
	l, t, ok := g.liquid()
	if !ok {
		return
	}
	data := "handbook data, see the source of each liquid: " + cited(l.Source)
	optional := func(name, unit, formula string, e hazards.Estimate, err error) {
		if err == nil { // some figures are only known in a range of temperature
			g.put(name, unit, formula, data)(e, nil)
		}
	}
	p, err := l.VapourPressurePa(t)
	optional("vapour_pressure", "Pa", "Antoine equation", p, err)
	rho, err := l.Density(t)
	optional("density", "kg/m3", "DIPPR 105", rho, err)
	eta, err := l.Viscosity(t)
	optional("viscosity", "Pa s", "Perry's Handbook, table 2-313", eta, err)
	gamma, err := l.SurfaceTension(t)
	optional("surface_tension", "N/m", "a - b t, Jasper", gamma, err)
	s, err := l.SaturationPpm(t)
	optional("saturation", "ppm", "vapour pressure over one atmosphere", s, err)
	fire := cited(l.Fire.Source)
	g.put("flash_point", "degC", "closed cup; the lower is the one to use", fire)(hazards.Estimate{Low: l.Fire.FlashLowC, Middle: l.Fire.FlashLowC, High: l.Fire.FlashHighC}, nil)
	g.put("lower_flammable_limit", "%", "volume per cent of air; the lower is the one to use", fire)(hazards.Estimate{Low: l.Fire.LFLLow, Middle: l.Fire.LFLLow, High: l.Fire.LFLHigh}, nil)
	g.put("upper_flammable_limit", "%", "volume per cent of air", fire)(hazards.Estimate{Low: l.Fire.UFLLow, Middle: l.Fire.UFLLow, High: l.Fire.UFLHigh}, nil)
	if q, err := airing.QuarterOfLFL(l.Fire.LFLLow); err == nil {
		g.put("quarter_of_lower_limit", "ppm", "25 % of the lower flammable limit", "NFPA 30, as quoted by OSHA, 1991")(exact(q), nil)
	}
	if l.Fire.IgnitionC > 0 {
		g.put("ignition_temperature", "degC", "auto-ignition", fire)(exact(l.Fire.IgnitionC), nil)
	}
	g.put("day_limit", "ppm", "8 h mean, the strictest read", cited(l.Limits.DayOrigin.Source))(exact(l.Limits.DayPpm), nil)
	g.put("short_term_limit", "ppm", "15 min or ceiling, the strictest read", cited(l.Limits.ShortTermOrigin.Source))(exact(l.Limits.ShortTermPpm), nil)
	if l.Limits.IDLHPpm > 0 {
		g.put("idlh", "ppm", "immediately dangerous to life or health; mostly 10 % of the lower flammable limit", "NIOSH, 1994")(exact(l.Limits.IDLHPpm), nil)
	}
	if l.MolarMass > 0 {
		g.put("mg_per_m3_of_one_ppm", "mg/m3", "molar mass / 24.45 at 25 degC", "NIOSH Pocket Guide, conversion factors")(over(func(x ...float64) (float64, error) {
			return airing.MgPerM3FromPpm(1, x[0], 25)
		}, exact(l.MolarMass)))
	}
}

func reckonRED(g *given) {
	liquid := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(g.word("solvent"), "-99"), "-91"), "-70")
	red, err := solvent.RED(liquid, g.word("polymer"))
	g.put("relative_energy_difference", "", "sqrt(4 dD^2 + dP^2 + dH^2)/R0; under 1 it dissolves or swells", "Hansen, Hansen Solubility Parameters, 2nd ed. 2007; polymer values as reprinted by Burke 1984, indicative")(exact(red), err)
}

func reckonWick(g *given) {
	if g.has("width") {
		return // a face to be dosed
	}
	l, t, ok := g.liquid()
	if !ok {
		return
	}
	const form = "t = 3 eta L^2/(gamma h cos theta)"
	if g.has("angle") {
		eta, err := l.Viscosity(t)
		if g.fail(err) {
			return
		}
		gamma, err := l.SurfaceTension(t)
		if g.fail(err) {
			return
		}
		g.put("wicking_time", "s", form, wickSource)(over(plateWick, eta, gamma, g.n("gap"), g.n("length"), g.n("angle")))
		return
	}
	w, err := l.WickTime(g.n("gap"), g.n("length"), t)
	g.put("wicking_time", "s", form+", contact angle 0 / 30 / 60 deg", wickSource)(w.Seconds, err)
	g.say("entry", "not certain: a gap that adhesive fills takes no liquid", "the adhesive bridges the gap", "common practice")
}

const wickSource = "plane Poiseuille flow under capillary pressure (Schwiebert and Leong 1996); tube form Washburn 1921"

func plateWick(x ...float64) (float64, error) {
	return solvent.PlateWickSeconds(x[0], x[1], x[2]/1000, x[3]/1000, x[4])
}

func reckonWickRaw(g *given) {
	angle := g.or("angle", "deg", exact(0))
	eta, gamma := g.n("viscosity"), g.n("surface-tension")
	if g.has("gap", "length") {
		g.put("wicking_time", "s", "t = 3 eta L^2/(gamma h cos theta)", wickSource)(over(plateWick, eta, gamma, g.n("gap"), g.n("length"), angle))
	}
	if g.has("gap", "time") {
		g.put("wicked_length", "mm", "L = sqrt(gamma h cos theta t/(3 eta))", wickSource)(over(func(x ...float64) (float64, error) {
			m, err := solvent.PlateWickLengthM(x[0], x[1], x[2]/1000, x[3], x[4])
			return m * 1000, err
		}, eta, gamma, g.n("gap"), g.n("time"), angle))
	}
	if g.has("radius", "length") {
		g.put("tube_wicking_time", "s", "t = 2 eta L^2/(gamma r cos theta)", wickSource)(over(func(x ...float64) (float64, error) {
			return solvent.TubeWickSeconds(x[0], x[1], x[2]/1000, x[3]/1000, x[4])
		}, eta, gamma, g.n("radius"), g.n("length"), angle))
	}
}

func reckonDose(g *given) {
	edges := g.or("edges", "", exact(4))
	if !edges.IsExact() || edges.Middle != float64(int(edges.Middle)) {
		g.fail(fmt.Errorf("--edges %s: a whole number from 1 to 4 fits", g.word("edges")))
		return
	}
	if !g.oneOf("thick", g.word("thick"), "yes", "no") {
		return
	}
	bond := solvent.Bond{LengthMM: g.n("length"), WidthMM: g.n("width"), GapMM: g.n("gap"), Edges: int(edges.Middle), Thick: g.word("thick") == "yes"}
	d, err := solvent.Dose(bond, g.or("used", "mL", exact(0)))
	if g.fail(err) {
		return
	}
	const source = "volume of the gap; spill and caps common practice"
	g.put("gap_volume", "mL", "length x width x gap", "arithmetic")(over(func(x ...float64) (float64, error) { return x[0] * x[1] * x[2] / 1000, nil }, bond.LengthMM, bond.WidthMM, bond.GapMM))
	g.put("dose", "mL", "gap volume + 20 to 50 %, at most 0.5 mL an edge and 2 mL a job less what was used", source)(d.JobML, nil)
	g.put("dose_per_edge", "mL", "dose / edges", source)(d.PerEdgeML, nil)
	g.put("left", "mL", "2 mL a job less what was used", "common practice")(exact(d.LeftML), nil)
	name := g.word("solvent")
	if name == "" {
		name = "isopropanol-99"
	}
	l, err := solvent.Find(name)
	if g.fail(err) {
		return
	}
	soak, err := l.Soak(bond)
	g.put("soak", "min", "2 to 5 minutes, longest for foam and liquid glue", "common practice")(soak, err)
}

const evaporationSource = "EPA 550-B-99-009, appendix D; Mackay and Matsugu 1973; a third to three times the middle"

func reckonTransfer(g *given) {
	if g.has("molar-mass") {
		g.put("mass_transfer", "m/s", "0.0067 U^0.78 (18/M)^(1/3)", "EPA 550-B-99-009, appendix D, from memory")(over(func(x ...float64) (float64, error) {
			return solvent.MassTransferMPerS(x[0], x[1])
		}, g.n("air-speed"), g.n("molar-mass")))
	}
	if g.has("pool-length", "schmidt") {
		g.put("pool_mass_transfer", "m/s", "0.0048 U^(7/9) d^(-1/9) Sc^(-2/3)", "Kawamura and Mackay 1987 after Mackay and Matsugu 1973")(over(func(x ...float64) (float64, error) {
			return solvent.PoolMassTransferMPerS(x[0], x[1], x[2])
		}, g.n("air-speed"), g.n("pool-length"), g.n("schmidt")))
	}
}

func reckonEvaporation(g *given) {
	l, t, ok := g.liquid()
	if !ok {
		return
	}
	air := g.or("air-speed", "m/s", exact(0.2))
	g.put("evaporation", "kg/(m2 s)", "k M p/(R T)", evaporationSource)(l.Evaporation(air, t))
	if g.has("dose", "area") {
		g.put("film_time", "min", "mass / (rate x area)", evaporationSource)(l.FilmMinutes(g.n("dose"), g.n("area"), air, t))
	}
}

func reckonTrapped(g *given) {
	l, t, ok := g.liquid()
	if !ok {
		return
	}
	days, err := l.TrappedDays(g.n("depth"), t)
	const form = "rho R T L^2/(2 D M p0 ln(1/(1 - p/p0)))"
	g.put("trapped_time", "d", form+", a third to three times", "Stefan tube, diffusivity from memory")(days, err)
	if err == nil {
		s, err := days.Scale(86400)
		g.put("trapped_time_s", "s", form, "Stefan tube, diffusivity from memory")(s, err)
	}
}

func reckonSwelling(g *given) {
	if g.has("solvent") {
		return
	}
	g.put("swelling_time", "h", "x^2 / D, D 1e-11 to 5e-10 m2/s", "from memory, rubbery polymers")(solvent.SwellingHours(g.n("depth")))
}

func reckonVapour(g *given) {
	l, t, ok := g.liquid()
	if !ok {
		return
	}
	litres, err := l.VapourLitres(g.n("dose"), t)
	g.put("vapour", "L", "m R T/(M p0)", "ideal gas at one atmosphere")(litres, err)
	if err == nil {
		air, err := airing.AirToLFLLitres(litres, l.Fire.LFLLow)
		g.put("air_to_lower_limit", "L", "vapour / lower flammable limit", "arithmetic; limit: "+cited(l.Fire.Source))(air, err)
	}
	breathing, fire, err := l.MinimumAir(g.n("dose"), t)
	g.put("air_for_breathing_limit", "m3/h", "vapour rate / short-term limit; high end worst mixing", boxSource)(breathing, err)
	g.put("air_for_quarter_limit", "m3/h", "4 x vapour rate / lower flammable limit; high end worst mixing", "NFPA 30, as quoted by OSHA, 1991")(fire, err)
}

const boxSource = "CDC, MMWR 43 (RR-13), 1994, supplement 3 and table S3-1, air mixed up to 10 times worse than well"

// box is the room as stated.
func (g *given) box() airing.Box {
	air := g.n("air-changes")
	if !g.has("air-changes") {
		kind := g.word("ventilation")
		if kind == "" {
			kind = string(airing.UnknownAir)
		}
		e, err := airing.AirChanges(airing.Ventilation(kind))
		if g.fail(err) {
			return airing.Box{}
		}
		air = g.or("air-changes", "1/h", e)
	}
	b, err := airing.NewBox(g.n("room-volume"), air)
	g.fail(err)
	return b
}

func reckonVapourRoom(g *given) {
	l, t, ok := g.liquid()
	box := g.box()
	if !ok || g.err != nil {
		return
	}
	e, err := l.Exposure(box, g.n("dose"), t)
	if g.fail(err) {
		return
	}
	g.put("release_time", "min", "film of 20 to 40 cm2 a mL, no fan", evaporationSource)(releaseMinutes(l, g.n("dose"), t))
	g.exposure(e)
	until, step := g.span(120, 2)
	if g.err != nil {
		return
	}
	points, err := l.VapourCourse(box, g.n("dose"), t, until, step)
	if g.fail(err) {
		return
	}
	g.points("room", "ppm", points)
}

func releaseMinutes(l solvent.Liquid, dose, t hazards.Estimate) (hazards.Estimate, error) {
	r, err := l.Release(dose, t)
	return r.Minutes, err
}

func (g *given) exposure(e airing.Exposure) {
	g.put("room_peak", "ppm", "box model, C = G/Q (1 - exp(-Q t/V))", boxSource)(e.RoomPpm, nil)
	g.put("near_work_peak", "ppm", "half to ten times the room", boxSource)(e.NearWorkPpm, nil)
	g.put("day_mean", "ppm", "8 h mean over the work", boxSource)(e.DayMeanPpm, nil)
	g.put("lower_limit_share", "%", "over the work, of the lower flammable limit", boxSource)(e.LFLSharePercent, nil)
	g.say("within_short_term_limit", yesOrNo(e.WithinShortTerm), "high end over the work", boxSource)
	g.say("within_day_limit", yesOrNo(e.WithinDay), "high end over the work", boxSource)
	g.say("under_quarter_of_lower_limit", yesOrNo(e.UnderQuarterLFL), "high end over the work", "NFPA 30, as quoted by OSHA, 1991")
}

// span is the end and the number of steps of a course.
func (g *given) span(until, every float64) (end float64, steps int) {
	end = g.or("until", "min", exact(until)).High
	step := g.or("every", "min", exact(every)).Low
	if !(step > 0) || !(end > 0) || end/step > 10000 {
		g.fail(fmt.Errorf("--until %g min and --every %g min: both above zero and at most 10 000 steps fit", end, step))
		return 0, 0
	}
	return end, max(1, int(end/step+0.5))
}

func (g *given) points(name, unit string, points []airing.Point) {
	c := reckoning.Course{Columns: append([]string{"minutes"}, reckoning.Band(name, unit)...)}
	for _, p := range points {
		c.Rows = append(c.Rows, []float64{p.Minutes, p.Value.Low, p.Value.Middle, p.Value.High})
	}
	g.report.Course = &c
}

func reckonPlastics(g *given) {
	l, _, ok := g.liquid()
	if !ok {
		return
	}
	c, err := l.Compatibility(g.word("material"))
	if g.fail(err) {
		return
	}
	g.say("rating", c.Rating.String(), "worse of the immersion rating and that of a brief wetting; nothing here says safe", cited(c.Source))
}

func reckonChoice(g *given) {
	t := g.or("temperature", "degC", exact(20))
	s := solvent.Setting{
		Purpose: solvent.UnderCell, Available: g.list("available"), Display: solvent.Display(g.word("display")),
		PlasticsUnknown: !g.has("plastics"), HottestSurfaceC: g.or("hottest", "degC", t), RoomC: t, Room: g.box(), DoseML: g.or("dose", "mL", exact(solvent.JobCapML)),
	}
	for _, p := range g.list("plastics") {
		if p != "none" {
			s.Plastics = append(s.Plastics, p)
		}
	}
	for _, f := range g.list("family") {
		s.Families = append(s.Families, solvent.Family(f))
	}
	if g.err != nil {
		return
	}
	c, err := solvent.Choose(s)
	if g.fail(err) {
		return
	}
	name := c.Name
	if name == "" {
		name = "none"
	}
	g.say("choice", name, "first at the bench, in bench order, that nothing bars", "common practice; limits, flash points and ratings as read")
	for _, o := range c.Others {
		var why []string
		for _, r := range o.Reasons {
			why = append(why, r.Text)
		}
		g.say("not_"+strings.ReplaceAll(o.Name, "-", "_"), string(o.Standing)+": "+strings.Join(why, "; "), "what bars it", "as above")
	}
}
