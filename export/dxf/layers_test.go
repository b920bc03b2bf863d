package dxf

import (
	"fmt"
	"regexp"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
)

var legalName = regexp.MustCompile(`^[A-Z0-9_-]{1,31}$`)

// The names are those of the shop's scheme: DIA and DEEP spelled out, P for the decimal point, THRU or the face and depth.
func TestLayerNames(t *testing.T) {
	for _, c := range []struct {
		op            operation
		name, meaning string
	}{
		{operation{kind: layout.CutOutline, side: plate.Through}, "OUTLINE", "outer profile of the finished plate, through"},
		{operation{kind: layout.CutBore, side: plate.Through, diameter: 42}, "BORE_DIA42P000_THRU", "bore, nominal diameter 42 mm, through"},
		{
			operation{kind: layout.CutBore, side: plate.Through, diameter: 42, tolerance: 0.021},
			"BORE_DIA42P000_TOL0P021_THRU", "bore, nominal diameter 42 mm, through, tolerance zone 0.021 mm wide",
		},
		{operation{kind: layout.CutDrilled, side: plate.Through, diameter: 6.6}, "HOLE_DIA6P600_THRU", "clearance hole, diameter 6.6 mm, through"},
		{
			operation{kind: layout.CutTapped, side: plate.Through, diameter: 6.8, thread: "M8", pitch: 1.25},
			"TAP_M8X1P25_THRU", "thread M8 × 1.25, through; the circle is the tap drill's, diameter 6.8 mm",
		},
		{
			operation{kind: layout.CutTapped, side: plate.Top, diameter: 6.8, thread: "M8", pitch: 1.25, usable: 16, depth: 22.25},
			"TAP_M8X1P25_TOP_DEEP16P000",
			"thread M8 × 1.25, usable thread 16 mm, drilled 22.25 mm deep to the full diameter, from the finished top face; the circle is the tap drill's, diameter 6.8 mm",
		},
		{operation{kind: layout.CutPocket, side: plate.Top, depth: 17}, "POCKET_TOP_DEEP17P000", "pocket, 17 mm deep from the finished top face"},
		{operation{kind: layout.CutPocket, side: plate.Bottom, depth: 0.1234567}, "POCKET_BOTTOM_DEEP0P123457", "pocket, 0.1234567 mm deep from the finished bottom face"},
		{operation{kind: layout.CutPocket, side: plate.Through}, "WINDOW_THRU", "window, through"},
		{
			operation{kind: layout.CutBore, side: plate.Through, diameter: 42, fit: "H7"},
			"BORE_DIA42P000_H7_THRU", "bore, nominal diameter 42 mm, through, fit H7",
		},
		{
			operation{kind: layout.CutSeat, side: plate.Top, diameter: 42, fit: "N7", depth: 12},
			"SEAT_DIA42P000_N7_TOP_DEEP12P000", "seat, nominal diameter 42 mm, 12 mm deep from the finished top face, fit N7",
		},
		{
			operation{kind: layout.CutGroove, side: plate.Top, diameter: 44.5, start: 12, depth: 13.85},
			"GROOVE_DIA44P500_TOP_AT12P000",
			"retaining-ring groove, diameter 44.5 mm, 1.85 mm wide, its near wall 12 mm below the finished top face",
		},
		{operation{kind: layout.CutReamed, side: plate.Through, diameter: 8, fit: "H7"}, "REAM_DIA8P000_H7_THRU", "dowel hole, nominal diameter 8 mm, through, fit H7"},
		{operation{kind: layout.CutCounterbore, side: plate.Bottom, diameter: 15, depth: 8.6}, "CBORE_DIA15P000_BOTTOM_DEEP8P600", "counterbore, diameter 15 mm, 8.6 mm deep from the finished bottom face"},
		{operation{kind: layout.CutCountersink, side: plate.Top, diameter: 13.4}, "CSINK_DIA13P400_TOP", "countersink 90°, diameter at the face 13.4 mm, from the finished top face"},
		{operation{kind: layout.CutKeyway, side: plate.Through}, "KEYWAY_THRU", "keyway, through"},
		{operation{kind: layout.CutSlot, side: plate.Through, fit: "H9"}, "SLOT_H9_THRU", "slot, through, fit H9"},
		{operation{kind: layout.CutLedge, side: plate.Top, depth: 2}, "LEDGE_TOP_DEEP2P000", "ledge of a pocket, 2 mm deep from the finished top face"},
		{operation{kind: layout.CutPocket, side: plate.Top, depth: 9, floor: 1.5}, "POCKET_TOP_DEEP9P000_R1P5", "pocket, 9 mm deep from the finished top face, floor radius 1.5 mm"},
	} {
		if got := c.op.name(); got != c.name {
			t.Errorf("name of %+v = %q, want %q", c.op, got, c.name)
		}
		if got := c.op.meaning(); got != c.meaning {
			t.Errorf("meaning of %+v = %q, want %q", c.op, got, c.meaning)
		}
	}
}

// Whatever the sizes are, names are legal, no longer than allowed and different.
func TestLayerNamesAreLegalAndUnique(t *testing.T) {
	var ops []operation
	sizes := []float64{0.001, 0.0014, 0.0010004, 1, 1.000001, 9.9999, 42, 123.456789, 12345.678901, 12345.678902, 99999.999999}
	for _, d := range sizes {
		for _, side := range []plate.Side{plate.Top, plate.Bottom, plate.Through} {
			ops = append(ops, operation{kind: layout.CutPocket, side: side, depth: d})
			for _, tol := range sizes {
				ops = append(ops,
					operation{kind: layout.CutBore, side: side, depth: d, diameter: tol, tolerance: d},
					operation{kind: layout.CutDrilled, side: side, depth: d, diameter: tol},
					operation{kind: layout.CutTapped, side: side, depth: d, diameter: tol, thread: "M10 × 1 øß\n0", pitch: tol, usable: 3},
					operation{kind: layout.CutTapped, side: side, depth: d, diameter: tol, thread: "M6", pitch: 1, usable: 3})
			}
		}
	}
	slices.SortFunc(ops, compareOperations)
	ops = slices.Compact(ops)
	seen := map[string]bool{"0": true}
	for i, l := range nameLayers(ops) {
		if !legalName.MatchString(l.Name) {
			t.Errorf("%+v: name %q is not legal", ops[i], l.Name)
		}
		if seen[l.Name] {
			t.Errorf("%+v: name %q is taken", ops[i], l.Name)
		}
		seen[l.Name] = true
		if l.Color < 1 || l.Color > 255 {
			t.Errorf("%s: colour %d", l.Name, l.Color)
		}
	}
}

// Depths that differ by arithmetic noise share a layer; depths that differ by a micrometre do not.
func TestDepthsOnOneLayer(t *testing.T) {
	cut := func(depth float64) *layout.Cut {
		return &layout.Cut{Kind: layout.CutPocket, Side: plate.Top, Z0: 20 - depth, Z1: 20}
	}
	if _, got := operations([]*layout.Cut{cut(17.1), cut(17.1 + 1e-12)}, &layout.Layout{Thickness: 20}); len(got) != 1 {
		t.Errorf("noise makes %d layers, want 1", len(got))
	}
	if _, got := operations([]*layout.Cut{cut(17.1), cut(17.101)}, &layout.Layout{Thickness: 20}); len(got) != 2 {
		t.Errorf("a micrometre makes %d layers, want 2", len(got))
	}
}

func TestLegendIsTheLayerTable(t *testing.T) {
	l := derive(t, block())
	for _, side := range []plate.Side{plate.Top, plate.Bottom} {
		legend, err := Legend(l, Options{Side: side})
		if err != nil {
			t.Fatal(err)
		}
		f := parse(t, write(t, l, Options{Side: side}))
		want := []string{"0"}
		contours := map[string]int{}
		for _, e := range f.entities {
			contours[e.text(8)]++
		}
		for _, k := range legend {
			want = append(want, k.Name)
			if k.Contours == 0 || k.Contours != contours[k.Name] {
				t.Errorf("%s: %d contours in the legend, %d in the file", k.Name, k.Contours, contours[k.Name])
			}
			if k.Meaning == "" {
				t.Errorf("%s means nothing", k.Name)
			}
		}
		if !slices.Equal(f.layers, want) {
			t.Errorf("%s: layers of the file %v, of the legend %v", side, f.layers, want)
		}
	}
}

func ExampleLegend() {
	l, err := layout.Derive(block())
	if err != nil {
		return
	}
	layers, err := Legend(l, Options{Side: plate.Bottom})
	if err != nil {
		return
	}
	for _, k := range layers {
		fmt.Printf("%s: %s\n", k.Name, k.Meaning)
	}
	// Output:
	// OUTLINE: outer profile of the finished plate, through
	// BORE_DIA6P000_TOL0P012_THRU: bore, nominal diameter 6 mm, through, tolerance zone 0.012 mm wide
	// BORE_DIA24P000_THRU: bore, nominal diameter 24 mm, through
	// HOLE_DIA6P600_THRU: clearance hole, diameter 6.6 mm, through
	// TAP_M8X1P25_BOTTOM_DEEP8P000: thread M8 × 1.25, usable thread 8 mm, drilled 14.25 mm deep to the full diameter, from the finished bottom face; the circle is the tap drill's, diameter 6.8 mm
	// WINDOW_THRU: window, through
	// POCKET_BOTTOM_DEEP5P250: pocket, 5.25 mm deep from the finished bottom face
}
