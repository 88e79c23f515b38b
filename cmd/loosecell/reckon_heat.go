package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loosecell/cmd/loosecell/internal/reckoning"
	"loosecell/hazards"
	"loosecell/hazards/heat"
)

func heatModel() model {
	return model{
		name: "heat", short: "Warming through a device's layers, softening, touch, and the textbook forms",
		long: `The temperature of adhesive and cell while a pad or hot air warms one face of a
device; when the adhesive is soft and when the cell passes its limit; cooling,
touch, softening; and the closed forms the solver is checked against.

A --layer is a material and a thickness, 'glass:0.7 mm', or a conductivity and a
thickness, '0.78 W/(m K):8 mm'; the heated side comes first. A --stack is one of
` + strings.Join(append(heat.StackNames(), heat.RimNames()...), ", ") + `.
The course of a recipe is printed by --format csv.`,
		example: `  loosecell reckon heat --stack phone-back-glass --set-point '70 degC' --minutes '10 min' --temperature '20 degC'
  loosecell reckon heat --layer 'glass:0.7 mm' --layer 'acrylic-psa:0.15 mm' --layer 'pouch-cell:5 mm' --set-point '60 degC' --minutes '2 min'
  loosecell reckon heat --hot '20 degC' --cold '-10 degC' --inside-film '10 W/(m2 K)' --layer '0.78 W/(m K):8 mm' --outside-film '40 W/(m2 K)' --area '1.2 m2'
  loosecell reckon heat --biot 1
  loosecell reckon heat --adhesive-temperature '70 degC' --reference '23 degC'`,
		flags: heatFlags(),
		sums: []sum{
			{"a warming", [][]string{{"stack", "set-point", "minutes"}, {"layer", "set-point", "minutes"}},
				[]string{"temperature", "start", "heater", "contact", "film", "cell-limit", "soft", "surface", "contact-time", "distance", "every"}, reckonWarming},
			{"steady heat through layers", [][]string{{"hot", "cold", "layer"}, {"hot", "cold", "resistance"}},
				[]string{"layer", "resistance", "inside-film", "outside-film", "area"}, reckonSteady},
			{"a heated joint", [][]string{{"flux", "ambient", "layer", "resistance", "film"}}, nil, reckonJoint},
			{"thickness that equals a contact", [][]string{{"resistance", "conductivity"}, {"film", "conductivity"}}, nil, reckonEquivalentThickness},
			{"eigenvalue of a plane wall", [][]string{{"biot"}}, []string{"fourier", "place", "start", "ambient"}, reckonBiot},
			{"plane wall", [][]string{{"half-thickness", "conductivity", "film", "time", "start", "ambient"}},
				[]string{"density", "specific-heat", "diffusivity", "place"}, reckonPlaneWall},
			{"time for a wall to warm through", [][]string{{"thickness", "diffusivity", "left"}}, []string{"biot", "resistance", "conductivity", "place"}, reckonWarmThrough},
			{"one-temperature body", [][]string{{"density", "specific-heat", "length", "film"}, {"density", "specific-heat", "diameter", "film"}},
				[]string{"conductivity", "left", "time", "start", "ambient", "target"}, reckonLumped},
			{"half-space with a fixed face", [][]string{{"face", "start", "depth", "time", "diffusivity"}, {"face", "start", "depth", "time", "conductivity", "density", "specific-heat"},
				{"face", "start", "target", "time", "diffusivity"}, {"face", "start", "target", "time", "conductivity", "density", "specific-heat"}}, nil, reckonFixed},
			{"half-space with a flux", [][]string{{"flux", "start", "depth", "time", "conductivity", "diffusivity"}}, nil, reckonFlux},
			{"half-space in a fluid", [][]string{{"film", "start", "ambient", "depth", "time", "conductivity", "diffusivity"},
				{"film", "start", "ambient", "depth", "target", "conductivity", "diffusivity"}}, nil, reckonConvection},
			{"touch", [][]string{{"surface", "contact-time"}}, nil, reckonTouch},
			{"softening", [][]string{{"adhesive-temperature"}}, []string{"reference", "glass-point"}, reckonSoftening},
		},
	}
}

func heatFlags() []quantity {
	return []quantity{
		{name: "stack", word: true, usage: "named layers of a device"},
		{name: "layer", word: true, many: true, usage: "material:thickness, heated side first"},
		{name: "set-point", unit: "degC", usage: "what the heater is set to"},
		{name: "minutes", unit: "min", usage: "how long"},
		{name: "temperature", unit: "degC", usage: "air of the room (20 degC)"},
		{name: "start", unit: "degC", usage: "device or body when the heat comes on (the room)"},
		{name: "heater", word: true, usage: "pad or hot-air (pad)"},
		{name: "contact", unit: "m2 K/W", usage: "resistance between pad and device (2e-4..1e-3)"},
		{name: "film", unit: "W/(m2 K)", usage: "heat-transfer coefficient to air or fluid (8..12 on the far face)"},
		{name: "cell-limit", unit: "degC", usage: "what no part of the cell should pass (60 degC)"},
		{name: "soft", unit: "degC", usage: "adhesive is soft from here (50 degC)"},
		{name: "surface", word: true, usage: "metal, glass, plastic or wood, for touch and cooling"},
		{name: "contact-time", unit: "s", usage: "how long a finger touches"},
		{name: "distance", unit: "mm", usage: "rim stacks: from the heated strip to the cell (10 mm)"},
		{name: "every", unit: "min", usage: "step of the course (a fiftieth of the time)"},
		{name: "hot", unit: "degC", usage: "warm side"},
		{name: "cold", unit: "degC", usage: "cold side"},
		{name: "resistance", unit: "m2 K/W", usage: "a resistance in series"},
		{name: "inside-film", unit: "W/(m2 K)", usage: "film on the warm side"},
		{name: "outside-film", unit: "W/(m2 K)", usage: "film on the cold side"},
		{name: "area", unit: "m2", usage: "area the heat crosses"},
		{name: "biot", usage: "Biot number"},
		{name: "fourier", usage: "Fourier number"},
		{name: "place", usage: "0 at the insulated face or middle, 1 at the wetted face (both)"},
		{name: "half-thickness", unit: "mm", usage: "half a wall, or a wall with one face insulated"},
		{name: "thickness", unit: "mm", usage: "a wall with one face insulated"},
		{name: "conductivity", unit: "W/(m K)", usage: "conductivity"},
		{name: "density", unit: "kg/m3", usage: "density"},
		{name: "specific-heat", unit: "J/(kg K)", usage: "specific heat"},
		{name: "diffusivity", unit: "m2/s", usage: "diffusivity"},
		{name: "length", unit: "mm", usage: "volume over surface of a body"},
		{name: "diameter", unit: "mm", usage: "of a sphere"},
		{name: "depth", unit: "mm", usage: "below the face"},
		{name: "time", unit: "s", usage: "time"},
		{name: "face", unit: "degC", usage: "temperature the face is held at"},
		{name: "ambient", unit: "degC", usage: "fluid or room round the body"},
		{name: "target", unit: "degC", usage: "temperature to reach"},
		{name: "flux", unit: "W/m2", usage: "heat into the face"},
		{name: "left", unit: "%", usage: "share of the first temperature difference that is left"},
		{name: "adhesive-temperature", unit: "degC", usage: "adhesive"},
		{name: "reference", unit: "degC", usage: "temperature compared with (23 degC)"},
		{name: "glass-point", unit: "degC", usage: "glass transition of the adhesive (-40 degC)"},
	}
}

const conduction = "Incropera et al., Fundamentals of Heat and Mass Transfer, chapters 3 and 5; layer data with EN 12524"

// stack is the named stack or the list of layers.
func (g *given) stack() heat.Stack {
	if g.has("stack") {
		if g.has("layer") {
			g.fail(fmt.Errorf("give --stack or --layer, not both"))
			return nil
		}
		s, err := heat.StackNamed(g.word("stack"))
		g.fail(err)
		return s
	}
	var s heat.Stack
	for _, text := range g.words["layer"] {
		name, thick, ok := strings.Cut(text, ":")
		if !ok {
			g.fail(fmt.Errorf("--layer %q: write material:thickness, as in 'glass:0.7 mm'", text))
			return nil
		}
		low, high, err := reckoning.Parse(thick, "mm")
		if err != nil {
			g.fail(fmt.Errorf("--layer %q: %w", text, err))
			return nil
		}
		s = append(s, heat.Layer{Material: strings.TrimSpace(name), ThicknessMM: hazards.Estimate{Low: low, Middle: low + (high-low)/2, High: high}})
	}
	return s
}

func reckonWarming(g *given) {
	stack := g.stack()
	if g.err != nil {
		return
	}
	minutes := g.n("minutes")
	if !minutes.IsExact() {
		g.fail(fmt.Errorf("--minutes takes one time"))
		return
	}
	air := g.or("temperature", "degC", exact(20))
	limit := g.or("cell-limit", "degC", exact(60))
	r := heat.NewRecipe(stack, g.n("set-point"), air, minutes.Middle, limit.Low)
	r.SoftC = g.or("soft", "degC", exact(heat.DefaultSoftC)).High
	if g.has("start") {
		r.StartC = g.n("start")
	}
	if slices.Contains(heat.RimNames(), g.word("stack")) {
		r.FilmWM2K = heat.RimSink()
	}
	r.FilmWM2K = g.or("film", "W/(m2 K)", r.FilmWM2K)
	switch heater := g.word("heater"); heater {
	case "hot-air":
		h, err := heat.HotAir(g.n("set-point"), heat.HotAirFilm())
		if g.fail(err) {
			return
		}
		r.Heater = h
	default:
		if !g.oneOf("heater", heater, "pad", "hot-air") {
			return
		}
		r.Heater = heat.Pad(g.n("set-point"), g.or("contact", "m2 K/W", heat.PadContact()))
	}
	if slices.Contains(heat.RimNames(), g.word("stack")) {
		g.rim(r)
		return
	}
	c, err := r.Assess()
	if g.fail(err) {
		return
	}
	g.course(c, minutes.Middle, limit.Low)
}

func (g *given) rim(r heat.Recipe) {
	c, err := r.Rim(g.or("distance", "mm", exact(10)).Low)
	if g.fail(err) {
		return
	}
	g.passage("adhesive_soft", c.Soft, "first time the whole adhesive is soft")
	g.put("adhesive_end", "degC", "conduction through the rim", conduction)(c.AdhesiveAtEndC, nil)
	g.put("hottest_possible", "degC", "maximum principle: nothing passes heater, air or start", "Carslaw and Jaeger, section 1.14, from memory")(c.HottestPossibleC, nil)
	g.put("decay_length", "mm", "sqrt(k d / h)", "Incropera et al., table 3.4, from memory")(c.DecayMM, nil)
	g.put("cover_over_cell", "degC", "excess x exp(-x / decay length)", "Incropera et al., table 3.4, from memory")(c.CoverOverCellC, nil)
}

// course adds all that a warming answers.
func (g *given) course(c heat.Course, minutes, limitC float64) {
	g.passage("adhesive_soft", c.Soft, "first time the whole adhesive is at its softening temperature")
	g.passage("cell_passes_limit", c.PassesLimit, "first time any part of the cell is over its limit")
	const solver = "one-dimensional transient conduction, finite volumes"
	for _, p := range []struct {
		name string
		e    hazards.Estimate
	}{{"adhesive_end", c.AtEnd.AdhesiveC}, {"cell_near_end", c.AtEnd.CellNearC}, {"cell_far_end", c.AtEnd.CellFarC}} {
		g.put(p.name, "degC", solver, conduction)(p.e, nil)
	}
	g.put("hottest_possible", "degC", "maximum principle: nothing passes heater, air or start", "Carslaw and Jaeger, section 1.14, from memory")(c.HottestPossibleC, nil)
	g.say("worth_it", string(c.Worth), "soft within the time and before the cell's limit, in every case, in none, or open", conduction)
	for _, l := range []struct {
		name, formula string
		level         heat.Level
	}{{"soft_from_set_point", "lowest set-point that surely softens in the time", c.SoftFrom},
		{"stays_under_set_point", "highest set-point at which the computed cell stays under its limit in the time", c.StaysUnder},
		{"sure_under_set_point", "highest set-point at which nothing can pass the limit, ever", c.SureUnder}} {
		if l.level.Exists {
			g.put(l.name, "degC", l.formula, conduction)(exact(l.level.C), nil)
		} else {
			g.say(l.name, "none", l.formula, conduction)
		}
	}
	surface := heat.Glass
	if w := g.word("surface"); w != "" {
		surface = heat.Surface(w)
	}
	held := g.or("contact-time", "s", exact(10))
	wait, err := c.Cooling(surface, held.High)
	if g.fail(err) {
		return
	}
	g.moment("cooling_expected", wait.Middle, "both outer faces under the touch limit, lying free")
	g.moment("cooling_at_most", wait.Latest, "the same from the hottest start")
	step := max(g.or("every", "min", exact(minutes/50)).Low, minutes/5000)
	if !(step > 0) {
		g.fail(fmt.Errorf("--every is %g min; it must be above zero", step))
		return
	}
	table := reckoning.Course{Columns: []string{"minutes"}}
	for _, name := range []string{"adhesive", "cell_near", "cell_far"} {
		table.Columns = append(table.Columns, reckoning.Band(name, "c")...)
	}
	for i := 0; ; i++ {
		t := min(minutes, float64(i)*step)
		s, err := c.At(t)
		if g.fail(err) {
			return
		}
		row := []float64{t}
		for _, e := range []hazards.Estimate{s.AdhesiveC, s.CellNearC, s.CellFarC} {
			row = append(row, e.Low, e.Middle, e.High)
		}
		table.Rows = append(table.Rows, row)
		if t >= minutes {
			break
		}
	}
	g.report.Course = &table
}

func (g *given) passage(name string, p heat.Passage, formula string) {
	g.moment(name+"_earliest", p.Earliest, formula)
	g.moment(name+"_expected", p.Middle, formula)
	g.moment(name+"_latest", p.Latest, formula)
}

func (g *given) moment(name string, m heat.Moment, formula string) {
	if !m.Reached {
		g.say(name, "not within the time followed", formula, conduction)
		return
	}
	g.put(name, "min", formula, conduction)(exact(m.Minutes), nil)
}

// resistances are the layers and resistances in series, m2 K/W, at their middle.
func (g *given) resistances() []hazards.Estimate {
	var out []hazards.Estimate
	for _, text := range g.words["layer"] {
		out = append(out, g.layerResistance(text))
	}
	for _, text := range g.words["resistance"] {
		low, high, err := reckoning.Parse(text, "m2 K/W")
		if err != nil {
			g.fail(fmt.Errorf("--resistance: %w", err))
			return nil
		}
		out = append(out, hazards.Estimate{Low: low, Middle: low + (high-low)/2, High: high})
	}
	return out
}

// layerResistance is thickness over conductivity of 'glass:8 mm' or
// '0.78 W/(m K):8 mm'.
func (g *given) layerResistance(text string) hazards.Estimate {
	what, thick, ok := strings.Cut(text, ":")
	if !ok {
		g.fail(fmt.Errorf("--layer %q: write material:thickness or conductivity:thickness, as in '0.78 W/(m K):8 mm'", text))
		return hazards.Estimate{}
	}
	k, err := conductivityOf(what)
	if err != nil {
		g.fail(fmt.Errorf("--layer %q: %w", text, err))
		return hazards.Estimate{}
	}
	low, high, err := reckoning.Parse(thick, "mm")
	if err != nil {
		g.fail(fmt.Errorf("--layer %q: %w", text, err))
		return hazards.Estimate{}
	}
	e, err := over(func(x ...float64) (float64, error) { return heat.LayerResistance(x[0]/1000, x[1]) },
		hazards.Estimate{Low: low, Middle: low + (high-low)/2, High: high}, k)
	g.fail(err)
	return e
}

func conductivityOf(what string) (hazards.Estimate, error) {
	what = strings.TrimSpace(what)
	if what != "" && (what[0] >= '0' && what[0] <= '9' || what[0] == '.') {
		low, high, err := reckoning.Parse(what, "W/(m K)")
		return hazards.Estimate{Low: low, Middle: low + (high-low)/2, High: high}, err
	}
	m, err := heat.MaterialNamed(what)
	return m.Conductivity, err
}

func reckonSteady(g *given) {
	series := g.resistances()
	if g.err == nil && g.has("inside-film") {
		first, err := over(inverse("--inside-film"), g.n("inside-film"))
		g.fail(err)
		series = append([]hazards.Estimate{first}, series...)
	}
	if g.err == nil && g.has("outside-film") {
		last, err := over(inverse("--outside-film"), g.n("outside-film"))
		g.fail(err)
		series = append(series, last)
	}
	if len(series) > 12 {
		g.fail(fmt.Errorf("%d layers and resistances; at most 12 fit", len(series)))
	}
	if g.err != nil {
		return
	}
	in := append([]hazards.Estimate{g.n("hot"), g.n("cold")}, series...)
	flux := func(x ...float64) (float64, error) { return heat.SeriesFlux(x[0], x[1], x[2:]...) }
	total := exact(0)
	for _, r := range series {
		total = hazards.Estimate{Low: total.Low + r.Low, Middle: total.Middle + r.Middle, High: total.High + r.High}
	}
	g.put("resistance", "m2 K/W", "sum of d/k, 1/h and contacts", conduction)(total, nil)
	g.put("flux", "W/m2", "(hot - cold) / resistance", conduction)(over(flux, in...))
	if g.has("area") {
		area := g.n("area")
		g.put("power", "W", "flux x area", conduction)(over(func(x ...float64) (float64, error) {
			q, err := flux(x[1:]...)
			return q * x[0], err
		}, append([]hazards.Estimate{area}, in...)...))
	}
	name := "after_first_layer"
	if g.has("inside-film") {
		name = "inner_face"
	}
	g.put(name, "degC", "hot - flux x first resistance", conduction)(over(func(x ...float64) (float64, error) {
		q, err := flux(x...)
		return x[0] - q*x[2], err
	}, in...))
}

func inverse(what string) func(x ...float64) (float64, error) {
	return func(x ...float64) (float64, error) { return positiveRatio(what, 1, x[0]) }
}

// reckonJoint is a heated face that loses heat by its own film, and by a
// contact, a plate and a film behind it.
func reckonJoint(g *given) {
	series := g.resistances()
	if g.err != nil {
		return
	}
	in := append([]hazards.Estimate{g.n("flux"), g.n("ambient"), g.n("film")}, series...)
	g.put("joint", "degC", "ambient + flux / (h + 1/(contact + d/k + 1/h))", "Incropera et al., example 3.2")(over(func(x ...float64) (float64, error) {
		film, err := positiveRatio("--film", 1, x[2])
		if err != nil {
			return 0, err
		}
		up, err := heat.SeriesFlux(1, 0, film)
		if err != nil {
			return 0, err
		}
		down, err := heat.SeriesFlux(1, 0, append(slices.Clone(x[3:]), film)...)
		return x[1] + x[0]/(up+down), err
	}, in...))
}

func reckonEquivalentThickness(g *given) {
	if g.has("resistance") {
		series := g.resistances()
		if g.err == nil && !g.has("thickness") {
			g.put("equal_thickness", "mm", "resistance x k", conduction)(over(func(x ...float64) (float64, error) { return x[0] * x[1] * 1000, nil }, series[0], g.n("conductivity")))
		}
		return
	}
	if g.has("time") || g.has("density") || g.has("flux") {
		return // a film that belongs to another question
	}
	g.put("equal_thickness", "mm", "k / h", conduction)(over(func(x ...float64) (float64, error) { return positiveRatio("--film", 1000*x[1], x[0]) }, g.n("film"), g.n("conductivity")))
}

func reckonBiot(g *given) {
	bi := g.n("biot")
	if g.has("thickness") {
		return
	}
	const source = "Incropera et al., eqs. 5.42 and 5.43"
	root := func(x ...float64) (float64, error) { return heat.Eigenvalue(x[0], 1) }
	g.put("eigenvalue", "", "z tan z = Bi", source)(over(root, bi))
	g.put("amplitude", "", "C1 = 4 sin z / (2 z + sin 2 z)", source)(over(func(x ...float64) (float64, error) {
		z, err := root(x...)
		return 4 * math.Sin(z) / (2*z + math.Sin(2*z)), err
	}, bi))
	if !g.has("fourier") {
		return
	}
	g.wallShares(bi, g.n("fourier"))
}

// wallShares adds the share of the first difference left at a place, or at both
// faces, and the temperature where start and ambient are known.
func (g *given) wallShares(bi, fo hazards.Estimate) {
	places := map[string]hazards.Estimate{"_insulated_face": exact(0), "_wetted_face": exact(1)}
	if g.has("place") {
		places = map[string]hazards.Estimate{"": g.n("place")}
	}
	const source = "Incropera et al., eqs. 5.42 and 5.43"
	for _, at := range []string{"", "_insulated_face", "_wetted_face"} {
		place, ok := places[at]
		if !ok {
			continue
		}
		one := func(x ...float64) (float64, error) { return heat.OneTerm(x[0], x[1], x[2]) }
		series := func(x ...float64) (float64, error) { return heat.PlaneWall(x[0], x[1], x[2]) }
		if fo.Low >= heat.MinOneTermFourier {
			g.put("left_one_term"+at, "", "C1 exp(-z^2 Fo) cos(z x/L)", source)(over(one, bi, fo, place))
		}
		g.put("left"+at, "", "the whole series", source)(over(series, bi, fo, place))
		if !g.has("start", "ambient") {
			continue
		}
		warm := func(f func(x ...float64) (float64, error)) func(x ...float64) (float64, error) {
			return func(x ...float64) (float64, error) {
				left, err := f(x[:3]...)
				return x[4] + left*(x[3]-x[4]), err
			}
		}
		if fo.Low >= heat.MinOneTermFourier {
			g.put("temperature_one_term"+at, "degC", "ambient + left x (start - ambient)", source)(over(warm(one), bi, fo, place, g.n("start"), g.n("ambient")))
		}
		g.put("temperature"+at, "degC", "ambient + left x (start - ambient)", source)(over(warm(series), bi, fo, place, g.n("start"), g.n("ambient")))
	}
}

// alpha is the diffusivity as given, or conductivity / (density x specific heat).
func (g *given) alpha() hazards.Estimate {
	if g.has("diffusivity") {
		return g.n("diffusivity")
	}
	if !g.has("conductivity", "density", "specific-heat") {
		g.fail(fmt.Errorf("give --diffusivity, or --conductivity, --density and --specific-heat"))
		return exact(1)
	}
	e, err := over(func(x ...float64) (float64, error) { return positiveRatio("heat capacity", x[0], x[1]*x[2]) },
		g.n("conductivity"), g.n("density"), g.n("specific-heat"))
	g.fail(err)
	return e
}

func reckonPlaneWall(g *given) {
	alpha := g.alpha()
	if g.err != nil {
		return
	}
	half := g.n("half-thickness")
	bi, err := over(func(x ...float64) (float64, error) { return heat.Biot(x[0], x[1]/1000, x[2]) }, g.n("film"), half, g.n("conductivity"))
	g.put("biot", "", "h L / k", conduction)(bi, err)
	fo, err := over(func(x ...float64) (float64, error) {
		return positiveRatio("--half-thickness", x[0]*x[1], x[2]*x[2]*1e-6)
	}, alpha, g.n("time"), half)
	g.put("fourier", "", "alpha t / L^2", conduction)(fo, err)
	if g.err == nil {
		g.wallShares(bi, fo)
	}
}

// reckonWarmThrough is the time until the insulated face has so much of the
// difference left; Bi is given, or k and the resistance in front, or infinite.
func reckonWarmThrough(g *given) {
	bi := exact(1e9)
	switch {
	case g.has("biot"):
		bi = g.n("biot")
	case g.has("resistance", "conductivity"):
		var err error
		bi, err = over(func(x ...float64) (float64, error) { return positiveRatio("--resistance", x[0]/1000, x[1]*x[2]) },
			g.n("thickness"), g.n("conductivity"), g.firstResistance())
		if g.fail(err) {
			return
		}
	}
	place := exact(0)
	if g.has("place") {
		place = g.n("place")
	}
	g.put("time", "s", "Fourier number at which the share is left, x L^2 / alpha", "Incropera et al., eq. 5.42a")(over(func(x ...float64) (float64, error) {
		fo, err := fourierAt(x[0], x[3]/100, x[4])
		if err != nil {
			return 0, err
		}
		return positiveRatio("--diffusivity", fo*x[1]*x[1]*1e-6, x[2])
	}, bi, g.n("thickness"), g.n("diffusivity"), g.n("left"), place))
}

func (g *given) firstResistance() hazards.Estimate { return g.n("resistance") }

// fourierAt halves its way to the Fourier number at which a share is left.
func fourierAt(biot, left, place float64) (float64, error) {
	low, high := 1e-3, 1e4
	if !(left > 0 && left < 1) {
		return 0, fmt.Errorf("--left is %g %%; a share above 0 and under 100 %% fits", left*100)
	}
	for range 200 {
		mid := math.Sqrt(low * high)
		share, err := heat.PlaneWall(biot, mid, place)
		if err != nil {
			return 0, err
		}
		if share > left {
			low = mid
		} else {
			high = mid
		}
	}
	return low, nil
}

func reckonLumped(g *given) {
	length := g.n("length")
	if g.has("diameter") {
		length, g.err = g.n("diameter").Scale(1.0 / 6)
	}
	const source = "Incropera et al., eqs. 5.6 and 5.7"
	tau, err := over(func(x ...float64) (float64, error) { return heat.LumpedTimeConstantS(x[0], x[1], x[2]/1000, x[3]) },
		g.n("density"), g.n("specific-heat"), length, g.n("film"))
	g.put("time_constant", "s", "rho c L / h, L volume over surface", source)(tau, err)
	if g.has("conductivity") {
		g.put("biot", "", "h L / k; under 0.1 one temperature will do", source)(over(func(x ...float64) (float64, error) { return heat.Biot(x[0], x[1]/1000, x[2]) },
			g.n("film"), length, g.n("conductivity")))
	}
	if g.err != nil {
		return
	}
	if g.has("left") {
		g.put("time_to_share", "s", "time constant x ln(1/left)", source)(over(func(x ...float64) (float64, error) {
			return heat.LumpedTimeS(1, 0, x[1]/100, x[0])
		}, tau, g.n("left")))
	}
	if g.has("start", "ambient", "target") {
		g.put("time_to_target", "s", "time constant x ln((start - ambient)/(target - ambient))", source)(over(func(x ...float64) (float64, error) {
			return heat.LumpedTimeS(x[1], x[2], x[3], x[0])
		}, tau, g.n("start"), g.n("ambient"), g.n("target")))
	}
	if g.has("start", "ambient", "time") {
		g.put("temperature", "degC", "ambient + (start - ambient) exp(-t/time constant)", source)(over(func(x ...float64) (float64, error) {
			return heat.LumpedTemperatureC(x[1], x[2], x[3], x[0])
		}, tau, g.n("start"), g.n("ambient"), g.n("time")))
	}
}

const halfSpace = "Incropera et al., section 5.7; Carslaw and Jaeger, chapter II, from memory"

func reckonFixed(g *given) {
	alpha := g.alpha()
	if g.err != nil {
		return
	}
	if g.has("depth") {
		g.put("temperature", "degC", "face + (start - face) erf(x / 2 sqrt(alpha t))", halfSpace)(over(func(x ...float64) (float64, error) {
			return heat.SemiInfiniteFixedC(x[0], x[1], x[2]/1000, x[3], x[4])
		}, g.n("start"), g.n("face"), g.n("depth"), g.n("time"), alpha))
	}
	if g.has("target") {
		g.put("depth", "m", "2 sqrt(alpha t) erf^-1((target - face)/(start - face))", halfSpace)(over(func(x ...float64) (float64, error) {
			return heat.SemiInfiniteFixedDepthM(x[0], x[1], x[2], x[3], x[4])
		}, g.n("start"), g.n("face"), g.n("target"), g.n("time"), alpha))
	}
}

func reckonFlux(g *given) {
	g.put("temperature", "degC", "start + (2q/k) sqrt(alpha t/pi) exp(-x^2/4 alpha t) - (q x/k) erfc(x / 2 sqrt(alpha t))", halfSpace)(over(func(x ...float64) (float64, error) {
		return heat.SemiInfiniteFluxC(x[0], x[1], x[2]/1000, x[3], x[4], x[5])
	}, g.n("start"), g.n("flux"), g.n("depth"), g.n("time"), g.n("conductivity"), g.n("diffusivity")))
}

func reckonConvection(g *given) {
	warm := func(x ...float64) (float64, error) {
		return heat.SemiInfiniteConvectionC(x[0], x[1], x[2], x[3]/1000, x[4], x[5], x[6])
	}
	const formula = "erfc(a) - exp(h x/k + h^2 alpha t/k^2) erfc(a + h sqrt(alpha t)/k), a = x / 2 sqrt(alpha t)"
	if g.has("time") {
		g.put("temperature", "degC", formula, halfSpace)(over(warm, g.n("start"), g.n("ambient"), g.n("film"), g.n("depth"), g.n("time"), g.n("conductivity"), g.n("diffusivity")))
	}
	if g.has("target") {
		g.put("time_to_target", "s", formula+", solved for t", halfSpace)(over(func(x ...float64) (float64, error) {
			return timeAt(x[4], func(t float64) (float64, error) { return warm(x[0], x[1], x[2], x[3], t, x[5], x[6]) }, x[0], x[1])
		}, g.n("start"), g.n("ambient"), g.n("film"), g.n("depth"), g.n("target"), g.n("conductivity"), g.n("diffusivity")))
	}
}

// timeAt halves its way to the time at which a course from start towards ambient
// passes a target.
func timeAt(target float64, course func(t float64) (float64, error), start, ambient float64) (float64, error) {
	if !(min(start, ambient) < target && target < max(start, ambient)) {
		return 0, fmt.Errorf("--target %g degC does not lie between start and ambient", target)
	}
	low, high := 1e-3, 1e9
	for range 200 {
		mid := math.Sqrt(low * high)
		at, err := course(mid)
		if err != nil {
			return 0, err
		}
		if (at > target) == (start > target) {
			low = mid
		} else {
			high = mid
		}
	}
	return low, nil
}

func reckonTouch(g *given) {
	if g.has("set-point") {
		return
	}
	surface := heat.Surface(g.word("surface"))
	g.put("touch_limit", "degC", "lower of two lists for the contact time", "EN ISO 13732-1 bands, from memory; list of times to serious burn, weak")(over(func(x ...float64) (float64, error) {
		return heat.TouchLimitC(surface, x[0])
	}, g.n("contact-time")))
}

func reckonSoftening(g *given) {
	at := g.n("adhesive-temperature")
	g.put("shift", "", "10^(-17.44 (T-Tg)/(51.6 + T-Tg)), reference over T", "Williams, Landel and Ferry 1955, universal constants, from memory")(over(func(x ...float64) (float64, error) {
		return heat.WLFShift(x[0], x[1], x[2])
	}, at, g.or("reference", "degC", exact(heat.BenchC)), g.or("glass-point", "degC", exact(heat.AdhesiveGlassC))))
	if at.Low >= heat.BenchC && at.High <= 85 {
		low, err := heat.ForceRatio(at.High)
		if g.fail(err) {
			return
		}
		middle, err := heat.ForceRatio(at.Middle)
		if g.fail(err) {
			return
		}
		high, err := heat.ForceRatio(at.Low)
		g.put("force_ratio", "", "peel force over that at 23 degC, shift^-n; a model and no measurement", "from memory; no table for a battery adhesive was found")(
			hazards.Estimate{Low: low.Low, Middle: middle.Middle, High: high.High}, err)
	}
}
