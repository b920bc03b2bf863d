package layout

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// onBounds is how far outside its boundary a grid still holds, mm: so that a rib whose centre line runs along the boundary
// is there, whatever the last digit of its coordinates.
const onBounds = 1e-4

// rib is one strip with round ends: a drawn rib, a line of a grid from end to end, or a part of one with a width of its own.
type rib struct {
	id   plate.ID
	name string
	a, b geom.Point
	half float64
	grid int        // index into deriver.lattices, -1 for a drawn rib
	bend *geom.Edge // centre line from a to b where it is an arc; nil for a straight rib

	group int // the same for all parts of one rib of a field without nodes
}

// edge is the centre line.
func (r *rib) edge() geom.Edge {
	if r.bend != nil {
		return *r.bend
	}
	return geom.Line(r.a, r.b)
}

// dist is the distance from p to the centre line.
func (r *rib) dist(p geom.Point) float64 { return r.edge().Dist(p) }

// box holds the centre line.
func (r *rib) box() geom.Box {
	if r.bend != nil {
		return r.bend.Box()
	}
	return geom.Box{}.Add(r.a).Add(r.b)
}

// shape is what the rib covers, grown by so much.
func (r *rib) shape(grow float64) (geom.Shape, error) {
	if r.bend != nil {
		return geom.ThickArc(*r.bend, r.half+grow)
	}
	return geom.Shape{{Outer: geom.Capsule(r.a, r.b, r.half+grow)}}, nil
}

// makeRibs lists the strips of all ribs and grids, drawn ribs first. The ends of a grid's lines lie outside the plate, or on
// its bounds.
func (d *deriver) makeRibs() error {
	around, err := d.eng.Offset(geom.Shape{{Outer: d.outline}}, onBounds)
	if err != nil {
		return d.kernel("outline", 0, "", err)
	}
	d.around = around
	grids := make([]plate.Grid, len(d.p.Grids))
	for i := range d.p.Grids {
		grids[i] = d.p.Grids[i]
		if err := d.addLattice(&grids[i]); err != nil {
			return err
		}
	}
	for i := range d.p.Ribs {
		if err := d.drawnRib(&d.p.Ribs[i]); err != nil {
			return err
		}
	}
	for i := range grids {
		if err := d.ctx.Err(); err != nil {
			return err
		}
		if err := d.gridRibs(i, &grids[i]); err != nil {
			return err
		}
	}
	return nil
}

// addLattice appends the lattice of a grid, fitted where that is asked for: g is changed then.
func (d *deriver) addLattice(g *plate.Grid) error {
	var bounds geom.Contour
	if len(g.Bounds) > 0 {
		c, e := path(g.Bounds)
		if e != nil {
			e.Stage, e.Feature, e.FeatureName = "ribs", g.ID, g.Name
			return e
		}
		bounds = c
	}
	if g.Fitted {
		if err := d.fit(g, bounds); err != nil {
			return err
		}
	}
	l := newLattice(g)
	if bounds != nil {
		s, err := d.eng.Offset(geom.Shape{{Outer: bounds}}, onBounds)
		if err != nil {
			return d.kernel("ribs", g.ID, g.Name, err)
		}
		l.bounds, l.edge = s, bounds
	}
	if err := l.affordable(d.outline.Box()); err != nil {
		return err
	}
	l.setWidths(g.Widths)
	d.lattices = append(d.lattices, l)
	return nil
}

// affordable refuses a grid so fine that its lines or tiles could not be computed in bounded time.
func (l *lattice) affordable(box geom.Box) error {
	for m := range l.families() {
		if lo, hi := l.span(m, box, 2*(l.half+l.fillet)); !(hi-lo < maxLines) {
			return bad("ribs", l.id, l.name, "a pitch of %s puts %.0f lines across the plate; at most %d are allowed, enlarge the pitch",
				mm(l.step[m]), hi-lo+1, maxLines)
		}
	}
	if n := l.count(box); !(n <= maxTiles) {
		what := "triangles"
		if l.kind != plate.Isogrid {
			what = "rectangles"
		}
		return bad("ribs", l.id, l.name, "a pitch of %s makes about %.0f %s; at most %d are allowed, enlarge the pitch",
			mm(l.pitch), n, what, maxTiles)
	}
	return nil
}

// count is about how many tiles the box holds.
func (l *lattice) count(box geom.Box) float64 {
	switch l.kind {
	case plate.Isogrid:
		return 2 * box.Width() * box.Height() / (l.pitch * l.h)
	case plate.Orthogrid:
		return box.Width() * box.Height() / (l.step[0] * l.step[1])
	}
	return 0
}

// drawnRib adds a rib of the document.
func (d *deriver) drawnRib(r *plate.Rib) error {
	var ends [2]geom.Point
	for k, e := range [2]plate.RibEnd{r.From, r.To} {
		ends[k] = geom.Pt(e.X, e.Y)
		if e.Feature != 0 {
			c, ok := d.centreOf(e.Feature)
			if !ok {
				return bad("ribs", r.ID, r.Name, "it ends at feature %d, which is no bore, hole or slot; choose one or a point", e.Feature)
			}
			ends[k] = c
			continue
		}
		ends[k] = d.snapEnd(r, ends[k])
	}
	if ends[0].Dist(ends[1]) < 1e-6 {
		d.find(finding.Finding{
			Code: "rib-no-length", Level: finding.Error, Feature: int64(r.ID), FeatureName: r.Name, Stage: "ribs",
			What: fmt.Sprintf("rib %q begins and ends at the same point; it is left out", r.Name),
			Why:  "a rib needs two different ends", Source: "geometry", Fix: "move one end or delete the rib",
		}, ends[0])
		return nil
	}
	k := rib{id: r.ID, name: r.Name, a: ends[0], b: ends[1], half: r.Width / 2, grid: -1}
	if r.Arc {
		e, err := geom.ArcThrough(ends[0], geom.Pt(r.ThroughX, r.ThroughY), ends[1])
		if err != nil {
			d.find(finding.Finding{
				Code: "rib-no-arc", Level: finding.Warning, Feature: int64(r.ID), FeatureName: r.Name, Stage: "ribs",
				What: fmt.Sprintf("no arc leads from end to end of rib %q through (%.4g, %.4g); it is straight", r.Name, r.ThroughX, r.ThroughY),
				Why:  "the three points lie on one line, coincide, or need too large a radius", Source: "geometry",
				Fix: "move the point off the line between the ends, or draw the rib straight",
			}, ends[0])
		} else {
			k.bend = &e
		}
	}
	d.addRib(k, plate.RibAnchor{})
	return nil
}

// snapDist is how far, in mm, the end of a drawn rib may miss what it is drawn to and still be moved there: a centre, the
// end of another rib, a node of a grid. Hundredths are slips of the hand or of rounding; they would leave slivers between
// ribs that are meant to meet.
const snapDist = 0.05

// snapEnd is the end of a drawn rib, moved to the nearest centre, rib end or node within snapDist; a note says so.
func (d *deriver) snapEnd(r *plate.Rib, p geom.Point) geom.Point {
	best, to := p, func() string { return "" }
	found := false
	near := func(q geom.Point, what func() string) {
		if e := q.Dist(p); e <= snapDist && (!found || e < best.Dist(p)) {
			best, to, found = q, what, true
		}
	}
	for i := range d.rounds {
		near(d.rounds[i].c, func() string { return "the centre of " + d.rounds[i].label() })
	}
	for i := range d.ribs {
		for _, q := range [2]geom.Point{d.ribs[i].a, d.ribs[i].b} {
			near(q, func() string { return fmt.Sprintf("the end of rib %q", d.ribs[i].name) })
		}
	}
	for i := range d.lattices {
		if l := &d.lattices[i]; l.tiled() {
			near(l.nearestNode(p), func() string { return fmt.Sprintf("a node of grid %q", l.name) })
		}
	}
	off := best.Dist(p)
	if off < touchEps {
		return p
	}
	d.find(finding.Finding{
		Code: "rib-snapped", Level: finding.Note, Feature: int64(r.ID), FeatureName: r.Name, Stage: "ribs",
		What: fmt.Sprintf("an end of rib %q misses %s by %s; it is taken to be there", r.Name, to(), mm(off)),
		Why:  fmt.Sprintf("an end that misses by less than %s is a slip, and would leave a sliver", mm(snapDist)), Source: "common practice, no source",
		Fix: "move the end there, or further away",
	}, best)
	return best
}

// addRib appends the rib and the strips of what of it lies inside the outline.
func (d *deriver) addRib(r rib, at plate.RibAnchor) {
	d.ribs = append(d.ribs, r)
	d.strips(&r, at)
}

// gridRibs adds the ribs of one grid and, along its bounds, the edge rib that they end in.
func (d *deriver) gridRibs(at int, g *plate.Grid) error {
	l := &d.lattices[at]
	first := len(d.l.Strips)
	switch {
	case l.tiled():
		d.lines(at, d.segments)
		d.tellWidths(at, g, first)
	default:
		ribs, err := d.looseRibs(at, g)
		if err != nil {
			return err
		}
		for i := range ribs {
			d.addRib(ribs[i], plate.RibAnchor{})
		}
	}
	for i := range l.edge {
		e := l.edge[i]
		r := rib{id: l.id, name: l.name, a: e.A, b: e.B, half: l.half, grid: at}
		if e.IsArc() {
			r.bend = &e
		}
		d.addRib(r, plate.RibAnchor{})
	}
	return nil
}

// looseRibs are the ribs of a field without nodes, each with its width.
func (d *deriver) looseRibs(at int, g *plate.Grid) (ribs []rib, err error) {
	l := &d.lattices[at]
	reach := func(*rib) float64 { return l.pitch / 2 }
	switch l.kind {
	case plate.Spokes:
		ribs, err = d.spokes(at, g)
		// Spokes have no pitch, and their middles move with their hubs.
		reach = func(r *rib) float64 { return r.a.Dist(r.b) / 4 }
	case plate.Directions:
		ribs, err = d.streams(at, g)
	default:
		d.lines(at, func(at, m int, k float64, a, b geom.Point) {
			ribs = append(ribs, rib{id: l.id, name: l.name, a: a, b: b, half: l.half, grid: at, group: len(ribs)})
		})
	}
	if err != nil {
		return nil, err
	}
	d.localWidths(g, ribs, reach)
	return ribs, nil
}

// lines calls add for every stretch from a to b of the lines of an isogrid, an orthogrid or a parallel field: line k of
// family m. Without bounds they run so far beyond the box of the plate that their round ends, and every disc of the fillet
// radius that touches one inside it, lie between lines. That is enough for cells too, whose strips are inflated: the field
// shrinks by as much as they grow.
func (d *deriver) lines(at int, add func(at, m int, k float64, a, b geom.Point)) {
	l := &d.lattices[at]
	box := d.outline.Box()
	out := 2 * (l.widest() + l.fillet)
	long := box.Grow(1 + out)
	for m := range l.families() {
		dir, n := l.family(m)
		lo, hi := l.span(m, box, out)
		for k := lo; k <= hi; k++ {
			a, b, ok := clipLine(l.origin.Add(n.Mul(k*l.step[m])), dir, long)
			if !ok {
				continue
			}
			if l.free {
				add(at, m, k, a, b)
				continue
			}
			for _, x := range l.bounds.Crossings(a, b) {
				add(at, m, k, l.snap(m, k, a.Add(dir.Mul(x[0]))), l.snap(m, k, a.Add(dir.Mul(x[1]))))
			}
		}
	}
}

// snap is the point p on a line of the grid, or the node of the grid that it nearly is. A boundary through a node is grown
// by onBounds and cuts the lines there at different points; the ribs are to meet in the node.
func (l *lattice) snap(m int, k float64, p geom.Point) geom.Point {
	if !l.tiled() {
		return p
	}
	dir, _ := l.family(m)
	v := l.place(m, lineName(m, k), dir.Dot(p.Sub(l.origin)))
	if d := (v - math.Round(v)) * l.along[m]; math.Abs(d) < 10*onBounds {
		return p.Sub(dir.Mul(d))
	}
	return p
}

// segments adds the stretch from a to b of one line of a lattice: one rib, or several where segments have a width of their
// own.
func (d *deriver) segments(at, m int, k float64, a, b geom.Point) {
	l := &d.lattices[at]
	r := rib{id: l.id, name: l.name, grid: at}
	dir, n := l.family(m)
	foot := l.origin.Add(n.Mul(k * l.step[m]))
	name := lineName(m, k)
	s0, s1 := dir.Dot(a.Sub(foot)), dir.Dot(b.Sub(foot))
	add := func(p, q, half float64) {
		if q-p < touchEps {
			return
		}
		r.a, r.b, r.half = foot.Add(dir.Mul(p)), foot.Add(dir.Mul(q)), half
		if p == s0 {
			r.a = a
		}
		if q == s1 {
			r.b = b
		}
		d.ribs = append(d.ribs, r)
	}
	from := s0
	for _, t := range l.special(m, name) {
		p, q := l.nodeAt(m, name, float64(t)), l.nodeAt(m, name, float64(t+1))
		if q <= s0 || p >= s1 {
			continue
		}
		p, q = max(p, s0), min(q, s1)
		add(from, p, l.half)
		add(p, q, l.widths[segment{m, name, t}])
		from = q
	}
	add(from, s1, l.half)
	for _, x := range d.along(a, b) {
		d.segmentStrips(at, m, name, foot, dir, s0+x[0], s0+x[1])
	}
}

// segmentStrips adds the strips of a line of a lattice from s0 to s1, one from node to node.
func (d *deriver) segmentStrips(at, m, name int, foot, dir geom.Point, s0, s1 float64) {
	l := &d.lattices[at]
	off := 10 * onBounds / l.along[m] // no segment begins or ends so near to a node
	u0, u1 := math.Floor(l.place(m, name, s0)+off), math.Ceil(l.place(m, name, s1)-off)
	for u := u0; u < u1; u++ {
		p, q := max(s0, l.nodeAt(m, name, u)), min(s1, l.nodeAt(m, name, u+1))
		half, ok := l.widths[segment{m, name, int(u)}]
		if !ok {
			half = l.half
		}
		mid := foot.Add(dir.Mul((p + q) / 2))
		d.l.Strips = append(d.l.Strips, Strip{
			Feature: l.id, A: foot.Add(dir.Mul(p)), B: foot.Add(dir.Mul(q)), Width: 2 * half,
			Anchor: plate.RibAnchor{Lattice: true, Family: m, Line: name, Segment: int(u), X: mid.X, Y: mid.Y},
		})
	}
}

// strips adds what of the rib's centre line lies inside the outline. An anchor with a place is kept; a grid's rib without
// one is anchored to its middle.
func (d *deriver) strips(r *rib, at plate.RibAnchor) {
	put := func(e geom.Edge) {
		s := Strip{Feature: r.id, A: e.A, B: e.B, Width: 2 * r.half, Arc: e.IsArc(), Anchor: at}
		if s.Arc {
			s.Through = e.Mid()
		}
		if m := e.Mid(); r.grid >= 0 && at == (plate.RibAnchor{}) {
			s.Anchor.X, s.Anchor.Y = m.X, m.Y
		}
		d.l.Strips = append(d.l.Strips, s)
	}
	if r.bend != nil {
		for _, e := range d.insideOutline(*r.bend) {
			put(e)
		}
		return
	}
	dir := r.b.Sub(r.a).Unit()
	for _, x := range d.along(r.a, r.b) {
		put(geom.Line(r.a.Add(dir.Mul(x[0])), r.a.Add(dir.Mul(x[1]))))
	}
}

// along are the stretches from a to b inside the outline, or on it: half of a rib along the outline's edge is metal, whatever
// the last digit of its coordinates.
func (d *deriver) along(a, b geom.Point) [][2]float64 {
	return d.around.Crossings(a, b)
}

// insideOutline are the parts of an arc inside the outline, by looking at points along it and closing in on the places
// where it crosses. It serves the drawing of centre lines only.
func (d *deriver) insideOutline(e geom.Edge) []geom.Edge {
	const points = 64
	in := func(t float64) bool { return d.outline.Contains(e.At(t)) }
	cross := func(t0, t1 float64) float64 {
		was := in(t0)
		for range 40 {
			if m := (t0 + t1) / 2; in(m) == was {
				t0 = m
			} else {
				t1 = m
			}
		}
		return (t0 + t1) / 2
	}
	var out []geom.Edge
	from, inside := 0.0, in(0)
	put := func(to float64) {
		if inside && to > from {
			out = append(out, geom.Edge{A: e.At(from), B: e.At(to), C: e.C, R: e.R, Dir: e.Dir})
		}
	}
	for k := 1; k <= points; k++ {
		t0, t1 := float64(k-1)/points, float64(k)/points
		if in(t1) == inside {
			continue
		}
		end := cross(t0, t1)
		put(end)
		from, inside = end, !inside
	}
	put(1)
	return out
}

// clipLine returns the stretch, along dir, of the line through p that lies in the box.
func clipLine(p, dir geom.Point, b geom.Box) (from, to geom.Point, ok bool) {
	t0, t1 := math.Inf(-1), math.Inf(1)
	for _, s := range [2][4]float64{{p.X, dir.X, b.Min.X, b.Max.X}, {p.Y, dir.Y, b.Min.Y, b.Max.Y}} {
		if math.Abs(s[1]) < 1e-12 {
			if s[0] < s[2] || s[0] > s[3] {
				return p, p, false
			}
			continue
		}
		u, v := (s[2]-s[0])/s[1], (s[3]-s[0])/s[1]
		t0, t1 = max(t0, min(u, v)), min(t1, max(u, v))
	}
	if !(t1 > t0) || math.IsInf(t1-t0, 0) {
		return p, p, false
	}
	return p.Add(dir.Mul(t0)), p.Add(dir.Mul(t1)), true
}
