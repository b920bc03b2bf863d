package layout

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestLattice: every triangle is equilateral and counter-clockwise, its middle is found in it, and the lines of the three
// families run along its sides.
func TestLattice(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	for range 200 {
		g := isogrid(1, 20+80*rng.Float64(), 4, 720*rng.Float64()-360, 100*rng.Float64(), 100*rng.Float64())
		l := newLattice(&g)
		at := tile{rng.IntN(20) - 10, rng.IntN(20) - 10, rng.IntN(2)}
		if got := l.locate(l.centre(at)); got != at {
			t.Errorf("locate(centre(%v)) = %v", at, got)
		}
		c := l.corners(at, 0)
		for i := range c {
			if d := c[i].Dist(c[(i+1)%3]); math.Abs(d-g.Pitch) > 1e-9 {
				t.Errorf("side of %v is %v, want the pitch %v", at, d, g.Pitch)
			}
		}
		if c[1].Sub(c[0]).Cross(c[2].Sub(c[0])) <= 0 {
			t.Errorf("triangle %v is clockwise", at)
		}
		// The triangle k = 0 stands on its side along the first family and points along that family's normal; k = 1 hangs.
		_, n := l.family(0)
		lo, hi := 0, 0 // corners on the lower and the upper of the two lines of the first family
		for _, q := range c {
			if v := n.Dot(q.Sub(l.centre(at))); v < 0 {
				lo++
			} else {
				hi++
			}
		}
		if lo != 2-at.k || hi != 1+at.k {
			t.Errorf("triangle %v has %d corners below and %d above its middle", at, lo, hi)
		}
		for m := range 3 {
			dir, normal := l.family(m)
			on := 0
			for i := range c {
				side := c[(i+1)%3].Sub(c[i]).Unit()
				if math.Abs(side.Cross(dir)) < 1e-9 {
					k := normal.Dot(c[i].Sub(l.origin)) / l.h
					if math.Abs(k-math.Round(k)) < 1e-9 {
						on++
					}
				}
			}
			if on != 1 {
				t.Errorf("triangle %v has %d sides on lines of family %d, want 1", at, on, m)
			}
		}
	}
}

// TestRoundedTriangle: the closed form of a free cell against the geometry engine and against the area formula.
func TestRoundedTriangle(t *testing.T) {
	g := isogrid(1, 60, 5, 12.5, 3, 4)
	l := newLattice(&g)
	for k := range 2 {
		at := tile{2, -3, k}
		const r = 6.0
		got := l.roundedTile(at, l.half, r)
		if err := got.Check(); err != nil {
			t.Fatal(err)
		}
		want, err := geom.Open(geom.RegionOf(l.sharpTile(at, l.half)), r)
		if err != nil {
			t.Fatal(err)
		}
		if x, err := geom.Xor(want, geom.RegionOf(got)); err != nil || x.Area() > 1e-9 {
			t.Errorf("closed form and opening differ by %v mm² (%v)", x.Area(), err)
		}
		h := l.h - 1.5*g.Width // height of the sharp triangle
		if form := h*h/math.Sqrt(3) - r*r*(3*math.Sqrt(3)-math.Pi); !near(got.Area(), form, 1e-13) {
			t.Errorf("area %v, formula %v", got.Area(), form)
		}
	}
}

func TestSubtract(t *testing.T) {
	full := []Interval{{0, 15}}
	for _, c := range []struct {
		name  string
		cuts  [][2]float64
		want  []Interval
		start []Interval
	}{
		{"from the top", [][2]float64{{10, 15}}, []Interval{{0, 10}}, full},
		{"from the bottom", [][2]float64{{0, 4}}, []Interval{{4, 15}}, full},
		{"from both", [][2]float64{{10, 15}, {0, 4}}, []Interval{{4, 10}}, full},
		{"meeting", [][2]float64{{6, 15}, {0, 6}}, nil, full},
		{"meeting but for rounding", [][2]float64{{6 + 1e-12, 15}, {0, 6}}, nil, full},
		{"crossing", [][2]float64{{4, 15}, {0, 8}}, nil, full},
		{"through", [][2]float64{{0, 15}}, nil, full},
		{"beyond", [][2]float64{{-3, 20}}, nil, full},
		{"a groove", [][2]float64{{6, 8}}, []Interval{{0, 6}, {8, 15}}, full},
		{"out of two", [][2]float64{{6, 8}, {2, 7}}, []Interval{{0, 2}, {8, 15}}, full},
		{"beside", [][2]float64{{15, 17}}, full, full},
	} {
		got := append([]Interval(nil), c.start...)
		for _, k := range c.cuts {
			got = subtractIn(got, k[0], k[1])
		}
		if !sameMetal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// TestAnchors: a choice to keep a cell follows its triangle or its place through edits, and rests when no piece is there.
func TestAnchors(t *testing.T) {
	state := func(p plate.Plate, q geom.Point) CellState {
		l := mustDerive(t, p)
		checkInvariants(t, l)
		i := l.CellAt(q, plate.Top)
		if i < 0 {
			return ""
		}
		return l.Cells[i].State
	}
	p := rectangle(300, 200, 10, 10)
	p.Grids = []plate.Grid{isogrid(1, 60, 5, 0, 150, 100)}
	p.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 60, Y: 60, Diameter: 20, Boss: 6}}
	k := pocket(3, plate.Top, 8, 4)
	at := tile{0, 0, 1}
	k.Kept = []plate.Anchor{{Grid: 1, I: at.i, J: at.j, K: at.k}}
	p.Pockets = []plate.Pocket{k}
	centre := func(p plate.Plate) geom.Point { l := newLattice(&p.Grids[0]); return l.centre(at) }
	check := func(what string, p plate.Plate, q geom.Point, want CellState) {
		t.Helper()
		if got := state(p, q); got != want {
			t.Errorf("%s: the cell is %q, want %q", what, got, want)
		}
	}
	check("as chosen", p, centre(p), CellKept)
	q := p
	q.Grids = []plate.Grid{isogrid(1, 52, 5, 0, 150, 100)}
	check("another pitch", q, centre(q), CellKept)
	q.Grids = []plate.Grid{isogrid(1, 60, 5, 11, 150, 100)}
	check("another angle", q, centre(q), CellKept)
	q = p
	q.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 170, Y: 118, Diameter: 10, Boss: 3}}
	check("a bore moved into the triangle", q, centre(q).Add(geom.Pt(-9, 6)), CellKept)
	check("undone", p, centre(p), CellKept)
	check("its neighbour", p, centre(p).Add(geom.Pt(60, 0)), CellCut)

	// By place: two ribs, three cells.
	r := rectangle(300, 200, 10, 10)
	r.Ribs = []plate.Rib{
		{ID: 5, Name: "a", From: plate.RibEnd{X: 100, Y: 0}, To: plate.RibEnd{X: 100, Y: 200}, Width: 6},
		{ID: 6, Name: "b", From: plate.RibEnd{X: 200, Y: 0}, To: plate.RibEnd{X: 200, Y: 200}, Width: 6},
	}
	k = pocket(3, plate.Top, 8, 4)
	k.Kept = []plate.Anchor{{X: 120, Y: 100}}
	r.Pockets = []plate.Pocket{k}
	check("by place", r, geom.Pt(150, 100), CellKept)
	r.Ribs[0].From.X, r.Ribs[0].To.X = 80, 80
	check("a rib moved, the place still in the middle cell", r, geom.Pt(150, 100), CellKept)
	r.Ribs[0].From.X, r.Ribs[0].To.X = 140, 140
	check("the rib moved past the place", r, geom.Pt(150, 100), CellCut)
	check("the rib moved past the place", r, geom.Pt(60, 100), CellKept)

	// A kept cell names the choice that keeps it, so that it can be taken back.
	l := mustDerive(t, r)
	if c := l.Cells[l.CellAt(geom.Pt(60, 100), plate.Top)]; c.Anchor != k.Kept[0] {
		t.Errorf("the kept cell is anchored %+v, want the choice %+v", c.Anchor, k.Kept[0])
	}
	// Every anchor that the layout offers keeps its own cell and no other of a different triangle.
	most := 12
	if long() {
		most = 40
	}
	for _, doc := range []plate.Plate{p, r, largePlate(70)} {
		doc.Pockets = append([]plate.Pocket(nil), doc.Pockets...)
		doc.Pockets[0].Kept = nil
		l := mustDerive(t, doc)
		for i, c := range l.Cells {
			if c.State != CellCut {
				continue
			}
			doc.Pockets[0].Kept = []plate.Anchor{c.Anchor}
			m := mustDerive(t, doc)
			if len(m.Cells) != len(l.Cells) || m.Cells[i].State != CellKept {
				t.Fatalf("cell %d anchored %+v is not kept by that anchor", i, c.Anchor)
			}
			for j := range m.Cells {
				if j != i && m.Cells[j].State == CellKept && (c.Anchor.Grid == 0 || m.Cells[j].Anchor != c.Anchor) {
					t.Errorf("anchor %+v of cell %d keeps cell %d too", c.Anchor, i, j)
				}
			}
			if i > most {
				break
			}
		}
	}
}

// TestPocketsBothSides: floors, windows and overlaps by their metal.
func TestPocketsBothSides(t *testing.T) {
	p := rectangle(200, 120, 10, 10)
	top, bottom, low := pocket(1, plate.Top, 5, 5), pocket(2, plate.Bottom, 6, 5), pocket(3, plate.Top, 9, 5)
	half := func(x0, x1 float64) []plate.Corner {
		return []plate.Corner{{X: x0, Y: 20}, {X: x1, Y: 20}, {X: x1, Y: 100}, {X: x0, Y: 100}}
	}
	top.Bounds, bottom.Bounds, low.Bounds = half(20, 120), half(80, 180), half(100, 150)
	p.Pockets = []plate.Pocket{top, bottom, low}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	for _, c := range []struct {
		x    float64
		want []Interval
	}{
		{5, []Interval{{0, 15}}},
		{50, []Interval{{0, 10}}},
		{90, []Interval{{6, 10}}},
		{110, nil}, // 9 from the top and 6 from the bottom of 15
		{140, nil},
		{170, []Interval{{6, 15}}},
		{199, []Interval{{0, 15}}},
		{204, nil}, // outside the outline
	} {
		got := l.Map.Metal[l.Map.Locate(geom.Pt(c.x, 60))]
		if !sameMetal(got, c.want) {
			t.Errorf("metal at x %v is %v, want %v", c.x, got, c.want)
		}
	}
	if c := codes(l); c["pockets-meet"] != 1 || c["pockets-overlap"] != 1 {
		t.Errorf("findings %v, want one of meeting and one of overlapping pockets", c)
	}
	if i := l.CellAt(geom.Pt(110, 60), plate.Top); l.Cells[i].Pocket != 3 {
		t.Errorf("the top cell at x 110 is of pocket %d, want the deeper one, 3", l.Cells[i].Pocket)
	}
	if i := l.CellAt(geom.Pt(110, 60), plate.Bottom); l.Cells[i].Pocket != 2 {
		t.Errorf("the bottom cell at x 110 is of pocket %d, want 2", l.Cells[i].Pocket)
	}
}

func TestFeatureAt(t *testing.T) {
	p := rectangle(200, 120, 10, 10)
	p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 100, Y: 60, Diameter: 20, Boss: 8}}
	p.Holes = []plate.Hole{clearance8(4, 30, 30, 0)}
	p.Circles = []plate.BoltCircle{{ID: 5, Name: "ring", Bore: 3, Diameter: 60, Count: 4, HoleForm: clearance8(0, 0, 0, 0).HoleForm}}
	p.Ribs = []plate.Rib{{ID: 6, Name: "rib", From: plate.RibEnd{X: 150, Y: 0}, To: plate.RibEnd{X: 150, Y: 120}, Width: 8}}
	p.CutLines = []plate.CutLine{{ID: 7, Name: "A–A", X1: 0, Y1: 90, X2: 200, Y2: 90}}
	p.Pockets = []plate.Pocket{pocket(8, plate.Top, 5, 5)}
	l := mustDerive(t, p)
	for _, c := range []struct {
		x, y float64
		id   plate.ID
		kind HitKind
	}{
		{100, 60, 3, HitBore},
		{115, 60, 3, HitBore}, // its boss
		{30, 34, 4, HitHole},
		{130, 60, 5, HitCircle},
		{150, 20, 6, HitRib},
		{50, 90.5, 7, HitCutLine},
		{200.4, 60, 0, HitOutline},
		{60, 40, 8, HitPocket},
		{5, 60, 0, HitPlate},
		{230, 60, 0, HitNothing},
	} {
		id, kind := l.FeatureAt(geom.Pt(c.x, c.y), 1)
		if id != c.id || kind != c.kind {
			t.Errorf("FeatureAt(%v, %v) = %d %q, want %d %q", c.x, c.y, id, kind, c.id, c.kind)
		}
	}
}
