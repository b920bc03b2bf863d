package layout

import (
	"context"
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestFlushForms lays forms exactly along each other: along the rim, along ribs and the tiles between them, tangent to
// bosses, with heights that meet. Both routes must agree and every invariant hold, also after an odd turn of the whole.
func TestFlushForms(t *testing.T) {
	base := func() plate.Plate {
		p := rectangle(300, 200, 10, 10)
		p.Grids = []plate.Grid{isogrid(1, 60, 6, 0, 150, 100)}
		p.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 90, Y: 70, Diameter: 20, Boss: 8}}
		p.Pockets = []plate.Pocket{pocket(3, plate.Top, 8, 4)}
		return p
	}
	zone := func(p *plate.Plate, cs ...geom.Point) {
		k := plate.KeepOut{ID: 9, Name: "zone"}
		for _, c := range cs {
			k.Bounds = append(k.Bounds, plate.Corner{X: c.X, Y: c.Y})
		}
		p.KeepOuts = append(p.KeepOuts, k)
	}
	// The tile (0, 0, 0) is the triangle between (150, 100), (210, 100) and (180, 100 + 30√3); ribs are 6 mm wide.
	h := 30 * math.Sqrt(3)
	tileOf := func(inset float64) []geom.Point {
		return []geom.Point{
			geom.Pt(150+inset*math.Sqrt(3), 100+inset), geom.Pt(210-inset*math.Sqrt(3), 100+inset), geom.Pt(180, 100+h-2*inset),
		}
	}
	for name, edit := range map[string]func(*plate.Plate){
		"zone along the rim":             func(p *plate.Plate) { zone(p, geom.Pt(100, 10), geom.Pt(200, 10), geom.Pt(200, 50), geom.Pt(100, 50)) },
		"zone on a sharp tile":           func(p *plate.Plate) { zone(p, tileOf(3)...) },
		"zone on a tile of centre lines": func(p *plate.Plate) { zone(p, tileOf(0)...) },
		"zone along a rib's edge": func(p *plate.Plate) {
			zone(p, geom.Pt(120, 103), geom.Pt(250, 103), geom.Pt(250, 130), geom.Pt(120, 130))
		},
		"drawn pocket on a sharp tile": func(p *plate.Plate) {
			k := drawn(9, plate.Bottom, 5, 4, 0, 0, 1, 1)
			k.Bounds = nil
			for _, c := range tileOf(3) {
				k.Bounds = append(k.Bounds, plate.Corner{X: c.X, Y: c.Y})
			}
			p.Pockets = append(p.Pockets, k)
		},
		"floors that meet": func(p *plate.Plate) {
			p.Pockets = append(p.Pockets, drawn(9, plate.Bottom, 7, 4, 150, 103, 260, 180))
		},
		"slot's boss along a rib's edge": func(p *plate.Plate) {
			s := slotAt(9, 180, 113, 20, 8)
			s.Boss = 6
			p.Slots = []plate.Slot{s}
		},
		"slot as wide as a rib, along it": func(p *plate.Plate) { p.Slots = []plate.Slot{slotAt(9, 180, 100, 40, 6)} },
		"seat as wide as the boss":        func(p *plate.Plate) { p.Bores[0].Seats = []plate.Seat{seat(plate.Top, 36, 8)} },
		"seat down to the pocket's floor, wider than the boss": func(p *plate.Plate) {
			p.Bores[0].Seats = []plate.Seat{seat(plate.Top, 44, 8), seat(plate.Bottom, 30, 7)}
		},
		"groove up to the boss": func(p *plate.Plate) {
			p.Bores[0].Seats = []plate.Seat{grooved(seat(plate.Bottom, 30, 6), 36, 2, 4)}
		},
		"keyway down to the boss": func(p *plate.Plate) { p.Bores[0].Keyway = plate.Keyway{Width: 6, Height: 8, AngleDeg: 60} },
		"round pocket on the boss": func(p *plate.Plate) {
			p.Pockets = append(p.Pockets, plate.Pocket{ID: 9, Name: "round", Kind: plate.RoundPocket, Side: plate.Bottom, Depth: 4, Radius: 5, X: 90, Y: 70, Diameter: 36})
		},
		"round pocket round the boss": func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{{ID: 9, Name: "round", Kind: plate.RoundPocket, Side: plate.Bottom, Depth: 4, Radius: 5, X: 90, Y: 70, Diameter: 90, FloorRadius: 2}}
		},
		"obround pocket along the rim": func(p *plate.Plate) {
			p.Pockets = append(p.Pockets, plate.Pocket{ID: 9, Name: "obround", Kind: plate.ObroundPocket, Side: plate.Bottom, Depth: 7, Radius: 5, X: 150, Y: 22, Length: 80, Diameter: 24})
		},
		"ledge that just fills the tiles": func(p *plate.Plate) {
			p.Pockets[0].Ledge = plate.Ledge{Width: h/3 - 3 - 4, Depth: 2}
		},
		"ledge as wide as the cutter's radius": func(p *plate.Plate) { p.Pockets[0].Ledge = plate.Ledge{Width: 4, Depth: 2} },
		"ledge at the other side's floor": func(p *plate.Plate) {
			p.Pockets[0].Ledge = plate.Ledge{Width: 3, Depth: 6}
			p.Pockets = append(p.Pockets, drawn(9, plate.Bottom, 9, 4, 150, 103, 260, 180))
		},
		"both sides, ledges, floor radii, panels": func(p *plate.Plate) {
			k := &p.Pockets[0]
			k.Side, k.Depth, k.DepthBack, k.FloorRadius, k.Ledge = plate.Both, 7, 6, 4, plate.Ledge{Width: 3, Depth: 2}
			p.Inlays = []plate.Inlay{insert(3, 0.5, 2)}
			p.Outline.Chamfer = plate.EdgeChamfer{Top: 2, Bottom: 2}
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := base()
			edit(&p)
			l := mustDerive(t, p)
			slow, err := derive(context.Background(), p, routeGeneral)
			if err != nil {
				t.Fatal(err)
			}
			checkInvariants(t, l)
			checkOthers(t, l)
			compareLayouts(t, l, slow)
			q := moved(p, 33.3, 41, -17)
			m := mustDerive(t, q)
			checkInvariants(t, m)
			if !near(m.Volume(), l.Volume(), 1e-8) || len(m.Cells) != len(l.Cells) || len(m.Panels) != len(l.Panels) {
				t.Errorf("turned: %.12g mm³ in %d cells with %d panels, want %.12g in %d with %d",
					m.Volume(), len(m.Cells), len(m.Panels), l.Volume(), len(l.Cells), len(l.Panels))
			}
		})
	}
}

// moved is p with everything that these tests draw turned about the origin and moved.
func moved(p plate.Plate, deg, dx, dy float64) plate.Plate {
	q := turned(p, deg, dx, dy)
	at := func(x, y *float64) {
		v := geom.Pt(*x, *y).Rotate(deg * math.Pi / 180)
		*x, *y = v.X+dx, v.Y+dy
	}
	path := func(cs []plate.Corner) []plate.Corner {
		out := append([]plate.Corner(nil), cs...)
		for i := range out {
			at(&out[i].X, &out[i].Y)
		}
		return out
	}
	q.Slots = append([]plate.Slot(nil), p.Slots...)
	for i := range q.Slots {
		at(&q.Slots[i].X, &q.Slots[i].Y)
		q.Slots[i].AngleDeg += deg
	}
	q.Pockets = append([]plate.Pocket(nil), p.Pockets...)
	for i := range q.Pockets {
		k := &q.Pockets[i]
		at(&k.X, &k.Y)
		k.AngleDeg += deg
		k.Bounds = path(k.Bounds)
	}
	q.KeepOuts = append([]plate.KeepOut(nil), p.KeepOuts...)
	for i := range q.KeepOuts {
		q.KeepOuts[i].Bounds = path(q.KeepOuts[i].Bounds)
	}
	for i := range q.Bores {
		q.Bores[i].Keyway.AngleDeg += deg
	}
	return q
}
