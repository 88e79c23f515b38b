package room

import (
	"fmt"

	"loosecell/hazards"
)

// Box is a room as one well-mixed volume. VolumeM3 is above 0 and at most
// 100 000; AirChangesPerHour is 0 to 1 000, outdoor or cleaned air only.
type Box struct {
	VolumeM3          hazards.Estimate
	AirChangesPerHour hazards.Estimate
}

// Release is vapour that reaches the air: Litres at room conditions, at an even
// rate over Minutes. Minutes 0 means all at once.
type Release struct {
	Litres  hazards.Estimate
	Minutes hazards.Estimate
}

// Point is one place on a course over time.
type Point struct {
	Minutes float64
	Value   hazards.Estimate
}

// NewBox builds a room from its volume (m3) and its air changes per hour. It
// refuses what is not finite, a volume of nothing and a negative air change.
func NewBox(volumeM3, airChangesPerHour hazards.Estimate) (Box, error) {
	b := Box{VolumeM3: volumeM3, AirChangesPerHour: airChangesPerHour}
	return b, b.check()
}

// Ppm is the well-mixed concentration minutes after the release began, ppm by
// volume; minutes is 0 or more. Each end is the exact worst or best case of the
// inputs: concentration falls with volume and air change, rises with litres,
// and as a function of the release time peaks where the release just ends.
func (b Box) Ppm(r Release, minutes float64) (hazards.Estimate, error) {
	if err := b.checkWith(r); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("time, minutes", minutes, 0, 1e7); err != nil {
		return hazards.Estimate{}, err
	}
	worst := min(max(minutes, r.Minutes.Low), r.Minutes.High)
	best := r.Minutes.Low
	if q := b.AirChangesPerHour.High / 60; fadeAt(minutes, r.Minutes.High, q) < fadeAt(minutes, best, q) {
		best = r.Minutes.High
	}
	return b.spread(r, func(tau, q float64) float64 { return fadeAt(minutes, tau, q) }, best, worst)
}

// PeakPpm is the highest well-mixed concentration, reached as the release ends.
func (b Box) PeakPpm(r Release) (hazards.Estimate, error) {
	if err := b.checkWith(r); err != nil {
		return hazards.Estimate{}, err
	}
	return b.spread(r, func(tau, q float64) float64 { return phi1(q * tau) }, r.Minutes.High, r.Minutes.Low)
}

// MeanPpm is the highest mean over any stretch of windowMinutes (15 for a
// short-term limit, 480 for a day), in a well-mixed room. windowMinutes is
// above 0 and at most 10 000.
func (b Box) MeanPpm(r Release, windowMinutes float64) (hazards.Estimate, error) {
	if err := b.checkWith(r); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("averaging time, minutes", windowMinutes, 1e-3, 1e4); err != nil {
		return hazards.Estimate{}, err
	}
	return b.spread(r, func(tau, q float64) float64 { return fadeMean(windowMinutes, tau, q) },
		r.Minutes.High, r.Minutes.Low)
}

// Course is the well-mixed concentration in steps equal parts of untilMinutes,
// both ends included, for a drawing. steps is 1 to 10 000.
func (b Box) Course(r Release, untilMinutes float64, steps int) ([]Point, error) {
	if steps < 1 || steps > 10000 {
		return nil, fmt.Errorf("room: %d steps in a course: 1 to 10000 fit", steps)
	}
	points := make([]Point, 0, steps+1)
	for i := range steps + 1 {
		t := untilMinutes * float64(i) / float64(steps)
		value, err := b.Ppm(r, t)
		if err != nil {
			return nil, err
		}
		points = append(points, Point{Minutes: t, Value: value})
	}
	return points, nil
}

// SteadyPpm is the level reached if vapour keeps coming at litresPerHour:
// G/Q of the box model. An air change of nothing has no such level: an error.
func (b Box) SteadyPpm(litresPerHour hazards.Estimate) (hazards.Estimate, error) {
	if err := b.check(); err != nil {
		return hazards.Estimate{}, err
	}
	if err := inside("vapour, L/h", litresPerHour, 0, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	if b.AirChangesPerHour.Low <= 0 {
		return hazards.Estimate{}, fmt.Errorf("room: no steady level without air change: state air changes per hour above 0")
	}
	level := func(g, v, n float64) float64 { return capPpm(g / 1000 / (v * n) * 1e6) }
	return hazards.New(
		level(litresPerHour.Low, b.VolumeM3.High, b.AirChangesPerHour.High),
		level(litresPerHour.Middle, b.VolumeM3.Middle, b.AirChangesPerHour.Middle),
		level(litresPerHour.High, b.VolumeM3.Low, b.AirChangesPerHour.Low))
}

// spread turns one form of fade.go into low / middle / high.
func (b Box) spread(r Release, form func(tau, q float64) float64, bestTau, worstTau float64) (hazards.Estimate, error) {
	ppm := func(litres, volume, changes, tau float64) float64 {
		return capPpm(litres / 1000 / volume * 1e6 * form(tau, changes/60))
	}
	low := ppm(r.Litres.Low, b.VolumeM3.High, b.AirChangesPerHour.High, bestTau)
	middle := ppm(r.Litres.Middle, b.VolumeM3.Middle, b.AirChangesPerHour.Middle, r.Minutes.Middle)
	high := ppm(r.Litres.High, b.VolumeM3.Low, b.AirChangesPerHour.Low, worstTau)
	return ordered(low, middle, high)
}

// ordered keeps rounding in the last digit from putting the middle outside.
func ordered(low, middle, high float64) (hazards.Estimate, error) {
	return hazards.New(min(low, middle), middle, max(middle, high))
}

// capPpm: a room holds no more than pure vapour.
func capPpm(ppm float64) float64 { return min(ppm, 1e6) }
