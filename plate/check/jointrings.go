package check

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
)

// rings checks the bolts of each loaded clocked ring at its other settings: the force and moment that the case puts on the
// ring are shared by the bolts that fit there, as by rigid parts.
func (j *jointer) rings(loads []JointLoad) {
	for i := range j.l.Plate.Rings {
		r := &j.l.Plate.Rings[i]
		centre := j.ringCentre(r)
		var force geom.Point
		moment, bolts := 0.0, 0
		var one JointLoad
		for k := range loads {
			q := &loads[k]
			if q.Feature != r.ID {
				continue
			}
			bolts++
			f := geom.Pt(q.Force[0], q.Force[1])
			force = force.Add(f)
			moment += q.Moment[2] + q.At.Sub(centre).Cross(f)
			one = *q
		}
		if bolts == 0 {
			continue
		}
		for _, s := range settingsOf(&j.l.Plate, r) {
			j.ringAt(r, centre, force, moment, one, s)
		}
	}
}

// ringCentre is the middle of a ring's circle.
func (j *jointer) ringCentre(r *plate.ClockedRing) geom.Point {
	for _, b := range j.l.Plate.Bores {
		if r.Bore != 0 && b.ID == r.Bore {
			return geom.Pt(b.X, b.Y)
		}
	}
	return geom.Pt(r.X, r.Y)
}

// ringSetting is an angle at which a ring is wanted, with its name.
type ringSetting struct {
	name string
	deg  float64
}

// settingsOf are the angles that the document names for a ring: as drawn, in its settings, and wanted ones.
func settingsOf(p *plate.Plate, r *plate.ClockedRing) []ringSetting {
	out := []ringSetting{{"as drawn", r.PositionDeg}}
	for _, s := range p.Settings {
		for _, v := range s.Values {
			if v.Feature == r.ID {
				out = append(out, ringSetting{fmt.Sprintf("setting %q", s.Name), v.AngleDeg})
			}
		}
	}
	for _, a := range r.WantedDeg {
		known := false
		for _, s := range out {
			known = known || math.Abs(math.Remainder(s.deg-a, 360)) < kinematics.DefaultDeg
		}
		if !known {
			out = append(out, ringSetting{"wanted", a})
		}
	}
	return out
}

// ringAt checks a ring's bolts at one angle.
func (j *jointer) ringAt(r *plate.ClockedRing, centre, force geom.Point, moment float64, one JointLoad, s ringSetting) {
	own, mate := kinematics.RingsOf(*r)
	w := &pressed{load: &JointLoad{Feature: r.ID}, where: fmt.Sprintf("clocked ring %q", r.Name), centre: centre}
	w.setting = fmt.Sprintf("%.4g°, %s", s.deg, s.name)
	at, err := kinematics.At(own, mate, s.deg, kinematics.DefaultDeg)
	if err != nil || len(at.Own) == 0 {
		j.not(w, "bolt group", srcGroup, "N", force.Len(), "no bolt fits at this angle")
		return
	}
	c := j.wallCut(r.ID, at.Own[0])
	if c == nil {
		return
	}
	g := kinematics.BoltGroup{
		Bolts: kinematics.HoldingBolts(own, at, centre, r.Diameter), Force: force, At: centre, Moment: moment,
		Preload: one.Preload, Friction: one.Friction, Faces: 1, Diameter: c.Diameter, Area: math.Pi / 4 * c.Diameter * c.Diameter, Thickness: j.l.Thickness,
	}
	l, err := g.Load()
	if err != nil {
		j.not(w, "bolt group", srcGroup, "N", force.Len(), "one bolt cannot hold the moment: the ring turns about it")
		return
	}
	w.setting += fmt.Sprintf(", %d bolts", len(at.Own))
	for i, hole := range at.Own {
		q := one
		q.Hole, q.At, q.Moment = hole, g.Bolts[i], [3]float64{}
		q.Force[0], q.Force[1] = l.Forces[i].X, l.Forces[i].Y
		j.joint(&q, w.setting)
	}
}

// srcGroup is the source of the sharing among bolts.
const srcGroup = "rigid parts on equal springs (Shigley, shear joints with eccentric loading, from memory)"
