package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// TestPatch: under any straight field of displacements, prisms with curved sides whose
// nodes are moved out of place hold no force on nodes inside, and have one stress.
func TestPatch(t *testing.T) {
	plane, _ := generated(t, 10, 30, 9, 16)
	mat := Material{E: 70000, Nu: 0.33}
	m := build(t, plane, [][]Interval{nil, {{0, 12}}}, mat, Options{Layers: 3})
	rng := rand.New(rand.NewPCG(3, 3))
	for n := range m.Nodes {
		for c := range 3 {
			m.Nodes[n][c] += 0.3 * (2*rng.Float64() - 1)
		}
	}
	if err := m.check(); err != nil {
		t.Fatal(err)
	}
	outside := outsideNodes(m)
	for mode := range 9 {
		var g [3]Vec
		g[mode/3][mode%3] = 1e-3
		r := &Result{Model: m, U: m.Zeros()}
		for n, p := range m.Nodes {
			for i := range 3 {
				r.U[3*n+i] = g[i].dot(p)
			}
		}
		force := multiply(t, m, r.U)
		largest, inside, count := 0.0, 0.0, 0
		for n := range m.Nodes {
			f := Vec(force[3*n : 3*n+3]).len()
			largest = max(largest, f)
			if !outside[n] {
				inside = max(inside, f)
				count++
			}
		}
		if count < 50 || inside > 1e-11*largest || largest == 0 {
			t.Errorf("field %d: force %g on %d inner nodes, of %g", mode, inside, count, largest)
		}
		want := mat.stress(&g)
		for n, s := range r.NodeStress() {
			for k := range s {
				if math.Abs(s[k]-want[k]) > 1e-9*70 {
					t.Fatalf("field %d, node %d: stress %v, want %v", mode, n, s, want)
				}
			}
		}
	}
}

// outsideNodes are those of faces with an element on one side only.
func outsideNodes(m *Model) []bool {
	out := make([]bool, len(m.Nodes))
	rows := 2*m.layers() + 1
	for n := range m.Mesh.Nodes {
		for k := range rows {
			if k == 0 || k == rows-1 {
				out[m.at[n*rows+k]] = true
			}
		}
	}
	for _, s := range m.Mesh.Sides {
		for _, n := range s.Node {
			for _, k := range m.at[int(n)*rows : (int(n)+1)*rows] {
				if k >= 0 {
					out[k] = true
				}
			}
		}
	}
	return out
}

// multiply is K·u, element by element.
func multiply(t *testing.T, m *Model, u []float64) []float64 {
	out := m.Zeros()
	for e := range m.Elements {
		ke := make([]float64, unknownsOf*unknownsOf)
		if err := m.element(e, ke); err != nil {
			t.Fatal(err)
		}
		for i := range unknownsOf {
			for j := range unknownsOf {
				out[3*int(m.Elements[e].Node[i/3])+i%3] += ke[i*unknownsOf+j] * u[3*int(m.Elements[e].Node[j/3])+j%3]
			}
		}
	}
	return out
}

// TestCantilever: a bar of 100 × 10 × 10 clamped at one end, sheared at the other, in
// both directions: PL³/3EI + PL/κGA with κ = 5/6 (S. Timoshenko, Strength of
// Materials; from memory). Poisson's ratio is 0, so that the clamp does not stiffen
// it.
func TestCantilever(t *testing.T) {
	m := build(t, grid(10, 2, func(a, b float64) geom.Point { return geom.Pt(100*a, 10*b) }), sheet(0, 10), Material{E: 70000}, Options{Layers: 2})
	held := make([]bool, m.Unknowns())
	m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) })
	end := endWall(m, 100)
	want := 1000*1e6/(3*70000*(1e4/12)) + 1000*100/(5./6*35000*100)
	for c := 1; c < 3; c++ {
		load := m.Zeros()
		m.AddWall(end, func(WallPoint) (q Vec) { q[c] = 10; return q }, load)
		r := solved(t, m, held, load)
		within(t, "tip", 2*r.Energy/1000, want, 0.3)
	}
}

// endWall is the wall of a grid at x.
func endWall(m *Model, x float64) []WallPoint {
	var sides []mesh.Side
	for i, t := range m.Mesh.Triangles {
		for k := range 3 {
			a, b, c := t.Node[(k+1)%3], t.Node[(k+2)%3], t.Node[3+k]
			if near(m.Mesh.Nodes[a].X, x) && near(m.Mesh.Nodes[b].X, x) {
				sides = append(sides, mesh.Side{Node: [3]int32{a, b, c}, Triangle: [2]int32{int32(i), -1}})
			}
		}
	}
	return m.Wall(sides)
}

// quarterHeld holds the planes of symmetry of a quarter.
func quarterHeld(m *Model) []bool {
	held := make([]bool, m.Unknowns())
	m.Hold(held, [3]bool{true, false, false}, func(p Vec) bool { return near(p[0], 0) })
	m.Hold(held, [3]bool{false, true, false}, func(p Vec) bool { return near(p[1], 0) })
	return held
}

// TestClampedPlate: a round plate clamped at its edge under pressure, its thickness a
// tenth to a fiftieth of its radius: qa⁴/64D + qa²/4κGt (S. Timoshenko & S. Woinowsky-Krieger, Theory of Plates and
// Shells; the shear part of E. Reissner's theory; both from memory).
func TestClampedPlate(t *testing.T) {
	const a, q, e, nu = 100., 0.1, 70000., 0.3
	plane, _ := generated(t, 0, a, 7, 32)
	for _, h := range []float64{10, 4, 2} {
		m := build(t, plane, [][]Interval{nil, {{0, h}}}, Material{E: e, Nu: nu}, Options{})
		held := quarterHeld(m)
		m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(math.Hypot(p[0], p[1]), a) })
		load := m.Zeros()
		m.AddSurface(true, nil, func(Vec) Vec { return Vec{0, 0, -q} }, load)
		r := solved(t, m, held, load)
		d := e * h * h * h / 12 / (1 - nu*nu)
		want := q*math.Pow(a, 4)/64/d + q*a*a/(4*5./6*e/2/(1+nu)*h)
		within(t, "middle of the plate", -r.U[3*nodeAt(t, m, Vec{0, 0, h / 2})+2], want, 1)
	}
}

// TestRing: a thick ring under pressure on its inner wall (G. Lamé, closed form):
// σθ = p(ro²+ri²)/(ro²−ri²) at the wall, which moves by ri/E·(σθ + νp).
func TestRing(t *testing.T) {
	const ri, ro, p, e, nu = 20., 50., 30., 70000., 0.33
	plane, inner := generated(t, ri, ro, 5, 48)
	m := build(t, plane, [][]Interval{nil, {{0, 15}}}, Material{E: e, Nu: nu}, Options{})
	held := quarterHeld(m)
	m.Hold(held, [3]bool{false, false, true}, func(p Vec) bool { return near(p[2], 0) })
	load := m.Zeros()
	m.AddWall(m.Wall(inner), func(w WallPoint) Vec { return Vec{}.add(w.Normal, -p) }, load)
	force, _ := m.Resultant(load, Vec{})
	within(t, "resultant of the pressure", force[0], p*15*ri, 1e-3)
	r := solved(t, m, held, load)
	hoop := p * (ro*ro + ri*ri) / (ro*ro - ri*ri)
	n := nodeAt(t, m, Vec{ri, 0, 15})
	within(t, "motion of the wall", r.U[3*n], ri/e*(hoop+nu*p), 0.05)
	within(t, "hoop stress at the wall", r.NodeStress()[n][1], hoop, 1)
	within(t, "volume", m.Volume(), math.Pi/4*(ro*ro-ri*ri)*15, 1e-3)
}

// TestPress: a force that presses on a quarter of a wall has its resultant, at the height
// asked for and through the axis; along the axis it is even.
func TestPress(t *testing.T) {
	plane, inner := generated(t, 20, 50, 5, 48)
	m := build(t, plane, [][]Interval{nil, {{0, 15}}}, Material{E: 70000, Nu: 0.33}, Options{})
	for _, z := range []float64{7.5, 4, 11} {
		// Even along the axis, a quarter of a turn has its middle at 2r/π from both planes.
		force, r, load := Vec{600, 600, 90}, 2*20/math.Pi, m.Zeros()
		m.Press(m.Wall(inner), force, z, load)
		got, moment := m.Resultant(load, Vec{0, 0, z})
		want := Vec{r * force[2], -r * force[2]}
		if got.add(force, -1).len() > 1e-4*force.len() || moment.add(want, -1).len() > 1e-3*want.len() {
			t.Errorf("at height %g: force %v, moment %v, want %v and %v", z, got, moment, force, want)
		}
	}
}

// TestThickPlate is LE10 (testdata/solid/le10.csv): σyy at D, the inner end of the
// long axis, on the top.
func TestThickPlate(t *testing.T) {
	row := table(t, "le10.csv")[0]
	const in, out = 2000., 3250. // long half axes, mm; the short ones are 1000 and 2750
	plane := grid(6, 8, func(a, b float64) geom.Point {
		x0, y0 := in*math.Cos(b*math.Pi/2), 1000*math.Sin(b*math.Pi/2)
		x1, y1 := out*math.Cos(b*math.Pi/2), 2750*math.Sin(b*math.Pi/2)
		a *= (1 + a) / 2 // smaller towards the inner edge
		return geom.Pt(x0+a*(x1-x0), y0+a*(y1-y0))
	})
	m := build(t, plane, sheet(0, 600), Material{E: 210000, Nu: 0.3}, Options{Layers: 6})
	held := quarterHeld(m)
	outer := func(p Vec) bool { return near(p[0]*p[0]/out/out+p[1]*p[1]/2750/2750, 1) }
	m.Hold(held, [3]bool{true, true, false}, outer)
	m.Hold(held, [3]bool{false, false, true}, func(p Vec) bool { return outer(p) && near(p[2], 300) })
	load := m.Zeros()
	m.AddSurface(true, nil, func(Vec) Vec { return Vec{0, 0, -1} }, load)
	r := solved(t, m, held, load)
	s := r.NodeStress()[nodeAt(t, m, Vec{in, 0, 600})]
	within(t, row[0]+" "+row[2]+" ("+row[5]+", "+row[6]+")", s[1], number(t, row[3]), 2)
}
