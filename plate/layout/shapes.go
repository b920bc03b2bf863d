package layout

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate/geom"
)

// Two panels are one part when one is the other moved and turned, not turned over. A contour is its edges in order: for each
// its length, its radius with the sense of its turn, and the turn at its end. Two contours are alike when these agree from
// some edge of the second on; that edge gives the motion, under which holes must agree too.

// sameShape is how far, in mm, places of two panels may differ that count as one part: a tenth of what a panel is cut to.
const sameShape = 1e-3

// numberShapes gives panels of one thickness and material that are the same shape the same number, from 1.
func (d *deriver) numberShapes() {
	type kind struct {
		panel int
		area  float64
		trail []trace
	}
	var kinds []kind // by area
	last := 0
	for i := range d.l.Panels {
		p := &d.l.Panels[i]
		t := traceOf(p.Region.Outer)
		slack := sameShape * p.Region.Outer.Length()
		at, _ := slices.BinarySearchFunc(kinds, p.Area-slack, func(k kind, v float64) int { return cmp.Compare(k.area, v) })
		for n := at; n < len(kinds) && kinds[n].area <= p.Area+slack; n++ {
			q := &d.l.Panels[kinds[n].panel]
			if d.samePart(p, q) && congruent(q.Region, p.Region, kinds[n].trail, t) {
				p.Shape = q.Shape
				break
			}
		}
		if p.Shape == 0 {
			last++
			p.Shape = last
			at, _ = slices.BinarySearchFunc(kinds, p.Area, func(k kind, v float64) int { return cmp.Compare(k.area, v) })
			kinds = slices.Insert(kinds, at, kind{i, p.Area, t})
		}
	}
}

// samePart reports whether two panels have one thickness and material.
func (d *deriver) samePart(a, b *Panel) bool {
	if a.Inlay == b.Inlay {
		return true
	}
	one := func(p *Panel) (m string, z, rho float64) {
		for i := range d.p.Inlays {
			if n := &d.p.Inlays[i]; n.ID == p.Inlay {
				return n.Material.Alloy + " " + n.Material.Temper, n.Thickness, n.Material.Density
			}
		}
		return "", 0, 0
	}
	m, z, rho := one(a)
	n, y, sigma := one(b)
	return m == n && z == y && rho == sigma
}

// trace is one edge of a contour as it is whatever the place and direction of the contour.
type trace struct {
	length, bend float64 // bend is the angle that an arc turns through, 0 for a line
	turn         float64 // at the end
	edge         geom.Edge
}

// traceOf lists the edges of a contour, with neighbours that are one curve joined. A full circle is one edge.
func traceOf(c geom.Contour) []trace {
	j := joined(c)
	out := make([]trace, len(j))
	for i := range j {
		out[i] = trace{length: j[i].Length(), bend: j[i].Sweep(), edge: j[i]}
		if len(j) > 1 {
			out[i].turn = corner(&j[i], &j[(i+1)%len(j)])
		}
	}
	return out
}

// joined is the contour with neighbours on one line or circle made one edge.
func joined(c geom.Contour) geom.Contour {
	one := func(a, b *geom.Edge) bool {
		if a.Dir != b.Dir || math.Abs(corner(a, b)) > 1e-5 {
			return false
		}
		return !a.IsArc() || a.C.Dist(b.C) < sameShape/10 && math.Abs(a.R-b.R) < sameShape/10
	}
	start := -1
	for i := range c {
		if !one(&c[(i+len(c)-1)%len(c)], &c[i]) {
			start = i
			break
		}
	}
	if start < 0 { // a circle
		return geom.Circle(c[0].C, c[0].R)
	}
	var out geom.Contour
	for k := range c {
		e := c[(start+k)%len(c)]
		if n := len(out); n > 0 && one(&out[n-1], &e) {
			out[n-1].B = e.B
			continue
		}
		out = append(out, e)
	}
	return out
}

// congruent reports whether b is a moved and turned, given their traces.
func congruent(a, b geom.Region, ta, tb []trace) bool {
	if len(ta) != len(tb) || len(a.Holes) != len(b.Holes) {
		return false
	}
	if len(ta) == 1 {
		return math.Abs(a.Outer[0].R-b.Outer[0].R) <= sameShape && roundHoles(a, b)
	}
	for k := range tb {
		if alikeFrom(ta, tb, k) && holesFollow(a, b, motion(ta[0].edge, tb[k].edge)) {
			return true
		}
	}
	return false
}

// alikeFrom reports whether the second trace, from its edge k on, is the first.
func alikeFrom(a, b []trace, k int) bool {
	for i := range a {
		p, q := &a[i], &b[(i+k)%len(b)]
		if math.Abs(p.length-q.length) > sameShape || math.Abs(p.bend-q.bend)*max(p.length, 1) > sameShape ||
			math.Abs(p.turn-q.turn) > sameShape {
			return false
		}
	}
	return true
}

// motion takes the chord of e to that of f.
func motion(e, f geom.Edge) geom.Affine {
	turn := f.TangentA()
	from := e.TangentA()
	rot := math.Atan2(from.Cross(turn), from.Dot(turn))
	return geom.Translation(e.A.Mul(-1)).Then(geom.Rotation(rot)).Then(geom.Translation(f.A))
}

// holesFollow reports whether the motion takes every hole of a to one of b.
func holesFollow(a, b geom.Region, t geom.Affine) bool {
	used := make([]bool, len(b.Holes))
	for _, h := range a.Holes {
		m := h.Transform(t)
		found := false
		for k, o := range b.Holes {
			if !used[k] && sameContour(m, o) {
				used[k], found = true, true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// sameContour reports whether two contours in place are one.
func sameContour(a, b geom.Contour) bool {
	p, q := joined(a), joined(b)
	if len(p) != len(q) {
		return false
	}
	if len(p) == 1 {
		return p[0].C.Dist(q[0].C) <= sameShape && math.Abs(p[0].R-q[0].R) <= sameShape
	}
	for k := range q {
		same := true
		for i := range p {
			o := &q[(i+k)%len(q)]
			if p[i].A.Dist(o.A) > sameShape || p[i].Mid().Dist(o.Mid()) > sameShape {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// roundHoles reports whether the holes of two round panels can be brought together by a turn: the turns that take the first
// hole of a to one of b are tried.
func roundHoles(a, b geom.Region) bool {
	if len(a.Holes) == 0 {
		return true
	}
	ca, cb := a.Outer[0].C, b.Outer[0].C
	u := a.Holes[0].Moments().Centroid().Sub(ca)
	for _, h := range b.Holes {
		v := h.Moments().Centroid().Sub(cb)
		if math.Abs(u.Len()-v.Len()) > sameShape {
			continue
		}
		rot := 0.0
		if u.Len() > sameShape {
			rot = math.Atan2(u.Cross(v), u.Dot(v))
		}
		if holesFollow(a, b, geom.Translation(ca.Mul(-1)).Then(geom.Rotation(rot)).Then(geom.Translation(cb))) {
			return true
		}
	}
	return false
}
