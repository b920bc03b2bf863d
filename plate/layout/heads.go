package layout

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/standard"
)

// head is the recess of a hole for a screw's head.
type head struct {
	kind  CutKind // CutCounterbore, CutCountersink or empty for none
	side  plate.Side
	dia   float64 // at the face
	depth float64 // of a counterbore
}

// headOf is the recess of a hole: as drawn, else by the tables of the head's standard.
func headOf(f plate.HoleForm) head {
	switch f.Kind {
	case plate.Counterbored:
		dia, depth, _ := standard.Counterbore(f.Size)
		return head{CutCounterbore, f.Side, either(f.HeadDiameter, dia), either(f.HeadDepth, depth)}
	case plate.Countersunk:
		dia, _, _ := standard.Countersink(f.Size)
		return head{CutCountersink, f.Side, either(f.HeadDiameter, dia), 0}
	}
	return head{}
}

// either is v, or the figure of the table when v is 0.
func either(v, table float64) float64 {
	if v > 0 {
		return v
	}
	return table
}

// sinkDepth is the height of the 90° frustum between the face and the hole's wall, mm.
func (r *round) sinkDepth() float64 { return (r.head.dia - r.dia) / 2 }

// headDepth is how deep the recess reaches, mm.
func (r *round) headDepth() float64 {
	if r.head.kind == CutCountersink {
		return r.sinkDepth()
	}
	return r.head.depth
}

// countersink is the frustum outside the hole; ok is false where there is none.
func (r *round) countersink(t float64) (c Cut, ok bool) {
	if r.head.kind != CutCountersink || r.head.dia <= r.dia || r.sinkDepth() >= t-touchEps {
		return Cut{}, false
	}
	c = r.disc(CutCountersink, r.head.side, r.head.dia, r.sinkDepth(), t)
	c.Inner = r.dia
	return c, true
}

// addCountersinks appends the frusta to the cuts, and reports those that other cuts run into. One that stands in the air
// altogether is left out.
func (d *deriver) addCountersinks() {
	for i := range d.rounds {
		r := &d.rounds[i]
		c, ok := r.countersink(d.t)
		if !ok {
			continue
		}
		k, air := d.meetsFrustum(&c)
		if k >= 0 {
			d.tellSink(r, &d.l.Cuts[k], air)
		}
		if !air {
			d.l.Cuts = append(d.l.Cuts, c)
		}
	}
}

// meetsFrustum is the first prism, other than its own hole, that takes metal out of the frustum, and whether nothing is left
// of its metal; −1 for none.
func (d *deriver) meetsFrustum(c *Cut) (at int, air bool) {
	at = -1
	for _, n := range d.prisms.near(geom.Box{}.Add(c.Center).Grow(c.Diameter / 2)) {
		i, k := int(n), &d.l.Cuts[n]
		if k.Feature == c.Feature && k.Hole == c.Hole {
			continue
		}
		lo, hi := max(c.Z0, k.Z0), min(c.Z1, k.Z1)
		if hi-lo <= zSlack {
			continue
		}
		// Over the heights that the two share, the frustum is widest at the end towards its face.
		r := c.Diameter/2 - (c.Z1 - hi)
		if c.Side == plate.Bottom {
			r = c.Diameter/2 - (lo - c.Z0)
		}
		if !k.Region.Box().Grow(r).Contains(c.Center) {
			continue
		}
		room := clearance(k.Region, c.Center)
		if -room >= r-touchEps {
			continue
		}
		if at < 0 {
			at = i
		}
		if room >= c.Diameter/2-touchEps && k.Z0 <= c.Z0+zSlack && k.Z1 >= c.Z1-zSlack {
			return i, true
		}
	}
	return at, false
}

func (d *deriver) tellSink(r *round, k *Cut, air bool) {
	f := r.finding("head-meets-cut", finding.Error)
	f.What = fmt.Sprintf("the countersink of %s runs into %s", r.label(), cutName(k))
	f.Why = "a countersink needs metal all round it; the mass counts the whole cone as taken from metal"
	f.Fix = "give the hole a boss as wide as the head, move it, or choose a counterbore"
	if air {
		f.What = fmt.Sprintf("the countersink of %s lies wholly inside %s; it is left out", r.label(), cutName(k))
		f.Why = "a countersink starts at the plate's face, and there is no metal there"
	}
	d.find(f, r.c)
}

// cutName names a cut for people.
func cutName(k *Cut) string {
	switch {
	case k.Kind == CutOutline:
		return "the outline"
	case k.Hole > 0:
		return fmt.Sprintf("%s %d of %q", k.Kind, k.Hole, k.FeatureName)
	}
	return fmt.Sprintf("%s %q", k.Kind, k.FeatureName)
}

// checkHead reports recesses that cannot be as drawn.
func (d *deriver) checkHead(r *round) {
	if r.head.kind == "" {
		return
	}
	if r.head.dia <= r.dia {
		f := r.finding("head-narrow", finding.Error)
		f.What = fmt.Sprintf("the %s of %s has a diameter of %s, no wider than its hole of %s; it is left out",
			r.head.kind, r.label(), mm(r.head.dia), mm(r.dia))
		f.Why, f.Fix = "the recess must be wider than the hole under it", "enlarge the head's diameter"
		d.find(f, r.c)
		return
	}
	if r.headDepth() < d.t-touchEps {
		return
	}
	f := r.finding("head-deep", finding.Error)
	f.What = fmt.Sprintf("the %s of %s is %s deep in a plate of %s: nothing is left for the head to bear on",
		r.head.kind, r.label(), mm(r.headDepth()), mm(d.t))
	if r.head.kind == CutCountersink {
		f.What += "; it is left out"
	}
	f.Why, f.Fix = "the screw's head clamps what is left under it", "choose a smaller screw or a thicker plate"
	d.find(f, r.c)
}

// place is where two forms touch, for a finding: on the way from a to b, at distance r from a.
func place(a, b geom.Point, r float64) geom.Point { return a.Add(b.Sub(a).Unit().Mul(r)) }
