// Package section cuts a plate along a line and gives the metal it meets: pieces, area, centroid, second moments, principal
// axes, elastic and plastic moduli and stiffnesses.
//
// Axes of a section: s runs along the cut line from its first point, z through the thickness from the finished bottom face;
// both in mm. A second moment is named after the axis it is about: i_ss = ∫(z−z̄)²dA, i_zz = ∫(s−s̄)²dA in mm⁴; the product
// i_sz = +∫(s−s̄)(z−z̄)dA. Moments and stiffnesses of the whole are those of all pieces acting together.
//
// The metal is a row of slabs, straight-sided between the places where the line crosses an edge of the layout's map, so
// that all integrals are exact. Only where the line meets the cone below a blind hole, a countersink, a chamfer or a floor
// fillet is the boundary a curve; it is replaced by a polyline within PolylineTol, and the result says so.
//
//	r, err := section.At(l, "Mid span", geom.Pt(100, -10), geom.Pt(100, 210))
//	ei := r.EISS // N·mm², for bending out of the plane of the plate
package section
