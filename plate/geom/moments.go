package geom

import "math"

// Moments are integrals over an area about the origin of coordinates. They are
// exact for lines and arcs: a contour adds the signed triangle from the origin
// to each chord, and between each chord and its arc the circular segment.
type Moments struct {
	A   float64 // ∫ dA, mm²
	Sx  float64 // ∫ x dA, mm³
	Sy  float64 // ∫ y dA, mm³
	Sxx float64 // ∫ x² dA, mm⁴
	Syy float64 // ∫ y² dA, mm⁴
	Sxy float64 // ∫ xy dA, mm⁴
}

// Add returns the moments of both areas together.
func (m Moments) Add(n Moments) Moments {
	return Moments{m.A + n.A, m.Sx + n.Sx, m.Sy + n.Sy, m.Sxx + n.Sxx, m.Syy + n.Syy, m.Sxy + n.Sxy}
}

// Sub returns the moments of m's area without n's.
func (m Moments) Sub(n Moments) Moments { return m.Add(n.Scale(-1)) }

// Scale returns the moments times s: the area weighted by a constant.
func (m Moments) Scale(s float64) Moments {
	return Moments{m.A * s, m.Sx * s, m.Sy * s, m.Sxx * s, m.Syy * s, m.Sxy * s}
}

// Centroid returns the centre of area; the origin when the area is zero.
func (m Moments) Centroid() Point {
	if m.A == 0 {
		return Point{}
	}
	return Point{m.Sx / m.A, m.Sy / m.A}
}

// At returns the moments about axes through p.
func (m Moments) At(p Point) Moments {
	return Moments{
		A:   m.A,
		Sx:  m.Sx - p.X*m.A,
		Sy:  m.Sy - p.Y*m.A,
		Sxx: m.Sxx - 2*p.X*m.Sx + p.X*p.X*m.A,
		Syy: m.Syy - 2*p.Y*m.Sy + p.Y*p.Y*m.A,
		Sxy: m.Sxy - p.X*m.Sy - p.Y*m.Sx + p.X*p.Y*m.A,
	}
}

// line adds the signed triangle from the origin to the chord a→b.
func (m *Moments) line(a, b Point) {
	c := a.X*b.Y - b.X*a.Y
	m.A += c / 2
	m.Sx += c * (a.X + b.X) / 6
	m.Sy += c * (a.Y + b.Y) / 6
	m.Sxx += c * (a.X*a.X + a.X*b.X + b.X*b.X) / 12
	m.Syy += c * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12
	m.Sxy += c * (2*a.X*a.Y + a.X*b.Y + b.X*a.Y + 2*b.X*b.Y) / 24
}

// xMinusSin returns x - sin x for x ≥ 0 without cancellation.
func xMinusSin(x float64) float64 {
	if x > 1 {
		return x - math.Sin(x)
	}
	// x³/3! - x⁵/5! + …; nine terms reach 1e-19 relative at x = 1.
	t := x * x * x / 6
	s, x2 := t, x*x
	for n := 4.0; n <= 18; n += 2 {
		t *= -x2 / (n * (n + 1))
		s += t
	}
	return s
}

// segmentAcross returns 3x/2 - 2 sin x + sin(2x)/4 for x ≥ 0 without
// cancellation; see segment.
func segmentAcross(x float64) float64 {
	if x > 1 {
		return 1.5*x - 2*math.Sin(x) + math.Sin(2*x)/4
	}
	// Σ (-1)ⁿ (2^(2n-1) - 2) x^(2n+1)/(2n+1)! from n = 2.
	t := x * x * x / 6
	s, x2, p := 0.0, x*x, 2.0
	for n := 2.0; n <= 12; n++ {
		t *= -x2 / (2 * n * (2*n + 1))
		p *= 4
		s -= t * (p - 2)
	}
	return s
}

// segment adds the circular segment between the arc e and its chord.
//
// With half angle α, s = sin α, c = cos α and u along the bisector, v across:
// ∫1 = r²(α-sc), ∫u = 2r³s³/3, ∫u² = r⁴/4 (α-sc+2s³c), ∫v² = r⁴/12
// (3α-3sc-2s³c), about the centre; with x = 2α the last bracket is
// 3x/2 - 2 sin x + sin(2x)/4.
func (m *Moments) segment(e *Edge) {
	sw := e.Sweep()
	sg := 1.0
	if sw < 0 {
		sg, sw = -1, -sw
	}
	r, x, y := e.R, e.C.X, e.C.Y
	sn, cs := math.Sincos(sw / 2)
	k := xMinusSin(sw) / 2
	r2 := r * r
	a := r2 * k
	q := 2 * r2 * r * sn * sn * sn / 3
	uu := r2 * r2 / 4 * (k + 2*sn*sn*sn*cs)
	vv := r2 * r2 / 12 * segmentAcross(sw)
	d := e.Mid().Sub(e.C).Unit()
	sx, sy := q*d.X, q*d.Y
	m.A += sg * a
	m.Sx += sg * (sx + a*x)
	m.Sy += sg * (sy + a*y)
	m.Sxx += sg * (uu*d.X*d.X + vv*d.Y*d.Y + 2*x*sx + a*x*x)
	m.Syy += sg * (uu*d.Y*d.Y + vv*d.X*d.X + 2*y*sy + a*y*y)
	m.Sxy += sg * ((uu-vv)*d.X*d.Y + x*sy + y*sx + a*x*y)
}

// Moments returns the integrals over the enclosed area; clockwise contours
// count negative. They are summed about the first point and moved to the
// origin at the end, so a small contour far out loses nothing.
func (c Contour) Moments() Moments {
	var m Moments
	if len(c) == 0 {
		return m
	}
	o := c[0].A
	for i := range c {
		e := c[i].Translate(o.Mul(-1))
		m.line(e.A, e.B)
		if e.Dir != 0 {
			m.segment(&e)
		}
	}
	return m.At(o.Mul(-1))
}

// Area returns the enclosed area, negative for clockwise contours.
func (c Contour) Area() float64 {
	if len(c) == 0 {
		return 0
	}
	o, a := c[0].A, 0.0
	for i := range c {
		a += c[i].areaAbout(o)
	}
	return a
}

// areaAbout returns the signed area between o and the edge.
func (e *Edge) areaAbout(o Point) float64 {
	a := e.A.Sub(o).Cross(e.B.Sub(o)) / 2
	if e.Dir != 0 {
		sw := e.Sweep()
		a += math.Copysign(e.R*e.R/2*xMinusSin(math.Abs(sw)), sw)
	}
	return a
}

// Moments returns the integrals over the region.
func (r Region) Moments() Moments {
	m := r.Outer.Moments()
	for _, h := range r.Holes {
		m = m.Add(h.Moments())
	}
	return m
}

// Area returns the area of the region.
func (r Region) Area() float64 {
	a := r.Outer.Area()
	for _, h := range r.Holes {
		a += h.Area()
	}
	return a
}

// Moments returns the integrals over the shape.
func (s Shape) Moments() Moments {
	var m Moments
	for _, r := range s {
		m = m.Add(r.Moments())
	}
	return m
}

// Area returns the area of the shape.
func (s Shape) Area() float64 {
	a := 0.0
	for _, r := range s {
		a += r.Area()
	}
	return a
}
