// Package quiz draws scenario cards from the rulebook: a short story, what is
// known, a question, and the answer that an advice gives for that very case.
//
// A scene names one fact to vary. The rulebook is asked along the whole scale
// of that fact; where the answer changes is a boundary, and the card is put at a
// distance from it that makes it hard or easy. The smallest change of anything
// on the card that would give another answer is found the same way, so the key
// can say how near the learner was.
package quiz
