package layout

import (
	"math"
	"slices"

	"platewright/plate/geom"
)

// cutIndex finds the prisms near a place, so that asking for each of many is not asking every other one.
type cutIndex struct {
	origin geom.Point
	side   float64 // of a square
	nx, ny int
	in     [][]int32 // by square: the cuts whose boxes meet it
	wide   []int32   // cuts that meet many squares
	box    []geom.Box
	found  []int32 // of the last question
}

// manySquares is how many squares a cut may meet before it is asked every time instead.
const manySquares = 64

// newCutIndex indexes the prisms among the cuts, but for the faces machined all over.
func newCutIndex(cuts []Cut, blank geom.Box) *cutIndex {
	x := &cutIndex{origin: blank.Min, box: make([]geom.Box, len(cuts))}
	n := math.Ceil(math.Sqrt(float64(len(cuts)) + 1))
	x.side = max(blank.Width(), blank.Height()) / n
	x.nx, x.ny = int(blank.Width()/x.side)+1, int(blank.Height()/x.side)+1
	x.in = make([][]int32, x.nx*x.ny)
	for i := range cuts {
		if !cuts[i].Prism() || cuts[i].Kind == CutFace {
			continue
		}
		x.box[i] = cuts[i].Region.Box()
		x0, x1, y0, y1 := x.squares(x.box[i])
		if (x1-x0+1)*(y1-y0+1) > manySquares {
			x.wide = append(x.wide, int32(i))
			continue
		}
		for k := y0; k <= y1; k++ {
			for j := x0; j <= x1; j++ {
				x.in[k*x.nx+j] = append(x.in[k*x.nx+j], int32(i))
			}
		}
	}
	return x
}

// squares is the range of squares that a box meets; what lies outside the blank counts to the outermost.
func (x *cutIndex) squares(b geom.Box) (x0, x1, y0, y1 int) {
	at := func(v, from float64, n int) int {
		return int(min(max(math.Floor((v-from)/x.side), 0), float64(n-1)))
	}
	return at(b.Min.X, x.origin.X, x.nx), at(b.Max.X, x.origin.X, x.nx), at(b.Min.Y, x.origin.Y, x.ny), at(b.Max.Y, x.origin.Y, x.ny)
}

// near lists the prisms whose boxes overlap b, in their order; the slice is valid until the next call.
func (x *cutIndex) near(b geom.Box) []int32 {
	x.found = append(x.found[:0], x.wide...)
	x0, x1, y0, y1 := x.squares(b)
	for k := y0; k <= y1; k++ {
		for j := x0; j <= x1; j++ {
			x.found = append(x.found, x.in[k*x.nx+j]...)
		}
	}
	slices.Sort(x.found)
	out := slices.Compact(x.found)
	return slices.DeleteFunc(out, func(i int32) bool { return !x.box[i].Overlaps(b) })
}
