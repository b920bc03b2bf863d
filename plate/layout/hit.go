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
	HitRing    HitKind = "clocked ring"
	HitEccent  HitKind = "eccentric" // the holes of its locking screws
	HitSlot    HitKind = "slot"
	HitKeepOut HitKind = "keep-out"
	HitRib     HitKind = "rib"
	HitGrid    HitKind = "grid"
	HitPocket  HitKind = "pocket"
	HitCutLine HitKind = "cut line"
	HitOutline HitKind = "outline" // the edge of the plate
	HitPlate   HitKind = "plate"   // metal that belongs to no feature
)

// FeatureAt is the feature that a click at q means, and its kind; tol (mm) is how far off a thin thing may be. What is
// drawn small is found before what is drawn large: holes and bores (the smallest first where several contain q), slots, cut
// lines, the outline's edge, bosses, seats and heads, cells of pockets, keep-out zones, ribs, grids, plain plate. The id is 0 for outline, plate and
// nothing.
func (l *Layout) FeatureAt(q geom.Point, tol float64) (plate.ID, HitKind) {
	if id := l.roundAt(q, tol, func(b *Boss) float64 { return b.Hole / 2 }); id != 0 {
		return id, l.kindOf(id)
	}
	if id := l.slotAt(q, tol); id != 0 {
		return id, HitSlot
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
	reach := l.recessReach()
	if id := l.roundAt(q, 0, func(b *Boss) float64 { return max(b.Radius, reach[roundKey{b.Feature, b.Round}]) }); id != 0 {
		return id, l.kindOf(id)
	}
	if id := l.slotAt(q, -1); id != 0 {
		return id, HitSlot
	}
	for _, s := range [2]plate.Side{plate.Top, plate.Bottom} {
		if i := l.CellAt(q, s); i >= 0 {
			return l.Cells[i].Pocket, HitPocket
		}
	}
	if id := l.keepOutAt(q); id != 0 {
		return id, HitKeepOut
	}
	if i := l.StripAt(q, 0); i >= 0 {
		id := l.Strips[i].Feature
		return id, l.kindOf(id)
	}
	return 0, HitPlate
}

// slotAt is the slot within tol of whose opening q lies; with tol below 0, that whose boss holds q.
func (l *Layout) slotAt(q geom.Point, tol float64) plate.ID {
	for i := range l.Plate.Slots {
		s := newSlot(&l.Plate.Slots[i])
		reach := s.Width/2 + tol
		if tol < 0 {
			reach = s.Width/2 + s.Boss
		}
		if s.dist(q) <= reach {
			return s.ID
		}
	}
	return 0
}

// roundKey names one bore or hole.
type roundKey struct {
	feature plate.ID
	number  int
}

// recessReach is the radius of the widest seat, groove or head's recess of each round that has one.
func (l *Layout) recessReach() map[roundKey]float64 {
	out := map[roundKey]float64{}
	for i := range l.Cuts {
		switch c := &l.Cuts[i]; c.Kind {
		case CutSeat, CutGroove, CutCounterbore, CutCountersink:
			k := roundKey{c.Feature, c.Hole}
			out[k] = max(out[k], c.Diameter/2)
		}
	}
	return out
}

// keepOutAt is the keep-out zone that holds q.
func (l *Layout) keepOutAt(q geom.Point) plate.ID {
	for i := range l.Plate.KeepOuts {
		k := &l.Plate.KeepOuts[i]
		if c, err := path(k.Bounds); err == nil && c.Contains(q) {
			return k.ID
		}
	}
	return 0
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

// StripAt is the index of the rib over q, or within tol of it; −1 when there is none. Of several the one whose centre line is
// nearest answers. Drawn ribs come before those of grids, because they come first in Strips.
func (l *Layout) StripAt(q geom.Point, tol float64) int {
	best, off := -1, 0.0
	for i := range l.Strips {
		s := &l.Strips[i]
		if best >= 0 && s.Feature != l.Strips[best].Feature {
			break
		}
		if e := s.Edge().Dist(q); e <= s.Width/2+tol && (best < 0 || e < off) {
			best, off = i, e
		}
	}
	return best
}

// Edge is the centre line of the strip.
func (s *Strip) Edge() geom.Edge {
	if s.Arc {
		if e, err := geom.ArcThrough(s.A, s.Through, s.B); err == nil {
			return e
		}
	}
	return geom.Line(s.A, s.B)
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
	for i := range p.Rings {
		if p.Rings[i].ID == id {
			return HitRing
		}
	}
	for i := range p.Eccentrics {
		if p.Eccentrics[i].ID == id {
			return HitEccent
		}
	}
	for i := range p.Ribs {
		if p.Ribs[i].ID == id {
			return HitRib
		}
	}
	return HitGrid
}
