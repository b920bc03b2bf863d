package geom

import (
	"cmp"
	"math"
	"slices"
)

// cut splits the primitives at their vertices and merges coincident pieces.
func (r *arrangement) cut() {
	r.pc = r.pc[:0]
	r.deltas = r.deltas[:0]
	size := 64
	for size < 2*(len(r.prims)+len(r.splits)) {
		size *= 2
	}
	if cap(r.pslots) >= size {
		r.pslots = r.pslots[:size]
		clear(r.pslots)
	} else {
		r.pslots = make([]int32, size)
	}
	for i := range r.prims {
		s := r.tmp[:0]
		for k := r.heads[i]; k >= 0; k = r.splits[k].next {
			s = append(s, r.splits[k])
		}
		r.tmp = s
		if len(s) > 1 {
			slices.SortFunc(s, func(a, b split) int {
				return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.v, b.v))
			})
		}
		cur := r.ends[i][0]
		for k := range s {
			if s[k].v != cur {
				r.emit(&r.prims[i], cur, s[k].v)
				cur = s[k].v
			}
		}
		r.emit(&r.prims[i], cur, r.ends[i][1])
	}
	k := 0
	for i := range r.pc {
		if r.alive(&r.pc[i]) {
			if k != i {
				r.pc[k] = r.pc[i]
			}
			k++
		}
	}
	r.pc = r.pc[:k]
}

// alive reports whether any weight is left on the piece.
func (r *arrangement) alive(p *piece) bool {
	if !r.multi {
		return p.d != [2]int32{}
	}
	for k := p.deltas; k >= 0; k = r.deltas[k].next {
		if r.deltas[k].w != 0 {
			return true
		}
	}
	return false
}

// emit adds the stretch of p between two vertices, or its weight to a piece
// that coincides with it.
func (r *arrangement) emit(p *prim, a, b int32) {
	if a == b {
		return
	}
	sign, dir := int32(1), p.dir
	if a > b {
		a, b, sign, dir = b, a, -1, -dir
	}
	q := piece{A: r.vs[a], B: r.vs[b], C: p.C, R: p.R, dir: dir, a: a, b: b, src: p.src, deltas: -1}
	if dir != 0 && dist2(q.A, q.B) < shortArc*shortArc && q.A.Sub(q.C).Cross(q.B.Sub(q.C))*float64(dir) <= 0 {
		q.dir = 0 // its ends have changed order round the centre, or lie on one ray from it
	}
	mid := q.mid()
	m := uint32(len(r.pslots) - 1)
	h := hashCellOf(int64(a), int64(b)) & m
	for r.pslots[h] != 0 {
		f := &r.pc[r.pslots[h]-1]
		if f.a == a && f.b == b && dist2(f.mid(), mid) < 4*r.merge*r.merge && (r.merge > mergeDist || !bulgeApart(f, &q)) {
			r.weigh(f, p, sign)
			return
		}
		h = (h + 1) & m
	}
	r.weigh(&q, p, sign)
	r.pc = append(r.pc, q)
	r.pslots[h] = int32(len(r.pc))
}

// bulgeApart reports whether two pieces with common ends are a lens: a circle and
// what touches it, split at an end that happens to lie near the touching point.
// Merged, the two would be joined along the whole lens. Attempts with wider
// tolerances do without: there the ends lie further off than a lens is deep.
func bulgeApart(p, q *piece) bool {
	k := p.curvature() - q.curvature()
	return math.Abs(k)*dist2(p.A, p.B)/8 > lensDepth
}

// curvature is signed, positive where the piece turns left from a to b.
func (p *piece) curvature() float64 {
	if p.dir == 0 {
		return 0
	}
	return float64(p.dir) / p.R
}

// weigh adds the weight of p, or its opposite, to the piece.
func (r *arrangement) weigh(f *piece, p *prim, sign int32) {
	if !r.multi {
		f.d[0] += sign * p.d[0]
		f.d[1] += sign * p.d[1]
		return
	}
next:
	for g := p.deltas; g >= 0; g = r.given[g].next {
		layer, w := r.given[g].layer, sign*r.given[g].w
		for k := f.deltas; k >= 0; k = r.deltas[k].next {
			if r.deltas[k].layer == layer {
				r.deltas[k].w += w
				continue next
			}
		}
		r.deltas = append(r.deltas, delta{layer, w, f.deltas})
		f.deltas = int32(len(r.deltas) - 1)
	}
}

// again makes the pieces the input of another round.
func (r *arrangement) again() {
	r.prims = r.prims[:0]
	r.given, r.deltas = r.deltas, r.given[:0]
	for i := range r.pc {
		p := &r.pc[i]
		r.prims = append(r.prims, prim{
			A: p.A, B: p.B, C: p.C, R: p.R, dir: p.dir, src: p.src, d: p.d, deltas: p.deltas,
		})
	}
}

// mid returns the middle of the piece; its arc is at most a quarter turn.
func (p *piece) mid() Point {
	m := Point{(p.A.X + p.B.X) / 2, (p.A.Y + p.B.Y) / 2}
	if p.dir == 0 {
		return m
	}
	d := m.Sub(p.C)
	l := d.Len()
	if l == 0 {
		return m
	}
	return p.C.Add(d.Mul(p.R / l))
}

// edge returns the piece as an Edge, run from a to b or reversed.
func (p *piece) edge(reversed bool) Edge {
	e := Edge{A: p.A, B: p.B, C: p.C, R: p.R, Dir: p.dir}
	if reversed {
		e.A, e.B, e.Dir = e.B, e.A, -e.Dir
	}
	if e.Dir == 0 {
		e.C, e.R = Point{}, 0
	}
	return e
}
