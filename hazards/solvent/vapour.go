package solvent

import (
	"loosecell/hazards"
	"loosecell/hazards/room"
)

// benchAir is still bench air without a fan up to a draught, m/s (assumption).
var benchAir = hazards.Estimate{Low: 0.1, Middle: 0.2, High: 0.5}

// VapourLitres is the vapour a dose makes when all of it has evaporated, litres
// at one atmosphere; only the compound counts, not the water. doseML 0 to 1000,
// temperature where the density is known.
func (l Liquid) VapourLitres(doseML, temperatureC hazards.Estimate) (hazards.Estimate, error) {
	if err := inside("dose, mL", doseML, 0, 1000); err != nil {
		return hazards.Estimate{}, err
	}
	rho, err := l.Density(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	grams := func(rho, ml float64) float64 { return rho * ml * l.MassFraction / 1000 }
	mass, err := hazards.New(grams(rho.Low, doseML.Low), grams(rho.Middle, doseML.Middle), grams(rho.High, doseML.High))
	if err != nil {
		return hazards.Estimate{}, err
	}
	return room.GasLitres(mass, l.MolarMass, temperatureC)
}

// Release is that vapour with the time it takes to reach the air, for
// hazards/room: a film of 20 to 40 cm2 a mL in bench air without a fan (how far
// a dose spreads is an assumption). Temperature -10 to 60 degC; below the range
// of the vapour pressure table the fast end is that of the table's cold end,
// which is faster, and the slow end ten times the slow end there.
func (l Liquid) Release(doseML, temperatureC hazards.Estimate) (room.Release, error) {
	litres, err := l.VapourLitres(doseML, temperatureC)
	if err != nil {
		return room.Release{}, err
	}
	held, cold, err := l.tableTemperature(temperatureC)
	if err != nil {
		return room.Release{}, err
	}
	one := hazards.Estimate{Low: 1, Middle: 1, High: 1}
	minutes, err := l.FilmMinutes(one, hazards.Estimate{Low: 20, Middle: 20, High: 40}, benchAir, held)
	if err != nil {
		return room.Release{}, err
	}
	if cold {
		minutes.High *= 10
	}
	return room.Release{Litres: litres, Minutes: minutes}, nil
}

// tableTemperature holds a bench temperature inside the vapour pressure table.
func (l Liquid) tableTemperature(temperatureC hazards.Estimate) (held hazards.Estimate, cold bool, err error) {
	if err := inside("bench temperature, degC", temperatureC, -10, 60); err != nil {
		return hazards.Estimate{}, false, err
	}
	floor := l.properties[vapourPressure].minC
	if l.mixed() {
		floor = max(floor, 0.1) // the water table begins at freezing
	}
	hold := func(t float64) float64 { return max(t, floor) }
	held, err = hazards.New(hold(temperatureC.Low), hold(temperatureC.Middle), hold(temperatureC.High))
	return held, temperatureC.Low < floor, err
}

// SaturationPpm is the most of its vapour air can hold over the liquid, ppm by
// volume; temperature as Release.
func (l Liquid) SaturationPpm(temperatureC hazards.Estimate) (hazards.Estimate, error) {
	held, _, err := l.tableTemperature(temperatureC)
	if err != nil {
		return hazards.Estimate{}, err
	}
	p, err := l.VapourPressurePa(held)
	if err != nil {
		return hazards.Estimate{}, err
	}
	ppm := func(pa float64) float64 { return min(1e6, pa/standardPa*1e6) }
	return hazards.New(ppm(p.Low), ppm(p.Middle), ppm(p.High))
}

// Exposure holds the vapour of a dose in a room against the liquid's breathing
// limits and its lower flammable limit. Ranges as Release.
func (l Liquid) Exposure(box room.Box, doseML, temperatureC hazards.Estimate) (room.Exposure, error) {
	release, err := l.Release(doseML, temperatureC)
	if err != nil {
		return room.Exposure{}, err
	}
	saturation, err := l.SaturationPpm(temperatureC)
	if err != nil {
		return room.Exposure{}, err
	}
	return box.Exposure(release, room.Limits{
		DayPpm:        l.Limits.DayPpm,
		ShortTermPpm:  l.Limits.ShortTermPpm,
		LFLPercent:    l.Fire.LFLLow,
		SaturationPpm: saturation.High,
	})
}

// VapourCourse is the well-mixed concentration of a dose over untilMinutes, ppm,
// in steps equal parts (1 to 10 000); other ranges as Release.
func (l Liquid) VapourCourse(box room.Box, doseML, temperatureC hazards.Estimate, untilMinutes float64, steps int) ([]room.Point, error) {
	release, err := l.Release(doseML, temperatureC)
	if err != nil {
		return nil, err
	}
	return box.Course(release, untilMinutes, steps)
}

// MinimumAir is the fresh air while a dose evaporates, m3/h, that keeps the
// vapour within the short-term breathing limit and under a quarter of the lower
// flammable limit. Low and middle take well-mixed air, high the worst mixing.
// Ranges as Release.
func (l Liquid) MinimumAir(doseML, temperatureC hazards.Estimate) (breathing, fire hazards.Estimate, err error) {
	release, err := l.Release(doseML, temperatureC)
	if err != nil {
		return breathing, fire, err
	}
	rate, err := hazards.New( // L/h
		release.Litres.Low/release.Minutes.High*60,
		release.Litres.Middle/release.Minutes.Middle*60,
		release.Litres.High/release.Minutes.Low*60)
	if err != nil {
		return breathing, fire, err
	}
	if breathing, err = room.MinimumAirM3PerHour(rate, l.Limits.ShortTermPpm); err != nil {
		return breathing, fire, err
	}
	quarter, err := room.QuarterOfLFL(l.Fire.LFLLow)
	if err != nil {
		return breathing, fire, err
	}
	fire, err = room.MinimumAirM3PerHour(rate, quarter)
	return breathing, fire, err
}
