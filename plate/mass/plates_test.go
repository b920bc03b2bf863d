package mass_test

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/material"
)

// corners makes a sharp polygon.
func corners(xy ...float64) []plate.Corner {
	var out []plate.Corner
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, plate.Corner{X: xy[i], Y: xy[i+1]})
	}
	return out
}

// disc is a circle of radius r about (x, y), drawn as two half circles.
func disc(x, y, r float64) []plate.Corner {
	return []plate.Corner{
		{X: x + r, Y: y, Arc: true, ThroughX: x, ThroughY: y + r},
		{X: x - r, Y: y, Arc: true, ThroughX: x, ThroughY: y - r},
	}
}

// sheet is a plate of thickness t with the given outline and nothing in it, of density 2700.
func sheet(t float64, outline []plate.Corner) plate.Plate {
	return plate.Plate{
		Name: "test", NextID: 1000,
		Stock: plate.Stock{
			Material: material.Material{Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: 70000},
			Nominal:  t, Finished: t, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5},
		},
		Outline: plate.Outline{Corners: outline},
	}
}

// field is a rectangular pocket with corners of radius r.
func field(id plate.ID, side plate.Side, depth, r, x0, y0, x1, y1 float64) plate.Pocket {
	return plate.Pocket{ID: id, Name: "pocket", Side: side, Depth: depth, Radius: r, Bounds: corners(x0, y0, x1, y0, x1, y1, x0, y1)}
}

func derive(t testing.TB, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatalf("Derive: %v", err)
	}
	return l
}

func weigh(t testing.TB, p plate.Plate) mass.Result {
	t.Helper()
	r, err := mass.Of(derive(t, p))
	if err != nil {
		t.Fatalf("Of: %v", err)
	}
	return r
}

// matrix is the tensor as rows and columns x, y, z.
func matrix(t mass.Tensor) [3][3]float64 {
	return [3][3]float64{{t.XX, t.XY, t.XZ}, {t.XY, t.YY, t.YZ}, {t.XZ, t.YZ, t.ZZ}}
}

// agree reports two figures that differ by more than rel of the scale.
func agree(t *testing.T, what string, got, want, scale, rel float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= rel*math.Abs(scale)) {
		t.Errorf("%s = %.15g, want %.15g (off by %.2g of %.6g)", what, got, want, d/math.Abs(scale), scale)
	}
}

// busy is a plate with every form that mass must see: pockets from both sides that overlap, a through one, bores, through and
// blind holes from both sides, a bolt circle, a drawn rib and a rim, nothing symmetric.
func busy() plate.Plate {
	p := sheet(20, []plate.Corner{
		{X: 0, Y: 0, Radius: 15},
		{X: 210, Y: -10, Radius: 20, Arc: true, ThroughX: 235, ThroughY: 50},
		{X: 200, Y: 120, Radius: 25},
		{X: 90, Y: 95, Radius: 30},
		{X: -5, Y: 130, Radius: 12},
	})
	p.Rim = 7
	p.Bores = []plate.Bore{{ID: 1, Name: "A", X: 45, Y: 40, Diameter: 32, Boss: 8}, {ID: 2, Name: "B", X: 170, Y: 60, Diameter: 26, Boss: 6}}
	p.Holes = []plate.Hole{
		{ID: 3, Name: "C", X: 110, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through, Boss: 4}},
		{ID: 4, Name: "D", X: 100, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M5", Side: plate.Top, Depth: 8, Boss: 5}},
		{ID: 5, Name: "E", X: 15, Y: 100, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Bottom, Depth: 9, Boss: 4}},
	}
	p.Circles = []plate.BoltCircle{{
		ID: 6, Name: "ring", Bore: 2, Diameter: 48, Count: 5, StartDeg: 17,
		HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M5", Series: plate.Fine, Side: plate.Through, Boss: 3},
	}}
	p.Ribs = []plate.Rib{{ID: 7, Name: "rib", From: plate.RibEnd{Feature: 1}, To: plate.RibEnd{Feature: 2}, Width: 6}}
	p.Pockets = []plate.Pocket{
		{ID: 8, Name: "top", Side: plate.Top, Depth: 9, Radius: 4, AllRibs: true},
		{ID: 9, Name: "bottom", Side: plate.Bottom, Depth: 6, Radius: 3, AllRibs: true, Bounds: corners(60, 0, 150, 5, 140, 110, 70, 90)},
		{ID: 10, Name: "window", Side: plate.Through, Radius: 3, Bounds: corners(20, 70, 50, 70, 50, 85, 20, 85)},
	}
	return p
}

// moved is the document with every place mapped by t, which turns by deg degrees (counter-clockwise), mirrored first when t
// mirrors.
func moved(p plate.Plate, t geom.Affine, deg float64) plate.Plate {
	at := func(x, y float64) (float64, float64) {
		q := t.Apply(geom.Pt(x, y))
		return q.X, q.Y
	}
	path := func(cs []plate.Corner) []plate.Corner {
		out := make([]plate.Corner, len(cs))
		for i, c := range cs {
			c.X, c.Y = at(c.X, c.Y)
			c.ThroughX, c.ThroughY = at(c.ThroughX, c.ThroughY)
			out[i] = c
		}
		return out
	}
	q := p
	q.Outline.Corners = path(p.Outline.Corners)
	q.Bores, q.Holes, q.Circles, q.Pockets = nil, nil, nil, nil
	for _, b := range p.Bores {
		b.X, b.Y = at(b.X, b.Y)
		q.Bores = append(q.Bores, b)
	}
	for _, h := range p.Holes {
		h.X, h.Y = at(h.X, h.Y)
		q.Holes = append(q.Holes, h)
	}
	for _, c := range p.Circles {
		c.X, c.Y = at(c.X, c.Y)
		if t.Mirrored() {
			c.StartDeg = 180 - c.StartDeg
		}
		c.StartDeg += deg
		q.Circles = append(q.Circles, c)
	}
	for _, k := range p.Pockets {
		k.Bounds = path(k.Bounds)
		q.Pockets = append(q.Pockets, k)
	}
	return q
}
