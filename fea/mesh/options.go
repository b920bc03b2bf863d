package mesh

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate/geom"
)

// Options say how fine the mesh is. The zero value is a plain mesh of medium
// size.
type Options struct {
	// Size is the largest side of an element, mm, to within half of itself. Zero
	// means a fortieth of the longer side of the metal.
	Size float64
	// Field, if not nil, lowers Size from place to place; it must give a positive
	// number everywhere. It is asked at the corners of elements only, so a dip
	// narrower than the mesh around it may be missed.
	Field func(geom.Point) float64
	// Grading is how much the size may grow per millimetre away from what is
	// small; must be in [0.05, 2], zero means 0.5.
	Grading float64
	// Across is the least number of elements across metal between two edges of
	// the map that do not meet, such as the sides of a rib: 1 asks for nothing
	// and 2 is what zero means. Two are kept exactly; 3 and 4 are sized for.
	Across int
	// Single, if not nil, marks faces of the map across which one element is enough,
	// such as the ring of a groove.
	Single []bool
	// ArcEdges is the number of element sides round a full turn of an arc; must
	// be in [4, 256], zero means 16, and a closed circle gets 8 at least. Element
	// sides on arcs are never fewer, and more where Size, a narrow place or the
	// angle asks for it.
	ArcEdges int
	// Arcs, if not nil, overrides ArcEdges for single edges of the map: one entry
	// per edge, zero where ArcEdges holds.
	Arcs []int
	// MinAngle is the least angle of an element in radians wherever the input
	// allows; must be in [0.1, 0.55], zero means 27°. Above 0.5 (29°) meshes grow
	// quickly.
	MinAngle float64
	// MinSize is the length, mm, to which sides are halved to reach MinAngle and
	// Across; what is narrower is meshed as it is and reported. It must be in
	// [1e-4, Size], zero means a two-hundredth of Size. Edges of the map that are
	// shorter still stay, and the mesh grows from them.
	MinSize float64
	// MaxTriangles is where meshing stops with an error; at most 4 000 000, zero
	// means 400 000.
	MaxTriangles int
}

// ErrTooFine is wrapped by the error that says that a mesh would have more
// triangles than Options.MaxTriangles.
var ErrTooFine = errors.New("more triangles than allowed")

const (
	defaultAngle     = 27 * math.Pi / 180
	defaultTriangles = 400_000
	mostTriangles    = 4_000_000
)

// withDefaults fills in what is zero and refuses what makes no sense. long is
// the longer side of the metal.
func (o Options) withDefaults(long float64, edges, faces int) (Options, error) {
	set := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	set(&o.Size, long/40)
	set(&o.Grading, 0.5)
	set(&o.MinAngle, defaultAngle)
	set(&o.MinSize, max(1e-4, o.Size/200))
	if o.Across == 0 {
		o.Across = 2
	}
	if o.ArcEdges == 0 {
		o.ArcEdges = 16
	}
	if o.MaxTriangles == 0 {
		o.MaxTriangles = defaultTriangles
	}
	for _, r := range []struct {
		name      string
		v, lo, hi float64
	}{
		{"Size", o.Size, 1e-3, 1e6},
		{"Grading", o.Grading, 0.05, 2},
		{"MinAngle", o.MinAngle, 0.1, 0.55},
		{"MinSize", o.MinSize, 1e-4, o.Size},
		{"Across", float64(o.Across), 1, 4},
		{"ArcEdges", float64(o.ArcEdges), 4, 256},
		{"MaxTriangles", float64(o.MaxTriangles), 1, mostTriangles},
	} {
		if !(r.v >= r.lo && r.v <= r.hi) {
			return o, fmt.Errorf("mesh: %s is %g, outside %g to %g: give a value in that range, or 0 for the usual one", r.name, r.v, r.lo, r.hi)
		}
	}
	if o.Arcs != nil && len(o.Arcs) != edges {
		return o, fmt.Errorf("mesh: Arcs has %d entries for %d edges: give one for every edge", len(o.Arcs), edges)
	}
	if o.Single != nil && len(o.Single) != faces {
		return o, fmt.Errorf("mesh: Single has %d entries for %d faces: give one for every face", len(o.Single), faces)
	}
	for i, n := range o.Arcs {
		if n != 0 && (n < 4 || n > 256) {
			return o, fmt.Errorf("mesh: Arcs[%d] is %d, outside 4 to 256: give a value in that range, or 0 for ArcEdges", i, n)
		}
	}
	return o, nil
}
