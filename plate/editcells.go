package plate

import "slices"

// KeepCell keeps one cell of a pocket field solid, or (solid false) lets it be cut again.
func KeepCell(pocket ID, a Anchor, solid bool) Edit {
	label := "cell cut again"
	if solid {
		label = "cell kept solid"
	}
	a = a.plain()
	return changeOf(label, KindPocket, pocket, pockets, pocketID, func(k *Pocket) {
		k.Kept = slices.DeleteFunc(k.Kept, func(b Anchor) bool { return a == b.plain() })
		if solid {
			k.Kept = append(k.Kept, a)
		}
		if len(k.Kept) == 0 {
			k.Kept = nil
		}
	})
}

// SetCellDepth gives one cell of a pocket a depth of its own; one that the cell has already is replaced. d.At says which.
func SetCellDepth(pocket ID, d CellDepth) Edit {
	d.At = d.At.plain()
	if d.Through {
		d.Depth, d.Back = 0, 0
	}
	return changeOf("depth of one cell", KindPocket, pocket, pockets, pocketID, func(k *Pocket) {
		i := slices.IndexFunc(k.Depths, func(o CellDepth) bool { return o.At.plain() == d.At })
		if i < 0 {
			k.Depths = append(k.Depths, d)
		} else {
			k.Depths[i] = d
		}
	})
}

// ClearCellDepth gives one cell the depth of its pocket again.
func ClearCellDepth(pocket ID, a Anchor) Edit {
	a = a.plain()
	return changeOf("depth of one cell", KindPocket, pocket, pockets, pocketID, func(k *Pocket) {
		k.Depths = slices.DeleteFunc(k.Depths, func(o CellDepth) bool { return o.At.plain() == a })
		if len(k.Depths) == 0 {
			k.Depths = nil
		}
	})
}

// SetRibWidth gives one rib of a field a width of its own, mm; 0 gives it that of the field again.
func SetRibWidth(grid ID, a RibAnchor, width float64) Edit {
	a = a.plain()
	return changeOf("width of one rib", KindGrid, grid, grids, gridID, func(g *Grid) {
		i := slices.IndexFunc(g.Widths, func(w RibWidth) bool { return w.At.plain() == a })
		switch {
		case width == 0 && i >= 0:
			g.Widths = slices.Delete(g.Widths, i, i+1)
		case width == 0:
		case i >= 0:
			g.Widths[i].Width = width
		default:
			g.Widths = append(g.Widths, RibWidth{a, width})
		}
		if len(g.Widths) == 0 {
			g.Widths = nil
		}
	})
}

// plain is the anchor without what its kind does not use, so that two that name one rib are equal.
func (a RibAnchor) plain() RibAnchor {
	if a.Lattice {
		return RibAnchor{Lattice: true, Family: a.Family, Line: a.Line, Segment: a.Segment}
	}
	return RibAnchor{X: a.X, Y: a.Y}
}

// SetInlayCell puts the panel of an inlay into one more cell, or (on false) takes it out of it.
func SetInlayCell(inlay ID, a Anchor, on bool) Edit {
	a = a.plain()
	return changeOf("cells", KindInlay, inlay, inlays, inlayID, func(i *Inlay) {
		i.Cells = slices.DeleteFunc(i.Cells, func(b Anchor) bool { return a == b.plain() })
		if on {
			i.All, i.Cells = false, append(i.Cells, a)
		}
		if len(i.Cells) == 0 {
			i.Cells = nil
		}
	})
}

// plain is the anchor without what its kind does not use, so that two that name one place are equal.
func (a Anchor) plain() Anchor {
	if a.Grid != 0 {
		return Anchor{Grid: a.Grid, I: a.I, J: a.J, K: a.K}
	}
	return Anchor{X: a.X, Y: a.Y}
}
