package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestTwoRoutes shrinks pockets in two ways: by offsetting them, and by taking
// grown ribs and bosses from a shrunk inset.
func TestTwoRoutes(t *testing.T) {
	r := loadRanges(t)
	n := 400
	if long() {
		n = 10_000
	}
	var e Engine
	worst, rough := 0.0, 0
	for k := range n {
		rg := rand.New(rand.NewPCG(r.Seed+1, uint64(k)))
		p := r.plate(rg)
		d := []float64{1, 1.5, 3}[rg.IntN(3)]
		a := must(e.Offset(must(e.Difference(RegionOf(p.inset), shapes(p.metal)...)), -d))
		var grown []Shape
		for _, m := range p.metal {
			// An arced rib may overlap itself.
			grown = append(grown, must(e.Offset(must(e.Union(RegionOf(m))), d)))
		}
		b := must(e.Difference(must(e.Offset(RegionOf(p.inset), -d)), grown...))
		x := must(e.Xor(a, b)).Area()
		worst = max(worst, math.Abs(a.Area()-b.Area()), x)
		// Where an edge passes a corner within a micrometre the two are joined, which
		// shifts one route's edge; that is rare and stays small.
		if x < 1e-4 && math.Abs(a.Area()-b.Area()) < 1e-4 && max(x, math.Abs(a.Area()-b.Area())) > 1e-9 && len(a) == len(b) {
			rough++
			continue
		}
		if x > 1e-9 || math.Abs(a.Area()-b.Area()) > 1e-9 || len(a) != len(b) {
			t.Errorf("seed %d plate %d by %g: %d regions of %.12g mm² by offset, %d of %.12g by grown ribs, differing in %.3g",
				r.Seed+1, k, d, len(a), a.Area(), len(b), b.Area(), x)
		}
	}
	t.Logf("%d plates, worst difference %.2g mm², %d above 1e-9", n, worst, rough)
	if rough > n/1000 {
		t.Errorf("%d of %d plates differ by more than 1e-9 mm², want at most one in a thousand", rough, n)
	}
}
