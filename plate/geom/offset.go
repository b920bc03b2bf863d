package geom

import (
	"fmt"
	"math"
)

// An offset by d is the union of the shape with the strip that a disc of radius
// d sweeps along its boundary. Each contour gives one raw loop: its edges
// shifted to the outer side, joined at corners that open outwards by an arc
// about the corner, and at corners that open inwards by links through the
// corner itself. Every part of the strip counts positive, so the points with a
// winding number above zero are the result, however the raw loop crosses
// itself.

// Offset returns the shape grown by d with round corners, or shrunk when d is
// negative. A neck exactly 2·|d| wide is gone after shrinking: it would have no
// area.
func (e *Engine) Offset(s Shape, d float64) (Shape, error) {
	const op = "offset"
	if err := checkOffset(op, d); err != nil {
		return nil, err
	}
	if err := checkInput(op, s); err != nil {
		return nil, err
	}
	return e.offset(op, s, d)
}

func checkOffset(op string, d float64) error {
	if math.IsNaN(d) || math.Abs(d) > MaxRadius {
		return fmt.Errorf("geom: %s: the distance %g mm is not between -%g and %g", op, d, MaxRadius, MaxRadius)
	}
	return nil
}

func (e *Engine) offset(op string, s Shape, d float64) (Shape, error) {
	if d == 0 {
		return e.run(op, ruleUnion, func(r *arrangement, t Affine, turned bool) { r.addShape(s, t, turned, 0) })
	}
	k := ruleUnion
	if d < 0 {
		k = ruleInset
	}
	return e.run(op, k, func(r *arrangement, t Affine, turned bool) {
		for i := range s {
			r.addOffset(s[i].Outer, t, turned, d)
			for _, h := range s[i].Holes {
				r.addOffset(h, t, turned, d)
			}
		}
	})
}

// Offsets returns one offset for every distance, in the order of d: the passes
// of a cutter that clears a pocket ring by ring.
func (e *Engine) Offsets(s Shape, d []float64) ([]Shape, error) {
	const op = "offsets"
	for _, x := range d {
		if err := checkOffset(op, x); err != nil {
			return nil, err
		}
	}
	if err := checkInput(op, s); err != nil {
		return nil, err
	}
	out := make([]Shape, len(d))
	for i, x := range d {
		var err error
		if out[i], err = e.offset(op, s, x); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Open returns what a round cutter of radius r that stays inside s can reach:
// s shrunk by r and grown again. Inside corners come out with exactly r. A slot
// exactly 2r wide is not reached, since the cutter's path in it has no area;
// ask for a radius less by 2e-6 mm where it should be.
func (e *Engine) Open(s Shape, r float64) (Shape, error) {
	const op = "open"
	if math.IsNaN(r) || r < 0 || r > MaxRadius {
		return nil, fmt.Errorf("geom: %s: the radius %g mm is not between 0 and %g", op, r, MaxRadius)
	}
	if err := checkInput(op, s); err != nil {
		return nil, err
	}
	in, err := e.offset(op, s, -r)
	if err != nil || r == 0 || len(in) == 0 {
		return in, err
	}
	return e.offset(op, in, r)
}

// addOffset feeds the raw loop of one contour. Shrinking grows the complement:
// the reversed contour, whose inside then winds below zero.
func (r *arrangement) addOffset(c Contour, t Affine, turned bool, d float64) {
	c = withoutSpecks(c)
	if turned {
		c = c.Transform(t)
	}
	n := len(c)
	if d > 0 {
		for i := range c {
			r.addShifted(&c[i], &c[(i+1)%n], d)
		}
		return
	}
	for i := n - 1; i >= 0; i-- {
		a, b := c[i].Reverse(), c[(i+n-1)%n].Reverse()
		r.addShifted(&a, &b, -d)
	}
}

// withoutSpecks joins the neighbours of edges whose direction merging may have turned:
// those shorter than shortJoin, by any angle, and those between two lines that lie
// within shortJoin of both, by less. Shifted, they would swing out from their
// neighbours by as much. Ends of lines move, by half of shortJoin, rather than those
// of arcs.
func withoutSpecks(c Contour) Contour {
	n := len(c)
	speck := func(i int) bool {
		e := &c[i]
		l := e.Length()
		if l < shortJoin {
			return true
		}
		p, q := &c[(i+n-1)%n], &c[(i+1)%n]
		return l < shortSpeck && e.Dir == 0 && p.Dir == 0 && q.Dir == 0 && offLine(p, e.B) < shortJoin && offLine(q, e.A) < shortJoin &&
			e.TangentA().Dot(p.TangentA()) > 0 && e.TangentA().Dot(q.TangentA()) > 0
	}
	first := -1 // an edge that stays, after a speck
	for i := range c {
		if !speck(i) && speck((i+n-1)%n) {
			first = i
			break
		}
	}
	if first < 0 {
		return c // none is a speck, or all are
	}
	var out Contour
	for k := range c {
		if i := (first + k) % n; !speck(i) {
			out = append(out, c[i])
		}
	}
	if len(out) < 2 {
		return c
	}
	for i := range out {
		p, q := &out[i], &out[(i+1)%len(out)]
		switch gap := p.B.Dist(q.A); {
		case gap == 0:
		case gap > shortJoin && !(gap < 2*shortSpeck && p.Dir == 0 && q.Dir == 0 && offLine(p, q.A) < shortJoin && offLine(q, p.B) < shortJoin):
			return c // a row of specks that leads somewhere
		case p.Dir != 0 && q.Dir == 0:
			q.A = p.B
		case p.Dir == 0 && q.Dir != 0:
			p.B = q.A
		default:
			m := p.B.Add(q.A).Mul(0.5)
			p.B, q.A = m, m
		}
	}
	return out
}

// offLine is the distance of a point from the straight line that a line lies on.
func offLine(e *Edge, p Point) float64 {
	return math.Abs(e.TangentA().Cross(p.Sub(e.A)))
}

// rightOf returns the unit normals to the right of an edge at its ends.
func rightOf(e *Edge) (a, b Point) {
	if e.Dir == 0 {
		t := e.B.Sub(e.A).Unit()
		n := Point{t.Y, -t.X}
		return n, n
	}
	// Outwards for counter-clockwise arcs, towards the centre otherwise.
	s := float64(e.Dir)
	return e.A.Sub(e.C).Unit().Mul(s), e.B.Sub(e.C).Unit().Mul(s)
}

// addLink appends a straight link, weighted, unless it has no length.
func (r *arrangement) addLink(a, b Point, w int32) {
	if dist2(a, b) > nearCurve*nearCurve {
		r.addLine(a, b, weight{w: w})
	}
}

// addShifted feeds edge p shifted right by d and the join to its successor q.
func (r *arrangement) addShifted(p, q *Edge, d float64) {
	nA, nB := rightOf(p)
	var b Point
	switch {
	case p.Dir == 0:
		b = p.B.Add(nB.Mul(d))
		r.addLine(p.A.Add(nA.Mul(d)), b, weight{w: 1})
	case p.Dir > 0:
		b = p.C.Add(nB.Mul(p.R + d))
		r.addShiftedArc(p, p.C.Add(nA.Mul(p.R+d)), b, p.R+d, 1)
	case p.R > d+nearCurve:
		b = p.C.Sub(nB.Mul(p.R - d))
		r.addShiftedArc(p, p.C.Sub(nA.Mul(p.R-d)), b, p.R-d, -1)
	case p.R > d-nearCurve:
		b = p.C // the arc shrinks to its centre
	default:
		// The arc shrinks past its centre: each normal runs through the centre to
		// the far side, so the strip is two wedges. Links count twice, once for
		// each wedge.
		a := p.C.Add(nA.Mul(d - p.R))
		b = p.C.Add(nB.Mul(d - p.R))
		if p.A != p.B {
			r.addLink(a, p.C, 2)
			r.addLink(p.C, b, 2)
		}
		r.addShiftedArc(p, b, a, d-p.R, 1)
	}
	r.addJoin(p, q, b, nB, d)
}

// addShiftedArc feeds the arc from a to b about p's centre, or the whole circle
// when p is one.
func (r *arrangement) addShiftedArc(p *Edge, a, b Point, rad float64, dir int8) {
	if p.A == p.B {
		b = a
	}
	r.addArc(&Edge{A: a, B: b, C: p.C, R: rad, Dir: dir}, weight{w: 1})
}

// addJoin feeds the join from b, the shifted end of p, to the shifted start of
// q; nB is the right normal at the end of p.
func (r *arrangement) addJoin(p, q *Edge, b, nB Point, d float64) {
	nQ, _ := rightOf(q)
	a2 := q.A.Add(nQ.Mul(d))
	if q.Dir != 0 {
		a2 = q.C.Add(nQ.Mul(d + float64(q.Dir)*q.R))
		if q.Dir < 0 && math.Abs(q.R-d) <= nearCurve {
			a2 = q.C
		}
	}
	if dist2(b, a2) < shortJoin*shortJoin {
		// The corner is smooth but for rounding; its turn may have either sign.
		r.addLine(b, a2, weight{w: 1})
		return
	}
	// A turn to the left opens the right side: an arc about the corner. In a cusp
	// rounding hides which way it turns, and the arc is always right: the sector
	// that it adds is within d of the corner.
	x := nB.Cross(nQ)
	if x > 0 || x > -kinkSin && nB.Dot(nQ) < 0 {
		r.addArc(&Edge{A: b, B: a2, C: p.B, R: d, Dir: 1}, weight{w: 1})
		return
	}
	r.addLink(b, p.B, 1)
	r.addLink(p.B, a2, 1)
}
