package set

import _ "embed"

//go:embed schema-v1.json
var schemaV1 string

// Schema returns the JSON Schema (draft 2020-12) of version 1 of the set file: what Decode accepts and the ranges that
// Validate asks for. The caller owns the bytes.
func Schema() []byte { return []byte(schemaV1) }
