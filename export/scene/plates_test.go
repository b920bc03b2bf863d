package scene

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
)

// derive makes the layout of a plate that the tests rely on to be right.
func derive(tb testing.TB, p plate.Plate) *layout.Layout {
	tb.Helper()
	for _, f := range p.Validate() {
		if f.Level == "error" {
			tb.Fatalf("plate of the test is not valid: %s", f.What)
		}
	}
	l, err := layout.Derive(p)
	if err != nil {
		tb.Fatal(err)
	}
	return l
}

// block is a 100 × 60 × 20 mm plate with one 30 mm bore, a through hole, a blind tapped hole, one top pocket of 12 mm, one
// bottom pocket of 5 mm that overlaps it in plan, and one window: everything that the painter tells apart.
func block() plate.Plate {
	p := plate.New("Block")
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Rim = 0
	p.Outline.Corners = rectangle(0, 0, 100, 60, 5)
	p.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: 22, Y: 30, Diameter: 24, Boss: 5}}
	p.Holes = []plate.Hole{
		{ID: 2, Name: "Tie", X: 92, Y: 8, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}},
		{ID: 3, Name: "Tap", X: 92, Y: 52, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 9}},
	}
	p.Pockets = []plate.Pocket{
		{ID: 4, Name: "Upper", Side: plate.Top, Depth: 12, Radius: 3, Bounds: rectangle(45, 10, 85, 30, 0)},
		{ID: 5, Name: "Lower", Side: plate.Bottom, Depth: 5, Radius: 3, Bounds: rectangle(55, 15, 75, 38, 0)},
		{ID: 6, Name: "Light", Side: plate.Through, Radius: 3, Bounds: rectangle(45, 42, 85, 54, 0)},
	}
	p.CutLines = []plate.CutLine{{ID: 7, Name: "Middle", X1: 65, Y1: -4, X2: 65, Y2: 64}}
	p.NextID = 8
	return p
}

func rectangle(x0, y0, x1, y1, r float64) []plate.Corner {
	return []plate.Corner{
		{X: x0, Y: y0, Radius: r}, {X: x1, Y: y0, Radius: r}, {X: x1, Y: y1, Radius: r}, {X: x0, Y: y1, Radius: r},
	}
}

// large is a 600 × 400 mm plate with an isogrid of some two hundred cells, five bores and two bolt circles.
func large() plate.Plate {
	p := plate.New("Large")
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Rim = 8
	p.Outline.Corners = rectangle(0, 0, 600, 400, 30)
	id := plate.ID(1)
	next := func() plate.ID { id++; return id - 1 }
	for i, at := range [][2]float64{{70, 70}, {530, 70}, {530, 330}, {70, 330}, {300, 200}} {
		name := "Bore " + string(rune('A'+i))
		p.Bores = append(p.Bores, plate.Bore{ID: next(), Name: name, X: at[0], Y: at[1], Diameter: 42, Boss: 10})
	}
	for _, i := range []int{0, 4} {
		p.Circles = append(p.Circles, plate.BoltCircle{
			ID: next(), Name: "Circle " + string(rune('A'+i)), Bore: p.Bores[i].ID, Diameter: 90, Count: 6,
			HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 4},
		})
	}
	p.Grids = []plate.Grid{{ID: next(), Name: "Grid", Pitch: 54, AngleDeg: 12, X: 300, Y: 200, Width: 4}}
	p.Pockets = []plate.Pocket{
		{ID: next(), Name: "Upper", Side: plate.Top, Depth: 14, Radius: 4, AllRibs: true, LeastArea: 30},
		{ID: next(), Name: "Lower", Side: plate.Bottom, Depth: 3, Radius: 4, AllRibs: true, LeastArea: 30, Bounds: rectangle(120, 120, 260, 280, 0)},
	}
	p.NextID = id
	return p
}

func TestLargeHasTwoHundredCells(t *testing.T) {
	n := 0
	for _, c := range derive(t, large()).Cells {
		if c.State == layout.CellCut {
			n++
		}
	}
	if n < 200 || n > 240 {
		t.Errorf("large() has %d cells, want 200 to 240: the benchmark's size is part of its meaning", n)
	}
}

func closeTo(a, b, tol float64) bool { return math.Abs(a-b) <= tol }
