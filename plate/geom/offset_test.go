package geom

import (
	"math"
	"testing"
)

func TestOffsetClosedForms(t *testing.T) {
	const pi = math.Pi
	ell := RegionOf(Polygon(Pt(0, 0), Pt(20, 0), Pt(20, 10), Pt(10, 10), Pt(10, 20), Pt(0, 20)))
	ring := must(Difference(disc(0, 0, 10), disc(0, 0, 4)))
	slot := RegionOf(Capsule(Pt(0, 0), Pt(30, 0), 5))
	hole := must(Difference(block(0, 0, 40, 20), block(10, 8, 30, 12)))
	for _, c := range []struct {
		name string
		s    Shape
		d    float64
		area float64
		n    int
	}{
		{"rectangle out", block(0, 0, 30, 20), 3, 600 + 2*50*3 + 9*pi, 1},
		{"rectangle in", block(0, 0, 30, 20), -3, 24 * 14, 1},
		{"rectangle gone", block(0, 0, 30, 20), -10, 0, 0},
		{"rectangle gone by much", block(0, 0, 30, 20), -100, 0, 0},
		{"L out", ell, 2, 300 + 2*80 - 2*2 + 5*pi, 1}, // perimeter 80, five round corners, 2² counted twice in the sixth
		{"L in", ell, -2, 16*6 + 6*10 + 4 - pi, 1},    // the inner corner keeps 2 from everything, so it is round
		{"disc out", disc(1, 2, 5), 3, 64 * pi, 1},
		{"disc in", disc(1, 2, 5), -3, 4 * pi, 1},
		{"disc to nothing", disc(1, 2, 5), -5, 0, 0},
		{"disc past nothing", disc(1, 2, 5), -7, 0, 0},
		{"ring out", ring, 1, pi * (121 - 9), 1},
		{"ring closes its hole", ring, 4, pi * 196, 1},
		{"ring past its hole", ring, 6, pi * 256, 1},
		{"ring in", ring, -1, pi * (81 - 25), 1},
		{"ring to nothing", ring, -3, 0, 0},
		{"slot out", slot, 2, 30*14 + 49*pi, 1},
		{"slot in", slot, -4, 30*2 + pi, 1},
		{"slot to its axis", slot, -5, 0, 0},
		{"hole shrinks", hole, 1, 800 + 120 + pi - 18*2, 1},
		{"hole closes", hole, 2, 800 + 240 + 4*pi, 1},
		{"nothing", nil, 3, 0, 0},
		{"no distance", ell, 0, 300, 1},
	} {
		s := must(Offset(c.s, c.d))
		near(t, c.name, s.Area(), c.area, 1e-12)
		if len(s) != c.n {
			t.Errorf("%s: %d regions, want %d: %v", c.name, len(s), c.n, s)
		}
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestOffsetRadii checks that every radius of an offset is exact.
func TestOffsetRadii(t *testing.T) {
	s := must(Offset(RegionOf(RoundedRect(Pt(0, 0), Pt(40, 30), 6)), -2.5))
	for _, e := range s[0].Outer {
		if e.Dir != 0 && e.R != 3.5 {
			t.Errorf("radius %.17g after 6 - 2.5, want 3.5", e.R)
		}
	}
	s = must(Open(RegionOf(Polygon(Pt(0, 0), Pt(50, 3), Pt(31, 41))), 4.2))
	arcs := 0
	for _, e := range s[0].Outer {
		if e.Dir != 0 {
			arcs++
			if e.R != 4.2 {
				t.Errorf("inside corner radius %.17g, want 4.2", e.R)
			}
		}
	}
	if arcs != 3 {
		t.Errorf("%d corners, want 3", arcs)
	}
}

func TestOpenClosedForms(t *testing.T) {
	const pi = math.Pi
	// Each sharp corner of interior angle a loses r²(cot(a/2) - (π-a)/2).
	lost := func(r, a float64) float64 { return r * r * (1/math.Tan(a/2) - (pi-a)/2) }
	tri := Polygon(Pt(0, 0), Pt(60, 0), Pt(30, 30*math.Sqrt(3)))
	dumbbell := must(Union(disc(-20, 0, 10), disc(20, 0, 10), block(-20, -2, 20, 2)))
	for _, c := range []struct {
		name string
		s    Shape
		r    float64
		area float64
		n    int
	}{
		{"rectangle", block(0, 0, 30, 20), 3, 600 - (4-pi)*9, 1},
		{"triangle", RegionOf(tri), 3, tri.Area() - 3*lost(3, pi/3), 1},
		{"disc of the cutter's size", disc(0, 0, 5), 4.999, 25 * pi, 1},
		{"too small", disc(0, 0, 5), 5.001, 0, 0},
		{"as it is", RegionOf(RoundedRect(Pt(0, 0), Pt(30, 20), 3)), 3, 600 - (4-pi)*9, 1},
		{"by nothing", block(0, 0, 30, 20), 0, 600, 1},
	} {
		s := must(Open(c.s, c.r))
		near(t, c.name, s.Area(), c.area, 1e-12)
		if len(s) != c.n {
			t.Errorf("%s: %d regions, want %d: %v", c.name, len(s), c.n, s)
		}
	}
	// A neck too narrow for the cutter parts two discs; the cutter enters its mouth
	// up to where it touches both corners.
	if s := must(Open(dumbbell, 2.5)); len(s) != 2 || s.Area() < 200*pi || s.Area() > 200*pi+2*4*2.5 {
		t.Errorf("dumbbell is opened to %d regions of %g", len(s), s.Area())
	}
	// A slot as wide as the cutter: gone for its radius, there for 2e-6 mm less.
	slot := block(0, 0, 30, 6)
	if s := must(Open(slot, 3)); len(s) != 0 {
		t.Errorf("slot of the cutter's width is opened to %v", s)
	}
	if s := must(Open(slot, 3-2e-6)); len(s) != 1 {
		t.Errorf("slot of the cutter's width less 2e-6 mm gives %d regions, want 1", len(s))
	}
}

func TestOffsetsAreOffsets(t *testing.T) {
	s := must(Difference(block(0, 0, 60, 40), disc(20, 20, 8), disc(45, 15, 5)))
	d := []float64{-1, 3, -4, 0, -9, -100}
	all := must(Offsets(s, d))
	for i, x := range d {
		one := must(Offset(s, x))
		if len(all[i]) != len(one) || all[i].Area() != one.Area() {
			t.Errorf("Offsets by %g gives %d regions of %g, Offset %d of %g", x, len(all[i]), all[i].Area(), len(one), one.Area())
		}
	}
}

// TestCuspOffset is a region with two cusps, between a line and circles tangent
// to it. Rounding turned one of them inside out, and the offset lost half a disc.
func TestCuspOffset(t *testing.T) {
	s := must(Difference(block(0, 0, 10, 5), disc(0, 5, 5), disc(10, 5, 5)))
	want := must(Offset(s, 2.5)).Area()
	for a := 0.1; a < 6; a += 0.37 {
		f := Rotation(a).Then(Translation(Pt(317, -41)))
		if got := must(Offset(s.Transform(f), 2.5)).Area(); math.Abs(got-want) > 1e-5 {
			t.Errorf("turned by %g: area %g, want %g", a, got, want)
		}
	}
}
