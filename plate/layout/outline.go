package layout

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// boxSlack is the distance by which an outline may stand out of the blank before that is an error: rounding of a margin of
// zero, far below what a saw can hold.
const boxSlack = 1e-6

// path makes the counter-clockwise contour through drawn corners, rounded or cut as they say. The error names the corner.
func path(cs []plate.Corner) (geom.Contour, *DeriveError) {
	gs, from, e := cutCorners(cs)
	if e != nil {
		return nil, e
	}
	c, err := geom.Path(gs)
	if err != nil {
		e := &DeriveError{What: "the corners make no closed path", Err: err}
		var pe *geom.PathError
		if errors.As(err, &pe) && pe.Corner >= 0 && pe.Corner < len(gs) {
			e.What = fmt.Sprintf("corner %d does not work: %s", from[pe.Corner]+1, pe.Reason)
			e.Where, e.HasWhere, e.Err = gs[pe.Corner].P, true, nil
		}
		return nil, e
	}
	if c.Area() < 0 {
		c = c.Reverse()
	}
	if err := c.Check(); err != nil {
		return nil, checkFailed(c, cs, err)
	}
	return c, nil
}

// checkFailed turns a fault of a contour into one that names the corners next to it.
func checkFailed(c geom.Contour, cs []plate.Corner, err error) *DeriveError {
	e := &DeriveError{What: "the corners make no usable path", Err: err}
	var ce *geom.ContourError
	if !errors.As(err, &ce) {
		return e
	}
	near := func(i int) string {
		if i < 0 || i >= len(c) {
			return "?"
		}
		at := sideOf(cs, c[i])
		return fmt.Sprintf("%d–%d", at+1, (at+1)%len(cs)+1)
	}
	e.What = fmt.Sprintf("the side between corners %s fails: %s", near(ce.Edge), ce.Reason)
	if ce.Other >= 0 && ce.Other < len(c) && ce.Other != ce.Edge {
		e.What = fmt.Sprintf("the sides between corners %s and %s: %s", near(ce.Edge), near(ce.Other), ce.Reason)
	}
	e.Where, e.HasWhere, e.Err = ce.At, ce.At.IsFinite(), nil
	return e
}

// sideOf is the number of the drawn side, counted by its first corner, that the edge lies along; for the arc that rounds a
// corner, one of the two sides there.
func sideOf(cs []plate.Corner, e geom.Edge) int {
	best, at := math.Inf(1), 0
	for k, q := range cs {
		n := cs[(k+1)%len(cs)]
		side := geom.Line(geom.Pt(q.X, q.Y), geom.Pt(n.X, n.Y))
		if q.Arc {
			if arc, err := geom.ArcThrough(side.A, geom.Pt(q.ThroughX, q.ThroughY), side.B); err == nil {
				side = arc
			}
		}
		if d := side.Dist(e.A) + side.Dist(e.Mid()) + side.Dist(e.B); d < best {
			best, at = d, k
		}
	}
	return at
}

// contour is the outline as the document gives it.
func (d *deriver) contour() (geom.Contour, *DeriveError) {
	o := &d.p.Outline
	switch {
	case o.Kind == plate.Wrapped:
		return d.wrap(o.Wraps)
	case o.Kind == plate.Contour:
		return bulged(o.Vertices)
	case o.Mirror.On:
		return mirrored(o.Corners, o.Mirror)
	}
	return path(o.Corners)
}

// makeOutline fills in the outline, the thickness and the blank.
func (d *deriver) makeOutline() error {
	d.t = d.p.Stock.Thickness()
	c, e := d.contour()
	if e != nil {
		e.Stage = "outline"
		return e
	}
	d.outline = c
	d.l.Thickness = d.t
	d.l.Outline = geom.Region{Outer: c}
	top, bottom := d.p.Stock.Allowances()
	d.l.BlankZ = Interval{0 - bottom, d.t + top} // not −0
	box := c.Box()
	if b := d.p.Stock.Blank; b.Fixed {
		d.l.Blank = geom.Box{Min: geom.Pt(b.X, b.Y), Max: geom.Pt(b.X+b.Width, b.Y+b.Height)}
	} else {
		d.l.Blank = box.Grow(b.Margin)
	}
	return d.clipToBlank(box)
}

// clipToBlank finds what of the outline lies inside the blank: all of it, unless the blank is too small.
func (d *deriver) clipToBlank(box geom.Box) error {
	d.inOutline = geom.Shape{{Outer: d.outline}}
	bl := d.l.Blank
	over := max(bl.Min.X-box.Min.X, bl.Min.Y-box.Min.Y, box.Max.X-bl.Max.X, box.Max.Y-bl.Max.Y)
	if over <= boxSlack {
		return nil
	}
	s, err := d.eng.Intersection(d.inOutline, geom.Shape{{Outer: geom.Rect(bl.Min, bl.Max)}})
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	d.inOutline, d.clipped = s, true
	d.find(finding.Finding{
		Code: "blank-small", Level: finding.Error, Stage: "stock",
		What: fmt.Sprintf("the outline (%.1f × %.1f mm) stands out of the blank by %s", box.Width(), box.Height(), mm(over)),
		Why:  "the plate is cut from the blank; figures are for what lies inside it", Source: "geometry",
		Fix: "enlarge or move the blank, or give it a margin round the outline",
	}, bl.Center())
	return nil
}

// inset returns the outline moved inwards by dist; empty when nothing is left.
func (d *deriver) inset(dist float64) (geom.Shape, error) {
	if dist == 0 {
		return geom.Shape{{Outer: d.outline}}, nil
	}
	if s, ok := d.insets[dist]; ok {
		return s, nil
	}
	s, err := d.eng.Offset(geom.Shape{{Outer: d.outline}}, -dist)
	if err != nil {
		return nil, d.kernel("outline", 0, "", err)
	}
	d.insets[dist] = s
	return s, nil
}
