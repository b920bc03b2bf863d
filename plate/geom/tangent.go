package geom

import (
	"errors"
	"fmt"
	"math"
)

// Tangents of circles: the straight and hollow sides of a skin wrapped round
// bores, and of a strap between them. In all of them side is +1 for the left of
// the way from the first centre to the second and -1 for the right; anything
// else is an error, as are radii below zero and numbers that are none.

var errSide = errors.New("geom: a side is +1 for left or -1 for right")

// checkCircles refuses what no tangent can be drawn to.
func checkCircles(c1 Point, r1 float64, c2 Point, r2 float64, side int) error {
	if side != 1 && side != -1 {
		return errSide
	}
	for _, c := range [2]struct {
		p Point
		r float64
	}{{c1, r1}, {c2, r2}} {
		if !c.p.IsFinite() || max(math.Abs(c.p.X), math.Abs(c.p.Y)) > MaxCoord {
			return fmt.Errorf("geom: the centre (%g, %g) is not within %g mm of zero", c.p.X, c.p.Y, float64(MaxCoord))
		}
		if !(c.r >= 0 && c.r <= MaxRadius) {
			return fmt.Errorf("geom: a radius of %g mm is not between 0 and %g", c.r, float64(MaxRadius))
		}
	}
	return nil
}

// OuterTangent returns the straight line that touches the circle of radius r1
// about c1 and that of radius r2 about c2 from outside, both on the given side.
// It runs from the touching point of the first circle to that of the second. A
// radius may be zero: the tangent then goes through that point. It is an error
// for one circle to lie within the other, touching it or not.
func OuterTangent(c1 Point, r1 float64, c2 Point, r2 float64, side int) (Edge, error) {
	if err := checkCircles(c1, r1, c2, r2, side); err != nil {
		return Edge{}, err
	}
	d := c1.Dist(c2)
	if d-math.Abs(r1-r2) < closeGap {
		return Edge{}, fmt.Errorf("geom: no line touches both circles from outside: one of radius %g mm lies within the other of %g mm", min(r1, r2), max(r1, r2))
	}
	m := tangentNormal(c1, c2, (r1-r2)/d, side)
	return Line(c1.Add(m.Mul(r1)), c2.Add(m.Mul(r2))), nil
}

// tangentNormal returns the unit vector on the given side of c1→c2 whose
// component along c1→c2 is s.
func tangentNormal(c1, c2 Point, s float64, side int) Point {
	u := c2.Sub(c1).Unit()
	return u.Mul(s).Add(u.Perp().Mul(float64(side) * math.Sqrt(max(0, (1-s)*(1+s)))))
}

// BlendArc returns the hollow arc of radius r, above zero, that touches the
// circle of radius r1 about c1 and that of radius r2 about c2 from outside, with
// its centre on the given side. It runs from the touching point of the first
// circle to that of the second on the side of the circles, so it turns left for
// side +1 and right for -1, and is tangent to both. A radius r1 or r2 may be
// zero: the arc then ends in that point.
//
// It is an error for r to be so small that the arc does not reach from one
// circle to the other, and for one circle to lie within the other. Two blends of
// both sides leave a neck between them of twice the distance of the centre from
// the line c1–c2, less 2r; below zero they cross, which is not an error here.
func BlendArc(c1 Point, r1 float64, c2 Point, r2, r float64, side int) (Edge, error) {
	if err := checkCircles(c1, r1, c2, r2, side); err != nil {
		return Edge{}, err
	}
	if !(r > closeGap && r <= MaxRadius) {
		return Edge{}, fmt.Errorf("geom: a blend radius of %g mm is not above 0 and up to %g", r, float64(MaxRadius))
	}
	d := c1.Dist(c2)
	if d-math.Abs(r1-r2) < closeGap {
		return Edge{}, fmt.Errorf("geom: no arc touches both circles from outside: one of radius %g mm lies within the other of %g mm", min(r1, r2), max(r1, r2))
	}
	if least := (d - r1 - r2) / 2; r < least-closeGap/2 {
		return Edge{}, fmt.Errorf("geom: a blend radius of %g mm does not reach from one circle to the other; it must be at least %.6g mm", r, least)
	}
	p, q := r1+r, r2+r
	x := (d + (p-q)*((p+q)/d)) / 2
	h := math.Sqrt(max(0, (p-x)*(p+x)))
	u := c2.Sub(c1).Unit()
	c := c1.Add(u.Mul(x)).Add(u.Perp().Mul(float64(side) * h))
	return Edge{
		A: c1.Add(c.Sub(c1).Mul(r1 / p)), B: c2.Add(c.Sub(c2).Mul(r2 / q)),
		C: c, R: r, Dir: int8(side),
	}, nil
}

// ThickArc returns what a disc of the given half width covers when its centre
// runs along e, a line or an arc: a rib with round ends, straight or arced. Unlike
// Stroke it is a sound shape whatever the sweep: a full circle gives a ring, and
// ends that overlap are united. The half width must be above zero.
func ThickArc(e Edge, halfWidth float64) (Shape, error) {
	return ThickPath([]Edge{e}, halfWidth)
}

// ThickPath returns what a disc of the given half width covers when its centre
// runs along the edges, which need not be joined: a drawn rib of lines and arcs
// with round ends and round joints. The half width must be above zero; no edges
// give the empty shape.
func ThickPath(edges []Edge, halfWidth float64) (Shape, error) {
	if !(halfWidth > mergeDist && halfWidth <= MaxRadius) {
		return nil, fmt.Errorf("geom: a half width of %g mm is not above 0 and up to %g", halfWidth, float64(MaxRadius))
	}
	if len(edges) > MaxEdges/4 {
		return nil, fmt.Errorf("geom: a rib along %d edges: %w: the limit is %d", len(edges), ErrTooLarge, MaxEdges/4)
	}
	strips := make([]Shape, len(edges))
	for i := range edges {
		e := &edges[i]
		if !e.finite() || e.Dir != 0 && !(e.R > 0 && e.R <= MaxRadius) {
			return nil, &ContourError{Edge: i, Other: -1, At: e.A, Reason: fmt.Sprintf("a rib needs an edge of numbers with a radius up to %g mm", float64(MaxRadius))}
		}
		// As it is, even where it overlaps itself: all of it winds counter-clockwise.
		strips[i] = Shape{{Outer: Stroke(*e, halfWidth)}}
	}
	return Union(strips...)
}
