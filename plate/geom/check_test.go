package geom

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestCheck(t *testing.T) {
	nan := math.NaN()
	flat := func(off float64) Contour { // a flat arc whose ends lie off its circle
		e := Edge{A: Pt(20, 0), B: Pt(-20, 0), C: Pt(0, -6e5), R: math.Hypot(20, 6e5) + off, Dir: 1}
		return Contour{e, Line(e.B, Pt(-20, -10)), Line(Pt(-20, -10), Pt(20, -10)), Line(Pt(20, -10), e.A)}
	}
	for _, c := range []struct {
		name string
		c    Contour
		want string // empty: sound
	}{
		{"circle", Circle(Pt(0, 0), 1), ""},
		{"two arcs", parse(t, "M 0,0 A 10,0 5,0 + A 0,0 5,0 + Z"), ""},
		{"lens", parse(t, "M 0,0 A 10,0 5,5 + A 0,0 5,-5 + Z"), ""},
		{"crescent with cusps", parse(t, "M 0,-5 A 0,5 0,0 + A 0,-5 -3,0 - Z"), ""},
		{"cusp of tangent arcs", parse(t, "M 0,0 A 0,0 5,0 + Z"), ""},
		{"ends off the circle by rounding", flat(1e-5), ""},
		{"ends off the circle", flat(6e-4), "not on its circle"},
		{"empty", nil, "no edges"},
		{"NaN", Contour{Line(Pt(nan, 0), Pt(1, 1)), Line(Pt(1, 1), Pt(nan, 0))}, "not a number"},
		{"far", Rect(Pt(0, 0), Pt(2e5, 1)), "beyond 100000"},
		{"flat arc", Contour{{A: Pt(0, 0), B: Pt(100, 0), C: Pt(50, math.Sqrt(1.5e6*1.5e6-2500)), R: 1.5e6, Dir: 1}, Line(Pt(100, 0), Pt(50, 50)), Line(Pt(50, 50), Pt(0, 0))}, "above"},
		{"no length", Contour{Line(Pt(0, 0), Pt(1, 0)), Line(Pt(1, 0), Pt(1, 1e-9)), Line(Pt(1, 1e-9), Pt(0, 1)), Line(Pt(0, 1), Pt(0, 0))}, "no length"},
		{"gap", Contour{Line(Pt(0, 0), Pt(1, 0)), Line(Pt(1, 0.001), Pt(0, 1)), Line(Pt(0, 1), Pt(0, 0))}, "before ends"},
		{"bow tie", Polygon(Pt(0, 0), Pt(4, 4), Pt(4, 0), Pt(0, 4)), "cross"},
		{"crossing arc", parse(t, "M 0,0 L 10,0 L 10,10 A 0,10 5,10 - L 0,12 L -3,12 L -3,6 L 12,6 L 12,-5 L 0,-5 Z"), "cross"},
		{"touching corner", Polygon(Pt(0, 0), Pt(10, 0), Pt(10, 10), Pt(5, 0), Pt(0, 10)), "touch"},
		{"touching arc", parse(t, "M 0,0 L 20,0 L 20,5 A 10,5 15,5 - L 10,9 L 0,9 Z"), "touch"},
		{"spike", Polygon(Pt(0, 0), Pt(10, 0), Pt(10, 10), Pt(10, 20), Pt(10, 10), Pt(0, 10)), "t"}, // touches or turns back
		{"line and back", Contour{Line(Pt(0, 0), Pt(1, 0)), Line(Pt(1, 0), Pt(0, 0))}, "turns back"},
		{"clockwise", Rect(Pt(0, 0), Pt(1, 1)).Reverse(), "clockwise"},
	} {
		err := c.c.Check()
		var ce *ContourError
		switch {
		case c.want == "":
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
		case !errors.As(err, &ce) || !strings.Contains(err.Error(), c.want):
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

func TestCheckNamesThePlace(t *testing.T) {
	err := Polygon(Pt(0, 0), Pt(4, 4), Pt(4, 0), Pt(0, 4)).Check()
	var ce *ContourError
	if !errors.As(err, &ce) || ce.Edge != 0 || ce.Other != 2 || ce.At.Dist(Pt(2, 2)) > 1e-12 {
		t.Errorf("bow tie: %+v, want edges 0 and 2 at 2,2", ce)
	}
}

func TestRegionCheck(t *testing.T) {
	out := Rect(Pt(0, 0), Pt(20, 20))
	for _, c := range []struct {
		name string
		r    Region
		want string
	}{
		{"sound", Region{out, []Contour{Circle(Pt(5, 5), 2).Reverse()}}, ""},
		{"hole touching the side", Region{out, []Contour{Circle(Pt(2, 5), 2).Reverse()}}, ""},
		{"hole the wrong way", Region{out, []Contour{Circle(Pt(5, 5), 2)}}, "hole 0"},
		{"hole outside", Region{out, []Contour{Circle(Pt(50, 5), 2).Reverse()}}, "outside"},
		{"outer the wrong way", Region{Outer: out.Reverse()}, "outer contour"},
	} {
		err := Shape{c.r}.Check()
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
