// Package rules holds the rulebook as the engine sees it: rules with one effect
// each, added up without order or priority, and decided over what is possible.
//
// Two boxes say what is possible. The full box holds everything that is not
// ruled out; restrictions act on it when their condition can be true, permits
// only when it must be. The alarm box takes every unstated fact at the value a
// person would have noticed nothing at; grades and alarms come from it, so that
// ignorance asks and evidence alarms.
//
// Everything the program answers is a thin fold over Decide (no splitting) and
// Explore (every completion, within a budget).
package rules
