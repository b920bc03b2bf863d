package layout

import (
	"cmp"
	"slices"

	"platewright/plate/geom"
)

// A sealed tile is one that nothing but its own field touches: no rim, boss, hole, other rib or other pocket. What map
// and labels look like inside it is known without asking the geometry engine, so the engine is given the plate without
// sealed tiles, as if they were rib, and they are put in afterwards: in the map the cell, in the labels the cell and
// the fillets that the cutter leaves in the corners. On a large plate that is most of the tiles.

// seal marks the sealed pieces of all fields.
func (d *deriver) seal() {
	// Between many fields few tiles would be sealed, and asking each field about each other one takes long.
	const manyFields = 8
	if d.route != routeFast || d.clipped || len(d.fields) > manyFields {
		return
	}
	for i := range d.fields {
		f := &d.fields[i]
		if f.tiles == nil {
			continue
		}
		// Where the cutter leaves less than a fillet does, corners would lie between two arcs: left to the engine.
		if fl := d.lattices[f.lattice].fillet; fl > 0 && fl < f.p.Radius {
			continue
		}
		m := *f.tiles
		m.state = slices.Clone(m.state)
		m.touchHoles(d)
		var others []int
		for k := range d.ribs {
			if _, divides := slices.BinarySearch(f.ribs, k); !divides && d.ribs[k].grid != f.lattice {
				others = append(others, k)
			}
		}
		m.touchRibs(d, others)
		for k := range d.fields {
			if k != i {
				m.touchArea(d.fields[k].base)
			}
		}
		for k := range f.pieces {
			if p := &f.pieces[k]; p.free && m.state[m.index(p.at)] == tileFree {
				p.sealed = true
				d.sealed++
			}
		}
	}
}

// touchHoles marks the tiles that slots may meet, and bores and holes that reach beyond their boss or have none; bosses
// are marked already.
func (m *tileMap) touchHoles(d *deriver) {
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss > 0 && k.reach <= k.radius() {
			continue
		}
		m.near(geom.Box{}.Add(k.c), k.reach, func(n int, _ geom.Point) {
			if m.meets(n, k.c, k.c, k.reach) {
				m.state[n] = tileTouched
			}
		})
	}
	m.touchSlots(d)
}

// touchArea marks the tiles that lie in s or meet its boundary.
func (m *tileMap) touchArea(s geom.Shape) {
	if len(s) == 0 || !m.box.Grow(2*m.l.pitch).Overlaps(s.Box()) {
		return
	}
	m.touchGround(s)
	for n, st := range m.state {
		if st == tileFree && s.Contains(m.l.centre(m.tile(n))) {
			m.state[n] = tileTouched
		}
	}
}

// inserter puts faces into a subdivision that has none where they go.
type inserter struct {
	s     *geom.Subdivision
	host  int32 // face that the next one goes into
	hosts []host
}

// host is a face that takes inserted ones, with the boxes of the holes that it had before.
type host struct {
	face  int32
	holes []geom.Box
}

func newInserter(s *geom.Subdivision) *inserter { return &inserter{s: s} }

// find makes host the face around q. There are few hosts, mostly one, so those known are asked first. Inserted faces are
// apart from each other, so only the holes that a host had before matter.
func (n *inserter) find(q geom.Point) {
	for i := range n.hosts {
		if n.around(&n.hosts[i], q) {
			n.host = n.hosts[i].face
			return
		}
	}
	h := host{face: n.s.Locate(q)}
	for _, c := range n.s.Faces[h.face].Holes {
		h.holes = append(h.holes, c.Box())
	}
	n.hosts = append(n.hosts, h)
	n.host = h.face
}

func (n *inserter) around(h *host, q geom.Point) bool {
	f := &n.s.Faces[h.face]
	if !f.Outer.Contains(q) {
		return false
	}
	for i, b := range h.holes {
		if b.Contains(q) && f.Holes[i].Contains(q) {
			return false
		}
	}
	return true
}

// hole opens the host along the contour.
func (n *inserter) hole(c geom.Contour) {
	f := &n.s.Faces[n.host]
	f.Holes = append(f.Holes, c.Reverse())
}

// face appends a face without edges.
func (n *inserter) face(c geom.Contour, layers []int32) int32 {
	n.s.Faces = append(n.s.Faces, geom.Face{Region: geom.Region{Outer: c}, Layers: layers})
	return int32(len(n.s.Faces) - 1)
}

// vertex appends a vertex.
func (n *inserter) vertex(p geom.Point) int32 {
	n.s.Vertices = append(n.s.Vertices, p)
	return int32(len(n.s.Vertices) - 1)
}

func (n *inserter) edge(e geom.Edge, a, b, left, right int32) {
	n.s.Edges = append(n.s.Edges, geom.SubEdge{Edge: e, V: [2]int32{a, b}, Left: left, Right: right})
}

// island inserts one face bounded by c, with an edge for each of c's.
func (n *inserter) island(c geom.Contour, layers []int32) int32 {
	f := n.face(c, layers)
	n.hole(c)
	first := int32(len(n.s.Vertices))
	for i := range c {
		n.vertex(c[i].A)
		n.edge(c[i], first+int32(i), first+int32((i+1)%len(c)), f, n.host)
	}
	return f
}

// corners inserts a sharp tile with the rounded one in it: the cell and the fillets in its corners, returned in that order.
func (n *inserter) corners(sharp, round geom.Contour, layers, rest []int32) (cell int32, fillets []int32) {
	cell = n.face(round, layers)
	n.hole(sharp)
	k := len(sharp)
	apex, from, to := make([]int32, k), make([]int32, k), make([]int32, k) // vertices: the corner, and on side i the ends of its straight part
	for i := range sharp {
		apex[i], from[i], to[i] = n.vertex(sharp[i].A), n.vertex(round[2*i].A), n.vertex(round[2*i].B)
	}
	fillets = make([]int32, k)
	for i := range sharp {
		arc := round[2*((i+k-1)%k)+1] // after the side before corner i
		fillets[i] = n.face(geom.Contour{
			geom.Line(arc.A, sharp[i].A), geom.Line(sharp[i].A, arc.B), arc.Reverse(),
		}, rest)
	}
	for i := range sharp {
		next := (i + 1) % k
		n.edge(geom.Line(sharp[i].A, round[2*i].A), apex[i], from[i], fillets[i], n.host)
		n.edge(round[2*i], from[i], to[i], cell, n.host)
		n.edge(geom.Line(round[2*i].B, sharp[next].A), to[i], apex[next], fillets[next], n.host)
		n.edge(round[2*i+1], to[i], from[next], cell, fillets[next])
	}
	return cell, fillets
}

// done puts the holes of the hosts in the order of the engine: by the lower left corner of their boxes.
func (n *inserter) done() {
	type boxed struct {
		b geom.Box
		c geom.Contour
	}
	for _, h := range n.hosts {
		hs := n.s.Faces[h.face].Holes
		k := make([]boxed, len(hs))
		for i := range hs {
			k[i] = boxed{hs[i].Box(), hs[i]}
		}
		slices.SortStableFunc(k, func(a, b boxed) int {
			return cmp.Or(cmp.Compare(a.b.Min.X, b.b.Min.X), cmp.Compare(a.b.Min.Y, b.b.Min.Y))
		})
		for i := range k {
			hs[i] = k[i].c
		}
	}
}

// sealedCuts is what lies over a sealed piece that is cut: the layers over all of it, from one side or both, and those over
// the cell inside its ledge, where it has one.
type sealedCuts struct {
	wide, all []int32
	inner     geom.Contour // nil without a ledge
}

// sealedPieces lists the sealed pieces that are cut, in the order of their first cut, with what lies over them.
func (d *deriver) sealedPieces(col *column) (order []*piece, cuts map[*piece]*sealedCuts) {
	cuts = make(map[*piece]*sealedCuts, d.sealed)
	for k, i := range col.of {
		c := &col.cuts[i]
		if c.Cell < 0 || !d.cellPiece[c.Cell].sealed {
			continue
		}
		p := d.cellPiece[c.Cell]
		s := cuts[p]
		if s == nil {
			s = &sealedCuts{wide: []int32{layerBlank, layerOutline}, all: []int32{layerBlank, layerOutline}}
			order, cuts[p] = append(order, p), s
		}
		s.all = append(s.all, int32(firstCut+k))
		if &c.Region.Outer[0] == &p.open[0].Outer[0] { // the piece as opened, not what is inside its ledge
			s.wide = append(s.wide, int32(firstCut+k))
		} else {
			s.inner = c.Region.Outer
		}
	}
	return order, cuts
}

// sealMap puts the cells of sealed tiles into the map.
func (d *deriver) sealMap(m *Map, col *column) {
	if d.sealed == 0 {
		return
	}
	n := newInserter(m.Subdivision)
	order, cuts := d.sealedPieces(col)
	for _, p := range order {
		s := cuts[p]
		n.find(p.middle(d))
		f := n.island(p.open[0].Outer, s.wide)
		m.Metal = append(m.Metal, slices.Clone(col.metal(s.wide)))
		if s.inner != nil {
			n.host = f
			n.island(s.inner, s.all)
			m.Metal = append(m.Metal, slices.Clone(col.metal(s.all)))
		}
	}
	n.done()
}

// middle is the middle of a free piece.
func (p *piece) middle(d *deriver) geom.Point {
	return d.lattices[p.lattice].centre(p.at)
}

// sealLabels puts the sealed tiles into the labels: the floor of the cell, if it has one, and land. It returns the
// heights of metal, extended by those of the new faces.
func (w *owners) sealLabels(lab *Labels, height []float64) []float64 {
	d := w.d
	if d.sealed == 0 {
		return height
	}
	n := newInserter(lab.Subdivision)
	full := metalHeight(w.col.metal([]int32{layerBlank, layerOutline}))
	_, cuts := d.sealedPieces(w.col)
	put := func(o int, h float64) {
		lab.Of, height = append(lab.Of, o), append(height, h)
	}
	for i := range d.fields {
		for k := range d.fields[i].pieces {
			p := &d.fields[i].pieces[k]
			if !p.sealed {
				continue
			}
			n.find(p.middle(d))
			s := cuts[p]
			if s == nil {
				n.island(p.sharp.Outer, []int32{layerBlank, layerOutline})
				put(w.share(landOwner), full)
				continue
			}
			cell, fillets := int32(0), []int32(nil)
			if d.lattices[p.lattice].fillet > 0 { // the cutter leaves nothing in the corners of the ribs
				cell = n.island(p.open[0].Outer, s.wide)
			} else {
				cell, fillets = n.corners(p.sharp.Outer, p.open[0].Outer, s.wide, s.wide[:firstCut:firstCut])
			}
			put(w.sealedFloor(s.wide))
			for range fillets {
				put(w.share(landOwner), full)
			}
			if s.inner != nil {
				n.host = cell
				n.island(s.inner, s.all)
				put(w.sealedFloor(s.all))
			}
		}
	}
	n.done()
	return height
}

// sealedFloor is the share and height of the floor under some layers; no share where they go through.
func (w *owners) sealedFloor(layers []int32) (share int, height float64) {
	if h := metalHeight(w.col.metal(layers)); h > 0 {
		return w.share(w.floor(w.col.cuts[w.col.of[layers[firstCut]-firstCut]].Cell)), h
	}
	return -1, 0
}
