// Package events knows what can happen at the bench in the middle of a job and
// what each of it changes in a case: a strip snaps, a cell is bent, a smell is
// noticed, a dose goes in. The list is data (events.yaml). What is to be done
// then is not written here: the rulebook answers that from the case as it now
// stands.
//
// One law holds for all of them: an event never makes a sign less bad. A look
// that no longer counts takes out what it showed to be absent; only looking
// again puts it back.
package events
