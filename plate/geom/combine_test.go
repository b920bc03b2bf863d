package geom

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func disc(x, y, r float64) Shape         { return RegionOf(Circle(Pt(x, y), r)) }
func block(x0, y0, x1, y1 float64) Shape { return RegionOf(Rect(Pt(x0, y0), Pt(x1, y1))) }

// lensArea is the area common to two circles of radii r and s at distance d: the
// two circular segments on their common chord.
func lensArea(r, s, d float64) float64 {
	a := math.Acos((d*d + r*r - s*s) / (2 * d * r))
	b := math.Acos((d*d + s*s - r*r) / (2 * d * s))
	return r*r*(a-math.Sin(a)*math.Cos(a)) + s*s*(b-math.Sin(b)*math.Cos(b))
}

func TestCombineClosedForms(t *testing.T) {
	const pi = math.Pi
	lens := lensArea(10, 7, 12)
	for _, c := range []struct {
		name           string
		a, b           Shape
		and            float64
		orN, orHoles   int // regions and holes of the union
		notN, notHoles int // and of the difference
	}{
		{"lens", disc(0, 0, 10), disc(12, 0, 7), lens, 1, 0, 1, 0},
		{"annulus", disc(3, 4, 10), disc(3, 4, 7), 49 * pi, 1, 0, 1, 1},
		{"thin annulus", disc(3, 4, 10), disc(3, 4, 9.999), 9.999 * 9.999 * pi, 1, 0, 1, 1},
		{"equal", disc(3, 4, 10), disc(3, 4, 10), 100 * pi, 1, 0, 0, 0},
		{"apart", disc(0, 0, 3), disc(9, 0, 3), 0, 2, 0, 1, 0},
		{"touching outside", disc(0, 0, 3), disc(6, 0, 3), 0, 2, 0, 1, 0},
		{"touching inside", disc(0, 0, 3), disc(1, 0, 2), 4 * pi, 1, 0, 1, 1},
		{"touching inside, off the axes", disc(0, 0, 5), disc(1.2, 1.6, 3), 9 * pi, 1, 0, 1, 1},
		{"stadium from parts", block(-5, -3, 5, 3), disc(5, 0, 3), 4.5 * pi, 1, 0, 1, 0},
		{"common side", block(0, 0, 4, 4), block(4, 1, 6, 3), 0, 1, 0, 1, 0},
		{"common corner", block(0, 0, 4, 4), block(4, 4, 6, 6), 0, 2, 0, 1, 0},
		{"bite at a corner", block(0, 0, 4, 4), block(2, 2, 6, 6), 4, 1, 0, 1, 0},
		{"cut in two", block(0, 0, 9, 4), block(4, -1, 5, 5), 4, 1, 0, 2, 0},
		{"hole touching two sides", block(0, 0, 6, 6), disc(3, 3, 3), 9 * pi, 1, 0, 4, 0},
		{"hole touching one side", block(0, 0, 6, 8), disc(3, 3, 3), 9 * pi, 1, 0, 3, 0},
		{"half disc", disc(0, 0, 4), block(0, -9, 9, 9), 8 * pi, 1, 0, 1, 0},
		{"segment", disc(0, 0, 4), block(2, -9, 9, 9), 16*pi/3 - 4*math.Sqrt(3), 1, 0, 1, 0},
		{"nothing", nil, disc(0, 0, 1), 0, 1, 0, 0, 0},
	} {
		areaA, areaB := c.a.Area(), c.b.Area()
		and := must(Intersection(c.a, c.b))
		or := must(Union(c.a, c.b))
		not := must(Difference(c.a, c.b))
		xor := must(Xor(c.a, c.b))
		near(t, c.name+" and", and.Area(), c.and, 1e-12)
		near(t, c.name+" or", or.Area(), areaA+areaB-c.and, 1e-12)
		near(t, c.name+" not", not.Area(), areaA-c.and, 1e-12)
		near(t, c.name+" xor", xor.Area(), areaA+areaB-2*c.and, 1e-12)
		for _, s := range []Shape{and, or, not, xor} {
			if err := s.Check(); err != nil {
				t.Errorf("%s: %v: %v", c.name, err, s)
			}
		}
		if n, h := len(or), countHoles(or); n != c.orN || h != c.orHoles {
			t.Errorf("%s: union has %d regions and %d holes, want %d and %d: %v", c.name, n, h, c.orN, c.orHoles, or)
		}
		if n, h := len(not), countHoles(not); n != c.notN || h != c.notHoles {
			t.Errorf("%s: difference has %d regions and %d holes, want %d and %d: %v", c.name, n, h, c.notN, c.notHoles, not)
		}
	}
}

func countHoles(s Shape) int {
	n := 0
	for _, r := range s {
		n += len(r.Holes)
	}
	return n
}

// TestArcsStayExact looks for the very centre and radius that went in.
func TestArcsStayExact(t *testing.T) {
	s := RegionOf(RoundedRect(Pt(0.1, 0.2), Pt(30.3, 20.7), 6.1))
	for _, b := range []Shape{disc(30.3, 10.77, 4.9), disc(7.13, 9.01, 1.7), block(-5, 19, 40, 25)} {
		s = must(Difference(s, b))
	}
	want := map[[3]float64]bool{{30.3, 10.77, 4.9}: true, {7.13, 9.01, 1.7}: true}
	for _, e := range RoundedRect(Pt(0.1, 0.2), Pt(30.3, 20.7), 6.1) {
		if e.Dir != 0 {
			want[[3]float64{e.C.X, e.C.Y, 6.1}] = true
		}
	}
	seen := map[[3]float64]bool{}
	for _, c := range s.Contours() {
		for _, e := range c {
			if e.Dir == 0 {
				continue
			}
			k := [3]float64{e.C.X, e.C.Y, e.R}
			if !want[k] {
				t.Errorf("arc about %v with radius %.17g, which no input has", e.C, e.R)
			}
			seen[k] = true
		}
	}
	if len(seen) != 6 {
		t.Errorf("%d different arcs are left, want the 4 corners and 2 bores", len(seen))
	}
	if n := len(must(Union(RegionOf(Circle(Pt(3, 3), 2))))[0].Outer); n != 1 {
		t.Errorf("a circle comes back as %d edges", n)
	}
}

// TestPinchedRegions checks what meets in single points: areas stay apart, and
// holes that touch belong to the region around them.
func TestPinchedRegions(t *testing.T) {
	// Four discs in a ring, each touching two others, enclose a star.
	ring := []Shape{disc(5, 0, math.Sqrt(12.5)), disc(0, 5, math.Sqrt(12.5)), disc(-5, 0, math.Sqrt(12.5)), disc(0, -5, math.Sqrt(12.5))}
	u := must(Union(ring...))
	if len(u) != 4 || countHoles(u) != 0 {
		t.Errorf("four touching discs give %d regions and %d holes: %v", len(u), countHoles(u), u)
	}
	d := must(Difference(block(-20, -20, 20, 20), ring...))
	if len(d) != 2 || countHoles(d) != 1 {
		// The star is cut off; around it the four discs make one opening, pinched
		// at four points.
		t.Errorf("a block without them has %d regions and %d holes, want 2 and 1: %v", len(d), countHoles(d), d)
	}
	s := must(Subdivide(ring))
	if len(s.Faces) != 6 {
		t.Errorf("they divide the plane into %d faces, want 6", len(s.Faces))
	}
}

func TestCombineIsOrdered(t *testing.T) {
	var bs []Shape
	for i := range 20 {
		bs = append(bs, disc(float64(7*i%20)*5, float64(11*i%20)*5, 2))
	}
	a := must(Union(bs...))
	for i, j := 0, len(bs)-1; i < j; i, j = i+1, j-1 {
		bs[i], bs[j] = bs[j], bs[i]
	}
	b := must(Union(bs...))
	for i := range a {
		if a[i].Outer.String() != b[i].Outer.String() {
			t.Errorf("region %d depends on the order of the shapes", i)
		}
		if i > 0 && a[i-1].Box().Min.X > a[i].Box().Min.X {
			t.Errorf("regions %d and %d are out of order", i-1, i)
		}
	}
}

func TestCombineRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		s    Shape
		want string
	}{
		{"NaN", RegionOf(Contour{Line(Pt(0, 0), Pt(nan, 1)), Line(Pt(nan, 1), Pt(0, 0))}), "not a number"},
		{"infinity", RegionOf(Polygon(Pt(0, 0), Pt(inf, 0), Pt(0, 1))), "not a number"},
		{"NaN centre", Shape{{Outer: Contour{{A: Pt(1, 0), B: Pt(1, 0), C: Pt(nan, 0), R: 1, Dir: 1}}}}, "not a number"},
		{"NaN in a hole", Shape{{Outer: Circle(Pt(0, 0), 5), Holes: []Contour{{{A: Pt(1, 0), B: Pt(1, 0), R: nan, Dir: -1}}}}}, "hole 0"},
		{"huge", RegionOf(Rect(Pt(0, 0), Pt(1e9, 1))), "beyond"},
		{"huge radius", RegionOf(Contour{{A: Pt(0, 0), B: Pt(1, 0), C: Pt(0, 3e6), R: 3e6, Dir: 1}, Line(Pt(1, 0), Pt(0, 0))}), "radius"},
		{"negative radius", Shape{{Outer: Contour{{A: Pt(1, 0), B: Pt(1, 0), R: -1, Dir: 1}}}}, "radius"},
		{"off the circle", Shape{{Outer: Contour{{A: Pt(1, 0), B: Pt(2, 0), R: 1, Dir: 1}, Line(Pt(2, 0), Pt(1, 0))}}}, "circle"},
		{"open", Shape{{Outer: Contour{Line(Pt(0, 0), Pt(1, 0)), Line(Pt(1, 0), Pt(1, 1)), Line(Pt(1, 1), Pt(0, 0.1))}}}, "before ends"},
	} {
		one := disc(0, 0, 1)
		var e Engine
		for op, f := range map[string]func() error{
			"union":        func() error { _, err := e.Union(one, c.s); return err },
			"difference":   func() error { _, err := e.Difference(one, c.s); return err },
			"intersection": func() error { _, err := e.Intersection(c.s, one); return err },
			"xor":          func() error { _, err := e.Xor(c.s, one); return err },
			"offset":       func() error { _, err := e.Offset(c.s, 1); return err },
			"offsets":      func() error { _, err := e.Offsets(c.s, []float64{1}); return err },
			"open":         func() error { _, err := e.Open(c.s, 1); return err },
			"subdivide":    func() error { _, err := e.Subdivide([]Shape{one, c.s}); return err },
		} {
			err := f()
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s of %s: error %v, want one with %q", op, c.name, err, c.want)
			}
			var ce *ContourError
			if !errors.As(err, &ce) {
				t.Errorf("%s of %s: %T is not a *ContourError", op, c.name, err)
			}
		}
	}
	for _, d := range []float64{nan, inf, -inf, 2e6} {
		if _, err := Offset(disc(0, 0, 1), d); err == nil {
			t.Errorf("Offset by %g gives no error", d)
		}
		if _, err := Offsets(disc(0, 0, 1), []float64{1, d}); err == nil {
			t.Errorf("Offsets by %g gives no error", d)
		}
		if _, err := Open(disc(0, 0, 1), d); err == nil {
			t.Errorf("Open by %g gives no error", d)
		}
	}
	if _, err := Open(disc(0, 0, 1), -1); err == nil {
		t.Errorf("Open by a negative radius gives no error")
	}
}

// TestCombineBoundsWork feeds input whose edges all lie near each other.
func TestCombineBoundsWork(t *testing.T) {
	big := make(Shape, MaxEdges+1)
	c := Circle(Pt(0, 0), 1)
	for i := range big {
		big[i].Outer = c
	}
	if _, err := Union(big); !errors.Is(err, ErrTooLarge) {
		t.Errorf("%d edges: error %v, want ErrTooLarge", len(big), err)
	}
	var s sweep
	for range 1000 {
		s.add(0, 0, 1, 1, 0)
	}
	pairs := 0
	if err := s.run(5000, func(i, j int32) bool { pairs++; return true }); err == nil || pairs > 6000 {
		t.Errorf("a sweep bounded to 5000 pairs visits %d, error %v", pairs, err)
	}
}

func TestEngineReuse(t *testing.T) {
	var e Engine
	a := must(e.Difference(block(0, 0, 10, 10), disc(5, 5, 2)))
	want := a[0].Outer.String() + a[0].Holes[0].String()
	for i := range 10 {
		must(e.Union(disc(float64(i), 0, 3), disc(0, float64(i), 3)))
		must(e.Subdivide([]Shape{disc(float64(i), 0, 3), a}))
		must(e.Open(a, 1))
	}
	if got := a[0].Outer.String() + a[0].Holes[0].String(); got != want {
		t.Errorf("a result changed while its engine was used again:\n%s\n%s", got, want)
	}
	b := must(e.Difference(block(0, 0, 10, 10), disc(5, 5, 2)))
	if got := b[0].Outer.String() + b[0].Holes[0].String(); got != want {
		t.Errorf("a used engine gives another result:\n%s\n%s", got, want)
	}
}
