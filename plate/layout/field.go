package layout

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// A pocket field is what one pocket of the document may cut: inside its bounds and the rim, outside bosses and ribs. Its
// separate pieces are "sharp": bounded as drawn. What the cutter of the inside corner radius r reaches of a piece is its
// opening by r, the union of all discs of radius r that fit. Because erosion of an intersection is the intersection of the
// erosions, and eroding a difference inflates what is taken away, the opening needs no erosion of a combined shape: inset
// the bounds and the outline by r, inflate bosses and ribs by r, combine once, and offset the result outwards by r.
//
// That is the general route, used for any field. The fast route uses that the lines of an isogrid or orthogrid over the
// whole plate divide the plane into known tiles: a tile that nothing else touches is a closed form, and only the others are
// combined. Both give the same cells.
//
// Node fillets close the ribs of a grid: grown by the fillet radius and shrunk again, they fill every corner that a disc of
// that radius does not reach.

// scrapArea is the least area that a piece must have to be listed as unreachable, mm². Smaller scraps at the rim or between
// a boss and a rib are a fact of every grid; they stay metal and nobody wants to hear of each.
const scrapArea = 1.0

// minInradius is the radius of the largest circle in an eroded triangle below which it counts as empty, so that a cell
// exactly as wide as the cutter is too narrow for it. It is the distance at which the geometry engine merges points.
const minInradius = 1e-6

// field is one pocket of the document with what divides it and what comes of it.
type field struct {
	p      *plate.Pocket
	bounds geom.Contour // nil for the whole plate
	ribs   []int        // indices into deriver.ribs, ascending
	grids  []int        // indices into deriver.lattices, those that divide this field
	pieces []piece
	base   geom.Shape // inside bounds and rim

	tiles   *tileMap // of the fast route
	lattice int      // that it divides
}

// piece is one separate part of a field: as drawn, and what the cutter reaches of it. open is empty when it does not enter.
type piece struct {
	sharp geom.Region
	open  []geom.Region
	at    tile
	tiled bool     // at is valid: the piece lies in that tile of the field's one grid
	grid  plate.ID // that grid

	// For pieces of the fast route that nothing touches, at is the tile of the given lattice.
	free    bool
	sealed  bool // see seal.go
	lattice int
}

func (d *deriver) newField(p *plate.Pocket) (field, error) {
	f := field{p: p}
	if len(p.Bounds) > 0 {
		c, e := path(p.Bounds)
		if e != nil {
			e.Stage, e.Feature, e.FeatureName = "pockets", p.ID, p.Name
			return f, e
		}
		f.bounds = c
	}
	if p.Kind != plate.FieldPocket { // no rib or rim divides it
		if c := pocketShape(p); c != nil {
			f.bounds = c
		}
		return f, nil
	}
	chosen := make(map[plate.ID]bool, len(p.Ribs))
	for _, id := range p.Ribs {
		chosen[id] = true
	}
	for i := range d.lattices {
		if p.AllRibs || chosen[d.lattices[i].id] {
			f.grids = append(f.grids, i)
		}
	}
	for i := range d.ribs {
		if p.AllRibs || chosen[d.ribs[i].id] {
			f.ribs = append(f.ribs, i)
		}
	}
	d.divided += len(f.ribs)
	for _, g := range f.grids {
		d.divided += int(d.lattices[g].count(d.outline.Box()))
	}
	if d.divided > maxDivided {
		return f, bad("pockets", p.ID, p.Name, "ribs and grids divide the pockets up to this one more than %d times; use fewer pockets, ribs or triangles", maxDivided)
	}
	return f, nil
}

// ground is the field before anything divides it, inset by r: inside the rim and the bounds.
func (d *deriver) ground(f *field, r float64) (geom.Shape, error) {
	rim := d.p.Rim
	if f.p.Kind != plate.FieldPocket {
		rim = 0
	}
	s, err := d.inset(rim + r)
	if err != nil || f.bounds == nil || len(s) == 0 {
		return s, err
	}
	b := geom.Shape{{Outer: f.bounds}}
	if r > 0 {
		if b, err = d.eng.Offset(b, -r); err != nil {
			return nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
		}
	}
	if s, err = d.eng.Intersection(s, b); err != nil {
		return nil, d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	return s, nil
}

// obstacles are the bosses of bores and holes and the given ribs, inflated by r, that come near the box. The ribs of a grid
// with node fillets come as one shape.
func (d *deriver) obstacles(ribs []int, r float64, box geom.Box) ([]geom.Shape, error) {
	var o []geom.Shape
	for i := range d.rounds {
		k := &d.rounds[i]
		if k.boss > 0 && box.Overlaps(geom.Box{}.Add(k.c).Grow(k.radius()+r)) {
			o = append(o, geom.Shape{{Outer: geom.Circle(k.c, k.radius()+r)}})
		}
	}
	filleted := -1 // ribs of one grid follow each other
	for _, i := range ribs {
		k := &d.ribs[i]
		if k.grid >= 0 && d.lattices[k.grid].fillet > r {
			if k.grid == filleted {
				continue
			}
			filleted = k.grid
			s, err := d.closed(k.grid, r)
			if err != nil {
				return nil, err
			}
			o = append(o, s)
			continue
		}
		if box.Overlaps(k.box().Grow(k.half + r)) {
			s, err := k.shape(r)
			if err != nil {
				return nil, d.kernel("ribs", k.id, k.name, err)
			}
			o = append(o, s)
		}
	}
	return o, nil
}

// closed is what the ribs of a grid cover with its node fillets, grown by r, which is less than the fillet: grown by the
// fillet and shrunk by what is too much. From the fillet on there is no difference between ribs with fillets, grown, and
// ribs without.
func (d *deriver) closed(g int, r float64) (geom.Shape, error) {
	key := closedKey{g, r}
	if s, ok := d.closures[key]; ok {
		return s, nil
	}
	l := &d.lattices[g]
	var parts []geom.Shape
	for i := range d.ribs {
		if k := &d.ribs[i]; k.grid == g {
			s, err := k.shape(l.fillet)
			if err != nil {
				return nil, d.kernel("ribs", l.id, l.name, err)
			}
			parts = append(parts, s)
		}
	}
	s, err := d.eng.Union(parts...)
	if err == nil {
		s, err = d.eng.Offset(s, r-l.fillet)
	}
	if err != nil {
		return nil, d.kernel("ribs", l.id, l.name, err)
	}
	d.closures[key] = s
	return s, nil
}

// closedKey names a grid and how far its ribs are grown.
type closedKey struct {
	grid int
	r    float64
}

// general fills in the pieces of any field.
func (d *deriver) general(f *field) error {
	var s [2]geom.Shape // sharp, eroded
	for k, r := range [2]float64{0, f.p.Radius} {
		g, err := d.ground(f, r)
		if err != nil {
			return err
		}
		if k == 0 {
			f.base = g
		}
		if len(g) == 0 {
			continue
		}
		away, err := d.barriersNear(r, g.Box())
		if err != nil {
			return err
		}
		more, err := d.obstacles(f.ribs, r, g.Box())
		if err != nil {
			return err
		}
		if s[k], err = d.eng.Difference(g, append(away, more...)...); err != nil {
			return d.kernel("pockets", f.p.ID, f.p.Name, err)
		}
	}
	open, err := d.eng.Offset(s[1], f.p.Radius)
	if err != nil {
		return d.kernel("pockets", f.p.ID, f.p.Name, err)
	}
	f.pieces = pair(s[0], open)
	return nil
}

// pair sorts the opened regions into the sharp ones that they lie in.
func pair(sharp, open geom.Shape) []piece {
	ps := make([]piece, len(sharp))
	boxes := make([]geom.Box, len(sharp))
	order := make([]int, len(sharp))
	wide := 0.0
	for i := range sharp {
		ps[i].sharp, boxes[i], order[i] = sharp[i], sharp[i].Box(), i
		wide = max(wide, boxes[i].Width())
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case boxes[a].Min.X < boxes[b].Min.X:
			return -1
		case boxes[a].Min.X > boxes[b].Min.X:
			return 1
		}
		return a - b
	})
	for _, o := range open {
		if i := homeOf(o, ps, boxes, order, wide); i >= 0 {
			ps[i].open = append(ps[i].open, o)
		}
	}
	return ps
}

// homeOf is the index of the sharp piece that holds the opened region o. Both may share edges, so the test takes a point
// well inside the opened one.
func homeOf(o geom.Region, ps []piece, boxes []geom.Box, order []int, wide float64) int {
	b := o.Box()
	lo, _ := slices.BinarySearchFunc(order, b.Min.X-wide-1, func(i int, x float64) int {
		if boxes[i].Min.X < x {
			return -1
		}
		return 1
	})
	best, n := -1, 0
	for _, i := range order[lo:] {
		if boxes[i].Min.X > b.Min.X+1e-3 {
			break
		}
		if c := boxes[i].Grow(1e-3); c.Contains(b.Min) && c.Contains(b.Max) {
			best = i
			n++
		}
	}
	if n < 2 {
		return best
	}
	q := inside(o)
	for _, i := range order[lo:] {
		if boxes[i].Min.X > b.Min.X+1e-3 {
			break
		}
		if c := boxes[i].Grow(1e-3); c.Contains(b.Min) && c.Contains(b.Max) && ps[i].sharp.Contains(q) {
			return i
		}
	}
	return best
}

// inside is a point well inside the region: its centroid when that lies inside and not near an edge, else the centre of
// the largest inscribed circle. It is rounded to whole micrometres, or coarser where there is room, so that a choice
// anchored to it reads well in the document.
func inside(r geom.Region) geom.Point {
	c := r.Moments().Centroid()
	room := clearance(r, c)
	if room < 0.25 {
		c, room = geom.InscribedCircle(r)
	}
	for _, per := range [4]float64{1, 10, 100, 1000} {
		q := geom.Pt(math.Round(c.X*per)/per, math.Round(c.Y*per)/per)
		if q.Dist(c) < room/4 {
			return q
		}
	}
	return c
}

// clearance is the distance from p to the edges of the region, negative when p is outside.
func clearance(r geom.Region, p geom.Point) float64 {
	room := math.Inf(1)
	for _, c := range r.Contours() {
		for i := range c {
			room = min(room, c[i].Dist(p))
		}
	}
	if !r.Contains(p) {
		return -room
	}
	return room
}
