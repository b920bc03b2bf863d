package plate_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"platewright/plate"
	"platewright/plate/layout"
)

// TestMirroredTwice: the other hand of the other hand is the plate, and each is as valid.
func TestMirroredTwice(t *testing.T) {
	for _, p := range documents(t) {
		q := plate.Mirrored(p)
		if fs := q.Validate(); len(fs) != 0 {
			t.Errorf("%s: the other hand is wrong: %v", p.Name, fs)
		}
		if cmp.Equal(p, q) {
			t.Errorf("%s: mirroring changes nothing", p.Name)
		}
		if r := plate.Mirrored(q); !cmp.Equal(p, r) {
			t.Errorf("%s: mirrored twice differs:\n%s", p.Name, cmp.Diff(p, r))
		}
	}
}

// lattices is a plate with one field of cells of the given kind, among them cells kept solid, of another depth, and ribs of
// another width. It is symmetric in nothing.
func lattices(kind plate.GridKind) plate.Plate {
	p := plate.New("Lattice")
	p.NextID = 10
	p.Grids = []plate.Grid{{
		ID: 1, Name: "Field", Kind: kind, Pitch: 31, AngleDeg: 11.5, X: 13, Y: 9, Width: 3,
		Widths: []plate.RibWidth{
			{At: plate.RibAnchor{Lattice: true, Family: 0, Line: 1, Segment: 2}, Width: 5},
			{At: plate.RibAnchor{Lattice: true, Family: 1, Line: 3, Segment: 1}, Width: 6},
		},
	}}
	if kind == plate.Isogrid {
		p.Grids[0].Widths = append(p.Grids[0].Widths, plate.RibWidth{At: plate.RibAnchor{Lattice: true, Family: 2, Line: 4, Segment: 2}, Width: 7})
	} else {
		p.Grids[0].PitchY = 43
	}
	p.Pockets = []plate.Pocket{{
		ID: 2, Name: "Pockets", Side: plate.Top, Depth: 8, Radius: 3, AllRibs: true,
		Kept: []plate.Anchor{{Grid: 1, I: 2, J: 1}, {X: 150, Y: 90}},
		Depths: []plate.CellDepth{
			{At: plate.Anchor{Grid: 1, I: 1, J: 1}, Depth: 5},
			{At: plate.Anchor{Grid: 1, I: 3, J: 0}, Depth: 11},
			{At: plate.Anchor{X: 40, Y: 60}, Depth: 4},
		},
	}}
	return p
}

// cellsOf are the cells of a plate, each as its middle, area, depth and whether it is kept.
type cellOf struct {
	x, y, area, floor float64
	kept              string
}

func cellsOf(t *testing.T, p plate.Plate) []cellOf {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	var out []cellOf
	for _, c := range l.Cells {
		m := c.Region.Moments()
		out = append(out, cellOf{m.Sx / m.A, m.Sy / m.A, m.A, c.Depth, string(c.State)})
	}
	return out
}

// TestMirroredCells: every cell of the other hand lies where the mirror puts it, with the same area, depth and kept state,
// so that choices about cells and ribs went with the metal.
func TestMirroredCells(t *testing.T) {
	for _, kind := range []plate.GridKind{plate.Isogrid, plate.Orthogrid} {
		p := lattices(kind)
		cells, image := cellsOf(t, p), cellsOf(t, plate.Mirrored(p))
		if len(cells) != len(image) || len(cells) < 8 {
			t.Fatalf("%s: %d cells, mirrored %d", kind, len(cells), len(image))
		}
		depths := make(map[float64]int)
		for _, c := range cells {
			depths[c.floor]++
			found := false
			for _, d := range image {
				found = found || math.Hypot(c.x+d.x, c.y-d.y) < 1e-6 && math.Abs(c.area-d.area) < 1e-6 && c.floor == d.floor && c.kept == d.kept
			}
			if !found {
				t.Errorf("%s: the cell at (%.3f, %.3f), %.3f mm², depth %g, state %v has no image", kind, c.x, c.y, c.area, c.floor, c.kept)
			}
		}
		t.Logf("%s: %d cells, depths %v", kind, len(cells), depths)
		if len(depths) < 3 {
			t.Errorf("%s: only the depths %v; the cells with their own were not found", kind, depths)
		}
	}
}
