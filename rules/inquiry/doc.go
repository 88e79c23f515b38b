// Package inquiry decides what to ask next: the fact, or the natural group of
// facts, that can still change an answer that matters, danger first, then the
// most telling by the engine's own reckoning. It asks no one itself; a screen
// or a pipe puts its questions and hands the answers back.
package inquiry
