package kinematics

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// Eccentric is an adjuster whose bore is off its own axis by E: the centre runs on a circle of radius E about the axis.
type Eccentric struct {
	Axis geom.Point // of the bore in which it turns
	E    float64    // mm
}

// Centre is where the moving centre lies at an angle in degrees.
func (c Eccentric) Centre(angleDeg float64) geom.Point {
	s, co := math.Sincos(angleDeg * math.Pi / 180)
	return c.Axis.Add(geom.Pt(c.E*co, c.E*s))
}

// Angles gives the two angles in degrees at which the moving centre stands off the axis by the wanted mm along a direction:
// the one turned on from the direction first. At ±e they are one. Beyond that it is an error that names the range.
func (c Eccentric) Angles(along, directionDeg float64) (a, b float64, err error) {
	if !(c.E > 0) || math.IsNaN(directionDeg) || math.IsInf(directionDeg, 0) {
		return 0, 0, fmt.Errorf("kinematics: an eccentric of %g mm along %g°; give an eccentricity above 0 and a direction", c.E, directionDeg)
	}
	const rounding = 1e-12
	if !(math.Abs(along) <= c.E*(1+rounding)) {
		return 0, 0, fmt.Errorf("kinematics: the eccentric moves its centre from %g to %g mm along %g°, and %g mm is wanted", -c.E, c.E, directionDeg, along)
	}
	half := math.Acos(max(-1, min(1, along/c.E))) * 180 / math.Pi
	return normal(directionDeg + half), normal(directionDeg - half), nil
}

// Lock is one position in which an eccentric's locking screws hold it.
type Lock struct {
	AngleDeg float64
	Centre   geom.Point // in the plate's drawing
}

// Locks gives the positions in which an eccentric can be locked by n equally spaced holes: the moving centre at the angle of
// the start hole and every 360°/n on.
func (c Eccentric) Locks(n int, startDeg float64) []Lock {
	var at []Lock
	for _, a := range Equal(n, startDeg) {
		at = append(at, Lock{normal(a), c.Centre(a)})
	}
	return at
}

// EccentricOf is the eccentric of a plate as geometry; ok is false when its bore does not exist.
func EccentricOf(p plate.Plate, e plate.Eccentric) (c Eccentric, ok bool) {
	for _, b := range p.Bores {
		if b.ID == e.Bore {
			return Eccentric{Axis: geom.Pt(b.X, b.Y), E: e.E}, true
		}
	}
	return Eccentric{}, false
}

// Slide is the place of a slot's slider at a position along its line from the centre, mm. Beyond the ends it is an error
// that names the range.
func Slide(s plate.Slot, position float64) (geom.Point, error) {
	const rounding = 1e-9 // mm
	if !(math.Abs(position) <= s.Length/2+rounding) {
		return geom.Point{}, fmt.Errorf("kinematics: slot %q lets its slider move from %g to %g mm, and %g mm is wanted", s.Name, -s.Length/2, s.Length/2, position)
	}
	sin, cos := math.Sincos(s.AngleDeg * math.Pi / 180)
	return geom.Pt(s.X+position*cos, s.Y+position*sin), nil
}
