// Package book reads rulebooks: the shipped one, which is built in, and the
// rules a shop lays over it.
//
// A rule file is YAML: a topic, named conditions under define, and a list of
// rules of a few lines each. Everything wrong with a file is reported at once,
// with file, line, column, a code that keeps its meaning, and the fix.
package book
