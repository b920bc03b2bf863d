package plate

import _ "embed"

//go:embed schema-v1.json
var schemaV1 string

// Schema returns the JSON Schema (draft 2020-12) of version 1 of the plate file. It says what Decode accepts and the ranges
// and choices that Validate asks for; what a schema cannot say (doubled keys, references, one number against another) is
// left to the two. The caller owns the bytes.
func Schema() []byte { return []byte(schemaV1) }
