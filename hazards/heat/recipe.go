package heat

import (
	"fmt"

	"loosecell/hazards"
)

// Heater is what warms the first face of a stack: a temperature behind a resistance.
type Heater struct {
	SetC         hazards.Estimate // degC, -20..400
	ResistanceM2 hazards.Estimate // m²K/W, 0..1
}

// Pad is a heat pad at a set-point (degC) under a device laid on it by hand, with a
// contact resistance in m²K/W. PadContact is the usual one.
func Pad(setC, contactM2KW hazards.Estimate) Heater {
	return Heater{SetC: setC, ResistanceM2: contactM2KW}
}

// HotAir is a jet of air at airC (degC) with a film coefficient in W/(m²K), above
// zero. The set-point of a hot-air tool is not the temperature of any surface, and the
// face under it may come close to the air's: no permission can rest on this course.
func HotAir(airC, filmWM2K hazards.Estimate) (Heater, error) {
	if err := estimateWithin("hot-air film coefficient", filmWM2K, 1, 2000, "W/(m²K)"); err != nil {
		return Heater{}, err
	}
	return Heater{SetC: airC, ResistanceM2: hazards.Estimate{Low: 1 / filmWM2K.High, Middle: 1 / filmWM2K.Middle, High: 1 / filmWM2K.Low}}, nil
}

// PadContact is the resistance under a dry phone laid on a pad by hand, m²K/W: 5 to
// 25 µm of air (derived from the conductivity of still air).
func PadContact() hazards.Estimate { return hazards.Estimate{Low: 2e-4, Middle: 5e-4, High: 1e-3} }

// RoomFilm is the loss coefficient of a warm face to a quiet room by natural convection
// and radiation at 40..70 °C, W/(m²K) (from memory).
func RoomFilm() hazards.Estimate { return hazards.Estimate{Low: 8, Middle: 10, High: 12} }

// HotAirFilm is the film coefficient under a hand-held hot-air jet, W/(m²K): the range
// of forced convection in gases, Incropera et al., Table 1.1 (from memory).
func HotAirFilm() hazards.Estimate { return hazards.Estimate{Low: 25, Middle: 80, High: 250} }

// Recipe is one warming: what heats, how long, through what, in which room.
type Recipe struct {
	Heater     Heater
	Minutes    float64          // above zero, at most 480
	AirC       hazards.Estimate // room, -20..60 degC
	StartC     hazards.Estimate // device when the heat comes on, -20..100 degC
	FilmWM2K   hazards.Estimate // loss of the far face, 1..1000 W/(m²K); RoomFilm
	Stack      Stack            // marked, or markable by Stack.Marked
	CellLimitC float64          // -20..150 degC; no part of the cell should pass it
	SoftC      float64          // adhesive is soft from here, 0..150 degC; DefaultSoftC
}

// NewRecipe returns a recipe with the usual pad contact, room film and softening
// temperature, for a device at room temperature.
func NewRecipe(stack Stack, padC, airC hazards.Estimate, minutes, cellLimitC float64) Recipe {
	return Recipe{
		Heater: Pad(padC, PadContact()), Minutes: minutes, AirC: airC, StartC: airC,
		FilmWM2K: RoomFilm(), Stack: stack, CellLimitC: cellLimitC, SoftC: DefaultSoftC,
	}
}

// Check reports the first fault of the recipe. The heater must be at least as warm as
// room and device, bound for bound: the bounds rest on heat flowing in.
func (r Recipe) Check() error {
	if err := firstError(r.checkSurroundings(), within("cell limit", r.CellLimitC, -20, 150, "degC")); err != nil {
		return err
	}
	_, err := r.Stack.Marked()
	return err
}

func (r Recipe) checkSurroundings() error {
	err := firstError(
		estimateWithin("heater set-point", r.Heater.SetC, -20, 400, "degC"),
		estimateWithin("heater resistance", r.Heater.ResistanceM2, 0, 1, "m²K/W"),
		within("minutes", r.Minutes, 1e-3, 480, "min"),
		estimateWithin("room air", r.AirC, -20, 60, "degC"),
		estimateWithin("device at the start", r.StartC, -20, 100, "degC"),
		estimateWithin("loss coefficient", r.FilmWM2K, 1, 1000, "W/(m²K)"),
		within("softening temperature", r.SoftC, 0, 150, "degC"))
	if err != nil {
		return err
	}
	return firstError(warmer(r.Heater.SetC, r.AirC, "room"), warmer(r.Heater.SetC, r.StartC, "device"))
}

func warmer(heater, other hazards.Estimate, name string) error {
	if heater.Low < other.Low || heater.Middle < other.Middle || heater.High < other.High {
		return fmt.Errorf("%w: heater at %v degC is not warmer than the %s at %v degC", ErrDomain, heater, name, other)
	}
	return nil
}
