package layout

import (
	"math"

	"platewright/plate"
)

func checkOutline(o *plate.Outline) error {
	switch o.Kind {
	case plate.Drawn, plate.Wrapped, plate.Contour:
	default:
		return bad("outline", 0, "", "kind %q is unknown; use %q, %q or %q", o.Kind, plate.Drawn, plate.Wrapped, plate.Contour)
	}
	if m := o.Mirror; m.On && (m.Axis != plate.AxisX && m.Axis != plate.AxisY || !inPlane(m.At)) {
		return bad("outline", 0, "", "the mirror line along %q at %v is not usable; give it axis x or y and a place in mm", m.Axis, m.At)
	}
	if len(o.Wraps) > maxWraps {
		return bad("outline", 0, "", "it is wrapped round %d bores and holes; at most %d are allowed", len(o.Wraps), maxWraps)
	}
	for i, w := range o.Wraps {
		if !orZero(w.Width) || w.Hollow && !positive(w.Blend) {
			return bad("outline", 0, "", "round %d: width %v or hollow radius %v is not usable; give a width from 0 and a radius above 0", i+1, w.Width, w.Blend)
		}
	}
	if len(o.Vertices) > maxCorners {
		return bad("outline", 0, "", "%d vertices; at most %d are allowed", len(o.Vertices), maxCorners)
	}
	for i, v := range o.Vertices {
		if !inPlane(v.X, v.Y) || !(math.Abs(v.Bulge) <= maxBulge) {
			return bad("outline", 0, "", "vertex %d (%v, %v, bulge %v) has a number that is not finite or out of range; give it numbers in mm and a bulge up to %v",
				i+1, v.X, v.Y, v.Bulge, float64(maxBulge))
		}
	}
	return checkCorners(o.Corners, "outline", 0, "")
}

// maxBulge is the largest bulge of an arc: all of a circle but for a quarter of a degree.
const maxBulge = 1000

func checkRibs(p *plate.Plate) error {
	if len(p.Ribs) > maxRibs || len(p.Grids) > maxGrids {
		return bad("ribs", 0, "", "%d ribs and %d grids; at most %d and %d are allowed", len(p.Ribs), len(p.Grids), maxRibs, maxGrids)
	}
	for _, r := range p.Ribs {
		if !positive(r.Width) || !inPlane(r.From.X, r.From.Y, r.To.X, r.To.Y) || r.Arc && !inPlane(r.ThroughX, r.ThroughY) {
			return bad("ribs", r.ID, r.Name, "width %v, an end or the arc's point is not a usable number; give a width above 0 and points in mm", r.Width)
		}
	}
	for i := range p.Grids {
		if err := checkGrid(&p.Grids[i]); err != nil {
			return err
		}
	}
	return nil
}

func checkGrid(g *plate.Grid) error {
	pitched := true
	switch g.Kind {
	case plate.Isogrid, plate.Orthogrid, plate.Parallel, plate.Directions:
	case plate.Spokes:
		pitched = false
	default:
		return bad("ribs", g.ID, g.Name, "kind %q is unknown; use %q, %q, %q, %q or %q",
			g.Kind, plate.Isogrid, plate.Orthogrid, plate.Parallel, plate.Spokes, plate.Directions)
	}
	switch {
	case pitched && !positive(g.Pitch) || !positive(g.Width) || !inPlane(g.X, g.Y, g.AngleDeg):
		return bad("ribs", g.ID, g.Name, "pitch %v, width %v, angle %v or node (%v, %v) is not a usable number; give numbers, pitch and width above 0",
			g.Pitch, g.Width, g.AngleDeg, g.X, g.Y)
	case !orZero(g.PitchY) || !orZero(g.Fillet):
		return bad("ribs", g.ID, g.Name, "second pitch %v or fillet %v is not a usable number; give 0 or more", g.PitchY, g.Fillet)
	case !(g.LeastAngle >= 0 && g.LeastAngle <= 90):
		return bad("ribs", g.ID, g.Name, "least angle is %v°; give 0 to 90", g.LeastAngle)
	case len(g.Hubs) > maxHubs || len(g.Samples) > maxSamples || len(g.Widths) > maxWidths:
		return bad("ribs", g.ID, g.Name, "%d hubs, %d directions and %d local widths; at most %d, %d and %d are allowed",
			len(g.Hubs), len(g.Samples), len(g.Widths), maxHubs, maxSamples, maxWidths)
	case g.Kind == plate.Directions && len(g.Samples) == 0:
		return bad("ribs", g.ID, g.Name, "no direction is given; give at least one place with its direction")
	}
	for i, s := range g.Samples {
		if !inPlane(s.X, s.Y, s.AngleDeg) {
			return bad("ribs", g.ID, g.Name, "direction %d (%v° at %v, %v) is not finite; give it numbers", i+1, s.AngleDeg, s.X, s.Y)
		}
	}
	for i, w := range g.Widths {
		if !positive(w.Width) || !inPlane(w.At.X, w.At.Y) {
			return bad("ribs", g.ID, g.Name, "local width %d (%v at %v, %v) is not usable; give a width above 0", i+1, w.Width, w.At.X, w.At.Y)
		}
	}
	return checkCorners(g.Bounds, "ribs", g.ID, g.Name)
}
