package route

import (
	"fmt"
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

// passLength is the summed length of the closed passes of a trip, without links and entries.
func passLength(t trip) float64 {
	l := 0.0
	for _, r := range t.runs {
		for i, p := range r.passes {
			helix := i == 0 && len(p.edges) == 1 && p.ae == 0
			if p.move == MoveCut && !helix {
				l += chainLength(p.edges)
			}
		}
	}
	return l
}

func linkLength(t trip) float64 {
	l := 0.0
	for _, r := range t.runs {
		for _, p := range r.passes {
			if p.move == MoveLink {
				l += chainLength(p.edges)
			}
		}
	}
	return l
}

func testClearing() clearing {
	f := steady(1000)
	return clearing{radius: 5, keep: 0.2, step: 4, feed: f, slot: f, ramp: f, helix: 4.5}
}

func newWorker(t testing.TB) *worker {
	w := &worker{}
	w.timer.d = dynamicsOf(exampleShop(t).Machine)
	w.blocker = blocker{radius: 5, side: 1, least: 0.5, angle: radians(3), linking: 6000}
	return w
}

// Ring paths of shapes whose offsets are known in closed form: a disc of radius R gives circles of R − d, a rectangle with
// corner radius c gives 2(w + h − 4d) − 8ρ + 2πρ with ρ = max(c − d, 0), a slot of length L and half width b gives 2L + 2π(b − d).
func TestRingLengthsClosedForm(t *testing.T) {
	c := testClearing()
	disc := func(r float64) func(d float64) float64 {
		return func(d float64) float64 { return 2 * math.Pi * (r - d) }
	}
	rect := func(w, h, r float64) func(d float64) float64 {
		return func(d float64) float64 {
			rho := math.Max(r-d, 0)
			return 2*(w+h-4*d) - 8*rho + 2*math.Pi*rho
		}
	}
	slot := func(l, b float64) func(d float64) float64 {
		return func(d float64) float64 { return 2*l + 2*math.Pi*(b-d) }
	}
	for _, x := range []struct {
		name  string
		cell  geom.Shape
		width float64 // inscribed radius
		len   func(d float64) float64
	}{
		{"circle 60", geom.RegionOf(geom.Circle(geom.Pt(7, 3), 30)), 30, disc(30)},
		{"circle 21", geom.RegionOf(geom.Circle(geom.Pt(7, 3), 10.5)), 10.5, disc(10.5)},
		{"rectangle", geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(120, 70), 6)), 35, rect(120, 70, 6)},
		{"square corners wide", geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(60, 60), 20)), 30, rect(60, 60, 20)},
		{"slot 16", geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(80, 0), 8)), 8, slot(80, 8)},
		{"slot 30", geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(30, 40), 15)), 15, slot(50, 15)},
	} {
		got, err := newWorker(t).clear(x.cell, c)
		if err != nil {
			t.Fatal(err)
		}
		want, n := 0.0, 0
		for d := c.radius + c.keep; d < x.width-1e-9; d += c.step {
			want += x.len(d)
			n++
		}
		if l := passLength(got); math.Abs(l-want) > 1e-6*want {
			t.Errorf("%s: %d rings of %.6f mm, closed form %.6f mm", x.name, n, l, want)
		}
		// one link of the step between rings, and the way out of the helix
		links := linkLength(got)
		if most := float64(n-1)*c.step + c.helix; links > most+1e-6 || links < float64(n-1)*c.step-1e-6 {
			t.Errorf("%s: links of %.4f mm between %d rings", x.name, links, n)
		}
		if len(got.runs) != 1 {
			t.Errorf("%s: %d runs", x.name, len(got.runs))
		}
	}
}

// A helix down by h at the ramp angle: whole turns of 2πρ with h shared evenly, so √((2πρn)² + h²) in all, plus one flat turn.
func TestEntryHelixLength(t *testing.T) {
	w := newWorker(t)
	p := geom.Pt(4, 0)
	circle := []geom.Edge{geom.Arc(p, p, geom.Pt(0, 0), 1)}
	r := run{entry{loop: circle, pace: steady(900)}, []pass{{MoveCut, circle, steady(900), 0}}}
	h := 6.3
	got := w.run(&r, h)
	n := math.Ceil(h / (2 * math.Pi * 4 * math.Tan(radians(3))))
	near(t, "helix", got.length, math.Hypot(2*math.Pi*4*n, h)+2*math.Pi*4, 1e-9)
	near(t, "nominal time", got.nominal, got.length/15, 1e-9)
	if got.motion < got.nominal {
		t.Errorf("%g s, faster than the feed's %g s", got.motion, got.nominal)
	}
}

// A ramp along a contour takes its last h/tan(angle) millimetres, and meets the start of the pass.
func TestEntryRampLength(t *testing.T) {
	w := newWorker(t)
	rect := geom.RoundedRect(geom.Pt(0, 0), geom.Pt(90, 60), 6)
	tr := slotTrip(rect, steady(1200))
	var j job
	w.addTrip(&j, tr, 0, []float64{3}, heights{retract: 2, gap: 0.5})
	ramp := 3.5 / math.Tan(radians(3))
	loop := j.trips[0].trip.runs[0].entry.loop
	near(t, "ramp", chainLength(loop), ramp, 1e-9)
	near(t, "path", j.sum.length, math.Hypot(ramp, 3.5)+rect.Length(), 1e-9)
	if d := loop[len(loop)-1].B.Dist(j.trips[0].trip.runs[0].passes[0].edges[0].A); d > 1e-9 {
		t.Errorf("ramp ends %g mm from the start of the pass", d)
	}
}

// Tabs: the path over n tabs is the contour at every level, with two moves up or down per tab.
func TestTabbedOutline(t *testing.T) {
	pl, _, _ := planOne(t, triangle(t, 60, 6), 10, 6, nil)
	w := pl.workers[0].using(shop.Tool{Diameter: 10}, plate.Top)
	c := geom.RoundedRect(geom.Pt(0, 0), geom.Pt(200, 100), 10)
	var j job
	pl.tabbed(w, &j, c, pass{MoveCut, nil, steady(1500), 1}, []float64{21}, 21, 5)
	height := 21 - pl.tabTop()
	near(t, "length", j.sum.length, c.Length()+6*height, 1e-6)
	high := 0.0
	for _, l := range j.trips {
		if l.depths[0] == pl.tabTop() {
			high += passLength(l.trip)
		}
	}
	near(t, "over tabs", high, 5*(pl.p.Practice.TabWidth.Value+10), 1e-6)
}

// Drilling a through hole of 8.5 mm without pecks: depth, break-through, point and gap at feed from rest, and the rapids; with
// pecks every peck starts a gap above the last.
func TestDrillTimes(t *testing.T) {
	pl, _, _ := planOne(t, triangle(t, 60, 6), 10, 6, nil)
	feed := steady(600)
	whole := pl.plungeJob(feed, []float64{24}, true)
	near(t, "length", whole.sum.length, 24.5, 1e-12)
	v, a := 10.0, 2500.0
	near(t, "time", whole.sum.motion, 24.5/v+v/a, 1e-9)
	z := func(s float64) float64 { return s/(20000.0/60) + 20000.0/60/2500 }
	tri := func(s float64) float64 { return 2 * math.Sqrt(s/2500) }
	near(t, "rapids", whole.rapid, tri(1.5)+tri(26), 1e-9)
	_ = z // the rapids above never reach full speed: 44 mm would be needed
	pecks := pl.plungeJob(feed, evenDepths(0, 24, 3), true)
	near(t, "pecked length", pecks.sum.length, 3*8.5, 1e-12)
	near(t, "pecked time", pecks.sum.motion, 3*(8.5/v+v/a), 1e-9)
	near(t, "pecked rapids", pecks.rapid, tri(1.5)+tri(10)+tri(9.5)+tri(18)+tri(17.5)+tri(26), 1e-9)
}

// The bore is milled out to its allowance from the pilot: the sweeps of all rings cover the ring between, and nothing outside.
func TestBoreIsMilledOut(t *testing.T) {
	pl, _, _ := planOne(t, triangle(t, 60, 6), 10, 6, nil)
	for _, c := range []struct{ d, pilot, cutter float64 }{{42, 18.5, 16}, {42, 18.5, 8}, {62, 20, 12}, {25, 0, 10}, {60, 0, 12}, {16, 9, 10}, {12, 0, 8}} {
		tools := pl.endMills(20)
		for _, tool := range tools {
			if tool.Diameter != c.cutter {
				continue
			}
			r1 := c.d/2 - 0.2
			j, cond, err := pl.boreJob(tool, r1, c.pilot/2, 21)
			if err != nil {
				t.Fatal(err)
			}
			if cond.Feed <= 0 {
				t.Errorf("bore %g: feed %g", c.d, cond.Feed)
			}
			want := geom.RegionOf(geom.Circle(geom.Pt(0, 0), r1))
			got := sweep(t, cutEdges(j), tool.Diameter/2)
			if c.pilot > 0 {
				if got, err = geom.Union(got, geom.RegionOf(geom.Circle(geom.Pt(0, 0), c.pilot/2))); err != nil {
					t.Fatal(err)
				}
			}
			if u, x := less(t, want, got).Area(), less(t, got, want).Area(); u > 1e-6 || x > 1e-6 {
				t.Errorf("bore %g from %g with %g: leaves %g mm², cuts %g mm² outside", c.d, c.pilot, c.cutter, u, x)
			}
		}
	}
}

// A face is covered by its raster.
func TestFacingCoversTheBlank(t *testing.T) {
	for _, b := range []geom.Box{{Min: geom.Pt(-5, -5), Max: geom.Pt(405, 255)}, {Min: geom.Pt(0, 0), Max: geom.Pt(60, 300)}, {Min: geom.Pt(0, 0), Max: geom.Pt(90, 30)}} {
		d := 50.0
		n := int(math.Ceil(min(b.Width(), b.Height()) / (0.7 * d)))
		got := sweep(t, raster(b, n, d/2+2), d/2)
		if u := less(t, geom.RegionOf(geom.Rect(b.Min, b.Max)), got).Area(); u > 1e-6 {
			t.Errorf("%v: %g mm² not faced", b, u)
		}
	}
}

// An outside polygon library finds the same: polygons of the strips that the finishing passes sweep, made here point by point
// and united by it, cover the cell and nothing else but for the sagitta of their chords.
func TestSweepsByAnOutsideLibrary(t *testing.T) {
	const step = math.Pi / 60 // rad between corners of the polygons
	cells := sampleCells(t)
	for _, name := range []string{"triangle 40", "triangle 90", "slot 14", "ring", "two islands", "angle"} {
		cell := cells[name]
		_, pp, c := planOne(t, cell, 12, 6, nil)
		var strips []sf.Geometry
		longest := 0.0
		add := func(edges []geom.Edge, r float64) {
			for _, e := range edges {
				for _, part := range halves(e) {
					strips = append(strips, strip(t, part, r, step))
					longest = max(longest, part.R+r)
				}
			}
		}
		add(cutEdges(&c.work.floor), pp.options[c.work.option].tool.Diameter/2)
		add(cutEdges(&c.work.wall), pp.options[0].tool.Diameter/2)
		all := unite(t, strips)
		const tol = 1e-4
		own := sfPolygon(cell[0].Outer.Flatten(tol), flat0(cell[0].Holes, tol)...)
		diff, err := sf.SymmetricDifference(all, own)
		if err != nil {
			t.Fatal(err)
		}
		sagitta := longest * (1 - math.Cos(step/2))
		if bound := cell.Length() * (sagitta + tol); diff.Area() > bound || bound > 0.01*cell.Area() {
			t.Errorf("%s: the outside library sees %.4f mm² of difference in %.1f, bound %.4f", name, diff.Area(), cell.Area(), bound)
		}
	}
}

// unite joins two by two, and the halves again: UnionMany of simplefeatures v0.50.0 loses up to a tenth of the area of such
// strips (another library finds it), its Union of two does not.
func unite(t *testing.T, gs []sf.Geometry) sf.Geometry {
	t.Helper()
	if len(gs) == 1 {
		return gs[0]
	}
	u, err := sf.Union(unite(t, gs[:len(gs)/2]), unite(t, gs[len(gs)/2:]))
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// halves splits a long arc, so that its strip does not run into itself.
func halves(e geom.Edge) []geom.Edge {
	if math.Abs(e.Sweep()) < 3 {
		return []geom.Edge{e}
	}
	m := e.Mid()
	return []geom.Edge{geom.Arc(e.A, m, e.C, e.Dir), geom.Arc(m, e.B, e.C, e.Dir)}
}

// strip is the polygon swept by a disc of radius r along e, corners on the exact curves.
func strip(t *testing.T, e geom.Edge, r, step float64) sf.Geometry {
	var ring []geom.Point
	turn := func(c geom.Point, r, from, to float64) {
		n := max(1, int(math.Ceil(math.Abs(to-from)/step)))
		for i := range n + 1 {
			a := from + (to-from)*float64(i)/float64(n)
			ring = append(ring, c.Add(geom.Pt(r*math.Cos(a), r*math.Sin(a))))
		}
	}
	heading := func(p geom.Point) float64 { return math.Atan2(p.Y, p.X) }
	a, b := heading(e.TangentA()), heading(e.TangentB())
	turn(e.B, r, b-math.Pi/2, b+math.Pi/2)
	if e.IsArc() {
		s := float64(e.Dir)
		from := heading(e.B.Sub(e.C))
		if inner := e.R - s*r; inner > 0 { // the left side
			turn(e.C, inner, from, from-e.Sweep())
		} else {
			turn(e.C, -inner, from+math.Pi, from+math.Pi-e.Sweep())
		}
	}
	turn(e.A, r, a+math.Pi/2, a+3*math.Pi/2)
	if e.IsArc() {
		s := float64(e.Dir)
		from := heading(e.A.Sub(e.C))
		if outer := e.R + s*r; outer > 0 {
			turn(e.C, outer, from, from+e.Sweep())
		} else {
			turn(e.C, -outer, from+math.Pi, from+math.Pi+e.Sweep())
		}
	}
	g := sfPolygon(ring)
	if g.Validate() != nil { // an arc tighter than the cutter: its strip is the hull of discs along it
		return hull(t, e, r, step)
	}
	return g
}

// hull unites discs along an arc that is shorter than the cutter.
func hull(t *testing.T, e geom.Edge, r, step float64) sf.Geometry {
	n := max(2, int(math.Ceil(math.Abs(e.Sweep())/step)))
	var discs []sf.Geometry
	for i := range n + 1 {
		var ring []geom.Point
		p := e.At(float64(i) / float64(n))
		for a := 0.0; a < 2*math.Pi-step/2; a += step {
			ring = append(ring, p.Add(geom.Pt(r*math.Cos(a), r*math.Sin(a))))
		}
		discs = append(discs, sfPolygon(ring))
	}
	return unite(t, discs)
}

func flat0(cs []geom.Contour, tol float64) [][]geom.Point {
	var out [][]geom.Point
	for _, c := range cs {
		out = append(out, c.Flatten(tol))
	}
	return out
}

func sfPolygon(outer []geom.Point, holes ...[]geom.Point) sf.Geometry {
	var ls []sf.LineString
	for _, ring := range append([][]geom.Point{outer}, holes...) {
		var xy []float64
		for _, p := range ring {
			if n := len(xy); n >= 2 && math.Hypot(xy[n-2]-p.X, xy[n-1]-p.Y) < 1e-9 {
				continue
			}
			xy = append(xy, p.X, p.Y)
		}
		if n := len(xy); math.Hypot(xy[n-2]-xy[0], xy[n-1]-xy[1]) < 1e-9 {
			xy = xy[:n-2]
		}
		ls = append(ls, sf.NewLineString(sf.NewSequence(append(xy, xy[0], xy[1]), sf.DimXY)))
	}
	return sf.NewPolygon(ls).AsGeometry()
}

// clear plans one trip through a cell. An empty trip means that the cutter does not enter.
func (w *worker) clear(cell geom.Shape, c clearing) (trip, error) {
	if !(c.radius > 0 && c.step > 0 && c.step <= c.radius) {
		return trip{}, fmt.Errorf("route: step over %g mm with a cutter of radius %g mm", c.step, c.radius)
	}
	levels, err := w.rings(cell, c.radius+c.keep, c.step)
	if err != nil {
		return trip{}, err
	}
	return along(levels, c), nil
}
