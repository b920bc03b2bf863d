package geom

import (
	"fmt"
	"math"
)

// Corner is a corner of a path. Radius rounds it; zero leaves it sharp. Through,
// if set, makes the edge from this corner to the next the arc through that
// point; otherwise it is straight.
type Corner struct {
	P       Point
	Radius  float64
	Through *Point
}

// PathError says at which corner a path cannot be built, and why.
type PathError struct {
	Corner int
	Reason string
}

func (e *PathError) Error() string { return fmt.Sprintf("corner %d: %s", e.Corner+1, e.Reason) }

// fillet is the rounding of one corner, as found from the two edges there.
type fillet struct {
	on     bool
	arc    Edge    // from the edge before to the edge after
	before float64 // length left of the edge before, from its start
	after  float64 // length cut from the edge after
}

// Path returns the closed contour through the corners, in their order, with the
// corners rounded by arcs tangent to both edges, whether those are lines or
// arcs. It is turned to run counter-clockwise. The error is a *PathError.
//
// The centre of a rounding lies on both edges moved aside by the radius, so it
// is where two lines or circles cross; the crossing nearest to the corner whose
// two tangent points are on the edges is taken.
func Path(corners []Corner) (Contour, error) {
	edges, err := pathEdges(corners)
	if err != nil {
		return nil, err
	}
	n := len(edges)
	fs := make([]fillet, n)
	for i := range corners {
		if r := corners[i].Radius; r > 0 {
			if fs[i], err = roundCorner(i, &edges[(i+n-1)%n], &edges[i], r); err != nil {
				return nil, err
			}
		}
	}
	var c Contour
	for i := range edges {
		e, next := &edges[i], (i+1)%n
		l := e.Length()
		from, to := 0.0, l
		if fs[i].on {
			c = append(c, fs[i].arc)
			from = fs[i].after
		}
		if fs[next].on {
			to = fs[next].before
		}
		if to-from < -closeGap {
			worst := i
			if l-to > from {
				worst = next
			}
			return nil, &PathError{worst, fmt.Sprintf("radius %g mm does not fit: the roundings of corners %d and %d need %.6g mm of an edge of %.6g mm",
				corners[worst].Radius, i+1, next+1, from+l-to, l)}
		}
		g := *e
		if fs[i].on {
			g.A = fs[i].arc.B
		}
		if fs[next].on {
			g.B = fs[next].arc.A
		}
		if to-from >= closeGap {
			c = append(c, g)
		} else if fs[next].on && len(c) > 0 {
			// Two roundings meet: nothing is left of the edge.
			fs[next].arc.A = c[len(c)-1].B
			if next == 0 {
				c[0].A = fs[next].arc.A
			}
		}
	}
	if c.Area() < 0 {
		c = c.Reverse()
	}
	return c, nil
}

// pathEdges returns the edges between sharp corners.
func pathEdges(corners []Corner) ([]Edge, error) {
	n := len(corners)
	if n < 2 {
		return nil, &PathError{0, fmt.Sprintf("a path needs at least 2 corners, not %d", n)}
	}
	if n > MaxEdges {
		return nil, &PathError{MaxEdges, fmt.Sprintf("a path has at most %d corners, not %d", MaxEdges, n)}
	}
	for i, k := range corners {
		switch {
		case !k.P.IsFinite() || max(math.Abs(k.P.X), math.Abs(k.P.Y)) > MaxCoord:
			return nil, &PathError{i, fmt.Sprintf("the point (%g, %g) is not within %g mm of zero", k.P.X, k.P.Y, float64(MaxCoord))}
		case !(k.Radius >= 0) || k.Radius > MaxRadius:
			return nil, &PathError{i, fmt.Sprintf("radius %g mm is not between 0 and %g", k.Radius, float64(MaxRadius))}
		case k.Through != nil && !k.Through.IsFinite():
			return nil, &PathError{i, "the arc's point is not a number"}
		}
	}
	edges := make([]Edge, n)
	arcs := false
	for i, k := range corners {
		q := corners[(i+1)%n].P
		if k.P.Dist(q) < closeGap {
			return nil, &PathError{i, "it is at the same place as the next corner"}
		}
		edges[i] = Line(k.P, q)
		if k.Through == nil {
			continue
		}
		arcs = true
		a, err := ArcThrough(k.P, *k.Through, q)
		if err != nil {
			return nil, &PathError{i, fmt.Sprintf("no arc to the next corner through (%g, %g): the three points are on one line, coincide or need a radius above %g mm; remove the point for a straight edge",
				k.Through.X, k.Through.Y, float64(MaxRadius))}
		}
		edges[i] = a
	}
	if n == 2 && !arcs {
		return nil, &PathError{0, "two corners joined by straight lines enclose nothing"}
	}
	return edges, nil
}

// roundCorner finds the rounding of corner i between edges a and b.
func roundCorner(i int, a, b *Edge, r float64) (fillet, error) {
	t, u := a.TangentB(), b.TangentA()
	x := t.Cross(u)
	if math.Abs(x) < 1e-9 {
		if t.Dot(u) > 0 {
			return fillet{}, nil // smooth already
		}
		return fillet{}, &PathError{i, fmt.Sprintf("radius %g mm does not fit: the path turns straight back", r)}
	}
	side := 1.0
	if x < 0 {
		side = -1
	}
	best, near := fillet{}, math.Inf(1)
	for _, c := range filletCentres(a, b, side*r) {
		f, ok := filletAt(a, b, c, r, side)
		if d := c.Dist(a.B); ok && d < near {
			best, near = f, d
		}
	}
	if !best.on {
		return fillet{}, &PathError{i, fmt.Sprintf("radius %g mm does not fit: it is too large for the edges that meet there", r)}
	}
	return best, nil
}

// carrier is the line or circle of an edge, moved aside.
type carrier struct {
	p, d Point   // point and direction of a line
	r    float64 // radius of a circle about p
	arc  bool
}

// aside returns the carrier of e moved left by s; false if nothing is left of a
// circle.
func aside(e *Edge, s float64) (carrier, bool) {
	if e.Dir == 0 {
		t := e.TangentA()
		return carrier{p: e.A.Add(t.Perp().Mul(s)), d: t}, true
	}
	r := e.R - float64(e.Dir)*s
	return carrier{p: e.C, r: r, arc: true}, r > nearCurve
}

// filletCentres returns the points at distance s to the left of both carriers.
func filletCentres(a, b *Edge, s float64) []Point {
	p, okp := aside(a, s)
	q, okq := aside(b, s)
	if !okp || !okq {
		return nil
	}
	if p.arc && !q.arc {
		p, q = q, p
	}
	switch {
	case !q.arc:
		return []Point{p.p.Add(p.d.Mul(q.p.Sub(p.p).Cross(q.d) / p.d.Cross(q.d)))}
	case !p.arc:
		f := q.p.Sub(p.p)
		m, h := f.Dot(p.d), f.Cross(p.d)
		k := (q.r - h) * (q.r + h)
		if k < 0 {
			return nil
		}
		k = math.Sqrt(k)
		return []Point{p.p.Add(p.d.Mul(m - k)), p.p.Add(p.d.Mul(m + k))}
	}
	d := q.p.Sub(p.p)
	l := d.Len()
	if l < nearCurve {
		return nil
	}
	x := (l + (p.r-q.r)*((p.r+q.r)/l)) / 2
	k := (p.r - x) * (p.r + x)
	if k < 0 {
		return nil
	}
	k = math.Sqrt(k)
	v := d.Mul(1 / l)
	m := p.p.Add(v.Mul(x))
	return []Point{m.Add(v.Perp().Mul(k)), m.Sub(v.Perp().Mul(k))}
}

// filletAt returns the fillet about c if its tangent points are on the edges.
func filletAt(a, b *Edge, c Point, r, side float64) (fillet, bool) {
	pa, la, oka := footOn(a, c)
	pb, lb, okb := footOn(b, c)
	if !oka || !okb || pa.Dist(pb) < closeGap {
		return fillet{}, false
	}
	return fillet{
		on: true, before: la, after: lb,
		arc: Edge{A: pa, B: pb, C: c, R: r, Dir: int8(side)},
	}, true
}

// footOn returns the point of e's carrier nearest to c and its length from e.A;
// false when that is not on the edge.
func footOn(e *Edge, c Point) (Point, float64, bool) {
	l := e.Length()
	if e.Dir == 0 {
		t := e.TangentA()
		s := c.Sub(e.A).Dot(t)
		return e.A.Add(t.Mul(s)), s, s > -closeGap && s < l+closeGap
	}
	v := c.Sub(e.C).Unit()
	p := e.C.Add(v.Mul(e.R))
	d := e.A.Sub(e.C)
	g := math.Atan2(d.Cross(v), d.Dot(v)) * float64(e.Dir)
	if g < -closeGap/e.R {
		g += 2 * math.Pi
	}
	s := g * e.R
	return p, s, s < l+closeGap
}
