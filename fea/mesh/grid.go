package mesh

import (
	"math"

	"platewright/plate/geom"
)

// grid finds points in a box: a list of points in every cell, about one each.
type grid struct {
	p      []geom.Point
	next   []int32
	head   []int32
	lo     geom.Point
	sx, sy float64 // cells per millimetre
	nx, ny int
}

func newGrid(p []geom.Point) *grid {
	var box geom.Box
	for _, q := range p {
		box = box.Add(q)
	}
	w, h := max(box.Width(), 1e-9), max(box.Height(), 1e-9)
	side := max(math.Sqrt(w*h/float64(len(p)+1)), max(w, h)/1000)
	g := &grid{lo: box.Min, nx: int(w/side) + 1, ny: int(h/side) + 1}
	g.sx, g.sy = float64(g.nx)/w, float64(g.ny)/h
	g.head = make([]int32, g.nx*g.ny)
	for i := range g.head {
		g.head[i] = none
	}
	for i, q := range p {
		g.add(q, int32(i))
	}
	return g
}

func (g *grid) cell(p geom.Point) (x, y int) {
	x = min(max(int((p.X-g.lo.X)*g.sx), 0), g.nx-1)
	y = min(max(int((p.Y-g.lo.Y)*g.sy), 0), g.ny-1)
	return x, y
}

// add puts in point number i, which must be the next.
func (g *grid) add(p geom.Point, i int32) {
	x, y := g.cell(p)
	k := y*g.nx + x
	g.p = append(g.p, p)
	g.next = append(g.next, g.head[k])
	g.head[k] = i
}

// any reports whether ok holds for a point in the box.
func (g *grid) any(box geom.Box, ok func(i int32) bool) bool {
	x0, y0 := g.cell(box.Min)
	x1, y1 := g.cell(box.Max)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for i := g.head[y*g.nx+x]; i >= 0; i = g.next[i] {
				if box.Contains(g.p[i]) && ok(i) {
					return true
				}
			}
		}
	}
	return false
}
