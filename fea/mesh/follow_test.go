package mesh

import (
	"math"
	"reflect"
	"testing"

	"platewright/plate/geom"
)

// TestFollow drags a bore across a plate in steps of 0.5 mm until the mesh no
// longer follows: every mesh on the way is held to the map, and it follows for
// some millimetres at least.
func TestFollow(t *testing.T) {
	bores := func(x float64) (*geom.Subdivision, []bool) {
		return plateWithBores(t, 160, 80, [3]float64{x, 40, 18}, [3]float64{x, 40, 10}, [3]float64{120, 40, 12})
	}
	sub, metal := bores(40)
	first := mustGenerate(t, sub, metal, Options{Size: 6})
	m := first
	steps := 0
	for ; steps < 100; steps++ {
		sub, _ := bores(40 + 0.5*float64(steps+1))
		next, ok := m.Follow(sub)
		if !ok {
			break
		}
		verifyTriangles(t, next)
		verifySides(t, sub, metal, next)
		verifyAreas(t, sub, metal, next)
		if !next.Followed || next.Quality.MinAngle < followAngle || math.Abs(next.leastOfAll()-next.Quality.MinAngle) > 1e-12 {
			t.Errorf("step %d: followed %v, least angle %.2f°", steps, next.Followed, next.Quality.MinAngle/deg)
		}
		m = next
	}
	if steps < 10 || steps == 100 {
		t.Errorf("the mesh followed for %d steps of 0.5 mm, want at least 10, and an end before the bores meet", steps)
	}
	if m.Triangles[0] != first.Triangles[0] || len(m.Triangles) != len(first.Triangles) {
		t.Errorf("the triangles changed")
	}
}

func (m *Mesh) leastOfAll() float64 {
	least := math.Pi
	for i := range m.Triangles {
		least = min(least, m.leastAngle(i))
	}
	return least
}

// TestFollowRigid moves and turns the whole map: no element may change its
// shape.
func TestFollowRigid(t *testing.T) {
	sub, metal := plateWithBores(t, 100, 60, [3]float64{30, 30, 12}, [3]float64{70, 30, 10})
	m := mustGenerate(t, sub, metal, Options{})
	same, ok := m.Follow(sub)
	if !ok || !nearNodes(m.Nodes, same.Nodes, 1e-12) {
		t.Errorf("the mesh does not follow a map that stays: %v", ok)
	}
	shift := geom.Pt(13, -7)
	moved := moveMap(sub, func(p geom.Point) geom.Point { return p.Add(shift) })
	f, ok := m.Follow(moved)
	if !ok {
		t.Fatal("the mesh does not follow a shift")
	}
	want := make([]geom.Point, len(m.Nodes))
	for i, p := range m.Nodes {
		want[i] = p.Add(shift)
	}
	if !nearNodes(f.Nodes, want, 0.01*shift.Len()) {
		t.Errorf("nodes do not keep their places in a shifted map")
	}
	if reflect.DeepEqual(m.Nodes, f.Nodes) {
		t.Errorf("the first mesh was changed")
	}
}

func nearNodes(a, b []geom.Point, tol float64) bool {
	for i := range a {
		if a[i].Dist(b[i]) > tol {
			return false
		}
	}
	return len(a) == len(b)
}

// moveMap moves vertices and centres by f, which must be a shift.
func moveMap(s *geom.Subdivision, f func(geom.Point) geom.Point) *geom.Subdivision {
	o := &geom.Subdivision{Faces: append([]geom.Face(nil), s.Faces...)}
	for _, p := range s.Vertices {
		o.Vertices = append(o.Vertices, f(p))
	}
	for _, e := range s.Edges {
		e.A, e.B, e.C = f(e.A), f(e.B), f(e.C)
		o.Edges = append(o.Edges, e)
	}
	return o
}

func TestFollowRefuses(t *testing.T) {
	sub, metal := plateWithBores(t, 100, 60, [3]float64{30, 30, 12}, [3]float64{70, 30, 10})
	m := mustGenerate(t, sub, metal, Options{})
	other, _ := plateWithBores(t, 100, 60, [3]float64{30, 30, 12})
	broken := moveMap(sub, func(p geom.Point) geom.Point { return p })
	broken.Vertices[0].X = math.NaN()
	turned := moveMap(sub, func(p geom.Point) geom.Point { return p })
	turned.Edges[0].Left, turned.Edges[0].Right = turned.Edges[0].Right, turned.Edges[0].Left
	far, _ := plateWithBores(t, 100, 60, [3]float64{60, 31, 12}, [3]float64{30, 30, 10})
	for name, s := range map[string]*geom.Subdivision{"nil": nil, "a bore less": other, "NaN": broken, "faces exchanged": turned, "bores past each other": far} {
		if _, ok := m.Follow(s); ok {
			t.Errorf("%s: the mesh follows", name)
		}
	}
}

func BenchmarkFollow(b *testing.B) {
	sub, metal := isogridMap(b, 69)
	m := mustGenerate(b, sub, metal, Options{Size: 20, Across: 1, ArcEdges: 8})
	moved := moveMap(sub, func(p geom.Point) geom.Point { return p.Add(geom.Pt(0.2, 0.1)) })
	b.ReportAllocs()
	for b.Loop() {
		m.Follow(moved)
	}
	b.ReportMetric(float64(len(m.Triangles)), "triangles")
}
