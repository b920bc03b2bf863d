package layout

import (
	"context"
	"fmt"
	"testing"

	"platewright/plate"
)

// BenchmarkDerive is the plate of frame class: 600 × 400 mm, an isogrid of about 190 cells, 6 bores, 40 holes. Its parts
// are measured beside it.
func BenchmarkDerive(b *testing.B) {
	p := largePlate(52)
	b.Run("all", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Derive(p); err != nil {
				b.Fatal(err)
			}
		}
	})
	for _, part := range []struct {
		name string
		do   func(*deriver) error
	}{
		{"cells", (*deriver).makeCells},
		{"map", (*deriver).makeMap},
		{"labels", (*deriver).makeLabels},
		{"forms", (*deriver).checkForms},
	} {
		b.Run(part.name, func(b *testing.B) {
			d := newDeriver(context.Background(), &p, routeFast)
			for _, step := range []func() error{d.makeOutline, d.makeRounds, d.makeRibs, d.makeCells, d.makeCuts, d.makeMap} {
				if err := step(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportAllocs()
			for b.Loop() {
				if part.name == "cells" {
					d.l.Cells, d.cellPiece, d.cellPocket, d.fields, d.l.Findings = nil, nil, nil, nil, nil
					d.sealed, d.divided = 0, 0
					clear(d.insets)
				}
				if err := part.do(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkRibs is Derive by number of ribs, counted from node to node.
func BenchmarkRibs(b *testing.B) {
	for _, n := range []int{25, 50, 100, 200, 400, 800, 1600, 3200} {
		p := ribbedPlate(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			l := mustDerive(b, p)
			for b.Loop() {
				if _, err := Derive(p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(l.Cells)), "cells")
		})
	}
}

// BenchmarkForms is the large plate with every form that costs time: cells from both sides with floor radii and ledges,
// panels in all of them, seats, countersinks and chamfered edges; and with one of them at a time.
func BenchmarkForms(b *testing.B) {
	both := func(p *plate.Plate) {
		p.Pockets[0].Side, p.Pockets[0].Depth, p.Pockets[0].DepthBack = plate.Both, 6, 5
	}
	floor := func(p *plate.Plate) { p.Pockets[0].FloorRadius = 3 }
	ledge := func(p *plate.Plate) { p.Pockets[0].Ledge = plate.Ledge{Width: 3, Depth: 2} }
	inlay := func(p *plate.Plate) { p.Inlays = []plate.Inlay{insert(90, 0.3, 2)} }
	holes := func(p *plate.Plate) {
		for i := range p.Bores {
			p.Bores[i].Seats = []plate.Seat{seat(plate.Top, p.Bores[i].Diameter+6, 5)}
		}
		for i := range p.Holes {
			p.Holes[i].Kind, p.Holes[i].Side, p.Holes[i].Boss = plate.Countersunk, plate.Top, 6
		}
	}
	edge := func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 0.5, Bottom: 0.5} }
	for _, c := range []struct {
		name  string
		forms []func(*plate.Plate)
	}{
		{"none", nil},
		{"both sides", []func(*plate.Plate){both}},
		{"floor radius", []func(*plate.Plate){floor}},
		{"ledge", []func(*plate.Plate){ledge}},
		{"inlay", []func(*plate.Plate){inlay}},
		{"holes", []func(*plate.Plate){holes}},
		{"edge", []func(*plate.Plate){edge}},
		{"all", []func(*plate.Plate){both, floor, ledge, inlay, holes, edge}},
	} {
		p := largePlate(52)
		for _, f := range c.forms {
			f(&p)
		}
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Derive(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
