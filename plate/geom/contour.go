package geom

import "math"

// Contour is a closed chain of edges, each starting where the one before ends.
// Outer contours run counter-clockwise, holes clockwise: the region is on the
// left.
type Contour []Edge

// Circle returns the circle about c as one counter-clockwise edge.
func Circle(c Point, r float64) Contour {
	a := Point{c.X + r, c.Y}
	return Contour{{A: a, B: a, C: c, R: r, Dir: 1}}
}

// Polygon returns the closed polygon through the points, in their order.
func Polygon(pts ...Point) Contour {
	c := make(Contour, 0, len(pts))
	for i, p := range pts {
		if q := pts[(i+1)%len(pts)]; q != p {
			c = append(c, Line(p, q))
		}
	}
	return c
}

// Rect returns the rectangle with the given corners, counter-clockwise.
func Rect(lo, hi Point) Contour {
	return Polygon(lo, Point{hi.X, lo.Y}, hi, Point{lo.X, hi.Y})
}

// RoundedRect returns the rectangle with corners rounded to r. A radius above
// half the shorter side is reduced to it; zero or less gives sharp corners.
func RoundedRect(lo, hi Point, r float64) Contour {
	w, h := hi.X-lo.X, hi.Y-lo.Y
	r = min(r, w/2, h/2)
	if r <= 0 {
		return Rect(lo, hi)
	}
	c := make(Contour, 0, 8)
	corner := func(cx, cy float64, a, b Point) {
		o := Point{cx, cy}
		c = append(c, Edge{A: o.Add(a.Mul(r)), B: o.Add(b.Mul(r)), C: o, R: r, Dir: 1})
	}
	side := func() {
		c = append(c, Edge{})
	}
	e, n, wst, s := Point{1, 0}, Point{0, 1}, Point{-1, 0}, Point{0, -1}
	side()
	corner(hi.X-r, lo.Y+r, s, e)
	side()
	corner(hi.X-r, hi.Y-r, e, n)
	side()
	corner(lo.X+r, hi.Y-r, n, wst)
	side()
	corner(lo.X+r, lo.Y+r, wst, s)
	out := c[:0]
	// Fill in the sides between the corners, dropping those of no length.
	last := c[7].B
	for i := 0; i < 8; i += 2 {
		arc := c[i+1]
		if dist2(last, arc.A) > closeGap*closeGap {
			out = append(out, Line(last, arc.A))
		} else {
			arc.A = last
		}
		last = arc.B
		if i == 6 && len(out) > 0 && dist2(last, out[0].A) <= closeGap*closeGap {
			arc.B = out[0].A
		}
		out = append(out, arc)
	}
	return out
}

// Capsule returns the straight strip from a to b with round ends of radius
// halfWidth. Equal points give a circle.
func Capsule(a, b Point, halfWidth float64) Contour {
	if a == b {
		return Circle(a, halfWidth)
	}
	n := b.Sub(a).Unit().Perp().Mul(-halfWidth)
	return Contour{
		Line(a.Add(n), b.Add(n)),
		{A: b.Add(n), B: b.Sub(n), C: b, R: halfWidth, Dir: 1},
		Line(b.Sub(n), a.Sub(n)),
		{A: a.Sub(n), B: a.Add(n), C: a, R: halfWidth, Dir: 1},
	}
}

// Strip returns the straight strip from a to b with square ends at a and b.
// Equal points give an empty contour.
func Strip(a, b Point, halfWidth float64) Contour {
	if a == b {
		return nil
	}
	n := b.Sub(a).Unit().Perp().Mul(-halfWidth)
	return Polygon(a.Add(n), b.Add(n), b.Sub(n), a.Sub(n))
}

// Stroke returns the strip of the given half width along e, with round ends:
// what a cutter of that radius sweeps, or an arced rib.
//
// The strip along a full circle is a ring; it comes as one contour slit open
// from outside to inside. A strip whose ends meet overlaps itself. Both pass
// through Union unharmed, but neither passes Check.
func Stroke(e Edge, halfWidth float64) Contour {
	if e.Dir == 0 {
		return Capsule(e.A, e.B, halfWidth)
	}
	if e.Dir < 0 {
		e = e.Reverse()
	}
	h := halfWidth
	ua, ub := e.A.Sub(e.C).Unit(), e.B.Sub(e.C).Unit()
	oa, ob := e.C.Add(ua.Mul(e.R+h)), e.C.Add(ub.Mul(e.R+h))
	outer := Edge{A: oa, B: ob, C: e.C, R: e.R + h, Dir: 1}
	if e.A == e.B {
		if h >= e.R {
			return Contour{outer}
		}
		ia := e.C.Add(ua.Mul(e.R - h))
		return Contour{outer, Line(oa, ia), {A: ia, B: ia, C: e.C, R: e.R - h, Dir: -1}, Line(ia, oa)}
	}
	if h > e.R-nearCurve {
		// No inner side: the two end discs both reach the centre and meet beyond it.
		m := e.A.lerp(e.B, 0.5)
		half := e.A.Dist(m)
		x := m.Sub(e.Mid().Sub(e.C).Unit().Mul(math.Sqrt(max(0, h*h-half*half))))
		return Contour{outer, {A: ob, B: x, C: e.B, R: h, Dir: 1}, {A: x, B: oa, C: e.A, R: h, Dir: 1}}
	}
	ia, ib := e.C.Add(ua.Mul(e.R-h)), e.C.Add(ub.Mul(e.R-h))
	return Contour{
		outer,
		{A: ob, B: ib, C: e.B, R: h, Dir: 1},
		{A: ib, B: ia, C: e.C, R: e.R - h, Dir: -1},
		{A: ia, B: oa, C: e.A, R: h, Dir: 1},
	}
}

// Length returns the length of all edges.
func (c Contour) Length() float64 {
	l := 0.0
	for i := range c {
		l += c[i].Length()
	}
	return l
}

// Reverse returns the contour run the other way round.
func (c Contour) Reverse() Contour {
	o := make(Contour, len(c))
	for i := range c {
		o[len(c)-1-i] = c[i].Reverse()
	}
	return o
}

// Box returns the smallest box that holds the contour.
func (c Contour) Box() Box {
	var b Box
	for i := range c {
		b = b.Union(c[i].Box())
	}
	return b
}

// Points returns the start of every edge.
func (c Contour) Points() []Point {
	p := make([]Point, len(c))
	for i := range c {
		p[i] = c[i].A
	}
	return p
}

// Transform returns the contour mapped by t, run so that the region stays on
// its left: under a mirror the order of the edges is reversed.
func (c Contour) Transform(t Affine) Contour {
	o := make(Contour, len(c))
	for i := range c {
		e := c[i].Transform(t)
		if t.Mirrored() {
			o[len(c)-1-i] = e.Reverse()
		} else {
			o[i] = e
		}
	}
	return o
}

// leftOf reports whether p is left of the directed line from a to b, with ties
// broken so that leftOf(a, b, p) != leftOf(b, a, p) whenever a != b.
func leftOf(a, b, p Point) bool {
	// Both orders must round alike, so the sum starts at the same end.
	if b.Y < a.Y || b.Y == a.Y && b.X > a.X {
		return !leftOf(b, a, p)
	}
	return b.Sub(a).Cross(p.Sub(a)) > 0
}

// Winding returns how many times the contour runs counter-clockwise round p.
// For p on the contour it is the count of one of the two sides.
//
// It is the winding of the polygon of chords plus, for each arc, one if p is
// between chord and arc; both ask leftOf, so they cannot contradict each other
// at a chord.
func (c Contour) Winding(p Point) int {
	w := 0
	for i := range c {
		e := &c[i]
		if (e.A.Y <= p.Y) != (e.B.Y <= p.Y) {
			if e.A.Y <= p.Y {
				if leftOf(e.A, e.B, p) {
					w++
				}
			} else if !leftOf(e.A, e.B, p) {
				w--
			}
		}
		if e.Dir != 0 && dist2(p, e.C) < e.R*e.R {
			if e.A == e.B || leftOf(e.A, e.B, p) != (e.Dir > 0) {
				w += int(e.Dir)
			}
		}
	}
	return w
}

// Contains reports whether p is inside: Winding is not zero.
func (c Contour) Contains(p Point) bool { return c.Winding(p) != 0 }

// LeastInsideRadius returns the radius of the largest round cutter that, from
// inside the region on the left, follows every edge and corner: the smallest
// radius of an arc that turns left, 0 when a sharp corner turns left, and +Inf
// when nothing turns left. For the radius met from the other side ask the
// reversed contour.
func (c Contour) LeastInsideRadius() float64 {
	r := math.Inf(1)
	for i := range c {
		if c[i].Dir > 0 {
			r = min(r, c[i].R)
		}
		t, u := c[i].TangentB(), c[(i+1)%len(c)].TangentA()
		if x := t.Cross(u); x > kinkSin || t.Dot(u) < 0 && x > -kinkSin {
			return 0
		}
	}
	return r
}

// Flatten returns points along the contour, none of whose chords lies further
// than tol from its arc. The start of every edge is among them; the last point
// is not the first again. A tol of zero or less, or not a number, is taken as
// 1e-3 of the radius.
func (c Contour) Flatten(tol float64) []Point {
	const most = 1 << 16 // points on one arc: a micrometre at 10 km
	var out []Point
	for i := range c {
		e := &c[i]
		out = append(out, e.A)
		if e.Dir == 0 || !e.finite() {
			continue
		}
		t := tol
		if !(t > 0) {
			t = 1e-3 * e.R
		}
		n := 2
		if t < e.R {
			n = int(min(most, math.Ceil(math.Abs(e.Sweep())/(2*math.Acos(1-t/e.R)))))
		}
		if e.A == e.B {
			n = max(n, 3)
		}
		for k := 1; k < n; k++ {
			out = append(out, e.At(float64(k)/float64(n)))
		}
	}
	return out
}
