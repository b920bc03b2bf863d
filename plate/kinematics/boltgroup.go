package kinematics

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate/geom"
)

// BoltGroup is a joint of equal bolts in the plane of the plate, loaded by a force at a point and a moment. Lengths mm, forces
// N, moments N·mm, stresses MPa.
type BoltGroup struct {
	Bolts     []geom.Point
	Force     geom.Point // in the plane, N
	At        geom.Point // where the force acts
	Moment    float64    // about z, counter-clockwise
	Preload   float64    // of one bolt; 0 when none is counted on
	Friction  float64    // coefficient between the parts
	Faces     int        // friction faces, which are also the sections of each bolt in shear: 1 for two parts, 2 for a fork
	Diameter  float64    // of the bolt's shank
	Area      float64    // of the bolt in the shear plane, mm²: its stress area where the thread lies there
	Thickness float64    // of the plate, for bearing
}

// BoltLoad is what the group does under its load.
type BoltLoad struct {
	Forces      []geom.Point // on each bolt, N
	Worst       int          // bolt with the greatest force, from 1
	Greatest    float64      // that force, N
	SlipReserve float64      // friction that one bolt's preload gives ÷ the greatest force; +Inf without load
	Shear       float64      // in the worst bolt, when the joint slips, MPa
	Bearing     float64      // between the worst bolt and the plate, when the joint slips, MPa
}

// Load shares the load among the bolts as rigid parts on equal springs: the force evenly, the moment about their centroid in
// proportion to the distance from it (any text on machine elements, e.g. Shigley, "shear joints with eccentric loading"). The
// joint holds by friction while SlipReserve is at least 1; shear and bearing are what follows when it does not.
func (g BoltGroup) Load() (BoltLoad, error) {
	if err := g.check(); err != nil {
		return BoltLoad{}, err
	}
	n := float64(len(g.Bolts))
	var c geom.Point
	for _, b := range g.Bolts {
		c = c.Add(b.Mul(1 / n))
	}
	polar := 0.0
	for _, b := range g.Bolts {
		d := b.Sub(c)
		polar += d.Dot(d)
	}
	moment := g.Moment + g.At.Sub(c).Cross(g.Force)
	const still = 1e-9 // N·mm
	if polar < 1e-12 && math.Abs(moment) > still {
		return BoltLoad{}, fmt.Errorf("kinematics: a joint of %d bolt(s) at one place cannot hold a moment of %.4g N·mm; it turns about the bolt", len(g.Bolts), moment)
	}
	l := BoltLoad{Worst: 1}
	for i, b := range g.Bolts {
		f := g.Force.Mul(1 / n)
		if polar > 0 {
			f = f.Add(b.Sub(c).Perp().Mul(moment / polar))
		}
		l.Forces = append(l.Forces, f)
		if f.Len() > l.Greatest {
			l.Worst, l.Greatest = i+1, f.Len()
		}
	}
	l.SlipReserve = math.Inf(1)
	if l.Greatest > 0 {
		l.SlipReserve = g.Preload * g.Friction * float64(g.Faces) / l.Greatest
	}
	l.Shear = l.Greatest / (float64(g.Faces) * g.Area)
	l.Bearing = l.Greatest / (g.Diameter * g.Thickness)
	return l, nil
}

func (g BoltGroup) check() error {
	if n := len(g.Bolts); n == 0 || n > MaxRingHoles {
		return fmt.Errorf("kinematics: a joint has %d bolts; it needs 1 to %d", n, MaxRingHoles)
	}
	for _, p := range append([]geom.Point{g.Force, g.At, {X: g.Moment}, {X: g.Preload, Y: g.Friction}, {X: g.Diameter, Y: g.Area}, {X: g.Thickness}}, g.Bolts...) {
		if !p.IsFinite() {
			return errors.New("kinematics: a joint has a value that is not a number")
		}
	}
	switch {
	case g.Preload < 0 || g.Friction < 0:
		return fmt.Errorf("kinematics: a joint has a preload of %g N and a friction of %g; they are 0 or more", g.Preload, g.Friction)
	case g.Faces < 1 || g.Faces > 2:
		return fmt.Errorf("kinematics: a joint has %d friction faces; it has 1 or 2", g.Faces)
	case !(g.Diameter > 0) || !(g.Area > 0) || !(g.Thickness > 0):
		return errors.New("kinematics: the bolt's diameter and area and the plate's thickness must be above 0")
	}
	return nil
}

// HoldingBolts are the places of the bolts that hold a clocked ring about a centre in a position, on a circle of the given
// diameter in mm.
func HoldingBolts(own Ring, at Position, centre geom.Point, circle float64) []geom.Point {
	var pts []geom.Point
	for _, h := range at.Own {
		if h < 1 || h > len(own) {
			continue // a position of another ring
		}
		s, c := math.Sincos(own[h-1] * math.Pi / 180)
		pts = append(pts, centre.Add(geom.Pt(c, s).Mul(circle/2)))
	}
	return pts
}
