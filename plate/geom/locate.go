package geom

import "math"

// faceIndex lists, for every cell of a grid over the faces' boxes, the faces
// whose box meets it, in ascending order. It is made with the subdivision and
// not changed any more.
type faceIndex struct {
	boxes  []Box // of the faces; that of face 0 is empty
	all    Box
	nx, ny int
	sx, sy float64 // cells per millimetre
	start  []int32 // of each cell's faces in list
	list   []int32
}

// newFaceIndex makes the grid about as fine as the faces are many.
func newFaceIndex(boxes []Box) faceIndex {
	x := faceIndex{boxes: boxes}
	for _, b := range boxes {
		x.all = x.all.Union(b)
	}
	n := len(boxes)
	if n < 8 {
		return x // a look at each box is as fast
	}
	w, h := max(x.all.Width(), 1e-9), max(x.all.Height(), 1e-9)
	// Coarser where most boxes are large, so that the lists stay short.
	for k := min(math.Sqrt(float64(n)), 256); ; k /= 2 {
		x.nx = int(min(max(1, math.Ceil(k*math.Sqrt(w/h))), 1024))
		x.ny = int(min(max(1, math.Ceil(k*math.Sqrt(h/w))), 1024))
		x.sx, x.sy = float64(x.nx)/w, float64(x.ny)/h
		if x.nx*x.ny == 1 || x.entries() <= 16*n {
			break
		}
	}
	x.start = make([]int32, x.nx*x.ny+2)
	x.each(func(_, cell int) { x.start[cell+2]++ })
	for i := 2; i < len(x.start); i++ {
		x.start[i] += x.start[i-1]
	}
	x.list = make([]int32, x.start[len(x.start)-1])
	x.each(func(face, cell int) {
		x.list[x.start[cell+1]] = int32(face)
		x.start[cell+1]++
	})
	return x
}

// entries is the length of all lists.
func (x *faceIndex) entries() int {
	sum := 0
	for f := 1; f < len(x.boxes); f++ {
		i0, j0 := x.cell(x.boxes[f].Min)
		i1, j1 := x.cell(x.boxes[f].Max)
		sum += (i1 - i0 + 1) * (j1 - j0 + 1)
	}
	return sum
}

// each calls do for every face but face 0 and every cell that its box meets.
func (x *faceIndex) each(do func(face, cell int)) {
	for f := 1; f < len(x.boxes); f++ {
		b := &x.boxes[f]
		if b.Empty() {
			continue
		}
		i0, j0 := x.cell(b.Min)
		i1, j1 := x.cell(b.Max)
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				do(f, j*x.nx+i)
			}
		}
	}
}

func (x *faceIndex) cell(p Point) (i, j int) {
	return bucket((p.X-x.all.Min.X)*x.sx, x.nx), bucket((p.Y-x.all.Min.Y)*x.sy, x.ny)
}

// Locate returns the face that holds p: one of the neighbouring faces when p is
// on an edge. The time grows with the edges of the faces near p, not with those
// of the whole subdivision.
func (s *Subdivision) Locate(p Point) int32 {
	x := &s.index
	switch {
	case len(x.boxes) != len(s.Faces): // not one that this package made
		for i := 1; i < len(s.Faces); i++ {
			if s.Faces[i].Contains(p) {
				return int32(i)
			}
		}
	case !x.all.Contains(p):
	case x.list == nil:
		for i := range x.boxes {
			if x.boxes[i].Contains(p) && s.Faces[i].Contains(p) {
				return int32(i)
			}
		}
	default:
		i, j := x.cell(p)
		c := j*x.nx + i
		for _, f := range x.list[x.start[c]:x.start[c+1]] {
			if x.boxes[f].Contains(p) && s.Faces[f].Contains(p) {
				return f
			}
		}
	}
	return 0
}
