// Package battery holds what is known of lithium cells as bare numbers: voltage
// tables, limits, energy, charge, size and what counts as a cell. Everything
// is a pure function over intervals; the data are the CSV files in data/, each
// row with the key of its source.
//
// # How to read it
//
//   - interval.go    closed ranges, and ranges that may not have been given
//   - chemistry.go   the eight chemistries, sets of them, limits and cut-offs
//   - label.go       which class of cell a label's two voltages point to
//   - table.go       resting voltage against charge, both ways
//   - candidates.go  which tables may describe a cell
//   - charge.go      state of charge: the fast core
//   - estimate.go    the same answer with its reasons
//   - voltage.go     volts per cell, over the limit, under the cut-off, cells in series
//   - energy.go      rated energy from mark, label, mass or size
//   - unit.go        cell or battery, energy per cell, lithium content
//   - swelling.go    growth of thickness
//   - discharge.go   mean voltage and resistance while a cell is run down
//
// # Ranges only widen
//
// A caller that knows less passes a wider interval or a larger set, and every
// function here then returns a wider answer, never a narrower one. That holds
// for everything that is given. A [Maybe] that is not given is something else:
// the quantity plays no part at all. With a gauge and a resting voltage the
// answer spans both; with the gauge not given it is that of the voltage alone,
// which may be narrower. A caller for whom "unknown" must never permit more
// than a known value passes the full physical range as given, not an absent
// one: StateOfCharge with a gauge of 0..100 % answers 0..100 %.
//
// # Errors
//
// Each public function refuses numbers that are not finite or not possible with
// an error naming the input. The two fast cores that an exploration calls a
// million times ([StateOfChargePercent] and [RatedWh]) return the widest answer
// instead, because an unusable input is the same as knowing nothing.
package battery
