// Package solid is the solid check of a plate: 18-node prisms, quadratic in the
// plane and through the thickness, extruded from the same plane mesh that the live
// model uses.
//
// Lengths are mm, forces N, stresses MPa, densities kg/m³. Axes are those of the
// document: x right and y up seen from the top, z = 0 at the finished bottom face.
//
//	m, err := solid.Of(layout, mesh, solid.Options{})
//	r, err := m.Solve(ctx, layout.Plate.Cases[0])
//	r.Stiffness, r.Energy
//
// Of takes layout and mesh, such as those of a live model; New takes a mesh with the
// metal of its faces alone. Layers of prisms end at every height at which metal
// begins or ends anywhere on the plate, so that a floor has a layer of its own and the
// rib beside it one more above; Options.Layers divides each. Sides on arcs are
// curved, as in the mesh. Below the cases of a document lie held unknowns and load
// vectors (Hold, AddBody, AddWall, AddSurface) and Factor, which solves them.
//
// Elasticity is linear and isotropic. Integration is six points in the plane times
// three through the thickness, exact for upright prisms with straight sides. The
// model knows the metal of the layout's map: floor fillets, chamfers and drill points
// are not in it, and stress at a sharp inside corner, such as the root of a rib,
// has no value that a finer mesh would settle on: it is nominal.
//
// A fixed wall or edge does not move at all. A bore force is a pressure on the half
// of the wall that it presses, as the cosine of the angle from the force, varying
// straight with the height so that its resultant is at the height asked for. What
// Solve does not take (hinges, springs, moments and others) is refused by name; springs on
// the mean of a place (Bed), pressures (Press) and spread forces (Mean) are what the check
// of package fea makes of them.
package solid
