package fea

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// fieldEnergy divides the energy of a field among its ribs.
type fieldEnergy struct {
	ribs  []ribEnergy
	lines []ribLine

	// Bins of a square grid hold the lines whose boxes come within a bin's side of them.
	box    geom.Box
	side   float64
	nx, ny int
	bins   [][]int32
}

type ribEnergy struct {
	FieldRib
	met    bool // some of its metal was met
	energy float64
}

// ribLine is a stretch of the centre line of a rib.
type ribLine struct {
	edge geom.Edge
	rib  int
}

// alike is how much nearer, mm, one centre line must be than another to take a place alone.
const alike = 1e-6

// newFieldEnergy is nil where the feature is no field of ribs, but a drawn one.
func newFieldEnergy(l *layout.Layout, id plate.ID) *fieldEnergy {
	i := slices.IndexFunc(l.Plate.Grids, func(g plate.Grid) bool { return g.ID == id })
	if i < 0 {
		return nil
	}
	chained := l.Plate.Grids[i].Kind == plate.Directions // whose ribs are chains of arcs
	f := &fieldEnergy{}
	end := geom.Pt(math.NaN(), 0)
	for k := range l.Strips {
		s := &l.Strips[k]
		if s.Feature != id {
			continue
		}
		e := s.Edge()
		if !chained || !(e.A.Dist(end) < alike) {
			f.ribs = append(f.ribs, ribEnergy{FieldRib: FieldRib{s.Anchor, e.Mid()}})
		}
		end = e.B
		f.lines = append(f.lines, ribLine{e, len(f.ribs) - 1})
		f.box = f.box.Union(e.Box())
	}
	if len(f.lines) == 0 {
		return nil
	}
	f.bin()
	return f
}

// bin makes about as many bins as there are lines.
func (f *fieldEnergy) bin() {
	n := float64(len(f.lines))
	w, h := f.box.Width(), f.box.Height()
	f.side = max(math.Sqrt(w*h/n), max(w, h)/n, alike)
	f.nx, f.ny = int(w/f.side)+1, int(h/f.side)+1
	f.bins = make([][]int32, f.nx*f.ny)
	for i := range f.lines {
		b := f.lines[i].edge.Box().Grow(f.side)
		x0, y0 := f.place(b.Min)
		x1, y1 := f.place(b.Max)
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				f.bins[y*f.nx+x] = append(f.bins[y*f.nx+x], int32(i))
			}
		}
	}
}

// place is the bin of a point, or the nearest one.
func (f *fieldEnergy) place(q geom.Point) (x, y int) {
	at := func(v float64, n int) int { return int(min(max(v/f.side, 0), float64(n-1))) }
	return at(q.X-f.box.Min.X, f.nx), at(q.Y-f.box.Min.Y, f.ny)
}

// add gives energy at a place to the nearest rib, in equal parts to several that are as near.
func (f *fieldEnergy) add(q geom.Point, energy float64) {
	x, y := f.place(q)
	near := f.nearest(q, f.bins[y*f.nx+x])
	for _, r := range near {
		f.ribs[r].met = true
		f.ribs[r].energy += energy / float64(len(near))
	}
}

// nearest are the ribs nearest to a place: by the lines of its bin, or by all where none of these is near enough to be sure.
func (f *fieldEnergy) nearest(q geom.Point, of []int32) []int {
	best := math.Inf(1)
	var ribs []int
	try := func(i int) {
		l := &f.lines[i]
		d := l.edge.Dist(q)
		switch {
		case d > best+alike:
		case d < best-alike:
			best, ribs = d, append(ribs[:0], l.rib)
		default:
			best = min(best, d)
			if !slices.Contains(ribs, l.rib) {
				ribs = append(ribs, l.rib)
			}
		}
	}
	for _, i := range of {
		try(int(i))
	}
	if best > f.side-alike {
		best, ribs = math.Inf(1), ribs[:0]
		for i := range f.lines {
			try(i)
		}
	}
	return ribs
}
