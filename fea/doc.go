// Package fea is the live analysis of a plate: load cases on a layout give
// displacements, stresses, reserves, stiffness and natural frequencies.
//
// Lengths are mm, forces N, stresses MPa, masses kg, angles radians. Axes are
// those of the document: x right and y up seen from the top, z = 0 at the finished
// bottom face. Moments follow the right-hand rule. Forces are those on the plate.
//
//	r, err := fea.Solve(ctx, layout, fea.Options{}, layout.Plate.Cases)
//	r.Cases[0].MaxVonMises, r.Cases[0].Reserve
//
// NewModel makes the model of a layout once; its methods then give load cases
// (Solve), the stiffness between features (Between) and at one (At), the band from
// hinged to fixed bores (Band) and natural frequencies (Frequencies). FrameOf ties two
// plates of a set by their cross members.
//
// Result.SolidCheck analyses cases again by prisms on the same mesh (fea/solid): its
// difference is the live model's error. LiveBandOf says whether that error was measured
// on plates like this one.
//
// The model is the thick shell of fea/shell on the mesh of fea/mesh, solved by
// fea/sparse. Elements are as large as stiffness allows; where the cases peak they are
// divided, and the metal round them solved again (peaks.go). It knows the metal of the
// layout's map: floor fillets, chamfers and the cones under drilled holes are not in
// it, the walls of ribs are upright, and stress at the root of a rib is nominal.
//
// Ways in which joints are idealised:
//
//   - A hinged bore sits on a rigid pin without friction that is fixed in space.
//     The wall presses on the pin where it moves towards it and comes off
//     elsewhere, point by point over arc and height; the plate is held along the
//     pin in the mean of the wall only.
//   - A clocked ring holds and is loaded by the bolts that fit in the case's setting;
//     a force on a bore with an eccentric acts through the eccentric's own centre.
//   - A bore with seats is held and loaded on its innermost wall.
//   - A fixed wall, edge or area does not move at all.
//   - A bore force is a pressure on the half of the wall that it presses, as the
//     cosine of the angle from the force; its part along the axis is even over the
//     wall.
//   - Moments and remote forces are spread over their place as forces that vary
//     straight with the place: no stiffness is added.
//   - Acceleration is a force on all metal along the vector given: (0, 0, −1) is
//     the weight of a plate that lies flat.
//
// Stress within one thickness of such places, and of sharp inside corners of the
// metal, is no result: it is left out of maxima and listed apart.
package fea
