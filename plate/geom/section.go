package geom

import (
	"math"
	"slices"
)

// crossing of a contour with a directed line: the distance along the line, and
// whether the contour goes to the left side there.
type lineCrossing struct {
	t float64
	s int
}

// Crossings returns the stretches of the straight line from a to b that lie
// inside the shape, as distances from a, sorted and disjoint. They are open
// intervals: touching a contour or running along it gives none, and a stretch
// shorter than the merge distance is dropped. A side common to two regions of
// the shape is inside: there is area on both sides. The line ends at a and b.
func (s Shape) Crossings(a, b Point) [][2]float64 {
	l := a.Dist(b)
	if !(l > 0) || math.IsInf(l, 0) {
		return nil
	}
	// Points on the line itself are taken once as left and once as right of it;
	// what is inside both times is inside.
	return intersectSpans(s.spans(a, b, l, true), s.spans(a, b, l, false))
}

// spans returns the inside stretches with points on the line taken to lie left
// of it, or right.
func (s Shape) spans(a, b Point, l float64, onIsLeft bool) [][2]float64 {
	u := b.Sub(a).Mul(1 / l)
	left := func(h float64) bool { return h > 0 || h == 0 && onIsLeft }
	var xs []lineCrossing
	add := func(c Contour) {
		for k := range c {
			xs = lineCrossings(&c[k], a, u, left, xs)
		}
	}
	for i := range s {
		add(s[i].Outer)
		for _, c := range s[i].Holes {
			add(c)
		}
	}
	slices.SortFunc(xs, func(p, q lineCrossing) int {
		switch {
		case p.t < q.t:
			return -1
		case p.t > q.t:
			return 1
		}
		return q.s - p.s
	})
	// With the inside on the left of the contour, a contour crossing to the right
	// side of the line enters: what follows along the line is on its left.
	var out [][2]float64
	w, from := 0, 0.0
	for _, x := range xs {
		was := w
		w -= x.s
		switch {
		case was <= 0 && w > 0:
			from = x.t
		case was > 0 && w <= 0:
			lo, hi := max(from, 0), min(x.t, l)
			if n := len(out); n > 0 && lo-out[n-1][1] < mergeDist {
				out[n-1][1] = max(out[n-1][1], hi)
			} else if hi-lo > mergeDist {
				out = append(out, [2]float64{lo, hi})
			}
		}
	}
	return out
}

// lineCrossings appends where the edge changes sides of the line through a
// along u. Arcs are cut where they are furthest from the line, so that each
// part changes sides at most once and its ends decide whether it does.
func lineCrossings(e *Edge, a, u Point, left func(float64) bool, xs []lineCrossing) []lineCrossing {
	h := func(p Point) float64 { return u.Cross(p.Sub(a)) }
	ha, hb := h(e.A), h(e.B)
	put := func(t float64, toLeft bool) {
		s := -1
		if toLeft {
			s = 1
		}
		xs = append(xs, lineCrossing{t, s})
	}
	if e.Dir == 0 {
		if left(ha) != left(hb) {
			p := e.A.lerp(e.B, ha/(ha-hb))
			put(p.Sub(a).Dot(u), left(hb))
		}
		return xs
	}
	hc := h(e.C)
	if math.Abs(hc) > e.R+arcEndSlack(e.R) {
		return xs // all on one side
	}
	tc := e.C.Sub(a).Dot(u)
	k := math.Sqrt(max(0, (e.R-hc)*(e.R+hc)))
	part := func(h0, h1 float64) {
		if left(h0) == left(h1) {
			return
		}
		// Rising parts of a counter-clockwise arc lie ahead of the centre.
		if left(h1) == (e.Dir > 0) {
			put(tc+k, left(h1))
		} else {
			put(tc-k, left(h1))
		}
	}
	n := u.Perp()
	type stop struct{ ang, h float64 }
	d := e.A.Sub(e.C)
	sweep := math.Abs(e.Sweep())
	var st [2]stop
	m := 0
	for _, s := range [2]float64{1, -1} {
		v := n.Mul(s)
		g := math.Atan2(d.Cross(v), d.Dot(v)) * float64(e.Dir)
		if g < 0 {
			g += 2 * math.Pi
		}
		if g < sweep {
			st[m] = stop{g, hc + s*e.R}
			m++
		}
	}
	if m == 2 && st[1].ang < st[0].ang {
		st[0], st[1] = st[1], st[0]
	}
	prev := ha
	for _, x := range st[:m] {
		part(prev, x.h)
		prev = x.h
	}
	part(prev, hb)
	return xs
}

func intersectSpans(p, q [][2]float64) [][2]float64 {
	var out [][2]float64
	for i, j := 0, 0; i < len(p) && j < len(q); {
		lo, hi := max(p[i][0], q[j][0]), min(p[i][1], q[j][1])
		if hi-lo > mergeDist {
			out = append(out, [2]float64{lo, hi})
		}
		if p[i][1] < q[j][1] {
			i++
		} else {
			j++
		}
	}
	return out
}
