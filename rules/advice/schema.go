package advice

import (
	_ "embed"
	"slices"
)

//go:embed advice.schema.json
var jsonSchema []byte

// JSONSchema is the JSON Schema (draft 2020-12) of the JSON form of one Advice:
// strict, so that a key or a word that is not in the contract does not pass.
func JSONSchema() []byte { return slices.Clone(jsonSchema) }
