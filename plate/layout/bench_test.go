package layout

import (
	"context"
	"fmt"
	"testing"
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
