package shop

import (
	_ "embed"
	"slices"
)

//go:embed schema.json
var schemaJSON []byte

// Schema returns the JSON Schema (draft 2020-12) of .shop files: keys, types and what must be there. What it cannot say, Load
// does: ranges, and figures that must go together. The caller may change the returned bytes.
func Schema() []byte { return slices.Clone(schemaJSON) }
