package main

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/interp"

	"loosecell/battery"
	"loosecell/cmd/loosecell/internal/reckoning"
	"loosecell/hazards"
	"loosecell/hazards/discharge"
)

func dischargeModel() model {
	return model{
		name: "discharge", short: "Bringing the charge down, in the device or through a resistor",
		long: `How long a device or a resistor takes to bring a battery down, which resistor, how
hot it gets and where to stop. The voltage curve is that of --table, of --curve
('0:3.27,50:3.84,100:4.20', charge in % and volts), or steady --volts; without one
it is that of the possible chemistries. A resistor run is a course for --format csv.`,
		example: `  loosecell reckon discharge --device phone --wh '15 Wh' --from '80 %' --to '25 %'
  loosecell reckon discharge --ah '3 Ah' --from '80 %' --to '25 %'
  loosecell reckon discharge --ah '3 Ah' --resistor '10 ohm' --internal-resistance '0.1 ohm' --from '80 %' --to '25 %' --table cobalt-4.20-model
  loosecell reckon discharge --volts '4.2 V' --resistor '10 ohm'
  loosecell reckon discharge --volts '4.2 V' --ah '3 Ah' --rate 0.1`,
		flags: []quantity{
			{name: "device", word: true, usage: "phone, tablet, laptop, watch, earbud, earbud-case, handheld, power-bank or other"},
			{name: "wh", unit: "Wh", usage: "energy of the full battery"},
			{name: "ah", unit: "Ah", usage: "capacity of the cell"},
			{name: "from", unit: "%", usage: "charge now"},
			{name: "to", unit: "%", usage: "charge wanted"},
			{name: "resistor", unit: "ohm", usage: "resistor at hand"},
			{name: "internal-resistance", unit: "ohm", usage: "of the cell with its board (0.06..0.32 ohm)"},
			{name: "volts", unit: "V", usage: "a steady voltage, or the one a resistor sees"},
			{name: "table", word: true, usage: "voltage table by name, see 'reckon charge --help'"},
			{name: "curve", word: true, usage: "voltage curve as charge:volts,charge:volts"},
			{name: "chemistry", word: true, usage: "lfp, lto, na-ion, lmo, nmc, nca, lco, several by commas (lmo, nmc, nca, lco)"},
			{name: "charge-limit", unit: "V", usage: "charge limit of the cell"},
			{name: "cut-off", unit: "V", usage: "lowest voltage under load"},
			{name: "rate", usage: "share of the capacity an hour, up to 0.2 (0.1)"},
			{name: "temperature", unit: "degC", usage: "air (20 degC)"},
			{name: "least", unit: "ohm", usage: "smallest resistance, to find the next preferred value"},
			{name: "e-series", word: true, usage: "E12 or E24 (both)"},
			{name: "watts", unit: "W", usage: "power of a resistor"},
			{name: "area", unit: "cm2", usage: "surface of its body"},
			{name: "current", unit: "A", usage: "current through the cell"},
			{name: "brine", unit: "Ah", usage: "capacity emptied in salt water, to see why not"},
		},
		sums: []sum{
			{"in the device", [][]string{{"device", "wh", "from", "to"}}, nil, reckonInDevice},
			{"energy taken out", [][]string{{"wh", "from", "to"}}, nil, reckonTaken},
			{"a resistor rig", [][]string{{"ah", "from", "to"}}, []string{"resistor", "internal-resistance", "table", "curve", "volts", "chemistry", "charge-limit", "cut-off", "rate", "temperature"}, reckonRig},
			{"time through a given resistor", [][]string{{"ah", "resistor", "from", "to"}}, []string{"internal-resistance", "table", "curve", "volts"}, reckonHours},
			{"power and current", [][]string{{"volts", "resistor"}}, []string{"internal-resistance"}, reckonPower},
			{"least resistance", [][]string{{"volts", "ah"}}, []string{"rate"}, reckonLeast},
			{"preferred value", [][]string{{"least"}}, []string{"e-series"}, reckonPreferred},
			{"resistor body", [][]string{{"watts"}}, []string{"area", "temperature"}, reckonBody},
			{"heat in the cell", [][]string{{"current", "internal-resistance"}}, nil, reckonCellHeat},
			{"a salt-water bath", [][]string{{"brine"}}, nil, reckonBrine},
		},
	}
}

func reckonInDevice(g *given) {
	if !g.n("to").IsExact() {
		g.fail(fmt.Errorf("--to takes one charge"))
		return
	}
	ways, err := discharge.InDevice(discharge.DeviceTask{Device: g.word("device"), EnergyWh: g.n("wh"), NowPct: g.n("from"), TargetPct: g.n("to").Middle})
	if g.fail(err) {
		return
	}
	for _, w := range ways {
		name := strings.ReplaceAll(strings.NewReplacer(" ", "_", "(", "", ")", "", ",", "").Replace(w.Load.Activity), "__", "_")
		g.put("hours_"+name, "h", "energy x (from - to) / power; warms the battery: "+string(w.Load.Warmth), "power of each load: common practice")(w.Hours, nil)
	}
}

func reckonTaken(g *given) {
	g.put("energy_taken", "Wh", "energy x (from - to)", "arithmetic")(over(func(x ...float64) (float64, error) { return x[0] * max(0, x[1]-x[2]) / 100, nil }, g.n("wh"), g.n("from"), g.n("to")))
}

// curves are the voltage curves the cell may have.
func (g *given) curves() []discharge.Curve {
	switch {
	case g.has("curve"):
		c, err := parseCurve(g.word("curve"))
		if err != nil {
			g.fail(fmt.Errorf("--curve: %w", err))
		}
		return []discharge.Curve{c}
	case g.has("volts"):
		v := g.n("volts").Middle
		return []discharge.Curve{{Volts: func(float64) float64 { return v }, Breakpoints: []float64{0, 100}}}
	}
	names := []string{g.word("table")}
	if names[0] == "" {
		var err error
		if names, _, err = battery.CandidateTables(g.cell(), battery.Maybe{}, g.maybe("charge-limit"), battery.Exact(1)); g.fail(err) {
			return nil
		}
	}
	var out []discharge.Curve
	for _, n := range names {
		t, err := battery.TableNamed(n)
		if g.fail(err) {
			return nil
		}
		out = append(out, discharge.FromTable(t))
	}
	return out
}

// cell is the chemistries a cell may have; the usual ones of a device if nobody says.
func (g *given) cell() battery.ChemistrySet {
	if !g.has("chemistry") {
		return battery.LayeredOxide
	}
	return g.chemistries()
}

// parseCurve reads '0:3.27,50:3.84,100:4.20'.
func parseCurve(text string) (discharge.Curve, error) {
	var pct, volts []float64
	for pair := range strings.SplitSeq(text, ",") {
		charge, v, ok := strings.Cut(pair, ":")
		if !ok {
			return discharge.Curve{}, fmt.Errorf("%q: write charge:volts, as in 50:3.84", pair)
		}
		x, _, err := reckoning.Parse(strings.TrimSuffix(strings.TrimSpace(charge), "%"), "")
		if err != nil {
			return discharge.Curve{}, err
		}
		y, _, err := reckoning.Parse(strings.TrimSuffix(strings.TrimSpace(v), "V"), "")
		if err != nil {
			return discharge.Curve{}, err
		}
		if len(pct) > 0 && x <= pct[len(pct)-1] {
			return discharge.Curve{}, fmt.Errorf("charge %g %% does not follow %g %%; they must rise", x, pct[len(pct)-1])
		}
		pct, volts = append(pct, x), append(volts, y)
	}
	if len(pct) < 2 || pct[0] != 0 || pct[len(pct)-1] != 100 {
		return discharge.Curve{}, fmt.Errorf("a curve runs from 0 to 100 %%")
	}
	var line interp.PiecewiseLinear
	if err := line.Fit(pct, volts); err != nil {
		return discharge.Curve{}, err
	}
	return discharge.Curve{Volts: line.Predict, Breakpoints: pct}, nil
}

// internal is the cell's resistance as given, else from a new phone cell to an aged one.
func (g *given) internal() hazards.Estimate {
	air := g.or("temperature", "degC", exact(20))
	if g.has("internal-resistance") {
		return g.n("internal-resistance")
	}
	fresh, err := battery.PhoneCellResistance(air.High, false)
	if g.fail(err) {
		return exact(1)
	}
	aged, err := battery.PhoneCellResistance(air.Low, true)
	if g.fail(err) {
		return exact(1)
	}
	return g.or("internal-resistance", "ohm", hazards.Estimate{Low: fresh.Low, Middle: fresh.Middle, High: aged.High})
}

const rigSource = "charge balance over the voltage curve; rates and ratings common practice"

func reckonRig(g *given) {
	if g.has("volts") || g.err != nil {
		return // a steady voltage is a sum by itself, not a cell
	}
	curves := g.curves()
	if g.err != nil {
		return
	}
	cutOff, limit := battery.CutOffVolts(g.cell()).High, curves[0].Volts(100)
	if limits, err := battery.ChargeLimits(g.cell(), battery.Maybe{}, g.maybe("charge-limit"), battery.Exact(1)); err == nil && !g.has("curve") && !g.has("table") {
		limit = limits.High
	}
	if g.has("charge-limit") {
		limit = g.n("charge-limit").High
	}
	task := discharge.ResistorTask{
		Curves: curves, SeriesCells: 1, CapacityAh: g.n("ah"), NowPct: g.n("from"), TargetPct: g.n("to").Low, InternalOhm: g.internal(),
		ChargeLimitV: limit, CutOffV: g.or("cut-off", "V", exact(cutOff)).High, AmbientC: g.or("temperature", "degC", exact(20)).High,
	}
	if g.has("rate") {
		task.RatePerHour = g.n("rate").Low
	}
	if g.has("resistor") {
		task.ResistorOhm = g.n("resistor").Low
	}
	p, err := discharge.ThroughResistor(task)
	if g.fail(err) {
		return
	}
	g.put("resistor", "ohm", "V/(rate x Q), next value up", "IEC 60063:2015, E12")(exact(p.ResistorOhm), nil)
	g.put("rating", "W", "V^2/R at no more than half the rating, derated for the air", "common practice")(exact(p.Body.RatedW), nil)
	g.put("power", "W", "V^2/R", "Ohm's law")(p.PowerW, nil)
	g.put("current", "A", "V/(R + r)", "Ohm's law")(p.CurrentA, nil)
	g.put("hours", "h", "Q integral of (R + r)/OCV over the charge, -10 % and +15 %", rigSource)(p.Hours, nil)
	g.put("surface", "degC", "air + P/(h A)", "common practice")(p.SurfaceC, nil)
	g.put("cell_heat", "W", "I^2 r", "Ohm's law")(exact(p.CellHeatW), nil)
	g.put("stop_rested", "V", "voltage at the target, at rest after 30 min, never under the lower limit", rigSource)(exact(p.StopRestV), nil)
	g.put("stop_loaded", "V", "rested x R/(R + r)", rigSource)(exact(p.StopLoadedV), nil)
	g.put("stop_charge", "%", "highest charge that the rested stop can stand for", rigSource)(exact(p.StopPct), nil)
	g.say("due", yesOrNo(p.Due), "charge now may lie over the target", "arithmetic")
	g.say("target_in_volts", yesOrNo(p.InVolts), "the curve is flat: go by volts, not by per cent", rigSource)
	g.say("at_lower_limit", yesOrNo(p.AtLowerLimit), "the target lies under the cell's lower limit: the plan stops at the limit", rigSource)
	g.say("stand_off", yesOrNo(p.StandOff), "hot enough to char what it lies on: ceramic or metal under it", "Babrauskas et al. 2007")
}

func yesOrNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// reckonHours is the plain integral for the resistor that was given, and its course.
func reckonHours(g *given) {
	curves := g.curves()
	if g.err != nil || !g.n("from").IsExact() || !g.n("to").IsExact() {
		return
	}
	from, to := g.n("from").Middle, g.n("to").Middle
	inner := exact(0)
	if g.has("internal-resistance") {
		inner = g.n("internal-resistance")
	}
	g.put("hours_exact", "h", "Q integral of (R + r)/OCV over the charge", "Ohm's law and charge balance, without margins")(over(func(x ...float64) (float64, error) {
		return discharge.HoursThrough(curves[0], x[0], x[1]+x[2], from, to)
	}, g.n("ah"), g.n("resistor"), inner))
	g.put("charge_taken", "Ah", "capacity x (from - to)", "arithmetic")(over(func(x ...float64) (float64, error) { return x[0] * max(0, from-to) / 100, nil }, g.n("ah")))
	if g.err != nil || from <= to {
		return
	}
	course, err := dischargeCourse(curves[0], g.n("ah").Middle, g.n("resistor").Middle, inner.Middle, from, to)
	if !g.fail(err) {
		g.report.Course = &course
	}
}

// dischargeCourse turns the time at each charge into the charge at equal times.
func dischargeCourse(c discharge.Curve, ah, ohm, inner, from, to float64) (reckoning.Course, error) {
	const points = 200
	hours, charge := make([]float64, points+1), make([]float64, points+1)
	for i := range hours {
		charge[i] = from - (from-to)*float64(i)/points
		var err error
		if hours[i], err = discharge.HoursThrough(c, ah, ohm+inner, from, charge[i]); err != nil {
			return reckoning.Course{}, err
		}
	}
	var at interp.PiecewiseLinear
	if err := at.Fit(hours, charge); err != nil {
		return reckoning.Course{}, err
	}
	out := reckoning.Course{Columns: []string{"hours", "charge_pct", "rest_v", "loaded_v", "current_a", "resistor_w"}}
	const rows = 50
	for i := range rows + 1 {
		t := hours[points] * float64(i) / rows
		pct := at.Predict(t)
		v := c.Volts(pct)
		current := v / (ohm + inner)
		out.Rows = append(out.Rows, []float64{t, pct, v, current * ohm, current, current * current * ohm})
	}
	return out, nil
}

func reckonPower(g *given) {
	inner := exact(0)
	if g.has("internal-resistance") {
		inner = g.n("internal-resistance")
	}
	in := []hazards.Estimate{g.n("volts"), g.n("resistor"), inner}
	g.put("resistor_power", "W", "V^2/R, the full voltage on the resistor", "Ohm's law")(over(func(x ...float64) (float64, error) {
		return positiveRatio("--resistor", x[0]*x[0], x[1])
	}, in...))
	g.put("resistor_current", "A", "V/(R + r)", "Ohm's law")(over(func(x ...float64) (float64, error) { return positiveRatio("resistance", x[0], x[1]+x[2]) }, in...))
	g.put("rating_wanted", "W", "twice the power", "common practice")(over(func(x ...float64) (float64, error) { return positiveRatio("--resistor", 2*x[0]*x[0], x[1]) }, in...))
}

func reckonLeast(g *given) {
	if g.has("from") {
		return
	}
	rate := g.or("rate", "", exact(discharge.GentleRate))
	least, err := over(func(x ...float64) (float64, error) { return discharge.LeastOhm(x[0], x[1], x[2]) }, g.n("volts"), g.n("ah"), rate)
	g.put("least_resistance", "ohm", "V/(rate x Q)", "Ohm's law; a tenth of the capacity an hour is gentle, a fifth the most: common practice")(least, err)
	if err == nil {
		e, err := discharge.Preferred("E12", least.High)
		g.put("preferred_e12", "ohm", "next value up", "IEC 60063:2015")(exact(e), err)
		g.put("rate_current", "A", "rate x Q", "arithmetic")(over(func(x ...float64) (float64, error) { return x[0] * x[1], nil }, g.n("ah"), rate))
		g.put("least_power", "W", "V^2/R at the least resistance", "Ohm's law")(over(func(x ...float64) (float64, error) { return x[0] * x[1] * x[2], nil }, g.n("volts"), g.n("ah"), rate))
	}
}

func reckonPreferred(g *given) {
	for _, s := range []string{"E12", "E24"} {
		if w := g.word("e-series"); w != "" && w != s {
			g.oneOf("e-series", w, "E12", "E24")
			continue
		}
		g.put("preferred_"+strings.ToLower(s), "ohm", "smallest value of the series that is at least so much", "IEC 60063:2015")(over(func(x ...float64) (float64, error) {
			return discharge.Preferred(s, x[0])
		}, g.n("least")))
	}
}

func reckonBody(g *given) {
	air := g.or("temperature", "degC", exact(20))
	watts := g.n("watts")
	if g.has("area") {
		rise, err := discharge.SurfaceRise(watts.High, g.n("area").Low)
		low, errLow := discharge.SurfaceRise(watts.Low, g.n("area").High)
		mid, errMid := discharge.SurfaceRise(watts.Middle, g.n("area").Middle)
		if g.fail(err) || g.fail(errLow) || g.fail(errMid) {
			return
		}
		g.put("surface_rise", "K", "P/(h A), h 10 to 15 W/(m2 K)", "common practice")(hazards.Estimate{Low: low.Low, Middle: mid.Middle, High: rise.High}, nil)
		return
	}
	b, err := discharge.PickBody(watts.High, air.High)
	if g.fail(err) {
		return
	}
	g.put("rating", "W", "smallest usual body at no more than half its derated power", "common practice; linear derating")(exact(b.RatedW), nil)
	g.put("usable", "W", "half the rating x (Tmax - T)/(Tmax - Tref)", "linear derating, secondary")(exact(b.UsableW(air.High)), nil)
	g.say("body", b.Kind, "usual kinds of body", "common practice")
}

func reckonCellHeat(g *given) {
	g.put("cell_heat", "W", "I^2 r", "Ohm's law; a cell that grows warm on a slow discharge has a fault")(over(func(x ...float64) (float64, error) { return x[0] * x[0] * x[1], nil }, g.n("current"), g.n("internal-resistance")))
}

func reckonBrine(g *given) {
	const source = "Faraday's law; a bench uses no such bath"
	for _, b := range []struct {
		name, unit string
		of         func(discharge.Brine) float64
	}{{"hydrogen", "mol", func(b discharge.Brine) float64 { return b.HydrogenMol }}, {"hydrogen_volume", "L", func(b discharge.Brine) float64 { return b.HydrogenL }},
		{"chlorine", "g", func(b discharge.Brine) float64 { return b.ChlorineG }}} {
		g.put(b.name, b.unit, "Q/(2F), at most", source)(over(func(x ...float64) (float64, error) {
			most, err := discharge.BrineLimit(x[0])
			return b.of(most), err
		}, g.n("brine")))
	}
}
