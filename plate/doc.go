// Package plate holds the document: what the designer drew and set for one flat plate, and nothing derived from it.
//
// A Plate is a plain value. It is copied on edit (see Clone and Edit) and never changed in place once published. Lengths
// are millimetres, stresses MPa, densities kg/m³. Angles are degrees and named so (StartDeg): what a file says is then
// read and written back without drift.
//
// Axes are right-handed: x right, y up seen from the top; z = 0 at the finished bottom face and z = t at the finished top
// face, t = Stock.Thickness().
//
// A file is JSON with units in its keys; Schema describes every key. Decode refuses what is not such a file, Validate
// reports what is one but describes no possible plate.
//
//	p, err := plate.Decode(data)   // strict; all problems at once
//	problems := p.Validate()       // each names the feature and the fix
//	data, err = plate.Encode(p)    // canonical bytes; plate.Revision(p) is their SHA-256
package plate
