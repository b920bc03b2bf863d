package geom

import (
	"math"
	"testing"
)

// near reports got unless it is want to the relative accuracy rel; numbers
// below one are compared absolutely.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Max(1, math.Abs(want))) {
		t.Errorf("%s = %.17g, want %.17g", what, got, want)
	}
}

// about checks the moments about the centroid against closed forms: area,
// centroid, ∫y², ∫x² and ∫xy.
func about(t *testing.T, what string, m Moments, a float64, c Point, yy, xx, xy float64) {
	t.Helper()
	const rel = 1e-12
	near(t, what+" area", m.A, a, rel)
	near(t, what+" centroid x", m.Centroid().X, c.X, rel)
	near(t, what+" centroid y", m.Centroid().Y, c.Y, rel)
	n := m.At(m.Centroid())
	scale := math.Max(1, math.Max(xx, yy)) * (1 + m.A*c.Dot(c)/(xx+yy)) // the shift by the centroid rounds too
	for _, p := range []struct {
		name      string
		got, want float64
	}{{"∫y²", n.Syy, yy}, {"∫x²", n.Sxx, xx}, {"∫xy", n.Sxy, xy}} {
		if !(math.Abs(p.got-p.want) <= rel*scale) {
			t.Errorf("%s %s = %.17g, want %.17g", what, p.name, p.got, p.want)
		}
	}
}

// The formulas are those of any engineering handbook's table of plane sections.
func TestMomentsClosedForms(t *testing.T) {
	const pi = math.Pi
	circle := func(r float64) (a, i float64) { return pi * r * r, pi * math.Pow(r, 4) / 4 }

	a, i := circle(25)
	about(t, "circle", Circle(Pt(300, 200), 25).Moments(), a, Pt(300, 200), i, i, 0)
	for _, n := range []int{2, 3, 4, 64, 1000} {
		var c Contour
		o := Pt(300, 200)
		for k := range n {
			p, q := Pt(25, 0).Rotate(2*pi*float64(k)/float64(n)+0.3), Pt(25, 0).Rotate(2*pi*float64(k+1)/float64(n)+0.3)
			c = append(c, Edge{A: o.Add(p), B: o.Add(q), C: o, R: 25, Dir: 1})
		}
		about(t, "circle in arcs", c.Moments(), a, o, i, i, 0)
	}

	a1, i1 := circle(30)
	a2, i2 := circle(29.9)
	ring := Region{Outer: Circle(Pt(5, 6), 30), Holes: []Contour{Circle(Pt(5, 6), 29.9).Reverse()}}
	about(t, "thin annulus", ring.Moments(), a1-a2, Pt(5, 6), i1-i2, i1-i2, 0)

	// Stadium: a rectangle and two half discs, each 4r/3π from its diameter.
	const l, r = 20.0, 7.0
	d := 4 * r / (3 * pi)
	half := pi * r * r / 2
	ix := 2*l*math.Pow(2*r, 3)/12 + pi*math.Pow(r, 4)/4
	iy := 2*r*math.Pow(2*l, 3)/12 + 2*((pi/8-8/(9*pi))*math.Pow(r, 4)+half*(l+d)*(l+d))
	about(t, "stadium", Capsule(Pt(-l, 0), Pt(l, 0), r).Moments(), 4*l*r+pi*r*r, Pt(0, 0), ix, iy, 0)

	about(t, "rectangle", Rect(Pt(10, 20), Pt(40, 25)).Moments(), 150, Pt(25, 22.5), 30*125/12.0, 5*27000/12.0, 0)
	// Right triangle with legs b along x and h along y: ∫xy = -b²h²/72.
	about(t, "triangle", Polygon(Pt(1, 2), Pt(7, 2), Pt(1, 11)).Moments(), 27, Pt(3, 5), 6*729/36.0, 9*216/36.0, -36*81/72.0)

	// Circular segment of half angle α, radius R.
	for _, al := range []float64{1e-4, 1e-3, 0.01, 0.1, 0.45, 0.55, 1, pi / 2, 2.5} {
		const R = 40.0
		s, co := math.Sincos(al)
		p, q := Pt(R, 0).Rotate(pi/2-al), Pt(R, 0).Rotate(pi/2+al)
		seg := Contour{{A: p, B: q, C: Point{}, R: R, Dir: 1}, Line(q, p)}
		m := seg.Moments()
		// R²(α - sin α cos α), by its series where that cancels:
		// (x - sin x)/2 with x = 2α is x³/12 (1 - x²/20 + x⁴/840 - …).
		area := R * R * (al - s*co)
		if x := 2 * al; al < 0.05 {
			area = R * R * x * x * x / 12 * (1 - x*x/20 + x*x*x*x/840 - math.Pow(x, 6)/60480)
		}
		if got := m.A; math.Abs(got/area-1) > 1e-12*(1+1e-8/(al*al)) {
			t.Errorf("segment of half angle %g: area %.17g, want %.17g", al, got, area)
		}
		if al > 0.3 {
			near(t, "segment centroid", m.Centroid().Y, 2*R*s*s*s/3/(al-s*co), 1e-12)
			near(t, "segment ∫y²", m.Syy, math.Pow(R, 4)/4*(al-s*co+2*s*s*s*co), 1e-12)
			near(t, "segment ∫x²", m.Sxx, math.Pow(R, 4)/12*(3*al-3*s*co-2*s*s*s*co), 1e-12)
		}
	}
}

// TestShallowArc checks an arc of 100 m radius against its parabola: ⅔ chord ×
// sagitta, in error by (sagitta/chord)² only.
func TestShallowArc(t *testing.T) {
	const r, half = 1e5, 1e-4
	chord, sagitta := 2*r*math.Sin(half), 2*r*math.Sin(half/2)*math.Sin(half/2)
	p, q := Pt(chord/2, 0), Pt(-chord/2, 0)
	c := Contour{{A: p, B: q, C: Pt(0, sagitta-r), R: r, Dir: 1}, Line(q, p)}
	m := c.Moments()
	near(t, "area / parabola", m.A/(2.0/3*chord*sagitta), 1, 1e-8)
	near(t, "centroid height / parabola", m.Centroid().Y/(0.4*sagitta), 1, 1e-6)
	// ∫x² under a parabola of half chord a and height s is 4 s a³ / 15.
	near(t, "∫x² / parabola", m.Sxx/(4*sagitta*math.Pow(chord/2, 3)/15), 1, 1e-7)
}

func TestMomentsMove(t *testing.T) {
	c := RoundedRect(Pt(-3, 2), Pt(9, 7), 1.5)
	m := c.Moments()
	n := c.Transform(Translation(Pt(-11, 4))).Moments().At(Pt(-11, 4))
	for _, p := range [][2]float64{{m.A, n.A}, {m.Sx, n.Sx}, {m.Sy, n.Sy}, {m.Sxx, n.Sxx}, {m.Syy, n.Syy}, {m.Sxy, n.Sxy}} {
		near(t, "moment of the moved contour about the moved point", p[1], p[0], 1e-12)
	}
	r := c.Reverse().Moments()
	if r.Add(m).A != 0 {
		t.Errorf("contour and its reverse have areas %g and %g", m.A, r.A)
	}
	if z := (Moments{}).Centroid(); z != (Point{}) {
		t.Errorf("centroid of nothing = %v", z)
	}
	if s := m.Scale(3).Sub(m).Sub(m).Sub(m); math.Abs(s.Sxx) > 1e-9 {
		t.Errorf("3m - m - m - m = %+v", s)
	}
}
