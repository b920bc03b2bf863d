package mesh

import (
	"math"

	"platewright/plate/geom"
)

// Quality says how good a mesh is, and what the input left no choice about.
type Quality struct {
	// MinAngle is the least angle between the straight sides of a triangle,
	// radians; At is the middle of that triangle and Cause why it is below
	// Options.MinAngle, if it is.
	MinAngle float64
	At       geom.Point
	Cause    Cause
	// MinFreeAngle is the least angle among triangles that the input did not
	// force to be sharper than Options.MinAngle.
	MinFreeAngle float64
	// Sharp are the triangles below Options.MinAngle, in order.
	Sharp []SharpTriangle
	// MinDeterminant is the least determinant of the map of an element, as a share
	// of that of the straight triangle: 1 inside, positive wherever elements do
	// not fold. It is a lower bound.
	MinDeterminant float64
	// Straight is the number of sides on arcs that were left straight: at cusps
	// of the map, where no curved element fits, and in metal thinner than
	// MinSize.
	Straight int
	// Areas are those of the faces with metal.
	Areas []FaceArea
}

// Cause is why a triangle is sharper than asked.
type Cause int8

// The causes.
const (
	NotSharp     Cause = iota // it is not
	SharpCorner               // two edges of the map meet at a small angle
	NarrowPlace               // metal or an edge of the map is smaller than MinSize
	Moved                     // the mesh followed a drag
	NotExplained              // none of these: the mesher could have done better
)

// String names the cause in words.
func (c Cause) String() string {
	switch c {
	case NotSharp:
		return "not sharp"
	case SharpCorner:
		return "sharp corner of the plate"
	case NarrowPlace:
		return "place narrower than the least size"
	case Moved:
		return "moved with a drag"
	}
	return "not explained"
}

// SharpTriangle is a triangle below Options.MinAngle.
type SharpTriangle struct {
	Triangle int32
	Angle    float64 // radians
	Cause    Cause
}

// FaceArea compares the area of a face, mm², in the mesh and in the map.
// ChordError is by how much they may differ: the areas between arcs and the
// sides on them, and 4 µm along every edge.
type FaceArea struct {
	Face                  int32
	Mesh, Map, ChordError float64
}

// chordError is the area between the arc from p to q and the parabola through
// p, m and q, or, with m on the chord, the chord.
func chordError(e geom.Edge, p, q, m geom.Point) float64 {
	if e.Dir == 0 {
		return 0
	}
	l := p.Dist(q)
	half := math.Asin(min(1, l/(2*e.R)))
	rise := q.Sub(p).Cross(m.Sub(p)) / l
	// The segment of a circle, R²(α − sin α cos α), by its series where that
	// cancels.
	seg := e.R * e.R * (half - math.Sin(half)*math.Cos(half))
	if half < 0.02 {
		seg = e.R * e.R * half * half * half * (2.0/3 - half*half*2/15)
	}
	return math.Abs(seg-2*l*math.Abs(rise)/3) * (1 + 1e-6)
}

// judge fills in the quality.
func (f *finisher) judge() error {
	q := &f.m.Quality
	q.MinAngle, q.MinFreeAngle, q.MinDeterminant = math.Pi, math.Pi, 1
	for i, t := range f.order {
		s := f.measure(t)
		angle := math.Asin(min(1, math.Sqrt(s.sin2())))
		cause := NotSharp
		// The same comparison as when refining.
		if s.sin2() < sq(math.Sin(f.o.MinAngle)) {
			var err error
			if cause, err = f.cause(t); err != nil {
				return err
			}
			q.Sharp = append(q.Sharp, SharpTriangle{int32(i), angle, cause})
		}
		if angle < q.MinAngle {
			q.MinAngle, q.At, q.Cause = angle, f.middleOf(t), cause
		}
		if cause == NotSharp || cause == NotExplained {
			q.MinFreeAngle = min(q.MinFreeAngle, angle)
		}
		q.MinDeterminant = min(q.MinDeterminant, f.m.determinant(i))
	}
	f.m.made = q.Sharp
	for i := range f.m.Sides {
		if f.m.Sides[i].Straight {
			q.Straight++
		}
	}
	return nil
}

// cause asks again what stands in the way of a better triangle.
func (f *finisher) cause(t int32) (Cause, error) {
	if f.atSharpCorner(t) {
		return SharpCorner, nil
	}
	r, err := f.improve(t, false)
	switch r {
	case sharpInput:
		return SharpCorner, err
	case narrowInput:
		return NarrowPlace, err
	}
	return NotExplained, err
}
