package mesh

import (
	"math"

	"platewright/plate/geom"
)

// The size wanted at a point is the longest side that a triangle there may have.
// It starts from the caller's Size and Field, the steps round arcs and the width
// of narrow metal, all at points on curves, and grows from them through the
// triangulation by Grading. A point added later takes the least of what its
// neighbours allow it.

// findSizes fills in the sizes and floors of all points on curves.
func (b *builder) findSizes() error {
	for v := int(firstPoint); v < len(b.p); v++ {
		h, err := b.sizeAt(b.p[v])
		if err != nil {
			return err
		}
		b.h[v] = h
	}
	for i := range b.segs {
		s := &b.segs[i]
		c := &b.curves[s.curve]
		l := b.p[s.a].Dist(b.p[s.b])
		for _, v := range [2]int32{s.a, s.b} {
			if c.arc {
				b.h[v] = min(b.h[v], 2*c.R*math.Sin(min(c.turn, math.Abs(c.Sweep()))/2))
			}
			b.floor[v] = min(b.floor[v], l/2)
		}
	}
	b.findWidths()
	b.grade()
	return nil
}

// alongNarrow is how many times longer than across sides along narrow metal may be
// where two elements across are asked for, which halving keeps whatever the size:
// two isosceles triangles with this base and half the width as height have angles
// above 45°.
const alongNarrow = 1.8

// findWidths lowers the size where metal is narrow: where a triangle stands with
// one side on a curve and the opposite corner on another that does not meet the
// first, its height is the width.
func (b *builder) findWidths() {
	if b.o.Across < 2 {
		return
	}
	share := 1 / float64(b.o.Across)
	if b.o.Across == 2 {
		share *= alongNarrow
	}
	lower := func(v int32, w float64) { b.h[v] = min(b.h[v], max(w*share, b.o.MinSize)) }
	for t := range b.t {
		tr := &b.t[t]
		if tr.face < 0 || b.single(tr) {
			continue
		}
		for i := range 3 {
			p, q, r := tr.v[(i+1)%3], tr.v[(i+2)%3], tr.v[i]
			switch {
			case tr.s[i] >= 0:
				if !b.spans(b.segs[tr.s[i]].curve, r) {
					continue
				}
				w := b.p[r].Sub(b.p[p]).Cross(b.p[r].Sub(b.p[q])) / b.p[p].Dist(b.p[q])
				for _, v := range tr.v {
					lower(v, w)
				}
			case tr.s[0] < 0 && tr.s[1] < 0 && tr.s[2] < 0 && !b.joined(p, q):
				w := b.p[p].Dist(b.p[q])
				lower(p, w)
				lower(q, w)
			}
		}
	}
}

// single reports whether one element is enough across the face of a triangle.
func (b *builder) single(tr *tri) bool { return b.o.Single != nil && b.o.Single[tr.face] }

// spans reports whether point v lies on a curve that neither is c nor meets it.
func (b *builder) spans(c, v int32) bool {
	meet := func(i int32) bool {
		x, y := &b.curves[i].v, &b.curves[c].v
		return i == c || x[0] == y[0] || x[0] == y[1] || x[1] == y[0] || x[1] == y[1]
	}
	switch on := b.on[v]; on {
	case free:
		return false
	case atCorner:
		for _, i := range b.corners.at(v) {
			if meet(i) {
				return false
			}
		}
		return true
	default:
		return !meet(on)
	}
}

// grade spreads small sizes along the sides of triangles with metal.
func (b *builder) grade() {
	queue := make([]int32, 0, len(b.p))
	in := make([]bool, len(b.p))
	for v := firstPoint; v < int32(len(b.p)); v++ {
		queue, in[v] = append(queue, v), true
	}
	// Bounded: a size is lowered only by another plus a length, so each point is
	// visited few times; the limit guards against rounding.
	for limit := 200 * len(queue); len(queue) > 0 && limit > 0; limit-- {
		v := queue[0]
		queue, in[v] = queue[1:], false
		b.ring(v, func(t int32, i int) bool {
			tr := &b.t[t]
			if tr.face < 0 {
				return true
			}
			for _, w := range [2]int32{tr.v[(i+1)%3], tr.v[(i+2)%3]} {
				if h := b.h[v] + b.o.Grading*b.p[v].Dist(b.p[w]); h < b.h[w]*(1-1e-9) {
					b.h[w] = h
					if !in[w] {
						queue, in[w] = append(queue, w), true
					}
				}
			}
			return true
		})
	}
}

// sizeFromFresh sets the size of a free point from Field and the new triangles
// round it.
func (b *builder) sizeFromFresh(v int32) error {
	h, err := b.sizeAt(b.p[v])
	if err != nil {
		return err
	}
	for _, t := range b.fresh {
		w := b.t[t].v[1]
		h = min(h, b.h[w]+b.o.Grading*b.p[v].Dist(b.p[w]))
	}
	b.h[v] = h
	return nil
}

// floorGrowth is how much the shortest half segment may grow per millimetre from
// a short edge of the map: a sliver that starts at one is meshed by a number of
// elements that grows with the logarithm of its length only.
const floorGrowth = 0.25

// floorAt is the half length that a segment must keep between a and c.
func (b *builder) floorAt(a, c int32) float64 {
	return min(b.o.MinSize, min(b.floor[a], b.floor[c])+floorGrowth*b.p[a].Dist(b.p[c])/2)
}

// boxOf returns the box round all points on curves.
func boxOf(s *geom.Subdivision, metal []bool) geom.Box {
	var box geom.Box
	for i := range s.Edges {
		if e := &s.Edges[i]; metal[e.Left] || metal[e.Right] {
			box = box.Union(e.Box())
		}
	}
	return box
}
