package heat

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"loosecell/hazards"
)

func exact(x float64) hazards.Estimate { return hazards.Estimate{Low: x, Middle: x, High: x} }

// wallSeries returns a wall, its side and the series solution for the insulated far
// face and the wetted face after timeS, starting at 0 in surroundings at 1 degC.
func wallSeries(t *testing.T, timeS float64) (w Wall, front Side, far, wetted float64) {
	t.Helper()
	const thickness, k, volumetric, film = 5e-3, 0.5, 2.4e6, 200.0
	w = Wall{{ThicknessM: thickness, Conductivity: k, VolumetricHeat: volumetric}}
	front, err := Film(1, film)
	if err != nil {
		t.Fatal(err)
	}
	biot, fourier := film*thickness/k, k/volumetric*timeS/(thickness*thickness)
	left, err := PlaneWall(biot, fourier, 0)
	if err != nil {
		t.Fatal(err)
	}
	leftWet, err := PlaneWall(biot, fourier, 1)
	if err != nil {
		t.Fatal(err)
	}
	return w, front, 1 - left, 1 - leftWet
}

// errors of the two faces at timeS with a grid.
func faceError(t *testing.T, g Grid, timeS float64) float64 {
	t.Helper()
	w, front, far, wetted := wallSeries(t, timeS)
	run, err := Conduct(w, front, Side{Insulated: true}, 0, timeS, g, Place{0, false}, Place{0, true})
	if err != nil {
		t.Fatal(err)
	}
	last := len(run.TimesS) - 1
	return math.Max(math.Abs(run.TempC[0][last]-wetted), math.Abs(run.TempC[1][last]-far))
}

func TestSecondOrderInSpace(t *testing.T) {
	const timeS = 60
	var last float64
	for _, cells := range []int{4, 8, 16} {
		e := faceError(t, Grid{Cells: cells, Steps: 8000, Blocks: 7}, timeS)
		if last != 0 {
			if order := math.Log2(last / e); order < 1.8 || order > 2.2 {
				t.Errorf("%d cells: observed order %.2f, want 2 (errors %.3g, %.3g)", cells, order, last, e)
			}
		}
		last = e
	}
}

func TestFirstOrderInTime(t *testing.T) {
	const timeS = 60
	var last float64
	for _, steps := range []int{16, 32, 64} {
		e := faceError(t, Grid{Cells: 400, Steps: steps, Blocks: 4}, timeS)
		if last != 0 {
			if order := math.Log2(last / e); order < 0.9 || order > 1.1 {
				t.Errorf("%d steps: observed order %.2f, want 1 (errors %.3g, %.3g)", steps, order, last, e)
			}
		}
		last = e
	}
}

// A metre-like slab early on is a half-space with a film: Incropera et al., eq. 5.63.
func TestThickSlabIsAHalfSpace(t *testing.T) {
	const k, volumetric, film, timeS = 0.52, 2.4e6, 100.0, 120.0
	front, err := Film(70, film)
	if err != nil {
		t.Fatal(err)
	}
	w := Wall{{ThicknessM: 0.1, Conductivity: k, VolumetricHeat: volumetric}}
	run, err := Conduct(w, front, Side{Insulated: true}, 20, timeS, Grid{Cells: 400, Steps: 400, Blocks: 4}, Place{0, false})
	if err != nil {
		t.Fatal(err)
	}
	want, err := SemiInfiniteConvectionC(20, 70, film, 0, timeS, k, k/volumetric)
	if err != nil {
		t.Fatal(err)
	}
	if got := run.TempC[0][len(run.TimesS)-1]; math.Abs(got-want) > 0.05 {
		t.Errorf("face after %g s: got %.3f, want %.3f degC", timeS, got, want)
	}
}

// A thin metal sheet is one temperature: Incropera et al., eq. 5.6.
func TestMetalSheetIsLumped(t *testing.T) {
	const film, volumetric, thickness = 10, 2800 * 880, 2e-3
	front, err := Film(20, film)
	if err != nil {
		t.Fatal(err)
	}
	tau, err := LumpedTimeConstantS(2800, 880, thickness, film)
	if err != nil {
		t.Fatal(err)
	}
	run, err := Conduct(Wall{{ThicknessM: thickness, Conductivity: 160, VolumetricHeat: volumetric}}, front, Side{Insulated: true}, 70, 2*tau, DefaultGrid, Place{0, true})
	if err != nil {
		t.Fatal(err)
	}
	for k, s := range run.TimesS {
		want, err := LumpedTemperatureC(70, 20, s, tau)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(run.TempC[0][k]-want) > ModelErrorK {
			t.Fatalf("after %.0f s: got %.3f, want %.3f degC", s, run.TempC[0][k], want)
		}
	}
}

// What a step returns is put back into the equation it is to solve, cell by cell: the
// heat stored must be the heat that came in from both neighbours.
func TestStepSolvesItsEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWall(t, 12)
		front, back := drawSide(t, "front"), drawSide(t, "back")
		dt := rapid.Float64Range(0.01, 100).Draw(t, "dt")
		n := newNetwork(w, front, back, 20)
		f := newFields(n, func(i int) float64 { return float64(i % 7) }, back.TemperatureC)
		before := append(fields(nil), f...)
		s := newStepper(n)
		s.factor(n, dt)
		s.advance(n, f)
		for i := 1; i <= n.cells(); i++ {
			for name, v := range map[string][4]float64{
				"rise": {before[i].rise, f[i-1].rise, f[i].rise, f[i+1].rise},
				"rest": {before[i].rest, f[i-1].rest, f[i].rest, f[i+1].rest},
			} {
				stored := n.store[i] / dt * (v[2] - v[0])
				in := n.link[i-1]*(v[1]-v[2]) + n.link[i]*(v[3]-v[2])
				scale := (n.store[i]/dt + n.link[i-1] + n.link[i]) * 300
				if math.Abs(stored-in) > 1e-12*scale {
					t.Fatalf("cell %d, %s: %g W/m² stored, %g came in", i, name, stored, in)
				}
			}
		}
	})
}

func drawWall(t *rapid.T, most int) Wall {
	w := make(Wall, rapid.IntRange(1, most).Draw(t, "sheets"))
	power := func(low, high float64, name string) float64 {
		return math.Pow(10, rapid.Float64Range(low, high).Draw(t, name))
	}
	for i := range w {
		w[i] = Sheet{ThicknessM: power(-6, -0.7, "log thickness"), Conductivity: power(-2, 2.7, "log conductivity"),
			VolumetricHeat: power(3, 6.7, "log volumetric heat")}
		if rapid.Bool().Draw(t, "contact") {
			w[i].ContactM2KW = power(-6, 0, "log contact")
		}
	}
	return w
}

func drawSide(t *rapid.T, name string) Side {
	return Side{
		TemperatureC: rapid.Float64Range(-20, 200).Draw(t, name+" degC"),
		ResistanceM2: rapid.SampledFrom([]float64{0, 1e-4, 1e-2, 0.1, 10}).Draw(t, name+" resistance"),
		Insulated:    rapid.IntRange(0, 9).Draw(t, name+" insulated") == 0,
	}
}

// Any wall of any sheets, in any number, at any step: no overshoot, and no heat lost.
func TestAnyWallIsStableAndKeepsItsHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWall(t, MaxLayers)
		front, back := drawSide(t, "front"), drawSide(t, "back")
		start := rapid.Float64Range(-20, 200).Draw(t, "start degC")
		duration := math.Pow(10, rapid.Float64Range(-1, 6).Draw(t, "log duration"))
		var places []Place
		for i := range w {
			places = append(places, Place{i, false}, Place{i, true})
		}
		g := Grid{Cells: rapid.IntRange(1, 40).Draw(t, "cells"), Steps: rapid.IntRange(1, 20).Draw(t, "steps"), Blocks: rapid.IntRange(1, 5).Draw(t, "blocks")}
		run, err := Conduct(w, front, back, start, duration, g, places...)
		if err != nil {
			t.Fatal(err)
		}
		low, high := start, start
		for _, s := range []Side{front, back} {
			if !s.Insulated {
				low, high = math.Min(low, s.TemperatureC), math.Max(high, s.TemperatureC)
			}
		}
		for p, course := range run.TempC {
			for k, c := range course {
				if !(c >= low-1e-6 && c <= high+1e-6) {
					t.Fatalf("place %d after %g s: %g degC outside %g..%g", p, run.TimesS[k], c, low, high)
				}
			}
		}
		// The heat the wall holds sets the rounding: each step rounds each cell's.
		b, held := run.Balance, 0.0
		for _, s := range w {
			held += s.ThicknessM * s.VolumetricHeat * 400
		}
		if scale := math.Abs(b.In) + math.Abs(b.Out) + math.Abs(b.Stored); math.Abs(b.Residual) > 1e-6*scale+1e-9*held+1e-3 {
			t.Errorf("heat balance: in %g, out %g, stored %g J/m², residual %g", b.In, b.Out, b.Stored, b.Residual)
		}
	})
}

// Long after, the solver is where the resistances in series say.
func TestSolverEndsAtSteady(t *testing.T) {
	w := Wall{{0.7e-3, 1, 1.9e6, 2e-4}, {0.15e-3, 0.18, 1.6e6, 0}, {5e-3, 0.52, 2.4e6, 0}}
	front, back := Side{TemperatureC: 70, ResistanceM2: 5e-4}, Side{TemperatureC: 20, ResistanceM2: 0.1}
	want, err := Steady(w, front, back)
	if err != nil {
		t.Fatal(err)
	}
	run, err := Conduct(w, front, back, 20, 1e5, DefaultGrid, Place{0, false}, Place{0, true}, Place{1, true}, Place{2, true})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range want {
		if got := run.TempC[i][len(run.TimesS)-1]; math.Abs(got-c) > 1e-3 {
			t.Errorf("boundary %d: got %.4f, want %.4f degC", i, got, c)
		}
	}
}

// The default grid against one ten times finer, on every run of every named stack.
func TestDefaultGridError(t *testing.T) {
	fine := Grid{Cells: 96, Steps: 640, Blocks: 8}
	for _, name := range StackNames() {
		s, err := StackNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if s, err = s.Marked(); err != nil {
			t.Fatal(err)
		}
		r := NewRecipe(s, exact(80), exact(20), 10, 60)
		places := []Place{{s.roleAt(AdhesiveRole), true}, {s.roleAt(CellRole), false}, {s.roleAt(CellRole), true}}
		for _, c := range r.corners() {
			w, err := s.wall(c, s.roleAt(CellRole))
			if err != nil {
				t.Fatal(err)
			}
			coarse, err := Conduct(w, r.front(c), r.back(c), 20, 3600, DefaultGrid, places...)
			if err != nil {
				t.Fatal(err)
			}
			exact, err := Conduct(w, r.front(c), r.back(c), 20, 3600, fine, places...)
			if err != nil {
				t.Fatal(err)
			}
			for p := range places {
				for k, s := range coarse.TimesS {
					off, allowed := math.Abs(coarse.TempC[p][k]-exact.TempC[p][10*k]), ModelErrorK
					if s < 10 {
						allowed = 1
					}
					if s > 1 && off > allowed {
						t.Errorf("%s, corner %v, place %d, %.1f s: off by %.3f K", name, c, p, s, off)
					}
				}
			}
		}
	}
}

func TestConductRefuses(t *testing.T) {
	good := Wall{{1e-3, 1, 1e6, 0}}
	side := Side{TemperatureC: 20, ResistanceM2: 0.1}
	for _, c := range []struct {
		name     string
		wall     Wall
		side     Side
		start    float64
		duration float64
		grid     Grid
		place    Place
	}{
		{"no sheet", nil, side, 20, 60, DefaultGrid, Place{}},
		{"41 sheets", make(Wall, 41), side, 20, 60, DefaultGrid, Place{}},
		{"zero thickness", Wall{{0, 1, 1e6, 0}}, side, 20, 60, DefaultGrid, Place{}},
		{"negative thickness", Wall{{-1e-3, 1, 1e6, 0}}, side, 20, 60, DefaultGrid, Place{}},
		{"over half a metre", Wall{{0.51, 1, 1e6, 0}}, side, 20, 60, DefaultGrid, Place{}},
		{"NaN conductivity", Wall{{1e-3, math.NaN(), 1e6, 0}}, side, 20, 60, DefaultGrid, Place{}},
		{"infinite heat", Wall{{1e-3, 1, math.Inf(1), 0}}, side, 20, 60, DefaultGrid, Place{}},
		{"negative contact", Wall{{1e-3, 1, 1e6, -1}}, side, 20, 60, DefaultGrid, Place{}},
		{"NaN side", good, Side{TemperatureC: math.NaN()}, 20, 60, DefaultGrid, Place{}},
		{"infinite resistance", good, Side{ResistanceM2: math.Inf(1)}, 20, 60, DefaultGrid, Place{}},
		{"infinite start", good, side, math.Inf(1), 60, DefaultGrid, Place{}},
		{"no duration", good, side, 20, 0, DefaultGrid, Place{}},
		{"no grid", good, side, 20, 60, Grid{}, Place{}},
		{"no such sheet", good, side, 20, 60, DefaultGrid, Place{Sheet: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Conduct(c.wall, c.side, c.side, c.start, c.duration, c.grid, c.place)
			if !errors.Is(err, ErrWall) && !errors.Is(err, ErrDomain) {
				t.Errorf("error = %v, want a refusal", err)
			}
		})
	}
}
