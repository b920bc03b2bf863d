package mesh

import (
	"fmt"
	"slices"

	"platewright/plate/geom"
)

// force makes points a and c the ends of one side, by flipping what is between
// them (S. W. Sloan, "A fast algorithm for generating constrained Delaunay
// triangulations", Computers & Structures 47 (1993) 441–450), and makes what it
// flipped Delaunay again. Triangles that it changes are added to touched. It
// changes nothing and names what is in the way if a segment or a point is.
func (b *builder) force(a, c int32) (seg, point int32, ok bool) {
	if t, _ := b.edge(a, c); t >= 0 {
		return none, none, true
	}
	if seg, point, ok = b.walkTo(a, b.p[c], c); !ok {
		return seg, point, false
	}
	todo := slices.Clone(b.cross)
	var made [][2]int32
	// Every flip of a side that crosses the line takes a crossing away or leaves
	// it for later; Sloan's bound is quadratic in their number.
	for limit := 16 + 4*len(todo)*len(todo); len(todo) > 0; limit-- {
		if limit == 0 {
			return none, none, false
		}
		e := todo[0]
		todo = todo[1:]
		t, i := b.edge(e[0], e[1])
		if t < 0 {
			return none, none, false
		}
		if !b.convex(t, i) {
			todo = append(todo, e)
			continue
		}
		d := b.flipTouching(t, i)
		switch {
		case d[0] == a || d[0] == c || d[1] == a || d[1] == c:
			made = append(made, d)
		case orient(b.p[a], b.p[c], b.p[d[0]]) > 0 != (orient(b.p[a], b.p[c], b.p[d[1]]) > 0):
			todo = append(todo, d)
		default:
			made = append(made, d)
		}
	}
	b.repair(made, a, c)
	return none, none, true
}

// convex reports whether side i of t may be flipped.
func (b *builder) convex(t int32, i int) bool {
	tr := &b.t[t]
	o := &b.t[tr.n[i]]
	d := b.p[o.v[o.beside(t)]]
	v, p, q := b.p[tr.v[i]], b.p[tr.v[(i+1)%3]], b.p[tr.v[(i+2)%3]]
	return orient(v, p, d) > 0 && orient(v, d, q) > 0
}

// flipTouching flips side i of t and returns the new diagonal.
func (b *builder) flipTouching(t int32, i int) [2]int32 {
	o := b.t[t].n[i]
	b.flip(t, i)
	b.touched = append(b.touched, t, o)
	return [2]int32{b.t[t].v[0], b.t[t].v[2]}
}

// repair flips the given sides, other than the one from a to c, until they are
// Delaunay.
func (b *builder) repair(sides [][2]int32, a, c int32) {
	for range 16 + len(sides) {
		again := false
		for k, e := range sides {
			if e == [2]int32{a, c} || e == [2]int32{c, a} {
				continue
			}
			t, i := b.edge(e[0], e[1])
			if t < 0 || b.t[t].n[i] < 0 || b.t[t].s[i] >= 0 {
				continue
			}
			tr := &b.t[t]
			o := &b.t[tr.n[i]]
			if inCircle(b.p[tr.v[0]], b.p[tr.v[1]], b.p[tr.v[2]], b.p[o.v[o.beside(t)]]) > 0 && b.convex(t, i) {
				sides[k] = b.flipTouching(t, i)
				again = true
			}
		}
		if !again {
			return
		}
	}
}

// markSide writes segment s (or none) on the side from a to c, which must exist.
func (b *builder) markSide(a, c, s int32) {
	t, i := b.edge(a, c)
	b.t[t].s[i] = s
	if o := b.t[t].n[i]; o >= 0 {
		b.t[o].s[b.t[o].beside(t)] = s
	}
}

// constrain makes every segment a side. Where two are in each other's way their
// arcs are halved: chords cross only where arcs pass close to something.
func (b *builder) constrain() error {
	todo := make([]int32, len(b.segs))
	for i := range todo {
		todo[i] = int32(i)
	}
	for k := 0; k < len(todo); k++ {
		if k%stepsPerLook == 0 && b.ctx.Err() != nil {
			return b.ctx.Err()
		}
		s := todo[k]
		seg := b.segs[s]
		other, point, ok := b.force(seg.a, seg.b)
		if ok {
			b.markSide(seg.a, seg.b, s)
			continue
		}
		halved := false
		for _, x := range [2]int32{s, other} {
			if x >= 0 && b.halve(x) {
				todo = append(todo, x, int32(len(b.segs)-1))
				halved = true
			}
		}
		if !halved {
			return b.crossing(s, other, point)
		}
		if len(b.segs) > b.o.MaxTriangles {
			return b.tooFine(b.p[seg.a])
		}
	}
	b.touched = b.touched[:0]
	return nil
}

// halve splits a segment on an arc before faces are known, and takes it out of
// the triangulation if it is in.
func (b *builder) halve(s int32) bool {
	seg := b.segs[s]
	c := &b.curves[seg.curve]
	pa, pb := b.p[seg.a], b.p[seg.b]
	if !c.arc || pa.Dist(pb) < leastSplit/16 {
		return false
	}
	if t, i := b.edge(seg.a, seg.b); t >= 0 && b.t[t].s[i] == s {
		b.markSide(seg.a, seg.b, none)
	}
	v := b.newPoint(c.middle(pa, pb), seg.curve)
	if !b.insert(v, b.at[seg.a]) {
		b.dropNew()
		return false
	}
	b.segs = append(b.segs, segment{a: v, b: seg.b, curve: seg.curve})
	b.segs[s].b = v
	return true
}

// crossing says that the map is none: two of its edges cross.
func (b *builder) crossing(s, other, point int32) error {
	seg := b.segs[s]
	at := b.p[seg.a].Add(b.p[seg.b]).Mul(0.5)
	id := b.curves[seg.curve].id
	switch {
	case other >= 0:
		return fmt.Errorf("mesh: edges %d and %d of the map cross near %.6f,%.6f: build the map again", id, b.curves[b.segs[other].curve].id, at.X, at.Y)
	case point >= 0:
		at = b.p[point]
		return fmt.Errorf("mesh: edge %d of the map runs through the end of another at %.6f,%.6f: build the map again", id, at.X, at.Y)
	}
	return fmt.Errorf("mesh: edge %d of the map cannot be followed near %.6f,%.6f: build the map again", id, at.X, at.Y)
}

// faceBeside returns the face that segment s has on the left of the direction
// from point p.
func (b *builder) faceBeside(s, p int32) int32 {
	c := &b.curves[b.segs[s].curve]
	if b.segs[s].a == p {
		return c.left
	}
	return c.right
}

// label gives every triangle its face, from the segments inwards. Segments that
// contradict each other are a fault of the map.
func (b *builder) label() error {
	var queue []int32
	for s := range b.segs {
		seg := &b.segs[s]
		for _, e := range [2][2]int32{{seg.a, seg.b}, {seg.b, seg.a}} {
			t, _ := b.edge(e[0], e[1])
			f := b.faceBeside(int32(s), e[0])
			switch b.t[t].face {
			case f:
			case unknown:
				b.t[t].face = f
				queue = append(queue, t)
			default:
				return b.contradiction(t, f)
			}
		}
	}
	for len(queue) > 0 {
		t := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for i, o := range b.t[t].n {
			if o < 0 || b.t[t].s[i] >= 0 {
				continue
			}
			switch b.t[o].face {
			case b.t[t].face:
			case unknown:
				b.t[o].face = b.t[t].face
				queue = append(queue, o)
			default:
				return b.contradiction(o, b.t[t].face)
			}
		}
	}
	return nil
}

func (b *builder) contradiction(t, face int32) error {
	p := b.middleOf(t)
	return fmt.Errorf("mesh: near %.6f,%.6f the map says both face %d and face %d (-1 for no metal): build the map again", p.X, p.Y, b.t[t].face, face)
}

func (b *builder) middleOf(t int32) geom.Point {
	v := &b.t[t].v
	return b.p[v[0]].Add(b.p[v[1]]).Add(b.p[v[2]]).Mul(1.0 / 3)
}

// relabel gives the triangles of touched their faces again, from the segments
// and the untouched triangles at their border.
func (b *builder) relabel() {
	for _, t := range b.touched {
		b.t[t].face = unknown
	}
	for again := true; again; {
		again = false
		for _, t := range b.touched {
			tr := &b.t[t]
			for i := 0; i < 3 && tr.face == unknown; i++ {
				if tr.s[i] >= 0 {
					tr.face = b.faceBeside(tr.s[i], tr.v[(i+1)%3])
				} else if o := tr.n[i]; o >= 0 {
					tr.face = b.t[o].face
				}
				again = again || tr.face != unknown
			}
		}
	}
}
