package geom

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Max(1, math.Abs(want)) || math.IsNaN(got) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

func TestQuick(t *testing.T) {
	a := RegionOf(RoundedRect(Pt(0, 0), Pt(30, 20), 3))
	b := RegionOf(Circle(Pt(30, 10), 5))
	c := RegionOf(Circle(Pt(10, 10), 4))
	d, err := Difference(a, b, c)
	t.Log(d, err, d.Area(), d.Check())
	near(t, "area", d.Area(), 600-(4-math.Pi)*9-math.Pi*12.5-math.Pi*16, 1e-12)
	o, err := Offset(d, 2)
	t.Log(o, err, o.Check())
	o, err = Open(d, 2)
	t.Log(o, err, o.Check())
	s, err := Subdivide([]Shape{a, b, c})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range s.Faces {
		t.Log(i, f.Layers, f.Area(), f.Outer, f.Holes)
	}
	m, from, err := s.Merge(func(f int) int {
		if f == 0 {
			return 0
		}
		return 1
	})
	t.Log(len(m.Faces), from, err, m.Faces[1].Area(), m.Faces[1].Outer)
	t.Log(d.Crossings(Pt(-5, 10), Pt(50, 10)))
	t.Log(Gaps(d.Contours(), 100))
	ic, ir := InscribedCircle(d[0])
	t.Log(ic, ir)
	t.Log(SelfGap(d[0].Outer, 50))
	p, err := Path([]Corner{{P: Pt(0, 0), Radius: 2}, {P: Pt(20, 0), Radius: 3, Through: &Point{25, 5}}, {P: Pt(20, 10), Radius: 1}, {P: Pt(0, 10)}})
	t.Log(p, err, p.Check())
	u, err := Union(RegionOf(p), RegionOf(Stroke(p[1], 1)), RegionOf(Stroke(p[2], 1)))
	t.Log(u, err)
}
