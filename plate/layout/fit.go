package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// fit changes pitch and place of a fitted grid by the least that makes whole cells fit the extent of its field: from edge to
// edge of its bounds, or of the outline less the rim. An orthogrid fits along both families, a parallel field across its
// ribs, an isogrid across the ribs of its first family (one pitch cannot fit two ways), with a node in the middle along
// them. Lines then run along the edges of the extent. The node of the grid moves to the nearest node of the fitted one, so
// that its cells and ribs keep their names. Spokes and fields along directions have nothing to fit.
func (d *deriver) fit(g *plate.Grid, bounds geom.Contour) error {
	l := newLattice(g)
	if l.families() == 0 {
		return nil
	}
	extent := geom.Shape{{Outer: bounds}}
	if bounds == nil {
		var err error
		if extent, err = d.inset(d.p.Rim); err != nil {
			return err
		}
	}
	if len(extent) == 0 {
		return nil // the rim fills the plate, which is a finding of its own
	}
	u, v := l.e1.Unit(), l.e1.Unit().Perp()
	origin := geom.Pt(g.X, g.Y)
	x0, x1 := reach(extent, u)
	y0, y1 := reach(extent, v)
	x, y := u.Dot(origin), v.Dot(origin)
	switch g.Kind {
	case plate.Isogrid:
		var h float64
		h, y = fitSpan(y0, y1, l.h, y)
		g.Pitch = h * 2 / math.Sqrt(3)
		// A node or the middle between two on the middle of the extent, whichever is nearer.
		half := g.Pitch / 2
		mid := (x0 + x1) / 2
		x = mid + math.Round((x-mid)/half)*half
	case plate.Orthogrid:
		q := g.PitchY
		if q == 0 {
			q = g.Pitch
		}
		g.Pitch, y = fitSpan(y0, y1, g.Pitch, y)
		g.PitchY, x = fitSpan(x0, x1, q, x)
	default:
		g.Pitch, y = fitSpan(y0, y1, g.Pitch, y)
	}
	p := u.Mul(x).Add(v.Mul(y))
	g.X, g.Y = p.X, p.Y
	return nil
}

// reach is the extent of a shape along the unit vector u.
func reach(s geom.Shape, u geom.Point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, r := range s {
		lo, hi = min(lo, -support(r.Outer, u.Mul(-1))), max(hi, support(r.Outer, u))
	}
	return lo, hi
}

// fitSpan is the pitch nearest to the given one that divides lo to hi into whole parts, and the division nearest to at.
func fitSpan(lo, hi, pitch, at float64) (fitted, place float64) {
	n := max(1, math.Floor((hi-lo)/pitch))
	if math.Abs((hi-lo)/(n+1)-pitch) < math.Abs((hi-lo)/n-pitch) {
		n++
	}
	fitted = (hi - lo) / n
	return fitted, lo + math.Round((at-lo)/fitted)*fitted
}
