package layout

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
)

func seat(side plate.Side, dia, depth float64) plate.Seat {
	return plate.Seat{Side: side, Diameter: dia, Depth: depth}
}

func grooved(s plate.Seat, dia, width, at float64) plate.Seat {
	s.Groove = plate.Groove{Diameter: dia, Width: width, At: at}
	return s
}

// pivot is a bore of 20 mm with the given seats in the middle of the plate.
func pivot(p *plate.Plate, s ...plate.Seat) {
	p.Bores = []plate.Bore{{ID: 3, Name: "pivot", X: 100, Y: 60, Diameter: 20, Seats: s}}
}

func headed(id plate.ID, kind plate.HoleKind, x, y, dia, depth float64) plate.Hole {
	return plate.Hole{ID: id, Name: "head", X: x, Y: y, HoleForm: plate.HoleForm{
		Kind: kind, Size: "M6", Series: plate.Medium, Side: plate.Top, HeadDiameter: dia, HeadDepth: depth,
	}}
}

func slotAt(id plate.ID, x, y, length, width float64) plate.Slot {
	return plate.Slot{ID: id, Name: "slot", X: x, Y: y, Length: length, Width: width, Side: plate.Through}
}

// drawn is a rectangular pocket of its own.
func drawn(id plate.ID, side plate.Side, depth, radius, x0, y0, x1, y1 float64) plate.Pocket {
	return plate.Pocket{ID: id, Name: "pocket", Kind: plate.DrawnPocket, Side: side, Depth: depth, Radius: radius, Bounds: []plate.Corner{
		{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1},
	}}
}

func insert(pocket plate.ID, clearance, thickness float64) plate.Inlay {
	return plate.Inlay{ID: 20, Name: "panel", Pocket: pocket, All: true, Clearance: clearance, Thickness: thickness}
}

// TestFormFindings: each fault is found and named, and what just is none is not. The plate is 200 × 120 × 15 mm.
func TestFormFindings(t *testing.T) {
	ledged := func(width, depth float64) plate.Pocket {
		k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
		k.Ledge = plate.Ledge{Width: width, Depth: depth}
		return k
	}
	floor := func(r float64) plate.Pocket {
		k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
		k.FloorRadius = r
		return k
	}
	key := func(p *plate.Plate, w, h, deg float64) {
		pivot(p)
		p.Bores[0].Keyway = plate.Keyway{Width: w, Height: h, AngleDeg: deg}
	}
	for _, c := range []struct {
		code  string
		level finding.Level
		words string
		bad   func(*plate.Plate)
		good  func(*plate.Plate)
	}{
		{"seat-narrow", finding.Error, "20 mm", func(p *plate.Plate) { pivot(p, seat(plate.Top, 20, 5)) }, func(p *plate.Plate) { pivot(p, seat(plate.Top, 20.1, 5)) }},
		{"seat-deep", finding.Error, "15 mm", func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 15)) }, func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 14.9)) }},
		{"seats-meet", finding.Error, "15 mm deep together", func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 8), seat(plate.Bottom, 26, 7)) }, func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 8), seat(plate.Bottom, 26, 6.9)) }},
		{"seats-order", finding.Error, "seats 2 and 1", func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 8), seat(plate.Top, 28, 3)) }, func(p *plate.Plate) { pivot(p, seat(plate.Top, 28, 8), seat(plate.Top, 30, 3)) }},
		{"seats-order", finding.Error, "seats 1 and 2", func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 8), seat(plate.Top, 28, 8)) }, func(p *plate.Plate) { pivot(p, seat(plate.Top, 30, 8), seat(plate.Bottom, 30, 5)) }},
		{"groove-narrow", finding.Error, "30 mm", func(p *plate.Plate) { pivot(p, grooved(seat(plate.Top, 30, 8), 30, 1.3, 2)) }, func(p *plate.Plate) { pivot(p, grooved(seat(plate.Top, 30, 8), 31.4, 1.3, 2)) }},
		{"groove-outside", finding.Error, "8.3 mm", func(p *plate.Plate) { pivot(p, grooved(seat(plate.Top, 30, 8), 31.4, 1.3, 7)) }, func(p *plate.Plate) { pivot(p, grooved(seat(plate.Top, 30, 8), 31.4, 1.3, 6.7)) }},
		{"groove-outside", finding.Error, "cut wider", func(p *plate.Plate) {
			pivot(p, grooved(seat(plate.Top, 30, 8), 31.4, 1.3, 2), seat(plate.Top, 36, 2.5))
		}, func(p *plate.Plate) {
			pivot(p, grooved(seat(plate.Top, 30, 8), 31.4, 1.3, 2.5), seat(plate.Top, 36, 2.5))
		}},
		{"keyway-size", finding.Error, "20 mm wide", func(p *plate.Plate) { key(p, 20, 3, 0) }, func(p *plate.Plate) { key(p, 19.9, 3, 0) }},
		{"keyway-breaks", finding.Error, `hole "screw"`, func(p *plate.Plate) {
			key(p, 6, 3, 0)
			p.Holes = []plate.Hole{clearance8(4, 117.4, 60, 0)}
		}, func(p *plate.Plate) {
			key(p, 6, 3, 0)
			p.Holes = []plate.Hole{clearance8(4, 117.6, 60, 0)}
		}},
		{"keyway-breaks", finding.Error, "outline", func(p *plate.Plate) {
			key(p, 6, 3, 90)
			p.Bores[0].Y = 107
		}, func(p *plate.Plate) {
			key(p, 6, 3, 90)
			p.Bores[0].Y = 106.9
		}},
		{"keyway-breaks", finding.Error, `slot "slot"`, func(p *plate.Plate) {
			key(p, 6, 3, 0)
			p.Slots = []plate.Slot{slotAt(4, 122.9, 60, 10, 10)}
		}, func(p *plate.Plate) {
			key(p, 6, 3, 0)
			p.Slots = []plate.Slot{slotAt(4, 123.1, 60, 10, 10)}
		}},
		{"recess-outside", finding.Error, "30 mm", func(p *plate.Plate) {
			pivot(p, seat(plate.Top, 30, 5))
			p.Bores[0].Y = 15
		}, func(p *plate.Plate) {
			pivot(p, seat(plate.Top, 30, 5))
			p.Bores[0].Y = 15.1
		}},
		{"recesses-overlap", finding.Error, `"pivot"`, func(p *plate.Plate) {
			pivot(p, seat(plate.Top, 30, 5))
			p.Holes = []plate.Hole{headed(4, plate.Counterbored, 121, 60, 12, 6)}
		}, func(p *plate.Plate) {
			pivot(p, seat(plate.Bottom, 30, 5)) // from the other face: no height in common
			p.Holes = []plate.Hole{headed(4, plate.Counterbored, 121, 60, 12, 6)}
		}},
		{"holes-overlap", finding.Error, `hole 1 of clocked ring "ring" and hole 2`, func(p *plate.Plate) {
			p.Rings = []plate.ClockedRing{{BoltCircle: plate.BoltCircle{ID: 4, Name: "ring", X: 100, Y: 60, Diameter: 60, Angles: []float64{0, 17, 180}, HoleForm: clearance8(0, 0, 0, 0).HoleForm}, MateCount: 3}}
		}, func(p *plate.Plate) {
			p.Rings = []plate.ClockedRing{{BoltCircle: plate.BoltCircle{ID: 4, Name: "ring", X: 100, Y: 60, Diameter: 60, Angles: []float64{0, 18, 180}, HoleForm: clearance8(0, 0, 0, 0).HoleForm}, MateCount: 3}}
		}},
		{"recess-beyond-boss", finding.Warning, "30 mm", func(p *plate.Plate) {
			pivot(p, seat(plate.Top, 30, 5))
			p.Bores[0].Boss, p.Pockets = 5, []plate.Pocket{pocket(9, plate.Bottom, 4, 4)}
		}, func(p *plate.Plate) {
			pivot(p, seat(plate.Top, 30, 5))
			p.Bores[0].Boss, p.Pockets = 5.1, []plate.Pocket{pocket(9, plate.Bottom, 4, 4)}
		}},
		{"head-narrow", finding.Error, "6.6 mm", func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Counterbored, 60, 60, 6.6, 5)} }, func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Counterbored, 60, 60, 6.7, 5)} }},
		{"head-deep", finding.Error, "15 mm deep", func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Counterbored, 60, 60, 11, 15)} }, func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Counterbored, 60, 60, 11, 14.9)} }},
		{"head-deep", finding.Error, "left out", func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Countersunk, 60, 60, 36.6, 0)} }, func(p *plate.Plate) { p.Holes = []plate.Hole{headed(4, plate.Countersunk, 60, 60, 36.4, 0)} }},
		{"head-meets-cut", finding.Error, `pocket "pocket"`, func(p *plate.Plate) {
			p.Holes = []plate.Hole{headed(4, plate.Countersunk, 60, 60, 14, 0)}
			p.Pockets = []plate.Pocket{drawn(9, plate.Top, 5, 4, 66.9, 40, 120, 80)}
		}, func(p *plate.Plate) {
			p.Holes = []plate.Hole{headed(4, plate.Countersunk, 60, 60, 14, 0)}
			p.Pockets = []plate.Pocket{drawn(9, plate.Top, 5, 4, 67.1, 40, 120, 80)}
		}},
		{"head-meets-cut", finding.Error, "wholly inside", func(p *plate.Plate) {
			p.Holes = []plate.Hole{headed(4, plate.Countersunk, 80, 60, 14, 0)}
			p.Pockets = []plate.Pocket{drawn(9, plate.Top, 5, 4, 60, 40, 120, 80)}
		}, func(p *plate.Plate) {
			p.Holes = []plate.Hole{headed(4, plate.Countersunk, 80, 60, 14, 0)}
			p.Pockets = []plate.Pocket{drawn(9, plate.Bottom, 5, 4, 60, 40, 120, 80)}
		}},
		{"slot-outside", finding.Error, "crosses", func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 25, 60, 40, 10)} }, func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 25.1, 60, 40, 10)} }},
		{"slot-outside", finding.Error, "outside", func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 300, 60, 40, 10)} }, func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 100, 60, 40, 10)} }},
		{"boss-crosses-outline", finding.Note, "0.1 mm", func(p *plate.Plate) {
			s := slotAt(4, 100, 9.9, 40, 10)
			s.Boss = 5
			p.Slots = []plate.Slot{s}
		}, func(p *plate.Plate) {
			s := slotAt(4, 100, 10.1, 40, 10)
			s.Boss = 5
			p.Slots = []plate.Slot{s}
		}},
		{"slot-meets-hole", finding.Error, `hole "screw"`, func(p *plate.Plate) {
			p.Slots = []plate.Slot{slotAt(4, 100, 60, 40, 10)}
			p.Holes = []plate.Hole{clearance8(5, 129.4, 60, 0)}
		}, func(p *plate.Plate) {
			p.Slots = []plate.Slot{slotAt(4, 100, 60, 40, 10)}
			p.Holes = []plate.Hole{clearance8(5, 129.6, 60, 0)}
		}},
		{"slots-overlap", finding.Error, `"slot"`, func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 60, 60, 40, 10), slotAt(5, 109.9, 60, 40, 10)} }, func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(4, 60, 60, 40, 10), slotAt(5, 110.1, 60, 40, 10)} }},
		{"slot-deep", finding.Warning, "goes through", func(p *plate.Plate) {
			s := slotAt(4, 100, 60, 40, 10)
			s.Side, s.Depth = plate.Top, 15
			p.Slots = []plate.Slot{s}
		}, func(p *plate.Plate) {
			s := slotAt(4, 100, 60, 40, 10)
			s.Side, s.Depth = plate.Top, 14.9
			p.Slots = []plate.Slot{s}
		}},
		{"eccentric-wall", finding.Error, `"pivot"`, func(p *plate.Plate) {
			pivot(p)
			p.Eccentrics = []plate.Eccentric{{ID: 4, Name: "cam", Bore: 3, E: 5, Inner: 10}}
		}, func(p *plate.Plate) {
			pivot(p)
			p.Eccentrics = []plate.Eccentric{{ID: 4, Name: "cam", Bore: 3, E: 4.9, Inner: 10}}
		}},
		{"pockets-meet", finding.Warning, "from both sides", func(p *plate.Plate) {
			k := pocket(9, plate.Both, 8, 4)
			k.DepthBack = 7
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := pocket(9, plate.Both, 8, 4)
			k.DepthBack = 6.9
			p.Pockets = []plate.Pocket{k}
		}},
		{"pockets-meet", finding.Warning, "15 mm deep together", func(p *plate.Plate) {
			a, b := drawn(8, plate.Top, 5, 4, 40, 30, 120, 90), drawn(9, plate.Bottom, 5, 4, 40, 30, 120, 90)
			a.Depths = []plate.CellDepth{{At: plate.Anchor{X: 80, Y: 60}, Depth: 10}}
			p.Pockets = []plate.Pocket{a, b}
		}, func(p *plate.Plate) { // a cell drawn as going through is a window by choice
			a, b := drawn(8, plate.Top, 5, 4, 40, 30, 120, 90), drawn(9, plate.Bottom, 5, 4, 40, 30, 120, 90)
			a.Depths = []plate.CellDepth{{At: plate.Anchor{X: 80, Y: 60}, Through: true}}
			p.Pockets = []plate.Pocket{a, b}
		}},
		{"ledge-deep", finding.Error, "8 mm", func(p *plate.Plate) { p.Pockets = []plate.Pocket{ledged(5, 8)} }, func(p *plate.Plate) { p.Pockets = []plate.Pocket{ledged(5, 7.9)} }},
		{"ledge-fills-cell", finding.Warning, "26 mm", func(p *plate.Plate) { p.Pockets = []plate.Pocket{ledged(26, 3)} }, func(p *plate.Plate) { p.Pockets = []plate.Pocket{ledged(25.9, 3)} }},
		{"floor-radius-meets", finding.Error, "inside corner radius of 4 mm", func(p *plate.Plate) { p.Pockets = []plate.Pocket{floor(4.1)} }, func(p *plate.Plate) { p.Pockets = []plate.Pocket{floor(4)} }},
		{"floor-radius-meets", finding.Error, "2.9 mm", func(p *plate.Plate) {
			k := floor(3)
			k.Depth = 2.9
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := floor(3)
			k.Depth = 3
			p.Pockets = []plate.Pocket{k}
		}},
		{"floor-radius-meets", finding.Error, "2.9 mm", func(p *plate.Plate) {
			k := ledged(5, 5.1)
			k.FloorRadius = 3
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := ledged(5, 5)
			k.FloorRadius = 3
			p.Pockets = []plate.Pocket{k}
		}},
		{"floor-radius-meets", finding.Error, `drilled "screw"`, func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{floor(3)}
			p.Holes = []plate.Hole{clearance8(5, 47.4, 60, 0)}
		}, func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{floor(3)}
			p.Holes = []plate.Hole{clearance8(5, 47.6, 60, 0)}
		}},
		{"floor-radius-meets", finding.Error, "outline", func(p *plate.Plate) {
			k := drawn(9, plate.Top, 8, 4, 40, 30, 220, 90)
			k.FloorRadius = 2
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := drawn(9, plate.Top, 8, 4, 40, 30, 199, 90)
			k.FloorRadius = 2
			p.Pockets = []plate.Pocket{k}
		}},
		{"floor-radius-meets", finding.Error, "neck", func(p *plate.Plate) {
			// Two bosses leave a neck that the cutter of 4 mm just passes, between sharp corners of ribs.
			k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
			k.FloorRadius = 3.9
			k.Bounds = []plate.Corner{{X: 40, Y: 30}, {X: 120, Y: 30}, {X: 120, Y: 90}, {X: 84.2, Y: 90}, {X: 80, Y: 33.5}, {X: 75.8, Y: 90}, {X: 40, Y: 90}}
			k.Bounds[4] = plate.Corner{X: 80, Y: 37.5}
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
			k.FloorRadius = 3.9
			k.Bounds = []plate.Corner{{X: 40, Y: 30}, {X: 120, Y: 30}, {X: 120, Y: 90}, {X: 84.2, Y: 90}, {X: 80, Y: 38.5}, {X: 75.8, Y: 90}, {X: 40, Y: 90}}
			p.Pockets = []plate.Pocket{k}
		}},
		{"chamfer-meets", finding.Error, "run into each other", func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 8, Bottom: 7} }, func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 8, Bottom: 6.9} }},
		{"chamfer-meets", finding.Error, "runs into itself", func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 10.1} }, func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 10} }},
		{"chamfer-meets", finding.Error, `drilled "screw"`, func(p *plate.Plate) {
			p.Outline.Chamfer = plate.EdgeChamfer{Bottom: 2}
			p.Holes = []plate.Hole{clearance8(5, 60, 6.4, 0)}
		}, func(p *plate.Plate) {
			p.Outline.Chamfer = plate.EdgeChamfer{Bottom: 2}
			p.Holes = []plate.Hole{clearance8(5, 60, 6.6, 0)}
		}},
		{"inlay-no-seat", finding.Error, "1;", func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{drawn(9, plate.Through, 0, 4, 40, 30, 120, 90)}
			p.Inlays = []plate.Inlay{insert(9, 0.2, 2)}
		}, func(p *plate.Plate) {
			k := drawn(9, plate.Through, 0, 4, 40, 30, 120, 90)
			k.Ledge = plate.Ledge{Width: 4, Depth: 2}
			p.Pockets, p.Inlays = []plate.Pocket{k}, []plate.Inlay{insert(9, 0.2, 2)}
		}},
		{"inlay-cell-small", finding.Error, "1", func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)}, []plate.Inlay{insert(9, 30, 2)}
		}, func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)}, []plate.Inlay{insert(9, 29.9, 2)}
		}},
		{"inlay-proud", finding.Warning, "0.1 mm", func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{ledged(5, 2)}, []plate.Inlay{insert(9, 0.2, 2.1)}
		}, func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{ledged(5, 2)}, []plate.Inlay{insert(9, 0.2, 2)}
		}},
		{"inlay-falls", finding.Error, "falls through", func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{ledged(1, 2)}, []plate.Inlay{insert(9, 1, 2)}
		}, func(p *plate.Plate) {
			p.Pockets, p.Inlays = []plate.Pocket{ledged(1, 2)}, []plate.Inlay{insert(9, 0.9, 2)}
		}},
		{"anchor-inactive", finding.Note, "depth of its own at (20, 20)", func(p *plate.Plate) {
			k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
			k.Depths = []plate.CellDepth{{At: plate.Anchor{X: 20, Y: 20}, Depth: 3}}
			p.Pockets = []plate.Pocket{k}
		}, func(p *plate.Plate) {
			k := drawn(9, plate.Top, 8, 4, 40, 30, 120, 90)
			k.Depths = []plate.CellDepth{{At: plate.Anchor{X: 41, Y: 60}, Depth: 3}}
			p.Pockets = []plate.Pocket{k}
		}},
		{"anchor-inactive", finding.Note, "inlay panel at (20, 20)", func(p *plate.Plate) {
			n := insert(9, 0.2, 2)
			n.All, n.Cells = false, []plate.Anchor{{X: 20, Y: 20}}
			p.Pockets, p.Inlays = []plate.Pocket{ledged(5, 2)}, []plate.Inlay{n}
		}, func(p *plate.Plate) {
			n := insert(9, 0.2, 2)
			n.All, n.Cells = false, []plate.Anchor{{X: 80, Y: 60}}
			p.Pockets, p.Inlays = []plate.Pocket{ledged(5, 2)}, []plate.Inlay{n}
		}},
	} {
		p := rectangle(200, 120, 10, 0)
		c.bad(&p)
		l := mustDerive(t, p)
		checkInvariants(t, l)
		found := false
		for _, f := range l.Findings {
			if f.Code != c.code {
				t.Errorf("%s (%s): finding %q besides", c.code, c.words, f.What)
				continue
			}
			found = found || f.Level == c.level && strings.Contains(f.What, c.words)
			if f.Why == "" || f.Source == "" || f.Fix == "" || f.Stage == "" || !f.HasWhere || math.IsNaN(f.Where[0]+f.Where[1]) {
				t.Errorf("%s: a part of the finding is empty: %+v", c.code, f)
			}
		}
		if !found {
			t.Errorf("%s: no finding of level %s says %q: %+v", c.code, c.level, c.words, l.Findings)
		}
		p = rectangle(200, 120, 10, 0)
		c.good(&p)
		l = mustDerive(t, p)
		checkInvariants(t, l)
		for _, f := range l.Findings {
			t.Errorf("%s, just not: finding %s: %q", c.code, f.Code, f.What)
		}
	}
}
