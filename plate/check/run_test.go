package check_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// gridded is 600 × 400 mm with an isogrid of the given pitch and rib width, cells from the top, six bores and 40 holes.
func gridded(pitch, width float64) plate.Plate {
	p := blank(15)
	p.Outline.Corners = box(0, 0, 600, 400)
	for i := range p.Outline.Corners {
		p.Outline.Corners[i].Radius = 40
	}
	p.Rim = 12
	p.Grids = []plate.Grid{{ID: 1, Name: "grid", Pitch: pitch, AngleDeg: 7.5, X: 301, Y: 202, Width: width}}
	p.Pockets = []plate.Pocket{{ID: 2, Name: "cells", Side: plate.Top, Depth: 11, Radius: 5, AllRibs: true}}
	for i, c := range [][3]float64{{70, 70, 42}, {530, 70, 42}, {530, 330, 35}, {70, 330, 35}, {300, 200, 62}, {300, 80, 25}} {
		b := bore(plate.ID(10+i), c[2], c[0], c[1])
		b.Boss = 8
		p.Bores = append(p.Bores, b)
	}
	for i := range 20 {
		x := 60 + 480*float64(i%10)/9
		y := 12 + 376*float64(i/10)
		h, k := clearance(plate.ID(100+i), "M8", x, y), tapped(plate.ID(200+i), "M5", plate.Top, 6, x+12, y+30-60*float64(i/10))
		h.Boss, k.Boss = 4, 3
		p.Holes = append(p.Holes, h, k)
	}
	return p
}

// TestFolding: of one code 50 findings are listed, the worst first, and the rest is counted in one more.
func TestFolding(t *testing.T) {
	l := derive(t, gridded(40, 0.8))
	fs := check.Run(l, example(t))
	thin := 0
	folded := ""
	for _, f := range fs {
		if f.Code == "wall-thin" {
			if thin++; strings.Contains(f.What, "more findings of this kind") {
				folded = f.What
			}
		}
	}
	if thin != 51 || folded == "" {
		t.Fatalf("%d findings wall-thin, folded %q; want 50 and one that counts the rest", thin, folded)
	}
	// Count the walls between cells apart from the rules: every pair of cells nearer than 1.5 mm.
	var cs []geom.Contour
	for i := range l.Cells {
		if l.Cells[i].State == layout.CellCut {
			cs = append(cs, l.Cells[i].Region.Outer)
		}
	}
	pairs := 0
	for i := range cs {
		for j := range i {
			if g := geom.Closest(cs[i], cs[j]); g.D < 1.5 {
				pairs++
			}
		}
	}
	if want := fmt.Sprintf("%d more findings", pairs-50); !strings.HasPrefix(folded, want) {
		t.Errorf("%q; %d pairs of cells are warned of or noted, so %q", folded, pairs, want)
	}
}

// TestSameTwice: two runs give the same, in order of level.
func TestSameTwice(t *testing.T) {
	l, s := derive(t, gridded(40, 1.2)), example(t)
	a := check.Run(l, s)
	if len(a) == 0 {
		t.Fatal("the plate of this test must break rules")
	}
	if b := check.Run(l, s); !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
	b := append([]finding.Finding(nil), a...)
	finding.Sort(b)
	if !reflect.DeepEqual(a, b) {
		t.Error("findings are not sorted")
	}
}

// TestLayoutsOwnAreNotRepeated: what the layout finds is not found again, under any code.
func TestLayoutsOwnAreNotRepeated(t *testing.T) {
	p := blank(15)
	p.Bores = []plate.Bore{bore(1, 30, 0, 60), bore(2, 30, 100, 60), bore(3, 30, 120, 60)}
	p.Holes = []plate.Hole{tapped(4, "M10", plate.Top, 10, 60, 60), clearance(5, "M6", 300, 60)}
	p.Pockets = []plate.Pocket{pocket(6, plate.Top, 8, 4, 140, 30, 180, 90), pocket(7, plate.Bottom, 8, 4, 150, 30, 180, 90)}
	l := derive(t, p)
	own := map[string]bool{}
	for _, f := range l.Findings {
		own[f.Code] = true
	}
	for _, code := range []string{"hole-outside", "holes-overlap", "point-through", "pockets-meet"} {
		if !own[code] {
			t.Errorf("the layout of this test does not find %s: %v", code, l.Findings)
		}
	}
	fs := check.Run(l, example(t))
	for _, f := range fs {
		if own[f.Code] {
			t.Errorf("repeated: %+v", f)
		}
		if f.Feature == 1 || f.Feature == 5 || f.Code == "drill-point-thin" {
			t.Errorf("told again in other words: %+v", f)
		}
		if f.Code == "bore-wall" && f.Feature != 0 && strings.Contains(f.What, `"bore 2"`) && strings.Contains(f.What, `"bore 3"`) {
			t.Errorf("bores that overlap have no wall: %+v", f)
		}
	}
	p = blank(15)
	p.Stock.Blank = plate.Blank{Fixed: true, X: 2, Y: 2, Width: 300, Height: 300}
	l = derive(t, p)
	if len(l.Findings) == 0 || l.Findings[0].Code != "blank-small" {
		t.Fatalf("findings of the layout: %v", l.Findings)
	}
	for _, f := range check.Run(l, example(t)) {
		if f.Code == "blank-margin" {
			t.Errorf("told again in other words: %+v", f)
		}
	}
}

// TestSidesAndHeights: what lies at different heights does not meet, and through cuts are edges.
func TestSidesAndHeights(t *testing.T) {
	s := example(t)
	count := func(p plate.Plate, code string) (n int) {
		for _, f := range check.Run(derive(t, p), s) {
			if f.Code == code {
				n++
			}
		}
		return n
	}
	// Two pockets 0.5 mm apart in plan: from one side a thin wall, from opposite sides at different heights none.
	p := blank(20)
	p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, 4, 30, 30, 80, 90), pocket(2, plate.Top, 8, 4, 80.5, 30, 150, 90)}
	if c := count(p, "wall-thin"); c != 1 {
		t.Errorf("same side: %d thin walls, want 1", c)
	}
	p.Pockets[1].Side = plate.Bottom
	if c := count(p, "wall-thin"); c != 0 {
		t.Errorf("opposite sides, no common height: %d thin walls, want 0", c)
	}
	// Overlapping pockets of one side have a step between them, not a wall.
	p.Pockets[1] = pocket(2, plate.Top, 5, 4, 31, 31, 150, 89)
	if c := count(p, "wall-thin"); c != 0 {
		t.Errorf("step between overlapping pockets: %d thin walls, want 0", c)
	}
	// A blind hole from below under a pocket from above: no ligament, no wall cut.
	p = blank(30)
	p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, 4, 60, 28, 150, 90)}
	p.Holes = []plate.Hole{tapped(2, "M6", plate.Bottom, 8, 60, 60)}
	if c := count(p, "hole-cuts-wall") + count(p, "ligament-thin"); c != 0 {
		t.Errorf("blind hole under a pocket: %d findings, want 0", c)
	}
	// A hole in a floor is no ligament to the walls round it.
	p = blank(15)
	p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, 4, 28, 28, 150, 90)}
	p.Holes = []plate.Hole{clearance(2, "M6", 28+3.3+0.5, 60)}
	if c := count(p, "hole-cuts-wall") + count(p, "ligament-thin") + count(p, "edge-distance"); c != 0 {
		t.Errorf("hole through a floor: %d findings, want 0", c)
	}
	// Beside a window the distance of an edge is asked, beside a blind pocket it is not.
	p.Pockets[0] = pocket(1, plate.Through, 0, 4, 60, 28, 150, 90)
	p.Holes = []plate.Hole{clearance(2, "M6", 60-6.6*1.1, 60)}
	if c := count(p, "edge-distance"); c != 1 {
		t.Errorf("beside a window: %d edge distances, want 1", c)
	}
	p.Pockets[0].Side, p.Pockets[0].Depth = plate.Top, 8
	if c := count(p, "edge-distance") + count(p, "ligament-thin"); c != 0 {
		t.Errorf("beside a blind pocket: %d findings, want 0", c)
	}
	// The neck of a plate, and a rib that one cell runs round, are walls too.
	p = blank(15)
	p.Outline.Corners = []plate.Corner{{}, {X: 100}, {X: 100, Y: 60}, {X: 110, Y: 60}, {X: 110}, {X: 200}, {X: 200, Y: 120}, {X: 110, Y: 120}, {X: 110, Y: 60.8}, {X: 100, Y: 60.8}, {X: 100, Y: 120}, {Y: 120}}
	if c := count(p, "wall-thin"); c != 1 {
		t.Errorf("plate with a neck of 0.8 mm: %d thin walls, want 1", c)
	}
	p = blank(15)
	p.Pockets = []plate.Pocket{{ID: 1, Name: "field 1", Side: plate.Top, Depth: 6, Radius: 4, Bounds: []plate.Corner{
		{X: 30, Y: 30}, {X: 150, Y: 30}, {X: 150, Y: 90}, {X: 90.9, Y: 90}, {X: 90.9, Y: 50}, {X: 90, Y: 50}, {X: 90, Y: 90}, {X: 30, Y: 90},
	}}}
	if c := count(p, "wall-thin"); c != 1 {
		t.Errorf("cell round a rib of 0.9 mm: %d thin walls, want 1", c)
	}
}

// TestTempers: the rule on uneven removal asks for a temper that is not stress-relieved and for uneven removal.
func TestTempers(t *testing.T) {
	s := example(t)
	for _, c := range []struct {
		temper string
		bottom bool
		want   int
	}{
		{"T6", false, 1},
		{"F", false, 1},
		{"H111", false, 1},
		{"", false, 1},
		{"T651", false, 0},
		{"T6511", false, 0},
		{"T7351", false, 0},
		{"T351", false, 0},
		{"T652", false, 0},
		{"O", false, 0},
		{"T6", true, 0},
	} {
		p := blank(20)
		p.Stock.Material.Temper = c.temper
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, 4, 28, 28, 150, 90)}
		if c.bottom {
			p.Pockets = append(p.Pockets, pocket(2, plate.Bottom, 8, 4, 28, 28, 150, 90))
		}
		if got := len(of(check.Run(derive(t, p), s), "one-sided-removal", w, 0)); got != c.want {
			t.Errorf("temper %q, bottom cut too %v: %d findings, want %d", c.temper, c.bottom, got, c.want)
		}
	}
}

// TestCounts: places of one feature that break one rule alike are told once, with their number and the worst.
func TestCounts(t *testing.T) {
	p := blank(15)
	p.Circles = []plate.BoltCircle{{ID: 2, Name: "ring", X: 100, Y: 60, Diameter: 30, Count: 8, HoleForm: plate.HoleForm{
		Kind: plate.Clearance, Size: "M5", Series: plate.Medium, Side: plate.Through,
	}}}
	got := of(check.Run(derive(t, p), example(t)), "hole-pitch", w, 2)
	if len(got) != 1 || !strings.Contains(got[0].What, "the worst of 8 pairs") {
		t.Errorf("eight holes of 5.5 mm on 30 mm, 11.48 mm apart: %+v, want one finding that counts 8 pairs", got)
	}
}

// TestNoTools: a shop without end mills gets a finding, not a fault.
func TestNoTools(t *testing.T) {
	p := blank(15)
	p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, 4, 28, 28, 150, 90)}
	s := example(t)
	s.Tools = nil
	got := of(check.Run(derive(t, p), s), "corner-radius", e, 1)
	if len(got) != 1 || !strings.Contains(got[0].What, "no end mill") {
		t.Errorf("no end mills: %+v", got)
	}
	if fs := check.Run(derive(t, p), shop.Profile{}); finding.Count(fs, e) == 0 {
		t.Errorf("empty profile: %+v, want errors", fs)
	}
}

func TestNoMapPanics(t *testing.T) {
	for _, l := range []*layout.Layout{nil, {}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("Run(%v) did not panic", l)
				}
			}()
			check.Run(l, shop.Profile{})
		}()
	}
}

func BenchmarkRun(b *testing.B) {
	s := example(b)
	for _, c := range []struct {
		name  string
		width float64
	}{{"sound", 4}, {"thin walls", 0.8}} {
		l := derive(b, gridded(49, c.width))
		cells := 0
		for i := range l.Cells {
			if l.Cells[i].State == layout.CellCut {
				cells++
			}
		}
		b.Run(fmt.Sprintf("%s, %d cells", c.name, cells), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				check.Run(l, s)
			}
		})
	}
}

func ExampleRun() {
	p := blank(15)
	p.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: 100, Y: 23, Diameter: 40}}
	l, err := layout.Derive(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := shop.Example()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range check.Run(l, s) {
		fmt.Printf("%s %s: %s\n", f.Level, f.Code, f.What)
	}
	// Output: warning bore-wall: the wall between bore "Pivot" (40 mm) and the outline is 3 mm, limit 5 mm
}
