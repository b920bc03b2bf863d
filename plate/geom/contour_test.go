package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func parse(t testing.TB, s string) Contour {
	t.Helper()
	c, err := ParseContour(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestBuilders(t *testing.T) {
	const pi = math.Pi
	for _, c := range []struct {
		name   string
		c      Contour
		area   float64
		length float64
		edges  int
	}{
		{"circle", Circle(Pt(1, 2), 3), 9 * pi, 6 * pi, 1},
		{"rect", Rect(Pt(1, 2), Pt(4, 7)), 15, 16, 4},
		{"rounded", RoundedRect(Pt(0, 0), Pt(10, 6), 2), 60 - (4-pi)*4, 16 + 4*pi, 8},
		{"rounded to a stadium", RoundedRect(Pt(0, 0), Pt(10, 6), 9), 24 + 9*pi, 8 + 6*pi, 6},
		{"rounded to a circle", RoundedRect(Pt(0, 0), Pt(6, 6), 3), 9 * pi, 6 * pi, 4},
		{"not rounded", RoundedRect(Pt(0, 0), Pt(6, 6), -1), 36, 24, 4},
		{"capsule", Capsule(Pt(0, 0), Pt(3, 4), 2), 20 + 4*pi, 10 + 4*pi, 4},
		{"capsule of no length", Capsule(Pt(1, 1), Pt(1, 1), 2), 4 * pi, 4 * pi, 1},
		{"strip", Strip(Pt(0, 0), Pt(3, 4), 2), 20, 18, 4},
		{"strip of no length", Strip(Pt(1, 1), Pt(1, 1), 2), 0, 0, 0},
		{"polygon with a double point", Polygon(Pt(0, 0), Pt(2, 0), Pt(2, 0), Pt(0, 2)), 2, 4 + 2*math.Sqrt2, 3},
	} {
		near(t, c.name+" area", c.c.Area(), c.area, 1e-14)
		near(t, c.name+" length", c.c.Length(), c.length, 1e-14)
		if len(c.c) != c.edges {
			t.Errorf("%s has %d edges, want %d: %v", c.name, len(c.c), c.edges, c.c)
		}
		if len(c.c) > 0 {
			if err := c.c.Check(); err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
		}
	}
}

func TestStroke(t *testing.T) {
	const pi = math.Pi
	quarter := Arc(Pt(10, 0), Pt(0, 10), Pt(0, 0), 1)
	for _, c := range []struct {
		name string
		e    Edge
		h    float64
		area float64
	}{
		{"line", Line(Pt(0, 0), Pt(3, 4)), 1, 10 + pi},
		{"arc", quarter, 2, 4*5*pi + 4*pi}, // Pappus, and the two ends
		{"clockwise arc", quarter.Reverse(), 2, 4*5*pi + 4*pi},
		{"full circle", Circle(Pt(3, 3), 10)[0], 2, pi * (144 - 64)},
		{"full circle, no hole", Circle(Pt(3, 3), 10)[0], 11, pi * 441},
	} {
		u, err := Union(RegionOf(Stroke(c.e, c.h)))
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, u.Area(), c.area, 1e-12)
	}
	// A strip wider than its arc's radius is the union of its discs.
	for _, sweep := range []float64{0.5, 2, 3.5, 6} {
		e := Edge{A: Pt(2, 0), B: Pt(2, 0).Rotate(sweep), R: 2, Dir: 1}
		s := must(Union(RegionOf(Stroke(e, 5))))
		rg := rand.New(rand.NewPCG(1, 1))
		for range 2000 {
			p := Pt(rg.Float64()*16-8, rg.Float64()*16-8)
			d := e.Dist(p)
			if math.Abs(d-5) > 1e-6 && s.Contains(p) != (d < 5) {
				t.Fatalf("sweep %g: %v is %g from the arc, inside = %v", sweep, p, d, s.Contains(p))
			}
		}
	}
}

// TestWinding compares with the angle swept as seen from the point, summed over
// short chords.
func TestWinding(t *testing.T) {
	rg := rand.New(rand.NewPCG(4, 1))
	for k := range 300 {
		// A closed chain of random lines and arcs, crossing itself at will.
		var c Contour
		p := Pt(rg.Float64()*10, rg.Float64()*10)
		start := p
		n := 2 + rg.IntN(5)
		for i := range n {
			q := Pt(rg.Float64()*10, rg.Float64()*10)
			if i == n-1 {
				q = start
			}
			e := Line(p, q)
			if rg.IntN(2) == 0 {
				if a, err := ArcThrough(p, Pt(rg.Float64()*10, rg.Float64()*10), q); err == nil {
					e = a
				}
			}
			c = append(c, e)
			p = q
		}
		for range 20 {
			q := Pt(rg.Float64()*14-2, rg.Float64()*14-2)
			if rg.IntN(4) == 0 {
				q.Y = c[rg.IntN(len(c))].A.Y // level with a corner
			}
			clear, turn := math.Inf(1), 0.0
			for _, e := range c {
				clear = min(clear, e.Dist(q))
				const m = 400
				for i := range m {
					a, b := e.At(float64(i)/m).Sub(q), e.At(float64(i+1)/m).Sub(q)
					turn += math.Atan2(a.Cross(b), a.Dot(b))
				}
			}
			if clear < 1 {
				continue // the samples are too coarse
			}
			if got, want := c.Winding(q), int(math.Round(turn/(2*math.Pi))); got != want {
				t.Errorf("contour %d: Winding(%v) = %d, want %d\n%v", k, q, got, want, c)
			}
		}
	}
}

// TestWindingOnChords asks for points exactly on the chord of an arc, where the
// polygon and the segment must take the same side.
func TestWindingOnChords(t *testing.T) {
	for _, s := range []string{
		"M 0,0 A 10,0 5,0 + A 0,0 5,0 + Z",
		"M 0,0 A 10,10 5,5 + A 0,0 5,5 + Z",
		"M 10,0 A 0,10 5,5 + A 10,0 5,5 + Z",
		"M 5,0 A 5,10 5,5 + A 5,0 5,5 + Z",
	} {
		c := parse(t, s)
		for _, d := range []Contour{c, c.Reverse()} {
			m := d[0].A.lerp(d[0].B, 0.5)
			for _, f := range []float64{0.25, 0.5, 0.75} {
				if p := d[0].A.lerp(d[0].B, f); d.Winding(p) != d.Winding(m.Add(Pt(0.1, 0.2))) {
					t.Errorf("%v: Winding(%v) = %d on a chord inside", d, p, d.Winding(p))
				}
			}
		}
	}
}

func TestLeastInsideRadius(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		c             Contour
		want, outside float64
	}{
		{Circle(Pt(0, 0), 3), 3, inf},
		{Rect(Pt(0, 0), Pt(1, 1)), 0, inf},
		{RoundedRect(Pt(0, 0), Pt(20, 10), 2), 2, inf},
		{parse(t, "M 0,0 L 10,0 A 12,2 10,2 + L 12,4 A 14,6 14,4 - L 20,6 L 20,20 L 0,20 Z"), 0, 2},
		{parse(t, "M 0,0 L 20,0 L 20,10 L 10,10 L 10,20 L 0,20 Z"), 0, 0},
	} {
		if got := c.c.LeastInsideRadius(); got != c.want {
			t.Errorf("%v: LeastInsideRadius = %g, want %g", c.c, got, c.want)
		}
		if got := c.c.Reverse().LeastInsideRadius(); got != c.outside {
			t.Errorf("%v reversed: LeastInsideRadius = %g, want %g", c.c, got, c.outside)
		}
	}
	// Joints of a computed opening are smooth.
	s := must(Open(RegionOf(Rect(Pt(0, 0), Pt(20, 10))), 3))
	if got := s[0].Outer.LeastInsideRadius(); len(s) != 1 || got != 3 {
		t.Errorf("opened rectangle: %g, want 3", got)
	}
}

func TestFlatten(t *testing.T) {
	rg := rand.New(rand.NewPCG(5, 1))
	for k := range 200 {
		e := randomEdge(rg)
		tol := math.Pow(10, -4+3*rg.Float64())
		pts := append(Contour{e}.Flatten(tol), e.B)
		for i := 1; i < len(pts); i++ {
			m := pts[i-1].lerp(pts[i], 0.5)
			if d := e.Dist(m); d > tol*(1+1e-9)+1e-12 {
				t.Errorf("edge %d: chord %g from the arc, want at most %g", k, d, tol)
			}
			if d := e.Dist(pts[i]); d > 1e-12 {
				t.Errorf("edge %d: point %g off the edge", k, d)
			}
		}
	}
	for _, tol := range []float64{0, -1, math.NaN(), math.Inf(1), 1e-300} {
		if n := len(Circle(Pt(0, 0), 5).Flatten(tol)); n < 3 || n > 1<<16 {
			t.Errorf("Flatten(%g) of a circle gives %d points", tol, n)
		}
	}
}
