// Package shell holds the elements of the live stiffness model: quadratic
// six-node triangles of a plate whose metal lies between any two heights, or
// between two pairs of heights at a groove.
//
// Units are mm, N, MPa, kg/m³ for densities and tonnes (N·s²/mm) for mass
// matrices, so that K − ω²M has ω in rad/s. x and y lie in the plate, z is 0 at
// its finished bottom face.
//
// A node has five unknowns, in this order:
//
//	u, v   displacement along x and y at the height ZRef, mm
//	w      displacement along z, mm
//	bx, by change of u and v per mm of height: a line along z tilts by them
//
// so that a point at height z moves by (u + (z−ZRef)·bx, v + (z−ZRef)·by, w).
// As turns by the right-hand rule bx is one about +y and by one about −x. There
// is no unknown for the turn about z. All nodes refer to one plane, so a floor
// that lies low couples stretching and bending by its integrals alone
// (Reissner–Mindlin theory with a plane section over all the metal at a place);
// nothing depends on which plane is chosen.
//
//	m, err := shell.NewModel(mesh, metal, shell.Material{E: 70000, Nu: 0.33}, shell.Options{})
//	m.Stiffness(e, ke)                // 30×30, by rows
//	f := m.Recover(u)                 // smoothed strains, within equal metal only
//	s := f.Stress(e, i, z)            // in-plane stress at a node and a height
//
// Two forms of transverse shear share the unknowns and are mixed element by
// element. The displacement form (3-point rule) is the more accurate while an
// element is no longer than a few thicknesses, and locks above. The assumed form
// takes the shear along the sides and in the middle only: eight tying conditions
// on the space [1 r s]² ⊕ (rs, −r²), (s², −rs), after P. S. Lee and K. J. Bathe,
// Development of MITC isotropic triangular shell finite elements, Computers &
// Structures 82 (2004) 945–962 (from memory).
package shell
