package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// makeCuts lists all prisms: faces, outline, bores and holes, slots, pockets. What is no prism follows when the map is known.
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
		d.l.Cuts = append(d.l.Cuts, d.rounds[i].cuts(d.t)...)
	}
	for i := range d.slots {
		add(d.slots[i].cut(d.t))
	}
	for i := range d.l.Cells {
		if c := &d.l.Cells[i]; c.State == CellCut {
			add(d.pocketCut(i, c))
			if c.Ledge.Outer != nil {
				add(d.ledgeCut(i, c))
			}
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
	k.Z0, k.Z1 = heights(c.Side, 0, c.Depth, d.t)
	return k
}

// ledgeCut is the wider, shallower step of a cell. That of a cell that goes through lies under the top face.
func (d *deriver) ledgeCut(i int, c *Cell) Cut {
	k := d.pocketCut(i, c)
	k.Kind, k.Region = CutLedge, c.Ledge
	if k.Side == plate.Through {
		k.Side = plate.Top
	}
	k.Z0, k.Z1 = heights(k.Side, 0, d.cellPocket[i].Ledge.Depth, d.t)
	return k
}

// Prism reports whether the cut is Region × [Z0, Z1]. The others are not in the map: what they remove is OtherVolume.
func (c *Cut) Prism() bool {
	switch c.Kind {
	case CutPoint, CutCountersink, CutFillet, CutChamfer:
		return false
	}
	return true
}
