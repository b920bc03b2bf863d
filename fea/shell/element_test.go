package shell

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"platewright/plate/geom"
)

// TestRules integrates all monomials that the rules promise: r^a s^b over the
// reference triangle is a!·b!/(a+b+2)!, t^n over [−1, 1] is 2/(n+1) for even n.
func TestRules(t *testing.T) {
	fact := func(n int) float64 { return math.Gamma(float64(n) + 1) }
	for _, c := range []struct {
		rule   []point
		degree int
	}{{rule3[:], 2}, {rule6[:], 4}} {
		for a := 0; a <= c.degree; a++ {
			for b := 0; a+b <= c.degree; b++ {
				got := 0.0
				for _, p := range c.rule {
					got += p.w * math.Pow(p.r, float64(a)) * math.Pow(p.s, float64(b))
				}
				if want := fact(a) * fact(b) / fact(a+b+2); math.Abs(got-want) > 1e-14 {
					t.Errorf("rule of %d points: r^%d s^%d = %.16g, want %.16g", len(c.rule), a, b, got, want)
				}
			}
		}
	}
	for n := range 10 {
		got, want := 0.0, 0.0
		for _, g := range gauss5 {
			got += g[1] * math.Pow(g[0], float64(n))
		}
		if n%2 == 0 {
			want = 2 / float64(n+1)
		}
		if math.Abs(got-want) > 1e-14 {
			t.Errorf("gauss5: t^%d = %.16g, want %.16g", n, got, want)
		}
	}
}

var shapesUnderTest = map[string]Triangle{
	"straight": triangle(geom.Pt(0, 0), geom.Pt(10, 1), geom.Pt(2, 9)),
	"sharp":    triangle(geom.Pt(0, 0), geom.Pt(10, 0), geom.Pt(9, 3)),
	"curved":   {geom.Pt(0, 0), geom.Pt(10, 1), geom.Pt(2, 9), geom.Pt(6.6, 5.7), geom.Pt(0.8, 4.4), geom.Pt(5, 0.1)},
}

func triangle(a, b, c geom.Point) Triangle {
	mid := func(p, q geom.Point) geom.Point { return p.Add(q).Mul(0.5) }
	return Triangle{a, b, c, mid(b, c), mid(c, a), mid(a, b)}
}

// TestZeroEnergy: an element resists everything but the six rigid motions.
func TestZeroEnergy(t *testing.T) {
	for name, x := range shapesUnderTest {
		for _, form := range []Shear{Displacement, Assumed} {
			for _, iv := range [][]Interval{{{-1, 1}}, {{0, 2}}, {{5, 5.5}}, {{0, 3}, {12, 20}}} {
				s, err := NewSection(iv, 0)
				if err != nil {
					t.Fatal(err)
				}
				ke := make([]float64, 900)
				Stiffness(&x, &s, aluminium, form, ke)
				values := eigen(t, ke)
				zero := 0
				for _, v := range values {
					if math.Abs(v) < 1e-11*values[29] {
						zero++
					}
				}
				// The seventh is far above rounding: bending of the thinnest plate is
				// (t/h)² times stretching.
				if zero != 6 || values[6] < 1e-8*values[29] {
					t.Errorf("%s, form %d, metal %v: %d zero-energy modes, want 6; eigenvalues %.2e", name, form, iv, zero, values[:8])
				}
				checkRigid(t, fmt.Sprintf("%s, form %d", name, form), &x, ke)
			}
		}
	}
}

func eigen(t *testing.T, ke []float64) []float64 {
	t.Helper()
	k := mat.NewSymDense(30, nil)
	for i := range 30 {
		for j := i; j < 30; j++ {
			if d := math.Abs(ke[30*i+j] - ke[30*j+i]); d > 1e-9*math.Abs(ke[30*i+i]+ke[30*j+j]) {
				t.Errorf("matrix is not symmetric at %d, %d: off by %g", i, j, d)
			}
			k.SetSym(i, j, (ke[30*i+j]+ke[30*j+i])/2)
		}
	}
	var e mat.EigenSym
	if !e.Factorize(k, false) {
		t.Fatal("no eigenvalues")
	}
	return e.Values(nil)
}

// rigid are the six rigid motions as unknowns at p: three shifts, turns about x, y
// and z by the right-hand rule.
func rigid(p geom.Point) [6][5]float64 {
	return [6][5]float64{
		{1, 0, 0, 0, 0},
		{0, 1, 0, 0, 0},
		{0, 0, 1, 0, 0},
		{0, 0, p.Y, 0, -1},
		{0, 0, -p.X, 1, 0},
		{-p.Y, p.X, 0, 0, 0},
	}
}

func checkRigid(t *testing.T, what string, x *Triangle, ke []float64) {
	t.Helper()
	for mode := range 6 {
		var u [30]float64
		size := 0.0
		for i, p := range x {
			r := rigid(p)[mode]
			copy(u[5*i:], r[:])
			for _, v := range r {
				size = max(size, math.Abs(v))
			}
		}
		for r := range 30 {
			sum, scale := 0.0, 0.0
			for c := range 30 {
				sum += ke[30*r+c] * u[c]
				scale += math.Abs(ke[30*r+c]) * size
			}
			if math.Abs(sum) > 1e-12*scale {
				t.Errorf("%s: rigid motion %d meets the force %g at unknown %d", what, mode, sum, r)
			}
		}
	}
}

// TestPatch is the patch test on distorted elements, off the middle of the metal:
// with the displacements of a constant state given at the edge, the inside takes
// on that state exactly.
func TestPatch(t *testing.T) {
	states := map[string]Strain{
		"stretch x": {1e-3}, "stretch y": {0, 1e-3}, "in-plane shear": {0, 0, 1e-3},
		"bending x": {0, 0, 0, 1e-4}, "bending y": {0, 0, 0, 0, 1e-4}, "twist": {0, 0, 0, 0, 0, 1e-4},
		"all": {1e-3, -4e-4, 7e-4, 1e-4, -3e-5, 6e-5},
	}
	// A mesh with no two elements alike; sides stay straight.
	bent := func(nodes []geom.Point, corner func(i int) bool, move func(geom.Point) geom.Point) {
		for i := range nodes {
			if corner(i) {
				nodes[i] = move(nodes[i])
			}
		}
	}
	m := grid(4, 3, rectangle(40, 30), nil)
	isCorner := make([]bool, len(m.Nodes))
	for _, tr := range m.Triangles {
		for _, n := range tr.Node[:3] {
			isCorner[n] = true
		}
	}
	edge := func(p geom.Point) bool { return on(p.X, 0) || on(p.X, 40) || on(p.Y, 0) || on(p.Y, 30) }
	bent(m.Nodes, func(i int) bool { return isCorner[i] && !edge(m.Nodes[i]) }, func(p geom.Point) geom.Point {
		return geom.Pt(p.X+2.9*math.Sin(p.X*3+p.Y), p.Y+2.7*math.Cos(p.Y*2-p.X))
	})
	for _, tr := range m.Triangles {
		for k := range 3 {
			a, b := m.Nodes[tr.Node[(k+1)%3]], m.Nodes[tr.Node[(k+2)%3]]
			m.Nodes[tr.Node[3+k]] = a.Add(b).Mul(0.5)
		}
	}
	for _, iv := range [][]Interval{{{0, 2}}, {{3, 15}}, {{0, 3}, {9, 12}}} {
		for _, above := range []float64{1e-9, 1e9, 1.2} { // all assumed, all displacement, mixed
			md := model(t, m, func(int32) []Interval { return iv }, aluminium, Options{AssumedAbove: above})
			sys := assemble(t, md, func(p geom.Point) (h [5]bool) {
				if edge(p) {
					h = [5]bool{true, true, true, true, true}
				}
				return h
			})
			for name, e := range states {
				given := md.zeros()
				for i, p := range m.Nodes {
					v := constant(e, p)
					copy(given[5*i:], v[:])
				}
				// The load on the free unknowns from the given ones at the edge.
				f := md.zeros()
				ke := make([]float64, 900)
				for el := range m.Triangles {
					md.Stiffness(el, ke)
					for i, ni := range m.Triangles[el].Node {
						for j, nj := range m.Triangles[el].Node {
							if !edge(m.Nodes[nj]) {
								continue
							}
							for a := range 5 {
								for b := range 5 {
									f[5*int(ni)+a] -= ke[30*(5*i+a)+5*j+b] * given[5*int(nj)+b]
								}
							}
						}
					}
				}
				u := sys.solve(t, f)
				worst, scale := 0.0, 0.0
				for i := range u {
					scale = max(scale, math.Abs(given[i]))
					if !edge(m.Nodes[i/5]) {
						worst = max(worst, math.Abs(u[i]-given[i]))
					}
				}
				if worst > 1e-10*scale {
					t.Errorf("%s, metal %v, assumed above %g: inside differs by %.2g of %.2g", name, iv, above, worst, scale)
				}
			}
		}
	}
}

// constant are the unknowns at p of a constant stretch and curvature without
// transverse shear.
func constant(e Strain, p geom.Point) [5]float64 {
	return [5]float64{
		e[0]*p.X + e[2]/2*p.Y, e[1]*p.Y + e[2]/2*p.X,
		-e[3]/2*p.X*p.X - e[4]/2*p.Y*p.Y - e[5]/2*p.X*p.Y,
		e[3]*p.X + e[5]/2*p.Y, e[4]*p.Y + e[5]/2*p.X,
	}
}

// TestShearPatch: an element that only slides across its plane, w = gx·x + gy·y
// with its normals upright, holds the energy κGt(gx² + gy²)/2 per area and has
// that strain everywhere.
func TestShearPatch(t *testing.T) {
	const gx, gy = 2e-3, -5e-4
	for name, x := range shapesUnderTest {
		for _, form := range []Shear{Displacement, Assumed} {
			s, err := NewSection([]Interval{{4, 7}}, 0)
			if err != nil {
				t.Fatal(err)
			}
			ke := make([]float64, 900)
			Stiffness(&x, &s, aluminium, form, ke)
			var u [30]float64
			for i, p := range x {
				u[5*i+2] = gx*p.X + gy*p.Y
			}
			got := 0.0
			for i := range 30 {
				for j := range 30 {
					got += u[i] * ke[30*i+j] * u[j] / 2
				}
			}
			want := 5. / 6 * aluminium.G() * 3 * (gx*gx + gy*gy) / 2 * x.Area()
			if math.Abs(got/want-1) > 1e-12 {
				t.Errorf("%s, form %d: energy %.15g, want %.15g", name, form, got, want)
			}
			if form == Assumed {
				c := tie(&x)
				for _, p := range rule6 {
					h := shapeAt(p.r, p.s)
					var b shearRows
					c.at(&x, p, &h, &b)
					ex, ey := 0.0, 0.0
					for i := range 6 {
						ex += b.x[3*i] * u[5*i+2]
						ey += b.y[3*i] * u[5*i+2]
					}
					if math.Abs(ex-gx) > 1e-15 || math.Abs(ey-gy) > 1e-15 {
						t.Errorf("%s: assumed shear at (%.2f, %.2f) = %g, %g, want %g, %g", name, p.r, p.s, ex, ey, gx, gy)
					}
				}
			}
		}
	}
}

// TestMass: the kinetic energy of rigid motions is that of the body: mass and
// inertia by the parallel-axis theorem over an interval off the reference plane.
func TestMass(t *testing.T) {
	x := shapesUnderTest["straight"]
	const z0, z1, zRef = 3.0, 8.0, 1.0
	s, err := NewSection([]Interval{{z0, z1}}, zRef)
	if err != nil {
		t.Fatal(err)
	}
	me := make([]float64, 900)
	Mass(&x, &s, aluminium, me)
	if v := eigen(t, me); v[0] <= 0 {
		t.Errorf("least eigenvalue of the mass matrix is %g, want above 0", v[0])
	}
	tri := geom.Polygon(x[0], x[1], x[2]).Moments()
	rho := aluminium.Density * 1e-12
	h, zc := z1-z0, (z0+z1)/2-zRef
	zz := h*h*h/12 + h*zc*zc
	want := [6]float64{
		tri.A * h, tri.A * h, tri.A * h,
		h*tri.Syy + zz*tri.A, h*tri.Sxx + zz*tri.A, h * (tri.Sxx + tri.Syy),
	}
	for mode := range 6 {
		got := 0.0
		for i := range 6 {
			for j := range 6 {
				ri, rj := rigid(x[i])[mode], rigid(x[j])[mode]
				for a := range 5 {
					for b := range 5 {
						got += ri[a] * me[30*(5*i+a)+5*j+b] * rj[b]
					}
				}
			}
		}
		if w := rho * want[mode]; math.Abs(got/w-1) > 1e-12 {
			t.Errorf("rigid motion %d: 2·energy/speed² = %.15g, want %.15g", mode, got, w)
		}
	}
}
