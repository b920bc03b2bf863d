package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// jitteredGrid is a grid of ribs, each drawn node to node with its own error of up
// to size: what a drawing file rounded to some decimals holds. plain is the same
// without errors.
type jitteredGrid struct {
	ribs, plain []Shape
	size        float64
	slits       bool // ends miss each other by more than the merge distance
}

func newJitteredGrid(rg *rand.Rand) jitteredGrid {
	const n, pitch, half = 4, 20.0, 1.5
	g := jitteredGrid{size: math.Pow(10, -7.5+3*rg.Float64())}
	off := func() float64 { return (rg.Float64() - 0.5) * 2 * g.size }
	near := func(p Point) Point { return Pt(p.X+off(), p.Y+off()) }
	iso, kind, twice := rg.IntN(2) == 0, rg.IntN(3), rg.IntN(2) == 0
	g.slits = kind == 2 && 4*g.size > mergeDist
	node := func(i, k int) Point {
		if iso {
			return Pt(float64(i)*pitch+float64(k)*pitch/2, float64(k)*pitch*math.Sqrt(3)/2)
		}
		return Pt(float64(i)*pitch, float64(k)*pitch)
	}
	add := func(a, b Point) {
		var c, p Contour
		switch p = Capsule(a, b, half); kind {
		case 0:
			c = Capsule(near(a), near(b), half)
		case 1:
			c = Capsule(near(a), near(b), half+off())
		default:
			c, p = Strip(near(a), near(b), half), Strip(a, b, half)
		}
		g.ribs, g.plain = append(g.ribs, RegionOf(c)), append(g.plain, RegionOf(p))
	}
	for i := range n {
		for k := range n {
			add(node(i, k), node(i+1, k))
			add(node(i, k), node(i, k+1))
			if iso {
				add(node(i, k), node(i-1, k+1))
			}
			if twice { // a longer rib along two others
				add(node(i, k), node(i+2, k))
			}
		}
	}
	return g
}

// TestJitteredGrid: pockets and metal of grids whose ribs miss each other by 3e-8
// to 3e-5 mm are sound, as are their offsets, whose areas are those of the exact
// grid. Square ends that miss each other by more than the merge distance leave
// slits, though, which are taken as they are and grow with an offset; their
// areas are not compared. Of the faces, slivers about as thin as the merge
// distance may touch themselves; they are counted.
func TestJitteredGrid(t *testing.T) {
	n := 16
	if long() {
		n = 1000
	}
	box := RegionOf(Rect(Pt(-5, -5), Pt(130, 90)))
	var e Engine
	faces, unsound := 0, 0
	for seed := range uint64(n) {
		g := newJitteredGrid(rand.New(rand.NewPCG(seed, 5)))
		d, err := e.Subdivide(append([]Shape{box}, g.ribs...))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for i, f := range d.Faces[1:] {
			faces++
			if err := f.Region.Check(); err != nil {
				unsound++
				t.Logf("seed %d, off by %.2g, face %d of %.3g mm²: %v", seed, g.size, i+1, f.Area(), err)
			}
		}
		pockets, metal := gridParts(t, &e, box, g.ribs)
		exactPockets, exactMetal := gridParts(t, &e, box, g.plain)
		for _, k := range [2][2]Shape{{pockets, exactPockets}, {metal, exactMetal}} {
			if err := k[0].Check(); err != nil {
				t.Errorf("seed %d, off by %.2g: %v", seed, g.size, err)
			}
			for _, by := range []float64{0, 2, -0.5, -2, 0.7} {
				o, err := e.Offset(k[0], by)
				if err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
				if err := o.Check(); err != nil {
					t.Errorf("seed %d, off by %.2g, offset by %g: %v", seed, g.size, by, err)
				}
				want := must(e.Offset(k[1], by))
				if d := math.Abs(want.Area() - o.Area()); d > 4*(g.size+mergeDist)*want.Length() && !g.slits {
					t.Errorf("seed %d, off by %.2g, offset by %g: area off by %.3g mm²", seed, g.size, by, d)
				}
			}
		}
	}
	t.Logf("%d faces, %d of them unsound, %d retries", faces, unsound, e.retries)
	if unsound > max(1, faces/50_000) {
		t.Errorf("%d of %d faces are unsound, want at most one in 50,000", unsound, faces)
	}
}

func gridParts(t *testing.T, e *Engine, box Shape, ribs []Shape) (pockets, metal Shape) {
	t.Helper()
	pockets, err := e.Difference(box, ribs...)
	if err != nil {
		t.Fatal(err)
	}
	all, err := e.Union(ribs...)
	if err != nil {
		t.Fatal(err)
	}
	if metal, err = e.Intersection(all, box); err != nil {
		t.Fatal(err)
	}
	return pockets, metal
}
