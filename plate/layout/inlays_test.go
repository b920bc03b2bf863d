package layout

import (
	"math"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestPanels: the panels of an isogrid's whole triangles are one part, those that point up and down alike; a panel that is
// the mirror image of another is a part of its own.
func TestPanels(t *testing.T) {
	p := rectangle(400, 300, 10, 10)
	p.Grids = []plate.Grid{isogrid(1, 70, 5, 3, 200, 150)}
	k := pocket(3, plate.Top, 8, 4)
	k.Ledge = plate.Ledge{Width: 4, Depth: 2}
	p.Pockets = []plate.Pocket{k}
	n := insert(3, 0.3, 2)
	n.Radius, n.Material.Density = 5, 1400
	p.Inlays = []plate.Inlay{n}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	// The triangle's inscribed circle is 35·√3/3 − 2.5 in radius; the panel's 0.3 mm less, its corners of 5 mm.
	in := 70*math.Sqrt(3)/6 - 2.5 - 0.3
	want := 3*math.Sqrt(3)*in*in - (3*math.Sqrt(3)-math.Pi)*25
	whole, shape := 0, 0
	count := map[int]int{}
	for _, k := range l.Panels {
		count[k.Shape]++
		if near(k.Area, want, 1e-9) {
			whole++
			if shape == 0 {
				shape = k.Shape
			}
			if k.Shape != shape {
				t.Errorf("a whole triangle has shape %d, another %d", k.Shape, shape)
			}
			if k.Z0 != 13 || k.Z1 != 15 || !near(k.MassKG, want*2*1400e-9, 1e-9) {
				t.Errorf("panel from %v to %v of %v kg", k.Z0, k.Z1, k.MassKG)
			}
		}
	}
	if whole < 10 || count[shape] != whole || len(count) < 3 {
		t.Errorf("%d whole triangles, shapes %v: want the former to be one shape among others", whole, count)
	}

	// Four cells of one L, as drawn, turned, mirrored, and a hair wider.
	q := rectangle(600, 200, 10, 0)
	ell := func(id plate.ID, x float64, f func(x, y float64) (float64, float64), wide float64) {
		k := drawn(id, plate.Top, 5, 3, 0, 0, 1, 1)
		k.Bounds = nil
		for _, c := range [][2]float64{{0, 0}, {60 + wide, 0}, {60 + wide, 20}, {30, 20}, {30, 90}, {0, 90}} {
			a, b := f(c[0], c[1])
			k.Bounds = append(k.Bounds, plate.Corner{X: x + a, Y: 50 + b})
		}
		q.Pockets = append(q.Pockets, k)
		n := insert(id, 0.3, 2)
		n.ID = id + 50
		q.Inlays = append(q.Inlays, n)
	}
	ell(1, 20, func(x, y float64) (float64, float64) { return x, y }, 0)
	ell(2, 240, func(x, y float64) (float64, float64) { return -y, x }, 0)
	ell(3, 330, func(x, y float64) (float64, float64) { return -x, y }, 0)
	ell(4, 400, func(x, y float64) (float64, float64) { return x, y }, 0.01)
	m := mustDerive(t, q)
	checkInvariants(t, m)
	var got []int
	for _, k := range m.Panels {
		got = append(got, k.Shape)
	}
	if !slices.Equal(got, []int{1, 1, 2, 3}) {
		t.Errorf("shapes %v, want 1 1 2 3: as drawn and turned are one part, mirrored and wider are not", got)
	}
}

// TestPanelHoles: round panels count as one part when their holes can be turned onto each other, and only then.
func TestPanelHoles(t *testing.T) {
	p := rectangle(400, 120, 10, 0)
	for i, deg := range []float64{0, 77, 200} {
		x := 70 + 120*float64(i)
		id := plate.ID(10 + 10*i)
		p.Pockets = append(p.Pockets, plate.Pocket{ID: id, Name: "round", Kind: plate.RoundPocket, Side: plate.Top, Depth: 5, Radius: 4, X: x, Y: 60, Diameter: 90})
		n := insert(id, 0.2, 2)
		n.ID = id + 1
		p.Inlays = append(p.Inlays, n)
		second := 100.0
		if i == 2 {
			second = 101
		}
		for j, a := range []float64{0, second} {
			q := onCircle(geom.Pt(x, 60), 50, deg+a)
			h := clearance8(id+plate.ID(2+j), q.X, q.Y, 3)
			p.Holes = append(p.Holes, h)
		}
	}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	var got []int
	for _, k := range l.Panels {
		got = append(got, k.Shape)
	}
	if !slices.Equal(got, []int{1, 1, 2}) {
		t.Errorf("shapes %v, want 1 1 2", got)
	}
}

// TestPanelsOfParts: a cell whose inside falls into parts gets one panel, on its ledge; a cell beside it that the ledge fills
// gets one on the floor of its step.
func TestPanelsOfParts(t *testing.T) {
	p := rectangle(300, 120, 10, 0)
	// Two fields of 60 × 80 mm joined by a strip of 24 mm, which a ledge of 8 mm leaves too narrow for the cutter of 5 mm.
	k := drawn(3, plate.Top, 8, 5, 0, 0, 1, 1)
	k.Bounds = nil
	for _, c := range [][2]float64{{20, 20}, {80, 20}, {80, 48}, {120, 48}, {120, 20}, {180, 20}, {180, 100}, {120, 100}, {120, 72}, {80, 72}, {80, 100}, {20, 100}} {
		k.Bounds = append(k.Bounds, plate.Corner{X: c[0], Y: c[1]})
	}
	k.Ledge = plate.Ledge{Width: 8, Depth: 2}
	// One field that a neck parts: the cutter reaches both ends, but the ledge fills the smaller.
	m := drawn(4, plate.Top, 8, 5, 0, 0, 1, 1)
	m.Bounds = nil
	for _, c := range [][2]float64{{200, 20}, {260, 20}, {260, 56}, {270, 56}, {270, 48}, {290, 48}, {290, 72}, {270, 72}, {270, 64}, {260, 64}, {260, 100}, {200, 100}} {
		m.Bounds = append(m.Bounds, plate.Corner{X: c[0], Y: c[1]})
	}
	m.Ledge = k.Ledge
	p.Pockets = []plate.Pocket{k, m}
	p.Inlays = []plate.Inlay{insert(3, 0.3, 2), insert(4, 0.3, 2)}
	p.Inlays[1].ID = 21
	l := mustDerive(t, p)
	checkInvariants(t, l)
	checkOthers(t, l)
	ledges, parts := 0, 0
	for i := range l.Cuts {
		switch c := &l.Cuts[i]; {
		case c.Kind == CutLedge:
			ledges++
		case c.Kind == CutPocket && c.Feature == 3:
			parts++
		}
	}
	if ledges != 2 || parts != 2 {
		t.Errorf("%d ledges, the first cell in %d parts; want 2 and 2", ledges, parts)
	}
	if len(l.Panels) != 3 {
		t.Fatalf("%d panels, want 3", len(l.Panels))
	}
	for _, k := range l.Panels {
		if k.Z0 != 13 {
			t.Errorf("a panel of %q sits at %v, want 13", k.Name, k.Z0)
		}
	}
}
