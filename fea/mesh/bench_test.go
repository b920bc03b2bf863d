package mesh

import (
	"math"
	"testing"

	"platewright/plate/geom"
)

// isogridMap is a plate of 600 × 400 mm with an isogrid of ribs, bores with
// bosses and a row of holes: the shape of plate that speed is measured on.
func isogridMap(t testing.TB, pitch float64) (*geom.Subdivision, []bool) {
	t.Helper()
	outer := geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(600, 400), 40))
	inner := geom.RegionOf(geom.RoundedRect(geom.Pt(12, 12), geom.Pt(588, 388), 28))
	var ribs, holes []geom.Shape
	row := pitch * math.Sqrt(3) / 2
	node := func(i, j int) geom.Point { return geom.Pt((float64(i)+float64(j)/2)*pitch, float64(j)*row) }
	for j := 0; float64(j)*row < 400; j++ {
		for i := -j; float64(i)*pitch < 600; i++ {
			for _, d := range [3][2]int{{1, 0}, {0, 1}, {-1, 1}} {
				a, b := node(i, j), node(i+d[0], j+d[1])
				if max(a.X, b.X) > 0 && min(a.X, b.X) < 600 {
					ribs = append(ribs, geom.RegionOf(geom.Capsule(a, b, 2)))
				}
			}
		}
	}
	for _, c := range [][3]float64{{70, 70, 21}, {530, 70, 21}, {530, 330, 17}, {70, 330, 17}, {300, 200, 31}, {300, 80, 12}} {
		holes = append(holes, geom.RegionOf(geom.Circle(geom.Pt(c[0], c[1]), c[2])))
		ribs = append(ribs, geom.RegionOf(geom.Circle(geom.Pt(c[0], c[1]), c[2]+8)))
	}
	cells, err := geom.Difference(inner, ribs...)
	if err != nil {
		t.Fatal(err)
	}
	if cells, err = geom.Open(cells, 4); err != nil {
		t.Fatal(err)
	}
	sub, err := geom.Subdivide(append([]geom.Shape{outer, cells}, holes...))
	if err != nil {
		t.Fatal(err)
	}
	metal := make([]bool, len(sub.Faces))
	for f := range metal {
		l := sub.Faces[f].Layers
		metal[f] = len(l) > 0 && l[len(l)-1] < 2
	}
	return sub, metal
}

// BenchmarkGenerate is the whole of Generate by number of triangles; the growth
// shows in the time a triangle.
func BenchmarkGenerate(b *testing.B) {
	for _, c := range []struct {
		name  string
		pitch float64
		o     Options
	}{
		{"5k", 160, Options{Size: 20, Across: 1, ArcEdges: 8}},
		{"20k", 69, Options{Size: 20, Across: 1, ArcEdges: 8}},
		{"80k", 52, Options{Size: 8, ArcEdges: 12}},
		{"300k", 52, Options{Size: 1.3}},
	} {
		b.Run(c.name, func(b *testing.B) {
			sub, metal := isogridMap(b, c.pitch)
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				m, err := Generate(b.Context(), sub, metal, c.o)
				if err != nil {
					b.Fatal(err)
				}
				n = len(m.Triangles)
			}
			b.ReportMetric(float64(n), "triangles")
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/triangle")
		})
	}
}

// TestWorkGrowsLinearly counts what the mesher does, not how long it takes:
// steps of walks, cavities and flips a triangle stay below a fixed number while
// the mesh grows a hundredfold.
func TestWorkGrowsLinearly(t *testing.T) {
	sub, metal := isogridMap(t, 80)
	for _, size := range []float64{20, 5, 2} {
		b, err := newBuilder(t.Context(), sub, metal, Options{Size: size})
		if err != nil {
			t.Fatal(err)
		}
		m, err := b.run()
		if err != nil {
			t.Fatal(err)
		}
		if per := float64(b.steps) / float64(len(m.Triangles)); per > 6 {
			t.Errorf("Size %g: %d triangles took %.1f steps each, want at most 6", size, len(m.Triangles), per)
		}
	}
}
