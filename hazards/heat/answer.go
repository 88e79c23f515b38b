package heat

import (
	"errors"
	"math"
)

var errNotAssessed = errors.New("heat: this course is empty; make one with Recipe.Assess")

// answer draws the conclusions from the bounds.
func (c *Course) answer() {
	r := c.recipe
	adhesive, near, far := c.bounds[adhesiveFace], c.bounds[cellNear], c.bounds[cellFar]
	c.Soft = c.softening(adhesive)
	c.PassesLimit = Passage{
		Earliest: firstAbove(c.timesS, r.CellLimitC, near.high, far.high),
		Middle:   firstAbove(c.timesS, r.CellLimitC, near.middle, far.middle),
		Latest:   firstAbove(c.timesS, r.CellLimitC, near.low, far.low),
	}
	c.AtEnd = c.sample(r.Minutes)
	c.Worth = worth(c.Soft, c.PassesLimit, r.Minutes)
	c.SoftFrom, c.StaysUnder, c.SureUnder = c.softFrom(), c.staysUnder(), c.sureUnder()
}

func (c *Course) softening(adhesive bounds) Passage {
	return Passage{
		Earliest: firstAtLeast(c.timesS, c.recipe.SoftC, adhesive.high),
		Middle:   firstAtLeast(c.timesS, c.recipe.SoftC, adhesive.middle),
		Latest:   firstAtLeast(c.timesS, c.recipe.SoftC, adhesive.low),
	}
}

// worth is certain only when every completion agrees.
func worth(soft, passes Passage, minutes float64) Worth {
	switch {
	case !soft.Earliest.before(minutes), passes.Latest.Reached && passes.Latest.Minutes < soft.Earliest.Minutes:
		return WorthNo
	case soft.Latest.before(minutes) && (!passes.Earliest.Reached || soft.Latest.Minutes <= passes.Earliest.Minutes):
		return WorthYes
	}
	return WorthOpen
}

// firstAtLeast returns when the course first reaches the level.
func firstAtLeast(timesS []float64, level float64, course []float64) Moment {
	for k, t := range course {
		if t >= level {
			return Moment{Minutes: crossing(timesS, course, k, level) / 60, Reached: true}
		}
	}
	return Moment{}
}

// firstAbove returns when any of the courses first passes the level; standing at it
// is not passing it.
func firstAbove(timesS []float64, level float64, courses ...[]float64) Moment {
	first := Moment{Minutes: math.Inf(1)}
	for _, course := range courses {
		for k, t := range course {
			if t > level {
				first = Moment{Minutes: min(first.Minutes, crossing(timesS, course, k, level)/60), Reached: true}
				break
			}
		}
	}
	if !first.Reached {
		return Moment{}
	}
	return first
}

// crossing returns the time between steps k-1 and k at which the course is at level.
func crossing(timesS, course []float64, k int, level float64) float64 {
	if k == 0 {
		return timesS[0]
	}
	share := (level - course[k-1]) / (course[k] - course[k-1])
	return timesS[k-1] + max(0, min(1, share))*(timesS[k]-timesS[k-1])
}

// warmest is the lowest set-point (middle value) the recipe's regime admits.
func (r Recipe) warmest(s side) float64 {
	return max(pick(r.AirC, s), pick(r.StartC, s))
}

// softFrom needs no search: temperatures are a straight line in the heater's, so each
// run gives the set-point at which its adhesive is just soft when the minutes are up.
func (c *Course) softFrom() Level {
	r := c.recipe
	need := r.warmest(cold)
	for i := range c.runs {
		run := &c.runs[i]
		if run.corner.bound == hot {
			continue
		}
		rise := at(run.timesS, run.rise[adhesiveFace], 60*r.Minutes)
		rest := at(run.timesS, run.rest[adhesiveFace], 60*r.Minutes)
		if rise < 1e-6 {
			return Level{}
		}
		need = max(need, (r.SoftC+ModelErrorK-rest)/rise)
	}
	return level(need + r.Heater.SetC.Middle - r.Heater.SetC.Low)
}

// staysUnder is the same line read the other way, at every time up to the minutes.
func (c *Course) staysUnder() Level {
	r := c.recipe
	if r.warmest(hot) > r.CellLimitC {
		return Level{}
	}
	most := math.Inf(1)
	for i := range c.runs {
		run := &c.runs[i]
		if run.corner.bound == cold {
			continue
		}
		for _, p := range [...]int{cellNear, cellFar} {
			for k, t := range run.timesS {
				if rise := run.rise[p][k]; rise > 1e-6 {
					most = min(most, (r.CellLimitC-ModelErrorK-run.rest[p][k])/rise)
				}
				if t >= 60*r.Minutes {
					break
				}
			}
		}
	}
	// Up to the limit itself the maximum principle is the better bound.
	most = max(most, r.CellLimitC)
	return level(most - (r.Heater.SetC.High - r.Heater.SetC.Middle))
}

func (c *Course) sureUnder() Level {
	r := c.recipe
	if r.warmest(hot) > r.CellLimitC {
		return Level{}
	}
	return level(r.CellLimitC - (r.Heater.SetC.High - r.Heater.SetC.Middle))
}

// level keeps to set-points a heater can have.
func level(c float64) Level {
	if math.IsInf(c, 0) || math.IsNaN(c) || c > 400 {
		return Level{}
	}
	return Level{C: c, Exists: true}
}

// HeaterWorth reports whether a set-point exists that softens the adhesive within the
// minutes while every part of the cell surely stays under its limit.
func (c Course) HeaterWorth() bool {
	return c.SoftFrom.Exists && c.SureUnder.Exists && c.SoftFrom.C <= c.SureUnder.C
}
