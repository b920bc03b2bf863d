package layout

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// onMirror is how far the ends of a half outline may stand off the mirror line, mm: rounding of drawn coordinates.
const onMirror = 1e-6

// cutCorners turns drawn corners into those of geom.Path: a chamfer becomes two sharp corners. from names the drawn corner
// of each.
func cutCorners(cs []plate.Corner) (gs []geom.Corner, from []int, e *DeriveError) {
	gs, from = make([]geom.Corner, 0, len(cs)), make([]int, 0, len(cs))
	put := func(i int, g geom.Corner) {
		gs, from = append(gs, g), append(from, i)
	}
	for i, c := range cs {
		g := geom.Corner{P: geom.Pt(c.X, c.Y), Radius: c.Radius}
		if c.Arc {
			m := geom.Pt(c.ThroughX, c.ThroughY)
			g.Through = &m
		}
		if c.Chamfer == 0 {
			put(i, g)
			continue
		}
		a, b, e := chamfer(cs, i)
		if e != nil {
			return nil, nil, e
		}
		// Chamfers that meet in the middle of a side leave nothing of it: they share a corner.
		if n := len(gs); n == 0 || from[n-1] != i-1 || cs[i-1].Chamfer == 0 || gs[n-1].P.Dist(a) > touchEps {
			put(i, geom.Corner{P: a})
		}
		put(i, geom.Corner{P: b, Through: g.Through})
	}
	if n := len(gs); n > 2 && cs[0].Chamfer > 0 && cs[len(cs)-1].Chamfer > 0 && gs[n-1].P.Dist(gs[0].P) <= touchEps {
		gs, from = gs[:n-1], from[:n-1]
	}
	return gs, from, nil
}

// chamfer returns the two ends of the cut across corner i.
func chamfer(cs []plate.Corner, i int) (a, b geom.Point, e *DeriveError) {
	n := len(cs)
	c, before, after := cs[i], cs[(i+n-1)%n], cs[(i+1)%n]
	p := geom.Pt(c.X, c.Y)
	fail := func(format string, args ...any) (geom.Point, geom.Point, *DeriveError) {
		return p, p, &DeriveError{What: fmt.Sprintf("corner %d does not work: ", i+1) + fmt.Sprintf(format, args...), Where: p, HasWhere: true}
	}
	if c.Radius > 0 {
		return fail("it has a radius of %s and a chamfer of %s; give it one of the two", mm(c.Radius), mm(c.Chamfer))
	}
	if c.Arc || before.Arc {
		return fail("a chamfer cuts straight sides only; round the corner, or make both sides there straight")
	}
	for k, o := range [2]plate.Corner{before, after} {
		l := p.Dist(geom.Pt(o.X, o.Y))
		if room := l - o.Chamfer - c.Chamfer; room < -touchEps {
			other := (i+n-1)%n + 1
			if k == 1 {
				other = (i+1)%n + 1
			}
			return fail("a chamfer of %s does not fit: with that of corner %d it takes %s of a side of %s; make it smaller",
				mm(c.Chamfer), other, mm(c.Chamfer+o.Chamfer), mm(l))
		}
	}
	a = p.Add(geom.Pt(before.X, before.Y).Sub(p).Unit().Mul(c.Chamfer))
	b = p.Add(geom.Pt(after.X, after.Y).Sub(p).Unit().Mul(c.Chamfer))
	return a, b, nil
}

// mirrored is the contour of a half outline and its image.
func mirrored(cs []plate.Corner, m plate.Mirror) (geom.Contour, *DeriveError) {
	n := len(cs)
	if n < 2 {
		return nil, &DeriveError{What: fmt.Sprintf("a half outline of %d corners encloses nothing; it needs a first and a last corner on the mirror line", n)}
	}
	whole := make([]plate.Corner, 0, 2*n-2)
	whole = append(whole, cs...)
	for _, i := range [2]int{0, n - 1} {
		c := &whole[i]
		v, axis := &c.X, "x"
		if m.Axis == plate.AxisX {
			v, axis = &c.Y, "y"
		}
		if off := *v - m.At; !(math.Abs(off) <= onMirror) {
			return nil, &DeriveError{
				What: fmt.Sprintf("corner %d of the half outline stands %s off its mirror line at %s %s; move it onto the line",
					i+1, mm(math.Abs(off)), axis, mm(m.At)),
				Where: geom.Pt(c.X, c.Y), HasWhere: true,
			}
		}
		*v = m.At
	}
	// The side from the image of corner k to that of k−1 is the image of the side from k−1 to k.
	image := func(c, before plate.Corner) plate.Corner {
		c.X, c.Y = mirrorImage(m, c.X, c.Y)
		c.Arc = before.Arc
		c.ThroughX, c.ThroughY = mirrorImage(m, before.ThroughX, before.ThroughY)
		return c
	}
	whole[n-1] = image(whole[n-1], cs[n-2])
	for k := n - 2; k > 0; k-- {
		whole = append(whole, image(cs[k], cs[k-1]))
	}
	c, e := path(whole)
	if e != nil {
		e.What = "the half and its mirror image make no outline: " + e.What
		return nil, e
	}
	return joinEdges(c), nil
}

// mirrorImage is the mirror image of a point.
func mirrorImage(m plate.Mirror, x, y float64) (float64, float64) {
	if m.Axis == plate.AxisX {
		return x, 2*m.At - y
	}
	return 2*m.At - x, y
}

// joinEdges joins neighbouring edges that are one line or one circle, as the two halves of a side across the mirror line.
func joinEdges(c geom.Contour) geom.Contour {
	out := make(geom.Contour, 0, len(c))
	for _, e := range c {
		if n := len(out); n > 0 && goesOn(&out[n-1], &e) {
			out[n-1].B = e.B
			continue
		}
		out = append(out, e)
	}
	if n := len(out); n > 2 && goesOn(&out[n-1], &out[0]) {
		out[0].A = out[n-1].A
		out = out[:n-1]
	}
	return out
}

// goesOn reports whether b goes on where a ends, on the same line or circle.
func goesOn(a, b *geom.Edge) bool {
	if a.Dir != b.Dir {
		return false
	}
	if a.IsArc() {
		return a.C.Dist(b.C) < touchEps && math.Abs(a.R-b.R) < touchEps && math.Abs(a.Sweep()+b.Sweep()) < 2*math.Pi-1e-6
	}
	return math.Abs(a.TangentA().Cross(b.TangentA())) < 1e-12 && a.TangentA().Dot(b.TangentA()) > 0
}

// bulged is the contour of vertices with bulges, counter-clockwise. The error names the vertex.
func bulged(vs []plate.Vertex) (geom.Contour, *DeriveError) {
	n := len(vs)
	if n < 2 {
		return nil, &DeriveError{What: fmt.Sprintf("a contour of %d vertices encloses nothing; give at least two, or three when all sides are straight", n)}
	}
	c := make(geom.Contour, n)
	for i, v := range vs {
		e, err := bulgeEdge(geom.Pt(v.X, v.Y), geom.Pt(vs[(i+1)%n].X, vs[(i+1)%n].Y), v.Bulge)
		if err != nil {
			return nil, &DeriveError{
				What:  fmt.Sprintf("vertex %d (%.6g, %.6g) of the contour does not work: %s", i+1, v.X, v.Y, finding.Words(err)),
				Where: geom.Pt(v.X, v.Y), HasWhere: true,
			}
		}
		c[i] = e
	}
	turn := c.Area() < 0
	if turn {
		c = c.Reverse()
	}
	if err := c.Check(); err != nil {
		number := func(i int) int { // of the vertex before edge i, as given
			if turn {
				return n - i
			}
			return i + 1
		}
		e := &DeriveError{What: "the vertices make no usable contour; correct them so that no side meets another", Err: err}
		var ce *geom.ContourError
		if errors.As(err, &ce) && ce.Edge >= 0 && ce.Edge < n {
			k := number(ce.Edge)
			e.What = fmt.Sprintf("the side from vertex %d to %d fails: %s; move the vertices", k, k%n+1, ce.Reason)
			if ce.Other >= 0 && ce.Other < n && ce.Other != ce.Edge {
				o := number(ce.Other)
				e.What = fmt.Sprintf("the sides from vertex %d to %d and from %d to %d: %s; move the vertices", k, k%n+1, o, o%n+1, ce.Reason)
			}
			e.Where, e.HasWhere, e.Err = ce.At, ce.At.IsFinite(), nil
		}
		return nil, e
	}
	return c, nil
}

// flatBulge is the bulge below which a side is straight: the arc leaves its chord by less than a nanometre in a metre.
const flatBulge = 1e-12

// bulgeEdge is the straight side or arc from a to b whose bulge is the tangent of a quarter of its included angle.
func bulgeEdge(a, b geom.Point, bulge float64) (geom.Edge, error) {
	chord := b.Sub(a)
	l := chord.Len()
	if l < touchEps {
		return geom.Edge{}, errors.New("the next one is at the same place; delete one of the two")
	}
	if math.Abs(bulge) < flatBulge {
		return geom.Line(a, b), nil
	}
	// Half the sweep is 2·atan(bulge): R = l (1 + bulge²) / 4|bulge|, and the centre stands l (1 − bulge²) / 4 bulge to the
	// left of the middle of the chord.
	r := l * (1 + bulge*bulge) / (4 * math.Abs(bulge))
	if !(r <= geom.MaxRadius) {
		return geom.Edge{}, fmt.Errorf("a bulge of %g makes an arc of %.3g mm radius, above %.3g mm; give 0 for a straight side", bulge, r, float64(geom.MaxRadius))
	}
	c := a.Add(chord.Mul(0.5)).Add(chord.Perp().Mul((1 - bulge*bulge) / (4 * bulge)))
	dir := int8(1)
	if bulge < 0 {
		dir = -1
	}
	return geom.Arc(a, b, c, dir), nil
}
