package plate_test

import (
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/material"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const testdata = "../testdata/plate"

// full is a valid plate with every form, and every optional value set somewhere and absent elsewhere. Its ids are those of
// plates with some deletions behind them: not in order, with gaps.
func full(t testing.TB) plate.Plate {
	t.Helper()
	m, err := material.Lookup("EN AW-6061", "T651", 20)
	if err != nil {
		t.Fatal(err)
	}
	p := plate.New("Trike side, “left”")
	p.Note = "Two lines:\n\tsecond <line> & more"
	p.NextID = 40
	p.Stock = plate.Stock{
		Material: m, Nominal: 20, Finished: 18.5, Top: plate.Machined, Bottom: plate.AsSupplied,
		Blank: plate.Blank{Fixed: true, X: -10, Y: -10.5, Width: 320, Height: 220},
	}
	p.Outline.Corners = []plate.Corner{
		{X: 0, Y: 0, Radius: 12},
		{X: 300, Y: 0},
		{X: 300, Y: 200, Radius: 0.1, Arc: true, ThroughX: 150, ThroughY: 210.25},
		{X: 0, Y: 200, Radius: 30},
	}
	p.Rim = 6.5
	p.Bores = []plate.Bore{
		{ID: 7, Name: "Front pivot", X: 40, Y: 60, Diameter: 35, Boss: 8, Tolerance: 0.025},
		{ID: 2, Name: "Rear pivot", X: 250, Y: 140.125, Diameter: 42},
	}
	p.Holes = []plate.Hole{
		{ID: 11, Name: "Guard 1", X: 100, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through, Boss: 4}},
		{ID: 12, Name: "Guard 2", X: 200, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M2.5", Side: plate.Through}},
		{ID: 13, Name: "Stop", X: 150, Y: 180, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Bottom, Depth: 12}},
	}
	p.Circles = []plate.BoltCircle{
		{ID: 20, Name: "Flange", Bore: 7, Diameter: 60, Count: 6, StartDeg: 30.1, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M5", Side: plate.Top, Depth: 10, Boss: 3}},
		{ID: 21, Name: "Cover", X: 180, Y: 100, Diameter: 50, Count: 4, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M4", Series: plate.Fine, Side: plate.Through}},
	}
	p.Ribs = []plate.Rib{
		{ID: 30, Name: "Spine", From: plate.RibEnd{Feature: 7}, To: plate.RibEnd{Feature: 2}, Width: 6},
		{ID: 31, Name: "Strut", From: plate.RibEnd{X: 20, Y: 180}, To: plate.RibEnd{Feature: 11}, Width: 4.5},
	}
	p.Grids = []plate.Grid{
		{ID: 32, Name: "Field", Pitch: 40, AngleDeg: -17.3, X: 3, Y: 4, Width: 3, Bounds: []plate.Corner{{X: 10, Y: 10}, {X: 150, Y: 10}, {X: 80, Y: 100, Radius: 2}}},
		{ID: 33, Name: "Whole", Pitch: 60, X: 0, Y: 0, Width: 4},
	}
	p.Pockets = []plate.Pocket{
		{
			ID: 34, Name: "Top field", Side: plate.Top, Depth: 12.5, Radius: 4, AllRibs: true, LeastArea: 80,
			Kept: []plate.Anchor{{Grid: 32, I: -1, J: 2, K: 1}, {X: 33.5, Y: 44}},
		},
		{ID: 35, Name: "Bottom field", Side: plate.Bottom, Depth: 3, Radius: 5, Ribs: []plate.ID{30, 33}},
		{
			ID: 36, Name: "Window", Side: plate.Through, Radius: 6,
			Bounds: []plate.Corner{{X: 100, Y: 50, Arc: true, ThroughX: 110, ThroughY: 40}, {X: 120, Y: 50, Arc: true, ThroughX: 110, ThroughY: 60}},
		},
	}
	p.CutLines = []plate.CutLine{{ID: 37, Name: "Waist", X1: 150, Y1: -20, X2: 150, Y2: 230}}
	p.Targets = []plate.Target{
		{ID: 38, Name: "Light", Quantity: plate.MassKG, Sense: plate.AtMost, Value: 1.2},
		{ID: 39, Name: "Stiff", Quantity: plate.SectionEI, CutLine: 37, Sense: plate.AtLeast, Value: 2.5e9},
		{ID: 3, Name: "Quick", Quantity: plate.CycleMin, Sense: plate.AtMost, Value: 45},
		{ID: 4, Name: "Thrifty", Quantity: plate.BuyToFly, Sense: plate.AtMost, Value: 4},
	}
	p.Machining = plate.Machining{ZeroX: 40, ZeroY: 60, Turn: plate.AxisY, Shop: "example", ShopHash: strings.Repeat("0a", 32)}
	return p
}

func encode(t testing.TB, p plate.Plate) []byte {
	t.Helper()
	data, err := plate.Encode(p)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func decode(t testing.TB, data []byte) plate.Plate {
	t.Helper()
	p, err := plate.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// files lists the files of a folder of testdata with the given ending; there must be some.
func files(t testing.TB, pattern string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(testdata, pattern))
	if err != nil || len(names) == 0 {
		t.Fatalf("no files %s: %v", pattern, err)
	}
	return names
}

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// random is a source of numbers with a fixed seed.
func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }
