package kinematics

import (
	"errors"
	"fmt"
	"math"

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

// machineOf sets the machine down and measures it. down maps the view from the side of the drawing to the machine on the
// ground (y = 0). The problems say what cannot be measured and why; a set without wheels has none and no machine.
func machineOf(l *set.Loaded, state set.State, poses []geom.Affine) (m *Machine, down geom.Affine, problems []string) {
	at := func(r set.Ref) (geom.Point, error) {
		n, err := l.Node(r, state)
		if err != nil {
			return geom.Point{}, err
		}
		return poses[l.Part(r.Part)].Apply(n.Centre), nil
	}
	if len(l.Wheels) == 0 && !l.Steering.On() && l.Ground == (set.Ground{}) {
		return nil, down, nil
	}
	m = &Machine{}
	fail := func(err error) { problems = append(problems, err.Error()) }
	front, hasFront := l.Wheel(set.Front)
	rear, hasRear := l.Wheel(set.Rear)
	forward, stands := 1.0, false
	var axle geom.Point
	if hasFront && hasRear {
		f, err := at(front.Axle)
		r, err2 := at(rear.Axle)
		if err = errors.Join(err, err2); err != nil {
			fail(err)
			return m, down, problems
		}
		if down, err = setDown(f, front.Radius, r, rear.Radius); err != nil {
			fail(err)
			return m, down, problems
		}
		stands = true
		axle = down.Apply(f)
		base := axle.X - down.Apply(r).X
		forward = math.Copysign(1, base)
		u := down.Apply(geom.Pt(1, 0)).Sub(down.Apply(geom.Pt(0, 0)))
		m.Wheelbase, m.PitchDeg = ptr(math.Abs(base)), ptr(math.Atan2(u.Y, u.X)*180/math.Pi)
	} else {
		down = geom.Translation(geom.Pt(0, -l.Ground.Height))
	}
	if l.Steering.On() {
		if err := m.steer(l, poses, at, down, forward, stands, axle, front.Radius); err != nil {
			fail(err)
		}
	}
	if l.Ground.Ride != (set.Ref{}) {
		if p, err := at(l.Ground.Ride); err != nil {
			fail(err)
		} else {
			m.RideHeight = ptr(down.Apply(p).Y)
		}
	}
	m.lowest(l, poses, down)
	return m, down, problems
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

// steer measures the steering axis; trail needs the front wheel on the ground.
func (m *Machine) steer(l *set.Loaded, poses []geom.Affine, at func(set.Ref) (geom.Point, error), down geom.Affine, forward float64,
	stands bool, axle geom.Point, radius float64,
) error {
	low, err := at(l.Steering.Lower)
	if err != nil {
		return err
	}
	var high geom.Point
	if l.Steering.Upper != (set.Ref{}) {
		if high, err = at(l.Steering.Upper); err != nil {
			return err
		}
	} else {
		pose := poses[l.Part(l.Steering.Lower.Part)]
		sin, cos := math.Sincos(l.Steering.AngleDeg * math.Pi / 180)
		high = low.Add(pose.Apply(geom.Pt(cos, sin)).Sub(pose.Apply(geom.Pt(0, 0))))
	}
	p, u := down.Apply(low), down.Apply(high).Sub(down.Apply(low))
	if u.Len() < 1e-6 { // mm
		return errors.New("the two ends of the steering axis coincide in this setting; name features that lie apart")
	}
	if u = u.Unit(); u.Y < 0 {
		u = u.Mul(-1)
	}
	const level = 0.02 // sine of the head angle; below one degree the axis meets the ground nowhere near
	if u.Y < level {
		return fmt.Errorf("the steering axis lies along the ground (%.3g° from it); look at its two ends", math.Asin(u.Y)*180/math.Pi)
	}
	rake := math.Atan2(-u.X*forward, u.Y)
	m.RakeDeg, m.HeadDeg = ptr(rake*180/math.Pi), ptr(90-rake*180/math.Pi)
	if !stands {
		return nil
	}
	// The normal of the axis that points forward; the offset is the axle's distance along it.
	n := geom.Pt(u.Y*forward, -u.X*forward)
	offset := axle.Sub(p).Dot(n)
	meets := p.X - u.X*p.Y/u.Y // where the axis meets the ground
	m.Offset, m.Trail = ptr(offset), ptr((meets-axle.X)*forward)
	m.NormalTrail = ptr(radius*math.Sin(rake) - offset)
	return nil
}

// lowest finds the lowest point of all plates whose shape is known.
func (m *Machine) lowest(l *set.Loaded, poses []geom.Affine, down geom.Affine) {
	for i, s := range l.Shapes {
		if s.Layout == nil {
			continue
		}
		c := s.Layout.Outline.Outer.Transform(poses[i].Then(down))
		y := c.Box().Min.Y
		if m.Clearance != nil && y >= *m.Clearance {
			continue
		}
		m.Clearance, m.LowestPart = ptr(y), l.Parts[i].Name
		at := lowestPoint(c, y)
		m.LowestAt = &[2]float64{at.X + 0, at.Y + 0}
	}
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
