// Package discharge reckons how a sound cell is brought down to a target charge: by letting its own
// device run (the first choice), or through one resistor on a single reachable cell.
//
// Charge is in percent of full (Pct), energy in Wh, capacity in Ah, time in hours. Every figure that
// is not exact is a hazards.Estimate. The package knows no chemistry by name: the caller hands over
// the open-circuit curve and the voltage limits of the cell.
//
// A salt-water bath is not offered: BrineLimit shows what it gives off.
package discharge
