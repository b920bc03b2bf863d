// Package torsion computes what a section does when it is twisted: the torsion constant J, the shear centre and the warping
// constant, and sweeps EI and GJ along a plate.
//
// Sections lie in the plane (s, z): s along the cut line and z through the thickness, in mm. J is in mm⁴, the warping
// constant in mm⁶, GJ in N·mm².
//
//	t, err := torsion.Of(ctx, sec)        // sec from section.At
//	fmt.Println(t.J, t.Pieces[0].ShearCentre)
//
// Method: Saint-Venant's warping function on six-node triangles, ∇²ω = 0 with ∂ω/∂n = z n_s − s n_z, so that
// J = I_ss + I_zz − ∫|∇ω|²; the shear centre is Trefftz's, at which twisting and bending do not mix (E. Trefftz, Über den
// Schubmittelpunkt in einem durch eine Einzellast gebogenen Balken, ZAMM 15, 1935; W. D. Pilkey, Analysis and Design of
// Elastic Beams, 2002, chapters 5 and 6; both from memory). The computed J is never below the exact one.
//
// A section of several pieces twists piece by piece: J is then the sum of the pieces', a lower bound for a plate in which
// something ties them.
package torsion
