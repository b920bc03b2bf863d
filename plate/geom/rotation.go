package geom

import (
	"math"
	"slices"
)

// departure is how an edge leaves a vertex: its direction, its curvature to the
// left, and how far it runs.
type departure struct {
	dir         Point
	curv, reach float64
}

func departureOf(e *Edge) departure {
	ch := e.B.Sub(e.A)
	l2 := ch.Dot(ch)
	if e.Dir == 0 {
		return departure{ch, 0, math.Sqrt(l2)}
	}
	if l2 < shortArc*shortArc && math.Abs(e.Sweep()) < 1 {
		// Ends lie off the circle by up to the merge distance, so the tangent of a
		// very short arc says nothing; its chord does.
		return departure{ch, 0, math.Sqrt(l2)}
	}
	d := departure{e.A.Sub(e.C).Perp().Mul(float64(e.Dir)), float64(e.Dir) / e.R, e.R}
	if l2 < e.R*e.R && ch.Dot(d.dir) > 0 {
		d.reach = math.Sqrt(l2)
	}
	return d
}

// to returns the angle from d to f, counter-clockwise, in (-π, π]. When both
// leave in nearly the same direction it is taken where the shorter of them
// ends: there curves that touch in the vertex have parted.
func (d *departure) to(f *departure) float64 {
	a := math.Atan2(d.dir.Cross(f.dir), d.dir.Dot(f.dir))
	if math.Abs(a) < closeTurn {
		a += part(d.curv, f.curv, min(d.reach, f.reach))
	}
	return a
}

// part returns how far two edges of the given curvatures turn apart over the
// distance s.
func part(k, l, s float64) float64 {
	return math.Asin(max(-1, min(1, s*l/2))) - math.Asin(max(-1, min(1, s*k/2)))
}

// rotation orders the half-edges round every vertex of a plane graph and links
// each to the next one round the face on its left. Half-edge 2i runs along edge
// i, half-edge 2i+1 against it.
type rotation struct {
	from  []int32 // vertex that each half-edge leaves
	ang   []float64
	dep   []departure
	start []int32 // half-edges by vertex, in out
	out   []int32 // counter-clockwise round each vertex
	pos   []int32 // place of each half-edge in out
	next  []int32
	loop  []int32 // loop that each half-edge belongs to
	loops int
}

func (g *rotation) reset(halfEdges int) {
	grow := func(s []int32) []int32 { return slices.Grow(s[:0], halfEdges)[:halfEdges] }
	g.from, g.out, g.pos, g.next, g.loop = grow(g.from), grow(g.out), grow(g.pos), grow(g.next), grow(g.loop)
	g.ang = slices.Grow(g.ang[:0], halfEdges)[:halfEdges]
	g.dep = slices.Grow(g.dep[:0], halfEdges)[:halfEdges]
}

// setAngle gives half-edge h its place round the vertex that it leaves. The
// place grows with the angle, from -2 at the direction -x, and is exact enough
// for all but nearly equal directions, which cmp looks at again.
func (g *rotation) setAngle(h int32) {
	d := g.dep[h].dir
	a := d.Y / (math.Abs(d.X) + math.Abs(d.Y))
	switch {
	case d.X >= 0:
	case d.Y >= 0:
		a = 2 - a
	default:
		a = -2 - a
	}
	if a > 2-closeTurn/2 {
		a -= 4 // keep directions along -x together
	}
	g.ang[h] = a
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

// cmp orders half-edges counter-clockwise.
func (g *rotation) cmp(a, b int32) int {
	d := g.ang[a] - g.ang[b]
	if math.Abs(d) < closeTurn {
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
