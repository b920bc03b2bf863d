package route

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

func mustPath(t testing.TB, cs ...geom.Corner) geom.Shape {
	t.Helper()
	c, err := geom.Path(cs)
	if err != nil {
		t.Fatal(err)
	}
	if c.Area() < 0 {
		c = c.Reverse()
	}
	return geom.RegionOf(c)
}

func triangle(t testing.TB, a, r float64) geom.Shape {
	return mustPath(t, geom.Corner{P: geom.Pt(0, 0), Radius: r}, geom.Corner{P: geom.Pt(a, 0), Radius: r},
		geom.Corner{P: geom.Pt(a/2, a*math.Sqrt(3)/2), Radius: r})
}

func less(t testing.TB, a geom.Shape, b ...geom.Shape) geom.Shape {
	t.Helper()
	s, err := geom.Difference(a, b...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// cells are shapes that a cutter of the given radius reaches everywhere.
func sampleCells(t testing.TB) map[string]geom.Shape {
	rect := geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(120, 70), 6))
	ring := less(t, geom.RegionOf(geom.Circle(geom.Pt(0, 0), 40)), geom.RegionOf(geom.Circle(geom.Pt(3, 1), 18)))
	islands := less(t, rect, geom.RegionOf(geom.Circle(geom.Pt(35, 35), 11)), geom.RegionOf(geom.Circle(geom.Pt(85, 30), 9)))
	opened, err := geom.Open(islands, 6)
	if err != nil {
		t.Fatal(err)
	}
	sliver := mustPath(t, geom.Corner{P: geom.Pt(0, 0), Radius: 6}, geom.Corner{P: geom.Pt(90, 0), Radius: 6}, geom.Corner{P: geom.Pt(5, 40), Radius: 6})
	ell, err := geom.Union(geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(90, 24), 6)), geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(26, 80), 6)))
	if err != nil {
		t.Fatal(err)
	}
	dumbbell, err := geom.Union(geom.RegionOf(geom.Circle(geom.Pt(0, 0), 25)), geom.RegionOf(geom.Circle(geom.Pt(60, 0), 20)),
		geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(60, 0), 8)))
	if err != nil {
		t.Fatal(err)
	}
	return map[string]geom.Shape{
		"triangle 40":       triangle(t, 40, 6),
		"triangle 90":       triangle(t, 90, 6),
		"sharper triangle":  sliver,
		"rectangle":         rect,
		"circle":            geom.RegionOf(geom.Circle(geom.Pt(5, 5), 22)),
		"slot 14":           geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(50, 20), 7)),
		"ring":              ring,
		"two islands":       opened,
		"angle":             ell,
		"dumbbell":          dumbbell,
		"narrow ring":       less(t, geom.RegionOf(geom.Circle(geom.Pt(0, 0), 40)), geom.RegionOf(geom.Circle(geom.Pt(0, 0), 26))),
		"arc-sided":         mustPath(t, geom.Corner{P: geom.Pt(0, 0), Radius: 6, Through: &geom.Point{X: 30, Y: -12}}, geom.Corner{P: geom.Pt(60, 0), Radius: 6}, geom.Corner{P: geom.Pt(40, 50), Radius: 6, Through: &geom.Point{X: 22, Y: 60}}, geom.Corner{P: geom.Pt(5, 45), Radius: 6}),
		"long thin pocket":  geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(200, 12.5), 6)),
		"square as the cut": geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(30, 30), 6)),
	}
}

// cutEdges are the edges of a job at its deepest level that cut: ramps, passes and links.
func cutEdges(js ...*job) []geom.Edge {
	var out []geom.Edge
	for _, j := range js {
		for _, l := range j.trips {
			for _, r := range l.trip.runs {
				for _, p := range r.passes {
					out = append(out, p.edges...)
				}
			}
		}
	}
	return out
}

// sweep is the union of the strips that a cutter of radius r cuts along the edges.
func sweep(t testing.TB, edges []geom.Edge, r float64) geom.Shape {
	t.Helper()
	var strips []geom.Shape
	for _, e := range edges {
		if e.A == e.B && e.IsArc() { // a full turn: two halves
			m := e.Mid()
			strips = append(strips, geom.RegionOf(geom.Stroke(geom.Arc(e.A, m, e.C, e.Dir), r)), geom.RegionOf(geom.Stroke(geom.Arc(m, e.B, e.C, e.Dir), r)))
			continue
		}
		if e.Length() < 1e-6 {
			continue
		}
		strips = append(strips, geom.RegionOf(geom.Stroke(e, r)))
	}
	u, err := geom.Union(strips...)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// testPlanner plans one cell of a pocket in a plate 20 mm thick.
func planOne(t testing.TB, cell geom.Shape, depth, radius float64, change func(*shop.Profile)) (*planner, *pocketPlan, *cellClass) {
	t.Helper()
	p := exampleShop(t)
	if change != nil {
		change(&p)
	}
	l := derive(t, plate.New("test"))
	pl := newPlanner(l, p)
	pl.group, pl.t, pl.main, pl.other = "N", 20, plate.Top, plate.Bottom
	c := &cellClass{region: cell, area: cell.Area(), cells: []placedCell{{}}}
	g := &pocketGroup{pocketKey: pocketKey{side: plate.Top, depth: depth, radius: radius}, name: "test", classes: []*cellClass{c}, cells: 1}
	pp, err := pl.pocketPlan(g)
	if err != nil {
		t.Fatal(err)
	}
	w := pl.workers[0]
	if err := pl.estimateCell(w, pp, c); err != nil {
		t.Fatal(err)
	}
	if err := pl.chooseCutters(t.Context(), []*pocketPlan{pp}); err != nil {
		t.Fatal(err)
	}
	if err := pl.planCell(w, pp, c); err != nil {
		t.Fatal(err)
	}
	return pl, pp, c
}

// After the last tool of a cell the union of all sweeps is the cell: nothing uncovered, nothing cut outside. With every cutter
// that could rough it, and with the one chosen.
func TestSweepsEqualTheCell(t *testing.T) {
	for name, cell := range sampleCells(t) {
		pl, pp, c := planOne(t, cell, 12, 6, nil)
		chosen := c.work.option
		for i, o := range pp.options {
			if math.IsInf(c.work.estimate[i], 1) {
				continue
			}
			c.work = cellWork{estimate: c.work.estimate, option: i}
			if err := pl.planCell(pl.workers[0], pp, c); err != nil {
				t.Errorf("%s with %s: %v", name, o.tool.ID, err)
				continue
			}
			what := fmt.Sprintf("%s with %s", name, o.tool.ID)
			if i == chosen {
				what += " (chosen)"
			}
			checkCover(t, what, pp, c)
		}
	}
}

func checkCover(t *testing.T, what string, pp *pocketPlan, c *cellClass) {
	t.Helper()
	o, small := pp.options[c.work.option], pp.options[0]
	floor := sweep(t, cutEdges(&c.work.floor), o.tool.Diameter/2)
	wall := sweep(t, cutEdges(&c.work.wall), small.tool.Diameter/2)
	all, err := geom.Union(floor, wall)
	if err != nil {
		t.Fatal(err)
	}
	uncovered, excess := less(t, c.region, all).Area(), less(t, all, c.region).Area()
	if uncovered > 1e-6 || excess > 1e-6 {
		t.Errorf("%s: finishing leaves %.3g mm² of %.1f and cuts %.3g mm² outside", what, uncovered, c.area, excess)
	}
	if c.work.rough.isEmpty() {
		t.Errorf("%s: not roughed", what)
		return
	}
	// Roughing stays off the wall by its allowance, and leaves nothing else but what it reports.
	rough := sweep(t, cutEdges(&c.work.rough), o.tool.Diameter/2)
	if !c.work.rest.isEmpty() {
		if rough, err = geom.Union(rough, sweep(t, cutEdges(&c.work.rest), small.tool.Diameter/2)); err != nil {
			t.Fatal(err)
		}
	}
	in, err := geom.Offset(c.region, -0.2)
	if err != nil {
		t.Fatal(err)
	}
	if out := less(t, rough, in).Area(); out > 1e-6 {
		t.Errorf("%s: roughing cuts %.3g mm² of the wall allowance", what, out)
	}
	// what is left of the area inside the allowance is below the corners that the finishing cutter itself leaves there
	reach, err := geom.Open(in, small.tool.Diameter/2)
	if err != nil {
		t.Fatal(err)
	}
	if left := less(t, reach, rough).Area(); left > 1e-4*c.area {
		t.Errorf("%s: roughing leaves %.3g mm² that its cutters reach", what, left)
	}
	if d := math.Abs(c.work.swept + c.work.left - rough.Area()); d > 1e-3*c.area {
		t.Errorf("%s: roughing reports %.3f + %.3f mm², sweeps %.3f mm²", what, c.work.swept, c.work.left, rough.Area())
	}
}

// A slot exactly as wide as the cutter is cut, where the rule for corners allows that cutter.
func TestSlotAsWideAsTheCutter(t *testing.T) {
	cell := geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(40, 10), 5))
	_, pp, c := planOne(t, cell, 6, 5, func(p *shop.Profile) { p.Practice.CornerRatio.Value = 1 })
	if pp.finish.Diameter != 10 {
		t.Fatalf("finished with %s", pp.finish.ID)
	}
	got := sweep(t, cutEdges(&c.work.wall), 5)
	if u, x := less(t, cell, got).Area(), less(t, got, cell).Area(); u > 1e-3 || x > 1e-3 {
		t.Errorf("leaves %g mm², cuts %g mm² outside", u, x)
	}
}

// Random cells: triangles and quadrilaterals with fillets less discs, opened by the corner radius.
func TestSweepsEqualRandomCells(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	n := 0
	for n < 40 {
		corners := 3 + r.IntN(3)
		var cs []geom.Corner
		for i := range corners {
			a := 2*math.Pi*float64(i)/float64(corners) + r.Float64()
			d := 20 + 40*r.Float64()
			cs = append(cs, geom.Corner{P: geom.Pt(d*math.Cos(a), d*math.Sin(a))})
		}
		c, err := geom.Path(cs)
		if err != nil || c.Check() != nil {
			continue
		}
		s := geom.RegionOf(c)
		if r.IntN(2) == 0 {
			s = less(t, s, geom.RegionOf(geom.Circle(geom.Pt(10*r.Float64(), 10*r.Float64()), 4+6*r.Float64())))
		}
		s, err = geom.Open(s, 4)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range s {
			n++
			_, pp, c := planOne(t, geom.Shape{g}, 10, 4, nil)
			checkCover(t, fmt.Sprintf("random cell %d", n), pp, c)
		}
	}
}

// Passes stand no further apart than the step over: every ring lies its step inside the one before it.
func TestStepOverIsHonoured(t *testing.T) {
	w := newWorker(t)
	for name, cell := range sampleCells(t) {
		const d0, step = 3.2, 2.4
		rings, err := w.rings(cell, d0, step)
		if err != nil {
			t.Fatal(err)
		}
		for k, ring := range rings {
			for _, c := range ring.Contours() {
				for _, e := range c {
					least := math.Inf(1)
					for _, b := range cell.Contours() {
						_, d := nearestOn(b, e.Mid())
						least = min(least, d)
					}
					if want := d0 + float64(k)*step; math.Abs(least-want) > 1e-5 {
						t.Errorf("%s: ring %d stands %.6f mm from the wall, want %.6f", name, k, least, want)
					}
				}
			}
		}
	}
}
