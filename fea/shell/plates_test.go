package shell

import (
	"fmt"
	"math"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

func (m Material) bending(t float64) float64 { return m.E * t * t * t / 12 / (1 - m.Nu*m.Nu) }

// quarter holds a quarter of a plate by its symmetry about x = 0 and y = 0.
func quarter(p geom.Point, h [5]bool) [5]bool {
	if on(p.X, 0) {
		h[0], h[3] = true, true
	}
	if on(p.Y, 0) {
		h[1], h[4] = true, true
	}
	return h
}

// TestCircularThin: plates of radius a under uniform load, from moderately thin
// to very thin, w = q a⁴/(64 D) clamped and (5+ν)/(1+ν) times that simply
// supported (Civil Engineering Handbook eq. 47.73 and 47.75, seen); the clamped
// plate's shear part q a²/(4 κ G t) is exact for the theory and added to both.
func TestCircularThin(t *testing.T) {
	const a, q = 100.0, 1e-3
	m := generated(t, 0, a, 8, 40)
	for _, ratio := range []float64{100, 300, 1000} { // diameter / thickness
		h := 2 * a / ratio
		md := model(t, m, sheet(0, h), aluminium, Options{ZRef: h / 2})
		d := aluminium.bending(h)
		shear := q * a * a / (4 * ShearFactor * aluminium.G() * h)
		thin := q * a * a * a * a / 64 / d
		centre := 5*md.nodeAt(geom.Pt(0, 0)) + 2
		nu := aluminium.Nu
		for _, c := range []struct {
			name    string
			clamped bool
			want    float64
		}{{"clamped", true, thin + shear}, {"simply supported", false, (5+nu)/(1+nu)*thin + shear}} {
			u := solve(t, md, func(p geom.Point) (h [5]bool) {
				if on(p.Len(), a) {
					h = [5]bool{false, false, true, c.clamped, c.clamped}
				}
				return quarter(p, h)
			}, md.pressure(q))
			within(t, fmt.Sprintf("%s, t/L 1/%g: w", c.name, ratio), u[centre], c.want, 0.5)
		}
	}
}

// TestCircularThick: the clamped plate with its closed form q a⁴/(64 D) + q a²/(4 κ G t)
// (R. D. Mindlin's theory; the shear part is the integral of q r/(2 κ G t)), at
// t/L of 1/10 and 1/20, where shear is 18 % and 5 % of the deflection.
func TestCircularThick(t *testing.T) {
	const a, q = 100.0, 0.1
	m := generated(t, 0, a, 9, 32)
	for _, ratio := range []float64{10, 20} {
		h := 2 * a / ratio
		for _, above := range []float64{1e9, 1e-9} {
			md := model(t, m, sheet(0, h), aluminium, Options{AssumedAbove: above})
			u := solve(t, md, func(p geom.Point) (h [5]bool) {
				if on(p.Len(), a) {
					h = [5]bool{true, true, true, true, true}
				}
				return quarter(p, h)
			}, md.pressure(q))
			want := q*a*a*a*a/64/aluminium.bending(h) + q*a*a/(4*ShearFactor*aluminium.G()*h)
			within(t, fmt.Sprintf("t/L 1/%g, assumed above %g: w", ratio, above), u[5*md.nodeAt(geom.Pt(0, 0))+2], want, 0.5)
		}
	}
}

// TestRectangularThin: rectangular plates a × b under uniform load. Simply
// supported is hard: w and the tilt along the edge are held, as in Navier's
// series. Clamped values are by Ritz's method; both in
// plate_bending.csv, w = alpha q a⁴/D. The shear
// part, at most 0.2 % here, is shear·q a²/(κGt), by the same series (Mx + My over
// 1 + ν): exact for the simply supported plate, near for the clamped one.
func TestRectangularThin(t *testing.T) {
	const a, q = 100.0, 1e-3
	for _, c := range []struct {
		clamped      bool
		ratio, shear float64
	}{
		{false, 1, 0.0737},
		{false, 1.5, 0.1008},
		{false, 2, 0.1139},
		{true, 1, 0.0737},
		{true, 1.5, 0.1008},
		{true, 2, 0.1139},
	} {
		plate := map[bool]string{false: "rect simply supported", true: "rect clamped"}[c.clamped]
		alpha := published(t, "plate_bending.csv", 4, plate, "uniform q", fmt.Sprintf("%.1f", c.ratio), "w_max = alpha q a^4/D (a short)")
		b := a * c.ratio
		m := grid(14, 14+int(4*(c.ratio-1)), rectangle(a/2, b/2), nil)
		skew(m, a/2, b/2)
		for _, ratio := range []float64{100, 300, 1000} {
			h := a / ratio
			md := model(t, m, sheet(0, h), aluminium, Options{ZRef: h / 2})
			u := solve(t, md, func(p geom.Point) (h [5]bool) {
				h = quarter(p, h)
				if on(p.X, a/2) {
					h[2], h[4], h[3] = true, true, c.clamped
				}
				if on(p.Y, b/2) {
					h[2], h[3] = true, true
					h[4] = h[4] || c.clamped
				}
				return h
			}, md.pressure(q))
			want := alpha*q*a*a*a*a/aluminium.bending(h) + c.shear*q*a*a/(ShearFactor*aluminium.G()*h)
			within(t, fmt.Sprintf("clamped %v, b/a %g, t/L 1/%g: w", c.clamped, c.ratio, ratio),
				u[5*md.nodeAt(geom.Pt(0, 0))+2], want, 0.5)
		}
	}
}

// skew moves the corner nodes inside a rectangle so that no two elements are
// alike, and the middle nodes with them.
func skew(m *mesh.Mesh, lx, ly float64) {
	corner := make([]bool, len(m.Nodes))
	for _, tr := range m.Triangles {
		for _, n := range tr.Node[:3] {
			corner[n] = true
		}
	}
	t := m.Triangles[0].Node
	h := m.Nodes[t[0]].Dist(m.Nodes[t[1]])
	for i, p := range m.Nodes {
		if corner[i] && !on(p.X, 0) && !on(p.X, lx) && !on(p.Y, 0) && !on(p.Y, ly) {
			m.Nodes[i] = geom.Pt(p.X+0.25*h*math.Sin(7*p.X+3*p.Y), p.Y+0.25*h*math.Cos(5*p.Y-4*p.X))
		}
	}
	for _, tr := range m.Triangles {
		for k := range 3 {
			m.Nodes[tr.Node[3+k]] = m.Nodes[tr.Node[(k+1)%3]].Add(m.Nodes[tr.Node[(k+2)%3]]).Mul(0.5)
		}
	}
}

// TestFormLimit holds the limit between the two forms of shear to what it rests
// on: on a clamped square plate the displacement form is the nearer at three
// thicknesses and the assumed form at twelve. Want by Ritz, see above, with the
// shear part of the square plate.
func TestFormLimit(t *testing.T) {
	const a, q, n = 100.0, 1e-3, 6
	m := grid(n, n, rectangle(a/2, a/2), nil)
	skew(m, a/2, a/2)
	for _, long := range []float64{3, 12} {
		h := a / 2 / n * math.Sqrt2 / long
		want := 0.001265*q*a*a*a*a/aluminium.bending(h) + 0.0737*q*a*a/(ShearFactor*aluminium.G()*h)
		var off [2]float64
		for k, above := range []float64{1e9, 1e-9} {
			md := model(t, m, sheet(0, h), aluminium, Options{AssumedAbove: above})
			u := solve(t, md, func(p geom.Point) (h [5]bool) {
				if on(p.X, a/2) || on(p.Y, a/2) {
					return [5]bool{true, true, true, true, true}
				}
				return quarter(p, h)
			}, md.pressure(q))
			off[k] = u[5*md.nodeAt(geom.Pt(0, 0))+2]/want - 1
		}
		t.Logf("side %g thicknesses: displacement form off by %+.2f %%, assumed form by %+.2f %%", long, 100*off[0], 100*off[1])
		if displacementNearer := math.Abs(off[0]) < math.Abs(off[1]); displacementNearer != (long < assumedAbove) {
			t.Errorf("side %g thicknesses: displacement form nearer: %v, but the limit is %g", long, displacementNearer, float64(assumedAbove))
		}
	}
}
