package heat

import "math"

// coolingS is how long a cooling is followed: two hours.
const coolingS = 2 * 3600

// Wait is a time to wait, expected and at most. There is no least: nobody should touch
// on the strength of one.
type Wait struct {
	Middle, Latest Moment
}

// Cooling says how many minutes after the recipe's end, the device lying free in its
// room, both outer faces may be touched for contactS seconds as the given surface
// (TouchLimitC). Latest starts with the whole stack as hot as anything in it can be, loses
// least and stores most, with conductivities at both ends. Work with solvents asks more
// than a finger does: see CoolingTo.
func (c Course) Cooling(surface Surface, contactS float64) (Wait, error) {
	limit, err := TouchLimitC(surface, contactS)
	if err != nil {
		return Wait{}, err
	}
	return c.CoolingTo(limit)
}

// CoolingTo says when both outer faces are at or under targetC (0..200 degC); a moment
// not reached is later than two hours, or never in a room that warm.
func (c Course) CoolingTo(targetC float64) (Wait, error) {
	if c.timesS == nil {
		return Wait{}, errNotAssessed
	}
	if err := within("target", targetC, 0, 200, "degC"); err != nil {
		return Wait{}, err
	}
	profile, err := c.middleProfile()
	if err != nil {
		return Wait{}, err
	}
	hottest := func(int) float64 { return c.HottestPossibleC.High }
	var out Wait
	if out.Middle, err = c.cool(targetC, middle, profile, middle); err != nil {
		return Wait{}, err
	}
	out.Latest, err = c.cool(targetC, hot, hottest, cold, hot)
	return out, err
}

// middleProfile returns the middle run's temperature by cell when the heat goes off.
func (c Course) middleProfile() (func(int) float64, error) {
	r, m := c.recipe, corner{}
	w, err := r.Stack.wall(m, len(r.Stack))
	if err != nil {
		return nil, err
	}
	n := newNetwork(w, r.front(m), r.back(m), DefaultGrid.Cells)
	end := respond(n, newFields(n, func(int) float64 { return r.StartC.Middle }, r.AirC.Middle), 60*r.Minutes, DefaultGrid, keep, nil).end
	return func(cell int) float64 { return r.Heater.SetC.Middle*end[cell].rise + end[cell].rest }, nil
}

// cool runs the free stack once for each end of its conductivities and keeps the last
// moment at which a face comes under the target.
func (c Course) cool(targetC float64, bound side, start func(int) float64, conductivities ...side) (Moment, error) {
	r := c.recipe
	room, err := Film(pick(r.AirC, bound), pick(r.FilmWM2K, -bound))
	if err != nil {
		return Moment{}, err
	}
	last := Moment{Reached: true}
	for _, conducts := range conductivities {
		w, err := r.Stack.wall(corner{bound: conducts, capacity: bound}, len(r.Stack))
		if err != nil {
			return Moment{}, err
		}
		n := newNetwork(w, room, room, DefaultGrid.Cells)
		f := newFields(n, start, room.TemperatureC)
		run := respond(n, f, coolingS, DefaultGrid, keep, []Place{{0, false}, {len(w) - 1, true}})
		m := lastAbove(run, room.TemperatureC, targetC)
		if !m.Reached {
			return m, nil
		}
		last.Minutes = max(last.Minutes, m.Minutes)
	}
	return last, nil
}

// lastAbove returns the moment from which every place of the run stays at or under the target.
func lastAbove(run response, frontC, targetC float64) Moment {
	k := len(run.timesS) - 1
	hottest := func(k int) float64 {
		most := math.Inf(-1)
		for p := range run.rise {
			most = max(most, frontC*run.rise[p][k]+run.rest[p][k])
		}
		return most
	}
	if hottest(k) > targetC {
		return Moment{}
	}
	for k > 0 && hottest(k-1) <= targetC {
		k--
	}
	if k == 0 {
		return Moment{Reached: true}
	}
	above, below := hottest(k-1), hottest(k)
	share := (above - targetC) / (above - below)
	return Moment{Minutes: (run.timesS[k-1] + share*(run.timesS[k]-run.timesS[k-1])) / 60, Reached: true}
}
