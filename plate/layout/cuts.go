package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// makeCuts lists all prisms: faces, outline, bores and holes, pockets. Drill points follow when the map is known.
func (d *deriver) makeCuts() error {
	bl, z := d.l.Blank, d.l.BlankZ
	rect := geom.Region{Outer: geom.Rect(bl.Min, bl.Max)}
	add := func(c Cut) { d.l.Cuts = append(d.l.Cuts, c) }
	if z.Z1 > d.t {
		add(Cut{Kind: CutFace, Side: plate.Top, Region: rect, Z0: d.t, Z1: z.Z1, LeastRadius: math.Inf(1), Cell: -1})
	}
	if z.Z0 < 0 {
		add(Cut{Kind: CutFace, Side: plate.Bottom, Region: rect, Z0: z.Z0, Z1: 0, LeastRadius: math.Inf(1), Cell: -1})
	}
	rest, err := d.eng.Difference(geom.Shape{rect}, d.inOutline)
	if err != nil {
		return d.kernel("outline", 0, "", err)
	}
	least := d.outline.Reverse().LeastInsideRadius()
	for _, r := range rest {
		add(Cut{Kind: CutOutline, Side: plate.Through, Region: r, Z0: z.Z0, Z1: z.Z1, LeastRadius: least, Cell: -1})
	}
	for i := range d.rounds {
		add(d.rounds[i].cut(d.t))
	}
	for i := range d.l.Cells {
		if c := &d.l.Cells[i]; c.State == CellCut {
			add(d.pocketCut(i, c))
		}
	}
	return nil
}

func (d *deriver) pocketCut(i int, c *Cell) Cut {
	p := d.cellPocket[i]
	k := Cut{
		Kind: CutPocket, Side: c.Side, Region: c.Region, Z0: 0, Z1: d.t, LeastRadius: p.Radius,
		Feature: p.ID, FeatureName: p.Name, Cell: i,
	}
	switch c.Side {
	case plate.Top:
		k.Z0 = d.t - c.Depth
	case plate.Bottom:
		k.Z1 = c.Depth
	}
	return k
}
