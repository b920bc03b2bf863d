package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestCrossings(t *testing.T) {
	ring := must(Difference(disc(0, 0, 10), disc(0, 0, 4)))
	for _, c := range []struct {
		name string
		s    Shape
		a, b Point
		want [][2]float64
	}{
		{"rectangle", block(0, 0, 10, 5), Pt(-2, 2), Pt(20, 2), [][2]float64{{2, 12}}},
		{"from inside", block(0, 0, 10, 5), Pt(3, 2), Pt(20, 2), [][2]float64{{0, 7}}},
		{"to inside", block(0, 0, 10, 5), Pt(-3, 2), Pt(2, 2), [][2]float64{{3, 5}}},
		{"all inside", block(0, 0, 10, 5), Pt(3, 2), Pt(7, 2), [][2]float64{{0, 4}}},
		{"outside", block(0, 0, 10, 5), Pt(-3, 7), Pt(20, 7), nil},
		{"beyond its end", block(0, 0, 10, 5), Pt(-9, 2), Pt(-3, 2), nil},
		{"along the lower side", block(0, 0, 10, 5), Pt(-2, 0), Pt(20, 0), nil},
		{"along the upper side", block(0, 0, 10, 5), Pt(-2, 5), Pt(20, 5), nil},
		{"along the lower side, backwards", block(0, 0, 10, 5), Pt(20, 0), Pt(-2, 0), nil},
		{"through corners", RegionOf(Polygon(Pt(0, 0), Pt(5, -5), Pt(10, 0), Pt(5, 5))), Pt(-1, 0), Pt(11, 0), [][2]float64{{1, 11}}},
		{"touching a corner", RegionOf(Polygon(Pt(0, 0), Pt(5, -5), Pt(10, 0), Pt(5, 5))), Pt(-1, 5), Pt(11, 5), nil},
		{"ring", ring, Pt(-20, 0), Pt(20, 0), [][2]float64{{10, 16}, {24, 30}}},
		{"ring, touching the hole", ring, Pt(-20, 4), Pt(20, 4), [][2]float64{{20 - math.Sqrt(84), 20 + math.Sqrt(84)}}},
		{"ring, upwards", ring, Pt(0, -20), Pt(0, 20), [][2]float64{{10, 16}, {24, 30}}},
		{"tangent", disc(0, 0, 10), Pt(-20, 10), Pt(20, 10), nil},
		{"along a common side", Shape{block(0, 0, 5, 5)[0], block(5, 0, 9, 5)[0]}, Pt(5, -1), Pt(5, 9), [][2]float64{{1, 6}}},
		{"no length", block(0, 0, 10, 5), Pt(2, 2), Pt(2, 2), nil},
		{"not a number", block(0, 0, 10, 5), Pt(2, math.NaN()), Pt(2, 2), nil},
		{"nothing", nil, Pt(0, 0), Pt(2, 2), nil},
	} {
		got := c.s.Crossings(c.a, c.b)
		ok := len(got) == len(c.want)
		for i := 0; ok && i < len(got); i++ {
			ok = math.Abs(got[i][0]-c.want[i][0]) < 1e-12 && math.Abs(got[i][1]-c.want[i][1]) < 1e-12
		}
		if !ok {
			t.Errorf("%s: Crossings = %v, want %v", c.name, got, c.want)
		}
	}
}

// TestCrossingsAgainstContains walks along random lines, many of them through
// corners, and compares with Contains.
func TestCrossingsAgainstContains(t *testing.T) {
	rg := rand.New(rand.NewPCG(11, 1))
	var e Engine
	for k := range 200 {
		s := must(e.Union(latticeShapes(rg, 5)...))
		a, b := Pt(float64(rg.IntN(13)*5-10), float64(rg.IntN(13)*5-10)), Pt(float64(rg.IntN(13)*5-10), float64(rg.IntN(13)*5-10))
		if k%2 == 0 {
			b = Pt(rg.Float64()*60-10, rg.Float64()*60-10)
		}
		l := a.Dist(b)
		if l == 0 {
			continue
		}
		spans := s.Crossings(a, b)
		last := 0.0
		for _, x := range spans {
			if x[0] < last || x[1] <= x[0] || x[1] > l {
				t.Fatalf("scene %d: spans %v of a line of %g", k, spans, l)
			}
			last = x[1]
		}
		for range 300 {
			d := rg.Float64() * l
			p := a.lerp(b, d/l)
			near, in := false, false
			for _, c := range s.Contours() {
				for _, x := range c {
					near = near || x.Dist(p) < 1e-5
				}
			}
			for _, x := range spans {
				in = in || d > x[0] && d < x[1]
			}
			if !near && in != s.Contains(p) {
				t.Fatalf("scene %d: at %g of %v–%v Crossings %v say %v, Contains %v", k, d, a, b, spans, in, s.Contains(p))
			}
		}
	}
}
