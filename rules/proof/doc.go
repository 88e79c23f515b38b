// Package proof shows that a rulebook keeps its laws whatever the case, or
// prints the case in which it does not.
//
// The laws: a permission never grows when a fact gets worse (monotone); what is
// not known never permits (unknown); every rule and every row of a table can
// hold (dead); no rule says only what another says already (masked); tables
// answer on every date (dates); and the statements of the invariants file
// (invariant).
//
// A question is one condition that must have no completion. It is searched by
// branch and bound over regions: boxes within which every rule keeps its mind.
// A region that answers it is turned into a concrete case, the case is run
// through package advice, cut down to what it needs, and only then printed.
// What the budget did not decide, or what no concrete case was found for, is
// open.
package proof
