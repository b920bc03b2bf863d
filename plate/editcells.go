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

// plain is the anchor without what its kind does not use, so that two that name one place are equal.
func (a Anchor) plain() Anchor {
	if a.Grid != 0 {
		return Anchor{Grid: a.Grid, I: a.I, J: a.J, K: a.K}
	}
	return Anchor{X: a.X, Y: a.Y}
}
