package layout

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// makePanels derives the inlay panels: each is its cell's step, or the cell where it has none, inset by the clearance, with
// corners no sharper than the panel's outline radius.
func (d *deriver) makePanels() error {
	for i := range d.p.Inlays {
		if err := d.ctx.Err(); err != nil {
			return err
		}
		if err := d.inlay(&d.p.Inlays[i]); err != nil {
			return err
		}
	}
	d.numberShapes()
	return nil
}

func (d *deriver) inlay(n *plate.Inlay) error {
	var p *plate.Pocket
	for i := range d.p.Pockets {
		if d.p.Pockets[i].ID == n.Pocket {
			p = &d.p.Pockets[i]
		}
	}
	if p == nil { // checkNumbers has refused it
		return bad("pockets", n.ID, n.Name, "it lies in pocket %d, which does not exist; choose a pocket", n.Pocket)
	}
	small, bare, at, bareAt := 0, 0, -1, -1
	var made panelRegion
	for _, i := range d.inlayCells(n, p) {
		c := &d.l.Cells[i]
		z, ok := d.seatOfPanel(c, p)
		if !ok {
			bare, bareAt = bare+1, i
			continue
		}
		r, ok, err := d.panelRegion(n, c, &made)
		if err != nil {
			return err
		}
		if !ok {
			small, at = small+1, i
			continue
		}
		k := Panel{Inlay: n.ID, Name: n.Name, Cell: i, Region: r, Z0: z, Z1: z + n.Thickness, Area: r.Area()}
		if c.Side == plate.Bottom {
			k.Z0, k.Z1 = z-n.Thickness, z
		}
		k.MassKG = k.Area * n.Thickness * n.Material.Density * 1e-9
		d.l.Panels = append(d.l.Panels, k)
	}
	if bare > 0 {
		d.tellInlay(n, "inlay-no-seat", finding.Error, bareAt, fmt.Sprintf("cells of inlay %q that go through without a ledge: %d; they get no panel",
			n.Name, bare),
			"a panel needs a ledge or a floor to sit on", "give the pocket a ledge, or let the cells have a floor")
	}
	if small > 0 {
		d.tellInlay(n, "inlay-cell-small", finding.Error, at, fmt.Sprintf("cells of inlay %q that are too small for a panel: %d",
			n.Name, small),
			"nothing is left of the cell, or it falls apart, inside the clearance and with the panel's outline radius", "lessen the clearance or the outline radius, or choose larger cells")
	}
	d.checkInlay(n, p)
	return nil
}

// inlayCells are the cells that are to get a panel, and are cut. Parts of a cell inside its ledge beside the largest have
// none of their own.
func (d *deriver) inlayCells(n *plate.Inlay, p *plate.Pocket) []int {
	takes := func(i int) bool {
		c := &d.l.Cells[i]
		return c.Pocket == p.ID && c.State == CellCut && !d.ledgeParts[i]
	}
	var out []int
	if n.All {
		for i := range d.l.Cells {
			if takes(i) {
				out = append(out, i)
			}
		}
		return out
	}
	chosen := make(map[int]bool, len(n.Cells))
	f := d.fieldOf(p)
	boxes := d.pieceBoxes(0)
	for _, a := range n.Cells {
		if d.ctx.Err() != nil { // derive looks at it next
			return nil
		}
		hit := false
		for i := range d.l.Cells {
			if c := &d.l.Cells[i]; c.Pocket != p.ID || a.Grid == 0 && !boxes[i].Contains(geom.Pt(a.X, a.Y)) || !d.designates(a, c, d.cellPiece[i]) {
				continue
			}
			hit = true
			if takes(i) && !chosen[i] {
				chosen[i] = true
				out = append(out, i)
			}
		}
		if !hit {
			d.inactive(f, a, "the cell with an inlay panel")
		}
	}
	return out
}

func (d *deriver) fieldOf(p *plate.Pocket) *field {
	for i := range d.fields {
		if d.fields[i].p == p {
			return &d.fields[i]
		}
	}
	return &field{p: p}
}

// seatOfPanel is the height that the panel sits at: of the ledge, else of the floor.
func (d *deriver) seatOfPanel(c *Cell, p *plate.Pocket) (z float64, ok bool) {
	depth := c.Depth
	switch {
	case c.Ledge.Outer != nil:
		depth = p.Ledge.Depth
	case c.Side == plate.Through || c.Depth >= d.t-touchEps:
		return 0, false
	}
	if c.Side == plate.Bottom {
		return depth, true
	}
	return d.t - depth, true
}

// panelRegion is a panel's outline with the region that it lies in: the cells of one piece from both sides have one.
type panelRegion struct {
	in  *geom.Edge // first edge of that region
	out geom.Shape
}

// panelRegion is the outline of the panel; ok is false where there is none, or more than one. last is that of the cell
// before.
func (d *deriver) panelRegion(n *plate.Inlay, c *Cell, last *panelRegion) (r geom.Region, ok bool, err error) {
	r = c.Region
	if c.Ledge.Outer != nil {
		r = c.Ledge
	}
	if last.in != &r.Outer[0] {
		s, err := d.eng.Offset(geom.Shape{r}, -(n.Clearance + n.Radius))
		if err == nil && n.Radius > 0 {
			s, err = d.eng.Offset(s, n.Radius)
		}
		if err != nil {
			return r, false, d.kernel("pockets", n.ID, n.Name, err)
		}
		*last = panelRegion{&r.Outer[0], s}
	}
	if len(last.out) != 1 {
		return r, false, nil
	}
	return last.out[0], true, nil
}

// checkInlay reports panels that stand out of their ledge, and clearances that let them fall through it.
func (d *deriver) checkInlay(n *plate.Inlay, p *plate.Pocket) {
	proud, at := 0.0, -1
	for i := range d.l.Panels {
		k := &d.l.Panels[i]
		if k.Inlay != n.ID {
			continue
		}
		if out := max(k.Z1-d.t, -k.Z0); out > proud+touchEps {
			proud, at = out, k.Cell
		}
	}
	if at >= 0 {
		d.tellInlay(n, "inlay-proud", finding.Warning, at, fmt.Sprintf("the panels of inlay %q (%s thick) stand out of the face by %s",
			n.Name, mm(n.Thickness), mm(proud)),
			"a panel is at most as thick as its ledge, or its cell, is deep", "choose a thinner panel or a deeper ledge")
	}
	if p.Ledge.Width > 0 && n.Clearance >= p.Ledge.Width-touchEps {
		d.tellInlay(n, "inlay-falls", finding.Error, d.firstPanel(n), fmt.Sprintf("the clearance of inlay %q (%s) is not less than the ledge is wide (%s): the panel falls through",
			n.Name, mm(n.Clearance), mm(p.Ledge.Width)),
			"a panel rests on what of the ledge the clearance leaves", "lessen the clearance or widen the ledge")
	}
}

// firstPanel is the cell of the inlay's first panel, −1 for none.
func (d *deriver) firstPanel(n *plate.Inlay) int {
	for i := range d.l.Panels {
		if d.l.Panels[i].Inlay == n.ID {
			return d.l.Panels[i].Cell
		}
	}
	return -1
}

func (d *deriver) tellInlay(n *plate.Inlay, code string, level finding.Level, cell int, what, why, fix string) {
	at := d.outline.Box().Center()
	if cell >= 0 {
		at = d.l.CellPoint(cell)
	}
	d.find(finding.Finding{
		Code: code, Level: level, Feature: int64(n.ID), FeatureName: n.Name, Stage: "pockets", Source: "geometry",
		What: what, Why: why, Fix: fix,
	}, at)
}
