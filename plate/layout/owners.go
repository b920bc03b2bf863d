package layout

import (
	"cmp"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// Who owns a face of the labels follows from the layers that cover it: the cuts, and beyond them the forms. A boss is its
// disc, the rim is what lies outside the outline inset by it. A rib owns what it left standing: the face lies in the ground
// of a field that the rib divides, and would else be cut from that field's side.
//
// A drawn rib is a strip. Where a field has a single grid, the grid's ribs are what is neither boss nor in one of the sharp
// pieces of the field; the pieces are known, share their edges with bosses, rim and cells, and cross nothing. A field with
// several grids needs to know whose rib it is: a grid over the whole plate then comes as its tiles, any other as
// strips.

// sides is a set of the faces that something is cut from.
type sides uint8

const (
	sideTop sides = 1 << iota
	sideBottom
)

func sidesOf(s plate.Side) sides {
	switch s {
	case plate.Top:
		return sideTop
	case plate.Bottom:
		return sideBottom
	}
	return sideTop | sideBottom
}

// layerKind says what a layer beyond the cuts stands for.
type layerKind uint8

const (
	layBoss   layerKind = iota
	layKeep             // a keep-out zone
	layInner            // the outline inset by the rim
	layGround           // bounds of a field
	laySharp            // sharp pieces of fields with a single grid, but for sealed ones
	layStrip            // a drawn rib, or all strips of a grid
	layTiles            // tiles of a whole-plate grid, but for sealed ones
)

type formLayer struct {
	kind   layerKind
	owner  Owner // of a boss
	fields []int // of a ground or sharp pieces: indices into deriver.fields
	rib    int   // of strips and tiles: index into owners.ribs
}

// ribForm is one rib or grid as an owner, with the fields that it divides, and how it is known there.
type ribForm struct {
	owner  Owner
	fields []int
	grid   bool
	tiled  bool // as tiles where a field has several grids
}

// owners decides who owns a face.
type owners struct {
	d      *deriver
	col    *column
	first  int32 // first form layer
	layers []formLayer
	ribs   []ribForm
	grids  []int // those of ribs that are grids
	shares []Share
	index  map[Owner]int

	// Of the face at hand:
	ground []bool // by field: inside its bounds
	sharp  []bool // by field: in a sharp piece
	tile   []bool // by rib: in a tile
	strip  []bool // by rib that is a grid: in a strip
	cover  []int  // drawn ribs over it, then all grids
}

// add appends a layer, unless it is empty.
func (w *owners) add(s []geom.Shape, f formLayer, g geom.Shape) []geom.Shape {
	if len(g) == 0 {
		return s
	}
	w.layers = append(w.layers, f)
	return append(s, g)
}

// forms appends the layers of the forms to those of the cuts.
func (w *owners) forms(s []geom.Shape) ([]geom.Shape, error) {
	d := w.d
	w.first = int32(len(s))
	touch := w.corners()
	for i := range d.rounds {
		if r := &d.rounds[i]; r.boss > 0 {
			f := formLayer{kind: layBoss, owner: Owner{Kind: OwnBoss, Feature: r.id, Name: r.name, Cell: -1}}
			s = w.add(s, f, geom.Shape{{Outer: splitAt(geom.Circle(r.c, r.radius()), touch)}})
		}
	}
	for i := range d.barriers {
		b := &d.barriers[i]
		f := formLayer{kind: layBoss, owner: b.owner}
		if b.half == 0 {
			f.kind = layKeep
		}
		g, err := d.barrierShape(b, 0)
		if err != nil {
			return nil, err
		}
		s = w.add(s, f, geom.Shape{{Outer: splitAt(g[0].Outer, touch)}})
	}
	if d.p.Rim > 0 {
		in, err := d.inset(d.p.Rim)
		if err != nil {
			return nil, err
		}
		split := make(geom.Shape, len(in))
		for i := range in {
			split[i].Outer = splitAt(in[i].Outer, touch)
			for _, h := range in[i].Holes {
				split[i].Holes = append(split[i].Holes, splitAt(h, touch))
			}
		}
		s = w.add(s, formLayer{kind: layInner}, split)
	}
	for i := range d.fields {
		if f := &d.fields[i]; f.bounds != nil && f.p.Kind == plate.FieldPocket {
			s = w.add(s, formLayer{kind: layGround, fields: []int{i}}, geom.Shape{{Outer: f.bounds}})
		}
	}
	s = w.sharpLayers(s)
	var err error
	if s, err = w.drawnLayers(s); err != nil {
		return nil, err
	}
	if s, err = w.gridLayers(s); err != nil {
		return nil, err
	}
	w.ground, w.sharp = make([]bool, len(d.fields)), make([]bool, len(d.fields))
	w.tile, w.strip = make([]bool, len(w.ribs)), make([]bool, len(w.ribs))
	return s, nil
}

// corners are the vertices of the cells that the engine is to be given.
func (w *owners) corners() []geom.Point {
	var at []geom.Point
	for _, i := range w.col.of {
		if k := &w.d.l.Cuts[i]; k.Cell >= 0 && !w.d.cellPiece[k.Cell].sealed {
			for _, c := range k.Region.Contours() {
				at = append(at, c.Points()...)
			}
		}
	}
	return at
}

// sharpLayers adds the sharp pieces of fields with a single grid. Fields that are the same but for side and depth have the
// same pieces, and share a layer.
func (w *owners) sharpLayers(s []geom.Shape) []geom.Shape {
	for i := range w.d.fields {
		f := &w.d.fields[i]
		if len(f.grids) != 1 {
			continue
		}
		same := slices.IndexFunc(w.layers, func(l formLayer) bool {
			return l.kind == laySharp && w.d.fields[l.fields[0]].alike(f)
		})
		if same >= 0 {
			w.layers[same].fields = append(w.layers[same].fields, i)
			continue
		}
		var g geom.Shape
		for k := range f.pieces {
			if p := &f.pieces[k]; !p.sealed {
				g = append(g, p.touching())
			}
		}
		s = w.add(s, formLayer{kind: laySharp, fields: []int{i}}, g)
	}
	return s
}

// Where the corner of a cell touches an edge of a form, the edge gets a vertex: without one the engine has to find the place
// where an arc and a line barely meet, and it does so twice to be sure.

// touching is the sharp piece with such vertices.
func (p *piece) touching() geom.Region {
	var at []geom.Point
	for _, o := range p.open {
		for _, c := range o.Contours() {
			at = append(at, c.Points()...)
		}
	}
	if len(at) == 0 {
		return p.sharp
	}
	r := geom.Region{Outer: splitAt(p.sharp.Outer, at)}
	for _, h := range p.sharp.Holes {
		r.Holes = append(r.Holes, splitAt(h, at))
	}
	return r
}

// onEdge is how near a point must be to an edge to be a vertex of it, mm: rounding of an offset and back.
const onEdge = 1e-8

// splitAt cuts the edges of a contour at those of the points that lie on them.
func splitAt(c geom.Contour, at []geom.Point) geom.Contour {
	out := make(geom.Contour, 0, len(c)+4)
	type place struct {
		t float64
		q geom.Point
	}
	var on []place
	for _, e := range c {
		on = on[:0]
		box := e.Box().Grow(onEdge)
		for _, q := range at {
			if !box.Contains(q) || e.Dist(q) > onEdge || q.Dist(e.A) < touchEps || q.Dist(e.B) < touchEps {
				continue
			}
			on = append(on, place{geom.Edge{A: e.A, B: q, C: e.C, R: e.R, Dir: e.Dir}.Length(), q})
		}
		slices.SortFunc(on, func(a, b place) int { return cmp.Compare(a.t, b.t) })
		for _, p := range on {
			if p.q.Dist(e.A) > touchEps {
				out = append(out, geom.Edge{A: e.A, B: p.q, C: e.C, R: e.R, Dir: e.Dir})
				e.A = p.q
			}
		}
		out = append(out, e)
	}
	return out
}

// alike reports whether two fields have the same sharp pieces. Bounds are compared as drawn, not as shapes.
func (f *field) alike(g *field) bool {
	return slices.Equal(f.p.Bounds, g.p.Bounds) && slices.Equal(f.ribs, g.ribs) && slices.Equal(f.grids, g.grids)
}

// drawnLayers adds the drawn ribs that divide a field.
func (w *owners) drawnLayers(s []geom.Shape) ([]geom.Shape, error) {
	for i := range w.d.ribs {
		r := &w.d.ribs[i]
		if r.grid >= 0 {
			continue
		}
		n := w.ribForm(r.id, r.name, func(f *field) bool { _, ok := slices.BinarySearch(f.ribs, i); return ok })
		if n >= 0 {
			g, err := r.shape(0)
			if err != nil {
				return nil, w.d.kernel("ribs", r.id, r.name, err)
			}
			s = w.add(s, formLayer{kind: layStrip, rib: n}, g)
		}
	}
	return s, nil
}

// gridLayers registers the grids that divide a field, and adds layers for those that share one with another grid.
func (w *owners) gridLayers(s []geom.Shape) ([]geom.Shape, error) {
	d := w.d
	for g := range d.lattices {
		l := &d.lattices[g]
		n := w.ribForm(l.id, l.name, func(f *field) bool { return slices.Contains(f.grids, g) })
		if n < 0 {
			continue
		}
		w.grids = append(w.grids, n)
		w.ribs[n].grid, w.ribs[n].tiled = true, l.free && l.tiled() && len(l.widths) == 0
		if !slices.ContainsFunc(w.ribs[n].fields, func(f int) bool { return len(d.fields[f].grids) > 1 }) {
			continue
		}
		if w.ribs[n].tiled {
			s = w.add(s, formLayer{kind: layTiles, rib: n}, d.openTiles(g))
			continue
		}
		strips, err := d.gridStrips(g)
		if err != nil {
			return nil, err
		}
		s = w.add(s, formLayer{kind: layStrip, rib: n}, strips)
	}
	return s, nil
}

// gridStrips is what the ribs of a grid cover. Without fillets they overlap at the nodes, which a layer may.
func (d *deriver) gridStrips(g int) (geom.Shape, error) {
	if d.lattices[g].fillet > 0 {
		return d.closed(g, 0)
	}
	var strips geom.Shape
	for i := range d.ribs {
		r := &d.ribs[i]
		if r.grid != g {
			continue
		}
		s, err := r.shape(0)
		if err != nil {
			return nil, d.kernel("ribs", r.id, r.name, err)
		}
		strips = append(strips, s...)
	}
	return strips, nil
}

// ribForm registers a rib that divides at least one field, and returns its index; −1 for one that divides none, which is
// plain plate.
func (w *owners) ribForm(id plate.ID, name string, divides func(*field) bool) int {
	f := ribForm{owner: Owner{Kind: OwnRib, Feature: id, Name: name, Cell: -1}}
	for i := range w.d.fields {
		if divides(&w.d.fields[i]) {
			f.fields = append(f.fields, i)
		}
	}
	if len(f.fields) == 0 {
		return -1
	}
	w.ribs = append(w.ribs, f)
	return len(w.ribs) - 1
}

// share is the index of the share of an owner.
func (w *owners) share(o Owner) int {
	i, ok := w.index[o]
	if !ok {
		i = len(w.shares)
		w.index[o] = i
		w.shares = append(w.shares, Share{Owner: o})
	}
	return i
}

// start clears what is known of a face.
func (w *owners) start() {
	for i := range w.d.fields {
		w.ground[i] = w.d.fields[i].bounds == nil
	}
	clear(w.sharp)
	for _, g := range w.grids {
		w.tile[g], w.strip[g] = false, false
	}
	w.cover = w.cover[:0]
}

// ownerOf applies the precedence to a face with metal: boss, rim, rib, floor, land; among equals the first in the document,
// drawn ribs before grids.
func (w *owners) ownerOf(layers []int32) Owner {
	d := w.d
	w.start()
	inner := d.p.Rim == 0
	var cut sides
	floor, keep := -1, false
	for _, l := range layers {
		switch {
		case l < firstCut:
		case l < w.first:
			if c := &w.col.cuts[w.col.of[l-firstCut]]; c.Kind == CutPocket || c.Kind == CutLedge {
				cut |= sidesOf(c.Side)
				if floor < 0 {
					floor = c.Cell
				}
			}
		default:
			k := &w.layers[l-w.first]
			if k.kind == layBoss {
				return k.owner
			}
			keep = keep || k.kind == layKeep
			inner = inner || k.kind == layInner
			w.note(k)
		}
	}
	if !inner {
		return Owner{Kind: OwnRim, Name: "rim", Cell: -1}
	}
	if keep && floor < 0 {
		return landOwner
	}
	if i := w.standing(cut); i >= 0 {
		return w.ribs[i].owner
	}
	if floor >= 0 {
		return w.floor(floor)
	}
	return landOwner
}

var landOwner = Owner{Kind: OwnLand, Name: "land", Cell: -1}

func (w *owners) floor(cell int) Owner {
	return Owner{Kind: OwnFloor, Feature: w.d.l.Cells[cell].Pocket, Name: w.d.cellPocket[cell].Name, Cell: cell}
}

// note records one layer over the face.
func (w *owners) note(k *formLayer) {
	switch k.kind {
	case layGround:
		w.ground[k.fields[0]] = true
	case laySharp:
		for _, f := range k.fields {
			w.sharp[f] = true
		}
	case layStrip:
		if w.ribs[k.rib].grid {
			w.strip[k.rib] = true
		} else {
			w.cover = append(w.cover, k.rib)
		}
	case layTiles:
		w.tile[k.rib] = true
	}
}

// standing is the first rib over the face that, on some side, is what a pocket that it divides left standing; −1 for none.
func (w *owners) standing(cut sides) int {
	w.cover = append(w.cover, w.grids...)
	for _, i := range w.cover {
		r := &w.ribs[i]
		for _, f := range r.fields {
			if w.ground[f] && sidesOf(w.d.fields[f].p.Side)&^cut != 0 && w.covers(i, f) {
				return i
			}
		}
	}
	return -1
}

// covers reports whether rib i, one of cover, lies over the face as far as field f is concerned.
func (w *owners) covers(i, f int) bool {
	r := &w.ribs[i]
	switch {
	case !r.grid:
		return true
	case len(w.d.fields[f].grids) == 1:
		return !w.sharp[f]
	case r.tiled:
		return !w.tile[i]
	}
	return w.strip[i]
}

// openTiles are the tiles between the ribs of whole-plate grid g that meet the inside of the outline, but for sealed
// ones and those that a boss owns.
func (d *deriver) openTiles(g int) geom.Shape {
	l := &d.lattices[g]
	if l.in-l.half-l.fillet <= minInradius {
		return nil
	}
	m := newTileMap(l, d.outline.Box())
	m.touchGround(geom.Shape{{Outer: d.outline}})
	m.swallow(d)
	for i := range d.fields {
		for k := range d.fields[i].pieces {
			if p := &d.fields[i].pieces[k]; p.sealed && p.lattice == g {
				m.state[m.index(p.at)] = tileBoss
			}
		}
	}
	var s geom.Shape
	for n, st := range m.state {
		t := m.tile(n)
		if st == tileTouched || st == tileFree && m.box.Contains(l.centre(t)) && d.outline.Contains(l.centre(t)) {
			s = append(s, geom.Region{Outer: l.roundedTile(t, l.half, l.fillet)})
		}
	}
	return s
}
