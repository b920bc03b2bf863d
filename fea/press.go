package fea

import (
	"fmt"
	"math"

	"platewright/fea/shell"
	"platewright/plate/geom"
)

// leastPressed is the share of a half wall that must be there to be pressed on.
const leastPressed = 0.5

// slotPlay is how far what slides in a slot may be from the slot's end, as a share of
// its radius, and still press on it: the play of a bolt in a slot.
const slotPlay = 0.05

// press adds the pressure on the half of a wall that a force in the plane presses. In a
// slot the part of the force along it may find no end to press on: then the clamped
// joint carries that by friction, which the note says.
func (m *Model) press(r *round, force geom.Point, z float64, f []float64) (note string, err error) {
	if !r.slot {
		return "", m.pressRound(r, force, z, f, func(shell.SidePoint, geom.Point) float64 { return 1 })
	}
	if part := m.rubbed(r, force); part != (geom.Point{}) {
		m.rub(r, part, z, f)
		force = force.Sub(part)
		note = fmt.Sprintf("it stands away from the end of the slot: friction of a clamped joint must carry the %.4g N along the slot, beside the bolt", part.Len())
	}
	if force == (geom.Point{}) {
		return note, nil
	}
	return note, m.pressRound(r, force, z, f, m.underPin(r))
}

// rubbed is the part of a force in a slot that nothing is there to press against: that
// along it, unless what slides stands at the end that it points at.
func (m *Model) rubbed(r *round, force geom.Point) geom.Point {
	along, ok := m.slotAxis(r)
	if !ok {
		return geom.Point{}
	}
	part := along.Mul(force.Dot(along))
	switch {
	case part.Len() <= 1e-9*force.Len() || m.atEnd(r, part):
		return geom.Point{}
	case force.Sub(part).Len() <= 1e-9*force.Len():
		return force
	}
	return part
}

// pressRound presses as the cosine of the angle between the wall and the force, times a
// weight of each place.
func (m *Model) pressRound(r *round, force geom.Point, z float64, f []float64, weight func(g shell.SidePoint, n geom.Point) float64) error {
	dir := force.Unit()
	pressed, along := 0.0, 0.0
	each := func(do func(w wall, g shell.SidePoint, n geom.Point, c float64)) {
		for _, w := range r.sides {
			for _, g := range m.pressPoints(r, w) {
				n := g.Normal.Mul(w.inward)
				if c := n.Dot(dir) * weight(g, n); c > 0 {
					do(w, g, n, c)
				}
			}
		}
	}
	each(func(_ wall, g shell.SidePoint, n geom.Point, c float64) {
		pressed += g.Weight * c
		along += g.Weight * c * n.Dot(dir)
	})
	// The projection of a full half wall is its width, 2r; on the flank of a slot the
	// cosine of the pin's own angle makes it π/4 of that.
	if pressed < leastPressed*2*r.radius {
		return fmt.Errorf("the wall is open on the side that the load presses (%.0f %% of it is there); turn the load or close the wall", 100*pressed/2/r.radius)
	}
	q := force.Len() / along
	each(func(w wall, g shell.SidePoint, n geom.Point, c float64) {
		for i, node := range w.node {
			m.Shell.AddPoint(node, z, shell.Vector{q * c * n.X * g.Weight * g.N[i], q * c * n.Y * g.Weight * g.N[i]}, f)
		}
	})
	return nil
}

// pressPoints are places of integration along a side: in a slot, where the pressure may
// be narrower than a side is long, the middles of parts of an eighth of its radius.
func (m *Model) pressPoints(r *round, w wall) []shell.SidePoint {
	own := m.points(w)
	if !r.slot {
		return own[:]
	}
	a, b, c := m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]], m.Mesh.Nodes[w.node[2]]
	parts := min(max(8, int(math.Ceil(8*a.Dist(b)/r.radius))), mostParts)
	out := make([]shell.SidePoint, parts)
	for k := range out {
		out[k] = shell.SidePointAt(a, b, c, (2*float64(k)+1)/float64(parts)-1, 2/float64(parts))
	}
	return out
}

// mostParts bounds the work on one side.
const mostParts = 400

// underPin weighs the places of a slot's wall by the cosine of the pin's own angle
// there: on the slot's end, which the pin fills, 1; on a flank falling to nothing a
// radius beside its axis.
func (m *Model) underPin(r *round) func(g shell.SidePoint, n geom.Point) float64 {
	return func(g shell.SidePoint, n geom.Point) float64 {
		d := g.P.Sub(r.centre)
		if d.Dot(n) > (1+slotPlay)*r.radius {
			return 0 // the pin does not reach it
		}
		s := d.Cross(n) / r.radius
		return math.Sqrt(max(0, 1-s*s))
	}
}

// slotAxis is the direction of the flanks beside what slides; false where there are none.
func (m *Model) slotAxis(r *round) (along geom.Point, ok bool) {
	longest := 0.0
	for _, w := range r.sides {
		a, b, c := m.Mesh.Nodes[w.node[0]], m.Mesh.Nodes[w.node[1]], m.Mesh.Nodes[w.node[2]]
		d := b.Sub(a)
		if math.Abs(c.Sub(a).Cross(d)) < 1e-6*d.Dot(d) && d.Len() > longest {
			longest, along = d.Len(), d.Unit()
		}
	}
	return along, longest > 0
}

// atEnd reports whether what slides in a slot stands at the end that a force along it
// points at.
func (m *Model) atEnd(r *round, force geom.Point) bool {
	dir := force.Unit()
	for _, w := range r.sides {
		for _, g := range m.points(w) {
			n := g.Normal.Mul(w.inward)
			if n.Dot(dir) > 0.9 && g.P.Sub(r.centre).Dot(n) <= (1+slotPlay)*r.radius {
				return true
			}
		}
	}
	return false
}

// rub spreads a force evenly along the sides beside what slides in a slot.
func (m *Model) rub(r *round, force geom.Point, z float64, f []float64) {
	run := 0.0
	for _, w := range r.sides {
		for _, g := range m.points(w) {
			run += g.Weight
		}
	}
	for _, w := range r.sides {
		m.Shell.AddSide(w.node, z, func(shell.SidePoint) shell.Vector { return shell.Vector{force.X / run, force.Y / run, 0} }, f)
	}
}
