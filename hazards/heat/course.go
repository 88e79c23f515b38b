package heat

import (
	"math"

	"loosecell/hazards"
)

// Moment is a time in minutes from the start of the heat, if it comes within the time
// looked at (the recipe's minutes, or Outlook if that is longer).
type Moment struct {
	Minutes float64
	Reached bool
}

// before reports whether m comes, and comes no later than the given minutes.
func (m Moment) before(minutes float64) bool { return m.Reached && m.Minutes <= minutes }

// Passage says when something may happen at the earliest, is expected, and will have
// happened at the latest.
type Passage struct {
	Earliest, Middle, Latest Moment
}

// Level is a set-point in degC, if there is one.
type Level struct {
	C      float64
	Exists bool
}

// Worth says whether a warming softens the adhesive within its minutes and before any
// part of the cell could pass its limit.
type Worth string

// The answers, certain in both directions or open.
const (
	WorthYes  Worth = "yes"
	WorthNo   Worth = "no"
	WorthOpen Worth = "open"
)

// Outlook is how far a course looks beyond a shorter recipe, in minutes, to say when
// the adhesive would be soft or the cell too warm after all.
const Outlook = 60

// Sample is the state after so many minutes, degC. The outer faces are left out: the
// heated one is all but at the heater's temperature (HottestPossibleC).
type Sample struct {
	Minutes             float64
	AdhesiveC           hazards.Estimate // face away from the heater: the last part to soften
	CellNearC, CellFarC hazards.Estimate
}

// Course is what a recipe does.
type Course struct {
	Soft        Passage // the whole adhesive reaches the softening temperature
	PassesLimit Passage // some part of the cell passes its limit
	AtEnd       Sample  // after the recipe's minutes
	// HottestPossibleC is SteadyMaximumC: nothing in the stack gets hotter, however long.
	HottestPossibleC hazards.Estimate
	Worth            Worth
	// SoftFrom is the lowest set-point (its middle value, the spread of the pad kept) at
	// which the adhesive is certainly soft within the minutes.
	SoftFrom Level
	// StaysUnder is the highest set-point at which the computed cell stays under its limit
	// for these minutes. It explains; it does not permit.
	StaysUnder Level
	// SureUnder is the highest set-point at which no part of the stack can pass the cell's
	// limit however long it lasts: the limit less the pad's spread. Permission may rest on it.
	SureUnder Level

	recipe Recipe
	runs   []cornerRun
	timesS []float64
	bounds [places]bounds
}

// places followed by every run of a recipe.
const (
	adhesiveFace = iota
	cellNear
	cellFar
	places
)

type cornerRun struct {
	corner  corner
	heaterC float64
	response
}

// bounds is the course of one place.
type bounds struct {
	low, middle, high []float64
}

// Assess computes the course of the recipe, or says what is wrong with it (Recipe.Check).
func (r Recipe) Assess() (Course, error) {
	if err := r.Check(); err != nil {
		return Course{}, err
	}
	marked, err := r.Stack.Marked()
	if err != nil {
		return Course{}, err
	}
	r.Stack = marked
	c := Course{recipe: r}
	if err := c.follow(r.Stack.roleAt(CellRole), r.back); err != nil {
		return Course{}, err
	}
	c.answer()
	return c, nil
}

// follow runs every corner and lays the bounds. cellAt as in Stack.wall.
func (c *Course) follow(cellAt int, back func(corner) Side) error {
	r := c.recipe
	last := len(r.Stack) - 1
	cell := min(cellAt, last)
	where := []Place{adhesiveFace: {r.Stack.roleAt(AdhesiveRole), true}, cellNear: {cell, false}, cellFar: {cell, true}}
	for _, corner := range r.corners() {
		w, err := r.Stack.wall(corner, cellAt)
		if err != nil {
			return err
		}
		front, rear := r.front(corner), back(corner)
		if err := firstError(w.Check(), front.check(), rear.check()); err != nil {
			return err
		}
		n, start := newNetwork(w, front, rear, DefaultGrid.Cells), pick(r.StartC, corner.bound)
		run := respond(n, newFields(n, func(int) float64 { return start }, rear.TemperatureC), r.horizonS(), DefaultGrid, keep, where)
		c.runs = append(c.runs, cornerRun{corner, front.TemperatureC, run})
	}
	c.timesS = c.runs[0].timesS
	c.lay()
	return nil
}

func (r Recipe) horizonS() float64 { return 60 * max(r.Minutes, Outlook) }

// lay takes the hull of the corner runs, widened by the solver's own error but never
// past what the surroundings allow.
func (c *Course) lay() {
	r := c.recipe
	hottest := hazards.Estimate{
		Low:    max(r.Heater.SetC.Low, max(r.AirC.Low, r.StartC.Low)),
		Middle: max(r.Heater.SetC.Middle, max(r.AirC.Middle, r.StartC.Middle)),
		High:   max(r.Heater.SetC.High, max(r.AirC.High, r.StartC.High)),
	}
	coldest := min(r.AirC.Low, r.StartC.Low)
	c.HottestPossibleC = hottest
	steps := len(c.timesS)
	numbers := make([]float64, 3*places*steps)
	for p := range places {
		at := numbers[3*p*steps:]
		b := bounds{low: at[:steps], middle: at[steps : 2*steps], high: at[2*steps : 3*steps]}
		for k := range steps {
			low, high := math.Inf(1), math.Inf(-1)
			for i := range c.runs {
				run := &c.runs[i]
				t := run.heaterC*run.rise[p][k] + run.rest[p][k]
				low, high = min(low, t), max(high, t)
				if run.corner.bound == middle {
					b.middle[k] = t
				}
			}
			b.low[k] = min(b.middle[k], max(coldest, low-ModelErrorK))
			b.high[k] = max(b.middle[k], min(hottest.High, high+ModelErrorK))
		}
		c.bounds[p] = b
	}
}

// At returns the state after the given minutes, from 0 to the recipe's minutes or Outlook.
func (c Course) At(minutes float64) (Sample, error) {
	if c.timesS == nil {
		return Sample{}, errNotAssessed
	}
	if err := within("minutes", minutes, 0, c.recipe.horizonS()/60, "min"); err != nil {
		return Sample{}, err
	}
	return c.sample(minutes), nil
}

func (c Course) sample(minutes float64) Sample {
	s := Sample{Minutes: minutes}
	for p, to := range []*hazards.Estimate{&s.AdhesiveC, &s.CellNearC, &s.CellFarC} {
		b := c.bounds[p]
		*to = hazards.Estimate{Low: at(c.timesS, b.low, 60*minutes), Middle: at(c.timesS, b.middle, 60*minutes), High: at(c.timesS, b.high, 60*minutes)}
	}
	return s
}
