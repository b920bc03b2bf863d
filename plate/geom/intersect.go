package geom

import "math"

// within reports whether a point near the circle is between the ends of the arc.
// The arc is at most a quarter turn, so that is whether it projects onto the
// chord and lies on the chord's side of the centre. Ends are settled by near.
func (p *prim) within(q Point) bool {
	d, f := p.B.Sub(p.A), q.Sub(p.A)
	t := f.Dot(d)
	return t >= 0 && t <= d.Dot(d) && p.before(q)
}

// before reports whether q lies on the arc's side of its centre.
func (p *prim) before(q Point) bool {
	m := Point{p.A.X + p.B.X - 2*p.C.X, p.A.Y + p.B.Y - 2*p.C.Y}
	return q.Sub(p.C).Dot(m) > 0
}

// near reports whether q lies on p, within tol and between its ends.
func (p *prim) near(q Point, tol float64) bool {
	d, f := p.B.Sub(p.A), q.Sub(p.A)
	t, l := f.Dot(d), d.Dot(d)
	if t <= 0 || t >= l {
		return false
	}
	if p.dir == 0 {
		c := f.Cross(d)
		return c*c < tol*tol*l
	}
	// |r - R| < tol, asked without a root.
	g := q.Sub(p.C)
	g2 := g.Dot(g)
	hi := p.R + tol
	if g2 >= hi*hi {
		return false
	}
	if lo := p.R - tol; lo > 0 && g2 <= lo*lo {
		return false
	}
	return p.before(q)
}

// moves reports whether a piece that ends at q instead of on p has moved by
// more than rounding.
func (p *prim) moves(q Point) bool {
	if p.dir != 0 {
		return math.Abs(q.Dist(p.C)-p.R) > settled
	}
	d := p.B.Sub(p.A)
	c := q.Sub(p.A).Cross(d)
	return c*c > settled*settled*d.Dot(d)
}

// crossLines puts the crossing of two lines into out and returns the count, and
// whether they cross at a small angle.
func crossLines(p, q *prim, out *[2]Point) (n int, flat bool) {
	d, e := p.B.Sub(p.A), q.B.Sub(q.A)
	den := d.Cross(e)
	s2 := d.Dot(d) * e.Dot(e)
	if den == 0 || den*den < parallelSin*parallelSin*s2 {
		return 0, false
	}
	f := q.A.Sub(p.A)
	t, u := f.Cross(e)/den, f.Cross(d)/den
	if !(t >= 0 && t <= 1 && u >= 0 && u <= 1) {
		return 0, false
	}
	out[0] = p.A.Add(d.Mul(t))
	return 1, den*den < flatSin*flatSin*s2
}

// crossLineArc puts the crossings of line l and arc a into out. A line that
// passes the circle within nearCurve touches it.
func crossLineArc(l, a *prim, out *[2]Point) (n int, flat bool) {
	d, f := l.B.Sub(l.A), a.C.Sub(l.A)
	ll, far := d.Dot(d), a.R+nearCurve
	if c := f.Cross(d); ll == 0 || c*c > far*far*ll {
		return 0, false
	}
	ll = math.Sqrt(ll)
	d = d.Mul(1 / ll)
	s, h := f.Dot(d), math.Abs(f.Cross(d))
	k := (a.R - h) * (a.R + h)
	if k < 0 {
		if h-a.R > nearCurve {
			return 0, false
		}
		k = 0
	}
	k = math.Sqrt(k)
	for _, t := range [2]float64{s - k, s + k} {
		if t >= 0 && t <= ll {
			q := l.A.Add(d.Mul(t))
			if a.within(q) {
				out[n] = q
				n++
			}
		}
		if k == 0 {
			break
		}
	}
	return n, a.R-h < flatDepth
}

// crossArcs puts the crossings of two arcs into out. Circles that pass each
// other within nearCurve touch.
func crossArcs(a, b *prim, out *[2]Point) (n int, flat bool) {
	d := b.C.Sub(a.C)
	dd := d.Dot(d)
	if far := a.R + b.R + nearCurve; dd > far*far {
		return 0, false
	}
	dd = math.Sqrt(dd)
	if dd < nearCurve || dd < math.Abs(a.R-b.R)-nearCurve {
		return 0, false
	}
	x := (dd + (a.R-b.R)*((a.R+b.R)/dd)) / 2
	k := (a.R - x) * (a.R + x)
	if k < 0 {
		k, x = 0, math.Copysign(a.R, x)
	}
	k = math.Sqrt(k)
	u := d.Mul(1 / dd)
	m := a.C.Add(u.Mul(x))
	for _, s := range [2]float64{-k, k} {
		q := Point{m.X - u.Y*s, m.Y + u.X*s}
		if a.within(q) && b.within(q) {
			out[n] = q
			n++
		}
		if k == 0 {
			break
		}
	}
	return n, min(a.R+b.R-dd, dd-math.Abs(a.R-b.R)) < flatDepth
}
