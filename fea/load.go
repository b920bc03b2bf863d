package fea

import (
	"fmt"
	"math"

	"platewright/fea/shell"
	"platewright/plate"
	"platewright/plate/geom"
)

// expansion is the coefficient of linear thermal expansion of aluminium alloys,
// 1/K: EN 1999-1-1, 3.2.5 (from memory).
const expansion = 23e-6

// loading is one load on the mesh, at factor 1.
type loading struct {
	load  plate.Load
	place *place
	f     []float64 // forces on all unknowns; empty where nothing acts
	asked Wrench    // what the document asks for, about at
	at    [3]float64
	warm  float64 // free strain
	note  string
}

// name of a load in words.
func loadName(l *plate.Load) string { return fmt.Sprintf("load %q", l.Name) }

// makeLoad turns a load of the document into forces on nodes. Their resultant is
// what was asked.
func (m *Model) makeLoad(l *plate.Load, mirrored bool, set adjusted) (*loading, error) {
	out := &loading{load: *l, f: m.zeros()}
	who := loadName(l)
	for _, v := range []float64{l.Force[0], l.Force[1], l.Force[2], l.Moment[0], l.Moment[1], l.Moment[2], l.At[0], l.At[1], l.At[2], l.Clamp, l.Temperature} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("fea: a figure of %s is not finite; give numbers", who)
		}
	}
	force, moment := l.Force, l.Moment
	if mirrored { // in a plane across x: forces along x turn round, and turns about y and z
		force[0], moment[1], moment[2] = -force[0], -moment[1], -moment[2]
	}
	switch l.Kind {
	case plate.Acceleration:
		return out, m.accelerate(out, force)
	case plate.Temperature:
		m.warm(out)
		return out, nil
	}
	var err error
	if out.place, err = m.find(l.On, who, set); err != nil {
		return nil, err
	}
	out.at = out.place.centre
	switch l.Kind {
	case plate.BoreForce:
		err = m.boreForce(out, force, set.offset[l.On.Feature])
	case plate.Moment:
		out.asked = Wrench{Moment: moment}
		err = m.spreadOn(out, out.asked)
	case plate.RemoteForce:
		at := l.At
		if mirrored {
			at[0] = 2*out.at[0] - at[0]
		}
		out.asked = Wrench{force, moment}.Move(at, out.at)
		err = m.spreadOn(out, out.asked)
	case plate.ClampForce:
		m.clamp(out)
	case plate.LineForce:
		err = m.lineForce(out, force)
	case plate.AreaForce:
		m.areaForce(out, force)
	default:
		err = fmt.Errorf("fea: %s is of the unknown kind %q", who, l.Kind)
	}
	return out, err
}

// spreadOn spreads a wrench about the load's point over its place. What the load
// asks for must be known by then.
func (m *Model) spreadOn(out *loading, w Wrench) error {
	q := m.meanOf(out.place, out.at)
	if q == nil {
		return fmt.Errorf("fea: %s acts on %s, which is too small to carry it; choose another place", loadName(&out.load), out.place.name)
	}
	q.spread(w, out.f)
	m.settle(q, out.asked, out.f)
	return nil
}

// settle removes what rounding leaves between the resultant of f and the wrench.
func (m *Model) settle(q *mean, want Wrench, f []float64) {
	got := m.resultant(f, q.at)
	q.spread(want.Add(got.Scale(-1)), f)
}

// boreForce presses on the half of each wall that the force points at, as the
// cosine of the angle between them; several holes share the force evenly. The
// part along z is even along the walls. The resultant of each wall passes through
// its axis at the height asked for; in a bore with an eccentric it passes through
// the eccentric's own centre, and the moment of that is spread over the wall.
func (m *Model) boreForce(out *loading, force [3]float64, offset geom.Point) error {
	p, z := out.place, out.load.At[2]
	if len(p.rounds) == 0 {
		return fmt.Errorf("fea: %s presses on %s; give a bore, a hole or a slot, or make it a line or area load", loadName(&out.load), p.name)
	}
	out.at[2] = z
	share := 1 / float64(len(p.rounds))
	plane := geom.Pt(force[0], force[1]).Mul(share)
	for i := range p.rounds {
		one := *p
		one.rounds = p.rounds[i : i+1]
		r := &p.rounds[i]
		f := m.zeros()
		if plane.Len() > 0 {
			note, err := m.press(r, plane, z, f)
			if err != nil {
				return fmt.Errorf("fea: %s on %s: %w", loadName(&out.load), p.name, err)
			}
			if note != "" {
				out.note = fmt.Sprintf("%s on %s: %s", loadName(&out.load), p.name, note)
			}
		}
		run := 0.0
		for _, w := range r.sides {
			for _, g := range m.points(w) {
				run += g.Weight
			}
		}
		for _, w := range r.sides {
			m.Shell.AddSide(w.node, z, func(shell.SidePoint) shell.Vector { return shell.Vector{0, 0, force[2] * share / run} }, f)
		}
		// Quadrature and missing pieces of the wall leave a little, which is spread.
		q := m.meanOf(&one, [3]float64{r.centre.X, r.centre.Y, z})
		if q == nil {
			return fmt.Errorf("fea: %s presses on %s, of whose wall too little is left", loadName(&out.load), p.name)
		}
		want := Wrench{Force: [3]float64{plane.X, plane.Y, force[2] * share}}
		for range 2 {
			m.settle(q, want, f)
		}
		for k, v := range f {
			out.f[k] += v
		}
		out.asked = out.asked.Add(want.Move(q.at, out.at))
	}
	if offset != (geom.Point{}) {
		from := [3]float64{out.at[0] + offset.X, out.at[1] + offset.Y, z}
		turn := Wrench{Moment: Wrench{Force: force}.Move(from, out.at).Moment}
		out.asked = out.asked.Add(turn)
		return m.spreadOn(out, turn)
	}
	return nil
}

// clamp notes a bolt's clamping: its two forces are equal and opposite through the
// thickness, so that they load the joint and not the plate as a whole.
func (m *Model) clamp(out *loading) {
	out.f = nil
	for i := range out.place.rounds {
		r := &out.place.rounds[i]
		outer := out.load.Bearing / 2
		if out.load.Bearing <= 2*r.radius {
			continue
		}
		p := out.load.Clamp / (math.Pi * (outer*outer - r.radius*r.radius))
		out.note = fmt.Sprintf("%s: clamping presses through the thickness only, %.1f MPa under a ring of %.4g mm; the live model does not show it", loadName(&out.load), p, out.load.Bearing)
		// What it presses counts as an idealised load.
		out.place.curves = append(out.place.curves, geom.Circle(r.centre, outer)...)
	}
}

// lineForce is even along the edge.
func (m *Model) lineForce(out *loading, force [3]float64) error {
	sides := out.place.sides()
	if len(sides) == 0 {
		return fmt.Errorf("fea: %s acts along %s; give an edge or a feature, or make it an area load", loadName(&out.load), out.place.name)
	}
	run := 0.0
	for _, w := range sides {
		for _, g := range m.points(w) {
			run += g.Weight
		}
	}
	for _, w := range sides {
		m.Shell.AddSide(w.node, out.at[2], func(shell.SidePoint) shell.Vector {
			return shell.Vector{force[0] / run, force[1] / run, force[2] / run}
		}, out.f)
	}
	out.asked = Wrench{Force: force}
	q := m.meanOf(out.place, out.at)
	if q == nil {
		return fmt.Errorf("fea: %s acts along %s, which is too short to carry it", loadName(&out.load), out.place.name)
	}
	m.settle(q, out.asked, out.f)
	return nil
}

// areaForce is even over the metal under the area, on its top or bottom face.
func (m *Model) areaForce(out *loading, force [3]float64) {
	p := out.place
	area := 0.0
	var sum [3]float64
	m.overArea(p, func(e int, g shell.AreaPoint) {
		area += g.Weight
		sum[0] += g.Weight * g.At.X
		sum[1] += g.Weight * g.At.Y
		sum[2] += g.Weight * m.Shell.Section(e).Height(p.surface())
	})
	out.at = [3]float64{sum[0] / area, sum[1] / area, sum[2] / area}
	m.overArea(p, func(e int, g shell.AreaPoint) {
		w := g.Weight / area
		m.Shell.AddAt(e, g, m.Shell.Section(e).Height(p.surface()), shell.Vector{w * force[0], w * force[1], w * force[2]}, out.f)
	})
	out.asked = Wrench{Force: force}
	if q := m.meanOf(p, out.at); q != nil {
		// Forces along the plane at different heights make a moment of their own,
		// which belongs to the load.
		want := out.asked
		want.Moment = m.resultant(out.f, out.at).Moment
		out.asked = want
		m.settle(q, want, out.f)
	}
}

// accelerate is a force on all metal, g times its mass along the vector. The mass
// is that of the layout; the mesh's differs by drill points and chords.
func (m *Model) accelerate(out *loading, g [3]float64) error {
	density := m.Layout.Plate.Stock.Material.Density
	if !(density > 0) {
		return fmt.Errorf("fea: %s needs the density of the material, which is %v kg/m³; give it", loadName(&out.load), density)
	}
	mass := m.Layout.Volume() * density * 1e-9
	var sum [3]float64
	volume := 0.0
	for e := range m.Mesh.Triangles {
		x, s := m.Shell.Triangle(e), m.Shell.Section(e)
		for _, p := range x.Points(false) {
			volume += p.Weight * s.T
			sum[0] += p.Weight * s.T * p.At.X
			sum[1] += p.Weight * s.T * p.At.Y
			sum[2] += p.Weight * (s.S + s.T*m.Shell.ZRef)
		}
	}
	out.at = [3]float64{sum[0] / volume, sum[1] / volume, sum[2] / volume}
	var v shell.Vector
	for i := range 3 {
		out.asked.Force[i] = mass * plate.StandardGravity * g[i]
		v[i] = out.asked.Force[i] / volume
	}
	for e := range m.Mesh.Triangles {
		m.Shell.AddBody(e, func(geom.Point) shell.Vector { return v }, out.f)
	}
	return nil
}

// warm lets all metal grow alike.
func (m *Model) warm(out *loading) {
	out.warm = expansion * out.load.Temperature
	for e := range m.Mesh.Triangles {
		m.Shell.AddWarming(e, out.warm, 0, out.f)
	}
	out.at = m.centre
}
