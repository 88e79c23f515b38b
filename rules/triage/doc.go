// Package triage sorts many cells at once: a table or JSON lines of cases in, a
// line of answers for each out, in the same order. It reads and writes as it
// goes, keeps all processors busy and never holds more than a few hundred rows.
// A row that cannot be read is told and does not stop the rest.
package triage
