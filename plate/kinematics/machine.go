package kinematics

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/set"
)

// Machine is the assembled machine set down on both wheels at their loaded radii, seen from the side. A figure that the set
// does not say enough for is nil.
type Machine struct {
	Wheelbase   *float64    `json:"wheelbase_mm,omitempty"`
	HeadDeg     *float64    `json:"head_angle_deg,omitempty"` // of the steering axis from the horizontal
	RakeDeg     *float64    `json:"rake_deg,omitempty"`       // 90° − head angle
	Trail       *float64    `json:"trail_mm,omitempty"`       // on the ground; positive when the axis meets it ahead of the contact
	NormalTrail *float64    `json:"normal_trail_mm,omitempty"`
	Offset      *float64    `json:"offset_mm,omitempty"` // of the front axle ahead of the axis, square to it
	RideHeight  *float64    `json:"ride_height_mm,omitempty"`
	Clearance   *float64    `json:"ground_clearance_mm,omitempty"` // of the lowest plate
	LowestPart  string      `json:"lowest_part,omitempty"`
	LowestAt    *[2]float64 `json:"lowest_at_mm,omitempty"`
	PitchDeg    *float64    `json:"pitch_deg,omitempty"` // by which the machine was turned from the drawing to stand
}

// stand is a machine being set down and measured.
type stand struct {
	l       *set.Loaded
	state   set.State
	poses   []geom.Affine
	down    geom.Affine // from the drawing seen from the side to the machine on the ground, y = 0
	forward float64     // +1 where the front wheel lies towards x, else −1
	wheels  bool        // it stands on a front and a rear wheel
	axle    geom.Point  // of the front wheel, on the ground
	radius  float64     // of the front wheel
	m       Machine
}

// machineOf sets the machine down and measures it. down maps the view from the side of the drawing to the machine on the
// ground. The problems say what cannot be measured and why; a set without wheels, axis and ground has none and no machine.
func machineOf(l *set.Loaded, state set.State, poses []geom.Affine) (m *Machine, down geom.Affine, problems []string) {
	if len(l.Wheels) == 0 && !l.Steering.On() && l.Ground == (set.Ground{}) {
		return nil, down, nil
	}
	s := &stand{l: l, state: state, poses: poses, forward: 1, down: geom.Translation(geom.Pt(0, -l.Ground.Height))}
	if err := s.setDown(); err != nil {
		return &s.m, s.down, []string{finding.Words(err)}
	}
	for _, measure := range []func() error{s.steer, s.ride, s.lowest} {
		if err := measure(); err != nil {
			problems = append(problems, finding.Words(err))
		}
	}
	return &s.m, s.down, problems
}

// at is where a feature lies in the drawing seen from the side.
func (s *stand) at(r set.Ref) (geom.Point, error) {
	n, err := s.l.Node(r, s.state)
	if err != nil {
		return geom.Point{}, err
	}
	return s.poses[s.l.Part(r.Part)].Apply(n.Centre), nil
}

// setDown puts the machine on both wheels, where it has them.
func (s *stand) setDown() error {
	front, hasFront := s.l.Wheel(set.Front)
	rear, hasRear := s.l.Wheel(set.Rear)
	if !hasFront || !hasRear {
		return nil
	}
	f, errFront := s.at(front.Axle)
	r, errRear := s.at(rear.Axle)
	if err := errors.Join(errFront, errRear); err != nil {
		return err
	}
	down, err := setDown(f, front.Radius, r, rear.Radius)
	if err != nil {
		return err
	}
	s.down, s.wheels, s.axle, s.radius = down, true, down.Apply(f), front.Radius
	base := s.axle.X - down.Apply(r).X
	s.forward = math.Copysign(1, base)
	u := down.Apply(geom.Pt(1, 0)).Sub(down.Apply(geom.Pt(0, 0)))
	s.m.Wheelbase, s.m.PitchDeg = ptr(math.Abs(base)), ptr(math.Atan2(u.Y, u.X)*180/math.Pi)
	return nil
}

func ptr(v float64) *float64 { v += 0; return &v }

// setDown is the motion that puts two wheels, by centre and radius, on the ground y = 0, with the front axle's contact at
// x = 0. The ground is the tangent below both.
func setDown(front geom.Point, rf float64, rear geom.Point, rr float64) (geom.Affine, error) {
	d := front.Sub(rear)
	dist := d.Len()
	if !(dist > math.Abs(rf-rr)) {
		return geom.Affine{}, fmt.Errorf("one wheel lies within the other (axles %.4g mm apart, radii %g and %g mm): no ground touches both; look at axles and radii", dist, rf, rr)
	}
	// On the ground the front axle stands at (x, rf) and the rear one at (0, rr), |x| = √(dist² − (rf − rr)²), on the side of
	// the drawing.
	x := math.Copysign(math.Sqrt(dist*dist-(rf-rr)*(rf-rr)), d.X)
	want := geom.Pt(x, rf-rr)
	turn := math.Atan2(d.Cross(want), d.Dot(want))
	t := geom.Translation(front.Mul(-1)).Then(geom.Rotation(turn))
	return t.Then(geom.Translation(geom.Pt(0, rf))), nil
}

// axis is a point of the steering axis and its direction, upwards, on the ground.
func (s *stand) axis() (p, u geom.Point, err error) {
	t := s.l.Steering
	low, err := s.at(t.Lower)
	if err != nil {
		return p, u, err
	}
	var high geom.Point
	if t.Upper != (set.Ref{}) {
		if high, err = s.at(t.Upper); err != nil {
			return p, u, err
		}
	} else {
		pose := s.poses[s.l.Part(t.Lower.Part)]
		sin, cos := math.Sincos(t.AngleDeg * math.Pi / 180)
		high = low.Add(pose.Apply(geom.Pt(cos, sin)).Sub(pose.Apply(geom.Pt(0, 0))))
	}
	p = s.down.Apply(low)
	u = s.down.Apply(high).Sub(p)
	if u.Len() < 1e-6 { // mm
		return p, u, errors.New("the two ends of the steering axis coincide in this setting; name features that lie apart")
	}
	if u = u.Unit(); u.Y < 0 {
		u = u.Mul(-1)
	}
	const level = 0.02 // sine of the head angle; below one degree the axis meets the ground nowhere near
	if u.Y < level {
		return p, u, fmt.Errorf("the steering axis lies along the ground (%.3g° from it); look at its two ends", math.Asin(u.Y)*180/math.Pi)
	}
	return p, u, nil
}

// steer measures the steering axis; trail needs the front wheel on the ground.
func (s *stand) steer() error {
	if !s.l.Steering.On() {
		return nil
	}
	p, u, err := s.axis()
	if err != nil {
		return err
	}
	rake := math.Atan2(-u.X*s.forward, u.Y)
	s.m.RakeDeg, s.m.HeadDeg = ptr(rake*180/math.Pi), ptr(90-rake*180/math.Pi)
	if !s.wheels {
		return nil
	}
	// The normal of the axis that points forward; the offset is the axle's distance along it.
	n := geom.Pt(u.Y, -u.X).Mul(s.forward)
	offset := s.axle.Sub(p).Dot(n)
	meets := p.X - u.X*p.Y/u.Y // where the axis meets the ground
	s.m.Offset, s.m.Trail = ptr(offset), ptr((meets-s.axle.X)*s.forward)
	s.m.NormalTrail = ptr(s.radius*math.Sin(rake) - offset)
	return nil
}

func (s *stand) ride() error {
	if s.l.Ground.Ride == (set.Ref{}) {
		return nil
	}
	p, err := s.at(s.l.Ground.Ride)
	if err != nil {
		return err
	}
	s.m.RideHeight = ptr(s.down.Apply(p).Y)
	return nil
}

// lowest finds the lowest point of all plates whose shape is known.
func (s *stand) lowest() error {
	m := &s.m
	for i, shape := range s.l.Shapes {
		if shape.Layout == nil {
			continue
		}
		c := shape.Layout.Outline.Outer.Transform(s.poses[i].Then(s.down))
		y := c.Box().Min.Y
		if m.Clearance != nil && y >= *m.Clearance {
			continue
		}
		m.Clearance, m.LowestPart = ptr(y), s.l.Parts[i].Name
		at := lowestPoint(c, y)
		m.LowestAt = &[2]float64{at.X + 0, at.Y + 0}
	}
	return nil
}

// lowestPoint is a point of the contour at its least y.
func lowestPoint(c geom.Contour, y float64) geom.Point {
	best := geom.Pt(0, math.Inf(1))
	for _, e := range c {
		for _, p := range []geom.Point{e.A, e.Closest(geom.Pt(e.C.X, y-1))} {
			if e.IsArc() || p == e.A {
				if p.Y < best.Y {
					best = p
				}
			}
		}
	}
	return best
}
