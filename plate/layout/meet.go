package layout

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// meeting is a pair of pockets that lie over each other somewhere, with the largest place where they do.
type meeting struct {
	a, b *plate.Pocket
	face int
	area float64
	sum  float64 // of the two depths
}

// tellPockets reports pockets from both sides that meet, and pockets of one side that overlap. It looks at the faces of
// the map before they are merged, which know every cut over them.
func (d *deriver) tellPockets(raw *geom.Subdivision, col *column) {
	var meet, over []meeting
	var cells []int
	for f := range raw.Faces {
		cells = cells[:0]
		for _, l := range raw.Faces[f].Layers {
			if l < firstCut {
				continue
			}
			if c := &col.cuts[col.of[l-firstCut]]; c.Kind == CutPocket {
				cells = append(cells, c.Cell)
			}
		}
		for i := range cells {
			for _, j := range cells[i+1:] {
				p, q := &d.l.Cells[cells[i]], &d.l.Cells[j]
				m := meeting{a: d.cellPocket[cells[i]], b: d.cellPocket[j], face: f, sum: p.Depth + q.Depth}
				switch {
				case p.Side == q.Side:
					over = addMeeting(over, m, raw)
				case p.Side != plate.Through && q.Side != plate.Through && m.sum >= d.t-zSlack:
					meet = addMeeting(meet, m, raw)
				}
			}
		}
	}
	for _, m := range meet {
		d.find(finding.Finding{
			Code: "pockets-meet", Level: finding.Warning, Feature: int64(m.b.ID), FeatureName: m.b.Name, Stage: "pockets",
			What: fmt.Sprintf("%s %s deep together in a plate of %s: they meet and leave windows", m.names(), mm(m.sum), mm(d.t)),
			Why:  "no floor is left between them, and neither is drawn as going through", Source: "geometry",
			Fix: "make one shallower, or draw one as through",
		}, inside(raw.Faces[m.face].Region))
	}
	for _, m := range over {
		d.find(finding.Finding{
			Code: "pockets-overlap", Level: finding.Note, Feature: int64(m.b.ID), FeatureName: m.b.Name, Stage: "pockets",
			What: fmt.Sprintf("pockets %q and %q overlap on one side; the deeper one counts there", m.a.Name, m.b.Name),
			Why:  "the overlap is cut twice", Source: "geometry", Fix: "bound one pocket so that they lie side by side",
		}, inside(raw.Faces[m.face].Region))
	}
}

// names says which two pockets meet, which may be the two faces of one.
func (m *meeting) names() string {
	if m.a == m.b {
		return fmt.Sprintf("the cells of pocket %q from both sides are", m.a.Name)
	}
	return fmt.Sprintf("pockets %q and %q are", m.a.Name, m.b.Name)
}

// addMeeting notes the pair, keeping the largest face of each.
func addMeeting(ms []meeting, m meeting, raw *geom.Subdivision) []meeting {
	m.area = raw.Faces[m.face].Area()
	for i := range ms {
		if ms[i].a == m.a && ms[i].b == m.b {
			if m.area > ms[i].area {
				ms[i] = m
			}
			return ms
		}
	}
	return append(ms, m)
}

// tellPoint reports a drill point that does not end in metal: through the other face, or into a pocket or other hole. The
// blind hole then is none, or its thread ends in the air.
func (d *deriver) tellPoint(r *round, c *Cut) {
	if c.Z0 <= touchEps || c.Z1 >= d.t-touchEps {
		f := r.finding("point-through", finding.Error)
		f.What = fmt.Sprintf("the drill for %s, %s deep with a point of %s, breaks through the other face of the %s plate",
			r.label(), mm(r.depth), mm(c.Depth()), mm(d.t))
		f.Why, f.Source = "the drill has a point of 118°", "common practice, no source"
		if r.kind == CutTapped {
			f.Why = fmt.Sprintf("a blind tapped hole is drilled %d pitches beyond its thread, and the drill has a point of 118°", runOut)
			f.Source = "run-out: DIN 76-1 (from memory); point: common practice, no source"
		}
		f.Fix = "make it shallower, or let it go through"
		d.find(f, r.c)
		return
	}
	if i := d.meetsPoint(c); i >= 0 {
		k := &d.l.Cuts[i]
		f := r.finding("point-meets-cut", finding.Error)
		f.What = fmt.Sprintf("the drill point of %s runs into %s", r.label(), cutName(k))
		f.Why = "the drill point needs metal all round it; the mass counts the whole point as taken from metal"
		f.Fix = "shorten the thread, move the hole, or make the other cut shallower"
		d.find(f, r.c)
	}
}

// meetsPoint is the first pocket, bore or hole that takes metal out of the cone; −1 for none. Over the heights that the two
// share, the cone is widest at the end towards its base.
func (d *deriver) meetsPoint(c *Cut) int {
	for _, i := range d.prisms.near(geom.Box{}.Add(c.Center).Grow(c.Diameter / 2)) {
		k := &d.l.Cuts[i]
		if k.Kind == CutOutline {
			continue
		}
		lo, hi := max(c.Z0, k.Z0), min(c.Z1, k.Z1)
		if hi-lo <= zSlack {
			continue
		}
		r := c.Diameter / 2 * (hi - c.Z0) / c.Depth()
		if c.Side == plate.Bottom {
			r = c.Diameter / 2 * (c.Z1 - lo) / c.Depth()
		}
		if k.Region.Box().Grow(r).Contains(c.Center) && -clearance(k.Region, c.Center) < r-touchEps {
			return int(i)
		}
	}
	return -1
}
