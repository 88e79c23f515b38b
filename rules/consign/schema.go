package consign

import (
	_ "embed"
	"slices"
)

//go:embed consignment.schema.json
var jsonSchema []byte

// JSONSchema is the JSON Schema (draft 2020-12) of the JSON form of a
// Consignment: a key that is not in the contract does not pass.
func JSONSchema() []byte { return slices.Clone(jsonSchema) }
