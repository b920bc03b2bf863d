package geom

import "math"

// within reports whether a point of the circle lies on the arc: on the outer
// side of its chord. Ends are settled by near.
func (p *prim) within(q Point) bool {
	c := p.B.Sub(p.A).Cross(q.Sub(p.A))
	if p.dir > 0 {
		return c < 0
	}
	return c > 0
}

// near reports whether q lies on p, within nearCurve and between its ends.
func (p *prim) near(q Point) bool {
	d, f := p.B.Sub(p.A), q.Sub(p.A)
	t, l := f.Dot(d), d.Dot(d)
	if t <= 0 || t >= l {
		return false
	}
	if p.dir == 0 {
		c := f.Cross(d)
		return c*c < nearCurve*nearCurve*l
	}
	// |r - R| < e, asked without a root: R-e < r < R+e.
	g := q.Sub(p.C)
	g2 := g.Dot(g)
	hi := p.R + nearCurve
	if g2 >= hi*hi {
		return false
	}
	if lo := p.R - nearCurve; lo > 0 && g2 <= lo*lo {
		return false
	}
	return p.within(q)
}

// crossLines puts the crossing of two lines into out and returns the count.
func crossLines(p, q *prim, out *[2]Point) int {
	d, e := p.B.Sub(p.A), q.B.Sub(q.A)
	den := d.Cross(e)
	if den == 0 || den*den < parallelSin*parallelSin*d.Dot(d)*e.Dot(e) {
		return 0
	}
	f := q.A.Sub(p.A)
	t, u := f.Cross(e)/den, f.Cross(d)/den
	if !(t >= 0 && t <= 1 && u >= 0 && u <= 1) {
		return 0
	}
	out[0] = p.A.Add(d.Mul(t))
	return 1
}

// crossLineArc puts the crossings of line l and arc a into out. A line that
// passes the circle within nearCurve touches it.
func crossLineArc(l, a *prim, out *[2]Point) int {
	d := l.B.Sub(l.A)
	ll := d.Len()
	if ll == 0 {
		return 0
	}
	d = d.Mul(1 / ll)
	f := a.C.Sub(l.A)
	s, h := f.Dot(d), math.Abs(f.Cross(d))
	k := (a.R - h) * (a.R + h)
	if k < 0 {
		if h-a.R > nearCurve {
			return 0
		}
		k = 0
	}
	k = math.Sqrt(k)
	n := 0
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
	return n
}

// crossArcs puts the crossings of two arcs into out. Circles that pass each
// other within nearCurve touch.
func crossArcs(a, b *prim, out *[2]Point) int {
	d := b.C.Sub(a.C)
	dd := d.Len()
	if dd < nearCurve || dd > a.R+b.R+nearCurve || dd < math.Abs(a.R-b.R)-nearCurve {
		return 0
	}
	x := (dd + (a.R-b.R)*((a.R+b.R)/dd)) / 2
	k := (a.R - x) * (a.R + x)
	if k < 0 {
		k, x = 0, math.Copysign(a.R, x)
	}
	k = math.Sqrt(k)
	u := d.Mul(1 / dd)
	m := a.C.Add(u.Mul(x))
	n := 0
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
	return n
}
