package layout

import (
	"math"

	"platewright/plate/geom"
)

// byTiles fills in the pieces of a field that a whole-plate isogrid divides, triangle by triangle: see field.go. It
// reports false when there is no such grid.
//
// A sharp triangle that neither the ground's boundary nor an obstacle touches is one piece, and its opening is the rounded
// triangle. The others go through the geometry engine together; they are disjoint, so one combination and one offset serve
// all, with three edges each instead of the strips that make them.
func (d *deriver) byTiles(f *field) (bool, error) {
	at := -1
	for _, g := range f.grids {
		if d.lattices[g].free && (at < 0 || d.lattices[g].pitch < d.lattices[at].pitch) {
			at = g
		}
	}
	if at < 0 {
		return false, nil
	}
	l := &d.lattices[at]
	var others []int
	for _, i := range f.ribs {
		if d.ribs[i].grid != at {
			others = append(others, i)
		}
	}
	ground, err := d.ground(f, 0)
	f.base = ground
	if err != nil || len(ground) == 0 || l.h/3-l.half <= minInradius {
		return true, err
	}
	m := newTileMap(l, ground.Box())
	f.tiles, f.lattice = m, at
	m.touchGround(ground)
	m.touchObstacles(d, others)
	sharp, open, err := d.touched(f, m, ground, others)
	if err != nil {
		return true, err
	}
	m.collect(f, ground, sharp, open)
	return true, nil
}

// touched combines the triangles that something touches: the sharp pieces in them, and the opened regions.
func (d *deriver) touched(f *field, m *tileMap, ground geom.Shape, others []int) (sharp, open geom.Shape, err error) {
	var res [2]geom.Shape
	for k, r := range [2]float64{0, f.p.Radius} {
		if m.l.h/3-m.l.half-r <= minInradius {
			continue
		}
		if r > 0 {
			if ground, err = d.ground(f, r); err != nil {
				return nil, nil, err
			}
		}
		var tris geom.Shape
		for i, s := range m.state {
			if s == tileTouched {
				tris = append(tris, geom.Region{Outer: m.l.sharpTriangle(m.tile(i), m.l.half+r)})
			}
		}
		if len(tris) == 0 || len(ground) == 0 {
			continue
		}
		box := tris.Box()
		away, err := d.barriersNear(r, box)
		if err != nil {
			return nil, nil, err
		}
		away = append(append(away, d.obstacles(others, r, box)...), outsideOf(ground, box))
		if res[k], err = d.eng.Difference(tris, away...); err != nil {
			return nil, nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
		}
	}
	if open, err = d.eng.Offset(res[1], f.p.Radius); err != nil {
		return nil, nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	return res[0], open, nil
}

// outsideOf is everything of the box that is not in s, with a margin round the box.
func outsideOf(s geom.Shape, box geom.Box) geom.Shape {
	b := box.Union(s.Box()).Grow(1)
	rest := geom.Shape{{Outer: geom.Rect(b.Min, b.Max)}}
	for _, r := range s {
		rest[0].Holes = append(rest[0].Holes, r.Outer.Reverse())
		for _, h := range r.Holes {
			rest = append(rest, geom.Region{Outer: h.Reverse()})
		}
	}
	return rest
}

// The states of a triangle.
const (
	tileFree    uint8 = iota // nothing touches it: wholly inside or wholly outside the ground
	tileTouched              // to be combined
	tileBoss                 // wholly inside a boss: no piece
)

// tileMap holds a state for each triangle of a lattice over a box.
type tileMap struct {
	l              *lattice
	box            geom.Box
	i0, i1, j0, j1 int
	in             float64 // radius of the circle inscribed in a sharp triangle
	state          []uint8
}

func newTileMap(l *lattice, box geom.Box) *tileMap {
	m := &tileMap{l: l, box: box, in: l.h/3 - l.half}
	m.i0, m.i1, m.j0, m.j1 = l.tiles(box)
	m.state = make([]uint8, 2*(m.i1-m.i0+1)*(m.j1-m.j0+1))
	return m
}

func (m *tileMap) tile(n int) tile {
	w := m.i1 - m.i0 + 1
	return tile{i: m.i0 + n/2%w, j: m.j0 + n/2/w, k: n % 2}
}

func (m *tileMap) index(t tile) int {
	return ((t.j-m.j0)*(m.i1-m.i0+1)+t.i-m.i0)*2 + t.k
}

// near calls do for every triangle of the map whose circumscribed circle may come within reach of the box.
func (m *tileMap) near(b geom.Box, reach float64, do func(n int, c geom.Point)) {
	b = b.Grow(reach + 2*m.in)
	i0, i1, j0, j1 := m.l.tiles(b)
	for j := max(j0, m.j0); j <= min(j1, m.j1); j++ {
		for i := max(i0, m.i0); i <= min(i1, m.i1); i++ {
			for k := range 2 {
				t := tile{i, j, k}
				if c := m.l.centre(t); b.Contains(c) {
					do(m.index(t), c)
				}
			}
		}
	}
}

// touchSlack is how far from a triangle something may pass and still count as touching, so that rounding never lets a
// touched triangle pass as free.
const touchSlack = 1e-5

// touchGround marks the triangles that the boundary of the ground may meet.
func (m *tileMap) touchGround(g geom.Shape) {
	for _, c := range g.Contours() {
		for i := range c {
			e := c[i]
			m.near(e.Box(), touchSlack, func(n int, c geom.Point) {
				if m.state[n] == tileFree && e.Dist(c) <= 2*m.in+touchSlack && (e.IsArc() || m.meets(n, e.A, e.B, 0)) {
					m.state[n] = tileTouched
				}
			})
		}
	}
}

// touchObstacles marks the triangles that bosses and ribs may meet, and those that a boss swallows.
func (m *tileMap) touchObstacles(d *deriver, ribs []int) {
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss == 0 {
			continue
		}
		r := k.radius()
		m.near(geom.Box{}.Add(k.c), r, func(n int, c geom.Point) {
			if m.state[n] == tileFree && c.Dist(k.c) <= r+2*m.in+touchSlack && m.meets(n, k.c, k.c, r) {
				m.state[n] = tileTouched
			}
		})
	}
	m.swallow(d)
	m.touchRibs(d, ribs)
	m.touchBarriers(d)
}

// swallow marks the triangles that lie wholly in a boss.
func (m *tileMap) swallow(d *deriver) {
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss == 0 || k.radius() < 2*m.in {
			continue
		}
		m.near(geom.Box{}.Add(k.c), k.radius(), func(n int, c geom.Point) {
			if c.Dist(k.c)+2*m.in < k.radius()-touchSlack {
				m.state[n] = tileBoss
			}
		})
	}
}

// touchRibs marks the triangles that ribs may meet.
func (m *tileMap) touchRibs(d *deriver, ribs []int) {
	for _, i := range ribs {
		k := &d.ribs[i]
		m.near(geom.Box{}.Add(k.a).Add(k.b), k.half, func(n int, _ geom.Point) {
			if m.state[n] == tileFree && m.meets(n, k.a, k.b, k.half) {
				m.state[n] = tileTouched
			}
		})
	}
}

// meets reports whether the strip of half width w along a–b may meet the sharp triangle: no side of the triangle and no
// normal of the strip keeps them apart.
func (m *tileMap) meets(n int, a, b geom.Point, w float64) bool {
	c := m.l.corners(m.tile(n), m.l.half)
	w += touchSlack
	for i := range c {
		out := c[(i+1)%3].Sub(c[i]).Unit().Perp().Mul(-1)
		if min(out.Dot(a.Sub(c[i])), out.Dot(b.Sub(c[i]))) > w {
			return false
		}
	}
	axis := b.Sub(a).Unit().Perp()
	if a == b {
		axis = c[0].Sub(a).Unit()
		for _, q := range c[1:] {
			if q.Dist(a) < c[0].Dist(a) {
				axis = q.Sub(a).Unit()
			}
		}
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range c {
		v := axis.Dot(q.Sub(a))
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo <= w && hi >= -w
}

// collect puts the pieces together, in the order of the lattice.
func (m *tileMap) collect(f *field, ground, sharp, open geom.Shape) {
	home := make(map[tile][]int, len(sharp)) // into the pieces of the touched triangles
	cut := make([]piece, len(sharp))
	for i, s := range sharp {
		t := m.l.locate(s.Outer[0].Mid())
		cut[i] = piece{sharp: s}
		home[t] = append(home[t], i)
	}
	for _, o := range open {
		is := home[m.l.locate(o.Outer[0].Mid())]
		for n, i := range is {
			if n == len(is)-1 || cut[i].sharp.Contains(inside(o)) {
				cut[i].open = append(cut[i].open, o)
				break
			}
		}
	}
	opens := m.in-f.p.Radius > minInradius
	for n, s := range m.state {
		t := m.tile(n)
		switch {
		case s == tileTouched:
			for _, i := range home[t] {
				f.pieces = append(f.pieces, cut[i])
			}
		case s == tileFree && m.box.Contains(m.l.centre(t)) && ground.Contains(m.l.centre(t)):
			p := piece{sharp: geom.Region{Outer: m.l.sharpTriangle(t, m.l.half)}, at: t, free: true, lattice: f.lattice}
			if opens {
				p.open = []geom.Region{{Outer: m.l.roundedTriangle(t, f.p.Radius)}}
			}
			f.pieces = append(f.pieces, p)
		}
	}
}
