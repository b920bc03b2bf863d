package mesh

import (
	"context"
	"math"
	"testing"

	"platewright/plate/geom"
)

func TestFirst(t *testing.T) {
	p := geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(200, 120), 12))
	c := geom.RegionOf(geom.Circle(geom.Pt(60, 60), 15))
	c2 := geom.RegionOf(geom.Circle(geom.Pt(100, 60), 24.8))
	s, err := geom.Subdivide([]geom.Shape{p, c, c2})
	if err != nil {
		t.Fatal(err)
	}
	metal := make([]bool, len(s.Faces))
	for i := range metal {
		metal[i] = len(s.Faces[i].Layers) == 1
	}
	m, err := Generate(context.Background(), s, metal, Options{})
	if err != nil {
		t.Fatal(err)
	}
	q := m.Quality
	t.Log(len(m.Triangles), m.Corners, len(m.Sides), q.MinAngle*180/math.Pi, q.MinFreeAngle*180/math.Pi, q.MinDeterminant, q.Straight, len(q.Sharp), q.Areas)
}
