package geom

import (
	"errors"
	"math"
)

// Edge is a straight line (Dir 0) or a circular arc from A to B about C with
// radius R: Dir +1 runs counter-clockwise, -1 clockwise. An arc with A == B is
// the full circle, otherwise its sweep may be anything between 0 and 2π. The
// ends of an arc may lie off the circle by the merge distance.
type Edge struct {
	A, B, C Point
	R       float64
	Dir     int8
}

// Line returns the straight edge from a to b.
func Line(a, b Point) Edge { return Edge{A: a, B: b} }

// Arc returns the arc from a to b about c, counter-clockwise for dir +1 and
// clockwise for -1. The radius is the mean of the two distances to c. Equal
// ends give the full circle.
func Arc(a, b, c Point, dir int8) Edge {
	r := a.Dist(c)
	if a != b {
		r = (r + b.Dist(c)) / 2
	}
	return Edge{A: a, B: b, C: c, R: r, Dir: dir}
}

var (
	errArcCollinear = errors.New("geom: the three points of the arc are on one line or coincide")
	errArcRadius    = errors.New("geom: the arc through the three points is flatter than the largest radius")
)

// ArcThrough returns the arc from a to b through m. It is an error for the
// three to be on one line, to coincide, or to need a radius above MaxRadius.
func ArcThrough(a, m, b Point) (Edge, error) {
	u, v := m.Sub(a), b.Sub(a)
	d := 2 * u.Cross(v)
	lu, lv, lw := u.Len(), v.Len(), m.Dist(b)
	if !(lu > closeGap && lv > closeGap && lw > closeGap) ||
		!(math.Abs(d) > 4e-16*(lu*lu+lv*lv+lw*lw)) {
		return Edge{}, errArcCollinear
	}
	uu, vv := u.Dot(u), v.Dot(v)
	o := Point{(v.Y*uu - u.Y*vv) / d, (u.X*vv - v.X*uu) / d}
	r := o.Len()
	if !(r <= MaxRadius) {
		return Edge{}, errArcRadius
	}
	dir := int8(1)
	if d < 0 {
		dir = -1
	}
	return Edge{A: a, B: b, C: a.Add(o), R: r, Dir: dir}, nil
}

// IsArc reports whether the edge is curved.
func (e Edge) IsArc() bool { return e.Dir != 0 }

// Sweep returns the signed angle of an arc, in [-2π, 2π] without zero; zero for
// a line.
func (e Edge) Sweep() float64 {
	if e.Dir == 0 {
		return 0
	}
	if e.A == e.B {
		return 2 * math.Pi * float64(e.Dir)
	}
	a, b := e.A.Sub(e.C), e.B.Sub(e.C)
	t := math.Atan2(a.Cross(b), a.Dot(b))
	if e.Dir > 0 && t <= 0 {
		t += 2 * math.Pi
	}
	if e.Dir < 0 && t >= 0 {
		t -= 2 * math.Pi
	}
	return t
}

// Length returns the length along the edge.
func (e Edge) Length() float64 {
	if e.Dir == 0 {
		return e.A.Dist(e.B)
	}
	return math.Abs(e.Sweep()) * e.R
}

// At returns the point at the fraction t of the length, in 0..1.
func (e Edge) At(t float64) Point {
	switch {
	case t <= 0:
		return e.A
	case t >= 1:
		return e.B
	case e.Dir == 0:
		return e.A.lerp(e.B, t)
	}
	d := e.A.Sub(e.C)
	s, c := math.Sincos(math.Atan2(d.Y, d.X) + t*e.Sweep())
	return Point{e.C.X + e.R*c, e.C.Y + e.R*s}
}

// Mid returns the point half way along.
func (e Edge) Mid() Point {
	if e.Dir == 0 {
		return Point{(e.A.X + e.B.X) / 2, (e.A.Y + e.B.Y) / 2}
	}
	// The bisector: the chord's right normal for a counter-clockwise arc. Unlike
	// the sum of the two radii it also serves half circles and more.
	ch := e.B.Sub(e.A)
	if ch == (Point{}) {
		return e.C.Add(e.C.Sub(e.A))
	}
	n := ch.Perp().Unit().Mul(-float64(e.Dir) * e.R)
	return e.C.Add(n)
}

// TangentA returns the unit direction of travel at A.
func (e Edge) TangentA() Point {
	if e.Dir == 0 {
		return e.B.Sub(e.A).Unit()
	}
	return e.A.Sub(e.C).Perp().Mul(float64(e.Dir)).Unit()
}

// TangentB returns the unit direction of travel at B.
func (e Edge) TangentB() Point {
	if e.Dir == 0 {
		return e.B.Sub(e.A).Unit()
	}
	return e.B.Sub(e.C).Perp().Mul(float64(e.Dir)).Unit()
}

// Reverse returns the edge run the other way.
func (e Edge) Reverse() Edge {
	e.A, e.B, e.Dir = e.B, e.A, -e.Dir
	return e
}

// inSweep reports whether the direction v from the centre meets the arc, ends
// included.
func (e *Edge) inSweep(v Point) bool {
	a, b := e.A.Sub(e.C), e.B.Sub(e.C)
	if e.Dir < 0 {
		a, b = b, a
	}
	x := a.Cross(b)
	if x > 0 {
		return a.Cross(v) >= 0 && v.Cross(b) >= 0
	}
	if x == 0 {
		if a.Dot(b) > 0 {
			return true // full circle
		}
		return a.Cross(v) >= 0
	}
	return !(b.Cross(v) > 0 && v.Cross(a) > 0)
}

// Box returns the smallest box that holds the edge.
func (e Edge) Box() Box {
	b := Box{
		Point{min(e.A.X, e.B.X), min(e.A.Y, e.B.Y)},
		Point{max(e.A.X, e.B.X), max(e.A.Y, e.B.Y)},
	}
	if e.Dir != 0 {
		if e.inSweep(Point{1, 0}) {
			b.Max.X = max(b.Max.X, e.C.X+e.R)
		}
		if e.inSweep(Point{0, 1}) {
			b.Max.Y = max(b.Max.Y, e.C.Y+e.R)
		}
		if e.inSweep(Point{-1, 0}) {
			b.Min.X = min(b.Min.X, e.C.X-e.R)
		}
		if e.inSweep(Point{0, -1}) {
			b.Min.Y = min(b.Min.Y, e.C.Y-e.R)
		}
	}
	return b.mark()
}

// Closest returns the point of the edge nearest to p. Every point of an arc is
// nearest to its centre; A is returned then.
func (e Edge) Closest(p Point) Point {
	if e.Dir == 0 {
		d := e.B.Sub(e.A)
		l := d.Dot(d)
		t := p.Sub(e.A).Dot(d)
		switch {
		case !(t > 0):
			return e.A
		case t >= l:
			return e.B
		}
		return e.A.lerp(e.B, t/l)
	}
	v := p.Sub(e.C)
	l := v.Len()
	if l == 0 {
		return e.A
	}
	if e.inSweep(v) {
		return e.C.Add(v.Mul(e.R / l))
	}
	if dist2(p, e.A) <= dist2(p, e.B) {
		return e.A
	}
	return e.B
}

// Dist returns the distance from p to the edge.
func (e Edge) Dist(p Point) float64 {
	if e.Dir != 0 {
		if v := p.Sub(e.C); e.inSweep(v) {
			return math.Abs(v.Len() - e.R)
		}
		return math.Sqrt(min(dist2(p, e.A), dist2(p, e.B)))
	}
	d := e.B.Sub(e.A)
	l := d.Dot(d)
	t := p.Sub(e.A).Dot(d)
	switch {
	case !(t > 0):
		return p.Dist(e.A)
	case t >= l:
		return p.Dist(e.B)
	}
	return math.Abs(p.Sub(e.A).Cross(d)) / math.Sqrt(l)
}

// Translate returns the edge moved by d.
func (e Edge) Translate(d Point) Edge {
	e.A, e.B = e.A.Add(d), e.B.Add(d)
	if e.Dir != 0 {
		e.C = e.C.Add(d)
	}
	return e
}

// Transform returns the edge mapped by t; the direction of travel stays from A
// to B, so a mirror changes the sign of Dir.
func (e Edge) Transform(t Affine) Edge {
	e.A, e.B = t.Apply(e.A), t.Apply(e.B)
	if e.Dir != 0 {
		e.C, e.R = t.Apply(e.C), e.R*t.Scale()
		if t.Mirrored() {
			e.Dir = -e.Dir
		}
	}
	return e
}

// Bulge returns the tangent of a quarter of the sweep, the way drawing files
// give an arc between two vertices: 0 for a line, ±1 for a half circle. A full
// circle has no bulge; the infinity of its sign is returned.
func (e Edge) Bulge() float64 {
	if e.Dir != 0 && e.A == e.B {
		return math.Inf(int(e.Dir))
	}
	return math.Tan(e.Sweep() / 4)
}

func (e *Edge) finite() bool {
	return e.A.IsFinite() && e.B.IsFinite() &&
		(e.Dir == 0 || e.C.IsFinite() && !math.IsNaN(e.R-e.R))
}
