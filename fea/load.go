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
		err = m.clamp(out)
	case plate.LineForce:
		err = m.lineForce(out, force)
	case plate.AreaForce:
		err = m.areaForce(out, force)
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
func (m *Model) clamp(out *loading) error {
	out.f = nil
	for i := range out.place.rounds {
		r := &out.place.rounds[i]
		outer := out.load.Bearing / 2
		if out.load.Bearing <= 2*r.radius {
			return fmt.Errorf("fea: %s clamps under a ring of %.4g mm, no larger than its hole of %.4g mm; give the diameter that the head or the washer presses on", loadName(&out.load), out.load.Bearing, 2*r.radius)
		}
		p := out.load.Clamp / (math.Pi * (outer*outer - r.radius*r.radius))
		out.note = fmt.Sprintf("%s: clamping presses through the thickness only, %.1f MPa under a ring of %.4g mm; the live model does not show it", loadName(&out.load), p, out.load.Bearing)
		// What it presses counts as an idealised load.
		out.place.curves = append(out.place.curves, geom.Circle(r.centre, outer)...)
	}
	return nil
}

// lineForce is even along the edge, from one of its points to the other.
func (m *Model) lineForce(out *loading, force [3]float64) error {
	if len(out.place.line) > 0 {
		p := *out.place
		p.edge, p.centre = p.line, p.lineCentre
		out.place, out.at = &p, p.centre
	}
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
		for _, g := range m.points(w) {
			for i, n := range w.node {
				k := g.Weight * g.N[i] / run
				m.Shell.AddPoint(n, out.at[2], shell.Vector{k * force[0], k * force[1], k * force[2]}, out.f)
			}
		}
	}
	out.asked = Wrench{Force: force}
	q := m.meanOf(out.place, out.at)
	if q == nil {
		return fmt.Errorf("fea: %s acts along %s, which is too short to carry it", loadName(&out.load), out.place.name)
	}
	m.settle(q, out.asked, out.f)
	return nil
}

// areaForce is even over the metal under the area, on its top or bottom face: its
// resultant passes through the middle of that metal as the layout has it. What the
// elements that the area's contour crosses leave of it is spread.
func (m *Model) areaForce(out *loading, force [3]float64) error {
	p := out.place
	area := 0.0
	m.overArea(p, func(_ int, g shell.AreaPoint) { area += g.Weight })
	var err error
	if out.at, err = m.middleOf(p); err != nil {
		return fmt.Errorf("fea: the area of %s cannot be cut from the plate: %w; move its corners", loadName(&out.load), err)
	}
	m.overArea(p, func(e int, g shell.AreaPoint) {
		w := g.Weight / area
		m.Shell.AddAt(e, g, m.Shell.Section(e).Height(p.surface()), shell.Vector{w * force[0], w * force[1], w * force[2]}, out.f)
	})
	out.asked = Wrench{Force: force}
	q := m.meanOf(p, out.at)
	if q == nil {
		return fmt.Errorf("fea: %s acts on %s, which is too small to carry it; make it larger", loadName(&out.load), p.name)
	}
	m.settle(q, out.asked, out.f)
	return nil
}

// middleOf is the middle of the metal's surface under an area.
func (m *Model) middleOf(p *place) ([3]float64, error) {
	height := map[int32]float64{}
	for e := range m.Mesh.Triangles {
		f := m.Mesh.Triangles[e].Face
		if _, ok := height[f]; !ok {
			height[f] = m.Shell.Section(e).Height(p.surface())
		}
	}
	var sum [3]float64
	area := 0.0
	for f := range m.Layout.Map.Faces {
		z, ok := height[int32(f)]
		if !ok {
			continue
		}
		face := geom.Shape{m.Layout.Map.Faces[f].Region}
		if p.area != nil {
			if !face.Box().Overlaps(p.area.Box()) {
				continue
			}
			var err error
			if face, err = geom.Intersection(face, geom.Shape{*p.area}); err != nil {
				return sum, err
			}
		}
		v := face.Moments()
		area += v.A
		sum[0] += v.Sx
		sum[1] += v.Sy
		sum[2] += v.A * z
	}
	if !(area > 0) {
		return p.centre, nil // thinner than what the engine of shapes tells apart
	}
	return [3]float64{sum[0] / area, sum[1] / area, sum[2] / area}, nil
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
