package runaway

import (
	"fmt"

	"loosecell/hazards"
	"loosecell/hazards/room"
)

// limitsHoldAtC is the air temperature published limits in ppm are stated for.
const limitsHoldAtC = 25

// ReleaseOf gives a mass in g (0 or more) of a gas of the species table as a release into a room,
// all at once: the stricter course. Take room.Box.Course with it for the concentration over time.
// Source: ideal gas at 25 degC. Errors: an unknown gas, a mass outside its range.
func ReleaseOf(gas string, massG hazards.Estimate) (room.Release, error) {
	table, err := speciesTable()
	if err != nil {
		return room.Release{}, err
	}
	s, known := table[gas]
	if !known {
		return room.Release{}, fmt.Errorf("runaway: gas %q is not in the table of species", gas)
	}
	litres, err := room.GasLitres(massG, s.MolarG, hazards.Estimate{Low: limitsHoldAtC, Middle: limitsHoldAtC, High: limitsHoldAtC})
	return room.Release{Litres: litres}, err
}

// RoomAtPPM gives the room volume in m3 in which a release just reaches ppm (above 0, to 1e6) with
// no air change: litres / (1000 · ppm · 1e-6). Errors: ErrDomain.
func RoomAtPPM(release room.Release, ppm float64) (hazards.Estimate, error) {
	if err := above0("concentration in ppm", ppm); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("release in L", release.Litres, 0, 1e6, true); err != nil {
		return hazards.Estimate{}, err
	}
	volume := scaled(release.Litres, 1e3/ppm)
	return hazards.New(volume.Low, volume.Middle, volume.High)
}

// Comparison sets the peak of a release in a room against one limit.
type Comparison struct {
	Limit        Limit
	Times        hazards.Estimate // peak over limit
	Passed       bool             // it may pass the limit
	BelowMinutes hazards.Estimate // until under it, perfectly mixed; valid if the room has air change
}

// Exposure is one gas in the air of a room after a runaway.
type Exposure struct {
	PeakPPM  hazards.Estimate // all released at once, perfectly mixed
	Airing   bool             // false: the air change may be nothing, BelowMinutes says nothing
	Compared []Comparison
}

// ExposureTo sets a release of a gas in a room against every published limit of that gas. Near the
// cell the air holds more than the room's mean. Source: limits.csv; box model of room (CDC, MMWR 43
// RR-13, 1994). Errors: a gas without limits, a room outside its range.
func ExposureTo(gas string, release room.Release, box room.Box) (Exposure, error) {
	peak, err := box.PeakPpm(release)
	if err != nil {
		return Exposure{}, err
	}
	limits, err := Limits(gas)
	if err != nil {
		return Exposure{}, err
	}
	out := Exposure{PeakPPM: peak, Airing: aired(box)}
	for _, l := range limits {
		c := Comparison{Limit: l, Times: scaled(peak, 1/l.PPM), Passed: peak.High > l.PPM}
		if out.Airing {
			if c.BelowMinutes, err = room.ClearMinutes(peak, l.PPM, box.AirChangesPerHour, hazards.Estimate{Low: 1, Middle: 1, High: 1}); err != nil {
				return Exposure{}, err
			}
		}
		out.Compared = append(out.Compared, c)
	}
	return out, nil
}

// leastAirChange per hour: under it a room is taken as closed.
const leastAirChange = 1e-3

func aired(box room.Box) bool { return box.AirChangesPerHour.Low >= leastAirChange }

// airChangesBeforeReturn is the common-practice least airing, in changes of the room's air.
const airChangesBeforeReturn = 5

// ReentryMinutes gives the time before anyone without breathing protection goes back: until every
// gas is under its lowest short-term limit, times the mixing factor (1 to 10, room.MixingFactor),
// and never under five changes of air (common practice). peaks maps a gas to its peak in ppm. An
// equipped person checks first, whatever the time says.
//
//	t = max(mixing · ln(C0/C)/n, 5/n)
//
// Sources: CDC, MMWR 43 (RR-13), 1994, table S3-1; limits.csv. Errors: a room whose air change may
// be nothing (it does not clear), a gas without a short-term limit.
func ReentryMinutes(peaks map[string]hazards.Estimate, box room.Box, mixing hazards.Estimate) (hazards.Estimate, error) {
	if !aired(box) {
		return hazards.Estimate{}, fmt.Errorf("%w: air changes per hour %g, want %g or more: a closed room does not clear, open it first",
			ErrDomain, box.AirChangesPerHour.Low, leastAirChange)
	}
	n := box.AirChangesPerHour
	longest := hazards.Estimate{Low: airChangesBeforeReturn * 60 / n.High, Middle: airChangesBeforeReturn * 60 / n.Middle, High: airChangesBeforeReturn * 60 / n.Low}
	for gas, peak := range peaks {
		limit, err := ReentryLimit(gas)
		if err != nil {
			return hazards.Estimate{}, err
		}
		t, err := room.ClearMinutes(peak, limit.PPM, n, mixing)
		if err != nil {
			return hazards.Estimate{}, err
		}
		longest = hazards.Estimate{Low: max(longest.Low, t.Low), Middle: max(longest.Middle, t.Middle), High: max(longest.High, t.High)}
	}
	return hazards.New(longest.Low, longest.Middle, longest.High)
}
