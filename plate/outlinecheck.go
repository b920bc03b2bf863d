package plate

import (
	"fmt"
	"math"
	"reflect"

	"platewright/plate/finding"
	"platewright/plate/geom"
)

// crossing is the finding on an outline whose edges cross or touch, where a new one does and the old one did not. Outlines
// that cannot be drawn at all (a radius that does not fit) are the layout's to report; a wrapped one is too.
func crossing(old, p Outline) (finding.Finding, bool) {
	if reflect.DeepEqual(old, p) {
		return finding.Finding{}, false
	}
	err := p.selfCrossing()
	if err == nil || old.selfCrossing() != nil {
		return finding.Finding{}, false
	}
	f := finding.Finding{
		Code: "outline-crosses", Level: finding.Error, What: "the outline would cross itself: " + finding.Words(err),
		Why: "a plate has one edge all round", Source: "rules of the document", Fix: "move the corner elsewhere", Stage: StageOutline,
	}
	return f, true
}

// selfCrossing is the fault of an outline that crosses or touches itself.
func (o Outline) selfCrossing() error {
	var c geom.Contour
	var err error
	switch o.Kind {
	case Wrapped:
		return nil
	case Contour:
		c, err = o.contour()
	default:
		corners := o.geomCorners()
		if c, err = geom.Path(corners); err != nil { // a rounding that does not fit: look at the path without
			for i := range corners {
				corners[i].Radius = 0
			}
			c, err = geom.Path(corners)
		}
	}
	if err != nil {
		return nil // no path at all, which is not a crossing
	}
	if c.Area() < 0 {
		c = c.Reverse()
	}
	return c.Check()
}

// geomCorners are the corners of the whole outline, a chamfer as two corners.
func (o Outline) geomCorners() []geom.Corner {
	full := o.Full()
	n := len(full)
	var out []geom.Corner
	for i, c := range full {
		g := geom.Corner{P: geom.Pt(c.X, c.Y), Radius: c.Radius}
		if c.Arc {
			through := geom.Pt(c.ThroughX, c.ThroughY)
			g.Through = &through
		}
		if before, after := full[(i+n-1)%n], full[(i+1)%n]; c.Chamfer > 0 && !c.Arc && !before.Arc {
			out = append(out, geom.Corner{P: towards(c, before)}, geom.Corner{P: towards(c, after)})
			continue
		}
		out = append(out, g)
	}
	return out
}

// towards is the end of a corner's chamfer on the side to another.
func towards(c, other Corner) geom.Point {
	p, q := geom.Pt(c.X, c.Y), geom.Pt(other.X, other.Y)
	return p.Add(q.Sub(p).Unit().Mul(c.Chamfer))
}

// contour is the contour of vertices and bulges.
func (o Outline) contour() (geom.Contour, error) {
	n := len(o.Vertices)
	c := make(geom.Contour, 0, n)
	for i, v := range o.Vertices {
		next := o.Vertices[(i+1)%n]
		a, b := geom.Pt(v.X, v.Y), geom.Pt(next.X, next.Y)
		if v.Bulge == 0 {
			c = append(c, geom.Line(a, b))
			continue
		}
		// The arc's middle stands off the chord's by bulge times half the chord, to the right of a counter-clockwise arc.
		m := geom.Pt((v.X+next.X)/2+v.Bulge*(next.Y-v.Y)/2, (v.Y+next.Y)/2-v.Bulge*(next.X-v.X)/2)
		e, err := geom.ArcThrough(a, m, b)
		if err != nil {
			return nil, fmt.Errorf("vertex %d: %w", i+1, err)
		}
		c = append(c, e)
	}
	if len(c) == 0 || math.IsNaN(c.Area()) {
		return nil, fmt.Errorf("no contour")
	}
	return c, nil
}
