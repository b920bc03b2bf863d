package geom

import (
	"container/heap"
	"math"
	"slices"
)

// The largest inscribed circle is found by branch and bound over squares. The
// distance to the boundary grows by at most the distance moved, which bounds it
// over a square; where two edges face each other that bound is poor, since it
// lets the centre move away from both. So for each square the two nearest edges
// are bounded together: near its middle the distance to an edge is at most its
// linear part plus a small square term, and the lesser of two is at most their
// mean, whose linear part almost vanishes when the edges face each other.

// maxSquares bounds the work. A pocket takes some dozens of squares, a plate with
// two hundred holes some thousands; only ridges of one height that are neither
// straight nor between concentric arcs, which lines and arcs do not make, would
// take more. Beyond it the best circle so far is returned: it is inside the
// region, but may not be the largest.
const maxSquares = 200_000

type square struct {
	c     Point
	h     float64 // half side
	bound float64
	edges []int32 // edges that can be nearest somewhere in the square
}

type squareHeap []square

func (q squareHeap) Len() int           { return len(q) }
func (q squareHeap) Less(i, j int) bool { return q[i].bound > q[j].bound }
func (q squareHeap) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *squareHeap) Push(x any)        { *q = append(*q, x.(square)) }
func (q *squareHeap) Pop() any {
	o := *q
	x := o[len(o)-1]
	*q = o[:len(o)-1]
	return x
}

type inscriber struct {
	r     Region
	edges []Edge
	best  Point
	rad   float64
	d     []float64
	pool  []int32 // the edges of all squares, one after the other

	squares int // measured so far
}

// InscribedCircle returns the largest circle inside the region, to 1e-6 mm of
// its radius. The centre is one of the best when there are several. An empty
// region gives zeros. The work is bounded; see maxSquares.
func InscribedCircle(r Region) (centre Point, radius float64) {
	s := inscribe(r)
	return s.best, s.rad
}

func inscribe(r Region) *inscriber {
	s := &inscriber{r: r}
	b := r.Box()
	if b.Empty() || !b.Min.IsFinite() || !b.Max.IsFinite() || b.Width() == 0 && b.Height() == 0 {
		return s
	}
	for _, c := range r.Contours() {
		s.edges = append(s.edges, c...)
	}
	all := make([]int32, len(s.edges))
	for i := range all {
		all[i] = int32(i)
	}
	s.best = r.Outer[0].A
	var q squareHeap
	h := max(min(b.Width(), b.Height())/2, max(b.Width(), b.Height())/64)
	for x := b.Min.X + h; x-h < b.Max.X; x += 2 * h {
		for y := b.Min.Y + h; y-h < b.Max.Y; y += 2 * h {
			s.push(&q, Point{x, y}, h, all)
		}
	}
	for len(q) > 0 && s.squares < maxSquares {
		t := heap.Pop(&q).(square)
		if t.bound <= s.rad+inscribedTol {
			break
		}
		k := t.h / 2
		for _, d := range [4]Point{{-k, -k}, {k, -k}, {-k, k}, {k, k}} {
			s.push(&q, t.c.Add(d), k, t.edges)
		}
	}
	return s
}

// push measures a square, improves the best circle from it, and queues it if it
// can hold a better one.
func (s *inscriber) push(q *squareHeap, c Point, h float64, edges []int32) {
	s.squares++
	reach := h * math.Sqrt2
	s.d = slices.Grow(s.d[:0], len(edges))[:len(edges)]
	least := math.Inf(1)
	for k, e := range edges {
		s.d[k] = s.edges[e].Dist(c)
		least = min(least, s.d[k])
	}
	if least+reach <= s.rad+inscribedTol {
		return // too little, whether inside or not
	}
	inside := s.r.Contains(c)
	bound := reach - least
	if inside {
		bound = least + reach
		s.take(c, least)
	}
	if bound <= s.rad+inscribedTol {
		return
	}
	from := len(s.pool)
	for k, e := range edges {
		if s.d[k] <= least+2*reach {
			s.pool = append(s.pool, e)
		}
	}
	near := s.pool[from:len(s.pool):len(s.pool)]
	if inside {
		bound = min(bound, s.pairBound(c, reach, near))
		if bound > s.rad+inscribedTol {
			s.climb(c, near)
		}
	}
	if bound > s.rad+inscribedTol {
		heap.Push(q, square{c, h, bound, near})
	}
}

// take makes c the best centre if its clearance is the largest yet.
func (s *inscriber) take(c Point, clearance float64) {
	if clearance > s.rad {
		s.best, s.rad = c, clearance
	}
}

// climb moves from p straight away from its nearest edge while that edge stays
// the nearest, which ends on the ridge between two edges. On the way the
// distance to the first edge grows as much as the step, and to any other shrinks
// by no more, so half their difference is never too far.
func (s *inscriber) climb(p Point, edges []int32) {
	first, d := int32(-1), math.Inf(1)
	for _, e := range edges {
		if x := s.edges[e].Dist(p); x < d {
			first, d = e, x
		}
	}
	if d < nearCurve {
		return
	}
	e := &s.edges[first]
	n := p.Sub(e.Closest(p)).Mul(1 / d)
	step, most := 0.0, math.Inf(1)
	if v := e.C.Sub(p); e.Dir != 0 && v.Dot(n) > 0 {
		most = v.Len() // beyond its centre the edge comes nearer again
	}
	for range 20 {
		o := p.Add(n.Mul(step))
		x := math.Inf(1)
		for _, i := range edges {
			if i != first {
				x = min(x, s.edges[i].Dist(o))
			}
		}
		g := (x - d - step) / 2
		if step+g >= most {
			step = most
			break
		}
		if step += g; g < inscribedTol/16 {
			break
		}
	}
	o := p.Add(n.Mul(step))
	if d+step <= s.rad || math.IsInf(step, 0) || !s.r.Contains(o) {
		return
	}
	x := math.Inf(1)
	for i := range s.edges {
		x = min(x, s.edges[i].Dist(o))
	}
	s.take(o, x)
}

// nearEdge is an edge as seen from the middle of a square: its distance, the
// direction away from it, and what its distance may gain on a linear growth
// within the square.
type nearEdge struct {
	*Edge
	d, q  float64
	g     Point
	whole bool // the nearest point stays clear of the ends all over the square
}

// pairBound bounds the clearance within reach of c by the nearest edges, two at
// a time.
func (s *inscriber) pairBound(c Point, reach float64, edges []int32) float64 {
	const most = 6
	var ps [most]nearEdge
	n := 0
	bound := math.Inf(1)
	for _, i := range edges {
		e := &s.edges[i]
		f := e.Closest(c)
		d := c.Dist(f)
		if d < reach {
			continue
		}
		p := nearEdge{Edge: e, d: d, g: c.Sub(f).Mul(1 / d), q: reach * reach / (2 * d)}
		if p.whole = e.clearOfEnds(c, f, reach); p.whole && (e.Dir == 0 || c.Dist(e.C) < e.R) {
			p.q = 0 // linear, or less: an arc seen from its centre's side
		}
		for k := 0; k < n; k++ {
			bound = min(bound, pairOf(&ps[k], &p, reach))
		}
		if n < most {
			ps[n] = p
			n++
		}
	}
	return bound
}

// pairOf bounds the lesser distance to two edges within reach.
func pairOf(o, p *nearEdge, reach float64) float64 {
	if o.whole && p.whole && o.Dir != 0 && p.Dir != 0 && dist2(o.C, p.C) < 1e-18 && o.g.Dot(p.g) < 0 {
		return math.Abs(o.R-p.R) / 2 // between concentric arcs
	}
	return (o.d+p.d)/2 + reach*o.g.Add(p.g).Len()/2 + max(o.q, p.q)
}

// clearOfEnds reports whether the nearest point of the edge, f for c, stays
// clear of the ends for all points within reach of c.
func (e *Edge) clearOfEnds(c, f Point, reach float64) bool {
	if e.Dir == 0 {
		return f.Dist(e.A) > reach && f.Dist(e.B) > reach
	}
	l := c.Dist(e.C)
	if l <= reach {
		return false
	}
	// It turns about the centre by at most asin(reach/l).
	turn := math.Asin(reach/l) * e.R
	return e.A == e.B || f.Dist(e.A) > turn && f.Dist(e.B) > turn
}
