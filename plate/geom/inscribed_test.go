package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestInscribedCircleClosedForms(t *testing.T) {
	tri := []Point{Pt(0, 0), Pt(60, 0), Pt(15, 40)}
	// In-radius = 2·area / perimeter.
	inTri := 2 * Polygon(tri...).Area() / Polygon(tri...).Length()
	for _, c := range []struct {
		name string
		r    Region
		want float64
	}{
		{"disc", Region{Outer: Circle(Pt(3, 4), 5)}, 5},
		{"square", Region{Outer: Rect(Pt(0, 0), Pt(8, 8))}, 4},
		{"long strip", Region{Outer: Rect(Pt(0, 0), Pt(500, 8))}, 4},
		{"long strip, turned", Region{Outer: Rect(Pt(0, 0), Pt(500, 8)).Transform(Rotation(0.7))}, 4},
		{"capsule", Region{Outer: Capsule(Pt(0, 0), Pt(120, 31), 5)}, 5},
		{"triangle", Region{Outer: Polygon(tri...)}, inTri},
		{"opened triangle", must(Open(RegionOf(Polygon(tri...)), 3))[0], inTri},
		{"annulus", Region{Outer: Circle(Pt(0, 0), 20), Holes: []Contour{Circle(Pt(0, 0), 12).Reverse()}}, 4},
		{"eccentric annulus", Region{Outer: Circle(Pt(0, 0), 20), Holes: []Contour{Circle(Pt(3, 0), 12).Reverse()}}, 5.5},
		{
			"square with a central hole",
			Region{Outer: Rect(Pt(-10, -10), Pt(10, 10)), Holes: []Contour{Circle(Pt(0, 0), 4).Reverse()}},
			(10*math.Sqrt2 - 4) / (1 + math.Sqrt2),
		},
		{"half disc", Region{Outer: parse(t, "M -8,0 L 8,0 A -8,0 0,0 + Z")}, 4},
		{
			"between three discs", must(Difference(RegionOf(Polygon(Pt(-10, -10*math.Sqrt(3)/3), Pt(10, -10*math.Sqrt(3)/3), Pt(0, 20*math.Sqrt(3)/3))),
				disc(-10, -10*math.Sqrt(3)/3, 10), disc(10, -10*math.Sqrt(3)/3, 10), disc(0, 20*math.Sqrt(3)/3, 10)))[0],
			20/math.Sqrt(3) - 10,
		}, // Descartes: three touching circles of radius 10
	} {
		p, r := InscribedCircle(c.r)
		if n := inscribe(c.r).squares; n > 1500 {
			t.Errorf("%s: took %d squares, want at most 1500", c.name, n)
		}
		if math.Abs(r-c.want) > inscribedTol {
			t.Errorf("%s: radius %.9g, want %.9g", c.name, r, c.want)
		}
		if d := clearanceOf(c.r, p); !c.r.Contains(p) || math.Abs(d-r) > 1e-9 {
			t.Errorf("%s: centre %v has clearance %g, inside %v; radius %g", c.name, p, d, c.r.Contains(p), r)
		}
	}
	for _, r := range []Region{{}, {Outer: Contour{Line(Pt(1, 1), Pt(1, 1))}}, {Outer: Contour{Line(Pt(math.NaN(), 1), Pt(1, 1))}}} {
		if _, d := InscribedCircle(r); d != 0 {
			t.Errorf("InscribedCircle(%v) has radius %g", r, d)
		}
	}
}

func clearanceOf(r Region, p Point) float64 {
	d := math.Inf(1)
	for _, c := range r.Contours() {
		for _, e := range c {
			d = min(d, e.Dist(p))
		}
	}
	return d
}

// TestInscribedCircleAgainstOffsets shrinks random regions: they vanish between
// the inscribed radius and a little more.
func TestInscribedCircleAgainstOffsets(t *testing.T) {
	rg := rand.New(rand.NewPCG(10, 1))
	var e Engine
	for k := range 60 {
		for _, r := range must(e.Difference(RegionOf(Rect(Pt(0, 0), Pt(50, 45))), latticeShapes(rg, 1+rg.IntN(6))...)) {
			if r.Area() < 1 {
				continue
			}
			_, d := InscribedCircle(r)
			if s := must(e.Offset(Shape{r}, -d+2e-4)); len(s) == 0 {
				t.Errorf("scene %d: nothing left after %g, inscribed radius %g: %v", k, d-2e-4, d, r)
			}
			if s := must(e.Offset(Shape{r}, -d-1e-5)); len(s) > 0 {
				t.Errorf("scene %d: %g mm² left after %g, inscribed radius %g: %v", k, s.Area(), d+1e-5, d, r)
			}
		}
	}
}

// TestInscribedTouches: the largest circle in a region touches it in as many edges as geometry says.
func TestInscribedTouches(t *testing.T) {
	for _, k := range []struct {
		name string
		r    Region
		rad  float64 // closed form
		want int     // edges that it touches
	}{
		// A right triangle of 3, 4, 5 has an inscribed circle of (3+4−5)/2.
		{"triangle", Region{Outer: Polygon(Pt(0, 0), Pt(30, 0), Pt(0, 40))}, 10, 3},
		{"square", Region{Outer: Rect(Pt(0, 0), Pt(12, 12))}, 6, 4},
		{"ring", Region{Outer: Circle(Pt(0, 0), 30), Holes: []Contour{Circle(Pt(0, 0), 20).Reverse()}}, 5, 2},
	} {
		c, rad := InscribedCircle(k.r)
		if math.Abs(rad-k.rad) > 2*inscribedTol {
			t.Errorf("%s: radius %.9g, want %g", k.name, rad, k.rad)
		}
		touched := 0
		for _, contour := range k.r.Contours() {
			for _, e := range contour {
				if math.Abs(e.Dist(c)-rad) <= 4*inscribedTol {
					touched++
				}
			}
		}
		if touched != k.want {
			t.Errorf("%s: touches %d edges, want %d", k.name, touched, k.want)
		}
	}
}
