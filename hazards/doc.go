// Package hazards holds what the numeric models in its sub-packages share: the
// three-valued Estimate every model answers with.
//
// Each sub-package is one model (heat, vapour, discharge, runaway, room). A
// model is pure: numbers in, numbers or an error out. It knows no rule, no case
// file and no screen, and names its sources by document, clause and equation in
// comments, in a source column of its data, or by a key that rules/source
// resolves.
package hazards
