package heat

import (
	"fmt"
)

// Grid says how finely a run is cut. Time runs in blocks of equal steps; each block's
// step is twice the last one's, so that a step is always about the same share of the
// time passed and every time constant of the stack is met equally well.
type Grid struct {
	Cells  int // across the wall, at least; every sheet has one
	Steps  int // in a block
	Blocks int
}

// DefaultGrid keeps the error of a pad recipe under ModelErrorK.
var DefaultGrid = Grid{Cells: 12, Steps: 64, Blocks: 8}

// ModelErrorK is what DefaultGrid may be off, in kelvin, from the tenth second of a
// course of an hour on, for 60 K between heater and room (tested against the closed
// forms and a far finer grid). In the first seconds it may be 1 K.
const ModelErrorK = 0.25

func (g Grid) check() error {
	if g.Cells < 1 || g.Cells > 10000 || g.Steps < 1 || g.Steps > 100000 || g.Blocks < 1 || g.Blocks > 20 {
		return fmt.Errorf("%w: grid %+v; give 1..10000 cells, 1..100000 steps, 1..20 blocks", ErrWall, g)
	}
	return nil
}

// firstStepS returns the step of the first block so that the blocks end at durationS.
func (g Grid) firstStepS(durationS float64) float64 {
	return durationS / (float64(g.Steps) * float64((int(1)<<g.Blocks)-1))
}

// response is the course of each place under a heater at any set-point: heaterC*rise + rest.
type response struct {
	timesS []float64
	rise   [][]float64 // by place, by time
	rest   [][]float64
	end    fields
	in     [2]float64 // J/m² through the front face, of rise and rest
	out    [2]float64 // J/m² through the back face
}

// keep is how many steps of DefaultGrid pass between two recorded ones in a recipe; it
// divides the steps of a block. What straight lines between them miss is under 0.02 K.
const keep = 4

// respond runs the network from its start fields and records every so many steps, which
// must divide the steps of a block. It is the only time loop of the package.
func respond(n network, f fields, durationS float64, g Grid, every int, places []Place) response {
	records := g.Steps*g.Blocks/every + 1
	numbers := make([]float64, (2*len(places)+1)*records)
	take := func() []float64 {
		out := numbers[:records:records]
		numbers = numbers[records:]
		return out
	}
	r := response{timesS: take(), end: f}
	readings := make([]reading, len(places))
	for i, p := range places {
		readings[i] = n.reading(p)
		r.rise, r.rest = append(r.rise, take()), append(r.rest, take())
	}
	r.record(0, 0, readings)
	s, dt, time, k := newStepper(n), g.firstStepS(durationS), 0.0, 0
	for range g.Blocks {
		s.factor(n, dt)
		for step := range g.Steps {
			s.advance(n, f)
			time += dt
			r.account(n, dt)
			if (step+1)%every == 0 {
				k++
				r.record(k, time, readings)
			}
		}
		dt *= 2
	}
	r.timesS[k] = durationS
	return r
}

func (r *response) record(k int, timeS float64, readings []reading) {
	r.timesS[k] = timeS
	for p, at := range readings {
		near, far := r.end[at.near], r.end[at.far]
		r.rise[p][k] = near.rise + at.share*(far.rise-near.rise)
		r.rest[p][k] = near.rest + at.share*(far.rest-near.rest)
	}
}

func (r *response) account(n network, dt float64) {
	last := n.cells()
	r.in[0] += dt * n.link[0] * (r.end[0].rise - r.end[1].rise)
	r.in[1] += dt * n.link[0] * (r.end[0].rest - r.end[1].rest)
	r.out[0] += dt * n.link[last] * (r.end[last].rise - r.end[last+1].rise)
	r.out[1] += dt * n.link[last] * (r.end[last].rest - r.end[last+1].rest)
}

// Balance is the heat of a run in J/m². Residual = In - Out - Stored is zero but for
// rounding: what the solver neither lost nor made.
type Balance struct {
	In, Out, Stored, Residual float64
}

// Run is what Conduct returns.
type Run struct {
	TimesS  []float64
	TempC   [][]float64 // by place, by time, degC
	Balance Balance
}

// Conduct follows a wall that starts at startC (degC) for durationS seconds (above
// zero, at most a year) and returns the temperatures at the places. Finite volumes,
// second order in space; backward Euler, first order in time, which never overshoots
// its surroundings at any step. Wall, sides, grid and places are checked; the solver is
// stable for whatever passes. Patankar, Numerical Heat Transfer and Fluid Flow,
// chapter 4 (from memory).
func Conduct(w Wall, front, back Side, startC, durationS float64, g Grid, places ...Place) (Run, error) {
	err := firstError(w.Check(), front.check(), back.check(), g.check(),
		within("start temperature", startC, -273.15, 5000, "degC"),
		positive("duration", durationS, "s"), within("duration", durationS, 0, 3.2e7, "s"))
	if err != nil {
		return Run{}, err
	}
	for _, p := range places {
		if p.Sheet < 0 || p.Sheet >= len(w) {
			return Run{}, fmt.Errorf("%w: no sheet %d; give 0..%d", ErrWall, p.Sheet, len(w)-1)
		}
	}
	n := newNetwork(w, front, back, g.Cells)
	r := respond(n, newFields(n, func(int) float64 { return startC }, back.TemperatureC), durationS, g, 1, places)
	return r.run(n, front.TemperatureC, startC), nil
}

func (r response) run(n network, frontC, startC float64) Run {
	out := Run{TimesS: r.timesS, TempC: make([][]float64, len(r.rise))}
	for p := range r.rise {
		out.TempC[p] = make([]float64, len(r.timesS))
		for k := range r.timesS {
			out.TempC[p][k] = frontC*r.rise[p][k] + r.rest[p][k]
		}
	}
	b := Balance{In: frontC*r.in[0] + r.in[1], Out: frontC*r.out[0] + r.out[1]}
	for i := 1; i <= n.cells(); i++ {
		b.Stored += n.store[i] * (frontC*r.end[i].rise + r.end[i].rest - startC)
	}
	b.Residual = b.In - b.Out - b.Stored
	out.Balance = b
	return out
}

// at returns the value of a course at timeS by straight lines between its times.
func at(timesS, values []float64, timeS float64) float64 {
	k := 1
	for k < len(timesS)-1 && timesS[k] < timeS {
		k++
	}
	share := (timeS - timesS[k-1]) / (timesS[k] - timesS[k-1])
	share = max(0, min(1, share))
	return values[k-1] + share*(values[k]-values[k-1])
}
