package route

import (
	"context"
	"testing"

	"platewright/plate"
)

// largePlate is 600 × 400 mm with an isogrid, six bores and some forty holes: the plate that speed is measured on.
func largePlate(pitch float64) plate.Plate {
	p := plate.New("large")
	p.Outline.Corners = []plate.Corner{{X: 0, Y: 0, Radius: 40}, {X: 600, Y: 0, Radius: 40}, {X: 600, Y: 400, Radius: 40}, {X: 0, Y: 400, Radius: 40}}
	p.Rim = 12
	p.Stock.Nominal, p.Stock.Finished = 15, 15
	p.Stock.Blank = plate.Blank{Margin: 25}
	p.Grids = []plate.Grid{{ID: 1, Name: "grid", Pitch: pitch, Width: 4, AngleDeg: 7.5, X: 301, Y: 202}}
	for i, c := range [][3]float64{{70, 70, 42}, {530, 70, 42}, {530, 330, 35}, {70, 330, 35}, {300, 200, 62}, {300, 80, 25}} {
		p.Bores = append(p.Bores, plate.Bore{ID: plate.ID(10 + i), Name: "bore " + string(rune('A'+i)), X: c[0], Y: c[1], Diameter: c[2], Boss: 8, Tolerance: 0.03})
	}
	m := plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through, Boss: 4}
	b := plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 6, Boss: 3}
	p.Circles = []plate.BoltCircle{
		{ID: 30, Name: "ring A", Bore: 14, Diameter: 90, Count: 8, StartDeg: 10, HoleForm: m},
		{ID: 31, Name: "ring B", Bore: 10, Diameter: 64, Count: 6, HoleForm: b},
		{ID: 32, Name: "ring C", Bore: 11, Diameter: 64, Count: 6, HoleForm: b},
	}
	for i := range 10 {
		x := 60 + 480*float64(i)/9
		p.Holes = append(p.Holes,
			plate.Hole{ID: plate.ID(40 + i), Name: "low " + string(rune('A'+i)), X: x, Y: 12, HoleForm: m},
			plate.Hole{ID: plate.ID(60 + i), Name: "high " + string(rune('A'+i)), X: x, Y: 388, HoleForm: m})
	}
	p.Pockets = []plate.Pocket{{ID: 90, Name: "pockets", Side: plate.Top, Depth: 11, Radius: 5, AllRibs: true}}
	p.NextID = 1000
	return p
}

// The whole route of the largest plate: follow class, 100 ms.
func BenchmarkMake(b *testing.B) {
	for _, c := range []struct {
		name  string
		pitch float64
	}{{"180 cells", 54}, {"cells of 80 mm", 80}} {
		b.Run(c.name, func(b *testing.B) {
			p := exampleShop(b)
			l := derive(b, largePlate(c.pitch))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Make(context.Background(), l, p); err != nil {
					b.Fatal(err)
				}
			}
			cut, shapes := 0, 0
			for _, g := range groupPockets(l, plate.Top) {
				cut, shapes = cut+g.cells, shapes+len(g.classes)
			}
			b.ReportMetric(float64(cut), "cells")
			b.ReportMetric(float64(shapes), "shapes")
		})
	}
}

// One changed cell while dragging: the plan of a layout in which a bore has moved a little, re-timed from the plan before it.
func BenchmarkRetime(b *testing.B) {
	p := exampleShop(b)
	doc := largePlate(54)
	first, err := Make(context.Background(), derive(b, doc), p)
	if err != nil {
		b.Fatal(err)
	}
	doc.Bores[4].X += 0.5
	l := derive(b, doc)
	b.ReportAllocs()
	for b.Loop() {
		plan, err := Retime(context.Background(), first, l, p)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(plan.memo.made), "new-shapes")
	}
}
