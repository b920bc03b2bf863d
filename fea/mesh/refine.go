package mesh

import (
	"math"

	"platewright/plate/geom"
)

// Refinement after J. Ruppert, "A Delaunay refinement algorithm for quality
// 2-dimensional mesh generation", J. Algorithms 18 (1995) 548–585, with the two
// rules that J. R. Shewchuk gives for small angles of the input ("Delaunay
// refinement algorithms for triangular mesh generation", Computational Geometry
// 22 (2002) 21–74): segments that meet at a small angle are split at powers of
// two from their corner, so that they do not encroach on each other for ever,
// and a triangle whose shortest side only bridges such an angle is left.
//
// Added here: segments are split on their arcs; nothing is split below the floor
// (Options.MinSize, or less beside a short edge of the map), which bounds the
// work in slivers of any thinness; sides that bridge narrow metal are halved;
// arcs are halved until the elements on them map well.

const (
	// stepSlack and splitSlack are how much longer than the size a segment may
	// be made, and left. Halving from above leaves 0.7 to 1.4 of the size.
	stepSlack, splitSlack = 1.2, 1.4

	// radiusSlack is the circumradius allowed in parts of the size: 0.577 is the
	// equilateral triangle of that side.
	radiusSlack = 0.75

	// sharpCorner is the angle below which segments at a corner are split at
	// powers of two: sides of 60° and more cannot encroach on each other for
	// ever, and chords may open or close the angle of arcs by some degrees.
	sharpCorner = 75 * math.Pi / 180

	// bridgedCorner is the angle of a corner below which a triangle is left whose
	// shortest side joins points of the two sides at one distance from it: from
	// 60° on that side is not shorter than what it stands on.
	bridgedCorner = 60 * math.Pi / 180

	// leastMap is the least determinant of the map of an element with curved
	// sides, as a share of the straight one's, for which arcs are not halved.
	leastMap = 0.3
)

// outcome is what came of an attempt at a triangle.
type outcome int8

const (
	nothing     outcome = iota // it is fine
	changed                    // a point was put in, or a segment queued
	sharpInput                 // it bridges a small angle of the input
	narrowInput                // a segment at its floor is in the way
)

// shape holds the measures of a triangle: side i is opposite corner i.
type shape struct {
	l2    [3]float64 // squared sides
	cross float64    // twice the area
	short int        // shortest side
}

func (b *builder) measure(t int32) shape {
	v := &b.t[t].v
	p, q, r := b.p[v[0]], b.p[v[1]], b.p[v[2]]
	a, c, d := r.Sub(q), p.Sub(r), q.Sub(p)
	s := shape{l2: [3]float64{a.Dot(a), c.Dot(c), d.Dot(d)}, cross: d.Cross(a)}
	if s.l2[1] < s.l2[0] {
		s.short = 1
	}
	if s.l2[2] < s.l2[s.short] {
		s.short = 2
	}
	return s
}

// sin2 is the squared sine of the least angle, which lies opposite the shortest
// side.
func (s *shape) sin2() float64 {
	return s.cross * s.cross / (s.l2[(s.short+1)%3] * s.l2[(s.short+2)%3])
}

// radius2 is the squared circumradius.
func (s *shape) radius2() float64 {
	return s.l2[0] * s.l2[1] * s.l2[2] / (4 * s.cross * s.cross)
}

// sizeIn is the size wanted at the circumcentre of t, as far as its corners
// tell.
func (b *builder) sizeIn(t int32) float64 {
	v := &b.t[t].v
	return min(b.h[v[0]], b.h[v[1]], b.h[v[2]])
}

// refine improves the triangles with metal until all are fine or cannot be
// improved.
func (b *builder) refine() error {
	for s := range b.segs {
		b.checkSegment(int32(s))
	}
	// What was given up may have become possible by what was done after it, so
	// all triangles are looked at again until that changes nothing more.
	for range mostSweeps {
		before := len(b.p)
		for t := range b.t {
			b.inspect(int32(t))
		}
		if err := b.workOff(); err != nil {
			return err
		}
		if len(b.p) == before {
			break
		}
	}
	return nil
}

// mostSweeps bounds the looks at all triangles; two or three are the rule.
const mostSweeps = 16

// workOff takes segments and triangles from the queues until they are empty.
func (b *builder) workOff() error {
	for n := 0; ; n++ {
		if n%stepsPerLook == 0 && b.ctx.Err() != nil {
			return b.ctx.Err()
		}
		if len(b.t) > 2*b.o.MaxTriangles+64 {
			return b.tooFine(b.p[len(b.p)-1])
		}
		if k := len(b.segQueue) - 1; k >= 0 {
			s := b.segQueue[k]
			b.segQueue = b.segQueue[:k]
			b.wanted[s] = false
			if err := b.split(s, 0); err != nil {
				return err
			}
			continue
		}
		t, ok := b.queue.pop()
		if !ok {
			return nil
		}
		if _, err := b.improve(t, true); err != nil {
			return err
		}
	}
}

// inspect queues a triangle that is not fine, and its segments that it
// encroaches on.
func (b *builder) inspect(t int32) {
	tr := &b.t[t]
	if tr.face < 0 {
		return
	}
	for i, s := range tr.s {
		if s >= 0 && b.encroaches(b.p[tr.v[i]], tr.v[(i+1)%3], tr.v[(i+2)%3]) && !b.inWedge(t) {
			b.wantSplit(s)
		}
	}
	s := b.measure(t)
	switch {
	case s.radius2() > sq(radiusSlack*b.sizeIn(t)):
		b.queue.push(t, 0)
	case s.sin2() < sq(math.Sin(b.o.MinAngle)):
		b.queue.push(t, 1+int(16*math.Sqrt(s.sin2())/math.Sin(b.o.MinAngle)))
	case b.bridge(t) >= 0 || b.overbent(t) >= 0:
		b.queue.push(t, 20)
	}
}

func sq(x float64) float64 { return x * x }

// encroaches reports whether p is inside the circle on the chord from a to c.
func (b *builder) encroaches(p geom.Point, a, c int32) bool {
	return b.p[a].Sub(p).Dot(b.p[c].Sub(p)) < 0
}

// bridge returns the side of t that is no segment and joins two curves that do
// not meet, and is long enough to be halved; or −1.
func (b *builder) bridge(t int32) int {
	if b.o.Across < 2 {
		return -1
	}
	tr := &b.t[t]
	if b.single(tr) {
		return -1
	}
	for i := range 3 {
		p, q := tr.v[(i+1)%3], tr.v[(i+2)%3]
		if b.on[p] == free || b.on[q] == free || tr.s[i] >= 0 {
			continue
		}
		if b.p[p].Dist(b.p[q]) > 2*b.o.MinSize && !b.joined(p, q) {
			return i
		}
	}
	return -1
}

// overbent returns the segment of t whose arc bends the map of t too far and can
// be halved, or none.
func (b *builder) overbent(t int32) int32 {
	tr := &b.t[t]
	arcs, worst, bend := 0, none, 0.0
	for _, s := range tr.s {
		if s < 0 || !b.curves[b.segs[s].curve].arc {
			continue
		}
		arcs++
		seg := &b.segs[s]
		l := b.p[seg.a].Dist(b.p[seg.b])
		if x := l / b.curves[seg.curve].R; x > bend && !seg.stuck && l/2 >= b.floorAt(seg.a, seg.b) {
			worst, bend = s, x
		}
	}
	if arcs == 0 || worst < 0 || b.atCusp(t) || b.inWedge(t) {
		return none
	}
	if m, cross := b.leastDeterminant(t); m >= leastMap*cross {
		return none
	}
	return worst
}

// cuspAngle is the angle of the input below which a corner is a cusp: however
// short the sides, curved elements do not fit into it.
const cuspAngle = 5 * math.Pi / 180

// atCusp reports whether t fills a corner of the map that is a cusp.
func (b *builder) atCusp(t int32) bool {
	tr := &b.t[t]
	for i := range 3 {
		if b.on[tr.v[i]] == atCorner && tr.s[(i+1)%3] >= 0 && tr.s[(i+2)%3] >= 0 && b.corners.angle[tr.v[i]] < cuspAngle {
			return true
		}
	}
	return false
}

// leastDeterminant bounds the determinant of the map of t with its mid-sides on
// their arcs from below, and gives twice its straight area.
func (b *builder) leastDeterminant(t int32) (least, cross float64) {
	tr := &b.t[t]
	var n [6]geom.Point
	for i := range 3 {
		n[i] = b.p[tr.v[i]]
		n[3+i] = b.sideMiddle(tr.s[i], tr.v[(i+1)%3], tr.v[(i+2)%3])
	}
	return leastDeterminant(&n), n[1].Sub(n[0]).Cross(n[2].Sub(n[0]))
}

// sideMiddle is the middle of the side from a to c, on its arc if it is on one.
func (b *builder) sideMiddle(s, a, c int32) geom.Point {
	if s >= 0 {
		return b.curves[b.segs[s].curve].middle(b.p[a], b.p[c])
	}
	return geom.Pt((b.p[a].X+b.p[c].X)/2, (b.p[a].Y+b.p[c].Y)/2)
}

// improve does one thing about a triangle that is not fine, or, without act,
// says what it would come to.
func (b *builder) improve(t int32, act bool) (outcome, error) {
	if b.t[t].face < 0 {
		return nothing, nil
	}
	res := nothing
	s := b.measure(t)
	sharp := s.sin2() < sq(math.Sin(b.o.MinAngle))
	large := s.radius2() > sq(radiusSlack*b.sizeIn(t))
	if large || sharp {
		if sharp && !large && b.bridgesSharpCorner(t, s.short) {
			res = sharpInput
		} else {
			c, ok := b.centre(t)
			if !ok {
				res = narrowInput
			} else if r, err := b.place(c, t, 0, act); r != narrowInput || err != nil {
				return r, err
			} else {
				res = narrowInput
			}
		}
	}
	if i := b.bridge(t); i >= 0 && act {
		p, q := b.p[b.t[t].v[(i+1)%3]], b.p[b.t[t].v[(i+2)%3]]
		r, err := b.place(p.Add(q).Mul(0.5), t, 0.2*p.Dist(q), act)
		if r == changed || err != nil {
			return r, err
		}
	}
	if s := b.overbent(t); s >= 0 && act {
		b.wantSplit(s)
		b.queue.push(t, 20)
		return changed, nil
	}
	return res, nil
}

// centre returns the circumcentre of t; false where rounding leaves none.
func (b *builder) centre(t int32) (geom.Point, bool) {
	v := &b.t[t].v
	a := b.p[v[0]]
	p, q := b.p[v[1]].Sub(a), b.p[v[2]].Sub(a)
	d := 2 * p.Cross(q)
	pp, qq := p.Dot(p), q.Dot(q)
	c := settle(a.Add(geom.Pt((q.Y*pp-p.Y*qq)/d, (p.X*qq-q.X*pp)/d)))
	return c, c.IsFinite() && math.Abs(c.X) < 4*geom.MaxCoord && math.Abs(c.Y) < 4*geom.MaxCoord
}

// bridgesSharpCorner reports whether the shortest side of t joins two curves
// that meet at a sharp corner, at about the same distance from it: halving it
// would make the same triangle again, smaller.
func (b *builder) bridgesSharpCorner(t int32, short int) bool {
	if b.inWedge(t) {
		return true
	}
	tr := &b.t[t]
	p, q := tr.v[(short+1)%3], tr.v[(short+2)%3]
	if b.atSharpCorner(t) {
		return true
	}
	if b.on[p] < 0 || b.on[q] < 0 || b.on[p] == b.on[q] {
		return false
	}
	for _, v := range b.curves[b.on[p]].v {
		c := &b.curves[b.on[q]]
		if v != c.v[0] && v != c.v[1] || b.corners.angle[v] >= bridgedCorner {
			continue
		}
		if x, y := b.p[v].Dist(b.p[p]), b.p[v].Dist(b.p[q]); math.Abs(x-y) < 0.05*max(x, y) {
			return true
		}
	}
	return false
}

// atSharpCorner reports whether t fills a corner of the map whose angle is below
// the least one asked for.
func (b *builder) atSharpCorner(t int32) bool {
	tr := &b.t[t]
	for i := range 3 {
		if b.on[tr.v[i]] == atCorner && tr.s[(i+1)%3] >= 0 && tr.s[(i+2)%3] >= 0 && b.corners.angle[tr.v[i]] < b.o.MinAngle {
			return true
		}
	}
	return false
}

// A wedge is the metal near a corner whose angle is below wedgeAngle, between two
// segments much longer than it is wide there. To refine there would halve the
// two sides in turn down to the floor, since no length fits a width that goes to
// zero; so triangles with all corners on the two sides are left as they are
// while they are near the corner (wedgeReach times their length) and flat (less
// than wedgeWidth times as high as long). Further out wedges are refined like any
// other metal.
const (
	wedgeAngle = 30 * math.Pi / 180
	wedgeReach = 4
	wedgeWidth = 0.5
)

// inWedge reports whether t is in a wedge.
func (b *builder) inWedge(t int32) bool {
	tr := &b.t[t]
	for i, s := range tr.s {
		r := tr.v[i]
		if s < 0 || b.on[r] == free {
			continue
		}
		p, q := b.p[tr.v[(i+1)%3]], b.p[tr.v[(i+2)%3]]
		l := p.Dist(q)
		if b.p[r].Sub(p).Cross(b.p[r].Sub(q)) >= wedgeWidth*l*l {
			continue
		}
		for _, v := range b.curves[b.segs[s].curve].v {
			if b.corners.angle[v] < wedgeAngle && b.onCurveAt(r, v, b.segs[s].curve) && b.p[v].Dist(b.p[r]) <= wedgeReach*l {
				return true
			}
		}
	}
	return false
}

// onCurveAt reports whether point r is on a curve other than c that ends at
// corner v, or is v.
func (b *builder) onCurveAt(r, v, c int32) bool {
	ends := func(i int32) bool { return i != c && (b.curves[i].v[0] == v || b.curves[i].v[1] == v) }
	if b.on[r] != atCorner {
		return ends(b.on[r])
	}
	for _, i := range b.corners.at(r) {
		if ends(i) {
			return true
		}
	}
	return false
}

// place puts a free point at c, near triangle t, or splits the segments in its
// way; nothing within the distance clear of other points. Without act it only
// says which.
func (b *builder) place(c geom.Point, t int32, clear float64, act bool) (outcome, error) {
	at, blocked, ok := b.locate(c, t, true)
	if !ok {
		if blocked < 0 || !b.mayHalve(blocked) {
			return narrowInput, nil
		}
		if act {
			b.wantSplit(blocked)
			b.queue.push(t, 0)
		}
		return changed, nil
	}
	b.conflict(c, none, at)
	queued, stuck := false, false
	for i := range b.rim {
		r := &b.rim[i]
		if b.p[r.from].Dist(c) < clear || b.p[r.from] == c {
			return narrowInput, nil
		}
		if r.seg < 0 || !b.encroaches(c, r.from, r.to) {
			continue
		}
		if !b.mayHalve(r.seg) {
			stuck = true
			continue
		}
		queued = true
		if act {
			b.wantSplit(r.seg)
		}
	}
	switch {
	case queued:
		if act {
			b.queue.push(t, 0)
		}
		return changed, nil
	case stuck:
		return narrowInput, nil
	case !act:
		return changed, nil
	}
	v := b.newPoint(c, free)
	if b.starShaped(b.p[v]) {
		b.fill(v)
	} else if !b.insertByFlips(v, at) {
		b.dropNew()
		return narrowInput, nil
	}
	if err := b.sizeFromFresh(v); err != nil {
		return nothing, err
	}
	for _, t := range b.fresh {
		b.inspect(t)
	}
	return changed, nil
}
