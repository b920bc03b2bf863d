package layout

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// setWidths takes over the local widths that are given by lattice; the last of several for one rib counts.
func (l *lattice) setWidths(ws []plate.RibWidth) {
	if !l.tiled() {
		return
	}
	for _, w := range ws {
		m := w.At.Family
		s := segment{m, w.At.Line, w.At.Segment}
		if !w.At.Lattice {
			var ok bool
			if s, ok = l.nearestSegment(geom.Pt(w.At.X, w.At.Y)); !ok {
				continue
			}
		} else if m < 0 || m >= l.families() || min(s.line, s.at) < -maxPlace || max(s.line, s.at) > maxPlace {
			continue
		}
		if l.widths == nil {
			l.widths, l.changed = map[segment]float64{}, map[[2]int][]int{}
		}
		if _, ok := l.widths[s]; !ok {
			k := [2]int{s.family, s.line}
			l.changed[k] = append(l.changed[k], s.at)
		}
		l.widths[s] = w.Width / 2
	}
	for _, at := range l.changed {
		slices.Sort(at)
	}
}

// maxPlace is the largest number of a line or segment that is looked for: no plate reaches there.
const maxPlace = 10_000_000

// nearestSegment is the rib of the lattice nearest to p, within half a pitch.
func (l *lattice) nearestSegment(p geom.Point) (segment, bool) {
	best, off := segment{}, l.pitch/2
	found := false
	for m := range l.families() {
		dir, n := l.family(m)
		v := p.Sub(l.origin)
		k := math.Round(n.Dot(v) / l.step[m])
		if e := math.Abs(n.Dot(v) - k*l.step[m]); e <= off {
			name := lineName(m, k)
			best, off, found = segment{m, name, int(math.Floor(l.place(m, name, dir.Dot(v))))}, e, true
		}
	}
	return best, found
}

// special are the segments with a width of their own on one line, ascending.
func (l *lattice) special(m, line int) []int { return l.changed[[2]int{m, line}] }

// widest is the largest half width of the grid.
func (l *lattice) widest() float64 {
	w := l.half
	for _, h := range l.widths {
		w = max(w, h)
	}
	return w
}

// localWidths gives the ribs of a field without nodes the widths of the document: each to the rib nearest to its place,
// within reach of it. The parts of one rib have the same group.
func (d *deriver) localWidths(g *plate.Grid, ribs []rib, reach func(*rib) float64) {
	for _, w := range g.Widths {
		q := geom.Pt(w.At.X, w.At.Y)
		best, off := -1, 0.0
		for i := range ribs {
			if e := ribs[i].dist(q); e <= reach(&ribs[i]) && (best < 0 || e < off) {
				best, off = i, e
			}
		}
		if best < 0 || w.At.Lattice {
			d.restingWidth(g, w)
			continue
		}
		for i := range ribs {
			if ribs[i].group == ribs[best].group {
				ribs[i].half = w.Width / 2
			}
		}
	}
}

// tellWidths reports the local widths that no segment of a lattice inside the plate has. The grid's strips begin at first.
func (d *deriver) tellWidths(at int, g *plate.Grid, first int) {
	if len(g.Widths) == 0 {
		return
	}
	there := make(map[segment]bool, len(d.l.Strips)-first)
	for i := first; i < len(d.l.Strips); i++ {
		a := &d.l.Strips[i].Anchor
		there[segment{a.Family, a.Line, a.Segment}] = a.Lattice
	}
	for _, w := range g.Widths {
		s, ok := segment{w.At.Family, w.At.Line, w.At.Segment}, true
		if !w.At.Lattice {
			s, ok = d.lattices[at].nearestSegment(geom.Pt(w.At.X, w.At.Y))
		}
		if !ok || !there[s] {
			d.restingWidth(g, w)
		}
	}
}

// restingWidth reports a local width that no rib has.
func (d *deriver) restingWidth(g *plate.Grid, w plate.RibWidth) {
	where := fmt.Sprintf("near (%.4g, %.4g)", w.At.X, w.At.Y)
	if w.At.Lattice {
		where = fmt.Sprintf("of segment %d on line %d of family %d", w.At.Segment, w.At.Line, w.At.Family)
	}
	d.find(finding.Finding{
		Code: "anchor-inactive", Level: finding.Note, Feature: int64(g.ID), FeatureName: g.Name, Stage: "ribs",
		What: fmt.Sprintf("the width of %s for the rib %s of grid %q belongs to no rib now; the choice rests", mm(w.Width), where, g.Name),
		Why:  "a choice follows the place it was made at, and no rib of the grid lies there", Source: "geometry",
		Fix: "choose the rib again, or remove the choice",
	}, geom.Pt(w.At.X, w.At.Y))
}
