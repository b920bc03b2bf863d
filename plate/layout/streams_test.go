package layout

import (
	"math"
	"testing"

	"platewright/plate/geom"
)

// Traced points become arcs that leave none of them and meet in one direction; a
// corner of the points stays one.
func TestTracesAreSmooth(t *testing.T) {
	wave := func(n int) (pts []geom.Point) {
		for i := range n {
			x := 0.8 * float64(i)
			pts = append(pts, geom.Pt(x, 9*math.Sin(x/13)+4*math.Sin(x/29)))
		}
		return pts
	}
	circle := func() (pts []geom.Point) {
		for i := range 100 {
			s, c := math.Sincos(2 * math.Pi * float64(i) / 99)
			pts = append(pts, geom.Pt(20*c, 20*s))
		}
		return pts
	}
	var straight []geom.Point
	for i := range 40 {
		straight = append(straight, geom.Pt(float64(i), 0.3*float64(i)))
	}
	bent := append(wave(60), geom.Pt(47, 40), geom.Pt(46, 60), geom.Pt(45, 80))
	for _, c := range []struct {
		name    string
		pts     []geom.Point
		corners int
		most    int // edges
	}{
		{"wave", wave(200), 0, 60},
		{"circle", circle(), 0, 12},
		{"straight", straight, 0, 2},
		{"with a corner", bent, 1, 60},
		{"two points", straight[:2], 0, 2},
		{"three points", wave(3), 0, 4},
	} {
		edges := fitArcs(c.pts, traceFit)
		if len(edges) == 0 || len(edges) > c.most {
			t.Errorf("%s: %d edges, want 1 to %d", c.name, len(edges), c.most)
			continue
		}
		if a, b := edges[0].A, edges[len(edges)-1].B; a.Dist(c.pts[0]) > 1e-9 || b.Dist(c.pts[len(c.pts)-1]) > 1e-9 {
			t.Errorf("%s: from %v to %v, want the first and the last point", c.name, a, b)
		}
		if !alongAll(edges, c.pts, traceFit) {
			t.Errorf("%s: a point lies more than %g mm off", c.name, traceFit)
		}
		corners := 0
		for i := 1; i < len(edges); i++ {
			if gap := edges[i].A.Dist(edges[i-1].B); gap > 1e-9 {
				t.Errorf("%s: a gap of %g before edge %d", c.name, gap, i)
			}
			u, v := edges[i-1].TangentB(), edges[i].TangentA()
			switch bend := math.Abs(math.Atan2(u.Cross(v), u.Dot(v))); {
			case bend > sharpTrace/2:
				corners++
			case bend > 1e-8:
				t.Errorf("%s: a bend of %g rad before edge %d", c.name, bend, i)
			}
		}
		if corners != c.corners {
			t.Errorf("%s: %d corners, want %d", c.name, corners, c.corners)
		}
	}
}
