package kinematics

import (
	"fmt"
	"math"
)

// Steering is the geometry of a steered wheel with its axis, seen from the side. The axis leans back by the rake a from the
// vertical; the axle lies ahead of the axis by the offset, measured square to it.
type Steering struct {
	Radius  float64 // of the loaded wheel R, mm
	RakeDeg float64 // a, from the vertical
	Offset  float64 // mm, forward of the axis
}

func (s Steering) rake() float64 { return s.RakeDeg * math.Pi / 180 }

// Normal is the normal trail, the distance of the contact from the axis: R sin a − offset, mm.
func (s Steering) Normal() float64 { return s.Radius*math.Sin(s.rake()) - s.Offset }

// Trail is the trail measured on the ground, by which the axis meets the ground ahead of the contact:
// (R sin a − offset) / cos a, mm.
func (s Steering) Trail() float64 { return s.Normal() / math.Cos(s.rake()) }

// Flop is by how much the head would sink at a quarter turn to first order, trail · sin a · cos a, mm.
func (s Steering) Flop() float64 { return s.Trail() * math.Sin(s.rake()) * math.Cos(s.rake()) }

func (s Steering) check() error {
	if !(s.Radius > 0) || math.IsInf(s.Radius, 0) || !(math.Abs(s.RakeDeg) < 89) || math.IsNaN(s.Offset) || math.IsInf(s.Offset, 0) {
		return fmt.Errorf("kinematics: a wheel of radius %g mm on an axis raked by %g° with an offset of %g mm; the radius must be above 0 and "+
			"the rake within 89°", s.Radius, s.RakeDeg, s.Offset)
	}
	return nil
}

// OffsetFor is the offset in mm that gives the wanted trail on the ground: R sin a − trail · cos a.
func OffsetFor(radius, rakeDeg, trail float64) (float64, error) {
	s := Steering{Radius: radius, RakeDeg: rakeDeg}
	if err := s.check(); err != nil {
		return 0, err
	}
	if math.IsNaN(trail) || math.IsInf(trail, 0) {
		return 0, fmt.Errorf("kinematics: a trail of %g mm is wanted; give a length", trail)
	}
	return radius*math.Sin(s.rake()) - trail*math.Cos(s.rake()), nil
}

// TrailRange is the trail in mm that an eccentric of e mm at the axle lets be set, the least and the most: the offset moves
// by ± e, the trail by ± e/cos a.
func (s Steering) TrailRange(e float64) (least, most float64, err error) {
	if err := s.check(); err != nil {
		return 0, 0, err
	}
	if !(e >= 0) || math.IsInf(e, 0) {
		return 0, 0, fmt.Errorf("kinematics: an eccentric of %g mm; give 0 or more", e)
	}
	low, high := s, s
	low.Offset += e
	high.Offset -= e
	return low.Trail(), high.Trail(), nil
}

const inch = 25.4 // mm

// TyreRadius is the unloaded radius in mm of a tyre by its metric designation, such as 120/70-17: section width in mm, its
// height in per cent of the width, and the rim diameter in inches. The loaded radius is some per cent less and is measured.
func TyreRadius(width, aspectPercent, rimInch float64) float64 {
	return inch*rimInch/2 + width*aspectPercent/100
}

// CycleRadius is the unloaded radius in mm of a cycle tyre by its ISO 5775 designation, such as 47-406: section width and
// bead seat diameter in mm, the section taken as high as it is wide.
func CycleRadius(width, beadSeat float64) float64 { return beadSeat/2 + width }
