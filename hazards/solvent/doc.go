// Package solvent reckons the liquids a bench uses to let go a glued cell: how
// fast they wick, how much is needed, how long to wait, how fast they dry, how
// much vapour they give, which plastics they harm, and which of those at the
// bench to take.
//
// Temperatures are degrees Celsius, volumes mL, lengths mm, times in the unit
// the name says. Answers are low / middle / high; a range going in makes the
// answer wider, never narrower.
//
// The figures stand in data/*.csv, each row with the key of its source and how
// that source is known (read, secondary, memory, practice). A figure known from
// memory only may tighten an answer, never permit one.
package solvent
