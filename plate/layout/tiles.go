package layout

import (
	"math"

	"platewright/plate/geom"
)

// byTiles fills in the pieces of a field that a whole-plate isogrid or orthogrid divides, tile by tile: see field.go. It
// reports false when there is no such grid.
//
// A sharp tile that neither the ground's boundary nor an obstacle touches is one piece, and its opening is the rounded tile.
// The others go through the geometry engine together; they are disjoint, so one combination and one offset serve all, with
// three or four edges each instead of the strips that make them. Tiles at a node of a rib with a width of its own go through
// it as they lie between the centre lines, with the grid's own ribs taken off them.
func (d *deriver) byTiles(f *field) (bool, error) {
	at := -1
	for _, g := range f.grids {
		if l := &d.lattices[g]; l.free && l.tiled() && (at < 0 || l.in < d.lattices[at].in) {
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
	if err != nil || len(ground) == 0 {
		return true, err
	}
	if l.in-l.half-l.fillet <= minInradius {
		return len(l.widths) == 0, nil // nothing is left of a tile, unless a narrower rib leaves something
	}
	m := newTileMap(l, ground.Box())
	f.tiles, f.lattice = m, at
	m.loosen()
	m.touchGround(ground)
	m.touchObstacles(d, others)
	sharp, open, err := d.touched(f, m, ground, others)
	if err != nil {
		return true, err
	}
	m.collect(f, ground, sharp, open)
	return true, nil
}

// touched combines the tiles that something touches: the sharp pieces in them, and the opened regions.
func (d *deriver) touched(f *field, m *tileMap, ground geom.Shape, others []int) (sharp, open geom.Shape, err error) {
	var res [2]geom.Shape
	for k, r := range [2]float64{0, f.p.Radius} {
		if r > 0 {
			if ground, err = d.ground(f, r); err != nil {
				return nil, nil, err
			}
		}
		var tiles geom.Shape
		if m.in-max(r, m.l.fillet) > minInradius {
			tiles = m.shapes(tileTouched, m.l.half+r, m.l.fillet-r)
		}
		if res[k], err = d.lessObstacles(f, tiles, ground, others, r); err != nil {
			return nil, nil, err
		}
		loose, err := d.lessObstacles(f, m.shapes(tileLoose, 0, 0), ground, f.ribs, r)
		if err != nil {
			return nil, nil, err
		}
		res[k] = append(res[k], loose...)
	}
	if open, err = d.eng.Offset(res[1], f.p.Radius); err != nil {
		return nil, nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	return res[0], open, nil
}

// lessObstacles is what of the tiles lies in the ground and outside bosses and the given ribs, which are grown by r.
func (d *deriver) lessObstacles(f *field, tiles, ground geom.Shape, ribs []int, r float64) (geom.Shape, error) {
	if len(tiles) == 0 || len(ground) == 0 {
		return nil, nil
	}
	box := tiles.Box()
	away, err := d.barriersNear(r, box)
	if err != nil {
		return nil, err
	}
	more, err := d.obstacles(ribs, r, box)
	if err != nil {
		return nil, err
	}
	s, err := d.eng.Difference(tiles, append(append(away, more...), outsideOf(ground, box))...)
	if err != nil {
		return nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	return s, nil
}

// shapes are the tiles in the given state, inset, with rounded corners.
func (m *tileMap) shapes(state uint8, inset, radius float64) geom.Shape {
	var s geom.Shape
	for i, st := range m.state {
		if st == state {
			s = append(s, geom.Region{Outer: m.l.roundedTile(m.tile(i), inset, radius)})
		}
	}
	return s
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

// The states of a tile.
const (
	tileFree    uint8 = iota // nothing touches it: wholly inside or wholly outside the ground
	tileTouched              // to be combined
	tileBoss                 // wholly inside a boss: no piece
	tileLoose                // at a rib with a width of its own: to be combined with the ribs of its own grid
)

// tileMap holds a state for each tile of a lattice over a box.
type tileMap struct {
	l              *lattice
	box            geom.Box
	i0, i1, j0, j1 int
	per            int     // tiles of one pair of lattice coordinates
	in, out        float64 // radii of the circle inscribed in a sharp tile, and of that through its furthest corners
	state          []uint8
}

func newTileMap(l *lattice, box geom.Box) *tileMap {
	m := &tileMap{l: l, box: box, in: l.in - l.half, out: l.outer(l.half), per: 1}
	if l.has(1) {
		m.per = 2
	}
	m.i0, m.i1, m.j0, m.j1 = l.tiles(box)
	m.state = make([]uint8, m.per*(m.i1-m.i0+1)*(m.j1-m.j0+1))
	return m
}

func (m *tileMap) tile(n int) tile {
	w := m.i1 - m.i0 + 1
	return tile{i: m.i0 + n/m.per%w, j: m.j0 + n/m.per/w, k: n % m.per}
}

func (m *tileMap) index(t tile) int {
	return ((t.j-m.j0)*(m.i1-m.i0+1)+t.i-m.i0)*m.per + t.k
}

// loosen marks the tiles at the nodes of ribs with a width of their own.
func (m *tileMap) loosen() {
	for s, half := range m.l.widths {
		dir, n := m.l.family(s.family)
		k := float64(lineName(s.family, float64(s.line))) // its own inverse
		foot := m.l.origin.Add(n.Mul(k * m.l.step[s.family]))
		a := foot.Add(dir.Mul(m.l.nodeAt(s.family, s.line, float64(s.at))))
		b := foot.Add(dir.Mul(m.l.nodeAt(s.family, s.line, float64(s.at+1))))
		box := geom.Box{}.Add(a).Add(b)
		i0, i1, j0, j1 := m.l.tiles(box.Grow(max(half, m.l.half)))
		for j := max(j0-1, m.j0); j <= min(j1+1, m.j1); j++ {
			for i := max(i0-1, m.i0); i <= min(i1+1, m.i1); i++ {
				for t := range m.per {
					m.state[m.index(tile{i, j, t})] = tileLoose
				}
			}
		}
	}
}

// near calls do for every tile of the map whose circumscribed circle may come within reach of the box.
func (m *tileMap) near(b geom.Box, reach float64, do func(n int, c geom.Point)) {
	b = b.Grow(reach + m.out)
	i0, i1, j0, j1 := m.l.tiles(b)
	for j := max(j0, m.j0); j <= min(j1, m.j1); j++ {
		for i := max(i0, m.i0); i <= min(i1, m.i1); i++ {
			for k := range m.per {
				t := tile{i, j, k}
				if c := m.l.centre(t); b.Contains(c) {
					do(m.index(t), c)
				}
			}
		}
	}
}

// touchSlack is how far from a tile something may pass and still count as touching, so that rounding never lets a
// touched tile pass as free.
const touchSlack = 1e-5

// touchGround marks the tiles that the boundary of the ground may meet.
func (m *tileMap) touchGround(g geom.Shape) {
	for _, c := range g.Contours() {
		for i := range c {
			e := c[i]
			m.near(e.Box(), touchSlack, func(n int, c geom.Point) {
				if m.state[n] == tileFree && e.Dist(c) <= m.out+touchSlack && (e.IsArc() || m.meets(n, e.A, e.B, 0)) {
					m.state[n] = tileTouched
				}
			})
		}
	}
}

// touchObstacles marks the tiles that bosses and ribs may meet, and those that a boss swallows.
func (m *tileMap) touchObstacles(d *deriver, ribs []int) {
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss == 0 {
			continue
		}
		r := k.radius()
		m.near(geom.Box{}.Add(k.c), r, func(n int, c geom.Point) {
			if m.state[n] == tileFree && c.Dist(k.c) <= r+m.out+touchSlack && m.meets(n, k.c, k.c, r) {
				m.state[n] = tileTouched
			}
		})
	}
	m.swallow(d)
	m.touchRibs(d, ribs)
	m.touchBarriers(d)
}

// swallow marks the tiles that lie wholly in a boss.
func (m *tileMap) swallow(d *deriver) {
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss == 0 || k.radius() < m.out {
			continue
		}
		m.near(geom.Box{}.Add(k.c), k.radius(), func(n int, c geom.Point) {
			if m.state[n] != tileLoose && c.Dist(k.c)+m.out < k.radius()-touchSlack {
				m.state[n] = tileBoss
			}
		})
	}
}

// touchRibs marks the tiles that ribs may meet.
func (m *tileMap) touchRibs(d *deriver, ribs []int) {
	for _, i := range ribs {
		k := &d.ribs[i]
		w := k.half
		if k.grid >= 0 {
			w += d.lattices[k.grid].fillet // no fillet reaches further than its radius
		}
		m.near(k.box(), w, func(n int, c geom.Point) {
			if m.state[n] != tileFree {
				return
			}
			if k.bend != nil && k.dist(c) <= w+m.out+touchSlack || k.bend == nil && m.meets(n, k.a, k.b, w) {
				m.state[n] = tileTouched
			}
		})
	}
}

// meets reports whether the strip of half width w along a–b may meet the sharp tile: no side of the tile and no
// normal of the strip keeps them apart.
func (m *tileMap) meets(n int, a, b geom.Point, w float64) bool {
	var buf [4]geom.Point
	c := m.l.cornersIn(&buf, m.tile(n), m.l.half)
	w += touchSlack
	for i := range c {
		out := c[(i+1)%len(c)].Sub(c[i]).Unit().Perp().Mul(-1)
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
	home := make(map[tile][]int, len(sharp)) // into the pieces of the touched tiles
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
	r := max(f.p.Radius, m.l.fillet)
	whole, opens := m.in-m.l.fillet > minInradius, m.in-r > minInradius
	for n, s := range m.state {
		t := m.tile(n)
		switch {
		case s == tileTouched || s == tileLoose:
			for _, i := range home[t] {
				f.pieces = append(f.pieces, cut[i])
			}
		case s == tileFree && whole && m.box.Contains(m.l.centre(t)) && ground.Contains(m.l.centre(t)):
			p := piece{sharp: geom.Region{Outer: m.l.roundedTile(t, m.l.half, m.l.fillet)}, at: t, free: true, lattice: f.lattice}
			if opens {
				p.open = []geom.Region{{Outer: m.l.roundedTile(t, m.l.half, r)}}
			}
			f.pieces = append(f.pieces, p)
		}
	}
}
