package layout

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// grown is a rectangle 200 × 120 mm with a rim of 10, the grid in it, and a pocket of inside corner radius r.
func grown(g plate.Grid, r float64) plate.Plate {
	p := rectangle(200, 120, 0, 10)
	g.ID, g.Name = 1, "grid"
	p.Grids = []plate.Grid{g}
	p.Pockets = []plate.Pocket{pocket(9, plate.Top, 5, r)}
	return p
}

// areas are the areas of the cells that are cut, ascending.
func areas(l *Layout) []float64 {
	var a []float64
	for i := range l.Cells {
		if l.Cells[i].State == CellCut {
			a = append(a, l.Cells[i].Area)
		}
	}
	slices.Sort(a)
	return a
}

func checkAreas(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	slices.Sort(want)
	if len(got) != len(want) {
		t.Errorf("%s: %d cells %.3f, want %d %.3f", what, len(got), got, len(want), want)
		return
	}
	for i := range got {
		if !near(got[i], want[i], tol) {
			t.Errorf("%s: cell %d of %.9f mm², want %.9f", what, i, got[i], want[i])
		}
	}
}

func repeat(v float64, n int) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// offCorner is what a corner radius r takes off a right angle.
func offCorner(r float64) float64 { return (1 - math.Pi/4) * r * r }

// TestRibFields holds the cells of each kind of field to areas by hand.
func TestRibFields(t *testing.T) {
	const r = 4.0
	for _, c := range []struct {
		name string
		g    plate.Grid
		want []float64
	}{
		// Lines at x 10, 55, 100, 145, 190 and y 10, 60, 110: four by two cells, all alike, with the rim's inner edge on lines.
		{"orthogrid on the rim", plate.Grid{Kind: plate.Orthogrid, Pitch: 50, PitchY: 45, X: 100, Y: 60, Width: 6}, repeat(39*44-4*offCorner(r), 8)},
		{"orthogrid, turned by a right angle", plate.Grid{Kind: plate.Orthogrid, Pitch: 45, PitchY: 50, AngleDeg: 90, X: 100, Y: 60, Width: 6}, repeat(39*44-4*offCorner(r), 8)},
		{
			"square orthogrid",
			plate.Grid{Kind: plate.Orthogrid, Pitch: 60, X: 100, Y: 60, Width: 8},
			append(repeat(52*46-4*offCorner(r), 4), repeat(26*46-4*offCorner(r), 4)...),
		},
		{"orthogrid with fillets", plate.Grid{Kind: plate.Orthogrid, Pitch: 50, PitchY: 45, X: 100, Y: 60, Width: 6, Fillet: 9}, repeat(39*44-4*offCorner(9), 8)},
		{"orthogrid with fillets below the cutter", plate.Grid{Kind: plate.Orthogrid, Pitch: 50, PitchY: 45, X: 100, Y: 60, Width: 6, Fillet: 2}, repeat(39*44-4*offCorner(r), 8)},
		{
			"parallel",
			plate.Grid{Kind: plate.Parallel, Pitch: 40, AngleDeg: 90, X: 100, Y: 0, Width: 5},
			repeat(35*100-4*offCorner(r), 4),
		},
		// 180 over 44 is nearest to 4 parts of 45, 100 over 44 to 2 of 50; with 6 mm of rib all cells are alike.
		{"fitted orthogrid", plate.Grid{Kind: plate.Orthogrid, Pitch: 44, X: 3, Y: 17, Width: 6, Fitted: true}, repeat(39*44-4*offCorner(r), 8)},
		{"fitted parallel", plate.Grid{Kind: plate.Parallel, Pitch: 31, X: 3, Y: 17, Width: 6, Fitted: true}, repeat(180*(100./3-6)-4*offCorner(r), 3)},
		{
			"bounded orthogrid with its edge rib",
			plate.Grid{
				Kind: plate.Orthogrid, Pitch: 30, X: 70, Y: 60, Width: 4,
				Bounds: []plate.Corner{{X: 40, Y: 30}, {X: 100, Y: 30}, {X: 100, Y: 90}, {X: 40, Y: 90}},
			},
			append(repeat(26*26-4*offCorner(r), 4), 180*100-64*64+4*offCorner(2)-4*offCorner(r)),
		},
		{
			"uniform directions",
			plate.Grid{Kind: plate.Directions, Pitch: 40, X: 100, Y: 60, Width: 5, Samples: []plate.Direction{{X: 3, Y: 9, AngleDeg: 90}, {X: 90, Y: 80, AngleDeg: -90}}},
			repeat(35*100-4*offCorner(r), 4),
		},
		{
			"uniform directions, crossed",
			plate.Grid{Kind: plate.Directions, Crossed: true, Pitch: 60, X: 100, Y: 60, Width: 8, Samples: []plate.Direction{{AngleDeg: 180}}},
			append(repeat(52*46-4*offCorner(r), 4), repeat(26*46-4*offCorner(r), 4)...),
		},
	} {
		p := grown(c.g, r)
		if c.name == "parallel" || c.name == "uniform directions" {
			// Inside the rim from 17.5 to 182.5: lines at 20, 60, 100, 140 and 180 leave four cells.
			for i := range p.Outline.Corners {
				p.Outline.Corners[i].X = [4]float64{7.5, 192.5, 192.5, 7.5}[i]
			}
		}
		l := mustDerive(t, p)
		checkInvariants(t, l)
		tol := 1e-10
		if c.g.Kind == plate.Directions {
			tol = 1e-6
		}
		checkAreas(t, c.name, areas(l), c.want, tol)
	}
}

// TestOrthogridShare: the rib share of plan area of an unbounded orthogrid is 1 − (1 − b/p)(1 − b/q), and its mean thickness
// the exact one of testdata/layout/isogrid.csv (elementary geometry), which the usual t + 2bd/s overstates by b²d/s².
func TestOrthogridShare(t *testing.T) {
	rows := readRows(t, "../../testdata/layout/isogrid.csv")
	mean := func(id string) float64 { // for t 2, d 8, b 2 and s 40 mm
		v, err := strconv.ParseFloat(rows[id]["result"], 64)
		if err != nil {
			t.Fatalf("row %s: %v", id, err)
		}
		return v
	}
	for _, c := range [][4]float64{{40, 40, 2, 0}, {30, 55, 4, 21.7}, {61.3, 24.8, 3.1, -77}} {
		p, q, b, angle := c[0], c[1], c[2], c[3]
		const r = 1.5
		g := plate.Grid{Kind: plate.Orthogrid, Pitch: p, PitchY: q, AngleDeg: angle, X: 450, Y: 450, Width: b}
		doc := grown(g, r)
		doc.Outline = rectangle(900, 900, 0, 0).Outline
		l := newLattice(&doc.Grids[0])
		for _, n := range [4][2]int{{-2, -1}, {2, -1}, {2, 2}, {-2, 2}} {
			k := l.node(n[0], n[1])
			doc.Pockets[0].Bounds = append(doc.Pockets[0].Bounds, plate.Corner{X: k.X, Y: k.Y})
		}
		out := mustDerive(t, doc)
		checkInvariants(t, out)
		area, n := cutArea(out)
		if n != 12 {
			t.Fatalf("%v: %d cells, want 12", c, n)
		}
		got := 1 - (area/12+4*offCorner(r))/(p*q)
		if want := 1 - (1-b/p)*(1-b/q); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: rib share %.15f, want %.15f", c, got, want)
		}
		if p != 40 {
			continue
		}
		if m, want := 2+8*got, mean("ortho-ex-t_bar_exact"); math.Abs(m-want) > 1e-12 {
			t.Errorf("mean thickness %v, want %v", m, want)
		}
		if over, want := mean("ortho-ex-t_bar")-(2+8*got), 8*b*b/(p*p); math.Abs(over-want) > 1e-12 {
			t.Errorf("t + 2bd/s is %v above the mean thickness, want %v", over, want)
		}
	}
}

// TestIsogridLimit: the handbook's rib share 3b/h (its weight thickness t(1 + 3α) less t, over d) is the exact
// 1 − (1 − 3b/2h)² only as b/h goes to 0: 3.9 % too much at b/h = 0.05, and ten times less for ribs ten times thinner.
func TestIsogridLimit(t *testing.T) {
	over := func(ratio float64) float64 {
		const a, r = 100.0, 0.5
		b := ratio * a * math.Sqrt(3) / 2
		l := mustDerive(t, patch(a, b, 2, 8, r, 11))
		area, n := cutArea(l)
		tri := a * a * math.Sqrt(3) / 4
		share := 1 - (area+float64(n)*r*r*(math.Sqrt(3)-math.Pi/3)*3)/(float64(n)*tri)
		return 3*ratio/share - 1
	}
	if got := over(0.05); math.Abs(got-0.039) > 5e-4 {
		t.Errorf("at b/h = 0.05 the handbook is %.4f too high, want 0.039", got)
	}
	last := over(0.05)
	for _, ratio := range []float64{0.005, 0.0005} {
		got := over(ratio)
		if k := last / got; math.Abs(k-10) > 0.4 {
			t.Errorf("at b/h = %v the handbook is %v too high, which is %v times less than at ten times the width, want 10", ratio, got, k)
		}
		last = got
	}
}

// TestIsogridFillet: node fillets round the corners of the triangles.
func TestIsogridFillet(t *testing.T) {
	for _, f := range []float64{1, 3, 8} {
		const a, b, r = 80.0, 5.0, 3.0
		p := patch(a, b, 2, 8, r, 0)
		p.Grids[0].Fillet = f
		l := mustDerive(t, p)
		checkInvariants(t, l)
		h := a*math.Sqrt(3)/2 - 1.5*b // height of the sharp triangle
		k := max(f, r)
		want := h*h/math.Sqrt(3) - k*k*(3*math.Sqrt(3)-math.Pi)
		checkAreas(t, "isogrid", areas(l), repeat(want, 24), 1e-11)
	}
}

// TestArcedRib: two arced ribs make a ring concentric with a round plate: a disc and an annulus are left.
func TestArcedRib(t *testing.T) {
	p := rectangle(1, 1, 0, 9)
	p.Outline.Corners = []plate.Corner{{X: -80, Arc: true, ThroughY: -80}, {X: 80, Arc: true, ThroughY: 80}}
	at := func(x float64) plate.RibEnd { return plate.RibEnd{X: x} }
	p.Ribs = []plate.Rib{
		{ID: 1, Name: "over", From: at(-40), To: at(40), Width: 8, Arc: true, ThroughY: 40},
		{ID: 2, Name: "under", From: at(40), To: at(-40), Width: 8, Arc: true, ThroughY: -40},
	}
	p.Pockets = []plate.Pocket{pocket(9, plate.Top, 5, 6)}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	checkAreas(t, "ring", areas(l), []float64{math.Pi * 36 * 36, math.Pi * (71*71 - 44*44)}, 1e-12)
	if len(l.Findings) > 0 {
		t.Errorf("findings %v", l.Findings)
	}
	if len(l.Strips) != 2 || !l.Strips[0].Arc || math.Abs(l.Strips[0].Edge().R-40) > 1e-9 {
		t.Errorf("strips %+v, want two arcs of radius 40", l.Strips)
	}
	for _, s := range l.Labels.Shares {
		if s.Kind == OwnRib && !near(s.PlanArea, math.Pi*(44*44-36*36)/2, 0.05) {
			t.Errorf("%s holds %v mm², want about half the ring", s.Name, s.PlanArea)
		}
	}
	if id, kind := l.FeatureAt(geom.Pt(0, -41), 0); id != 2 || kind != HitRib {
		t.Errorf("at the lower arc: %d %q, want rib 2", id, kind)
	}
	p.Ribs[0].ThroughY = 0
	if c := codes(mustDerive(t, p)); c["rib-no-arc"] != 1 {
		t.Errorf("an arc through three points on a line: findings %v", c)
	}
}

// TestSnap: a rib's end that misses a bore, a node or another rib's end by hundredths is moved there, and a note says so.
func TestSnap(t *testing.T) {
	p := grown(plate.Grid{Pitch: 60, Width: 4, X: 100, Y: 60}, 4)
	p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 50, Y: 40, Diameter: 12, Boss: 4}}
	p.Ribs = []plate.Rib{
		{ID: 4, Name: "to the bore", Width: 5, From: plate.RibEnd{X: 50.03, Y: 39.98}, To: plate.RibEnd{X: 50, Y: 0}},
		{ID: 5, Name: "to the node", Width: 5, From: plate.RibEnd{X: 100.02, Y: 60.01}, To: plate.RibEnd{X: 100, Y: 125}},
		{ID: 6, Name: "to the rib", Width: 5, From: plate.RibEnd{X: 100.01, Y: 124.99}, To: plate.RibEnd{X: 150, Y: 110}},
		{ID: 7, Name: "too far to be a slip", Width: 5, From: plate.RibEnd{X: 50.2, Y: 40}, To: plate.RibEnd{X: 0, Y: 40}},
	}
	d := newDeriver(t.Context(), &p, routeFast)
	for _, step := range []func() error{d.makeOutline, d.makeRounds, d.makeRibs} {
		if err := step(); err != nil {
			t.Fatal(err)
		}
	}
	for i, want := range []geom.Point{{X: 50, Y: 40}, {X: 100, Y: 60}, {X: 100, Y: 125}, {X: 50.2, Y: 40}} {
		if got := d.ribs[i].a; got != want {
			t.Errorf("rib %d begins at %v, want %v", i, got, want)
		}
	}
	if c := codes(d.l); c["rib-snapped"] != 3 {
		t.Errorf("findings %v, want three of snapped ribs", c)
	}
}

// TestLocalWidths: a rib from node to node with a width of its own takes from its two cells, and gives to them.
func TestLocalWidths(t *testing.T) {
	const r = 2.0
	base := plate.Grid{Kind: plate.Orthogrid, Pitch: 50, PitchY: 45, X: 100, Y: 60, Width: 6}
	full := 39*44 - 4*offCorner(r)
	mid := plate.RibAnchor{X: 101, Y: 38}
	named := plate.RibAnchor{Lattice: true, Family: 1, Line: 0, Segment: -1} // from (100, 10) to (100, 60)
	for _, c := range []struct {
		name  string
		at    plate.RibAnchor
		width float64
		want  []float64
	}{
		{"wider", named, 8, append(repeat(full, 6), repeat(full-44, 2)...)},
		{"narrower", named, 2, append(repeat(full, 6), repeat(full+2*44, 2)...)},
		{"wider, by place", mid, 8, append(repeat(full, 6), repeat(full-44, 2)...)},
	} {
		g := base
		g.Widths = []plate.RibWidth{{At: c.at, Width: c.width}}
		p := grown(g, r)
		fast := mustDerive(t, p)
		checkInvariants(t, fast)
		slow, err := derive(t.Context(), p, routeGeneral)
		if err != nil {
			t.Fatal(err)
		}
		compareLayouts(t, fast, slow)
		checkAreas(t, c.name, areas(fast), c.want, 1e-11)
		i := fast.StripAt(geom.Pt(100, 35), 0)
		if i < 0 || fast.Strips[i].Width != c.width || fast.Strips[i].Anchor.Segment != -1 {
			t.Errorf("%s: strip %d of %+v", c.name, i, fast.Strips[max(i, 0)])
		}
		if j := fast.StripAt(geom.Pt(100, 85), 0); fast.Strips[j].Width != 6 {
			t.Errorf("%s: the next rib is %v wide, want 6", c.name, fast.Strips[j].Width)
		}
		if len(fast.Findings) > 0 {
			t.Errorf("%s: findings %v", c.name, fast.Findings)
		}
	}
	for _, at := range []plate.RibAnchor{
		{Lattice: true, Family: 1, Line: 40, Segment: 0}, {Lattice: true, Family: 2}, {Lattice: true, Family: -1}, {X: 500, Y: 60},
	} {
		g := base
		g.Widths = []plate.RibWidth{{At: at, Width: 8}}
		l := mustDerive(t, grown(g, r))
		if c := codes(l); c["anchor-inactive"] != 1 {
			t.Errorf("width at %+v: findings %v, want one that it rests", at, c)
		}
		checkAreas(t, "resting width", areas(l), repeat(full, 8), 1e-11)
	}
	// Every strip's own anchor changes that strip and no other, in fields with and without nodes.
	for _, g := range []plate.Grid{
		base,
		{Pitch: 55, Width: 4, X: 90, Y: 50, AngleDeg: 13},
		{Kind: plate.Parallel, Pitch: 35, Width: 5, AngleDeg: 70, X: 20, Y: 20},
		{Kind: plate.Spokes, Width: 5},
	} {
		p := grown(g, r)
		p.Bores = []plate.Bore{{ID: 3, Name: "a", X: 40, Y: 40, Diameter: 14, Boss: 5}, {ID: 4, Name: "b", X: 160, Y: 40, Diameter: 14, Boss: 5}, {ID: 5, Name: "c", X: 100, Y: 90, Diameter: 14, Boss: 5}}
		l := mustDerive(t, p)
		for i := range l.Strips {
			p.Grids[0].Widths = []plate.RibWidth{{At: l.Strips[i].Anchor, Width: 7}}
			m := mustDerive(t, p)
			if len(m.Strips) != len(l.Strips) {
				t.Fatalf("%s: %d strips, were %d", g.Kind, len(m.Strips), len(l.Strips))
			}
			for j := range m.Strips {
				want := l.Strips[j].Width
				if j == i {
					want = 7
				}
				if m.Strips[j].Width != want {
					t.Errorf("%s: a width at %+v of strip %d makes strip %d %v wide, want %v", g.Kind, l.Strips[i].Anchor, i, j, m.Strips[j].Width, want)
				}
			}
		}
	}
}

// TestSpokes: the links chosen between known hubs.
func TestSpokes(t *testing.T) {
	for _, c := range []struct {
		name  string
		hubs  [][2]float64
		least float64
		plus  bool // in a plate in the form of a plus
		want  string
		code  string
	}{
		{name: "two", hubs: [][2]float64{{-50, 0}, {50, 0}}, want: "12"},
		{name: "triangle", hubs: [][2]float64{{-50, 0}, {50, 0}, {0, 80}}, want: "12 13 23"},
		{name: "square: the sides and one diagonal, which the other would cross", hubs: [][2]float64{{-60, -60}, {60, -60}, {60, 60}, {-60, 60}}, want: "12 13 14 23 34"},
		{name: "square with a hub in the middle", hubs: [][2]float64{{-60, -60}, {60, -60}, {60, 60}, {-60, 60}, {0, 0}}, want: "12 14 15 23 25 34 35 45"},
		{name: "in a row: no spoke passes the middle boss", hubs: [][2]float64{{-60, 0}, {0, 0}, {70, 0}}, want: "12 23"},
		{name: "a flat triangle: the long side makes too small an angle", hubs: [][2]float64{{-100, 0}, {0, 30}, {100, 0}}, want: "12 23"},
		{name: "the same with a smaller angle", hubs: [][2]float64{{-100, 0}, {0, 30}, {100, 0}}, least: 10, want: "12 13 23"},
		{name: "a plus: the arms can only be joined by crossing", hubs: [][2]float64{{-100, 0}, {100, 0}, {0, -110}, {0, 110}}, plus: true, want: "12 34"},
		{name: "one hub", hubs: [][2]float64{{0, 0}}, want: "", code: "spokes-few"},
		{name: "out of reach", hubs: [][2]float64{{-100, 0}, {-60, 0}, {0, 110}}, plus: true, want: "12", code: "spokes-apart"},
	} {
		p := rectangle(1, 1, 0, 4)
		p.Outline.Corners = []plate.Corner{{X: -140, Y: -140}, {X: 140, Y: -140}, {X: 140, Y: 140}, {X: -140, Y: 140}}
		if c.plus {
			p.Outline.Corners = []plate.Corner{
				{X: -20, Y: -140},
				{X: 20, Y: -140},
				{X: 20, Y: -20},
				{X: 140, Y: -20},
				{X: 140, Y: 20},
				{X: 20, Y: 20},
				{X: 20, Y: 140},
				{X: -20, Y: 140},
				{X: -20, Y: 20},
				{X: -140, Y: 20},
				{X: -140, Y: -20},
				{X: -20, Y: -20},
			}
		}
		for i, h := range c.hubs {
			p.Bores = append(p.Bores, plate.Bore{ID: plate.ID(i + 1), Name: "hub", X: h[0], Y: h[1], Diameter: 16, Boss: 4})
		}
		p.Grids = []plate.Grid{{ID: 50, Name: "spokes", Kind: plate.Spokes, Width: 5, LeastAngle: c.least}}
		p.Pockets = []plate.Pocket{pocket(60, plate.Top, 5, 3)}
		l := mustDerive(t, p)
		checkInvariants(t, l)
		var links []string
		for _, s := range l.Strips {
			ends := ""
			for i, h := range c.hubs {
				if q := geom.Pt(h[0], h[1]); q.Dist(s.A) < 1e-6 || q.Dist(s.B) < 1e-6 {
					ends += string(rune('1' + i))
				}
			}
			links = append(links, ends)
		}
		slices.Sort(links)
		if got := strings.Join(links, " "); got != c.want {
			t.Errorf("%s: spokes %q, want %q", c.name, got, c.want)
		}
		if n := codes(l); c.code != "" && n[c.code] != 1 || c.code == "" && n["spokes-few"]+n["spokes-apart"] > 0 {
			t.Errorf("%s: findings %v, want %q", c.name, n, c.code)
		}
	}
}

// TestDirections: along directions round a point the ribs are circles a pitch apart, and the crossing family runs through the
// point's neighbourhood at right angles; every rib ends in something.
func TestDirections(t *testing.T) {
	c := geom.Pt(-150, 60) // outside the plate
	g := plate.Grid{Kind: plate.Directions, Pitch: 30, X: 100, Y: 60, Width: 4, Crossed: true}
	for x := 0.0; x <= 200; x += 20 {
		for y := 0.0; y <= 120; y += 20 {
			a := math.Atan2(y-c.Y, x-c.X)*180/math.Pi + 90
			g.Samples = append(g.Samples, plate.Direction{X: x, Y: y, AngleDeg: a + 180*float64(int(x+y)/20%3)})
		}
	}
	l := mustDerive(t, grown(g, 3))
	checkInvariants(t, l)
	var radii []float64
	along, across := 0, 0
	for i := range l.Strips {
		s := &l.Strips[i]
		e := s.Edge()
		m := e.Mid()
		turn := math.Abs(e.B.Sub(e.A).Unit().Dot(m.Sub(c).Unit())) // 0 along a circle, 1 along a ray
		switch {
		case turn < 0.15:
			along++
			if math.Abs(m.Y-60) < 40 {
				radii = append(radii, m.Dist(c))
			}
		case turn > 0.98:
			across++
		default:
			if e.Length() > 15 { // shorter ones lead from rib to rib
				t.Errorf("a rib of %.1f mm at %v runs slanting: %.3f", e.Length(), m, turn)
			}
		}
	}
	if along < 5 || across < 3 {
		t.Errorf("%d ribs along circles and %d across, want at least 5 and 3", along, across)
	}
	// 250 is the circle through the start; the others stand off it by whole pitches.
	for _, r := range radii {
		if k := (r - 250) / 30; math.Abs(k-math.Round(k)) > 0.1 {
			t.Errorf("a rib at radius %.2f, which is no whole number of pitches from 250", r)
		}
	}
	// A vortex in the plate: closed circles, and no hang.
	g.Crossed = false
	for i := range g.Samples {
		s := &g.Samples[i]
		s.AngleDeg = math.Atan2(s.Y-61, s.X-103)*180/math.Pi + 90
	}
	l = mustDerive(t, grown(g, 3))
	checkInvariants(t, l)
	if a := areas(l); len(a) < 4 {
		t.Errorf("a vortex leaves %d cells", len(a))
	}
}

// TestManyFields: several fields with bounds on one plate keep their own ribs, and those end in the edge ribs.
func TestManyFields(t *testing.T) {
	p := rectangle(300, 200, 8, 8)
	box := func(x0, y0, x1, y1 float64) []plate.Corner {
		return []plate.Corner{{X: x0, Y: y0, Radius: 6}, {X: x1, Y: y0, Radius: 6}, {X: x1, Y: y1, Radius: 6}, {X: x0, Y: y1, Radius: 6}}
	}
	p.Bores = []plate.Bore{{ID: 8, Name: "a", X: 190, Y: 130, Diameter: 20, Boss: 6}, {ID: 9, Name: "b", X: 260, Y: 160, Diameter: 20, Boss: 6}}
	p.Grids = []plate.Grid{
		{ID: 1, Name: "iso", Pitch: 30, Width: 3, X: 60, Y: 60, Bounds: box(15, 15, 120, 95)},
		{ID: 2, Name: "ortho", Kind: plate.Orthogrid, Pitch: 25, PitchY: 32, AngleDeg: 12, Width: 3, X: 60, Y: 150, Bounds: box(15, 105, 120, 185), Fillet: 4},
		{ID: 3, Name: "parallel", Kind: plate.Parallel, Pitch: 18, AngleDeg: 45, Width: 3, X: 200, Y: 50, Bounds: box(140, 15, 280, 90)},
		{ID: 4, Name: "spokes", Kind: plate.Spokes, Width: 6, Bounds: box(140, 100, 285, 190)},
		{ID: 5, Name: "along", Kind: plate.Directions, Pitch: 20, Width: 3, X: 270, Y: 120, Bounds: box(225, 104, 284, 140), Samples: []plate.Direction{{X: 230, Y: 100, AngleDeg: 20}, {X: 280, Y: 130, AngleDeg: 70}}},
	}
	p.Pockets = []plate.Pocket{pocket(20, plate.Top, 6, 3)}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	holds := map[plate.ID]float64{}
	for _, s := range l.Labels.Shares {
		if s.Kind == OwnRib {
			holds[s.Feature] = s.Volume
		}
	}
	for _, g := range p.Grids {
		if holds[g.ID] < 500 {
			t.Errorf("grid %q holds %v mm³", g.Name, holds[g.ID])
		}
	}
}

// TestRibNumbers: ribs and outlines that cannot be computed in bounded work, or are no numbers, are refused with the place
// and what to do.
func TestRibNumbers(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	grid := func(g plate.Grid) func(*plate.Plate) {
		return func(p *plate.Plate) { g.ID, g.Name = 1, "grid"; p.Grids = []plate.Grid{g} }
	}
	for _, c := range []struct {
		name string
		edit func(*plate.Plate)
		word string
	}{
		{"unknown kind", grid(plate.Grid{Kind: "web", Pitch: 30, Width: 3}), "web"},
		{"orthogrid of a million lines", grid(plate.Grid{Kind: plate.Orthogrid, Pitch: 1e-4, PitchY: 50, Width: 1e-5}), "lines"},
		{"orthogrid of a million lines the other way", grid(plate.Grid{Kind: plate.Orthogrid, Pitch: 50, PitchY: 1e-4, Width: 1e-5}), "lines"},
		{"too many rectangles", grid(plate.Grid{Kind: plate.Orthogrid, Pitch: 0.4, Width: 0.1}), "rectangles"},
		{"parallel ribs without end", grid(plate.Grid{Kind: plate.Parallel, Pitch: 1e-6, Width: 1e-7}), "lines"},
		{"fitted to nothing", grid(plate.Grid{Kind: plate.Parallel, Pitch: 1e-6, Width: 1e-7, Fitted: true}), "lines"},
		{"directions too fine", grid(plate.Grid{Kind: plate.Directions, Pitch: 0.5, Width: 0.1, Samples: []plate.Direction{{}}}), "steps"},
		{"no direction", grid(plate.Grid{Kind: plate.Directions, Pitch: 30, Width: 3}), "no direction"},
		{"a direction that is none", grid(plate.Grid{Kind: plate.Directions, Pitch: 30, Width: 3, Samples: []plate.Direction{{AngleDeg: inf}}}), "direction 1"},
		{"too many directions", grid(plate.Grid{Kind: plate.Directions, Pitch: 30, Width: 3, Samples: make([]plate.Direction, 30_000)}), "20000"},
		{"spokes to nothing", grid(plate.Grid{Kind: plate.Spokes, Width: 3, Hubs: []plate.ID{77}}), "77"},
		{"spokes to too many", func(p *plate.Plate) {
			for i := range 200 {
				p.Bores = append(p.Bores, plate.Bore{ID: plate.ID(10 + i), Name: "b", X: float64(i), Diameter: 0.5})
			}
			grid(plate.Grid{Kind: plate.Spokes, Width: 3})(p)
		}, "200"},
		{"fillet", grid(plate.Grid{Pitch: 30, Width: 3, Fillet: nan}), "fillet"},
		{"second pitch", grid(plate.Grid{Kind: plate.Orthogrid, Pitch: 30, PitchY: -1, Width: 3}), "second pitch"},
		{"least angle", grid(plate.Grid{Kind: plate.Spokes, Width: 3, LeastAngle: nan}), "least angle"},
		{"local width", grid(plate.Grid{Pitch: 30, Width: 3, Widths: []plate.RibWidth{{Width: nan}}}), "local width 1"},
		{"arc's point", func(p *plate.Plate) {
			p.Ribs = []plate.Rib{{ID: 4, Name: "bow", Width: 4, To: plate.RibEnd{X: 50}, Arc: true, ThroughX: nan}}
		}, `"bow"`},
		{"outline kind", func(p *plate.Plate) { p.Outline.Kind = "blob" }, "blob"},
		{"mirror line", func(p *plate.Plate) { p.Outline.Mirror = plate.Mirror{On: true, Axis: "z"} }, "mirror"},
		{"chamfer", func(p *plate.Plate) { p.Outline.Corners[1].Chamfer = nan }, "corner 2"},
		{"wrap width", func(p *plate.Plate) {
			p.Outline = plate.Outline{Kind: plate.Wrapped, Wraps: []plate.Wrap{{Feature: 1, Width: inf}}}
		}, "round 1"},
		{"too many rounds", func(p *plate.Plate) {
			p.Outline = plate.Outline{Kind: plate.Wrapped, Wraps: make([]plate.Wrap, 5000)}
		}, "5000"},
		{"too many vertices", func(p *plate.Plate) {
			p.Outline = plate.Outline{Kind: plate.Contour, Vertices: make([]plate.Vertex, 1_000_000)}
		}, "1000000"},
	} {
		p := rectangle(200, 120, 10, 10)
		c.edit(&p)
		_, err := Derive(p)
		var de *DeriveError
		if !errors.As(err, &de) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v, want a *DeriveError that says %q", c.name, err, c.word)
		}
	}
	// Absurd but bounded: anchors far away rest.
	p := grown(plate.Grid{Pitch: 40, Width: 4, Widths: []plate.RibWidth{
		{Width: 3, At: plate.RibAnchor{Lattice: true, Line: math.MaxInt, Segment: math.MinInt}}, {Width: 3, At: plate.RibAnchor{Lattice: true, Family: math.MaxInt}},
	}}, 4)
	if c := codes(mustDerive(t, p)); c["anchor-inactive"] != 2 {
		t.Errorf("findings %v, want two of resting widths", c)
	}
}

// TestArcStrips: the strip of an arced rib ends where the arc leaves the outline, however little of it lies inside.
func TestArcStrips(t *testing.T) {
	p := rectangle(200, 120, 0, 10)
	d := newDeriver(t.Context(), &p, routeFast)
	if err := d.makeOutline(); err != nil {
		t.Fatal(err)
	}
	c := geom.Pt(0, 60) // on the left edge: arcs about it leave the plate straight up and straight down
	for _, turn := range []float64{-1, -0.3, 0.004, 0.3, 1, 2.9, 3.1} {
		at := func(a float64) geom.Point { return c.Add(geom.Pt(40, 0).Rotate(a)) }
		e := geom.Arc(at(turn-math.Pi/2), at(turn-math.Pi/2+math.Pi), c, 1)
		length := 0.0
		for _, k := range d.insideOutline(e) {
			length += k.Length()
		}
		if want := 40 * (math.Pi - math.Abs(turn)); math.Abs(length-want) > 1e-6 {
			t.Errorf("turned by %v: %v mm inside, want %v", turn, length, want)
		}
	}
}
