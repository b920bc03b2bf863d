package solid

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// grid maps the unit square, divided into nx × ny pairs of triangles, by at. Middle
// nodes are mapped too.
func grid(nx, ny int, at func(a, b float64) geom.Point) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 2*nx + 1 {
		for j := range 2*ny + 1 {
			m.Nodes = append(m.Nodes, at(float64(i)/float64(2*nx), float64(j)/float64(2*ny)))
		}
	}
	add := func(c [3][2]int) {
		var t mesh.Triangle
		node := func(i, j int) int32 { return int32(i*(2*ny+1) + j) }
		for k, p := range c {
			q, r := c[(k+1)%3], c[(k+2)%3]
			t.Node[k] = node(p[0], p[1])
			t.Node[3+k] = node((q[0]+r[0])/2, (q[1]+r[1])/2)
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

// sheet is metal from z0 to z1 on the one face of a grid.
func sheet(z0, z1 float64) [][]Interval { return [][]Interval{{{z0, z1}}} }

// generated is a mesh of the real mesher, of a quarter of the area between two
// circles (r0 = 0: of a disc) about the origin, in face 1, and the sides on the inner
// circle.
func generated(t testing.TB, r0, r1, size float64, arcs int) (*mesh.Mesh, []mesh.Side) {
	t.Helper()
	var c geom.Contour
	if r0 > 0 {
		c = geom.Contour{geom.Arc(geom.Pt(0, r0), geom.Pt(r0, 0), geom.Pt(0, 0), -1), geom.Line(geom.Pt(r0, 0), geom.Pt(r1, 0))}
	} else {
		c = geom.Contour{geom.Line(geom.Pt(0, r1), geom.Pt(0, 0)), geom.Line(geom.Pt(0, 0), geom.Pt(r1, 0))}
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
	var inner []mesh.Side
	for _, s := range m.Sides {
		if p := m.Nodes[s.Node[2]]; math.Abs(math.Hypot(p.X, p.Y)-r0) < 1e-6 {
			inner = append(inner, s)
		}
	}
	return m, inner
}

func build(t testing.TB, m *mesh.Mesh, metal [][]Interval, mat Material, o Options) *Model {
	t.Helper()
	out, err := New(m, metal, mat, o)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func solved(t testing.TB, m *Model, held []bool, load []float64) *Result {
	t.Helper()
	s, err := m.Factor(t.Context(), held, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Release()
	r, err := s.Solve(t.Context(), load)
	if err != nil {
		t.Fatal(err)
	}
	if r.Imbalance > 1e-8 {
		t.Errorf("loads and reactions differ by %g of them", r.Imbalance)
	}
	if r.Accuracy.BackwardError > 1e-14 {
		t.Errorf("backward error %g", r.Accuracy.BackwardError)
	}
	return r
}

// within checks a figure to a share in percent and logs by how much it is off.
func within(t testing.TB, what string, got, want, percent float64) {
	t.Helper()
	off := 100 * (got/want - 1)
	t.Logf("%s: %.6g, want %.6g: %+.3f %%", what, got, want, off)
	if !(math.Abs(off) <= percent) {
		t.Errorf("%s is %.6g, want %.6g within %g %%", what, got, want, percent)
	}
}

// nodeAt is the node nearest to a place, which must be there to 1e-6.
func nodeAt(t testing.TB, m *Model, p Vec) int32 {
	t.Helper()
	for n, q := range m.Nodes {
		if q.add(p, -1).len() < 1e-6 {
			return int32(n)
		}
	}
	t.Fatalf("no node at %v", p)
	return 0
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// table reads a file of testdata/solid as numbers from the given column on.
func table(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/solid/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
