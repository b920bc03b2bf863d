package layout

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
)

func clearance8(id plate.ID, x, y, boss float64) plate.Hole {
	return plate.Hole{ID: id, Name: "screw", X: x, Y: y, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through, Boss: boss}}
}

func stud(id plate.ID, x, y, depth float64, side plate.Side) plate.Hole {
	return plate.Hole{ID: id, Name: "stud", X: x, Y: y, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: side, Depth: depth}}
}

// TestFindings: each fault of geometry is found, at its place, and nothing else.
func TestFindings(t *testing.T) {
	base := func() plate.Plate { return rectangle(200, 120, 10, 10) }
	for _, c := range []struct {
		name  string
		edit  func(*plate.Plate)
		code  string
		level finding.Level
		where [2]float64
		id    int64
	}{
		{"bore outside", func(p *plate.Plate) {
			p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 230, Y: 60, Diameter: 20}}
		}, "hole-outside", finding.Error, [2]float64{230, 60}, 3},
		{"hole across the outline", func(p *plate.Plate) { p.Holes = []plate.Hole{clearance8(4, 100, 3, 0)} }, "hole-outside", finding.Error, [2]float64{100, 3}, 4},
		{"hole touches the outline", func(p *plate.Plate) { p.Holes = []plate.Hole{clearance8(4, 100, 4.5, 0)} }, "hole-outside", finding.Error, [2]float64{100, 4.5}, 4},
		{"boss across the outline", func(p *plate.Plate) { p.Holes = []plate.Hole{clearance8(4, 100, 8, 6)} }, "boss-crosses-outline", finding.Note, [2]float64{100, 8}, 4},
		{"hole into a bore", func(p *plate.Plate) {
			p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 100, Y: 60, Diameter: 20}}
			p.Holes = []plate.Hole{clearance8(4, 114, 60, 0)}
		}, "holes-overlap", finding.Error, [2]float64{110, 60}, 3},
		{"bores touch", func(p *plate.Plate) {
			p.Bores = []plate.Bore{{ID: 3, Name: "a", X: 60, Y: 60, Diameter: 20}, {ID: 4, Name: "b", X: 90, Y: 60, Diameter: 40}}
		}, "holes-overlap", finding.Error, [2]float64{70, 60}, 3},
		{"rib into the open", func(p *plate.Plate) {
			p.Ribs = []plate.Rib{{ID: 5, Name: "spur", From: plate.RibEnd{X: 100, Y: 0}, To: plate.RibEnd{X: 100, Y: 60}, Width: 6}}
			p.Pockets = []plate.Pocket{pocket(9, plate.Top, 5, 5)}
		}, "rib-end-open", finding.Warning, [2]float64{100, 60}, 5},
		{"rib of no length", func(p *plate.Plate) {
			p.Ribs = []plate.Rib{{ID: 5, Name: "spur", From: plate.RibEnd{X: 100, Y: 5}, To: plate.RibEnd{X: 100, Y: 5}, Width: 6}}
		}, "rib-no-length", finding.Error, [2]float64{100, 5}, 5},
		{"rim too wide", func(p *plate.Plate) { p.Rim = 60 }, "rim-wide", finding.Warning, [2]float64{100, 60}, 0},
		{"blank too small", func(p *plate.Plate) {
			p.Stock.Blank = plate.Blank{Fixed: true, X: 0, Y: -5, Width: 190, Height: 130}
		}, "blank-small", finding.Error, [2]float64{95, 60}, 0},
		{"drill point through", func(p *plate.Plate) { p.Holes = []plate.Hole{stud(6, 100, 60, 9, plate.Top)} }, "point-through", finding.Error, [2]float64{100, 60}, 6},
		{"drill point into a pocket", func(p *plate.Plate) {
			p.Holes = []plate.Hole{stud(6, 100, 60, 4, plate.Bottom)}
			p.Pockets = []plate.Pocket{pocket(9, plate.Top, 5, 5)}
		}, "point-meets-cut", finding.Error, [2]float64{100, 60}, 6},
		{"pockets meet", func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{pocket(8, plate.Top, 8, 5), pocket(9, plate.Bottom, 7, 5)}
		}, "pockets-meet", finding.Warning, [2]float64{100, 60}, 9},
		{"pockets overlap", func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{pocket(8, plate.Top, 8, 5), pocket(9, plate.Top, 3, 5)}
		}, "pockets-overlap", finding.Note, [2]float64{100, 60}, 9},
		{"anchor in a boss", func(p *plate.Plate) {
			p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 100, Y: 60, Diameter: 20, Boss: 8}}
			k := pocket(9, plate.Top, 3, 5)
			k.Kept = []plate.Anchor{{X: 100, Y: 75}}
			p.Pockets = []plate.Pocket{k}
		}, "anchor-inactive", finding.Note, [2]float64{100, 75}, 9},
		{"anchor of a grid that is gone", func(p *plate.Plate) {
			k := pocket(9, plate.Top, 3, 5)
			k.Kept = []plate.Anchor{{Grid: 77, I: 1, J: 2, K: 1}}
			p.Pockets = []plate.Pocket{k}
		}, "anchor-inactive", finding.Note, [2]float64{0, 0}, 9},
	} {
		p := base()
		c.edit(&p)
		l := mustDerive(t, p)
		checkInvariants(t, l)
		if len(l.Findings) != 1 {
			t.Errorf("%s: findings %v, want one", c.name, codes(l))
			continue
		}
		f := l.Findings[0]
		d := math.Hypot(f.Where[0]-c.where[0], f.Where[1]-c.where[1])
		if f.Code != c.code || f.Level != c.level || f.Feature != c.id || !f.HasWhere || d > 0.5 {
			t.Errorf("%s: got %+v, want %s (%s) of feature %d at %v", c.name, f, c.code, c.level, c.id, c.where)
		}
		if f.What == "" || f.Why == "" || f.Source == "" || f.Fix == "" || f.Stage == "" {
			t.Errorf("%s: a part of the finding is empty: %+v", c.name, f)
		}
	}
}

// TestNoFindings: what is as it should be gives none.
func TestNoFindings(t *testing.T) {
	p := rectangle(200, 120, 10, 10)
	p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 100, Y: 60, Diameter: 20, Boss: 8}}
	p.Holes = []plate.Hole{stud(6, 5.5, 60, 5, plate.Top), clearance8(7, 60, 60, 3)}
	p.Ribs = []plate.Rib{
		{ID: 10, Name: "to the bore", From: plate.RibEnd{X: 100, Y: 0}, To: plate.RibEnd{Feature: 3}, Width: 6},
		{ID: 11, Name: "to the rim's inner edge", From: plate.RibEnd{X: 150, Y: 10}, To: plate.RibEnd{X: 150, Y: 110}, Width: 6},
		{ID: 12, Name: "to the rib", From: plate.RibEnd{X: 150, Y: 60}, To: plate.RibEnd{X: 210, Y: 60}, Width: 6},
		{ID: 13, Name: "to the hole's boss", From: plate.RibEnd{Feature: 7}, To: plate.RibEnd{X: 60, Y: 120}, Width: 6},
	}
	one, two := pocket(8, plate.Top, 5, 5), pocket(9, plate.Bottom, 4, 5)
	p.Pockets = []plate.Pocket{one, two}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	for _, f := range l.Findings {
		t.Errorf("unexpected finding: %+v", f)
	}
}

// TestDeriveErrors: documents that nothing can be derived from are refused with the place and the fix, in bounded work.
func TestDeriveErrors(t *testing.T) {
	for _, c := range []struct {
		name  string
		edit  func(*plate.Plate)
		words []string
	}{
		{"no corners", func(p *plate.Plate) { p.Outline.Corners = nil }, []string{"outline"}},
		{"self-crossing", func(p *plate.Plate) {
			c := p.Outline.Corners
			c[2], c[3] = c[3], c[2]
			for i := range c {
				c[i].Radius = 0
			}
		}, []string{"outline", "corners 2–3 and 4–1", "at x 100"}},
		{"radius too large", func(p *plate.Plate) { p.Outline.Corners[1].Radius = 150 }, []string{"outline", "corner 2"}},
		{"NaN", func(p *plate.Plate) { p.Outline.Corners[1].X = math.NaN() }, []string{"outline", "corner 2"}},
		{"thickness", func(p *plate.Plate) { p.Stock.Finished = 0 }, []string{"stock", "thickness"}},
		{"infinite rim", func(p *plate.Plate) { p.Rim = math.Inf(1) }, []string{"outline", "rim"}},
		{"bore of no size", func(p *plate.Plate) { p.Bores = []plate.Bore{{ID: 1, Name: "pivot"}} }, []string{"bores", `"pivot"`}},
		{"unknown thread", func(p *plate.Plate) {
			h := clearance8(1, 50, 50, 0)
			h.Size = "M9"
			p.Holes = []plate.Hole{h}
		}, []string{"holes", `"screw"`, "M9", "M10"}},
		{"a million holes", func(p *plate.Plate) {
			p.Circles = []plate.BoltCircle{{ID: 1, Name: "ring", Diameter: 50, Count: 1_000_000, HoleForm: clearance8(0, 0, 0, 0).HoleForm}}
		}, []string{"holes", `"ring"`, "1000000"}},
		{"many rings", func(p *plate.Plate) {
			for i := range 30 {
				p.Circles = append(p.Circles, plate.BoltCircle{ID: plate.ID(i + 1), Name: "ring", Diameter: 50, Count: 1000, HoleForm: clearance8(0, 0, 0, 0).HoleForm})
			}
		}, []string{"holes", "20000"}},
		{"ring about nothing", func(p *plate.Plate) {
			p.Circles = []plate.BoltCircle{{ID: 1, Name: "ring", Bore: 99, Diameter: 50, Count: 4, HoleForm: clearance8(0, 0, 0, 0).HoleForm}}
		}, []string{"holes", `"ring"`, "99"}},
		{"a million ribs by a fine grid", func(p *plate.Plate) { p.Grids = []plate.Grid{isogrid(1, 0.01, 0.001, 0, 0, 0)} }, []string{"ribs", `"grid"`, "pitch"}},
		{"too many triangles", func(p *plate.Plate) { p.Grids = []plate.Grid{isogrid(1, 0.5, 0.1, 0, 0, 0)} }, []string{"ribs", `"grid"`, "triangles"}},
		{"a grid far away", func(p *plate.Plate) { p.Grids = []plate.Grid{isogrid(1, 50, 5, math.Inf(1), 0, 0)} }, []string{"ribs", `"grid"`}},
		{"a million ribs", func(p *plate.Plate) { p.Ribs = make([]plate.Rib, 1_000_000) }, []string{"ribs", "1000000"}},
		{"many pockets of many triangles", func(p *plate.Plate) {
			p.Grids = []plate.Grid{isogrid(1, 2, 0.5, 0, 0, 0)}
			for i := range 100 {
				p.Pockets = append(p.Pockets, pocket(plate.ID(10+i), plate.Top, 2, 0.1))
			}
		}, []string{"pockets", "divide"}},
		{"rib to nothing", func(p *plate.Plate) {
			p.Ribs = []plate.Rib{{ID: 1, Name: "strut", Width: 5, From: plate.RibEnd{Feature: 42}}}
		}, []string{"ribs", `"strut"`, "42"}},
		{"pocket of no side", func(p *plate.Plate) {
			k := pocket(1, "left", 5, 5)
			p.Pockets = []plate.Pocket{k}
		}, []string{"pockets", `"pocket"`, "left"}},
		{"pocket bounds cross", func(p *plate.Plate) {
			k := pocket(1, plate.Top, 5, 5)
			k.Bounds = []plate.Corner{{X: 0, Y: 0}, {X: 50, Y: 50}, {X: 50, Y: 0}, {X: 0, Y: 50}}
			p.Pockets = []plate.Pocket{k}
		}, []string{"pockets", `"pocket"`, "corners"}},
	} {
		p := rectangle(200, 120, 10, 10)
		c.edit(&p)
		l, err := Derive(p)
		var de *DeriveError
		if !errors.As(err, &de) {
			t.Errorf("%s: Derive gave %v, %v; want a *DeriveError", c.name, l, err)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, err, w)
			}
		}
	}
}

func TestDeriveCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := DeriveCtx(ctx, largePlate(58)); !errors.Is(err, context.Canceled) {
		t.Errorf("DeriveCtx on a cancelled context: %v", err)
	}
}

// TestDeriveTwice: the same document gives the same layout to the last bit.
func TestDeriveTwice(t *testing.T) {
	if a, b := mustDerive(t, largePlate(58)), mustDerive(t, largePlate(58)); !reflect.DeepEqual(a, b) {
		t.Error("derivations of one document differ")
	}
}

// TestClockwiseOutline: the order of the corners does not matter.
func TestClockwiseOutline(t *testing.T) {
	p := rectangle(200, 120, 10, 10)
	p.Outline.Corners[0].Arc, p.Outline.Corners[0].ThroughX, p.Outline.Corners[0].ThroughY = true, 100, -12
	q := rectangle(200, 120, 10, 10)
	c := q.Outline.Corners
	c[0], c[1], c[2], c[3] = c[1], c[0], c[3], c[2]
	c[0].Arc, c[0].ThroughX, c[0].ThroughY = true, 100, -12
	a, b := mustDerive(t, p), mustDerive(t, q)
	if !near(a.Volume(), b.Volume(), 1e-13) || a.Outline.Outer.Area() <= 0 || b.Outline.Outer.Area() <= 0 {
		t.Errorf("volumes %v and %v, outline areas %v and %v", a.Volume(), b.Volume(), a.Outline.Outer.Area(), b.Outline.Outer.Area())
	}
}
