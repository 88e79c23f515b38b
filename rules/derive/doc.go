// Package derive computes what follows from what is known: rated energy, unit,
// charge, volts per cell and against the cell's own limits, growth, excess over
// the room. Each is a range over everything its parents leave possible, and is
// only computed when a rule asks.
package derive
