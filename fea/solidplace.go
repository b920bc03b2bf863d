package fea

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/fea/solid"
	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/geom"
)

// solidModel is the prisms over the live model's mesh, and where its places are on them.
type solidModel struct {
	m       *Model
	p       *solid.Model
	roots   []bool
	plane   []int32               // node of the plane mesh, by node
	sides   map[int32][]mesh.Side // by the middle node
	buffers *sparse.Buffers
}

func (s *solidModel) indexSides() {
	s.sides = map[int32][]mesh.Side{}
	for _, d := range s.m.Mesh.Sides {
		s.sides[d.Node[2]] = append(s.sides[d.Node[2]], d)
	}
}

// wall is the metal's upright faces along sides of the live model's walls.
func (s *solidModel) wall(ws []wall) []solid.WallPoint {
	var sides []mesh.Side
	for _, w := range ws {
		sides = append(sides, s.sides[w.node[2]]...)
	}
	return s.p.Wall(sides)
}

// points are the faces of a place: walls, edge, or the surface of an area, both
// surfaces for one within the plate.
func (s *solidModel) points(p *place) []solid.WallPoint {
	if !p.isArea {
		return s.wall(p.sides())
	}
	var in func(at solid.Vec) bool
	if p.area != nil {
		in = func(at solid.Vec) bool { return p.area.Contains(geom.Pt(at[0], at[1])) }
	}
	switch p.surface() {
	case shell.Top:
		return s.p.SurfacePoints(true, in)
	case shell.Bottom:
		return s.p.SurfacePoints(false, in)
	}
	return append(s.p.SurfacePoints(true, in), s.p.SurfacePoints(false, in)...)
}

// solidLoad is a load on the prisms: that of the live model with its faces.
type solidLoad struct {
	*loading
	points []solid.WallPoint // nil for the whole plate
}

// loads adds up the loads of a case.
func (s *solidModel) loads(c *plate.LoadCase, set adjusted) (sum []float64, used []solidLoad, err error) {
	sum = s.p.Zeros()
	for _, lf := range c.Loads {
		for i := range s.m.Layout.Plate.Loads {
			d := &s.m.Layout.Plate.Loads[i]
			if d.ID != lf.Load {
				continue
			}
			if d.Kind == plate.Temperature {
				return nil, nil, refused("%s is of the kind %q, which the solid check does not take; see the live model alone", loadName(d), d.Kind)
			}
			l, err := s.m.makeLoad(d, c.Mirrored, set)
			if err != nil {
				return nil, nil, err
			}
			one := solidLoad{loading: l}
			f, err := s.load(&one)
			if err != nil {
				return nil, nil, err
			}
			k := c.Factor * lf.Factor
			for j, v := range f {
				sum[j] += k * v
			}
			used = append(used, one)
		}
	}
	return sum, used, nil
}

// load turns one load into forces on nodes whose resultant is the live model's.
func (s *solidModel) load(l *solidLoad) ([]float64, error) {
	f := s.p.Zeros()
	switch l.load.Kind {
	case plate.Acceleration:
		k := 1 / s.p.Volume()
		s.p.AddBody(nil, func(solid.Vec) solid.Vec {
			return solid.Vec{k * l.asked.Force[0], k * l.asked.Force[1], k * l.asked.Force[2]}
		}, f)
		return f, nil
	case plate.ClampForce:
		return f, nil // in balance within the thickness; the live model's note says so
	}
	l.points = s.points(l.place)
	force := solid.Vec(l.asked.Force)
	switch l.load.Kind {
	case plate.BoreForce:
		share := 1 / float64(len(l.place.rounds))
		for i := range l.place.rounds {
			r := &l.place.rounds[i]
			own := s.wall(r.sides)
			plane := geom.Pt(force[0]*share, force[1]*share)
			if r.slot {
				part := s.m.rubbed(r, plane)
				s.even(own, solid.Vec{part.X, part.Y, 0}, f)
				plane = plane.Sub(part)
			}
			s.p.Press(own, solid.Vec{plane.X, plane.Y, force[2] * share}, l.at[2], f)
		}
	case plate.LineForce:
		s.line(l, force, f)
	case plate.AreaForce:
		s.even(l.points, force, f)
	}
	q, err := solid.MeanOf(l.points, solid.Vec(l.at))
	if err != nil {
		return nil, refused("%s acts on %s, which is too small for the solid check: %v", loadName(&l.load), l.place.name, err)
	}
	got, turn := s.p.Resultant(f, solid.Vec(l.at))
	var df, dm solid.Vec
	for a := range 3 {
		df[a], dm[a] = force[a]-got[a], l.asked.Moment[a]-turn[a]
	}
	q.Spread(s.p, df, dm, f)
	return f, nil
}

// even spreads a force evenly over faces.
func (s *solidModel) even(points []solid.WallPoint, force solid.Vec, f []float64) {
	area := 0.0
	for i := range points {
		area += points[i].Weight
	}
	s.p.AddWall(points, func(solid.WallPoint) solid.Vec {
		return solid.Vec{force[0] / area, force[1] / area, force[2] / area}
	}, f)
}

// line spreads a force evenly along sides, and on each over the height of its metal.
func (s *solidModel) line(l *solidLoad, force solid.Vec, f []float64) {
	run := func(w wall) (v float64) {
		for _, g := range s.m.points(w) {
			v += g.Weight
		}
		return v
	}
	total := 0.0
	for _, w := range l.place.sides() {
		total += run(w)
	}
	for _, w := range l.place.sides() {
		k := run(w) / total
		s.even(s.wall([]wall{w}), solid.Vec{k * force[0], k * force[1], k * force[2]}, f)
	}
}

// solidHold is the supports of a case on the prisms.
type solidHold struct {
	held  []bool
	beds  []solid.Bed // that hold whatever happens
	pins  []solid.Bed // places on pins
	press []bool      // of each: whether it presses
}

// hold puts the supports of a case on the prisms; u is the live model's answer, from
// which the places that press on pins are known.
func (s *solidModel) hold(c *plate.LoadCase, set adjusted, u []float64) (*solidHold, error) {
	h := &solidHold{held: make([]bool, s.p.Unknowns())}
	list, err := supportsIn(s.m.Layout.Plate.Supports, c)
	if err != nil {
		return nil, err
	}
	for _, d := range list {
		who := supportName(&d)
		if d.Kind == plate.Free {
			return nil, refused("%s is inertia relief, which the solid check does not take; hold the plate, or see the live model alone", who)
		}
		p, err := s.m.find(d.On, who, set)
		if err != nil {
			return nil, err
		}
		switch d.Kind {
		case plate.Fixed:
			s.fix(h, p)
		case plate.Hinged:
			err = s.hinge(h, &d, p, u)
		case plate.Sliding:
			err = s.slide(h, &d, p)
		case plate.Spring:
			err = s.spring(h, &d, p)
		case plate.Symmetry:
			err = s.mirror(h, p)
		default:
			err = refused("%s is of the kind %q, which the solid check does not take; see the live model alone", who, d.Kind)
		}
		if err != nil {
			return nil, err
		}
	}
	return h, nil
}

func (s *solidModel) fix(h *solidHold, p *place) {
	hold := func(n int32) { h.held[3*n], h.held[3*n+1], h.held[3*n+2] = true, true, true }
	if p.isArea {
		for n, at := range s.p.Nodes {
			if p.area.Contains(geom.Pt(at[0], at[1])) {
				hold(int32(n))
			}
		}
		return
	}
	for _, w := range s.points(p) {
		for _, n := range w.Nodes() {
			hold(n)
		}
	}
}

// toward is a constant direction, for beds.
func toward(v solid.Vec) func(*solid.WallPoint) solid.Vec {
	return func(*solid.WallPoint) solid.Vec { return v }
}

func whole(*solid.WallPoint) float64 { return 1 }

// hinge puts walls on pins: the same places with the same beds as in the live model,
// and a hold along the pin in the mean.
func (s *solidModel) hinge(h *solidHold, d *plate.Support, p *place, u []float64) error {
	live := &holding{m: s.m}
	if err := live.hinge(0, d, p); err != nil {
		return err
	}
	e, t := s.m.Shell.Material.E, s.m.Layout.Thickness
	cell := 0
	for r := range p.rounds {
		ro := &p.rounds[r]
		points := s.wall(ro.sides)
		h.beds = append(h.beds, solid.BedAlong(s.p.Row(points, p.centre[2]), hard*e*t, toward(solid.Vec{0, 0, 1}), whole))
		for _, w := range ro.sides {
			sec := s.m.Shell.Section(int(w.element))
			mid, own := (sec.Z0+sec.Z1)/2, s.wall([]wall{w})
			for lower := range 2 {
				share := func(q *solid.WallPoint) float64 { return halfOf(q.At[2], mid, lower == 0) }
				area := 0.0
				for i := range own {
					area += own[i].Weight * share(&own[i])
				}
				if area > 0 {
					k := pinHard * e / ro.radius * area
					inward := func(q *solid.WallPoint) solid.Vec { return solid.Vec{-q.Normal[0], -q.Normal[1], 0} }
					h.pins = append(h.pins, solid.BedAlong(own, k, inward, share))
					h.press = append(h.press, live.pins[cell].gap(u) < 0)
				}
				cell++
			}
		}
	}
	return nil
}

// halfOf is the share of a point in the lower or upper half of a height; a point on the
// border belongs to both.
func halfOf(z, mid float64, lower bool) float64 {
	switch {
	case math.Abs(z-mid) < 1e-6:
		return 0.5
	case z < mid == lower:
		return 1
	}
	return 0
}

// slide holds the mean of each wall, or of an area, or every place of an edge, across a
// direction and along z.
func (s *solidModel) slide(h *solidHold, d *plate.Support, p *place) error {
	a := d.DirectionDeg * math.Pi / 180
	across := solid.Vec{-math.Sin(a), math.Cos(a), 0}
	k := hard * s.m.Shell.Material.E * s.m.Layout.Thickness
	var groups [][]solid.WallPoint
	switch {
	case len(p.rounds) > 0:
		for r := range p.rounds {
			groups = append(groups, s.p.Row(s.wall(p.rounds[r].sides), p.centre[2]))
		}
	case len(p.edge) > 0:
		for _, w := range p.edge {
			groups = append(groups, s.wall([]wall{w}))
		}
	default:
		groups = [][]solid.WallPoint{s.points(p)}
	}
	for _, g := range groups {
		h.beds = append(h.beds, solid.BedAlong(g, k, toward(across), whole), solid.BedAlong(g, k, toward(solid.Vec{0, 0, 1}), whole))
	}
	return s.small(h, d, p)
}

// spring puts six springs on the mean motion of a place about its centre.
func (s *solidModel) spring(h *solidHold, d *plate.Support, p *place) error {
	q, err := solid.MeanOf(s.points(p), solid.Vec(p.centre))
	if err != nil {
		return refused("%s holds %s, which is too small for the solid check: %v", supportName(d), p.name, err)
	}
	for i, k := range d.Stiffness {
		if k > 0 {
			h.beds = append(h.beds, q.Bed(i, k))
		}
	}
	return s.small(h, d, p)
}

// mostOnBed bounds the nodes of one spring: the solver takes no larger element.
const mostOnBed = 1300

func (s *solidModel) small(h *solidHold, d *plate.Support, p *place) error {
	for i := range h.beds {
		if len(h.beds[i].Node) > mostOnBed {
			return refused("%s holds %s, which is too large for the solid check; choose a smaller place, or see the live model alone", supportName(d), p.name)
		}
	}
	return nil
}

// mirror holds an edge that lies in a plane of symmetry across that plane.
func (s *solidModel) mirror(h *solidHold, p *place) error {
	const straight = 1e-9
	seen := map[int32]bool{}
	k := hard * s.m.Shell.Material.E
	for _, w := range s.points(p) {
		for _, n := range w.Nodes() {
			for a := range 2 {
				if math.Abs(w.Normal[a]) > 1-straight {
					h.held[3*int(n)+a], seen[n] = true, true
				}
			}
			if !seen[n] {
				seen[n] = true
				h.beds = append(h.beds, solid.Bed{Node: []int32{n}, Row: []solid.Vec{w.Normal}, Stiffness: k})
			}
		}
	}
	return nil
}

// Rounds of the search for the places that press: the live model's answer is right but
// for a few at the ends of the contact. A round ends the search when those that are
// wrong carry less than pullingShare of the force on pins.
const (
	pinRounds    = 4
	pullingShare = 0.005
)

// solve finds the displacements, with the pins pressing where they press.
func (s *solidModel) solve(ctx context.Context, h *solidHold, load []float64, out *SolidCase) (*solid.Result, error) {
	for {
		beds := append([]solid.Bed(nil), h.beds...)
		for i, on := range h.press {
			if on {
				beds = append(beds, h.pins[i])
			}
		}
		sys, err := s.p.FactorOn(ctx, h.held, beds, s.buffers)
		if err != nil {
			return nil, err
		}
		r, err := sys.Solve(ctx, load)
		sys.Release()
		if err != nil || len(h.pins) == 0 {
			return r, err
		}
		out.ContactRounds++
		if out.Pulling = h.turnOver(r.U); out.Pulling <= pullingShare || out.ContactRounds == pinRounds {
			return r, nil
		}
	}
}

// turnOver marks the places that press as the displacements have it, and returns the
// share of the force of those that were marked otherwise.
func (h *solidHold) turnOver(u []float64) float64 {
	wrong, total := 0.0, 0.0
	for i := range h.pins {
		b := &h.pins[i]
		gap := b.Gap(u)
		force := b.Stiffness * math.Abs(gap)
		if h.press[i] {
			total += force
		}
		if h.press[i] != (gap < 0) {
			wrong += force
		}
		h.press[i] = gap < 0
	}
	if total == 0 {
		return 0
	}
	return wrong / total
}

// String is what the check is made of.
func (r *SolidResult) String() string {
	return fmt.Sprintf("%d unknowns in %d layers of prisms", r.Unknowns, r.Layers)
}
