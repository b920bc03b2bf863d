package geom

import "math"

// Distances between edges are exact: the least lies at a crossing, at an end
// point, at the foot of a centre on a line, or on the line of two centres.

// Gap is a distance with the two points where it occurs.
type Gap struct {
	D    float64
	P, Q Point // P on the first contour, Q on the second
	I, J int   // indices of the two contours
}

// crossings returns the points that two edges share, except along a common line
// or circle.
func crossings(a, b *Edge) []Point {
	var buf [2]Point
	n := edgeCrossings(a, b, &buf)
	return append([]Point(nil), buf[:n]...)
}

func edgeCrossings(a, b *Edge, out *[2]Point) int {
	switch {
	case a.Dir == 0 && b.Dir == 0:
		p, q := prim{A: a.A, B: a.B}, prim{A: b.A, B: b.B}
		n, _ := crossLines(&p, &q, out)
		return n
	case a.Dir == 0:
		return lineCircle(a, b, out)
	case b.Dir == 0:
		return lineCircle(b, a, out)
	}
	d := b.C.Sub(a.C)
	l := d.Len()
	if l == 0 || l > a.R+b.R || l < math.Abs(a.R-b.R) {
		return 0
	}
	x := (l + (a.R-b.R)*((a.R+b.R)/l)) / 2
	k := math.Sqrt(max(0, (a.R-x)*(a.R+x)))
	u := d.Mul(1 / l)
	m := a.C.Add(u.Mul(x))
	n := 0
	for _, s := range [2]float64{-k, k} {
		q := Point{m.X - u.Y*s, m.Y + u.X*s}
		if a.inSweep(q.Sub(a.C)) && b.inSweep(q.Sub(b.C)) {
			out[n] = q
			n++
		}
		if k == 0 {
			break
		}
	}
	return n
}

// lineCircle returns the crossings of a line with an arc of any sweep.
func lineCircle(l, a *Edge, out *[2]Point) int {
	d := l.B.Sub(l.A)
	ll := d.Len()
	if ll == 0 {
		return 0
	}
	d = d.Mul(1 / ll)
	f := a.C.Sub(l.A)
	s, h := f.Dot(d), f.Cross(d)
	k := (a.R - h) * (a.R + h)
	if k < 0 {
		return 0
	}
	k = math.Sqrt(k)
	n := 0
	for _, t := range [2]float64{s - k, s + k} {
		if t >= 0 && t <= ll {
			q := l.A.Add(d.Mul(t))
			if a.inSweep(q.Sub(a.C)) {
				out[n] = q
				n++
			}
		}
		if k == 0 {
			break
		}
	}
	return n
}

// nearest is the closest pair found so far: squared distance and points.
type nearest struct {
	d2   float64
	p, q Point
}

func (m *nearest) try(p, q Point) {
	if d := dist2(p, q); d < m.d2 {
		m.d2, m.p, m.q = d, p, q
	}
}

// edgePairs calls try with every pair of points of a and b at which their
// distance can be least. For parallel lines and concentric arcs, whose distance
// is the same along a stretch, the ends of that stretch are among them.
func edgePairs(a, b *Edge, try func(p, q Point)) {
	try(a.A, b.Closest(a.A))
	try(a.B, b.Closest(a.B))
	try(a.Closest(b.A), b.A)
	try(a.Closest(b.B), b.B)
	switch {
	case a.Dir != 0 && b.Dir != 0:
		u := b.C.Sub(a.C)
		if u == (Point{}) {
			return
		}
		u = u.Unit()
		for _, s := range [2]float64{1, -1} {
			if !a.inSweep(u.Mul(s)) {
				continue
			}
			for _, t := range [2]float64{1, -1} {
				if b.inSweep(u.Mul(t)) {
					try(a.C.Add(u.Mul(s*a.R)), b.C.Add(u.Mul(t*b.R)))
				}
			}
		}
	case a.Dir != 0:
		lineFoot(b, a, func(p, q Point) { try(q, p) })
	case b.Dir != 0:
		lineFoot(a, b, try)
	}
}

// lineFoot tries the foot of the arc's centre on the line and the arc's points
// on the same normal.
func lineFoot(l, c *Edge, try func(p, q Point)) {
	e := l.B.Sub(l.A)
	t := c.C.Sub(l.A).Dot(e)
	if ee := e.Dot(e); t > 0 && t < ee {
		f := l.A.Add(e.Mul(t / ee))
		n := e.Perp().Unit()
		for _, s := range [2]float64{1, -1} {
			if v := n.Mul(s); c.inSweep(v) {
				try(f, c.C.Add(v.Mul(c.R)))
			}
		}
	}
}

// closer lowers m to the least distance of two edges, if that is less. meet says
// whether their boxes overlap, so that they can cross.
func (m *nearest) closer(a, b *Edge, meet bool) {
	edgePairs(a, b, m.try)
	if m.d2 == 0 || !meet {
		return
	}
	// Edges that cross have distance zero; only then is no candidate above exact.
	var buf [2]Point
	if n := edgeCrossings(a, b, &buf); n > 0 {
		*m = nearest{0, buf[0], buf[0]}
	}
}

// Closest returns the least distance of two contours, zero where they meet. I
// and J are 0 and 1. D is +Inf when one of them is empty.
func Closest(a, b Contour) Gap {
	m := nearest{d2: math.Inf(1)}
	bb := make([]Box, len(b))
	for j := range b {
		bb[j] = b[j].Box()
	}
	for i := range a {
		ab := a[i].Box()
		for j := range b {
			if g := ab.gap(&bb[j]); g*g < m.d2 {
				m.closer(&a[i], &b[j], g == 0)
			}
		}
	}
	return Gap{D: math.Sqrt(m.d2), P: m.p, Q: m.q, I: 0, J: 1}
}
