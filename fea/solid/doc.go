// Package solid is the solid check of a plate: 18-node prisms, quadratic in the
// plane and through the thickness, extruded from the same plane mesh that the live
// model uses.
//
// Lengths are mm, forces N, stresses MPa. Axes are those of the
// document: x right and y up seen from the top, z = 0 at the finished bottom face.
//
//	m, err := solid.Of(layout, mesh, solid.Options{})
//	m.Press(m.Wall(sides), force, height, load) // load is m.Zeros() before
//	s, err := m.FactorOn(ctx, held, beds, buffers)
//	r, err := s.Solve(ctx, load)
//	r.Energy, r.NodeStress()
//
// Of takes layout and mesh, such as those of a live model; New takes a mesh with the
// metal of its faces alone. Layers of prisms end at every height at which metal
// begins or ends anywhere on the plate, so that a floor has a layer of its own and the
// rib beside it one more above; Options.Layers divides each. Sides on arcs are
// curved, as in the mesh. The model knows no document's cases: package fea puts their
// supports on it as held unknowns and springs on the mean of a place (Bed), their loads as
// tractions (AddBody, AddWall, AddSurface), pressures (Press) and spread forces (Mean).
//
// Elasticity is linear and isotropic. Integration is six points in the plane times
// three through the thickness, exact for upright prisms with straight sides. The
// model knows the metal of the layout's map: floor fillets, chamfers and drill points
// are not in it, and stress at a sharp inside corner, such as the root of a rib,
// has no value that a finer mesh would settle on: it is nominal.
//
// Press is a pressure on the half of a round wall that a force presses, as the cosine of the
// angle from the force, varying straight with the height so that its resultant is at the
// height asked for.
package solid
