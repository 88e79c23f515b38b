// Package carriagetest holds the tables of carriage of a rulebook against the
// world outside it: against the worked cases that were published, and against
// the law written down a second time. Tests use it, of the shipped rules and of
// rules with a fault in them.
//
//   - [Published] reads the worked cases with their sources, and [Row.Misses]
//     tells where an answer departs from one.
//   - [Law] rules on a parcel all of whose facts are stated, from the clauses
//     and without a rulebook; [Ruling.Misses] compares.
//   - [Draw] makes parcels, by whatever does the choosing; [Sample] makes the
//     same ones every time.
package carriagetest
