package geom

import (
	"cmp"
	"math"
	"slices"
)

// edgeOf is one edge of a list of contours.
type edgeOf struct {
	*Edge
	b    Box
	c, i int32 // contour and edge
}

// sweepEdges lists the edges of the contours and prepares a sweep that finds
// those nearer to each other than limit.
func sweepEdges(cs []Contour, limit float64) (*sweep, []edgeOf) {
	n := 0
	for _, c := range cs {
		n += len(c)
	}
	s := new(sweep)
	limit = min(limit, 4*maxKernelCoord) // further apart than any two edges
	es := make([]edgeOf, 0, n)
	for k, c := range cs {
		for i := range c {
			e := edgeOf{&c[i], c[i].Box(), int32(k), int32(i)}
			es = append(es, e)
			s.add(e.b.Min.X, e.b.Min.Y, e.b.Max.X, e.b.Max.Y, limit/2)
		}
	}
	return s, es
}

// Gaps returns, for every pair of contours nearer to each other than limit, the
// least distance between them: ligaments and wall thicknesses. The result is
// ordered by I, then J, with I < J; contours that meet give zero. Pairs of
// edges are found by a sweep along x, and skipped when their boxes are no
// nearer than what their contours have shown already. The time grows with the
// number of pairs of edges nearer than limit, at most the square of all edges.
func Gaps(cs []Contour, limit float64) []Gap {
	if !(limit > 0) {
		return nil
	}
	sw, es := sweepEdges(cs, limit)
	best := make(map[uint64]int)
	var found []nearest
	var keys []uint64
	// No bound: the edges are the caller's own, and there is no error to give.
	_ = sw.run(math.MaxInt, func(i, j int32) bool {
		p, q := &es[i], &es[j]
		if p.c == q.c {
			return true
		}
		g := p.b.gap(&q.b)
		if g >= limit {
			return true
		}
		if p.c > q.c {
			p, q = q, p
		}
		key := uint64(p.c)<<32 | uint64(q.c)
		at, ok := best[key]
		if !ok {
			at = len(found)
			best[key] = at
			found = append(found, nearest{d2: limit * limit})
			keys = append(keys, key)
		}
		if m := &found[at]; g*g < m.d2 {
			m.closer(p.Edge, q.Edge, g == 0)
		}
		return true
	})
	var out []Gap
	for k, m := range found {
		if m.d2 < limit*limit {
			out = append(out, Gap{math.Sqrt(m.d2), m.p, m.q, int(keys[k] >> 32), int(uint32(keys[k]))})
		}
	}
	slices.SortFunc(out, func(a, b Gap) int { return cmp.Or(cmp.Compare(a.I, b.I), cmp.Compare(a.J, b.J)) })
	return out
}

// SelfGap returns the thinnest place of one contour, below limit, across its
// inside (a neck) or its outside (a notch): the least distance between two
// points that face each other. Points face each other when the distance grows
// or stays whichever way either of them moves along the contour, or when they
// lie on two stretches whose normals both run along the line between them
// within 5.7°. Edges that meet in a corner, and the two ends of a fillet, do
// not count. I and J of the result are the indices of the two edges.
func SelfGap(c Contour, limit float64) (Gap, bool) {
	if !(limit > 0) {
		return Gap{}, false
	}
	s := selfGap{c: c, best: nearest{d2: limit * limit}, i: -1}
	sw, es := sweepEdges([]Contour{c}, limit)
	_ = sw.run(math.MaxInt, func(i, j int32) bool {
		p, q := &es[i], &es[j]
		if g := p.b.gap(&q.b); g*g < s.best.d2 {
			s.pair(min(int(p.i), int(q.i)), max(int(p.i), int(q.i)))
		}
		return true
	})
	if s.i < 0 {
		return Gap{}, false
	}
	return Gap{math.Sqrt(s.best.d2), s.best.p, s.best.q, s.i, s.j}, true
}

type selfGap struct {
	c    Contour
	best nearest
	i, j int
}

func (s *selfGap) pair(i, j int) {
	a, b := &s.c[i], &s.c[j]
	try := func(p, q Point) {
		if d := dist2(p, q); d < s.best.d2 && d > mergeDist*mergeDist && (s.opposed(a, b, p, q) || s.least(i, j, p, q)) {
			s.best, s.i, s.j = nearest{d, p, q}, i, j
		}
	}
	edgePairs(a, b, try)
}

// tangentAt returns the direction of travel at a point of the edge.
func (e *Edge) tangentAt(p Point) Point {
	if e.Dir == 0 {
		return e.TangentA()
	}
	return p.Sub(e.C).Perp().Mul(float64(e.Dir)).Unit()
}

// opposed reports whether the edges run against each other at p and q, with the
// line between nearly normal to both.
func (s *selfGap) opposed(a, b *Edge, p, q Point) bool {
	ta, tb, u := a.tangentAt(p), b.tangentAt(q), q.Sub(p).Unit()
	return ta.Dot(tb) < 0 && math.Abs(ta.Dot(u)) <= opposeSin && math.Abs(tb.Dot(u)) <= opposeSin
}

// least reports whether the distance p–q does not shrink to first order when
// either point moves along the contour.
func (s *selfGap) least(i, j int, p, q Point) bool {
	u := q.Sub(p).Unit()
	return s.rests(i, p, u) && s.rests(j, q, u.Mul(-1))
}

// rests reports whether no way along the contour from p, on edge i, leads
// towards u.
func (s *selfGap) rests(i int, p, u Point) bool {
	const slack = 1e-4 // joints of combined contours are tangent to about this
	e := &s.c[i]
	n := len(s.c)
	ahead, back := e.tangentAt(p), e.tangentAt(p).Mul(-1)
	if dist2(p, e.B) < mergeDist*mergeDist {
		ahead = s.c[(i+1)%n].TangentA()
	}
	if dist2(p, e.A) < mergeDist*mergeDist {
		back = s.c[(i+n-1)%n].TangentB().Mul(-1)
	}
	return ahead.Dot(u) <= slack && back.Dot(u) <= slack
}
