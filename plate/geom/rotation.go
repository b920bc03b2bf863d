package geom

import (
	"math"
	"slices"
)

// rotation orders the half-edges round every vertex of a plane graph and links
// each to the next one round the face on its left. Half-edge 2i runs along edge
// i, half-edge 2i+1 against it.
type rotation struct {
	from      []int32   // vertex that each half-edge leaves
	ang, curv []float64 // its direction there, and its curvature to the left
	start     []int32   // half-edges by vertex, in out
	out       []int32   // counter-clockwise round each vertex
	pos       []int32   // place of each half-edge in out
	next      []int32
	loop      []int32 // loop that each half-edge belongs to
	loops     int
}

func (g *rotation) reset(halfEdges int) {
	grow := func(s []int32) []int32 { return slices.Grow(s[:0], halfEdges)[:halfEdges] }
	g.from, g.out, g.pos, g.next, g.loop = grow(g.from), grow(g.out), grow(g.pos), grow(g.next), grow(g.loop)
	g.ang = slices.Grow(g.ang[:0], halfEdges)[:halfEdges]
	g.curv = slices.Grow(g.curv[:0], halfEdges)[:halfEdges]
}

// set gives half-edge h its vertex and how it leaves it.
func (g *rotation) set(h, from int32, dir Point, curv float64) {
	a := math.Atan2(dir.Y, dir.X)
	if a > math.Pi-tangentSin {
		a -= 2 * math.Pi // keep directions along -x together
	}
	g.from[h], g.ang[h], g.curv[h] = from, a, curv
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
		if len(o) > 1 {
			slices.SortFunc(o, g.cmp)
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

// cmp orders half-edges counter-clockwise; those that leave in one direction by
// curvature.
func (g *rotation) cmp(a, b int32) int {
	d := g.ang[a] - g.ang[b]
	if math.Abs(d) <= tangentSin {
		if c := g.curv[a] - g.curv[b]; c != 0 {
			d = c
		}
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
