package heat

import (
	"errors"
	"fmt"
)

// ErrWall marks a wall, a side or a grid the solver refuses.
var ErrWall = errors.New("heat: wall")

// Sheet is one homogeneous layer with plain numbers, as the solver takes it.
type Sheet struct {
	ThicknessM     float64 // above zero, at most 0.5
	Conductivity   float64 // W/(m K), above zero
	VolumetricHeat float64 // density * specific heat, J/(m³K), above zero
	ContactM2KW    float64 // resistance between this sheet and the next, zero or more
}

// Wall is a pile of sheets, heated face first.
type Wall []Sheet

// Side is what a face meets: a temperature behind a resistance (zero: the face is held
// at that temperature; 1/h: air with film coefficient h), or nothing if Insulated.
type Side struct {
	TemperatureC float64
	ResistanceM2 float64 // m²K/W, zero or more
	Insulated    bool
}

// Film returns the side that meets fluid at temperatureC through a film coefficient in
// W/(m²K), above zero.
func Film(temperatureC, film float64) (Side, error) {
	if err := firstError(finite("temperature", temperatureC), positive("film coefficient", film, "W/(m²K)")); err != nil {
		return Side{}, err
	}
	return Side{TemperatureC: temperatureC, ResistanceM2: 1 / film}, nil
}

// Check reports the first fault of the wall.
func (w Wall) Check() error {
	if len(w) == 0 || len(w) > MaxLayers {
		return fmt.Errorf("%w: %d sheets; give 1..%d", ErrWall, len(w), MaxLayers)
	}
	for i, s := range w {
		err := firstError(
			within("thickness", s.ThicknessM, MinThicknessMM*1e-3, MaxThicknessMM*1e-3, "m"),
			within("conductivity", s.Conductivity, 1e-4, 1e5, "W/(m K)"),
			within("volumetric heat", s.VolumetricHeat, 1, 1e8, "J/(m³K)"),
			within("contact resistance", s.ContactM2KW, 0, maxResistance, "m²K/W"))
		if err != nil {
			return fmt.Errorf("%w: sheet %d: %w", ErrWall, i+1, err)
		}
	}
	return nil
}

// maxResistance is far beyond anything a bench meets and keeps the arithmetic finite.
const maxResistance = 1e6

func (s Side) check() error {
	err := firstError(within("temperature", s.TemperatureC, -273.15, 5000, "degC"),
		within("resistance", s.ResistanceM2, 0, maxResistance, "m²K/W"))
	if err != nil {
		return fmt.Errorf("%w: side: %w", ErrWall, err)
	}
	return nil
}

// Steady returns the final temperatures (degC) of the front face, of each boundary
// between sheets as seen from the sheet before it, and of the back face: len(w)+1
// values. At least one side must not be insulated. Incropera et al., section 3.1.
func Steady(w Wall, front, back Side) ([]float64, error) {
	if err := firstError(w.Check(), front.check(), back.check()); err != nil {
		return nil, err
	}
	if front.Insulated && back.Insulated {
		return nil, fmt.Errorf("%w: both faces are insulated, so no final temperature follows", ErrWall)
	}
	flux, start := 0.0, front.TemperatureC
	switch {
	case front.Insulated:
		start = back.TemperatureC
	case !back.Insulated:
		total := front.ResistanceM2 + back.ResistanceM2
		for i, s := range w {
			total += s.ThicknessM / s.Conductivity
			if i < len(w)-1 {
				total += s.ContactM2KW
			}
		}
		flux = (front.TemperatureC - back.TemperatureC) / total
	}
	out := make([]float64, 0, len(w)+1)
	t := start - flux*front.ResistanceM2
	out = append(out, t)
	contact := 0.0
	for _, s := range w {
		t -= flux * (contact + s.ThicknessM/s.Conductivity)
		out = append(out, t)
		contact = s.ContactM2KW
	}
	return out, nil
}

// SteadyMaximumC returns the temperature in degC that no point of a passive stack can
// pass, ever: the highest of heater, air and start, all finite. It is the maximum
// principle of heat conduction (Carslaw and Jaeger, section 1.14, from memory), and it
// needs no property of the stack.
func SteadyMaximumC(heaterC, airC, startC float64) (float64, error) {
	if err := firstError(finite("heater", heaterC), finite("air", airC), finite("start", startC)); err != nil {
		return 0, err
	}
	return max(heaterC, max(airC, startC)), nil
}
