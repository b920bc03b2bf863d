package geom

import (
	"cmp"
	"math"
	"slices"
)

// departure is the first stretch of an edge that leaves a vertex, at most a
// quarter turn of it, with its direction there.
type departure struct {
	Edge
	dir Point
	l2  float64 // squared length of the chord
}

// to returns the angle from d to f, counter-clockwise, in (-π, π]. When both
// leave in nearly the same direction, its sign is the side on which they have
// parted where the shorter of them ends. There they are further apart than the
// merge distance, or the longer one would have been split; nearer to the vertex
// rounding may have put them either way.
func (d *departure) to(f *departure) float64 {
	a := math.Atan2(d.dir.Cross(f.dir), d.dir.Dot(f.dir))
	l2 := min(d.l2, f.l2)
	limit := closeTurn
	if l2 < 1 {
		limit = min(closeTurn+8*mergeDist/math.Sqrt(l2), 0.5)
	}
	if math.Abs(a) >= limit {
		return a
	}
	var side float64
	switch {
	case dist2(d.B, f.B) < mergeDist*mergeDist:
		side = d.side(f.Mid())
	case f.l2 <= d.l2:
		side = d.side(f.B)
	default:
		side = -f.side(d.B)
	}
	if side == 0 {
		return a
	}
	return math.Copysign(max(math.Abs(a), 1e-15), side)
}

// side returns a number that is positive for points left of the line or circle
// of the edge.
func (e *Edge) side(p Point) float64 {
	if e.Dir == 0 {
		return e.B.Sub(e.A).Cross(p.Sub(e.A))
	}
	return (e.R - p.Dist(e.C)) * float64(e.Dir)
}

// rotation orders the half-edges round every vertex of a plane graph and links
// each to the next one round the face on its left. Half-edge 2i runs along edge
// i, half-edge 2i+1 against it. Fill from and either dep or rank, then call link;
// neither is needed at vertices of two half-edges.
type rotation struct {
	from  []int32   // vertex that each half-edge leaves
	turn  []float64 // angle from the first half-edge at its vertex, in [0, 2π)
	dep   []departure
	rank  []int32 // if not empty, the order round each vertex, instead of dep
	start []int32 // half-edges by vertex, in out
	out   []int32 // counter-clockwise round each vertex
	pos   []int32 // place of each half-edge in out
	next  []int32
	loop  []int32 // loop that each half-edge belongs to
	loops int
}

// reset makes room for the half-edges, and for their departures unless they come
// with ranks.
func (g *rotation) reset(halfEdges int, ranked bool) {
	grow := func(s []int32) []int32 { return slices.Grow(s[:0], halfEdges)[:halfEdges] }
	g.from, g.out, g.pos, g.next, g.loop = grow(g.from), grow(g.out), grow(g.pos), grow(g.next), grow(g.loop)
	g.rank = g.rank[:0]
	if ranked {
		g.rank = slices.Grow(g.rank, halfEdges)
		return
	}
	g.turn = slices.Grow(g.turn[:0], halfEdges)[:halfEdges]
	g.dep = slices.Grow(g.dep[:0], halfEdges)[:halfEdges]
}

// link orders the half-edges round nv vertices and finds the loops.
func (g *rotation) link(nv int) {
	n := len(g.from)
	g.start = slices.Grow(g.start[:0], nv+2)[:nv+2]
	clear(g.start)
	for _, v := range g.from {
		g.start[v+2]++
	}
	for i := 2; i < nv+2; i++ {
		g.start[i] += g.start[i-1]
	}
	for h, v := range g.from {
		g.out[g.start[v+1]] = int32(h)
		g.start[v+1]++
	}
	for v := 0; v < nv; v++ {
		o := g.out[g.start[v]:g.start[v+1]]
		switch {
		case len(o) < 3:
		case len(g.rank) > 0:
			slices.SortFunc(o, func(a, b int32) int { return cmp.Compare(g.rank[a], g.rank[b]) })
		default:
			g.sortRound(o)
		}
		for k, h := range o {
			g.pos[h] = g.start[v] + int32(k)
		}
	}
	for h := range n {
		v := g.from[h^1]
		k := g.pos[h^1] - 1
		if k < g.start[v] {
			k = g.start[v+1] - 1
		}
		g.next[h] = g.out[k]
		g.loop[h] = -1
	}
	g.loops = 0
	for h := range g.loop {
		if g.loop[h] >= 0 {
			continue
		}
		for c := int32(h); g.loop[c] < 0; c = g.next[c] {
			g.loop[c] = int32(g.loops)
		}
		g.loops++
	}
}

// sortRound sorts the half-edges that leave one vertex counter-clockwise.
func (g *rotation) sortRound(o []int32) {
	first := &g.dep[o[0]]
	g.turn[o[0]] = 0
	for _, h := range o[1:] {
		a := first.to(&g.dep[h])
		if math.Signbit(a) {
			a += 2 * math.Pi
		}
		g.turn[h] = a
	}
	slices.SortFunc(o[1:], g.order)
}

func (g *rotation) order(a, b int32) int {
	d := g.turn[a] - g.turn[b]
	if math.Abs(d) < 1 {
		d = g.dep[b].to(&g.dep[a])
	}
	switch {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return int(a - b)
}

// unionFind joins numbers into sets.
type unionFind []int32

func (u *unionFind) reset(n int) {
	*u = slices.Grow((*u)[:0], n)[:n]
	for i := range *u {
		(*u)[i] = int32(i)
	}
}

func (u unionFind) find(x int32) int32 {
	for u[x] != x {
		u[x] = u[u[x]]
		x = u[x]
	}
	return x
}

// join makes the lesser root the root of both.
func (u unionFind) join(a, b int32) {
	a, b = u.find(a), u.find(b)
	if a < b {
		u[b] = a
	} else {
		u[a] = b
	}
}
