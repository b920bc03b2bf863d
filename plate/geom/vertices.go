package geom

import "math"

// Vertices are merged by a hash over square cells: an open-addressing table of
// vertex numbers, in which the vertices of one cell follow each other from the
// cell's own slot on. A search compares distances only, so a stray vertex of
// another cell does no harm.

func hashCellOf(x, y int64) uint32 {
	h := uint64(x)*0x9E3779B97F4A7C15 ^ uint64(y)*0xC2B2AE3D27D4EB4F
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	return uint32(h >> 32)
}

// look searches the run of slots that starts at the cell's own slot for the
// vertex nearest to p, given the best so far and its squared distance.
func (r *arrangement) look(h uint32, p Point, best int32, least float64) (int32, float64) {
	m := uint32(len(r.slots) - 1)
	for i := h & m; r.slots[i] != 0; i = (i + 1) & m {
		v := r.slots[i] - 1
		if d := dist2(r.vs[v], p); d < least {
			best, least = v, d
		}
	}
	return best, least
}

func (r *arrangement) insert(h uint32, v int32) {
	m := uint32(len(r.slots) - 1)
	i := h & m
	for r.slots[i] != 0 {
		i = (i + 1) & m
	}
	r.slots[i] = v + 1
}

func (r *arrangement) growSlots(n int) {
	size := 64
	for size < 3*n {
		size *= 2
	}
	if cap(r.slots) >= size {
		r.slots = r.slots[:size]
		clear(r.slots)
	} else {
		r.slots = make([]int32, size)
	}
	for v, p := range r.vs {
		r.insert(hashCellOf(int64(math.Floor(p.X/r.cell)), int64(math.Floor(p.Y/r.cell))), int32(v))
	}
}

// vert returns the vertex at p: the nearest within the merge distance, or a new
// one.
func (r *arrangement) vert(p Point) int32 {
	fx, fy := p.X/r.cell, p.Y/r.cell
	gx, gy := math.Floor(fx), math.Floor(fy)
	ix, iy := int64(gx), int64(gy)
	h := hashCellOf(ix, iy)
	best, least := r.look(h, p, -1, r.merge*r.merge)
	if best >= 0 && least < settled*settled {
		return best
	}
	const m = mergeDist/hashCell + 0.01
	x0, x1, y0, y1 := ix, ix, iy, iy
	if fx-gx < m {
		x0--
	} else if fx-gx > 1-m {
		x1++
	}
	if fy-gy < m {
		y0--
	} else if fy-gy > 1-m {
		y1++
	}
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			if x != ix || y != iy {
				best, least = r.look(hashCellOf(x, y), p, best, least)
			}
		}
	}
	if best >= 0 {
		return best
	}
	v := int32(len(r.vs))
	r.vs = append(r.vs, p)
	if 2*len(r.vs) > len(r.slots) {
		r.growSlots(len(r.vs))
	} else {
		r.insert(h, v)
	}
	return v
}
