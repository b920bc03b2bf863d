package fea

import (
	"fmt"
	"math"
	"slices"

	"platewright/fea/shell"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// onWall is how far, mm, an edge of the map may lie from the contour of a cut that
// it is the wall of: the geometry engine moves end points by micrometres.
const onWall = 1e-4

// round is one wall of a place: that of a bore, a hole or a slot.
type round struct {
	feature plate.ID
	hole    int        // in its bolt circle, from 1; 0 else
	centre  geom.Point // its axis; of a slot the place of what slides in it
	radius  float64    // half the diameter; of a slot the half width
	slot    bool
	sides   []wall
}

// wall is a side of an element on a wall or an edge.
type wall struct {
	node    [3]int32
	element int32
	inward  float64 // +1 where the normal of shell.SidePoint points into the metal, −1 where out of it

	// The part of the side that counts, −1 at its start to 1 at its end; both 0 for all.
	from, to float64
}

// place is where a support or a load acts, found on the mesh.
type place struct {
	name   string
	rounds []round      // walls, when it is a feature
	edge   []wall       // sides of the outline, when it is one
	line   []wall       // the same with its first and last side in part
	area   *geom.Region // when it is an area; nil is the whole plate
	isArea bool
	side   plate.Side
	curves []geom.Edge // what lies on it, for distances
	centre [3]float64  // middle of the wall, edge or area; of one round, its axis at the middle of its metal

	lineCentre [3]float64 // middle of line, of the outline itself
}

// sides returns all sides of walls or edge.
func (p *place) sides() []wall {
	out := slices.Clone(p.edge)
	for i := range p.rounds {
		out = append(out, p.rounds[i].sides...)
	}
	return out
}

// near returns a function that reports whether a point of the plane is within a distance, mm,
// of the place, or inside it if it is an area.
func (p *place) near(limit float64) func(q geom.Point) bool {
	boxes := make([]geom.Box, len(p.curves))
	var all geom.Box
	for i, e := range p.curves {
		boxes[i] = e.Box().Grow(limit)
		all = all.Union(boxes[i])
	}
	return func(q geom.Point) bool {
		if p.isArea && (p.area == nil || p.area.Contains(q)) {
			return true
		}
		if !all.Contains(q) {
			return false
		}
		for i := range p.curves {
			if boxes[i].Contains(q) && p.curves[i].Dist(q) <= limit {
				return true
			}
		}
		return false
	}
}

// find locates a place of the document on the mesh, with the adjusters set. who
// names the support or load in errors.
func (m *Model) find(on plate.Place, who string, set adjusted) (*place, error) {
	switch {
	case on.Feature != 0:
		return m.findFeature(on.Feature, who, set)
	case on.OnEdge:
		return m.findEdge(geom.Pt(on.X1, on.Y1), geom.Pt(on.X2, on.Y2), who)
	default:
		return m.findArea(on, who)
	}
}

// findFeature finds the walls of a bore, hole, bolt circle, clocked ring or slot; of
// a ring those of the holes that hold a bolt.
func (m *Model) findFeature(id plate.ID, who string, set adjusted) (*place, error) {
	p := &place{}
	bolts, ring := set.bolts[id]
	if ring && len(bolts) == 0 {
		return nil, fmt.Errorf("fea: %s acts on %s, none of whose bolts fits in this setting; choose an angle at which holes coincide", who, m.featureName(id))
	}
	area, zArea := 0.0, 0.0
	var sum geom.Point
	total := 0.0
	for i := range m.Layout.Cuts {
		c := &m.Layout.Cuts[i]
		if c.Feature != id || !isWall(c.Kind) || ring && !bolts[c.Hole] {
			continue
		}
		p.name = fmt.Sprintf("%s %q", feature(c), c.FeatureName)
		r := round{feature: id, hole: c.Hole, centre: c.Center, radius: c.Diameter / 2, slot: c.Kind == layout.CutSlot}
		if r.slot {
			r.centre = c.Region.Box().Center().Add(set.slid[id])
			for _, e := range c.Region.Outer {
				if e.IsArc() {
					r.radius = e.R
				}
			}
		}
		r.sides = m.wallOf(&c.Region, false)
		if len(r.sides) == 0 {
			continue
		}
		curves := c.Region.Outer
		if r.slot {
			if r.sides, curves = m.beside(&r); len(r.sides) == 0 {
				return nil, fmt.Errorf("fea: %s acts on %s, whose wall borders no metal at (%.4g, %.4g), where what slides in it stands; change the setting", who, p.name, r.centre.X, r.centre.Y)
			}
		}
		for _, w := range r.sides {
			s := m.Shell.Section(int(w.element))
			for _, g := range m.points(w) {
				area += g.Weight * s.T
				zArea += g.Weight * s.T * (s.Z0 + s.Z1) / 2
			}
		}
		sum = sum.Add(r.centre)
		total++
		p.rounds = append(p.rounds, r)
		p.curves = append(p.curves, curves...)
	}
	if _, ok := m.Layout.Plate.Find(id); !ok {
		return nil, fmt.Errorf("fea: %s acts on feature %d, which the document does not have; choose another place", who, id)
	}
	if len(p.rounds) == 0 {
		return nil, fmt.Errorf("fea: %s acts on %s, whose wall borders no metal of the model; choose another place", who, m.featureName(id))
	}
	p.centre = [3]float64{sum.X / total, sum.Y / total, zArea / area}
	return p, nil
}

// beside are the sides of a slot's wall that what slides in it reaches: no farther from
// its axis than the corners of the square about it. The rest of the wall carries nothing.
func (m *Model) beside(r *round) (sides []wall, curves []geom.Edge) {
	reach := math.Sqrt2*r.radius + onWall
	for _, w := range r.sides {
		if e := geom.Line(m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]]); e.Dist(r.centre) <= reach {
			sides, curves = append(sides, w), append(curves, e)
		}
	}
	return sides, curves
}

// isWall says which cuts have the wall of a feature: the hole itself, not the
// steps, heads and points that belong to it.
func isWall(k layout.CutKind) bool {
	switch k {
	case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed, layout.CutSlot:
		return true
	}
	return false
}

func feature(c *layout.Cut) string {
	switch {
	case c.Kind == layout.CutBore:
		return "bore"
	case c.Kind == layout.CutSlot:
		return "slot"
	case c.Hole > 0:
		return "holes of"
	}
	return "hole"
}

// featureName is a feature in words, for errors.
func (m *Model) featureName(id plate.ID) string {
	if f, ok := m.Layout.Plate.Find(id); ok {
		return f.String()
	}
	return fmt.Sprintf("feature %d", id)
}

// wallOf finds the sides of elements along the outer contour of a region that is
// cut out, or (inside) that holds the metal: those with metal on one side only
// where there are any, else (a blind hole) all.
func (m *Model) wallOf(r *geom.Region, inside bool) []wall {
	box := r.Box().Grow(onWall)
	var open, blind []wall
	for i := range m.Layout.Map.Edges {
		e := m.Layout.Map.Edges[i].Edge
		if !box.Contains(e.A) || !box.Contains(e.B) || !liesOn(r.Outer, e) {
			continue
		}
		for _, s := range m.Mesh.EdgeSides(int32(i)) {
			w := wall{node: s.Node}
			mid := m.points(w)[2]
			w.inward = -1
			if r.Contains(mid.P.Add(mid.Normal.Mul(0.01*mid.Weight))) == inside {
				w.inward = 1
			}
			// The metal is on the right of the side where the normal points into it.
			k := 1
			if w.inward < 0 {
				k = 0
			}
			if s.Triangle[k] < 0 {
				continue
			}
			w.element = s.Triangle[k]
			if s.Triangle[1-k] < 0 {
				open = append(open, w)
			} else {
				blind = append(blind, w)
			}
		}
	}
	if len(open) > 0 {
		return open
	}
	return blind
}

// liesOn reports whether an edge follows a contour.
func liesOn(c geom.Contour, e geom.Edge) bool {
	for _, q := range [3]geom.Point{e.A, e.Mid(), e.B} {
		near := false
		for _, f := range c {
			if f.Dist(q) < onWall {
				near = true
				break
			}
		}
		if !near {
			return false
		}
	}
	return true
}

// points are the places of integration along a side, or the part of it that counts.
func (m *Model) points(w wall) [5]shell.SidePoint {
	a, b, c := m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]], m.Mesh.Nodes[w.node[2]]
	if w.from == w.to {
		return shell.SidePoints(a, b, c)
	}
	return shell.SidePointsWithin(a, b, c, w.from, w.to)
}

// findEdge finds the sides of the outline between two points on it, the shorter way
// round. A side belongs to a support where its middle does; line is what a load acts on,
// which ends where the points are.
func (m *Model) findEdge(a, b geom.Point, who string) (*place, error) {
	o := m.outline()
	sa, da := o.at(a)
	sb, db := o.at(b)
	if limit := m.extent / 20; da > limit || db > limit {
		return nil, fmt.Errorf("fea: %s acts on the edge from %v to %v, which is %.3g mm away from the outline; give two points on it", who, a, b, max(da, db))
	}
	span := o.turn(sb - sa)
	if span > o.length/2 {
		sa, span = sb, o.length-span
	}
	p := &place{name: fmt.Sprintf("the edge from %v to %v", a, b)}
	var line, edge sumAlong
	for _, w := range m.wallOf(&m.Layout.Outline, true) {
		mid, d := o.at(m.points(w)[2].P)
		if d >= m.extent/1000 {
			continue
		}
		s := m.Shell.Section(int(w.element))
		z := (s.Z0 + s.Z1) / 2
		if o.turn(mid-sa) <= span {
			p.edge = append(p.edge, w)
			p.curves = append(p.curves, geom.Line(m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]]))
			for _, g := range m.points(w) {
				edge.add(g.P, z, g.Weight)
			}
		}
		if from, to, ok := o.part(m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]], mid, sa, span, &w); ok {
			p.line = append(p.line, w)
			at, length := o.centre(from, to)
			line.add(at, z, length)
		}
	}
	if len(p.edge) == 0 && len(p.line) == 0 {
		return nil, fmt.Errorf("fea: %s acts on the edge from %v to %v, which is shorter than an element; move the points apart", who, a, b)
	}
	p.centre, p.lineCentre = edge.mean(), line.mean()
	return p, nil
}

// along is how far p lies along an edge, mm.
func along(e geom.Edge, p geom.Point) float64 {
	if !e.IsArc() {
		return p.Dist(e.A)
	}
	a := math.Mod(float64(e.Dir)*(angle(p.Sub(e.C))-angle(e.A.Sub(e.C)))+4*math.Pi, 2*math.Pi)
	return a * e.R
}

// findArea finds the elements under an area: inside Bounds, or the whole plate.
func (m *Model) findArea(on plate.Place, who string) (*place, error) {
	p := &place{isArea: true, side: on.Side, name: "the whole plate"}
	if len(on.Bounds) > 0 {
		corners := make([]geom.Corner, len(on.Bounds))
		for i, c := range on.Bounds {
			corners[i] = geom.Corner{P: geom.Pt(c.X, c.Y), Radius: c.Radius}
			if c.Arc {
				q := geom.Pt(c.ThroughX, c.ThroughY)
				corners[i].Through = &q
			}
		}
		c, err := geom.Path(corners)
		if err == nil {
			r := geom.RegionOf(c)[0]
			c, p.area, p.curves = r.Outer, &r, r.Outer
			err = c.Check()
		}
		if err != nil {
			return nil, fmt.Errorf("fea: the area of %s cannot be drawn: %w; move its corners", who, err)
		}
		box := c.Box()
		p.name = fmt.Sprintf("the area about %v", box.Center())
	} else {
		p.curves = m.Layout.Outline.Outer
	}
	var sum [3]float64
	area := 0.0
	m.overArea(p, func(e int, g shell.AreaPoint) {
		s := m.Shell.Section(e)
		area += g.Weight
		sum[0] += g.Weight * g.At.X
		sum[1] += g.Weight * g.At.Y
		sum[2] += g.Weight * s.Height(p.surface())
	})
	if area == 0 {
		return nil, fmt.Errorf("fea: %s acts on %s, where the plate has no metal; move or widen the area", who, p.name)
	}
	p.centre = [3]float64{sum[0] / area, sum[1] / area, sum[2] / area}
	return p, nil
}

// surface is the face that an area lies on.
func (p *place) surface() shell.Surface {
	switch p.side {
	case plate.Bottom:
		return shell.Bottom
	case plate.Through, plate.Both:
		return shell.Middle
	}
	return shell.Top
}

func angle(p geom.Point) float64 { return math.Atan2(p.Y, p.X) }

// overArea calls f for the places of integration of an area: six in an element
// inside, many in one that its contour crosses.
func (m *Model) overArea(p *place, f func(e int, g shell.AreaPoint)) {
	for e := range m.Mesh.Triangles {
		x := m.Shell.Triangle(e)
		in := 6
		if p.area != nil {
			if in = 0; !m.near(&x, p.area) {
				continue
			}
			for _, q := range x {
				if p.area.Contains(q) {
					in++
				}
			}
		}
		for _, g := range x.Points(in < 6) {
			if in == 6 || p.area.Contains(g.At) {
				f(e, g)
			}
		}
	}
}

// near reports whether an element's box meets that of a region.
func (m *Model) near(x *shell.Triangle, r *geom.Region) bool {
	var b geom.Box
	for _, q := range x {
		b = b.Add(q)
	}
	return b.Overlaps(r.Box())
}
