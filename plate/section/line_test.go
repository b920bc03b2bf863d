package section_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/section"
)

// bored is a block of 120 × 60 × 15 mm with a bore of 24 mm in its middle.
func bored() plate.Plate {
	p := sheet(15, box(0, 0, 120, 60))
	p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 60, Y: 30, Diameter: 24}}
	return p
}

// TestThroughHole cuts a block across, through and beside a bore.
func TestThroughHole(t *testing.T) {
	l := derive(t, bored())
	for _, c := range []struct {
		name   string
		x      float64
		chord  float64 // of the bore
		pieces int
	}{
		{"through the axis", 60, 24, 2},
		{"off the axis", 60 + 8, 2 * math.Sqrt(12*12-8*8), 2},
		{"tangent", 72, 0, 1},
		{"almost tangent, outside", 72 + 1e-4, 0, 1},
		{"almost tangent, inside", 72 - 1e-4, 2 * math.Sqrt(12*12-(12-1e-4)*(12-1e-4)), 2},
		{"clear", 100, 0, 1},
	} {
		r := cut(t, l, c.x, 0, c.x, 60)
		h := (60 - c.chord) / 2
		area := 15 * (60 - c.chord)
		agree(t, c.name+": area", r.Area, area, area, 1e-9)
		agree(t, c.name+": izz", r.IZZ, 15*(60*60*60-c.chord*c.chord*c.chord)/12, r.IZZ, 1e-9)
		agree(t, c.name+": iss", r.ISS, area*15*15/12, r.ISS, 1e-9)
		if r.Pieces != c.pieces || len(r.PiecesList) != c.pieces {
			t.Errorf("%s: %d pieces, want %d", c.name, r.Pieces, c.pieces)
			continue
		}
		if (r.Label == section.UpperBound) != (c.pieces > 1) {
			t.Errorf("%s: label %q with %d pieces", c.name, r.Label, c.pieces)
		}
		if c.pieces == 2 {
			for i, p := range r.PiecesList {
				agree(t, c.name+": piece", p.Area, 15*h, 15*h, 1e-9)
				agree(t, c.name+": piece's own izz", p.IZZ, 15*h*h*h/12, 15*h*h*h/12, 1e-8)
				agree(t, c.name+": piece's place", p.Centroid[0], [2]float64{h / 2, 60 - h/2}[i], 60, 1e-9)
			}
		}
	}
}

// stepped is a plate with a window whose walls are at y = 20 and 40, and a pocket beside it.
func stepped() plate.Plate {
	p := sheet(10, box(0, 0, 100, 60))
	p.Pockets = []plate.Pocket{
		field(1, plate.Through, 0, 4, box(10, 20, 40, 40)),
		field(2, plate.Top, 6, 4, box(60, 20, 90, 40)),
	}
	return p
}

// TestAlongWalls runs cut lines along walls and edges: the metal on the left of the line counts there.
func TestAlongWalls(t *testing.T) {
	l := derive(t, stepped())
	// Between the ends of the straight wall, 14 to 36, the line runs along it; the corner arcs touch the line only at those
	// ends. So to the left of y = 20, going right, the window is open for 22 mm and the pocket is 4 mm deep in metal.
	for _, c := range []struct {
		name           string
		x0, y0, x1, y1 float64
		area           float64
		pieces, notes  int
	}{
		{"lower walls, window on the left", 0, 20, 100, 20, 100*10 - 22*10 - 22*6, 2, 2},
		{"lower walls, window on the right", 100, 20, 0, 20, 100 * 10, 1, 2},
		{"upper walls, window on the right", 0, 40, 100, 40, 100 * 10, 1, 2},
		{"upper walls, window on the left", 100, 40, 0, 40, 100*10 - 22*10 - 22*6, 2, 2},
		{"plate's own edge, plate on the left", 0, 0, 100, 0, 100 * 10, 1, 1},
		{"only along the pocket's wall", 50, 20, 100, 20, 50*10 - 22*6, 1, 2}, // and it starts in metal
		{"a wall met by less than a micrometre", 0, 20 + 4e-7, 100, 20 - 4e-7, 100*10 - 22*10 - 22*6, 2, 2},
	} {
		r := cut(t, l, c.x0, c.y0, c.x1, c.y1)
		// A line 4e-7 mm off the wall runs √(2·4 mm·4e-7 mm) ≈ 2 µm further inside the tangent corner arcs.
		agree(t, c.name+": area", r.Area, c.area, c.area, 1e-4)
		if r.Pieces != c.pieces || len(r.Notes) != c.notes {
			t.Errorf("%s: %d pieces, notes %q; want %d pieces, %d notes", c.name, r.Pieces, r.Notes, c.pieces, c.notes)
		}
	}
	// The same along the edge of the plate with the plate on the right is outside.
	if r, err := section.At(l, "edge", geom.Pt(100, 0), geom.Pt(0, 0)); err == nil {
		t.Errorf("along the edge with the plate on the right: %+v, want an error", r)
	}
}

// TestThroughVertices cuts through corners of the outline and of cells, and from corner to corner.
func TestThroughVertices(t *testing.T) {
	p := sheet(10, box(0, 0, 80, 60))
	p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 40, Y: 30, Diameter: 20}}
	r := cut(t, derive(t, p), 0, 0, 80, 60) // the diagonal is 100 mm long
	agree(t, "diagonal", r.Area, (100-20)*10, 800, 1e-12)
	r = cut(t, derive(t, p), -40, -30, 120, 90)
	agree(t, "diagonal, beyond the corners", r.Area, (100-20)*10, 800, 1e-12)
	agree(t, "diagonal, beyond the corners: centroid", r.Centroid[0], 50+50, 100, 1e-12)

	// Steps meet at one corner only: metal of the two sides shares no wall there.
	q := sheet(10, corners(0, 0, 50, 0, 50, 30, 100, 30, 100, 60, 0, 60))
	r = cut(t, derive(t, q), 0, -20, 100, 80) // through the re-entrant corner (50, 30)
	agree(t, "through a re-entrant corner", r.Area, 10*math.Hypot(60, 60), 800, 1e-9)
	if r.Pieces != 1 {
		t.Errorf("through a re-entrant corner: %d pieces, want 1", r.Pieces)
	}
}

// TestCornerDoesNotHold: a pocket from the top ends where one from the bottom begins; both as deep as the other's floor.
// Their metal touches only in a point of the section, which carries nothing.
func TestCornerDoesNotHold(t *testing.T) {
	p := sheet(10, box(0, 0, 100, 60))
	p.Pockets = []plate.Pocket{field(1, plate.Top, 5, 2, box(10, -10, 50, 70)), field(2, plate.Bottom, 5, 2, box(50, -10, 90, 70))}
	r := cut(t, derive(t, p), 0, 30, 100, 30)
	agree(t, "area", r.Area, 100*10-80*5, 600, 1e-12)
	if r.Pieces != 2 {
		t.Errorf("%d pieces, want 2: %+v", r.Pieces, r.PiecesList)
	}
	// A shallower bottom pocket leaves a wall between them.
	p.Pockets[1].Depth = 4
	if r := cut(t, derive(t, p), 0, 30, 100, 30); r.Pieces != 1 {
		t.Errorf("with 1 mm of common wall: %d pieces, want 1", r.Pieces)
	}
}

// TestDrillPoint compares the section of a drill point with the area between a hyperbola and its base: with c the half
// chord, h·(c − p²/r·asinh(c/p)), by integrating h·(1 − √(p²+u²)/r) from −c to c.
func TestDrillPoint(t *testing.T) {
	for _, side := range []plate.Side{plate.Top, plate.Bottom} {
		p := sheet(30, box(0, 0, 60, 40))
		p.Holes = []plate.Hole{{ID: 1, Name: "t", X: 25, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M12", Side: side, Depth: 8}}}
		l := derive(t, p)
		r, depth := 10.2/2, 8+5*1.75 // tap drill, drilled depth
		h := r / math.Tan(59*math.Pi/180)
		for _, off := range []float64{0, 1e-7, 0.01, 1, 2.5, 5, 5.0999, 5.1, 6} {
			got := cut(t, l, 0, 20+off, 60, 20+off)
			c := math.Sqrt(max(0, r*r-off*off))
			cone := h * c
			if off > 0 {
				cone -= h * off * off / r * math.Asinh(c/off)
			}
			want := 60*30 - 2*c*depth - cone
			if math.Abs(got.Area-want) > 2*c*section.PolylineTol+1e-9 {
				t.Errorf("%s, %v mm off the axis: area %.9g, want %.9g", side, off, got.Area, want)
			}
			if (got.PolylineTol > 0) != (off > 0 && off < r-1e-6 || off == 0) {
				t.Errorf("%s, %v mm off the axis: polyline tolerance %v", side, off, got.PolylineTol)
			}
			if got.Pieces != 1 {
				t.Errorf("%s, %v mm off the axis: %d pieces", side, off, got.Pieces)
			}
		}
		// Through the axis the point is two straight lines, and the section is exact: three rectangles and a triangle.
		got := cut(t, l, 0, 20, 60, 20)
		z := func(fromFace float64) float64 {
			if side == plate.Top {
				return 30 - fromFace
			}
			return fromFace
		}
		tri := area{a: -r * h, s: 25, z: z(depth + h/3), ss: -2 * r * h * h * h / 36, zz: -h * r * r * r / 6}
		want := join(area{1800, 30, 15, 60 * 30 * 30 * 30 / 12, 30 * 60 * 60 * 60 / 12, 0},
			area{-2 * r * depth, 25, z(depth / 2), -2 * r * depth * depth * depth / 12, -depth * 8 * r * r * r / 12, 0}, tri)
		agree(t, "area", got.Area, want.a, want.a, 1e-12)
		agree(t, "s", got.Centroid[0], want.s, 60, 1e-12)
		agree(t, "z", got.Centroid[1], want.z, 30, 1e-12)
		agree(t, "iss", got.ISS, want.ss, want.ss, 1e-12)
		agree(t, "izz", got.IZZ, want.zz, want.zz, 1e-12)
		agree(t, "isz", got.ISZ, want.sz, want.zz, 1e-12)
	}
}

// TestPointMeetsPocket: where a drill point stands over a pocket from the other side, the void is taken once only.
func TestPointMeetsPocket(t *testing.T) {
	p := sheet(20, box(0, 0, 60, 40))
	p.Holes = []plate.Hole{{ID: 1, Name: "t", X: 30, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M12", Side: plate.Top, Depth: 5}}}
	r, depth := 10.2/2, 5+5*1.75
	h := r / math.Tan(59*math.Pi/180)
	floor := depth + h/2 // the pocket's floor cuts the cone at half its height
	p.Pockets = []plate.Pocket{field(2, plate.Bottom, 20-floor, 4, box(10, 5, 50, 35))}
	got := cut(t, derive(t, p), 0, 20, 60, 20)
	want := 60*20 - 40*(20-floor) - 2*r*depth - (2*r+r)/2*h/2 // a trapezium of the cone
	agree(t, "area", got.Area, want, want, 1e-12)
	if got.Pieces != 2 {
		t.Errorf("%d pieces, want 2: the point breaks into the pocket", got.Pieces)
	}
}

// TestEnds: the section is of the metal between the ends of the line, and says so where an end lies in metal.
func TestEnds(t *testing.T) {
	l := derive(t, bored())
	r := cut(t, l, 20, 10, 20, 45)
	agree(t, "area", r.Area, 35*15, 525, 1e-12)
	if len(r.Notes) != 2 || !strings.Contains(r.Notes[0], "starts inside the metal") || !strings.Contains(r.Notes[1], "ends inside the metal") {
		t.Errorf("notes %q, want that it starts and ends inside the metal", r.Notes)
	}
	if r = cut(t, l, 60, 30, 60, 80); len(r.Notes) != 0 || r.Pieces != 1 {
		t.Errorf("from the bore outwards: notes %q, %d pieces", r.Notes, r.Pieces)
	}
	if r = cut(t, l, 20, 0, 20, 60); len(r.Notes) != 0 {
		t.Errorf("from edge to edge: notes %q", r.Notes)
	}
}

func TestRefuses(t *testing.T) {
	l := derive(t, bored())
	soft := *l
	soft.Plate.Stock.Material.Young = math.NaN()
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name, want string
		l          *layout.Layout
		a, b       geom.Point
	}{
		{"no layout", "no map", nil, geom.Pt(0, 0), geom.Pt(1, 1)},
		{"empty layout", "no map", &layout.Layout{}, geom.Pt(0, 0), geom.Pt(1, 1)},
		{"no modulus", "Young's modulus", &soft, geom.Pt(0, 30), geom.Pt(120, 30)},
		{"same point", "same point", l, geom.Pt(10, 10), geom.Pt(10, 10)},
		{"almost the same point", "same point", l, geom.Pt(10, 10), geom.Pt(10, 10.0001)},
		{"not a number", "not a number", l, geom.Pt(nan, 0), geom.Pt(1, 1)},
		{"not a number at the end", "not a number", l, geom.Pt(0, 0), geom.Pt(1, nan)},
		{"infinite", "not a number within", l, geom.Pt(0, -inf), geom.Pt(1, 1)},
		{"absurd", "not a number within", l, geom.Pt(0, 0), geom.Pt(1e300, 0)},
		{"outside", "meets no metal", l, geom.Pt(-10, 70), geom.Pt(200, 70)},
		{"too short to reach", "meets no metal", l, geom.Pt(-30, 30), geom.Pt(-10, 30)},
		{"inside the bore", "meets no metal", l, geom.Pt(55, 30), geom.Pt(65, 30)},
	} {
		r, err := section.At(c.l, "Neck", c.a, c.b)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), `"Neck"`) {
			t.Errorf("%s: At = %+v, %v; want an error with %q and the name", c.name, r, err, c.want)
		}
	}
}

// busy is a plate with pockets from both sides that overlap, a window, bores, through and blind holes, a rim and a rib.
func busy() plate.Plate {
	p := sheet(20, []plate.Corner{
		{X: 0, Y: 0, Radius: 15},
		{X: 210, Y: -10, Radius: 20, Arc: true, ThroughX: 235, ThroughY: 50},
		{X: 200, Y: 120, Radius: 25},
		{X: 90, Y: 95, Radius: 30},
		{X: -5, Y: 130, Radius: 12},
	})
	p.Rim = 7
	p.Bores = []plate.Bore{{ID: 1, Name: "A", X: 45, Y: 40, Diameter: 32, Boss: 8}, {ID: 2, Name: "B", X: 170, Y: 60, Diameter: 26, Boss: 6}}
	p.Holes = []plate.Hole{
		{ID: 4, Name: "D", X: 100, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M5", Side: plate.Top, Depth: 8, Boss: 5}},
		{ID: 5, Name: "E", X: 15, Y: 100, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Bottom, Depth: 9, Boss: 4}},
	}
	p.Ribs = []plate.Rib{{ID: 7, Name: "rib", From: plate.RibEnd{Feature: 1}, To: plate.RibEnd{Feature: 2}, Width: 6}}
	p.Pockets = []plate.Pocket{
		{ID: 8, Name: "top", Side: plate.Top, Depth: 9, Radius: 4, AllRibs: true},
		{ID: 9, Name: "bottom", Side: plate.Bottom, Depth: 6, Radius: 3, AllRibs: true, Bounds: corners(60, 0, 150, 5, 140, 110, 70, 90)},
		{ID: 10, Name: "window", Side: plate.Through, Radius: 3, Bounds: box(20, 70, 50, 85)},
	}
	return p
}

// TestSweep adds up sections across a plate: their areas and moments must give the volume, centroid and inertia that the
// mass has from the plan, by the midpoint rule over 2000 sections.
func TestSweep(t *testing.T) {
	l := derive(t, busy())
	m, err := mass.Of(l)
	if err != nil {
		t.Fatal(err)
	}
	b := l.Outline.Box()
	const n = 2000
	dx := b.Width() / n
	var v, vx, vy, vz, zz, yy, yz float64
	for i := range n {
		x := b.Min.X + (float64(i)+0.5)*dx
		r := cut(t, l, x, b.Min.Y-1, x, b.Max.Y+1)
		a := r.Area * dx
		y, z := r.Centroid[0]+b.Min.Y-1, r.Centroid[1]
		v += a
		vx += a * x
		vy += a * y
		vz += a * z
		yy += r.IZZ*dx + a*y*y
		zz += r.ISS*dx + a*z*z
		yz += r.ISZ*dx + a*y*z
	}
	agree(t, "volume", v, m.Volume, m.Volume, 1e-5)
	agree(t, "x", vx/v, m.Centroid[0], 100, 5e-5)
	agree(t, "y", vy/v, m.Centroid[1], 100, 5e-5)
	agree(t, "z", vz/v, m.Centroid[2], 10, 1e-5)
	rho := m.Density * 1e-9
	y, z := vy/v, vz/v
	agree(t, "inertia xx", rho*(yy+zz-v*(y*y+z*z)), m.Inertia.XX, m.Inertia.XX, 1e-5)
	agree(t, "inertia yz", -rho*(yz-v*y*z), m.Inertia.YZ, m.Inertia.XX, 1e-5)
}

// TestTurned turns plate and line together by odd angles, and the line end for end.
func TestTurned(t *testing.T) {
	base := cut(t, derive(t, stepped()), 5, -3, 93, 62)
	if base.Pieces < 2 {
		t.Fatalf("the section of this test has %d pieces, want several", base.Pieces)
	}
	compare := func(name string, r section.Result, flip float64) {
		t.Helper()
		agree(t, name+": area", r.Area, base.Area, base.Area, 1e-9)
		agree(t, name+": z", r.Centroid[1], base.Centroid[1], 10, 1e-9)
		agree(t, name+": iss", r.ISS, base.ISS, base.ISS, 1e-9)
		agree(t, name+": izz", r.IZZ, base.IZZ, base.IZZ, 1e-9)
		agree(t, name+": isz", flip*r.ISZ, base.ISZ, base.IZZ, 1e-9)
		agree(t, name+": I1", r.I1, base.I1, base.I1, 1e-9)
		agree(t, name+": I2", r.I2, base.I2, base.I2, 1e-9)
		if r.Pieces != base.Pieces {
			t.Errorf("%s: %d pieces, want %d", name, r.Pieces, base.Pieces)
		}
	}
	compare("end for end", cut(t, derive(t, stepped()), 93, 62, 5, -3), -1)
	for _, deg := range []float64{90, 17.3, 211.9} {
		f := geom.Rotation(deg * math.Pi / 180).Then(geom.Translation(geom.Pt(40, -900)))
		p := stepped()
		turn := func(cs []plate.Corner) {
			for i := range cs {
				q := f.Apply(geom.Pt(cs[i].X, cs[i].Y))
				cs[i].X, cs[i].Y = q.X, q.Y
			}
		}
		turn(p.Outline.Corners)
		for i := range p.Pockets {
			turn(p.Pockets[i].Bounds)
		}
		a, b := f.Apply(geom.Pt(5, -3)), f.Apply(geom.Pt(93, 62))
		compare(fmt.Sprintf("turned by %v°", deg), cut(t, derive(t, p), a.X, a.Y, b.X, b.Y), 1)
	}
}

func BenchmarkAt(b *testing.B) {
	l := derive(b, busy())
	b.ReportAllocs()
	for b.Loop() {
		if _, err := section.At(l, "bench", geom.Pt(-10, 55), geom.Pt(240, 66)); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleAt() {
	l, err := layout.Derive(sheet(12, box(0, 0, 200, 50)))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := section.At(l, "Middle", geom.Pt(100, 0), geom.Pt(100, 50))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d piece, %.0f mm², EI %.3g N·mm² out of the plane\n", r.Pieces, r.Area, r.EISS)
	// Output: 1 piece, 600 mm², EI 5.04e+08 N·mm² out of the plane
}
