// Package geom is the plane geometry of plates: contours of straight lines and
// circular arcs, combined and offset without ever breaking an arc into chords.
//
// Lengths are millimetres, angles radians counted counter-clockwise, x to the
// right and y up. Contours are closed; the enclosed region lies on the left, so
// outer contours run counter-clockwise and holes clockwise. Everything here is
// a value: no function changes its arguments, and results share nothing with
// the buffers of an Engine.
//
// An arc keeps its exact centre and radius through Union, Difference,
// Intersection and Offset; only its end points are new. End points nearer to
// each other than the merge distance (see tolerance.go) become one.
//
//	plate := geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(300, 200), 12))
//	bore := geom.RegionOf(geom.Circle(geom.Pt(60, 60), 15))
//	rest, err := geom.Difference(plate, bore)
package geom
