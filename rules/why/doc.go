// Package why explains one answer of an advice: the rules that carry it and the
// facts they saw, why not the next gentler or bolder answer, the smallest
// changes of the case that would give another one, and what has to be done so
// that work may start.
//
// What carries an answer is found by taking rules out of the book and asking
// again; what would change it, by changing facts and asking again. Nothing is
// explained from the text of the rules alone.
package why
