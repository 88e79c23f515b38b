package room

import (
	"loosecell/hazards"
)

// Limits are what a vapour is held against: ppm, except LFLPercent (volume per
// cent). SaturationPpm is the most air can hold of it at bench temperature.
type Limits struct {
	DayPpm        float64 // 8 h mean
	ShortTermPpm  float64 // 15 min or ceiling
	LFLPercent    float64
	SaturationPpm float64
}

// Exposure is a dose against its limits. The three answers use the high end:
// what may pass a limit is not within it.
type Exposure struct {
	RoomPpm         hazards.Estimate // highest, well mixed
	NearWorkPpm     hazards.Estimate // highest, at the breathing zone over the work
	DayMeanPpm      hazards.Estimate // 8 h mean over the work
	LFLSharePercent hazards.Estimate // per cent of the lower flammable limit over the work

	WithinDay, WithinShortTerm, UnderQuarterLFL bool
}

// quarter of the lower flammable limit: NFPA 30-1990 5-3.3 as quoted by OSHA.
const quarter = 0.25

// QuarterOfLFL is 25 % of a lower flammable limit (volume per cent, 0.1 to
// 100), in ppm.
func QuarterOfLFL(lflPercent float64) (float64, error) {
	if err := within("lower flammable limit, volume per cent", lflPercent, 0.1, 100); err != nil {
		return 0, err
	}
	return lflPercent * 1e4 * quarter, nil
}

// AirToLFLLitres is how much air so much vapour (L) can bring to its lower
// flammable limit: the reason a drawer, a bag or a closed box is a danger where
// the room is not.
func AirToLFLLitres(vapourLitres hazards.Estimate, lflPercent float64) (hazards.Estimate, error) {
	if err := inside("vapour, L", vapourLitres, 0, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("lower flammable limit, volume per cent", lflPercent, 0.1, 100); err != nil {
		return hazards.Estimate{}, err
	}
	air := func(v float64) float64 { return v / (lflPercent / 100) }
	return hazards.New(air(vapourLitres.Low), air(vapourLitres.Middle), air(vapourLitres.High))
}

// NearWork widens a well-mixed figure to the air over the work: half of it to
// ten times it, the mixing factor of CDC, MMWR 43 RR-13. No air holds more
// than saturationPpm (above 0, at most 1e6).
func NearWork(mixedPpm hazards.Estimate, saturationPpm float64) (hazards.Estimate, error) {
	if err := inside("concentration, ppm", mixedPpm, 0, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	if err := within("saturation, ppm", saturationPpm, 1e-3, 1e6); err != nil {
		return hazards.Estimate{}, err
	}
	hold := func(x float64) float64 { return min(x, saturationPpm) }
	return hazards.New(hold(mixedPpm.Low/2), hold(mixedPpm.Middle), hold(mixedPpm.High*MixingFactor().High))
}

// Exposure holds a release against its limits in this room. Every limit must be
// stated (above 0); one that nobody has set is for the caller to replace by a
// stricter one, not by none.
func (b Box) Exposure(r Release, l Limits) (Exposure, error) {
	var e Exposure
	if err := within("8 h limit, ppm", l.DayPpm, 1e-3, 1e6); err != nil {
		return Exposure{}, err
	}
	if err := within("short-term limit, ppm", l.ShortTermPpm, 1e-3, 1e6); err != nil {
		return Exposure{}, err
	}
	lower, err := QuarterOfLFL(l.LFLPercent)
	if err != nil {
		return Exposure{}, err
	}
	if e.RoomPpm, err = b.PeakPpm(r); err != nil {
		return Exposure{}, err
	}
	if e.NearWorkPpm, err = NearWork(e.RoomPpm, l.SaturationPpm); err != nil {
		return Exposure{}, err
	}
	mean, err := b.MeanPpm(r, 480)
	if err != nil {
		return Exposure{}, err
	}
	if e.DayMeanPpm, err = NearWork(mean, l.SaturationPpm); err != nil {
		return Exposure{}, err
	}
	share := func(ppm float64) float64 { return ppm / (l.LFLPercent * 1e4) * 100 }
	if e.LFLSharePercent, err = hazards.New(share(e.NearWorkPpm.Low), share(e.NearWorkPpm.Middle), share(e.NearWorkPpm.High)); err != nil {
		return Exposure{}, err
	}
	e.WithinDay = e.DayMeanPpm.High <= l.DayPpm
	e.WithinShortTerm = e.NearWorkPpm.High <= l.ShortTermPpm
	e.UnderQuarterLFL = e.NearWorkPpm.High <= lower
	return e, nil
}
