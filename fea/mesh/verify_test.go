package mesh

import (
	"math"
	"testing"

	"platewright/plate/geom"
)

const deg = math.Pi / 180

// verify holds a mesh to all that is promised, by its output alone.
func verify(t testing.TB, sub *geom.Subdivision, metal []bool, m *Mesh, o Options) {
	t.Helper()
	verifyTriangles(t, m)
	verifySides(t, sub, metal, m)
	verifyAreas(t, sub, metal, m)
	verifyQuality(t, m, o)
}

// verifyTriangles checks that triangles share whole sides with opposite
// directions, that only sides on the map have one triangle, and that no element
// folds.
func verifyTriangles(t testing.TB, m *Mesh) {
	t.Helper()
	type use struct{ tri, mid int32 }
	sides := map[[2]int32]use{}
	used := make([]bool, len(m.Nodes))
	for i := range m.Triangles {
		n := m.Triangles[i].Node
		for k := range 3 {
			a, b := n[(k+1)%3], n[(k+2)%3]
			if _, twice := sides[[2]int32{a, b}]; twice {
				t.Errorf("side %d-%d is used twice in one direction", a, b)
			}
			sides[[2]int32{a, b}] = use{int32(i), n[3+k]}
			used[a], used[n[3+k]] = true, true
			if !m.Divided && (int(a) >= m.Corners || int(n[3+k]) < m.Corners) {
				t.Errorf("triangle %d: corner %d or middle %d is on the wrong side of Corners = %d", i, a, n[3+k], m.Corners)
			}
		}
		p, q, r := m.Nodes[n[0]], m.Nodes[n[1]], m.Nodes[n[2]]
		// Far above rounding the cross product decides; rationals do below.
		u, v := q.Sub(p), r.Sub(p)
		if u.Cross(v) < 1e-6*(u.Dot(u)+v.Dot(v)) && ratOrient(p, q, r) <= 0 {
			t.Errorf("triangle %d at %v is turned over", i, p)
		}
		if d := m.determinant(i); !(d > 0) {
			t.Errorf("triangle %d at %v folds: least determinant %g", i, p, d)
		}
	}
	for i, u := range used {
		if !u {
			t.Errorf("node %d is in no triangle", i)
		}
	}
	onMap := map[[2]int32]bool{}
	for _, s := range m.Sides {
		onMap[[2]int32{s.Node[0], s.Node[1]}] = true
		onMap[[2]int32{s.Node[1], s.Node[0]}] = true
	}
	for k, u := range sides {
		o, two := sides[[2]int32{k[1], k[0]}]
		switch {
		case two && o.mid != u.mid:
			t.Errorf("side %v has two middles", k)
		case !two && !onMap[k]:
			t.Errorf("side %v has one triangle and is not on the map", k)
		case two && !onMap[k] && m.Triangles[u.tri].Face != m.Triangles[o.tri].Face:
			t.Errorf("side %v parts two faces and is not on the map", k)
		}
		if a, b, c := m.Nodes[k[0]], m.Nodes[k[1]], m.Nodes[u.mid]; !onMap[k] && c.Dist(a.Add(b).Mul(0.5)) > 1e-9 {
			t.Errorf("side %v is inside a face and bent", k)
		}
	}
}

// verifySides checks that every edge of the map with metal is a chain of sides
// with the right triangles beside them, on the line or arc.
func verifySides(t testing.TB, sub *geom.Subdivision, metal []bool, m *Mesh) {
	t.Helper()
	total := 0
	for e := range sub.Edges {
		k := &sub.Edges[e]
		chain := m.EdgeSides(int32(e))
		total += len(chain)
		if !metal[k.Left] && !metal[k.Right] {
			if len(chain) > 0 {
				t.Errorf("edge %d borders no metal but has %d sides", e, len(chain))
			}
			continue
		}
		if len(chain) == 0 {
			t.Errorf("edge %d has no sides", e)
			continue
		}
		if chain[0].Node[0] != m.Vertices[k.V[0]] || chain[len(chain)-1].Node[1] != m.Vertices[k.V[1]] {
			t.Errorf("edge %d: its sides do not run from end to end", e)
		}
		for i := range chain {
			s := &chain[i]
			if i > 0 && s.Node[0] != chain[i-1].Node[1] {
				t.Errorf("edge %d: side %d does not start where the one before ends", e, i)
			}
			verifySide(t, sub, metal, m, s, i == 0, i == len(chain)-1)
		}
	}
	if total != len(m.Sides) {
		t.Errorf("%d sides on edges, %d listed", total, len(m.Sides))
	}
}

func verifySide(t testing.TB, sub *geom.Subdivision, metal []bool, m *Mesh, s *Side, first, last bool) {
	t.Helper()
	k := &sub.Edges[s.Edge]
	for j, f := range [2]int32{k.Left, k.Right} {
		tri := s.Triangle[j]
		if (tri >= 0) != metal[f] {
			t.Errorf("edge %d: triangle %d beside face %d", s.Edge, tri, f)
			continue
		}
		if tri < 0 {
			continue
		}
		if m.Triangles[tri].Face != f {
			t.Errorf("edge %d: triangle of face %d beside face %d", s.Edge, m.Triangles[tri].Face, f)
		}
		found := false
		for c := range 3 {
			n := &m.Triangles[tri].Node
			a, b := n[(c+1)%3], n[(c+2)%3]
			if j == 1 {
				a, b = b, a
			}
			found = found || a == s.Node[0] && b == s.Node[1] && n[3+c] == s.Node[2]
		}
		if !found {
			t.Errorf("edge %d: triangle %d does not have the side", s.Edge, tri)
		}
	}
	// What lies on an arc does so to rounding; the map's own ends to 2 µm.
	off := func(p geom.Point) float64 {
		if k.Dir != 0 {
			return math.Abs(p.Dist(k.C) - k.R)
		}
		return k.Edge.Dist(p)
	}
	exact := 1e-12 * (1 + k.R + k.A.Len() + k.B.Len() + k.C.Len())
	a, b, mid := m.Nodes[s.Node[0]], m.Nodes[s.Node[1]], m.Nodes[s.Node[2]]
	if !first && off(a) > exact {
		t.Errorf("edge %d: node %v is %g off", s.Edge, a, off(a))
	}
	switch {
	case s.Straight || k.Edge.Length() <= shortArc || k.Dir == 0:
		if d := mid.Dist(a.Add(b).Mul(0.5)); d > exact {
			t.Errorf("edge %d: middle of a straight side is %g off", s.Edge, d)
		}
	default:
		if off(mid) > exact {
			t.Errorf("edge %d: middle %v is %g off the arc", s.Edge, mid, off(mid))
		}
		if d := math.Abs(mid.Dist(a) - mid.Dist(b)); d > 2*mapExact {
			t.Errorf("edge %d: middle is %g nearer to one end", s.Edge, d)
		}
		// The middle is on the arc's side of the chord.
		if rise := b.Sub(a).Unit().Cross(mid.Sub(a)); float64(k.Dir)*rise > 2*mapExact {
			t.Errorf("edge %d: middle is on the wrong side of the chord", s.Edge)
		}
	}
}

// verifyAreas compares the area of every face with that of the map, by elements
// integrated exactly; the allowance is worked out here again from the sides.
func verifyAreas(t testing.TB, sub *geom.Subdivision, metal []bool, m *Mesh) {
	t.Helper()
	got := make([]float64, len(sub.Faces))
	for i := range m.Triangles {
		got[m.Triangles[i].Face] += elementArea(m, i)
	}
	allow := make([]float64, len(sub.Faces))
	for i := range m.Sides {
		s := &m.Sides[i]
		e := &sub.Edges[s.Edge]
		a, b := m.Nodes[s.Node[0]], m.Nodes[s.Node[1]]
		l := a.Dist(b)
		d := 4e-6 * l
		if e.Dir != 0 {
			th := l / e.R // about the sweep: segment area R²(θ−sin θ)/2, the parabola's is right to θ⁴/120 of it
			seg := e.R * e.R * th * th * th / 12 * 1.1
			if s.Straight {
				d += seg
			} else {
				d += seg * th * th * 0.02
			}
		}
		allow[e.Left] += d
		allow[e.Right] += d
	}
	faces := 0
	for f := range sub.Faces {
		if !metal[f] {
			if got[f] != 0 {
				t.Errorf("face %d without metal has %g mm² of elements", f, got[f])
			}
			continue
		}
		faces++
		want := sub.Faces[f].Area()
		if math.Abs(got[f]-want) > allow[f]+1e-9*want {
			t.Errorf("face %d: elements %.9g mm², map %.9g mm², allowed %.3g", f, got[f], want, allow[f])
		}
	}
	if len(m.Quality.Areas) != faces {
		t.Errorf("Quality lists %d areas of %d faces", len(m.Quality.Areas), faces)
	}
}

// elementArea integrates the determinant of the map by the three-point rule,
// which is exact for quadratics.
func elementArea(m *Mesh, i int) float64 {
	sum := 0.0
	for k := range 3 {
		l := [3]float64{1.0 / 6, 1.0 / 6, 1.0 / 6}
		l[k] = 2.0 / 3
		sum += jacobian(m, i, l) / 6
	}
	return sum
}

// jacobian is the determinant of the element's map at barycentric coordinates l,
// by the shape functions of the six-node triangle.
func jacobian(m *Mesh, i int, l [3]float64) float64 {
	var s, t geom.Point // derivatives towards corners 1 and 2
	add := func(node int, d0, d1, d2 float64) {
		p := m.Nodes[m.Triangles[i].Node[node]]
		s = s.Add(p.Mul(d1 - d0))
		t = t.Add(p.Mul(d2 - d0))
	}
	add(0, 4*l[0]-1, 0, 0)
	add(1, 0, 4*l[1]-1, 0)
	add(2, 0, 0, 4*l[2]-1)
	add(3, 0, 4*l[2], 4*l[1])
	add(4, 4*l[2], 0, 4*l[0])
	add(5, 4*l[1], 4*l[0], 0)
	return s.Cross(t)
}

// verifyQuality works the least angle out again and asks for a cause of every
// angle below what was asked.
func verifyQuality(t testing.TB, m *Mesh, o Options) {
	t.Helper()
	want := o.MinAngle
	if want == 0 {
		want = defaultAngle
	}
	q := &m.Quality
	least, sharp := math.Pi, 0
	for i := range m.Triangles {
		n := &m.Triangles[i].Node
		below := false
		for k := range 3 {
			p, a, b := m.Nodes[n[k]], m.Nodes[n[(k+1)%3]], m.Nodes[n[(k+2)%3]]
			u, v := a.Sub(p), b.Sub(p)
			ang := math.Atan2(u.Cross(v), u.Dot(v))
			least = min(least, ang)
			if ang < want-1e-9 {
				below = true
			}
		}
		if below {
			sharp++
		}
	}
	if math.Abs(least-q.MinAngle) > 1e-9 && len(m.Triangles) > 0 {
		t.Errorf("least angle %.6f°, Quality says %.6f°", least/deg, q.MinAngle/deg)
	}
	if sharp > len(q.Sharp) {
		t.Errorf("%d triangles below the angle, %d listed", sharp, len(q.Sharp))
	}
	for _, s := range q.Sharp {
		if s.Cause == NotExplained {
			t.Errorf("triangle %d at %v has %.1f° without a cause", s.Triangle, m.Nodes[m.Triangles[s.Triangle].Node[0]], s.Angle/deg)
		}
	}
	if q.MinFreeAngle < want-1e-9 {
		t.Errorf("least angle where the input allows: %.2f°, want %.2f°", q.MinFreeAngle/deg, want/deg)
	}
}
