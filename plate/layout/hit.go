package layout

import (
	"platewright/plate"
	"platewright/plate/geom"
)

// HitKind says what was found at a point.
type HitKind string

// What a point can hit.
const (
	HitNothing HitKind = ""
	HitBore    HitKind = "bore"
	HitHole    HitKind = "hole"
	HitCircle  HitKind = "bolt circle"
	HitRib     HitKind = "rib"
	HitGrid    HitKind = "grid"
	HitPocket  HitKind = "pocket"
	HitCutLine HitKind = "cut line"
	HitOutline HitKind = "outline" // the edge of the plate
	HitPlate   HitKind = "plate"   // metal that belongs to no feature
)

// FeatureAt is the feature that a click at q means, and its kind; tol (mm) is how far off a thin thing may be. What is
// drawn small is found before what is drawn large: holes and bores (the smallest first where several contain q), then cut
// lines, the outline's edge, bosses, cells of pockets, ribs, grids, plain plate. The id is 0 for outline, plate and
// nothing.
func (l *Layout) FeatureAt(q geom.Point, tol float64) (plate.ID, HitKind) {
	if id := l.roundAt(q, tol, func(b *Boss) float64 { return b.Hole / 2 }); id != 0 {
		return id, l.kindOf(id)
	}
	for i := range l.Plate.CutLines {
		c := &l.Plate.CutLines[i]
		a, b := geom.Pt(c.X1, c.Y1), geom.Pt(c.X2, c.Y2)
		if a != b && geom.Line(a, b).Dist(q) <= tol {
			return c.ID, HitCutLine
		}
	}
	for _, e := range l.Outline.Outer {
		if e.Dist(q) <= tol {
			return 0, HitOutline
		}
	}
	if !l.Outline.Contains(q) {
		return 0, HitNothing
	}
	if id := l.roundAt(q, 0, func(b *Boss) float64 { return b.Radius }); id != 0 {
		return id, l.kindOf(id)
	}
	for _, s := range [2]plate.Side{plate.Top, plate.Bottom} {
		if i := l.CellAt(q, s); i >= 0 {
			return l.Cells[i].Pocket, HitPocket
		}
	}
	if id := l.stripAt(q); id != 0 {
		return id, l.kindOf(id)
	}
	return 0, HitPlate
}

// roundAt is the feature of the smallest round within tol of whose disc q lies.
func (l *Layout) roundAt(q geom.Point, tol float64, radius func(*Boss) float64) plate.ID {
	var id plate.ID
	best := 0.0
	for i := range l.Bosses {
		b := &l.Bosses[i]
		if r := radius(b); b.Center.Dist(q) <= r+tol && (id == 0 || r < best) {
			id, best = b.Feature, r
		}
	}
	return id
}

// stripAt is the feature of the rib over q, drawn ribs before grids because they come first in Strips.
func (l *Layout) stripAt(q geom.Point) plate.ID {
	for i := range l.Strips {
		s := &l.Strips[i]
		if geom.Line(s.A, s.B).Dist(q) <= s.Width/2 {
			return s.Feature
		}
	}
	return 0
}

// kindOf looks the feature up in the document.
func (l *Layout) kindOf(id plate.ID) HitKind {
	p := &l.Plate
	for i := range p.Bores {
		if p.Bores[i].ID == id {
			return HitBore
		}
	}
	for i := range p.Holes {
		if p.Holes[i].ID == id {
			return HitHole
		}
	}
	for i := range p.Circles {
		if p.Circles[i].ID == id {
			return HitCircle
		}
	}
	for i := range p.Ribs {
		if p.Ribs[i].ID == id {
			return HitRib
		}
	}
	return HitGrid
}
