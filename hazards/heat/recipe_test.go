package heat

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loosecell/hazards"
)

func between(low, high float64) hazards.Estimate {
	return hazards.Estimate{Low: low, Middle: (low + high) / 2, High: high}
}

func stackNamed(t *testing.T, name string) Stack {
	t.Helper()
	s, err := StackNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func assess(t *testing.T, r Recipe) Course {
	t.Helper()
	c, err := r.Assess()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Common practice: a pad at 70 °C for 10 minutes. It brings the whole cell to
// 62..66 °C (series resistance, in testdata/published/heat-phone-stack.csv); the
// course must say so, and that a 60 °C limit is passed.
func TestCommonRecipeWarmsTheWholeCell(t *testing.T) {
	r := NewRecipe(stackNamed(t, "phone-back-glass"), exact(70), exact(20), 10, 60)
	c := assess(t, r)
	if far := c.AtEnd.CellFarC; far.Middle < 62 || far.Middle > 66 {
		t.Errorf("far face after 10 min %v degC, want a middle of 62..66", far)
	}
	if !c.PassesLimit.Middle.before(10) {
		t.Errorf("passes 60 degC %+v, want within the 10 min", c.PassesLimit)
	}
	if c.Worth == WorthYes {
		t.Error("worth it: the cell may pass its limit before the adhesive is certainly soft")
	}
}

// A pad at the cell's own limit never passes it, and softens through glass in minutes.
func TestPadAtTheLimitIsEnough(t *testing.T) {
	c := assess(t, NewRecipe(stackNamed(t, "phone-back-glass"), exact(60), exact(20), 10, 60))
	if c.PassesLimit.Earliest.Reached {
		t.Errorf("a pad at 60 degC passed 60 degC at %+v", c.PassesLimit.Earliest)
	}
	if c.Worth != WorthYes {
		t.Errorf("worth = %s, want yes (soft %+v)", c.Worth, c.Soft)
	}
	if !c.HeaterWorth() || c.SureUnder.C != 60 {
		t.Errorf("set-points: soft from %+v, sure under %+v", c.SoftFrom, c.SureUnder)
	}
}

// Heat that has to cross the cell is not worth it at a permitted set-point.
func TestHeatAcrossTheCellIsNotWorthIt(t *testing.T) {
	c := assess(t, NewRecipe(stackNamed(t, "tablet-display"), exact(60), exact(20), 10, 60))
	if c.Worth == WorthYes || c.HeaterWorth() {
		t.Errorf("worth %s, soft from %+v, sure under %+v; want no certain gain", c.Worth, c.SoftFrom, c.SureUnder)
	}
}

func TestPadTooCoolIsNotWorthIt(t *testing.T) {
	if c := assess(t, NewRecipe(stackNamed(t, "phone-display"), exact(45), exact(20), 10, 45)); c.Worth != WorthNo {
		t.Errorf("worth = %s, want no: 45 degC never makes 50", c.Worth)
	}
}

// The set-points the course names do what it says of them.
func TestNamedSetPointsHold(t *testing.T) {
	for _, name := range StackNames() {
		r := NewRecipe(stackNamed(t, name), hazards.Estimate{Low: 57, Middle: 60, High: 62}, between(18, 24), 10, 60)
		c := assess(t, r)
		at := func(l Level) Course {
			again := r
			shift := l.C - r.Heater.SetC.Middle
			again.Heater.SetC = hazards.Estimate{Low: 57 + shift, Middle: 60 + shift, High: 62 + shift}
			return assess(t, again)
		}
		if c.SoftFrom.Exists {
			if soft := at(Level{C: c.SoftFrom.C + 0.1}).Soft.Latest; !soft.before(r.Minutes + 0.1) {
				t.Errorf("%s: at %.1f degC the adhesive is soft at the latest %+v, want within 10 min", name, c.SoftFrom.C, soft)
			}
			if soft := at(Level{C: c.SoftFrom.C - 1}).Soft.Latest; soft.before(r.Minutes - 0.1) {
				t.Errorf("%s: already 1 K lower the adhesive is certainly soft at %+v", name, soft)
			}
		}
		if passes := at(Level{C: c.StaysUnder.C - 0.1}).PassesLimit.Earliest; passes.before(r.Minutes) {
			t.Errorf("%s: at %.1f degC the cell may pass its limit at %+v", name, c.StaysUnder.C, passes)
		}
		if passes := at(c.SureUnder).PassesLimit.Earliest; passes.Reached {
			t.Errorf("%s: at %.1f degC the cell may pass its limit at %+v", name, c.SureUnder.C, passes)
		}
		if c.SureUnder.C > c.StaysUnder.C {
			t.Errorf("%s: sure under %.1f is above stays under %.1f", name, c.SureUnder.C, c.StaysUnder.C)
		}
	}
}

func TestHotAirIsSlowerThanAPadAndReachesFurther(t *testing.T) {
	heater, err := HotAir(exact(100), HotAirFilm())
	if err != nil {
		t.Fatal(err)
	}
	r := NewRecipe(stackNamed(t, "phone-back-glass"), exact(100), exact(20), 5, 60)
	pad := assess(t, r)
	r.Heater = heater
	air := assess(t, r)
	if air.Soft.Middle.Minutes <= pad.Soft.Middle.Minutes {
		t.Errorf("hot air softens at %+v, the pad at %+v", air.Soft.Middle, pad.Soft.Middle)
	}
	if !air.PassesLimit.Earliest.before(5) || air.HottestPossibleC.High != 100 {
		t.Errorf("hot air at 100 degC: passes %+v, hottest %v", air.PassesLimit, air.HottestPossibleC)
	}
}

func TestCooling(t *testing.T) {
	c := assess(t, NewRecipe(stackNamed(t, "phone-back-glass"), exact(70), exact(20), 10, 60))
	glass, err := c.Cooling(Glass, 10)
	if err != nil {
		t.Fatal(err)
	}
	metal, err := c.Cooling(Metal, 600)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]Wait{"glass, 10 s": glass, "metal, 10 min": metal} {
		if !p.Latest.Reached || p.Middle.Minutes > p.Latest.Minutes {
			t.Errorf("%s: %+v is not in order", name, p)
		}
	}
	// Lumped check: 15 kJ/(m²K) losing 20 W/(m²K) has a time constant of about 12 min, so
	// 68 to 48 °C in a 20 °C room takes about 12 * ln(48/28) = 6.6 min.
	if m := metal.Middle.Minutes; math.Abs(m-6.6) > 1.5 {
		t.Errorf("68 to 48 degC took %.1f min, want about 6.6", m)
	}
	if never, err := c.CoolingTo(15); err != nil || never.Latest.Reached {
		t.Errorf("cooling under the room's temperature: %+v, %v", never, err)
	}
	if _, err := (Course{}).CoolingTo(40); err == nil {
		t.Error("an empty course was cooled")
	}
}

func TestRim(t *testing.T) {
	for _, name := range RimNames() {
		r := NewRecipe(stackNamed(t, name), exact(65), exact(20), 5, 60)
		r.FilmWM2K = RimSink()
		near, err := r.Rim(0)
		if err != nil {
			t.Fatal(err)
		}
		away, err := r.Rim(15)
		if err != nil {
			t.Fatal(err)
		}
		if !near.CellMayPass || near.CoverOverCellC.High != 65 {
			t.Errorf("%s: a cell under the strip sees %v, want up to the heater", name, near.CoverOverCellC)
		}
		if away.CellMayPass || away.CoverOverCellC.High >= near.CoverOverCellC.High {
			t.Errorf("%s: 15 mm away the cover is at %v", name, away.CoverOverCellC)
		}
		if !away.Soft.Earliest.Reached || away.HottestPossibleC.High != 65 {
			t.Errorf("%s: %+v", name, away)
		}
	}
	// Decay length sqrt(k d / h) of 0.7 mm glass losing 20 W/(m²K): 5.9 mm (fin equation,
	// Incropera et al., section 3.6, from memory).
	r := NewRecipe(stackNamed(t, "phone-rim"), exact(65), exact(20), 5, 60)
	rim, err := r.Rim(5)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(rim.DecayMM.Middle-5.92) > 0.02 {
		t.Errorf("decay length %v mm, want 5.92 in the middle", rim.DecayMM)
	}
	if _, err := NewRecipe(stackNamed(t, "phone-display"), exact(65), exact(20), 5, 60).Rim(5); !errors.Is(err, ErrStack) {
		t.Errorf("a stack over a cell at the rim: %v", err)
	}
}

func TestSteadyMaximum(t *testing.T) {
	if got, err := SteadyMaximumC(60, 25, 30); err != nil || got != 60 {
		t.Errorf("got %g, %v", got, err)
	}
	if _, err := SteadyMaximumC(math.NaN(), 25, 30); !errors.Is(err, ErrDomain) {
		t.Errorf("error = %v", err)
	}
}

func TestRecipeRefuses(t *testing.T) {
	good := NewRecipe(stackNamed(t, "phone-display"), exact(60), exact(20), 10, 60)
	nan := math.NaN()
	layers := func(l ...Layer) Stack { return l }
	cell, psa := NewLayer("pouch-cell", 5, CellRole), NewLayer("acrylic-psa", 0.15, AdhesiveRole)
	for _, c := range []struct {
		name, says string
		spoil      func(*Recipe)
	}{
		{"no minutes", "minutes", func(r *Recipe) { r.Minutes = 0 }},
		{"NaN minutes", "minutes", func(r *Recipe) { r.Minutes = nan }},
		{"NaN pad", "set-point", func(r *Recipe) { r.Heater.SetC = hazards.Estimate{Low: nan, Middle: nan, High: nan} }},
		{"pad out of order", "ascend", func(r *Recipe) { r.Heater.SetC = hazards.Estimate{Low: 60, Middle: 50, High: 70} }},
		{"pad colder than room", "not warmer than the room", func(r *Recipe) { r.Heater.SetC = exact(15) }},
		{"pad colder than device", "not warmer than the device", func(r *Recipe) { r.StartC = exact(65) }},
		{"negative contact", "resistance", func(r *Recipe) { r.Heater.ResistanceM2 = exact(-1e-3) }},
		{"infinite limit", "cell limit", func(r *Recipe) { r.CellLimitC = math.Inf(1) }},
		{"no loss", "loss coefficient", func(r *Recipe) { r.FilmWM2K = exact(0) }},
		{"no stack", "0 layers", func(r *Recipe) { r.Stack = nil }},
		{"41 layers", "41 layers", func(r *Recipe) { r.Stack = make(Stack, 41) }},
		{"unknown material", "unknown material \"unobtainium\"", func(r *Recipe) { r.Stack = layers(NewLayer("unobtainium", 1, Plain), psa, cell) }},
		{"zero thickness", "thickness", func(r *Recipe) { r.Stack = layers(NewLayer("glass", 0, Plain), psa, cell) }},
		{"negative thickness", "thickness", func(r *Recipe) { r.Stack = layers(NewLayer("glass", -1, Plain), psa, cell) }},
		{"over half a metre", "thickness", func(r *Recipe) { r.Stack = layers(NewLayer("glass", 501, Plain), psa, cell) }},
		{"NaN thickness", "thickness", func(r *Recipe) { r.Stack = layers(NewLayer("glass", nan, Plain), psa, cell) }},
		{"wide air", "thickness", func(r *Recipe) { r.Stack = layers(NewLayer("air", 6, Plain), psa, cell) }},
		{"range of glass", "only a gap of air", func(r *Recipe) {
			r.Stack = layers(Layer{Material: "glass", ThicknessMM: between(0.5, 0.7)}, psa, cell)
		}},
		{"half a metre in all", "in all", func(r *Recipe) {
			r.Stack = layers(NewLayer("glass", 300, Plain), NewLayer("plywood", 300, Plain), psa, cell)
		}},
		{"no cell", "mark exactly one layer as cell", func(r *Recipe) { r.Stack = layers(psa) }},
		{"two cells", "2 layers could be the cell", func(r *Recipe) {
			r.Stack = layers(psa, NewLayer("pouch-cell", 5, Plain), NewLayer("pouch-cell", 5, Plain))
		}},
		{"no adhesive", "mark exactly one layer as adhesive", func(r *Recipe) { r.Stack = layers(cell) }},
		{"unknown role", "unknown role", func(r *Recipe) { r.Stack = layers(psa, cell, NewLayer("glass", 1, "lid")) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := good
			c.spoil(&r)
			_, err := r.Assess()
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error = %v, want one that says %q", err, c.says)
			}
		})
	}
	if _, err := HotAir(exact(100), exact(0)); !errors.Is(err, ErrDomain) {
		t.Errorf("hot air without film: %v", err)
	}
	if _, err := StackNamed("toaster"); !errors.Is(err, ErrStack) {
		t.Errorf("unknown stack: %v", err)
	}
}

// Every source key of the tables is a document rules/source ships.
func TestSourceKeysResolve(t *testing.T) {
	shipped, err := os.ReadFile(filepath.Join("..", "..", "rules", "source", "shipped", "heat.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"materials": materialsCSV, "stacks": stacksCSV, "touch": touchCSV} {
		table, err := rows(name, text)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range table {
			if !strings.Contains(string(shipped), "- key: "+r.fields["source"]+"\n") {
				t.Errorf("%s line %d: no document %q", name, r.line, r.fields["source"])
			}
		}
	}
}

// A user's bare list of materials and thicknesses needs no marks.
func TestMarksAreFound(t *testing.T) {
	s, err := Stack{NewLayer("glass", 0.7, Plain), NewLayer("acrylic-psa", 0.1, Plain), NewLayer("aluminium", 0.5, Plain),
		NewLayer("acrylic-psa", 0.15, Plain), NewLayer("pouch-cell", 5, Plain), NewLayer("acrylic-psa", 0.1, Plain)}.Marked()
	if err != nil {
		t.Fatal(err)
	}
	if s.roleAt(CellRole) != 4 || s.roleAt(AdhesiveRole) != 3 {
		t.Errorf("cell at %d, adhesive at %d; want 4 and 3", s.roleAt(CellRole), s.roleAt(AdhesiveRole))
	}
}

func TestTablesLoad(t *testing.T) {
	known := map[string]bool{"read": true, "secondary": true, "memory": true, "practice": true}
	for _, name := range MaterialNames() {
		m, err := MaterialNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if m.Source == "" || !known[m.Known] {
			t.Errorf("%s: source %q, known %q", name, m.Source, m.Known)
		}
	}
	if len(MaterialNames()) < 15 {
		t.Errorf("materials: %v", MaterialNames())
	}
	if got := strings.Join(StackNames(), " "); got != "phone-back-glass phone-display tablet-display laptop-base" {
		t.Errorf("stacks: %s", got)
	}
	// 541 J/K for 489 g and 224 mL at 0.52 W/(m K): anisotropic pouch-cell study, abstract.
	cell, err := MaterialNamed("pouch-cell")
	if err != nil {
		t.Fatal(err)
	}
	if a := cell.Diffusivity(); math.Abs(a-2.153e-7) > 0.002e-7 {
		t.Errorf("diffusivity %g, want 2.153e-7 m²/s", a)
	}
	if DefaultGrid.Steps%keep != 0 {
		t.Error("keep must divide the steps of a block")
	}
}

func TestClosedFormsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, f := range map[string]func() error{
		"one term too early":      func() error { _, err := OneTerm(1, 0.1, 0); return err },
		"Biot zero":               func() error { _, err := Eigenvalue(0, 1); return err },
		"Biot infinite":           func() error { _, err := Eigenvalue(inf, 1); return err },
		"root zero":               func() error { _, err := Eigenvalue(1, 0); return err },
		"outside the wall":        func() error { _, err := PlaneWall(1, 1, 1.1); return err },
		"negative resistance":     func() error { _, err := SeriesFlux(1, 0, 1, -0.5); return err },
		"no resistance":           func() error { _, err := SeriesFlux(1, 0); return err },
		"no conductivity":         func() error { _, err := LayerResistance(1, 0); return err },
		"NaN temperature":         func() error { _, err := LumpedTemperatureC(nan, 0, 1, 1); return err },
		"target beyond ambient":   func() error { _, err := LumpedTimeS(100, 20, 10, 60); return err },
		"target equals ambient":   func() error { _, err := LumpedTimeS(100, 20, 20, 60); return err },
		"start equals ambient":    func() error { _, err := LumpedTimeS(20, 20, 20, 60); return err },
		"time zero":               func() error { _, err := SemiInfiniteFixedC(0, 1, 0, 0, 1e-7); return err },
		"negative depth":          func() error { _, err := SemiInfiniteFluxC(0, 1, -1, 1, 1, 1e-7); return err },
		"no film":                 func() error { _, err := SemiInfiniteConvectionC(0, 1, 0, 0, 1, 1, 1e-7); return err },
		"target outside the soil": func() error { _, err := SemiInfiniteFixedDepthM(20, 0, 30, 1, 1e-7); return err },
		"under the glass point":   func() error { _, err := WLFShift(-50, 23, -40); return err },
		"far over the glass":      func() error { _, err := WLFShift(100, 23, -40); return err },
		"force at NaN":            func() error { _, err := ForceRatio(nan); return err },
		"touch too short":         func() error { _, err := TouchLimitC(Metal, 0.1); return err },
		"touch unknown surface":   func() error { _, err := TouchLimitC("velvet", 10); return err },
		"fin without decay":       func() error { _, err := FinShare(1, 0); return err },
	} {
		t.Run(name, func(t *testing.T) {
			if err := f(); !errors.Is(err, ErrDomain) {
				t.Errorf("error = %v, want %v", err, ErrDomain)
			}
		})
	}
}
