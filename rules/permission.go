package rules

import "slices"

// Permission is one thing a sheet can allow.
type Permission string

// Rungs are the ways to free a cell, gentlest first; warm stands before
// solvent, since heat is barred once a solvent has been used.
var Rungs = []string{
	"fasteners", "lift-film", "pull-cord", "stretch-strips", "strip-stub", "other-tab",
	"voltage-release", "warm", "solvent", "card", "cut-leads",
}

// Modes are the ways a cell leaves the building.
var Modes = []string{"road", "rail", "sea", "air-cargo", "air-passenger", "passenger-baggage", "post"}

// Permissions lists everything that can be permitted, in the order of a sheet.
var Permissions = func() []Permission {
	var all []Permission
	for _, r := range Rungs {
		all = append(all, RungPermission(r))
	}
	all = append(all, "heat", "solvent", "discharge.in-device", "discharge.resistor", "opening", "refit")
	for _, m := range Modes {
		all = append(all, ModePermission(m))
	}
	return all
}()

// RungPermission is the permission to use a rung.
func RungPermission(rung string) Permission { return Permission("rung." + rung) }

// ModePermission is the permission to hand over for carriage by a mode.
func ModePermission(mode string) Permission { return Permission("ship." + mode) }

// Known tells whether the permission exists.
func (p Permission) Known() bool { return slices.Contains(Permissions, p) }

// Cap is a number that a sheet never exceeds; the smallest possible one holds. A
// value outside Low..High would be no tightening but nonsense: a surface colder
// than the room, a discharge that harms the cell.
type Cap struct {
	Name, Unit string
	Low, High  float64
	// Of is the stated fact that the cap bounds, if there is one: above the cap
	// nothing of Bars is permitted.
	Of   string
	Bars []Permission
}

var padWork = []Permission{"heat", RungPermission("warm")}

// Caps lists the caps and the unit each is in. A stack on a pad ends no warmer
// than the pad, so the cap of the cell bounds the setting as that of the surface
// does.
var Caps = []Cap{
	{Name: "heat.surface", Unit: "degC", Low: 30, High: 100, Of: "bench.heat_setpoint", Bars: padWork},
	{Name: "heat.cell", Unit: "degC", Low: 30, High: 100, Of: "bench.heat_setpoint", Bars: padWork},
	{Name: "heat.minutes", Unit: "min", Low: 0.5, High: 60},
	{Name: "solvent.dose", Unit: "mL", Low: 0.05, High: 10},
	{Name: "discharge.target", Unit: "%", Low: 5, High: 100},
	{Name: "opening.surface", Unit: "degC", Low: 30, High: 100},
	{Name: "opening.minutes", Unit: "min", Low: 0, High: 60},
	{Name: "store.charge_high", Unit: "%", Low: 5, High: 100},
	{Name: "store.days", Unit: "d", Low: 1, High: 3650},
}

// CapNamed finds a cap.
func CapNamed(name string) (*Cap, bool) {
	for i := range Caps {
		if Caps[i].Name == name {
			return &Caps[i], true
		}
	}
	return nil, false
}

// Lists are the places on a sheet where rules add sentences.
var Lists = []string{
	"cautions", "ppe", "steps", "opening", "stop_signs", "emergency", "discharge",
	"heat", "solvent", "after", "storage", "refit", "ship", "waste",
}

// Placeholders are the numbers and names of a case that a sentence may hold in
// braces.
var Placeholders = []string{
	"target_soc", "rated_wh", "soc", "heat_surface_c", "heat_cell_c", "heat_minutes", "opening_surface_c",
	"opening_minutes", "solvent", "dose_ml", "dose_left_ml", "dose_per_edge_ml", "soak_min", "tried", "air_c",
	"cell_c", "excess_k", "watch_h", "shop_name", "shop_address", "emergency_number", "poison_line",
	"meeting_point", "referral", "collector", "night_place", "discharge_h", "volts", "volts_per_cell",
	"connectors", "tabs", "tabs_torn", "warmings", "minutes_left", "release_voltage", "look_again",
}
