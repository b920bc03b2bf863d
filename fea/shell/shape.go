package shell

import "platewright/plate/geom"

// Triangle is the places of the six nodes of an element: three corners
// counter-clockwise, then the middle nodes of the sides opposite corner 0, 1, 2.
type Triangle [6]geom.Point

// point is a place in the reference triangle with a weight; weights of a rule
// sum to 1/2, the reference area. Corners 0, 1, 2 are (0, 0), (1, 0), (0, 1).
type point struct{ r, s, w float64 }

// rule3 is exact for polynomials of degree 2: the interior three-point rule.
var rule3 = [3]point{{1. / 6, 1. / 6, 1. / 6}, {2. / 3, 1. / 6, 1. / 6}, {1. / 6, 2. / 3, 1. / 6}}

// rule6 is exact for degree 4. D. A. Dunavant, High degree efficient symmetrical
// Gaussian quadrature rules for the triangle, Int. J. Num. Meth. Eng. 21 (1985)
// 1129–1148 (from memory; a test integrates all monomials).
var rule6 = [6]point{
	{0.445948490915965, 0.445948490915965, 0.1116907948390055},
	{0.108103018168070, 0.445948490915965, 0.1116907948390055},
	{0.445948490915965, 0.108103018168070, 0.1116907948390055},
	{0.091576213509771, 0.091576213509771, 0.0549758718276609},
	{0.816847572980459, 0.091576213509771, 0.0549758718276609},
	{0.091576213509771, 0.816847572980459, 0.0549758718276609},
}

// nodePlaces are the reference places of the six nodes.
var nodePlaces = [6]point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0.5, 0.5, 0}, {0, 0.5, 0}, {0.5, 0, 0}}

// shape is the six functions and their slopes along r and s at one place.
type shape struct{ n, dr, ds [6]float64 }

func shapeAt(r, s float64) shape {
	t := 1 - r - s
	return shape{
		n:  [6]float64{t * (2*t - 1), r * (2*r - 1), s * (2*s - 1), 4 * r * s, 4 * s * t, 4 * t * r},
		dr: [6]float64{1 - 4*t, 4*r - 1, 0, 4 * s, -4 * s, 4 * (t - r)},
		ds: [6]float64{1 - 4*t, 0, 4*s - 1, 4 * r, 4 * (t - s), -4 * r},
	}
}

// shapes3 and shapes6 are the functions at the points of the rules.
var shapes3, shapes6 = shapesOf(rule3[:]), shapesOf(rule6[:])

func shapesOf(ps []point) []shape {
	out := make([]shape, len(ps))
	for i, p := range ps {
		out[i] = shapeAt(p.r, p.s)
	}
	return out
}

// jacobian is the derivative of the map from the reference triangle.
type jacobian struct{ xr, yr, xs, ys, det float64 }

func (x *Triangle) jacobian(h *shape) jacobian {
	var j jacobian
	for i := range x {
		j.xr += h.dr[i] * x[i].X
		j.yr += h.dr[i] * x[i].Y
		j.xs += h.ds[i] * x[i].X
		j.ys += h.ds[i] * x[i].Y
	}
	j.det = j.xr*j.ys - j.yr*j.xs
	return j
}

// slopes turns slopes along r and s into slopes along x and y.
func (j *jacobian) slopes(h *shape, dx, dy *[6]float64) {
	for i := range dx {
		dx[i] = (j.ys*h.dr[i] - j.yr*h.ds[i]) / j.det
		dy[i] = (j.xr*h.ds[i] - j.xs*h.dr[i]) / j.det
	}
}

// At returns the place of the reference point (r, s).
func (x *Triangle) At(r, s float64) geom.Point {
	h := shapeAt(r, s)
	var p geom.Point
	for i := range x {
		p.X += h.n[i] * x[i].X
		p.Y += h.n[i] * x[i].Y
	}
	return p
}

// LongestSide returns the longest distance between two corners, mm.
func (x *Triangle) LongestSide() float64 {
	return max(x[0].Dist(x[1]), x[1].Dist(x[2]), x[2].Dist(x[0]))
}

// Area returns the area of the element, curved sides included, mm².
func (x *Triangle) Area() float64 {
	a := 0.0
	for k := range rule3 {
		j := x.jacobian(&shapes3[k])
		a += rule3[k].w * j.det
	}
	return a
}
