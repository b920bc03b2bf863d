package geom

import "math"

// Every tolerance of the package is in this file, with its reason. Lengths are
// millimetres. A plate is at most a few metres, where a float64 resolves about
// 1e-12 mm; a mill holds 1e-2 mm. The merge distance sits midway between.
const (
	// nearCurve is the distance below which an end point lies on a curve, and
	// two curves touch. Ten thousand times finer than a mill can hold, a million
	// times coarser than rounding at one metre.
	nearCurve = 1e-6

	// mergeDist is the distance below which two vertices are one. Twice
	// nearCurve: an end point within nearCurve of a curve and the crossing of
	// the two curves beside it must fall together.
	mergeDist = 2 * nearCurve

	// hashCell is the side of a cell of the vertex hash: four merge distances,
	// so that a search touches one cell in most cases and never more than four.
	hashCell = 4 * mergeDist

	// parallelSin is the sine below which two lines are parallel when they are
	// crossed, and one straight line when they are joined end to end.
	// A line of 1 m turned by it moves 1e-6 mm, one nearCurve.
	parallelSin = 1e-9

	// settled is the distance that a vertex may move a piece without a look at
	// what the piece then passes: far above rounding, far below nearCurve.
	settled = 1e-8

	// flatSin is the sine below which two lines cross so flatly that the place of
	// the crossing is uncertain along them by more than a thousand merge distances.
	flatSin = 1e-3

	// flatDepth is the depth by which a circle reaches over another curve below
	// which the two touch rather than cross: then their crossings are uncertain
	// along them, and within the merge distance of both all the way between.
	flatDepth = 2 * mergeDist

	// lensDepth is the depth of the lens between two curves with common ends above
	// which they are not one, however near: the lens of two circles of 5 mm that
	// touch is then less than 1.5 µm long.
	lensDepth = 1e-7

	// closeTurn is the angle below which two edges leave a vertex in nearly the
	// same direction, so that the side on which they part decides their order. A
	// vertex moved by mergeDist turns the tangent of an arc by mergeDist / R, less
	// than this for every radius above 0.2 mm; short pieces are given more, see
	// departure.to.
	closeTurn = 1e-2

	// shortArc is the length below which an arc leaves its end along its chord.
	shortArc = 50 * mergeDist

	// shortJoin is the gap between two shifted edges below which they are joined
	// by a straight line: arcs end up to mergeDist off their circle, so the turn
	// of a smaller gap is not known.
	shortJoin = 5 * mergeDist

	// shortSpeck is the length below which a line between two lines that it hardly
	// leaves is taken for an accident of merging when a contour is offset.
	shortSpeck = 1e-2

	// kinkSin is the sine of the turn above which a corner is sharp. Merging
	// may turn an edge of 4 µm by half a radian, but corners that were drawn
	// tangent and combined stay far below this.
	kinkSin = 1e-3

	// closeGap is the gap between the end of one edge and the start of the next
	// that Check lets pass, and the least length of an edge.
	closeGap = 1e-6

	// tangentRun bounds how far from their common corner two tangent edges may
	// cross because the corner has moved by mergeDist: √(2R·mergeDist) is 0.06 mm
	// for R = 1 m.
	tangentRun = 0.1

	// maxOff is the distance by which the end of an arc may lie off its circle in a
	// result: half of what is accepted (arcEndSlack), so that results of results
	// stay acceptable however often ends are merged. Beyond it the circle is moved.
	maxOff = 5e-6

	// opposeSin is the sine by which the line between two stretches of one
	// contour may lean from their normals for the stretches to face each other
	// (5.7°: a rib tapering by 11° still has a thickness).
	opposeSin = 0.1

	// inscribedTol is the accuracy of InscribedCircle.
	inscribedTol = 1e-6
)

// Limits on size: larger input is refused with an error, so that no call needs
// unbounded time or memory or loses the accuracy promised above.
const (
	// MaxCoord is the largest coordinate of a drawn point, mm. Check refuses
	// more.
	MaxCoord = 1e5

	// MaxRadius is the largest radius of an arc, mm. Flatter arcs lose the
	// place of a tangency: it is known to √(2R·1e-10) mm along the tangent.
	MaxRadius = 1e6

	// MaxEdges is the largest number of edges in one combination.
	MaxEdges = 400_000

	// MaxPairs is the largest number of pairs of neighbouring edges examined in
	// one combination.
	MaxPairs = 100_000_000

	// maxKernelCoord bounds coordinates inside a combination: an offset and a
	// centre may lie further out than any drawn point.
	maxKernelCoord = 4 * MaxRadius
)

// arcEndSlack is how far the end of a given arc may lie off its circle. Drawing
// files round coordinates to six decimals and give the centre apart; rounding of
// a centre far out adds its share. It stays far below shortArc: a piece from such
// an end to the next crossing of the circle is turned away from the arc's
// tangent, and only one shorter than shortArc is taken along its chord.
func arcEndSlack(r float64) float64 { return 1e-5 + 1e-11*r }

// isSliver reports whether a contour of the given area is narrower, on average,
// than the merge distance: its sides cannot be told apart, its orientation says
// nothing, and it is dropped. Such contours are left where a line was
// split at a vertex beside it and a coincident line was not.
func isSliver(c Contour, area float64) bool {
	a := math.Abs(area)
	return a < maxSliver && a <= mergeDist/2*c.Length()
}

// maxSliver spares most contours the sum of their lengths: none is longer than
// 5 km.
const maxSliver = 5e-3
