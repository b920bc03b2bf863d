package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// touches reports by how much the edge at p misses being tangent to the circle:
// the distance of p from the circle, and the sine between the two tangents.
func touches(e Edge, p, c Point, r float64) float64 {
	d := math.Abs(p.Dist(c) - r)
	if r == 0 {
		return d
	}
	return max(d, math.Abs(e.tangentAt(p).Dot(p.Sub(c).Unit())))
}

func TestTangentsClosedForm(t *testing.T) {
	// Circles of 30 and 10, 40 apart: the sine of the slope is 20/40.
	e, err := OuterTangent(Pt(0, 0), 30, Pt(40, 0), 10, 1)
	if err != nil {
		t.Fatal(err)
	}
	if want := math.Sqrt(40*40 - 20*20); math.Abs(e.Length()-want) > 1e-12 {
		t.Errorf("outer tangent is %.15g long, want √(d²−(r1−r2)²) = %.15g", e.Length(), want)
	}
	if want := Pt(15, 30*math.Sqrt(0.75)); e.A.Dist(want) > 1e-12 {
		t.Errorf("outer tangent starts at %v, want %v", e.A, want)
	}
	// Equal circles of 5, 16 apart, and a blend of 5: centre at √(10²−8²) = 6.
	e, err = BlendArc(Pt(0, 0), 5, Pt(16, 0), 5, 5, -1)
	if err != nil {
		t.Fatal(err)
	}
	if e.C.Dist(Pt(8, -6)) > 1e-12 || e.A.Dist(Pt(4, -3)) > 1e-12 || e.B.Dist(Pt(12, -3)) > 1e-12 || e.Dir != -1 {
		t.Errorf("blend %+v, want centre 8,-6 from 4,-3 to 12,-3 clockwise", e)
	}
	// The least radius that reaches: a half circle in the gap.
	e, err = BlendArc(Pt(0, 0), 5, Pt(16, 0), 5, 3, 1)
	if err != nil {
		t.Fatal(err)
	}
	if e.C.Dist(Pt(8, 0)) > 1e-6 || math.Abs(e.Sweep()-math.Pi) > 1e-6 {
		t.Errorf("least blend about %v by %g, want 8,0 by π", e.C, e.Sweep())
	}
}

func TestTangentsTouch(t *testing.T) {
	rg := rand.New(rand.NewPCG(41, 1))
	made := 0
	for range 4000 {
		c1, c2 := Pt(rg.Float64()*100, rg.Float64()*100), Pt(rg.Float64()*100, rg.Float64()*100)
		r1, r2, r := rg.Float64()*30, rg.Float64()*30, 1+rg.Float64()*80
		if rg.IntN(8) == 0 {
			r1 = 0
		}
		side := 1 - 2*rg.IntN(2)
		line := func(p Point) float64 { return float64(side) * c2.Sub(c1).Cross(p.Sub(c1)) }
		d := c1.Dist(c2)
		for _, k := range []struct {
			name string
			make func() (Edge, error)
			ok   bool
		}{
			{"outer", func() (Edge, error) { return OuterTangent(c1, r1, c2, r2, side) }, d > math.Abs(r1-r2)},
			{"blend", func() (Edge, error) { return BlendArc(c1, r1, c2, r2, r, side) }, d > math.Abs(r1-r2) && d < r1+r2+2*r},
		} {
			e, err := k.make()
			if (err == nil) != k.ok {
				t.Fatalf("%s of %v %g, %v %g with %g: error %v, want one %v", k.name, c1, r1, c2, r2, r, err, !k.ok)
			}
			if err != nil {
				continue
			}
			made++
			if x := max(touches(e, e.A, c1, r1), touches(e, e.B, c2, r2)); x > 1e-9 {
				t.Fatalf("%s of %v %g, %v %g with %g: misses by %g", k.name, c1, r1, c2, r2, r, x)
			}
			switch k.name {
			case "blend":
				if line(e.C) < -1e-9 || math.Abs(e.Sweep()) > math.Pi+1e-9 {
					t.Fatalf("blend %+v has its centre on the wrong side or goes the long way", e)
				}
				// Nothing of the arc is in either circle.
				for _, f := range []float64{0.2, 0.5, 0.8} {
					if p := e.At(f); p.Dist(c1) < r1-1e-9 || p.Dist(c2) < r2-1e-9 {
						t.Fatalf("blend %+v enters a circle at %v", e, p)
					}
				}
			case "outer":
				if line(e.Mid()) < line(c1.lerp(c2, 0.5))-1e-9 {
					t.Fatalf("outer tangent %+v is on the wrong side", e)
				}
			}
		}
	}
	if made < 4000 {
		t.Errorf("only %d tangents were made", made)
	}
}

// TestSkin wraps two bosses with hollow sides and measures it: the trade's strap.
func TestSkin(t *testing.T) {
	c1, c2, r1, r2, r := Pt(0, 0), Pt(16, 0), 5.0, 5.0, 5.0
	low := must(BlendArc(c1, r1, c2, r2, r, -1))
	high := must(BlendArc(c2, r2, c1, r1, r, -1))
	c := Contour{
		low, Arc(low.B, high.A, c2, 1),
		high, Arc(high.B, low.A, c1, 1),
	}
	// Both hollows are 6 from the line with radius 5: the neck is 2 mm.
	if err := c.Check(); err != nil {
		t.Fatal(err)
	}
	a := math.Atan2(6, 8) // of the centre as seen from c1
	b := math.Pi/2 - a    // half sweep of the hollow
	rhombus := 4 * 0.5 * 8 * 6
	// The rhombus of the four centres less the sectors of the hollows, and what
	// of the two discs is outside it.
	want := rhombus - 2*b*r*r + 2*(math.Pi-a)*r1*r1
	if got := c.Area(); math.Abs(got-want) > 1e-9 {
		t.Errorf("skin %.12g mm², want %.12g", got, want)
	}
	if g, ok := SelfGap(c, 5); !ok || math.Abs(g.D-2) > 1e-9 {
		t.Errorf("neck %+v, want 2 mm", g)
	}
}

func TestThickArc(t *testing.T) {
	const h = 2.0
	circle := Circle(Pt(3, 4), 20)[0]
	open := Arc(Pt(20, 0), Pt(0, 20), Pt(0, 0), 1)
	tight := Arc(Pt(1, 0), Pt(0, 1), Pt(0, 0), 1)
	nearly := Arc(Pt(20, 0), Pt(20*math.Cos(6.2), 20*math.Sin(6.2)), Pt(0, 0), 1)
	for _, k := range []struct {
		name        string
		e           Edge
		area        float64 // by Pappus, and the two half discs
		holes, ring int
	}{
		{"line", Line(Pt(0, 0), Pt(30, 40)), 50*2*h + math.Pi*h*h, 0, 1},
		{"quarter", open, 20*math.Pi/2*2*h + math.Pi*h*h, 0, 1},
		{"clockwise", open.Reverse(), 20*math.Pi/2*2*h + math.Pi*h*h, 0, 1},
		{"ring", circle, 2 * math.Pi * 20 * 2 * h, 1, 1},
		{"small ring", Circle(Pt(0, 0), 1.5)[0], math.Pi * 3.5 * 3.5, 0, 1},
		{"nearly a ring", nearly, 0, 1, 1},
		{"tighter than its width", tight, 0, 0, 1},
	} {
		s, err := ThickArc(k.e, h)
		if err != nil {
			t.Fatalf("%s: %v", k.name, err)
		}
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", k.name, err)
		}
		if len(s) != k.ring || len(s[0].Holes) != k.holes {
			t.Errorf("%s: %d regions with %d holes, want %d with %d", k.name, len(s), len(s[0].Holes), k.ring, k.holes)
		}
		if k.area != 0 && math.Abs(s.Area()-k.area) > 1e-9*k.area {
			t.Errorf("%s: %.12g mm², want %.12g", k.name, s.Area(), k.area)
		}
		// Every point of the boundary is h from the centre line, and none inside is further.
		for _, c := range s.Contours() {
			for i := range c {
				for _, f := range []float64{0.1, 0.5, 0.9} {
					if d := k.e.Dist(c[i].At(f)); math.Abs(d-h) > 1e-9 {
						t.Errorf("%s: boundary %g from the centre line, want %g", k.name, d, h)
					}
				}
			}
		}
	}
}

func TestThickPath(t *testing.T) {
	// A line and an arc that carries on smoothly: one strip, by Pappus.
	s, err := ThickPath([]Edge{Line(Pt(0, -30), Pt(0, 0)), Arc(Pt(0, 0), Pt(-20, 20), Pt(-20, 0), 1)}, 1.5)
	if err != nil {
		t.Fatal(err)
	}
	want := (30+10*math.Pi)*3 + math.Pi*1.5*1.5
	if len(s) != 1 || math.Abs(s.Area()-want) > 1e-9*want {
		t.Errorf("%d regions of %.12g mm², want 1 of %.12g", len(s), s.Area(), want)
	}
	if n := len(s[0].Outer); n != 6 {
		t.Errorf("%d edges, want 6: two lines, two arcs along and two ends", n)
	}
}

func TestTangentErrors(t *testing.T) {
	nan := math.NaN()
	for _, k := range []struct {
		name string
		err  func() error
		says string
	}{
		{"side", func() error { _, err := OuterTangent(Pt(0, 0), 1, Pt(9, 0), 1, 0); return err }, "side"},
		{"nan", func() error { _, err := BlendArc(Pt(nan, 0), 1, Pt(9, 0), 1, 3, 1); return err }, "centre"},
		{"negative", func() error { _, err := OuterTangent(Pt(0, 0), -1, Pt(9, 0), 1, 1); return err }, "radius"},
		{"within", func() error { _, err := OuterTangent(Pt(0, 0), 9, Pt(1, 0), 1, 1); return err }, "within"},
		{"too small", func() error { _, err := BlendArc(Pt(0, 0), 5, Pt(20, 0), 5, 4.9, 1); return err }, "at least 5 mm"},
		{"no blend", func() error { _, err := BlendArc(Pt(0, 0), 5, Pt(20, 0), 5, 0, 1); return err }, "blend radius"},
		{"thin", func() error { _, err := ThickArc(Line(Pt(0, 0), Pt(9, 0)), 0); return err }, "half width"},
		{"edge", func() error { _, err := ThickArc(Line(Pt(0, 0), Pt(nan, 0)), 1); return err }, "edge 0"},
	} {
		if err := k.err(); err == nil || !strings.Contains(err.Error(), k.says) {
			t.Errorf("%s: error %v, want one about %q", k.name, err, k.says)
		}
	}
}
