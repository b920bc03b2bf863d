package section_test

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/material"
	"platewright/plate/section"
)

const young = 70000 // MPa, of every plate here

// corners makes a sharp polygon.
func corners(xy ...float64) []plate.Corner {
	var out []plate.Corner
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, plate.Corner{X: xy[i], Y: xy[i+1]})
	}
	return out
}

// box is the rectangle between two corners.
func box(x0, y0, x1, y1 float64) []plate.Corner { return corners(x0, y0, x1, y0, x1, y1, x0, y1) }

// sheet is a plate of thickness t with the given outline and nothing in it.
func sheet(t float64, outline []plate.Corner) plate.Plate {
	return plate.Plate{
		Name: "test", NextID: 1000,
		Stock: plate.Stock{
			Material: material.Material{Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: young},
			Nominal:  t, Finished: t, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5},
		},
		Outline: plate.Outline{Corners: outline},
	}
}

func field(id plate.ID, side plate.Side, depth, r float64, bounds []plate.Corner) plate.Pocket {
	return plate.Pocket{ID: id, Name: "pocket", Side: side, Depth: depth, Radius: r, Bounds: bounds}
}

func derive(t testing.TB, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatalf("Derive: %v", err)
	}
	return l
}

func cut(t testing.TB, l *layout.Layout, x0, y0, x1, y1 float64) section.Result {
	t.Helper()
	r, err := section.At(l, "test", geom.Pt(x0, y0), geom.Pt(x1, y1))
	if err != nil {
		t.Fatalf("At(%v, %v, %v, %v): %v", x0, y0, x1, y1, err)
	}
	return r
}

// agree reports two figures that differ by more than rel of the scale.
func agree(t *testing.T, what string, got, want, scale, rel float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= rel*math.Abs(scale)) {
		t.Errorf("%s = %.15g, want %.15g (off by %.2g of %.6g)", what, got, want, d/math.Abs(scale), scale)
	}
}

// iPlate has an I section of depth h, flange width b, web tw and flanges tf at x = 150: the web is the floor between a top
// and a bottom pocket, the flanges are the walls beside them.
func iPlate(h, b, tw, tf float64) plate.Plate {
	p := sheet(b, box(0, 0, 300, h))
	r := min(4, h/2-tf-1)
	p.Pockets = []plate.Pocket{
		field(1, plate.Top, (b-tw)/2, r, box(20, tf, 280, h-tf)),
		field(2, plate.Bottom, (b-tw)/2, r, box(20, tf, 280, h-tf)),
	}
	return p
}

// channelPlate has a channel: the web is the floor of one pocket from the top.
func channelPlate(h, b, tw, tf float64) plate.Plate {
	p := sheet(b, box(0, 0, 300, h))
	p.Pockets = []plate.Pocket{field(1, plate.Top, b-tw, 4, box(20, tf, 280, h-tf))}
	return p
}

// teePlate has a T lying on its flange of width b and thickness tf, with a stem tw wide, b being the plate's width and h its
// thickness: a rib in the middle of a pocket that is open to both sides.
func teePlate(h, b, tw, tf float64) plate.Plate {
	p := sheet(h, box(0, 0, 300, b))
	p.Pockets = []plate.Pocket{
		field(1, plate.Top, h-tf, 4, box(20, -20, 280, b/2-tw/2)),
		field(2, plate.Top, h-tf, 4, box(20, b/2+tw/2, 280, b+20)),
	}
	return p
}

// anglePlate has an equal angle of leg h and thickness tw, its heel at s = 0, z = 0.
func anglePlate(h, tw float64) plate.Plate {
	p := sheet(h, box(0, 0, 300, h))
	p.Pockets = []plate.Pocket{field(1, plate.Top, h-tw, 4, box(20, tw, 280, h+40))}
	return p
}

// hollow is a layout whose section at x = 150 is a closed box. No pocket makes one, but the map may hold two layers of
// metal over each other, as a groove leaves them.
func hollow(t testing.TB, b, h, tb, th float64) *layout.Layout {
	t.Helper()
	outer := geom.Rect(geom.Pt(0, 0), geom.Pt(300, b))
	s, err := geom.Subdivide([]geom.Shape{geom.RegionOf(outer), geom.RegionOf(geom.Rect(geom.Pt(20, tb), geom.Pt(280, b-tb)))})
	if err != nil {
		t.Fatal(err)
	}
	l := &layout.Layout{
		Plate: sheet(h, box(0, 0, 300, b)), Thickness: h, Outline: geom.Region{Outer: outer},
		Map: &layout.Map{Subdivision: s, Metal: make([][]layout.Interval, len(s.Faces))},
	}
	for f := range s.Faces {
		switch len(s.Faces[f].Layers) {
		case 1:
			l.Map.Metal[f] = []layout.Interval{{Z0: 0, Z1: h}}
		case 2:
			l.Map.Metal[f] = []layout.Interval{{Z0: 0, Z1: th}, {Z0: h - th, Z1: h}}
		}
	}
	return l
}
