package layout

import (
	"fmt"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// depthFrom is how deep the pocket is cut from the given face; a pocket deeper than the plate goes through.
func (d *deriver) depthFrom(p *plate.Pocket, side plate.Side) float64 {
	switch {
	case p.Side == plate.Through:
		return d.t
	case p.Side == plate.Both && side == plate.Bottom:
		return min(p.DepthBack, d.t)
	}
	return min(p.Depth, d.t)
}

// chosen are the cells from first on that the anchor names. boxes are those of their sharp pieces. Where there are none, the
// choice rests, and a finding says so.
func (d *deriver) chosen(f *field, first int, boxes []geom.Box, a plate.Anchor, choice string) []int {
	var hit []int
	for i := first; i < len(d.l.Cells); i++ {
		if a.Grid == 0 && !boxes[i-first].Contains(geom.Pt(a.X, a.Y)) || !d.designates(a, &d.l.Cells[i], d.cellPiece[i]) {
			continue
		}
		hit = append(hit, i)
	}
	if len(hit) == 0 {
		d.inactive(f, a, choice)
	}
	return hit
}

// pieceBoxes are the boxes of the sharp pieces of the cells from first on.
func (d *deriver) pieceBoxes(first int) []geom.Box {
	boxes := make([]geom.Box, 0, len(d.l.Cells)-first)
	for i := first; i < len(d.l.Cells); i++ {
		boxes = append(boxes, d.cellPiece[i].sharp.Box())
	}
	return boxes
}

// setDepths applies the depths of single cells to those of the cells from first on that are cut. A cell cut from both sides
// that goes through is one cell.
func (d *deriver) setDepths(f *field, first int) {
	if len(f.p.Depths) == 0 {
		return
	}
	boxes := d.pieceBoxes(first)
	gone := make([]bool, len(boxes))
	for _, k := range f.p.Depths {
		if d.ctx.Err() != nil { // derive looks at it next
			return
		}
		for _, i := range d.chosen(f, first, boxes, k.At, "the cell with a depth of its own") {
			c := &d.l.Cells[i]
			back := c.Side == plate.Bottom && f.p.Side == plate.Both
			switch {
			case c.State != CellCut:
				continue
			case k.Through:
				gone[i-first] = back
				if !back {
					c.Side, c.Depth = plate.Through, d.t
				}
			case back:
				c.Depth = min(either(k.Back, f.p.DepthBack), d.t)
			case k.Depth > 0:
				if c.Depth = min(k.Depth, d.t); c.Side == plate.Through { // of a pocket that else goes through
					c.Side = plate.Top
				}
			}
			c.Anchor = k.At
		}
	}
	d.dropCells(first, gone)
}

// dropCells removes cells from first on.
func (d *deriver) dropCells(first int, gone []bool) {
	if !slices.Contains(gone, true) {
		return
	}
	n := first
	for i := first; i < len(d.l.Cells); i++ {
		if !gone[i-first] {
			d.l.Cells[n], d.cellPiece[n], d.cellPocket[n] = d.l.Cells[i], d.cellPiece[i], d.cellPocket[i]
			n++
		}
	}
	d.l.Cells, d.cellPiece, d.cellPocket = d.l.Cells[:n], d.cellPiece[:n], d.cellPocket[:n]
}

// setLedges gives the cells from first on that are cut their ledge: the region as opened is then the step, and the cell what
// is left of it inside. A cell that the ledge fills is cut to the depth of the step; where what is inside falls into several
// parts, the others are cells of their own, with the step on the largest.
func (d *deriver) setLedges(f *field, first int) error {
	l := f.p.Ledge
	if l.Width == 0 {
		return nil
	}
	d.tellLedges(f, first)
	filled, at := 0, -1
	var wide geom.Shape
	var cells [][]int                 // those of each region of wide: one, or one from each side
	group := make(map[*geom.Edge]int) // into cells, by a region's first edge
	for i, n := first, len(d.l.Cells); i < n; i++ {
		c, p := &d.l.Cells[i], d.cellPiece[i]
		if c.State != CellCut || c.Depth <= l.Depth+touchEps {
			continue
		}
		if p.free {
			if in, ok := d.insideLedge(f, p); ok {
				d.setLedge(i, []geom.Region{in})
			} else {
				d.fillLedge(i, l.Depth)
				filled, at = filled+1, i
			}
			continue
		}
		k, ok := group[&c.Region.Outer[0]]
		if !ok {
			k = len(wide)
			group[&c.Region.Outer[0]] = k
			wide, cells = append(wide, c.Region), append(cells, nil)
		}
		cells[k] = append(cells[k], i)
	}
	inner, err := d.eng.Offset(wide, -(l.Width + f.p.Radius))
	if err == nil {
		inner, err = d.eng.Offset(inner, f.p.Radius)
	}
	if err != nil {
		return d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	for n, p := range pair(wide, inner) {
		for _, i := range cells[n] {
			if len(p.open) > 0 {
				d.setLedge(i, p.open)
				continue
			}
			d.fillLedge(i, l.Depth)
			filled, at = filled+1, i
		}
	}
	if filled > 0 {
		d.find(finding.Finding{
			Code: "ledge-fills-cell", Level: finding.Warning, Feature: int64(f.p.ID), FeatureName: f.p.Name, Stage: "pockets", Source: "geometry",
			What: fmt.Sprintf("cells of pocket %q that its ledge of %s fills: %d; they are cut to the depth of the ledge only",
				f.p.Name, mm(l.Width), filled),
			Why: "inside the ledge nothing is left that the cutter of the inside corner radius enters", Fix: "narrow the ledge or enlarge the cells",
		}, d.l.CellPoint(at))
	}
	return nil
}

// fillLedge cuts a cell to the depth of the step only.
func (d *deriver) fillLedge(i int, depth float64) {
	c := &d.l.Cells[i]
	c.Depth = depth
	if c.Side == plate.Through {
		c.Side = plate.Top
	}
}

// insideLedge is what of a whole tile is inside its ledge: the tile with wider ribs, its corners rounded by the cutter, or by
// what the step leaves of the fillets; ok is false where nothing is.
func (d *deriver) insideLedge(f *field, p *piece) (r geom.Region, ok bool) {
	l, w := &d.lattices[p.lattice], f.p.Ledge.Width
	if l.in-l.half-w-f.p.Radius <= minInradius {
		return r, false
	}
	round := max(f.p.Radius, max(f.p.Radius, l.fillet)-w)
	return geom.Region{Outer: l.roundedTile(p.at, l.half+w, round)}, true
}

// setLedge makes the largest of the inner regions the cell.
func (d *deriver) setLedge(i int, inner []geom.Region) {
	most := 0
	for k := range inner {
		if inner[k].Area() > inner[most].Area() {
			most = k
		}
	}
	c := &d.l.Cells[i]
	c.Ledge, c.Region, c.Area = c.Region, inner[most], inner[most].Area()
	for k := range inner {
		if k == most {
			continue
		}
		if d.ledgeParts == nil {
			d.ledgeParts = map[int]bool{}
		}
		d.ledgeParts[len(d.l.Cells)] = true
		o := *c
		o.Ledge, o.Region, o.Area = geom.Region{}, inner[k], inner[k].Area()
		d.l.Cells = append(d.l.Cells, o)
		d.cellPiece = append(d.cellPiece, d.cellPiece[i])
		d.cellPocket = append(d.cellPocket, d.cellPocket[i])
		c = &d.l.Cells[i]
	}
}

// tellLedges reports cells that are no deeper than their ledge; they have none.
func (d *deriver) tellLedges(f *field, first int) {
	n, at := 0, -1
	for i := first; i < len(d.l.Cells); i++ {
		if c := &d.l.Cells[i]; c.State == CellCut && c.Depth <= f.p.Ledge.Depth+touchEps {
			n, at = n+1, i
		}
	}
	if n == 0 {
		return
	}
	d.find(finding.Finding{
		Code: "ledge-deep", Level: finding.Error, Feature: int64(f.p.ID), FeatureName: f.p.Name, Stage: "pockets", Source: "geometry",
		What: fmt.Sprintf("the ledge of pocket %q lies %s below the face, no higher than the floor of %d of its cells; it is left out there",
			f.p.Name, mm(f.p.Ledge.Depth), n),
		Why: "a ledge is a step above the floor", Fix: "make the ledge shallower or the pocket deeper",
	}, d.l.CellPoint(at))
}
