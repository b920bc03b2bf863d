// Package mesh divides the metal of a plate's map into six-node triangles for
// stiffness analysis.
//
// The map is a geom.Subdivision: lines and arcs, each between two faces, and the
// caller says which faces hold metal. Every edge of the map with metal beside it
// becomes a chain of element sides, the middle node of a side on an arc lies on
// the arc, and every element lies in one face. Lengths are millimetres, angles
// radians, x to the right and y up; triangles run counter-clockwise.
//
// Elements are as large as Options.Size allows and grow from what is small:
// steps round arcs, narrow metal, and what the caller's size field asks for. The
// least angle is Options.MinAngle wherever the input allows, and Mesh.Quality
// lists where it does not, with the cause.
//
//	m, err := mesh.Generate(ctx, layout.Map.Subdivision, metal, mesh.Options{Size: 5})
//
// The method is constrained Delaunay triangulation with refinement, on exact
// predicates (predicates.go): points along a space-filling curve, segments of
// the map forced by flips (constrain.go), faces labelled from the segments, then
// refined (refine.go). Meshes depend on their input alone: no randomness, no
// order of maps, no time.
package mesh
