package solid

import (
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// onWall is how far, mm, an edge of the map may lie from the contour of a cut that it
// is the wall of: the geometry engine moves end points by micrometres.
const onWall = 1e-4

// wall is where a support or a load acts.
type wall struct {
	points []WallPoint
	radius float64 // of a round wall, else 0
}

func (w *wall) area() (a float64) {
	for _, p := range w.points {
		a += p.Weight
	}
	return a
}

// walls finds a place of the document: one wall for each hole of a feature, or a
// part of the outline.
func (m *Model) walls(on plate.Place, who string) ([]wall, error) {
	switch {
	case on.Feature != 0:
		return m.holes(on.Feature, who)
	case on.OnEdge:
		return m.edge(geom.Pt(on.X1, on.Y1), geom.Pt(on.X2, on.Y2), who)
	}
	return nil, fmt.Errorf("%s acts on an area, which the solid check does not take there; choose a bore, a hole or an edge", who)
}

func (m *Model) holes(id plate.ID, who string) ([]wall, error) {
	ref, ok := m.layout.Plate.Find(id)
	if !ok {
		return nil, fmt.Errorf("%s acts on feature %d, which the document does not have; choose another place", who, id)
	}
	if ref.Kind == plate.KindRing {
		return nil, fmt.Errorf("%s acts on %s, whose bolts depend on its setting; the solid check does not take it", who, ref)
	}
	var out []wall
	for i := range m.layout.Cuts {
		c := &m.layout.Cuts[i]
		if c.Feature != id || !(c.Diameter > 0) || !isHole(c.Kind) {
			continue
		}
		w := wall{radius: c.Diameter / 2}
		for k := range m.layout.Map.Edges {
			e := m.layout.Map.Edges[k].Edge
			if e.IsArc() && e.C.Dist(c.Center) < onWall && math.Abs(e.R-w.radius) < onWall {
				w.points = append(w.points, m.Wall(m.Mesh.EdgeSides(int32(k)))...)
			}
		}
		if len(w.points) > 0 {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s acts on %s, which has no round wall with metal beside it; choose a bore or a hole", who, ref)
	}
	return out, nil
}

// isHole says which cuts have the wall of a feature, not its steps and heads.
func isHole(k layout.CutKind) bool {
	switch k {
	case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed:
		return true
	}
	return false
}

// edge finds the sides of the outline between two points on it, the shorter way
// round.
func (m *Model) edge(a, b geom.Point, who string) ([]wall, error) {
	outer := m.layout.Outline.Outer
	at := func(q geom.Point) (s, d float64) {
		run := 0.0
		d = math.Inf(1)
		for _, e := range outer {
			p := e.Closest(q)
			if dist := p.Dist(q); dist < d-onWall {
				d, s = dist, run+along(e, p)
			}
			run += e.Length()
		}
		return s, d
	}
	round := outer.Length()
	sa, da := at(a)
	sb, db := at(b)
	if limit := round / 60; !(da <= limit && db <= limit) {
		return nil, fmt.Errorf("%s acts on the edge from %v to %v, which is %.3g mm away from the outline; give two points on it", who, a, b, max(da, db))
	}
	span := math.Mod(sb-sa+round, round)
	if span > round/2 {
		sa, span = sb, round-span
	}
	var sides []mesh.Side
	for _, s := range m.Mesh.Sides {
		if s.Triangle[0] >= 0 && s.Triangle[1] >= 0 {
			continue
		}
		run, d := at(m.Mesh.Nodes[s.Node[2]])
		if d < onWall && math.Mod(run-sa+round, round) <= span {
			sides = append(sides, s)
		}
	}
	w := wall{points: m.Wall(sides)}
	if len(w.points) == 0 {
		return nil, fmt.Errorf("%s acts on the edge from %v to %v, which is shorter than an element; move the points apart", who, a, b)
	}
	return []wall{w}, nil
}

// along is how far p lies along an edge, mm.
func along(e geom.Edge, p geom.Point) float64 {
	if !e.IsArc() {
		return p.Dist(e.A)
	}
	angle := func(q geom.Point) float64 { d := q.Sub(e.C); return math.Atan2(d.Y, d.X) }
	return e.R * math.Mod(float64(e.Dir)*(angle(p)-angle(e.A))+4*math.Pi, 2*math.Pi)
}
