package fea

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestMeshFacts counts elements and measures their angles again from the nodes alone: on a plain plate, and on one whose corner
// of 12° leaves the mesh no choice, which is then named with its place.
func TestMeshFacts(t *testing.T) {
	wedge := rectangle(100, 20, 10)
	wedge.Outline.Corners = []plate.Corner{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 100 * math.Tan(12*math.Pi/180)}}
	for _, c := range []struct {
		name  string
		p     plate.Plate
		cause string
	}{
		{"plain", rectangle(100, 50, 10), ""},
		{"wedge", wedge, "sharp corner of the plate"},
	} {
		m, err := NewModel(t.Context(), derive(t, c.p), Options{})
		if err != nil {
			t.Fatal(err)
		}
		f := m.facts()
		least, below := math.Pi, 0
		var at geom.Point
		for i := range m.Mesh.Triangles {
			n, angle := m.Mesh.Triangles[i].Node, math.Pi
			for k := range 3 {
				p, q, r := m.Mesh.Nodes[n[k]], m.Mesh.Nodes[n[(k+1)%3]], m.Mesh.Nodes[n[(k+2)%3]]
				u, v := q.Sub(p), r.Sub(p)
				angle = min(angle, math.Acos(u.Dot(v)/(u.Len()*v.Len())))
			}
			if angle < 25*math.Pi/180 {
				below++
			}
			if angle < least {
				least = angle
				at = m.Mesh.Nodes[n[0]].Add(m.Mesh.Nodes[n[1]]).Add(m.Mesh.Nodes[n[2]]).Mul(1. / 3)
			}
		}
		if f.Elements != len(m.Mesh.Triangles) || f.Nodes != len(m.Mesh.Nodes) || f.Below != below || math.Abs(f.LeastAngle-least) > 1e-9 || f.At.Dist(at) > 1e-6 {
			t.Errorf("%s: %+v; counted %d elements, %d below 25°, the least %.3g° at %v", c.name, f, len(m.Mesh.Triangles), below, least*180/math.Pi, at)
		}
		if math.Abs(f.AskedAngle-25*math.Pi/180) > 1e-12 || f.Cause != c.cause || f.Near == "" || (f.Below > 0) != (c.cause != "") {
			t.Errorf("%s: %+v, want the cause %q", c.name, f, c.cause)
		}
		if c.cause != "" && (f.LeastAngle > 12.001*math.Pi/180 || f.At.Len() > 20) {
			t.Errorf("%s: least angle %.3g° at %v, not in the corner at 0, 0", c.name, f.LeastAngle*180/math.Pi, f.At)
		}
	}
}
