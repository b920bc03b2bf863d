package geom

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// genShape draws a shape of one to four discs, strips, capsules and rectangles,
// on a lattice, near it, or anywhere.
func genShape(t *rapid.T, label string) Shape {
	coord := func() float64 {
		v := float64(rapid.IntRange(0, 12).Draw(t, label+" coordinate")) * 4
		switch rapid.IntRange(0, 3).Draw(t, label+" place") {
		case 0:
			v += rapid.Float64Range(-2, 2).Draw(t, label+" free")
		case 1:
			v += math.Pow(10, rapid.Float64Range(-8, -3).Draw(t, label+" near"))
		}
		return v
	}
	size := func() float64 { return []float64{1, 2, 4, 6, 8}[rapid.IntRange(0, 4).Draw(t, label+" size")] }
	var ss []Shape
	for i := range rapid.IntRange(1, 4).Draw(t, label+" parts") {
		a, b := Pt(coord(), coord()), Pt(coord(), coord())
		if a.Dist(b) < 0.1 {
			b.X += 3
		}
		var c Contour
		switch rapid.IntRange(0, 4).Draw(t, fmt.Sprintf("%s kind %d", label, i)) {
		case 0:
			c = Circle(a, size())
		case 1:
			c = Capsule(a, b, size()/2)
		case 2:
			c = Strip(a, b, size()/2)
		case 3:
			c = RoundedRect(a, a.Add(Pt(4+size(), 4+size())), size()/2)
		default:
			e, err := ArcThrough(a, a.lerp(b, 0.5).Add(b.Sub(a).Perp().Mul(0.3)), b)
			if err != nil {
				t.Fatal(err)
			}
			c = Stroke(e, size()/2)
		}
		ss = append(ss, RegionOf(c))
	}
	s, err := Union(ss...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// areaTol is what merging vertices may change: a strip of a few merge distances
// along all edges.
func areaTol(s ...Shape) float64 {
	l := 1.0
	for _, x := range s {
		l += x.Length()
	}
	return 4 * mergeDist * l
}

func TestPropertyAreas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := genShape(t, "a"), genShape(t, "b")
		var e Engine
		sound := func(s Shape, err error) Shape {
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Check(); err != nil {
				t.Fatalf("%v: %v", err, s)
			}
			return s
		}
		or, and := sound(e.Union(a, b)), sound(e.Intersection(a, b))
		not, xor := sound(e.Difference(a, b)), sound(e.Xor(a, b))
		tol := areaTol(a, b)
		equal := func(what string, x, y float64) {
			if math.Abs(x-y) > tol {
				t.Fatalf("%s: %.12g and %.12g differ by %g, at most %g", what, x, y, x-y, tol)
			}
		}
		equal("|A|+|B| = |A∪B|+|A∩B|", a.Area()+b.Area(), or.Area()+and.Area())
		equal("|A| = |A\\B|+|A∩B|", a.Area(), not.Area()+and.Area())
		equal("|A∪B| = |A⊕B|+|A∩B|", or.Area(), xor.Area()+and.Area())
		equal("A∪B = B∪A", or.Area(), sound(e.Union(b, a)).Area())
		equal("(A\\B)∪(A∩B) = A", a.Area(), sound(e.Union(not, and)).Area())
		equal("(A∪B)\\B = A\\B", not.Area(), sound(e.Difference(or, b)).Area())
		equal("A∪A = A", a.Area(), sound(e.Union(a, a)).Area())
		equal("A⊕A = nothing", 0, sound(e.Xor(a, a)).Area())
		equal("A∩A = A", a.Area(), sound(e.Intersection(a, a)).Area())
		m := or.Moments().Add(and.Moments()).Sub(a.Moments()).Sub(b.Moments())
		if math.Abs(m.Sx) > 100*tol || math.Abs(m.Syy) > 1e4*tol {
			t.Fatalf("moments do not add up: %+v", m)
		}
	})
}

// TestPropertyMotion moves, turns, mirrors and scales: areas follow.
func TestPropertyMotion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := genShape(t, "a"), genShape(t, "b")
		f := Rotation(rapid.Float64Range(0, 7).Draw(t, "turn")).
			Then(Translation(Pt(rapid.Float64Range(-500, 500).Draw(t, "x"), rapid.Float64Range(-500, 500).Draw(t, "y"))))
		if rapid.Bool().Draw(t, "mirror") {
			f = f.Then(MirrorX())
		}
		k := rapid.Float64Range(0.5, 3).Draw(t, "scale")
		f = f.Then(scaling(k))
		var e Engine
		s := must(e.Difference(a, b))
		m := must(e.Difference(a.Transform(f), b.Transform(f)))
		if d := m.Area() - s.Area()*k*k; math.Abs(d) > 10*areaTol(a, b) {
			t.Fatalf("difference: moved area is off by %g", d)
		}
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		if n := must(e.Xor(m, s.Transform(f))).Area(); n > 10*areaTol(a, b) {
			t.Fatalf("moved difference differs from the difference moved in %g mm²", n)
		}
	})
}

// TestPropertyOpening: an opening lies inside, opening again changes nothing,
// growing and shrinking covers the shape, and offsets add up.
func TestPropertyOpening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := genShape(t, "a")
		r := rapid.Float64Range(0.3, 5).Draw(t, "radius")
		var e Engine
		tol := areaTol(a, must(e.Offset(a, r)))
		open := must(e.Open(a, r))
		if d := must(e.Difference(open, a)).Area(); d > tol {
			t.Fatalf("opening by %g reaches %g mm² outside", r, d)
		}
		if err := open.Check(); err != nil {
			t.Fatal(err)
		}
		closed := must(e.Offset(must(e.Offset(a, r)), -r))
		if d := must(e.Difference(a, closed)).Area(); d > tol {
			t.Fatalf("growing and shrinking by %g leaves out %g mm²", r, d)
		}
		in := must(e.Offset(a, -r))
		if d := must(e.Difference(in, a)).Area(); d > tol {
			t.Fatalf("shrunk by %g, %g mm² are outside", r, d)
		}
		for _, region := range open {
			for _, c := range region.Contours() {
				if l := c.LeastInsideRadius(); l < r-1e-5 && l > 0 {
					t.Fatalf("opened by %g, an inside corner has radius %g", r, l)
				}
			}
		}
		// Twice a half is the whole: growing by round joins is additive.
		half := must(e.Offset(must(e.Offset(a, r/2)), r/2))
		if d := must(e.Xor(half, must(e.Offset(a, r)))).Area(); d > tol {
			t.Fatalf("grown by %g in two steps differs in %g mm²", r, d)
		}
		for _, c := range in.Contours() {
			for _, x := range c {
				p := x.Mid()
				d := math.Inf(1)
				for _, o := range a.Contours() {
					for _, y := range o {
						d = min(d, y.Dist(p))
					}
				}
				if math.Abs(d-r) > 1e-5 {
					t.Fatalf("shrunk by %g, the boundary is %g from the old one at %v", r, d, p)
				}
			}
		}
	})
}
