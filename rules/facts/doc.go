// Package facts holds the words of the program: one catalogue of everything
// that can be known about a job, the units those things are measured in, and
// the case and shop files people write with them.
//
// The catalogue is data (catalogue/*.yaml, embedded): each fact is declared
// once, with its words or its unit, its physical range, which way is worse, and
// how a person can find it out without harm. Every value of a case is missing,
// stated as unknown, or stated as a closed range or a set of words; nothing
// here decides anything, and nothing here permits anything.
package facts
