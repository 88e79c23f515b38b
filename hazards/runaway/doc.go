// Package runaway reckons what a lithium cell can do to a room and to the people in it when it goes
// into thermal runaway: heat, vent gas, hydrogen fluoride and carbon monoxide, radiant heat at a
// distance, the air changes before anyone goes back, and what it takes to bed or cool the cell.
//
// Results are low, middle and high cases, not confidence limits. Energy is in Wh, charge in percent
// of full (Pct), heat in kJ, gas in litres at 20 degC and 101.325 kPa, mass in g, room volume in m3,
// concentration in ppm by volume at 25 degC. Data with their sources are in the CSV files; a word
// in the source columns is a key of the table of documents.
//
// The models shape emergency and re-entry text. A small figure is never a permission: low charge
// lowers the likelihood and the peak of a fire, it does not remove fuel or fluoride.
package runaway
