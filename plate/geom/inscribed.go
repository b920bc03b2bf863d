package geom

import (
	"container/heap"
	"math"
)

// The largest inscribed circle is found by branch and bound over squares. The
// distance to the boundary grows by at most the distance moved, which bounds it
// over a square; where two edges face each other that bound is poor, since it
// lets the centre move away from both. So for each square the two nearest edges
// are bounded together: near its middle the distance to an edge is at most its
// linear part plus a small square term, and the lesser of two is at most their
// mean, whose linear part almost vanishes when the edges face each other.

// maxSquares bounds the work; a region of some hundred edges needs a few
// hundred squares.
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
}

// InscribedCircle returns the largest circle inside the region, to 1e-6 mm of
// its radius. The centre is one of the best when there are several. An empty
// region gives zeros.
func InscribedCircle(r Region) (centre Point, radius float64) {
	b := r.Box()
	if b.Empty() || !b.Min.IsFinite() || !b.Max.IsFinite() || b.Width() == 0 && b.Height() == 0 {
		return Point{}, 0
	}
	s := inscriber{r: r}
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
	for n := 0; len(q) > 0 && n < maxSquares; n++ {
		t := heap.Pop(&q).(square)
		if t.bound <= s.rad+inscribedTol {
			break
		}
		k := t.h / 2
		for _, d := range [4]Point{{-k, -k}, {k, -k}, {-k, k}, {k, k}} {
			s.push(&q, t.c.Add(d), k, t.edges)
		}
	}
	return s.best, s.rad
}

// push measures a square, improves the best circle from it, and queues it if it
// can hold a better one.
func (s *inscriber) push(q *squareHeap, c Point, h float64, edges []int32) {
	reach := h * math.Sqrt2
	d := make([]float64, len(edges))
	i1, i2 := -1, -1
	for k, e := range edges {
		d[k] = s.edges[e].Dist(c)
		switch {
		case i1 < 0 || d[k] < d[i1]:
			i1, i2 = k, i1
		case i2 < 0 || d[k] < d[i2]:
			i2 = k
		}
	}
	least := d[i1]
	inside := s.r.Contains(c)
	if inside && least > s.rad {
		s.best, s.rad = c, least
	}
	bound := reach - least
	if inside {
		bound = least + reach
	}
	if bound <= s.rad+inscribedTol {
		return
	}
	var near []int32
	for k, e := range edges {
		if d[k] <= least+2*reach {
			near = append(near, e)
		}
	}
	if inside {
		s.climb(c, near)
		bound = min(bound, s.pairBound(c, reach, near))
	}
	if bound > s.rad+inscribedTol {
		heap.Push(q, square{c, h, bound, near})
	}
}

// clearance is the distance from a point to the nearest of the edges.
func (s *inscriber) clearance(p Point, edges []int32) (float64, int32) {
	d, at := math.Inf(1), int32(-1)
	for _, e := range edges {
		if x := s.edges[e].Dist(p); x < d {
			d, at = x, e
		}
	}
	return d, at
}

// climb moves from p straight away from its nearest edge while that edge stays
// the nearest, which ends on the ridge between two edges.
func (s *inscriber) climb(p Point, edges []int32) {
	d, e := s.clearance(p, edges)
	n := p.Sub(s.edges[e].Closest(p))
	if d < nearCurve {
		return
	}
	n = n.Mul(1 / d)
	// Clearance along the ray is the least of functions; the longest step at which
	// the first edge is still nearest is found by halving.
	lo, hi := 0.0, 0.0
	for step := d; step < 64*d; step *= 2 {
		if x, _ := s.clearance(p.Add(n.Mul(step)), edges); x < d+step-1e-12*(d+step) {
			hi = step
			break
		}
		lo = step
	}
	for k := 0; k < 50 && hi-lo > inscribedTol/8; k++ {
		m := (lo + hi) / 2
		if x, _ := s.clearance(p.Add(n.Mul(m)), edges); x < d+m-1e-12*(d+m) {
			hi = m
		} else {
			lo = m
		}
	}
	q := p.Add(n.Mul(lo))
	if d+lo <= s.rad || !s.r.Contains(q) {
		return
	}
	if all, _ := s.clearanceAll(q); all > s.rad {
		s.best, s.rad = q, all
	}
}

func (s *inscriber) clearanceAll(p Point) (float64, int) {
	d, at := math.Inf(1), -1
	for i := range s.edges {
		if x := s.edges[i].Dist(p); x < d {
			d, at = x, i
		}
	}
	return d, at
}

// pairBound bounds the clearance within reach of c by the nearest edges, two at
// a time.
func (s *inscriber) pairBound(c Point, reach float64, edges []int32) float64 {
	const most = 6
	type part struct {
		d, q float64 // value and square term
		g    Point
	}
	var ps [most]part
	n := 0
	bound := math.Inf(1)
	for _, i := range edges {
		e := &s.edges[i]
		f := e.Closest(c)
		d := c.Dist(f)
		if d < reach {
			continue
		}
		p := part{d: d, g: c.Sub(f).Mul(1 / d), q: reach * reach / (2 * d)}
		if s.flat(e, c, f, reach) {
			p.q = 0
		}
		for k := 0; k < n; k++ {
			o := &ps[k]
			b := (o.d+p.d)/2 + reach*o.g.Add(p.g).Len()/2 + max(o.q, p.q)
			bound = min(bound, b)
		}
		if n < most {
			ps[n] = p
			n++
		}
	}
	return bound
}

// flat reports whether the distance to e is at most linear within reach of c: e
// is a line, or an arc seen from its centre's side, and its nearest point stays
// clear of its ends.
func (s *inscriber) flat(e *Edge, c, f Point, reach float64) bool {
	if e.Dir == 0 {
		return f.Dist(e.A) > reach && f.Dist(e.B) > reach
	}
	l := c.Dist(e.C)
	if l >= e.R || l <= reach {
		return false
	}
	// The foot turns about the centre by at most asin(reach/l).
	turn := math.Asin(reach/l) * e.R
	return e.A == e.B || f.Dist(e.A) > turn && f.Dist(e.B) > turn
}
