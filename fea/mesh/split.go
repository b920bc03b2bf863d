package mesh

import (
	"fmt"
	"math"

	"platewright/plate/geom"
)

// wantSplit queues a segment.
func (b *builder) wantSplit(s int32) {
	for len(b.wanted) < len(b.segs) {
		b.wanted = append(b.wanted, false)
	}
	if !b.wanted[s] && !b.segs[s].stuck && b.mayHalve(s) {
		b.wanted[s] = true
		b.segQueue = append(b.segQueue, s)
	}
}

// checkSegment queues a segment that is longer than the size there.
func (b *builder) checkSegment(s int32) {
	seg := &b.segs[s]
	if b.p[seg.a].Dist(b.p[seg.b]) > splitSlack*min(b.h[seg.a], b.h[seg.b]) {
		b.wantSplit(s)
	}
}

// mayHalve reports whether the halves of a segment would be above the floor, or
// wanted for their size.
func (b *builder) mayHalve(s int32) bool {
	seg := &b.segs[s]
	if seg.stuck {
		return false
	}
	l := b.p[seg.a].Dist(b.p[seg.b])
	return l/2 >= b.floorAt(seg.a, seg.b) || l > splitSlack*min(b.h[seg.a], b.h[seg.b])
}

// splitPoint returns where to split a segment: half way, or, with a sharp corner
// at one end, at a power of two from it between a third and two thirds.
func (b *builder) splitPoint(s int32) geom.Point {
	seg := &b.segs[s]
	c := &b.curves[seg.curve]
	from, to := seg.a, seg.b
	sharp := func(v int32) bool { return b.on[v] == atCorner && b.corners.angle[v] < sharpCorner }
	if sharp(from) == sharp(to) {
		return c.middle(b.p[from], b.p[to])
	}
	if sharp(to) {
		from, to = to, from
	}
	l := b.p[from].Dist(b.p[to])
	d := math.Exp2(math.Floor(math.Log2(l * 2 / 3)))
	return c.along(b.p[from], b.p[to], d)
}

// split halves segment s and restores the triangulation and its faces. A segment
// whose arc runs into another is marked stuck, unless halving that one, to some
// depth, clears the way.
func (b *builder) split(s int32, depth int) error {
	if !b.mayHalve(s) {
		return nil
	}
	seg := b.segs[s]
	t, i := b.edge(seg.a, seg.b)
	o := b.t[t].n[i]
	v := b.newPoint(b.splitPoint(s), seg.curve)
	p := b.p[v]
	if p == b.p[seg.a] || p == b.p[seg.b] {
		b.segs[s].stuck = true
		b.dropNew()
		return nil
	}
	b.touched = b.touched[:0]
	b.conflict(p, s, t, o)
	if b.starShaped(p) {
		b.fill(v)
		b.touched = append(b.touched, b.fresh...)
		b.enter(v, s)
	} else if other, err := b.bend(v, s, t, o); err != nil {
		return err
	} else if other != v {
		b.dropNew()
		if other >= 0 && depth < 8 && b.curves[b.segs[other].curve].arc && b.p[b.segs[other].a].Dist(b.p[b.segs[other].b]) > leastSplit {
			n := len(b.segs)
			if err := b.split(other, depth+1); err != nil {
				return err
			}
			if len(b.segs) > n {
				return b.split(s, depth+1)
			}
		}
		b.segs[s].stuck = true
		return nil
	}
	return b.settleSplit(v, s)
}

// enter records that point v splits segment s, whose halves are sides.
func (b *builder) enter(v, s int32) {
	seg := b.segs[s]
	n := int32(len(b.segs))
	b.segs = append(b.segs, segment{a: v, b: seg.b, curve: seg.curve})
	b.segs[s].b = v
	b.markSide(seg.a, v, s)
	b.markSide(v, seg.b, n)
}

// bend splits s at v where the arc leads out of the two triangles at s: the
// segment is lifted, v put in freely, and the halves forced. It returns v, or
// the segment in the way (none for a point) after putting all back.
func (b *builder) bend(v, s, t, o int32) (int32, error) {
	seg := b.segs[s]
	p := b.p[v]
	b.markSide(seg.a, seg.b, none)
	for _, end := range [2]int32{seg.a, seg.b} {
		if other, _, ok := b.walkTo(end, p, none); !ok {
			b.markSide(seg.a, seg.b, s)
			return other, nil
		}
	}
	at, other, ok := b.locate(p, t, true)
	if !ok {
		at, _, ok = b.locate(p, o, true)
	}
	if !ok || !b.insertFree(v, at) {
		b.markSide(seg.a, seg.b, s)
		return other, nil
	}
	b.touched = append(b.touched, b.fresh...)
	_, _, ok1 := b.force(seg.a, v)
	_, _, ok2 := b.force(v, seg.b)
	if !ok1 || !ok2 {
		return none, fmt.Errorf("mesh: edge %d of the map cannot be followed near %.6f,%.6f, though its way was clear: this is a fault of the mesher; report it with the drawing", b.curves[seg.curve].id, p.X, p.Y)
	}
	b.enter(v, s)
	b.relabel()
	return v, nil
}

// insertFree puts v into triangle t, or fails without a change.
func (b *builder) insertFree(v, t int32) bool {
	p := b.p[v]
	for _, c := range b.t[t].v {
		if b.p[c] == p {
			return false
		}
	}
	b.conflict(p, none, t)
	if b.starShaped(p) {
		b.fill(v)
		return true
	}
	return b.insertByFlips(v, t)
}

// settleSplit gives the new point its size and floor and looks at what changed.
func (b *builder) settleSplit(v, s int32) error {
	h, err := b.sizeAt(b.p[v])
	if err != nil {
		return err
	}
	f := b.o.MinSize
	for _, w := range [2]int32{b.segs[s].a, b.segs[len(b.segs)-1].b} {
		d := b.p[v].Dist(b.p[w])
		h = min(h, b.h[w]+b.o.Grading*d)
		f = min(f, b.floor[w]+floorGrowth*d)
	}
	b.h[v], b.floor[v] = h, f
	b.checkSegment(s)
	b.checkSegment(int32(len(b.segs) - 1))
	for _, t := range b.touched {
		b.inspect(t)
	}
	return nil
}
