package heat

import (
	"testing"

	"pgregory.net/rapid"

	"loosecell/hazards"
)

func drawEstimate(t *rapid.T, name string, low, high float64) hazards.Estimate {
	a := rapid.Float64Range(low, high).Draw(t, name+" low")
	b := rapid.Float64Range(a, high).Draw(t, name+" middle")
	c := rapid.Float64Range(b, high).Draw(t, name+" high")
	return hazards.Estimate{Low: a, Middle: b, High: c}
}

// drawStack draws layers before the cell, the adhesive on either side, and layers behind.
func drawStack(t *rapid.T) Stack {
	plain := []string{"glass", "cover-glass", "aluminium", "polycarbonate", "rubber", "graphite-film", "display-stack", "plywood"}
	some := func(name string) Stack {
		var out Stack
		for range rapid.IntRange(0, 4).Draw(t, name) {
			out = append(out, NewLayer(rapid.SampledFrom(plain).Draw(t, "material"), rapid.Float64Range(0.01, 10).Draw(t, "mm"), Plain))
		}
		if rapid.Bool().Draw(t, name+" gap") {
			out = append(out, Layer{Material: "air", ThicknessMM: drawEstimate(t, "gap", 0.005, 1)})
		}
		return out
	}
	psa := NewLayer("acrylic-psa", rapid.Float64Range(0.05, 1).Draw(t, "adhesive mm"), AdhesiveRole)
	cell := NewLayer("pouch-cell", rapid.Float64Range(2, 10).Draw(t, "cell mm"), CellRole)
	s := some("front layers")
	if rapid.Bool().Draw(t, "adhesive in front") {
		s = append(s, psa, cell)
	} else {
		s = append(s, cell, psa)
	}
	return append(s, some("layers behind")...)
}

func drawRecipe(t *rapid.T) Recipe {
	r := NewRecipe(drawStack(t), drawEstimate(t, "pad", 50, 100), drawEstimate(t, "room", 5, 35), rapid.Float64Range(1, 60).Draw(t, "minutes"), rapid.Float64Range(40, 70).Draw(t, "limit"))
	r.Heater.ResistanceM2 = drawEstimate(t, "contact", 0, 1e-2)
	r.FilmWM2K = drawEstimate(t, "film", 4, 40)
	if rapid.Bool().Draw(t, "own start") {
		r.StartC = drawEstimate(t, "start", 0, 50)
	}
	return r
}

func drawCourse(t *rapid.T, r Recipe) Course {
	c, err := r.Assess()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Nothing in a passive stack is hotter than its surroundings ever were, nor colder.
func TestMaximumPrinciple(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		c := drawCourse(t, r)
		lowest := min(r.AirC.Low, r.StartC.Low)
		for p, b := range c.bounds {
			for k := range c.timesS {
				if b.high[k] > c.HottestPossibleC.High+1e-9 || b.low[k] < lowest-1e-9 || b.low[k] > b.middle[k] || b.middle[k] > b.high[k] {
					t.Fatalf("place %d after %g s: %g, %g, %g", p, c.timesS[k], b.low[k], b.middle[k], b.high[k])
				}
			}
		}
		if c.PassesLimit.Earliest.Reached && r.Heater.SetC.High <= r.CellLimitC {
			t.Error("the cell passes a limit its heater does not")
		}
	})
}

// A hotter pad lowers no temperature anywhere, and delays no softening.
func TestHotterPadNeverCools(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		hotter := r
		by := rapid.Float64Range(0, 40).Draw(t, "hotter by")
		hotter.Heater.SetC = hazards.Estimate{Low: r.Heater.SetC.Low + by, Middle: r.Heater.SetC.Middle + by, High: r.Heater.SetC.High + by}
		a, b := drawCourse(t, r), drawCourse(t, hotter)
		for p := range a.bounds {
			x, y := a.bounds[p], b.bounds[p]
			for k := range a.timesS {
				if y.low[k] < x.low[k]-1e-9 || y.middle[k] < x.middle[k]-1e-9 || y.high[k] < x.high[k]-1e-9 {
					t.Fatalf("place %d after %g s is colder under a hotter pad", p, a.timesS[k])
				}
			}
		}
		if a.Soft.Latest.Reached && (!b.Soft.Latest.Reached || b.Soft.Latest.Minutes > a.Soft.Latest.Minutes+1e-9) {
			t.Errorf("soft at the latest %+v, under the hotter pad %+v", a.Soft.Latest, b.Soft.Latest)
		}
	})
}

// A further layer in front delays softening and cools the cell.
func TestInsulationDelays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		r.StartC = r.AirC
		thicker := r
		thicker.Stack = append(Stack{NewLayer(rapid.SampledFrom([]string{"rubber", "plywood", "glass"}).Draw(t, "cover"), rapid.Float64Range(0.2, 20).Draw(t, "cover mm"), Plain)}, r.Stack...)
		a, b := drawCourse(t, r), drawCourse(t, thicker)
		const solver = ModelErrorK
		for p := range a.bounds {
			for k, s := range a.timesS {
				if s > 10 && (b.bounds[p].middle[k] > a.bounds[p].middle[k]+solver || b.bounds[p].high[k] > a.bounds[p].high[k]+solver) {
					t.Fatalf("place %d after %g s is hotter behind more insulation: %g, was %g", p, s, b.bounds[p].middle[k], a.bounds[p].middle[k])
				}
			}
		}
	})
}

// widen makes an estimate cover the one it is given.
func widen(t *rapid.T, name string, e hazards.Estimate, low, high float64) hazards.Estimate {
	return hazards.Estimate{Low: rapid.Float64Range(low, e.Low).Draw(t, name+" low"), Middle: e.Middle, High: rapid.Float64Range(e.High, high).Draw(t, name+" high")}
}

// Knowing less never narrows an answer. The tolerance is the solver's error: corners are
// cut on different grids.
func TestWideningOnlyWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		wide := r
		wide.Heater.SetC = widen(t, "pad", r.Heater.SetC, max(50, r.Heater.SetC.Low-10), 120)
		wide.Heater.ResistanceM2 = widen(t, "contact", r.Heater.ResistanceM2, 0, 2e-2)
		wide.AirC = widen(t, "room", r.AirC, 0, 40)
		wide.StartC = widen(t, "start", r.StartC, 0, 50)
		wide.FilmWM2K = widen(t, "film", r.FilmWM2K, 2, 60)
		a, b := drawCourse(t, r), drawCourse(t, wide)
		for p := range a.bounds {
			for k, s := range a.timesS {
				slack := ModelErrorK
				if s < 10 {
					slack = 1
				}
				if b.bounds[p].low[k] > a.bounds[p].low[k]+slack || b.bounds[p].high[k] < a.bounds[p].high[k]-slack {
					t.Fatalf("place %d after %g s: %g..%g from less knowledge, %g..%g from more", p, s,
						b.bounds[p].low[k], b.bounds[p].high[k], a.bounds[p].low[k], a.bounds[p].high[k])
				}
			}
		}
	})
}

// Any set of inputs inside the box lies inside the bounds of the box.
func TestBoundsHoldInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		box := drawCourse(t, r)
		inside := r
		point := func(name string, e hazards.Estimate) hazards.Estimate {
			return exact(rapid.Float64Range(e.Low, e.High).Draw(t, name+" inside"))
		}
		inside.Heater.SetC, inside.Heater.ResistanceM2 = point("pad", r.Heater.SetC), point("contact", r.Heater.ResistanceM2)
		inside.AirC, inside.StartC, inside.FilmWM2K = point("room", r.AirC), point("start", r.StartC), point("film", r.FilmWM2K)
		if inside.Check() != nil {
			t.Skip("this point has a heater colder than the device")
		}
		one := drawCourse(t, inside)
		for p := range box.bounds {
			for k, s := range box.timesS {
				slack := ModelErrorK
				if s < 10 {
					slack = 1
				}
				if c := one.bounds[p].middle[k]; c < box.bounds[p].low[k]-slack || c > box.bounds[p].high[k]+slack {
					t.Fatalf("place %d after %g s: %g outside %g..%g", p, s, c, box.bounds[p].low[k], box.bounds[p].high[k])
				}
			}
		}
	})
}

// So does any stack whose properties lie in their ranges, each layer with its own: the
// table of corners is right.
func TestBoundsHoldForAnyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecipe(t)
		box := drawCourse(t, r)
		r = box.recipe
		inside := func(name string, e hazards.Estimate) float64 {
			return rapid.Float64Range(e.Low, e.High).Draw(t, name)
		}
		var w Wall
		for _, layer := range r.Stack {
			m, err := MaterialNamed(layer.Material)
			if err != nil {
				t.Fatal(err)
			}
			w = append(w, Sheet{ThicknessM: 1e-3 * inside("mm", layer.ThicknessMM), Conductivity: inside("k", m.Conductivity),
				VolumetricHeat: m.Density * inside("cp", m.SpecificHeat)})
		}
		start := inside("start", r.StartC)
		front := Side{TemperatureC: inside("pad", r.Heater.SetC), ResistanceM2: inside("contact", r.Heater.ResistanceM2)}
		back := Side{TemperatureC: inside("room", r.AirC), ResistanceM2: 1 / inside("film", r.FilmWM2K)}
		if front.TemperatureC < max(back.TemperatureC, start) {
			t.Skip("this point has a heater colder than room or device")
		}
		where := []Place{{r.Stack.roleAt(AdhesiveRole), true}, {r.Stack.roleAt(CellRole), false}, {r.Stack.roleAt(CellRole), true}}
		run, err := Conduct(w, front, back, start, r.horizonS(), DefaultGrid, where...)
		if err != nil {
			t.Fatal(err)
		}
		for p, b := range box.bounds {
			for k, s := range box.timesS {
				slack := ModelErrorK
				if s < 10 {
					slack = 1
				}
				if c := at(run.TimesS, run.TempC[p], s); c < b.low[k]-slack || c > b.high[k]+slack {
					t.Fatalf("place %d after %g s: %g outside %g..%g", p, s, c, b.low[k], b.high[k])
				}
			}
		}
	})
}
