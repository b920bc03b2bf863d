package layout

import (
	"cmp"
	"fmt"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// listed is how many unreachable pieces of one pocket, the largest, get a finding each; the rest is counted in one more.
const listed = 4

// holdSlack is how far a piece may stand out of a lattice tile and still be named by it, mm: rounding.
const holdSlack = 1e-6

// makeCells derives the cells of every pocket in document order.
func (d *deriver) makeCells() error {
	for i := range d.p.Pockets {
		f, err := d.newField(&d.p.Pockets[i])
		if err != nil {
			return err
		}
		d.fields = append(d.fields, f)
	}
	for i := range d.fields {
		if err := d.ctx.Err(); err != nil {
			return err
		}
		f := &d.fields[i]
		if err := d.findPieces(f); err != nil {
			return err
		}
		d.nameTiles(f)
		if err := d.fieldCells(f); err != nil {
			return err
		}
	}
	d.seal()
	return nil
}

// findPieces takes the fast route where it may and can.
func (d *deriver) findPieces(f *field) error {
	if d.route == routeFast {
		if done, err := d.byTiles(f); done || err != nil {
			return err
		}
	}
	return d.general(f)
}

// nameTiles finds the lattice tile of every piece that lies in one. Only a field with a single grid has such names:
// with two, a tile of one would name several cells.
func (d *deriver) nameTiles(f *field) {
	if len(f.grids) != 1 || !d.lattices[f.grids[0]].tiled() {
		return
	}
	l := &d.lattices[f.grids[0]]
	for i := range f.pieces {
		p := &f.pieces[i]
		p.grid = l.id
		if p.free {
			p.tiled = true
			continue
		}
		p.at = l.locate(p.sharp.Outer[0].Mid())
		p.tiled = l.holds(p.at, p.sharp.Outer, holdSlack)
	}
}

// fieldCells turns the pieces of a field into cells and says what stays metal.
func (d *deriver) fieldCells(f *field) error {
	first := len(d.l.Cells)
	var unreachable []int
	split := 0
	for i := range f.pieces {
		p := &f.pieces[i]
		if len(p.open) == 0 {
			if a := p.sharp.Area(); a >= scrapArea {
				unreachable = append(unreachable, len(d.l.Cells))
				d.addCell(f, p, p.sharp, a, CellUnreachable)
			}
			continue
		}
		if len(p.open) > 1 {
			split++
		}
		for _, o := range p.open {
			a, s := o.Area(), CellCut
			if a < f.p.LeastArea {
				s = CellSmall
				if len(p.open) == 1 {
					o = p.sharp
					a = o.Area()
				}
			}
			d.addCell(f, p, o, a, s)
		}
	}
	d.keep(f, first)
	d.tellUnreachable(f, unreachable)
	d.tellCells(f, first, split)
	d.setDepths(f, first)
	return d.setLedges(f, first)
}

// addCell appends one cell, and one more for the bottom where it is cut from both sides, anchored to its tile where it has one,
// else to a point well inside it.
func (d *deriver) addCell(f *field, p *piece, r geom.Region, area float64, s CellState) {
	c := Cell{Pocket: f.p.ID, State: s, Region: r, Area: area, Side: f.p.Side}
	if c.Side == plate.Both {
		c.Side = plate.Top
	}
	c.Depth = d.depthFrom(f.p, c.Side)
	if p.tiled {
		c.Anchor = plate.Anchor{Grid: d.lattices[f.grids[0]].id, I: p.at.i, J: p.at.j, K: p.at.k}
	} else {
		q := inside(r)
		c.Anchor = plate.Anchor{X: q.X, Y: q.Y}
	}
	d.putCell(f, p, c)
	if f.p.Side == plate.Both && s == CellCut {
		c.Side, c.Depth = plate.Bottom, d.depthFrom(f.p, plate.Bottom)
		d.putCell(f, p, c)
	}
}

func (d *deriver) putCell(f *field, p *piece, c Cell) {
	d.l.Cells = append(d.l.Cells, c)
	d.cellPiece = append(d.cellPiece, p)
	d.cellPocket = append(d.cellPocket, f.p)
}

// keep applies the choices of cells kept solid to the cells from first on.
func (d *deriver) keep(f *field, first int) {
	if len(f.p.Kept) == 0 {
		return
	}
	boxes := d.pieceBoxes(first)
	for _, a := range f.p.Kept {
		if d.ctx.Err() != nil { // derive looks at it next
			return
		}
		for _, i := range d.chosen(f, first, boxes, a, "the cell kept solid") {
			c := &d.l.Cells[i]
			if c.State == CellUnreachable {
				continue
			}
			c.State, c.Anchor = CellKept, a
			if p := d.cellPiece[i]; len(p.open) == 1 {
				c.Region = p.sharp
				c.Area = c.Region.Area()
			}
		}
	}
}

// designates reports whether the anchor names the cell: the tile that holds it, or a point in it. A point in what the
// cutter leaves in the corners of a piece names the piece when it opens into one cell only.
func (d *deriver) designates(a plate.Anchor, c *Cell, p *piece) bool {
	if a.Grid == 0 {
		q := geom.Pt(a.X, a.Y)
		return c.Region.Contains(q) || c.Ledge.Outer != nil && c.Ledge.Contains(q) || len(p.open) == 1 && p.sharp.Contains(q)
	}
	t := tile{a.I, a.J, a.K}
	if p.tiled {
		return a.Grid == p.grid && t == p.at
	}
	for i := range d.lattices {
		l := &d.lattices[i]
		if l.id == a.Grid && l.tiled() && l.has(a.K) {
			return l.holds(t, c.Region.Outer, holdSlack)
		}
	}
	return false
}

func (d *deriver) inactive(f *field, a plate.Anchor, choice string) {
	at, where := geom.Pt(a.X, a.Y), fmt.Sprintf("at (%.4g, %.4g)", a.X, a.Y)
	if a.Grid != 0 {
		where = fmt.Sprintf("in tile %d, %d, %d of grid %d", a.I, a.J, a.K, a.Grid)
		for i := range d.lattices {
			if l := &d.lattices[i]; l.id == a.Grid {
				if l.tiled() {
					at = l.centre(tile{a.I, a.J, a.K})
				}
				where = fmt.Sprintf("in tile %d, %d, %d of grid %q", a.I, a.J, a.K, l.name)
			}
		}
	}
	d.find(finding.Finding{
		Code: "anchor-inactive", Level: finding.Note, Feature: int64(f.p.ID), FeatureName: f.p.Name, Stage: "pockets",
		What: fmt.Sprintf("%s %s is no cell of pocket %q now; the choice rests", choice, where, f.p.Name),
		Why:  "a choice follows the place it was made at, and no piece of the pocket lies there", Source: "geometry",
		Fix: "choose the cell again, or remove the choice",
	}, at)
}

// tellUnreachable reports the pieces that the cutter cannot enter, the largest first. Pieces below the pocket's least area are
// not worth cutting by the designer's own word, so one note counts them.
func (d *deriver) tellUnreachable(f *field, cells []int) {
	slices.SortStableFunc(cells, func(a, b int) int { return cmp.Compare(d.l.Cells[b].Area, d.l.Cells[a].Area) })
	big := slices.IndexFunc(cells, func(i int) bool { return d.l.Cells[i].Area < f.p.LeastArea })
	if big < 0 {
		big = len(cells)
	}
	g := finding.Finding{
		Code: "cell-unreachable", Level: finding.Warning, Feature: int64(f.p.ID), FeatureName: f.p.Name, Stage: "pockets",
		Why:    "a cutter enters only where a circle of the inside corner radius fits with room to spare; a slot exactly as wide as the cutter counts as too narrow",
		Source: "geometry",
		Fix:    "use a smaller inside corner radius, move the ribs or bosses that enclose the piece, or leave it solid",
	}
	for _, i := range cells[:min(big, listed)] {
		c := &d.l.Cells[i]
		at, r := geom.InscribedCircle(c.Region)
		g.What = fmt.Sprintf("a piece of pocket %q (%.1f mm², at most %.2f mm wide) is too narrow for the cutter of %s diameter; it stays metal",
			f.p.Name, c.Area, 2*r, mm(2*f.p.Radius))
		d.find(g, at)
	}
	if more := big - listed; more > 0 {
		g.What = fmt.Sprintf("more pieces of pocket %q that are too narrow for the cutter: %d; they stay metal", f.p.Name, more)
		d.find(g, d.l.CellPoint(cells[listed]))
	}
	if small := len(cells) - big; small > 0 {
		g.Level = finding.Note
		g.What = fmt.Sprintf("pieces of pocket %q below its least area of %.4g mm² and too narrow for the cutter: %d; they stay metal",
			f.p.Name, f.p.LeastArea, small)
		d.find(g, d.l.CellPoint(cells[big]))
	}
}

// tellCells reports small cells, pieces that fall apart, and pockets that cut nothing.
func (d *deriver) tellCells(f *field, first, split int) {
	small, cut, at := 0, 0, -1
	for i := first; i < len(d.l.Cells); i++ {
		switch d.l.Cells[i].State {
		case CellSmall:
			if small++; at < 0 {
				at = i
			}
		case CellCut:
			cut++
		}
	}
	one := finding.Finding{Feature: int64(f.p.ID), FeatureName: f.p.Name, Stage: "pockets", Source: "geometry", Level: finding.Note}
	if small > 0 {
		g := one
		g.Code, g.What = "cells-small", fmt.Sprintf("cells of pocket %q below its least area of %.4g mm²: %d; they stay metal", f.p.Name, f.p.LeastArea, small)
		g.Why, g.Fix = "the pocket says that smaller cells are not worth cutting", "lower the least area to cut them"
		d.find(g, d.l.CellPoint(at))
	}
	if split > 0 {
		g := one
		g.Code, g.What = "cell-neck", fmt.Sprintf("pieces of pocket %q that fall apart into several cells: %d", f.p.Name, split)
		g.Why, g.Fix = "the cutter of the inside corner radius does not pass the neck between them", "use a smaller inside corner radius if the neck should be cut"
		d.l.Findings = append(d.l.Findings, g)
	}
	if cut == 0 {
		g := one
		g.Level, g.Code, g.What = finding.Warning, "pocket-empty", fmt.Sprintf("pocket %q cuts nothing", f.p.Name)
		g.Why, g.Fix = "no cell of it is left to cut inside the rim, its bounds, the bosses and ribs", "enlarge its bounds, narrow the rim, or delete the pocket"
		d.l.Findings = append(d.l.Findings, g)
	}
}
