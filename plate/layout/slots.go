package layout

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// slot is one slot of the document with its line.
type slot struct {
	*plate.Slot
	name   string
	a, b   geom.Point // centres of its ends
	region geom.Region
}

func newSlot(s *plate.Slot) slot {
	c, u := geom.Pt(s.X, s.Y), geom.Pt(s.Length/2, 0).Rotate(math.Mod(s.AngleDeg, 360)*math.Pi/180)
	o := slot{Slot: s, name: s.Name, a: c.Sub(u), b: c.Add(u)}
	o.region = geom.Region{Outer: geom.Capsule(o.a, o.b, s.Width/2)}
	return o
}

func (s *slot) centre() geom.Point { return geom.Pt(s.X, s.Y) }

// dist is the distance from q to the line between the centres of the ends.
func (s *slot) dist(q geom.Point) float64 {
	if s.a == s.b {
		return q.Dist(s.a)
	}
	return geom.Line(s.a, s.b).Dist(q)
}

func (s *slot) cut(t float64) Cut {
	c := Cut{
		Kind: CutSlot, Side: s.Side, Region: s.region, Center: s.centre(), LeastRadius: s.Width / 2,
		Feature: s.ID, FeatureName: s.Name, Cell: -1, Fit: s.Fit, Tolerance: zoneWidth(s.Fit, s.Width, 0),
	}
	c.Z0, c.Z1 = heights(s.Side, 0, min(s.Depth, t), t)
	return c
}

// checkSlots reports slots that break through the outline, into bores and holes, or into each other.
func (d *deriver) checkSlots() {
	told := 0
	for i := range d.slots {
		s := &d.slots[i]
		d.checkSlotInside(s)
		for k := range d.rounds {
			if told > maxOverlaps {
				break
			}
			if r := &d.rounds[k]; s.dist(r.c)-s.Width/2-r.reach <= touchEps && d.slotMeets(s, r) {
				told++
				d.tellSlot(s, "slot-meets-hole", finding.Error, fmt.Sprintf("slot %q and %s break into each other", s.Name, r.label()),
					"a slot and a hole need metal between them", "move one of them or make it smaller", r.c)
			}
		}
		for k := range d.slots[:i] {
			o := &d.slots[k]
			if told > maxOverlaps || s.centre().Dist(o.centre()) > (s.Length+s.Width+o.Length+o.Width)/2+touchEps {
				continue
			}
			if geom.Closest(s.region.Outer, o.region.Outer).D <= touchEps || s.region.Contains(o.a) || o.region.Contains(s.a) {
				told++
				d.tellSlot(s, "slots-overlap", finding.Error, fmt.Sprintf("slots %q and %q break into each other", o.Name, s.Name),
					"two slots need metal between them", "move one of them or make it shorter", s.centre())
			}
		}
		if s.Side != plate.Through && s.Depth >= d.t-touchEps {
			d.tellSlot(s, "slot-deep", finding.Warning, fmt.Sprintf("slot %q is %s deep in a plate of %s: it goes through",
				s.Name, mm(s.Depth), mm(d.t)),
				"a blind slot leaves a floor", "draw it as through, or make it shallower", s.centre())
		}
	}
}

// slotMeets reports whether a cut of the round, not only its reach, meets the slot; the round's own hole counts at every
// height.
func (d *deriver) slotMeets(s *slot, r *round) bool {
	if s.dist(r.c)-s.Width/2-r.dia/2 <= touchEps {
		return true
	}
	c := s.cut(d.t)
	for _, p := range r.discs(d.t) {
		if s.dist(r.c)-s.Width/2-p.dia/2 <= touchEps && min(p.z1, c.Z1)-max(p.z0, c.Z0) > touchEps {
			return true
		}
	}
	return false
}

func (d *deriver) checkSlotInside(s *slot) {
	g := geom.Closest(s.region.Outer, d.outline)
	switch {
	case g.D <= touchEps || !d.outline.Contains(s.centre()):
		what := fmt.Sprintf("slot %q (%s wide) crosses the outline", s.Name, mm(s.Width))
		if g.D > touchEps {
			what = fmt.Sprintf("slot %q lies outside the outline", s.Name)
		}
		d.tellSlot(s, "slot-outside", finding.Error, what, "a slot needs metal all round it", "move it inwards, make it shorter, or move the outline", s.centre())
	case s.Boss > 0 && g.D < s.Boss-touchEps:
		d.tellSlot(s, "boss-crosses-outline", finding.Note, fmt.Sprintf("the boss of slot %q stands out of the outline by %s; it is cut off there",
			s.Name, mm(s.Boss-g.D)),
			"the outline decides where the metal ends", "move it inwards or narrow the boss", s.centre())
	}
}

func (d *deriver) tellSlot(s *slot, code string, level finding.Level, what, why, fix string, at geom.Point) {
	d.find(finding.Finding{
		Code: code, Level: level, Feature: int64(s.ID), FeatureName: s.Name, Stage: "holes", Source: "geometry",
		What: what, Why: why, Fix: fix,
	}, at)
}
