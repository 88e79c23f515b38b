// Package briefing holds what a shop teaches its staff: the talk, the handout,
// the practical checklist, the wall sheet, the counter card and the table of
// training that the law asks for.
//
// The texts are data. Every statement names what it stands on: a rule of the
// book ("rule: heat-limits"), a card ("card: hot") or a document ("key:
// clause"). Loading resolves all of them, so that none can point nowhere, and a
// test asks that every number in a statement stands in one of its grounds.
package briefing
