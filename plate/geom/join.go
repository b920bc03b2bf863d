package geom

import "math"

// chainEdge is an edge with the number of the line or circle that it was cut
// from.
type chainEdge struct {
	Edge
	src int32
}

// continues reports whether b carries on the line or circle of a, which ends
// where b starts, so that the two can be one edge.
//
// Lines continue each other when they have the same direction, or when they
// were cut from one line: a vertex may have moved such a cut by the merge
// distance. The second alone is not enough, since a very short piece can be
// part of two lines at once; the corner must also lie on the joined line.
func (a *chainEdge) continues(b *chainEdge) bool {
	if a.Dir != b.Dir {
		return false
	}
	if a.Dir != 0 {
		// Ends that nearly meet leave open whether the arc is nothing or all.
		if d := dist2(a.A, b.B); d > 0 && d < shortJoin*shortJoin {
			return false
		}
		return dist2(a.C, b.C) < nearCurve*nearCurve && math.Abs(a.R-b.R) < nearCurve
	}
	t, u := a.B.Sub(a.A), b.B.Sub(b.A)
	if t.Dot(u) <= 0 {
		return false
	}
	x := t.Cross(u)
	x *= x
	if a.src != b.src && x >= parallelSin*parallelSin*t.Dot(t)*u.Dot(u) {
		return false
	}
	// The height of the corner over the joined line is |t×u| / |t+u|.
	v := t.Add(u)
	return x < mergeDist*mergeDist*v.Dot(v)
}

// edgeSlab hands out contours cut from one piece of memory, for results that live
// and die together. The zero slab allocates each by itself.
type edgeSlab struct {
	free  []Edge
	chunk int // edges allocated at a time
}

// take returns an empty contour with room for n edges.
func (s *edgeSlab) take(n int) Contour {
	if n > len(s.free) {
		if n > s.chunk {
			return make(Contour, 0, n)
		}
		s.free = make([]Edge, s.chunk)
	}
	c := s.free[:0:n]
	s.free = s.free[n:]
	return c
}

// joinChain returns the contour of a closed chain of edges, with edges joined
// that continue each other. It starts at the corner of least x, then y; a full
// circle starts at its rightmost point.
func joinChain(es []chainEdge, slab *edgeSlab) Contour {
	n := len(es)
	start, breaks := -1, 0
	for i := range es {
		if n > 1 && es[(i+n-1)%n].continues(&es[i]) {
			continue
		}
		breaks++
		if start < 0 || cmpPoint(es[i].A, es[start].A) < 0 {
			start = i
		}
	}
	if e := es[0].Edge; start < 0 && e.Dir != 0 || n == 1 {
		a := Point{e.C.X + e.R, e.C.Y}
		return append(slab.take(1), Edge{A: a, B: a, C: e.C, R: e.R, Dir: e.Dir})
	}
	start = max(start, 0)
	c := slab.take(max(breaks, 1))
	var last chainEdge
	for k := range es {
		e := &es[(start+k)%n]
		if k > 0 && last.continues(e) {
			last.B = e.B
			c[len(c)-1].B = e.B
			continue
		}
		last = *e
		c = append(c, e.Edge)
	}
	for i := range c {
		c[i].seat(maxOff)
	}
	return c
}

// seat puts an arc back on its ends when they lie off its circle by more than the
// limit: the radius stays and the centre moves, across the chord. An arc too short for
// that becomes a line where a mean radius does not help.
func (e *Edge) seat(limit float64) {
	if e.Dir == 0 || e.A == e.B {
		return
	}
	da, db := e.A.Dist(e.C), e.B.Dist(e.C)
	off := max(math.Abs(da-e.R), math.Abs(db-e.R))
	if off <= limit {
		return
	}
	chord := e.B.Sub(e.A)
	h := chord.Len() / 2
	if h < 100*off || h < e.R/20 && math.Abs(e.Sweep()) > math.Pi {
		e.R = (da + db) / 2 // too short a chord to say where the centre is
		if math.Abs(da-db)/2 > limit && math.Abs(e.Sweep()) < 1 {
			*e = Line(e.A, e.B)
		}
		return
	}
	e.R = max(e.R, h)
	up := math.Copysign(math.Sqrt((e.R-h)*(e.R+h))/(2*h), chord.Cross(e.C.Sub(e.A)))
	e.C = e.A.lerp(e.B, 0.5).Add(chord.Perp().Mul(up))
}
