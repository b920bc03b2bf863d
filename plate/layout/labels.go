package layout

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// makeLabels divides the plane once more, by the forms as well as by the cuts, and gives every face with metal to an
// owner.
func (d *deriver) makeLabels() error {
	col := d.newColumn()
	w := &owners{d: d, col: col, index: map[Owner]int{}}
	layers, err := w.forms(col.shapes(d))
	if err != nil {
		return err
	}
	raw, err := d.eng.Subdivide(layers)
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	var ms metals
	owner := make([]int, len(raw.Faces))
	key := make([]int, len(raw.Faces))
	for f := range raw.Faces {
		ls := raw.Faces[f].Layers
		m := col.metal(ls)
		if len(m) == 0 {
			owner[f], key[f] = -1, -1
			continue
		}
		owner[f] = w.of(ls)
		// Faces of one owner stay apart where their metal differs: labels are finer than the map.
		key[f] = owner[f]*(1<<20) + ms.number(m)
	}
	s, from, err := raw.Merge(func(f int) int { return key[f] })
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	lab := &Labels{Subdivision: s, Of: make([]int, len(s.Faces))}
	height := make([]float64, len(s.Faces))
	for f := range s.Faces {
		o := owner[from[f][0]]
		lab.Of[f] = o
		if o >= 0 {
			height[f] = metalHeight(ms.lists[key[from[f][0]]&(1<<20-1)])
		}
	}
	height = w.sealLabels(lab, height)
	lab.Shares = w.shares
	for f, o := range lab.Of {
		if o >= 0 {
			a := s.Faces[f].Area()
			lab.Shares[o].PlanArea += a
			lab.Shares[o].Volume += a * height[f]
		}
	}
	for i := range d.l.Cuts {
		c := &d.l.Cuts[i]
		if c.Kind != CutPoint {
			continue
		}
		if o := lab.Of[lab.Locate(c.Center)]; o >= 0 {
			lab.Shares[o].Volume -= c.PointVolume()
		}
	}
	d.settle(lab)
	d.l.Labels = lab
	return nil
}

// settle makes the owners add up to the plate exactly. Where the edge of a form passes within a micrometre of a corner of a
// cut, the geometry engine moves it there, which the map does not see; what that leaves over goes to the largest owner.
// Anything larger than such a shift can account for is left alone, for the tests to find.
func (d *deriver) settle(lab *Labels) {
	if len(lab.Shares) == 0 {
		return
	}
	v := d.l.Volume()
	rest, most := v, 0
	for i := range lab.Shares {
		rest -= lab.Shares[i].Volume
		if lab.Shares[i].Volume > lab.Shares[most].Volume {
			most = i
		}
	}
	d.l.rest = rest
	if math.Abs(rest) < maxRest*v {
		lab.Shares[most].Volume += rest
	}
}

// maxRest is the share of the plate's volume that rounding of the labels may leave over: a shift of 2 µm along a metre of
// edge of a plate of 100 cm².
const maxRest = 2e-7

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

// formLayer says what one layer beyond the cuts stands for.
type formLayer struct {
	kind  OwnerKind
	owner Owner
	// A rib stands only where a pocket that it divides would else be cut: on these sides, inside the ground of these fields.
	field int // index into deriver.fields of a ground layer
	ribs  int // index into owners.ribs
}

// ribForm is one rib or grid as an owner, with the fields that it divides. A tiled one is everywhere but in its triangles.
type ribForm struct {
	owner  Owner
	fields []int
	tiled  bool
}

// owners decides who owns a face.
type owners struct {
	d      *deriver
	col    *column
	first  int32 // first form layer
	layers []formLayer
	ribs   []ribForm
	shares []Share
	index  map[Owner]int
	ground []bool // scratch: which grounds cover the face, by field
	tiled  []int  // those of ribs that are tiled
	inTile []bool // scratch: the face lies in a triangle of the tiled rib
	cover  []int  // scratch: ribs over the face
}

const (
	layGround OwnerKind = "ground" // of a field with bounds
	layInner  OwnerKind = "inner"  // the outline inset by the rim
	layTile   OwnerKind = "tile"   // what the ribs of a whole-plate grid leave
)

// forms appends the layers of the forms: bosses, the inner edge of the rim, ribs, and grounds of fields with bounds.
func (w *owners) forms(s []geom.Shape) ([]geom.Shape, error) {
	d := w.d
	w.first = int32(len(s))
	w.ground = make([]bool, len(d.fields))
	add := func(f formLayer, g geom.Shape) {
		if len(g) > 0 {
			w.layers = append(w.layers, f)
			s = append(s, g)
		}
	}
	for i := range d.rounds {
		if r := &d.rounds[i]; r.boss > 0 {
			add(formLayer{kind: OwnBoss, owner: Owner{Kind: OwnBoss, Feature: r.id, Name: r.name, Cell: -1}},
				geom.Shape{{Outer: geom.Circle(r.c, r.radius())}})
		}
	}
	if d.p.Rim > 0 {
		in, err := d.inset(d.p.Rim)
		if err != nil {
			return nil, err
		}
		add(formLayer{kind: layInner}, in)
	}
	for i := range d.fields {
		if f := &d.fields[i]; f.bounds != nil {
			add(formLayer{kind: layGround, field: i}, geom.Shape{{Outer: f.bounds}})
		}
	}
	w.ribForms(add)
	w.inTile = make([]bool, len(w.ribs))
	return s, nil
}

// ribForms adds the layers of ribs and grids that divide a field. A grid over the whole plate comes as the triangles that
// its ribs leave, which are fewer edges than its strips and share them with the cells.
func (w *owners) ribForms(add func(formLayer, geom.Shape)) {
	d := w.d
	for i := range d.ribs {
		if r := &d.ribs[i]; r.grid < 0 {
			if n := w.ribForm(r.id, r.name, func(f *field) bool { return slices.Contains(f.ribs, i) }); n >= 0 {
				add(formLayer{kind: OwnRib, ribs: n}, geom.Shape{{Outer: geom.Capsule(r.a, r.b, r.half)}})
			}
		}
	}
	for g := range d.lattices {
		l := &d.lattices[g]
		n := w.ribForm(l.id, l.name, func(f *field) bool { return slices.Contains(f.grids, g) })
		if n < 0 {
			continue
		}
		if l.free {
			w.ribs[n].tiled = true
			w.tiled = append(w.tiled, n)
			add(formLayer{kind: layTile, ribs: n}, d.openTiles(g))
			continue
		}
		var strips geom.Shape // they overlap at the nodes, which a layer may
		for i := range d.ribs {
			if r := &d.ribs[i]; r.grid == g {
				strips = append(strips, geom.Region{Outer: geom.Capsule(r.a, r.b, r.half)})
			}
		}
		add(formLayer{kind: OwnRib, ribs: n}, strips)
	}
}

// ribForm registers a rib that divides at least one field, and returns its index; -1 for one that divides none, which is
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

// of is the share of the face with the given layers, which has metal.
func (w *owners) of(layers []int32) int {
	return w.share(w.ownerOf(layers))
}

func (w *owners) share(o Owner) int {
	i, ok := w.index[o]
	if !ok {
		i = len(w.shares)
		w.index[o] = i
		w.shares = append(w.shares, Share{Owner: o})
	}
	return i
}

// ownerOf applies the precedence: boss, rim, rib, floor, land; among equals the first in the document.
func (w *owners) ownerOf(layers []int32) Owner {
	d := w.d
	inner := d.p.Rim == 0
	var cut sides
	floor := -1
	for i := range d.fields {
		w.ground[i] = d.fields[i].bounds == nil
	}
	clear(w.inTile)
	w.cover = w.cover[:0]
	for _, l := range layers {
		if l < firstCut {
			continue
		}
		if l < w.first {
			if c := &w.col.cuts[w.col.of[l-firstCut]]; c.Kind == CutPocket {
				cut |= sidesOf(c.Side)
				if floor < 0 {
					floor = c.Cell
				}
			}
			continue
		}
		switch k := &w.layers[l-w.first]; k.kind {
		case OwnBoss:
			return k.owner
		case layInner:
			inner = true
		case layGround:
			w.ground[k.field] = true
		case OwnRib:
			w.cover = append(w.cover, k.ribs)
		case layTile:
			w.inTile[k.ribs] = true
		}
	}
	if !inner {
		return Owner{Kind: OwnRim, Name: "rim", Cell: -1}
	}
	if i := w.standing(cut); i >= 0 {
		return w.ribs[i].owner
	}
	if floor >= 0 {
		c := &d.l.Cells[floor]
		return Owner{Kind: OwnFloor, Feature: c.Pocket, Name: d.cellPocket[floor].Name, Cell: floor}
	}
	return Owner{Kind: OwnLand, Name: "land", Cell: -1}
}

// standing is the first rib over the face that, on some side, is what a pocket that it divides left standing; −1 for none.
func (w *owners) standing(cut sides) int {
	for _, i := range w.tiled {
		if !w.inTile[i] {
			w.cover = append(w.cover, i)
		}
	}
	slices.Sort(w.cover)
	for _, i := range w.cover {
		for _, f := range w.ribs[i].fields {
			if w.ground[f] && sidesOf(w.d.fields[f].p.Side)&^cut != 0 {
				return i
			}
		}
	}
	return -1
}

// openTiles are the triangles between the ribs of whole-plate grid g that meet the inside of the outline, but for sealed
// ones and those that a boss owns.
func (d *deriver) openTiles(g int) geom.Shape {
	l := &d.lattices[g]
	if l.h/3-l.half <= minInradius {
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
			s = append(s, geom.Region{Outer: l.sharpTriangle(t, l.half)})
		}
	}
	return s
}

// sealLabels puts the sealed triangles into the labels: the floor of the cell, if it has one, and land. It returns the
// heights of metal, extended by those of the new faces.
func (w *owners) sealLabels(lab *Labels, height []float64) []float64 {
	d := w.d
	if d.sealed == 0 {
		return height
	}
	n := newInserter(lab.Subdivision)
	land := Owner{Kind: OwnLand, Name: "land", Cell: -1}
	full := metalHeight(w.col.metal([]int32{layerBlank, layerOutline}))
	cutOf := make(map[*piece]int, d.sealed) // its layer
	for k, i := range w.col.of {
		if c := w.col.cuts[i].Cell; c >= 0 && d.cellPiece[c].sealed {
			cutOf[d.cellPiece[c]] = firstCut + k
		}
	}
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
			cut, ok := cutOf[p]
			if !ok {
				n.island(p.sharp.Outer, []int32{layerBlank, layerOutline})
				put(w.share(land), full)
				continue
			}
			layers := []int32{layerBlank, layerOutline, int32(cut)}
			n.corners(p.sharp.Outer, p.open[0].Outer, layers, layers[:2])
			if h := metalHeight(w.col.metal(layers)); h > 0 {
				c := w.col.cuts[w.col.of[cut-firstCut]].Cell
				put(w.share(Owner{Kind: OwnFloor, Feature: d.l.Cells[c].Pocket, Name: d.cellPocket[c].Name, Cell: c}), h)
			} else {
				put(-1, 0)
			}
			for range 3 {
				put(w.share(land), full)
			}
		}
	}
	n.done()
	return height
}
