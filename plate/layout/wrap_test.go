package layout

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// wrapPlate is a plate wrapped round bores, each {x, y, radius of the disc}; the bore is 10 mm, the rest width.
func wrapPlate(discs [][3]float64, side func(i int) (hollow bool, blend float64)) plate.Plate {
	p := rectangle(1, 1, 0, 0)
	p.Outline = plate.Outline{Kind: plate.Wrapped}
	for i, k := range discs {
		id := plate.ID(i + 1)
		p.Bores = append(p.Bores, plate.Bore{ID: id, Name: string(rune('A' + i)), X: k[0], Y: k[1], Diameter: 10})
		w := plate.Wrap{Feature: id, Width: k[2] - 5}
		if side != nil {
			w.Hollow, w.Blend = side(i)
		}
		p.Outline.Wraps = append(p.Outline.Wraps, w)
	}
	return p
}

// TestWrapClosedForms holds wrapped outlines to formulas of elementary geometry (by hand): area and length.
func TestWrapClosedForms(t *testing.T) {
	hollow := func(r float64) func(int) (bool, float64) { return func(int) (bool, float64) { return true, r } }
	belt := func(d, r1, r2 float64) (area, length float64) { // open belt round two discs, r1 ≥ r2
		a := math.Asin((r1 - r2) / d)
		l := d * math.Cos(a)
		return l*(r1+r2) + r1*r1*(math.Pi/2+a) + r2*r2*(math.Pi/2-a), 2*l + r1*(math.Pi+2*a) + r2*(math.Pi-2*a)
	}
	// Three discs of radius r with their centres at the corners of an equilateral triangle of side d, hollow sides of radius
	// b: each blend centre stands √((r+b)² − d²/4) from the side, so the two radii to it enclose 2·asin(d/2(r+b)).
	trefoil := func(d, r, b float64) (area, length float64) {
		h := math.Sqrt((r+b)*(r+b) - d*d/4)
		g := math.Asin(d / 2 / (r + b)) // half angle at the blend centre
		// The triangle of centres, three isosceles triangles on its sides, less the sectors of the blends; then the discs'
		// sectors beyond, of 2π less the corner of 60° and two base angles of 90° − g.
		s := 2*math.Pi - math.Pi/3 - 2*(math.Pi/2-g)
		return math.Sqrt(3)/4*d*d + 3*(d*h/2-b*b*g) + 3*r*r*s/2, 3*2*b*g + 3*r*s
	}
	coneA, coneL := belt(120, 40, 15)
	triA, triL := trefoil(150, 20, 90)
	dumb := func(d, r, b float64) (area, length float64) {
		h := math.Sqrt((r+b)*(r+b) - d*d/4)
		g := math.Asin(d / 2 / (r + b))
		s := 2*math.Pi - 2*(math.Pi/2-g)
		return 2*(d*h/2-b*b*g) + 2*r*r*s/2, 2*2*b*g + 2*r*s
	}
	dumbA, dumbL := dumb(100, 25, 60)
	for _, c := range []struct {
		name         string
		p            plate.Plate
		area, length float64
		edges        int
	}{
		{"one round", wrapPlate([][3]float64{{30, 40, 25}}, nil), math.Pi * 625, 50 * math.Pi, 1},
		{"two equal rounds", wrapPlate([][3]float64{{0, 0, 25}, {100, 0, 25}}, nil), 100*50 + math.Pi*625, 200 + 50*math.Pi, 4},
		{"two unequal rounds", wrapPlate([][3]float64{{7, 9, 40}, {7 + 120*math.Cos(0.7), 9 + 120*math.Sin(0.7), 15}}, nil), coneA, coneL, 4},
		{"two rounds, hollow", wrapPlate([][3]float64{{0, 0, 25}, {60, 80, 25}}, hollow(60)), dumbA, dumbL, 4},
		{
			"three rounds, straight", wrapPlate([][3]float64{{0, 0, 20}, {150, 0, 20}, {75, 75 * math.Sqrt(3), 20}}, nil),
			math.Sqrt(3)/4*150*150 + 3*150*20 + math.Pi*400, 450 + 40*math.Pi, 6,
		},
		{"three rounds, hollow", wrapPlate([][3]float64{{0, 0, 20}, {150, 0, 20}, {75, 75 * math.Sqrt(3), 20}}, hollow(90)), triA, triL, 6},
		{"three in a row", wrapPlate([][3]float64{{0, 0, 20}, {60, 0, 20}, {140, 0, 20}}, nil), 140*40 + math.Pi*400, 280 + 40*math.Pi, 5},
	} {
		if c.name == "three in a row" { // there and back again
			c.p.Outline.Wraps = append(c.p.Outline.Wraps, c.p.Outline.Wraps[1])
			c.edges = 6
		}
		l := mustDerive(t, c.p)
		if a := l.Outline.Area(); !near(a, c.area, 1e-12) {
			t.Errorf("%s: area %.12g, want %.12g", c.name, a, c.area)
		}
		if n := l.Outline.Outer.Length(); !near(n, c.length, 1e-12) {
			t.Errorf("%s: length %.12g, want %.12g", c.name, n, c.length)
		}
		if len(l.Outline.Outer) != c.edges {
			t.Errorf("%s: %d edges, want %d", c.name, len(l.Outline.Outer), c.edges)
		}
		checkInvariants(t, l)
	}
}

// TestWrapSmooth: neighbouring edges of a wrapped outline meet without a kink, and every disc lies in it.
func TestWrapSmooth(t *testing.T) {
	discs := [][3]float64{{0, 0, 30}, {160, -20, 22}, {260, 60, 35}, {120, 140, 18}}
	p := wrapPlate(discs, func(i int) (bool, float64) { return i%2 == 0, 150 })
	c := mustDerive(t, p).Outline.Outer
	for i := range c {
		if x := c[i].TangentB().Cross(c[(i+1)%len(c)].TangentA()); math.Abs(x) > 1e-9 {
			t.Errorf("a kink of %v rad after edge %d", x, i)
		}
	}
	for _, k := range discs {
		for i := range c {
			if d := c[i].Dist(geom.Pt(k[0], k[1])); d < k[2]-1e-9 {
				t.Errorf("edge %d comes within %v of the centre of a disc of radius %v", i, d, k[2])
			}
		}
	}
}

// TestWrapErrors: what cannot be wrapped names the round and what to do.
func TestWrapErrors(t *testing.T) {
	for _, c := range []struct {
		name  string
		p     plate.Plate
		words []string
	}{
		{"nothing", wrapPlate(nil, nil), []string{"outline", "wrapped round nothing"}},
		{"swallowed", wrapPlate([][3]float64{{0, 0, 40}, {20, 0, 15}}, nil), []string{`bore "B"`, "swallowed", `bore "A"`}},
		{
			"blend too small", wrapPlate([][3]float64{{0, 0, 20}, {200, 0, 20}, {100, 150, 20}}, func(i int) (bool, float64) { return i == 0, 50 }),
			[]string{`from bore "A" to bore "B"`, "80 mm"},
		},
		{"clockwise", wrapPlate([][3]float64{{0, 0, 20}, {100, 150, 20}, {200, 0, 20}}, nil), []string{"clockwise"}},
		{"crossing order", wrapPlate([][3]float64{{0, 0, 20}, {200, 150, 20}, {200, 0, 20}, {0, 150, 20}}, nil), []string{"cross", "order"}},
		{"a round in the hollow of straight sides", wrapPlate([][3]float64{{0, 0, 20}, {200, 0, 20}, {100, 60, 20}, {100, 200, 20}}, nil), []string{`"C"`}},
		{"necks cross", wrapPlate([][3]float64{{0, 0, 20}, {100, 0, 20}}, func(int) (bool, float64) { return true, 31 }), []string{"cross", `bore "A"`}},
		{"a disc through a side", wrapPlate([][3]float64{{0, 0, 20}, {200, 0, 20}, {100, 40, 64}}, nil), []string{`bore "C"`, "stands out", `from bore "A" to bore "B"`}},
	} {
		_, err := Derive(c.p)
		var de *DeriveError
		if !errors.As(err, &de) {
			t.Errorf("%s: Derive gave %v; want a *DeriveError", c.name, err)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, err, w)
			}
		}
	}
	p := wrapPlate([][3]float64{{0, 0, 20}, {100, 0, 20}}, nil)
	p.Outline.Wraps[1].Feature = 77
	if _, err := Derive(p); err == nil || !strings.Contains(err.Error(), "77") {
		t.Errorf("a round that is none: %v", err)
	}
}

// TestContour: vertices with bulges, by known areas.
func TestContour(t *testing.T) {
	of := func(vs ...plate.Vertex) plate.Plate {
		p := rectangle(1, 1, 0, 0)
		p.Outline = plate.Outline{Kind: plate.Contour, Vertices: vs}
		return p
	}
	quarter := math.Tan(math.Pi / 8) // of a quarter circle
	for _, c := range []struct {
		name string
		p    plate.Plate
		want float64
	}{
		{"square", of(plate.Vertex{}, plate.Vertex{X: 80}, plate.Vertex{X: 80, Y: 80}, plate.Vertex{Y: 80}), 6400},
		{"square, clockwise", of(plate.Vertex{Y: 80}, plate.Vertex{X: 80, Y: 80}, plate.Vertex{X: 80}, plate.Vertex{}), 6400},
		{"circle of two halves", of(plate.Vertex{X: -50, Bulge: 1}, plate.Vertex{X: 50, Bulge: 1}), math.Pi * 2500},
		{"stadium", of(plate.Vertex{}, plate.Vertex{X: 100, Bulge: 1}, plate.Vertex{X: 100, Y: 60}, plate.Vertex{Y: 60, Bulge: 1}), 6000 + math.Pi*900},
		{"a bite of a half disc", of(plate.Vertex{}, plate.Vertex{X: 100, Bulge: -1}, plate.Vertex{X: 100, Y: 60}, plate.Vertex{Y: 60}), 6000 - math.Pi*450},
		{"three quarters of a disc", of(plate.Vertex{}, plate.Vertex{X: 50, Bulge: math.Tan(3 * math.Pi / 8)}, plate.Vertex{Y: -50}), math.Pi * 2500 * 3 / 4},
		{"a quarter disc", of(plate.Vertex{}, plate.Vertex{X: 50, Bulge: quarter}, plate.Vertex{Y: 50}), math.Pi * 2500 / 4},
	} {
		l := mustDerive(t, c.p)
		if a := l.Outline.Area(); !near(a, c.want, 1e-12) {
			t.Errorf("%s: area %.12g, want %.12g", c.name, a, c.want)
		}
		checkInvariants(t, l)
	}
	for _, c := range []struct {
		name  string
		p     plate.Plate
		words []string
	}{
		{"one vertex", of(plate.Vertex{}), []string{"1 vertices"}},
		{"crossing", of(plate.Vertex{}, plate.Vertex{X: 80, Y: 80}, plate.Vertex{X: 80}, plate.Vertex{Y: 80}), []string{"vertex 1 to 2", "3 to 4"}},
		{"crossing, the other way", of(plate.Vertex{Y: 80}, plate.Vertex{X: 80}, plate.Vertex{X: 80, Y: 80}, plate.Vertex{}), []string{"vertex 1 to 2", "3 to 4"}},
		{"same place", of(plate.Vertex{}, plate.Vertex{X: 80}, plate.Vertex{X: 80}, plate.Vertex{Y: 80}), []string{"vertex 2", "same place"}},
		{"flat", of(plate.Vertex{}, plate.Vertex{X: 80, Bulge: 1e-9}, plate.Vertex{X: 80, Y: 80}, plate.Vertex{Y: 80}), []string{"vertex 2", "bulge"}},
		{"not a number", of(plate.Vertex{}, plate.Vertex{X: 80, Bulge: math.NaN()}, plate.Vertex{Y: 80}), []string{"vertex 2"}},
	} {
		_, err := Derive(c.p)
		var de *DeriveError
		if !errors.As(err, &de) {
			t.Errorf("%s: Derive gave %v; want a *DeriveError", c.name, err)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, err, w)
			}
		}
	}
}

// TestChamferedCorners: a square loses half the square of its chamfer at each corner; chamfers that meet leave a diamond.
func TestChamferedCorners(t *testing.T) {
	for _, c := range []float64{0, 5, 30, 50} {
		p := rectangle(100, 100, 0, 0)
		for i := range p.Outline.Corners {
			p.Outline.Corners[i].Chamfer = c
		}
		l := mustDerive(t, p)
		if want := 10000 - 2*c*c; !near(l.Outline.Area(), want, 1e-13) {
			t.Errorf("chamfer %v: area %v, want %v", c, l.Outline.Area(), want)
		}
		if want := 4 * (100 - 2*c + c*math.Sqrt2); !near(l.Outline.Outer.Length(), want, 1e-13) {
			t.Errorf("chamfer %v: length %v, want %v", c, l.Outline.Outer.Length(), want)
		}
		checkInvariants(t, l)
	}
	p := rectangle(100, 100, 10, 0)
	p.Outline.Corners[1].Radius, p.Outline.Corners[1].Chamfer = 0, 20
	if got, want := mustDerive(t, p).Outline.Area(), 10000-200-3*(4-math.Pi)/4*100; !near(got, want, 1e-13) {
		t.Errorf("one chamfer among radii: area %v, want %v", got, want)
	}
	for _, c := range []struct {
		name  string
		edit  func(cs []plate.Corner)
		words []string
	}{
		{"radius and chamfer", func(cs []plate.Corner) { cs[2].Radius, cs[2].Chamfer = 5, 5 }, []string{"corner 3", "one of the two"}},
		{"too long together", func(cs []plate.Corner) { cs[2].Chamfer, cs[3].Chamfer = 60, 50 }, []string{"corner 3", "corner 4", "110 mm"}},
		{"beside an arc", func(cs []plate.Corner) { cs[1].Chamfer, cs[0].Arc, cs[0].ThroughX, cs[0].ThroughY = 5, true, 50, -10 }, []string{"corner 2", "straight"}},
		{"into a radius", func(cs []plate.Corner) { cs[1].Chamfer, cs[2].Radius = 60, 50 }, []string{"corner"}},
	} {
		p := rectangle(100, 100, 0, 0)
		c.edit(p.Outline.Corners)
		_, err := Derive(p)
		if err == nil {
			t.Errorf("%s: no error", c.name)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, err, w)
			}
		}
	}
}

// TestMirroredHalves: a half and its image are the whole drawn by hand, with as many edges.
func TestMirroredHalves(t *testing.T) {
	half := []plate.Corner{
		{X: 60, Y: 0}, {X: 140, Y: 0, Radius: 12}, {X: 140, Y: 50, Chamfer: 8}, {X: 110, Y: 70, Arc: true, ThroughX: 90, ThroughY: 110}, {X: 60, Y: 120},
	}
	whole := []plate.Corner{
		{X: -20, Y: 0, Radius: 12},
		{X: 140, Y: 0, Radius: 12},
		{X: 140, Y: 50, Chamfer: 8},
		{X: 110, Y: 70, Arc: true, ThroughX: 90, ThroughY: 110},
		{X: 60, Y: 120, Arc: true, ThroughX: 30, ThroughY: 110},
		{X: 10, Y: 70},
		{X: -20, Y: 50, Chamfer: 8},
	}
	swap := func(cs []plate.Corner) []plate.Corner {
		o := make([]plate.Corner, len(cs))
		for i, c := range cs {
			o[i] = c
			o[i].X, o[i].Y, o[i].ThroughX, o[i].ThroughY = c.Y, c.X, c.ThroughY, c.ThroughX
		}
		return o
	}
	for _, c := range []struct {
		name        string
		axis        plate.Axis
		half, whole []plate.Corner
	}{
		{"about a line along y", plate.AxisY, half, whole},
		{"about a line along x", plate.AxisX, swap(half), swap(whole)},
	} {
		p, q := rectangle(1, 1, 0, 0), rectangle(1, 1, 0, 0)
		p.Outline = plate.Outline{Corners: c.half, Mirror: plate.Mirror{On: true, Axis: c.axis, At: 60}}
		q.Outline.Corners = c.whole
		a, b := mustDerive(t, p), mustDerive(t, q)
		if n := len(joinEdges(b.Outline.Outer)); len(a.Outline.Outer) != n {
			t.Errorf("%s: %d edges, drawn whole %d", c.name, len(a.Outline.Outer), n)
		}
		x, err := geom.Xor(geom.Shape{a.Outline}, geom.Shape{b.Outline})
		if err != nil || x.Area() > 1e-9 || !near(a.Outline.Area(), b.Outline.Area(), 1e-13) {
			t.Errorf("%s: differs from the whole by %v mm² (%v)", c.name, x.Area(), err)
		}
		checkInvariants(t, a)
	}
	for _, c := range []struct {
		name  string
		edit  func(o *plate.Outline)
		words []string
	}{
		{"off the line", func(o *plate.Outline) { o.Corners[0].X = 61 }, []string{"corner 1", "1 mm off", "60 mm"}},
		{"across the line", func(o *plate.Outline) { o.Corners[2].X, o.Corners[1].X = 20, 20 }, []string{"half", "corner"}},
		{"one corner", func(o *plate.Outline) { o.Corners = o.Corners[:1] }, []string{"half outline of 1"}},
	} {
		p := rectangle(1, 1, 0, 0)
		p.Outline = plate.Outline{Corners: append([]plate.Corner(nil), half...), Mirror: plate.Mirror{On: true, Axis: plate.AxisY, At: 60}}
		p.Outline.Corners[2].Chamfer = 0
		c.edit(&p.Outline)
		if c.name == "across the line" {
			p.Outline.Corners = []plate.Corner{{X: 60, Y: 0}, {X: 20, Y: 40}, {X: 100, Y: 80}, {X: 60, Y: 120}}
		}
		_, err := Derive(p)
		for _, w := range c.words {
			if err == nil || !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, fmt.Sprint(err), w)
			}
		}
	}
}
