package shell

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"platewright/fea/mesh"
	"platewright/fea/sparse"
	"platewright/plate/geom"
)

var aluminium = Material{E: 70000, Nu: 0.3, Density: 2700}

// grid maps the unit square, divided into nx × ny pairs of triangles, by at.
// Middle nodes are mapped too. The face of a triangle is face(a, b) of its middle.
func grid(nx, ny int, at func(a, b float64) geom.Point, face func(a, b float64) int32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 2*nx + 1 {
		for j := range 2*ny + 1 {
			m.Nodes = append(m.Nodes, at(float64(i)/float64(2*nx), float64(j)/float64(2*ny)))
		}
	}
	node := func(i, j int) int32 { return int32(i*(2*ny+1) + j) }
	add := func(c [3][2]int) {
		var t mesh.Triangle
		var a, b float64
		for k, p := range c {
			t.Node[k] = node(p[0], p[1])
			q, r := c[(k+1)%3], c[(k+2)%3]
			t.Node[3+k] = node((q[0]+r[0])/2, (q[1]+r[1])/2)
			a += float64(p[0]) / float64(6*nx)
			b += float64(p[1]) / float64(6*ny)
		}
		if face != nil {
			t.Face = face(a, b)
		}
		m.Triangles = append(m.Triangles, t)
	}
	for i := 0; i < 2*nx; i += 2 {
		for j := 0; j < 2*ny; j += 2 {
			p, q, r, s := [2]int{i, j}, [2]int{i + 2, j}, [2]int{i + 2, j + 2}, [2]int{i, j + 2}
			if (i+j)/2%2 == 0 {
				add([3][2]int{p, q, r})
				add([3][2]int{p, r, s})
			} else {
				add([3][2]int{p, q, s})
				add([3][2]int{q, r, s})
			}
		}
	}
	return m
}

func rectangle(lx, ly float64) func(a, b float64) geom.Point {
	return func(a, b float64) geom.Point { return geom.Pt(lx*a, ly*b) }
}

// generated is a mesh of the real mesher, of a quarter of the area between two
// circles (r 0: of a disc) about the origin.
func generated(t testing.TB, r0, r1, size float64, arcs int) *mesh.Mesh {
	t.Helper()
	c := geom.Contour{}
	if r0 > 0 {
		c = append(c, geom.Arc(geom.Pt(0, r0), geom.Pt(r0, 0), geom.Pt(0, 0), -1))
	} else {
		c = append(c, geom.Line(geom.Pt(0, r1), geom.Pt(0, 0)), geom.Line(geom.Pt(0, 0), geom.Pt(r1, 0)))
	}
	if r0 > 0 {
		c = append(c, geom.Line(geom.Pt(r0, 0), geom.Pt(r1, 0)))
	}
	c = append(c, geom.Arc(geom.Pt(r1, 0), geom.Pt(0, r1), geom.Pt(0, 0), 1))
	if r0 > 0 {
		c = append(c, geom.Line(geom.Pt(0, r1), geom.Pt(0, r0)))
	}
	sub, err := geom.Subdivide([]geom.Shape{geom.RegionOf(c)})
	if err != nil {
		t.Fatal(err)
	}
	m, err := mesh.Generate(t.Context(), sub, []bool{false, true}, mesh.Options{Size: size, ArcEdges: arcs})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// metal is one interval for every face up to the highest in use.
func metal(m *mesh.Mesh, of func(face int32) []Interval) [][]Interval {
	n := int32(0)
	for _, t := range m.Triangles {
		n = max(n, t.Face)
	}
	out := make([][]Interval, n+1)
	for f := range out {
		out[f] = of(int32(f))
	}
	return out
}

func sheet(z0, z1 float64) func(int32) []Interval {
	return func(int32) []Interval { return []Interval{{z0, z1}} }
}

func model(t testing.TB, m *mesh.Mesh, of func(int32) []Interval, mat Material, o Options) *Model {
	t.Helper()
	out, err := NewModel(m, metal(m, of), mat, o)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// system is a factored model.
type system struct {
	factor *sparse.Factor
}

// hold says which unknowns of a node are held at zero.
type hold func(p geom.Point) [Unknowns]bool

func assemble(t testing.TB, m *Model, held hold) *system {
	t.Helper()
	var marks []bool
	for _, q := range m.Mesh.Nodes {
		h := held(q)
		marks = append(marks, h[:]...)
	}
	s := &system{}
	var err error
	if s.factor, err = m.Factor(t.Context(), marks, sparse.Options{}, nil); err != nil {
		t.Fatal(err)
	}
	return s
}

// solve returns all unknowns under the load f; f is not changed.
func (s *system) solve(t testing.TB, f []float64) []float64 {
	t.Helper()
	u := make([]float64, len(f))
	if _, err := s.factor.SolveTo(t.Context(), [][]float64{u}, [][]float64{f}, nil); err != nil {
		t.Fatal(err)
	}
	return u
}

func solve(t testing.TB, m *Model, held hold, f []float64) []float64 {
	t.Helper()
	return assemble(t, m, held).solve(t, f)
}

func (m *Model) zeros() []float64 { return make([]float64, Unknowns*len(m.Mesh.Nodes)) }

// pressure is the load vector of q along z on every element.
func (m *Model) pressure(q float64) []float64 {
	f := m.zeros()
	for e := range m.Mesh.Triangles {
		m.AddArea(e, m.ZRef, func(geom.Point) Vector { return Vector{0, 0, q} }, f)
	}
	return f
}

// nodeAt is the node nearest to p.
func (m *Model) nodeAt(p geom.Point) int {
	best := 0
	for i, q := range m.Mesh.Nodes {
		if q.Dist(p) < m.Mesh.Nodes[best].Dist(p) {
			best = i
		}
	}
	return best
}

func within(t testing.TB, what string, got, want, percent float64) {
	t.Helper()
	d := 100 * (got/want - 1)
	if !(math.Abs(d) <= percent) {
		t.Errorf("%s = %.6g, want %.6g: off by %.2f %%, allowed %g %%", what, got, want, d, percent)
	} else {
		t.Logf("%s = %.6g, published %.6g: %+.3f %%", what, got, want, d)
	}
}

func on(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// published is the number in column col of the row of testdata/fea/file that
// begins with key.
func published(t testing.TB, file string, col int, key ...string) float64 {
	t.Helper()
	f, err := os.Open("../../testdata/fea/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if slices.Equal(r[:len(key)], key) {
			v, err := strconv.ParseFloat(r[col], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
	}
	t.Fatalf("%s has no row %q", file, key)
	return 0
}
