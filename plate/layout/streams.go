package layout

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// Ribs along a given field of directions. A direction and its opposite are the same, so directions are averaged as vectors
// of twice the angle: weighted by the inverse fourth power of the distance at the nodes of a raster over the plate, and
// bilinearly between the nodes. Ribs are traced along it and spaced evenly, as streamlines are in B. Jobard, W. Lefer,
// "Creating Evenly-Spaced Streamlines of Arbitrary Density" (1997, from memory): each rib offers places a pitch to either
// side where others may begin, and a rib that comes nearer to another than half a pitch ends in it. At the end a traced rib
// becomes a chain of arcs and lines, each going on in the direction of the one before.

const (
	rasterNodes = 48   // of the raster along its longer side
	stepShare   = 0.1  // length of a step as a share of the pitch
	seedShare   = 0.95 // of the pitch: a new rib begins no nearer to another
	endShare    = 0.5  // of the pitch: a rib that comes as near to another ends in it
	traceFit    = 0.02 // mm: how far arcs may leave the traced points
	noDirection = 0.02 // length of the mean vector below which directions cancel each other
)

// raster holds vectors of twice the angle at nodes.
type raster struct {
	lo     geom.Point
	cell   float64
	nx, ny int
	v      []geom.Point
}

// newRaster averages the samples at its nodes.
func newRaster(box geom.Box, samples []plate.Direction) *raster {
	r := &raster{lo: box.Min}
	r.cell = max(box.Width(), box.Height()) / (rasterNodes - 1)
	r.nx = int(math.Ceil(box.Width()/r.cell)) + 2
	r.ny = int(math.Ceil(box.Height()/r.cell)) + 2
	r.v = make([]geom.Point, r.nx*r.ny)
	two := make([]geom.Point, len(samples))
	for i, s := range samples {
		sin, cos := math.Sincos(math.Mod(s.AngleDeg, 180) * math.Pi / 90)
		two[i] = geom.Pt(cos, sin)
	}
	for n := range r.v {
		at := r.lo.Add(geom.Pt(float64(n%r.nx), float64(n/r.nx)).Mul(r.cell))
		sum, weight := geom.Point{}, 0.0
		for i, s := range samples {
			q := (s.X-at.X)*(s.X-at.X) + (s.Y-at.Y)*(s.Y-at.Y)
			q = max(q, 1e-6*r.cell*r.cell) // on the sample: as good as its value
			w := 1 / (q * q)
			sum, weight = sum.Add(two[i].Mul(w)), weight+w
		}
		r.v[n] = sum.Mul(1 / weight)
	}
	return r
}

// at is the unit direction at p that goes on with along rather than against it; false where the directions cancel.
func (r *raster) at(p, along geom.Point) (geom.Point, bool) {
	x, y := (p.X-r.lo.X)/r.cell, (p.Y-r.lo.Y)/r.cell
	i := int(min(max(math.Floor(x), 0), float64(r.nx-2)))
	j := int(min(max(math.Floor(y), 0), float64(r.ny-2)))
	x, y = min(max(x-float64(i), 0), 1), min(max(y-float64(j), 0), 1)
	n := j*r.nx + i
	v := r.v[n].Mul((1 - x) * (1 - y)).Add(r.v[n+1].Mul(x * (1 - y))).
		Add(r.v[n+r.nx].Mul((1 - x) * y)).Add(r.v[n+r.nx+1].Mul(x * y))
	if v.Len() < noDirection {
		return geom.Point{}, false
	}
	sin, cos := math.Sincos(math.Atan2(v.Y, v.X) / 2)
	u := geom.Pt(cos, sin)
	if u.Dot(along) < 0 {
		u = u.Mul(-1)
	}
	return u, true
}

// tracer lays the ribs of one family.
type tracer struct {
	d       *deriver
	l       *lattice
	r       *raster
	quarter bool // the family at right angles
	field   geom.Shape
	box     geom.Box
	pitch   float64
	step    float64
	lines   [][]geom.Point
	bins    map[[2]int][]binned // traced points by cells of the pitch
	left    int                 // steps that may still be taken
}

type binned struct {
	p    geom.Point
	line int
	at   int
}

// streams are the ribs of a field along directions.
func (d *deriver) streams(at int, g *plate.Grid) ([]rib, error) {
	l := &d.lattices[at]
	field := geom.Shape{{Outer: d.outline}}
	if !l.free {
		field = l.bounds
	}
	box := field.Box()
	families := 1
	if g.Crossed {
		families = 2
	}
	// A rib takes about a step for each tenth of a pitch, and ribs lie a pitch apart; twice that for those that merge.
	if n := 2 * float64(families) * box.Width() * box.Height() / (stepShare * g.Pitch * g.Pitch); !(n <= maxTraced) {
		return nil, bad("ribs", g.ID, g.Name, "a pitch of %s takes about %.0f steps along the ribs; at most %d are allowed, enlarge the pitch",
			mm(g.Pitch), n, maxTraced)
	}
	r := newRaster(box, g.Samples)
	var ribs []rib
	group := 0
	for f := range families {
		t := &tracer{
			d: d, l: l, r: r, quarter: f == 1, field: field, box: box, pitch: g.Pitch, step: stepShare * g.Pitch,
			bins: map[[2]int][]binned{}, left: maxTraced / families,
		}
		if err := t.lay(geom.Pt(g.X, g.Y)); err != nil {
			return nil, err
		}
		for _, pts := range t.lines {
			for _, e := range fitArcs(pts, traceFit) {
				k := rib{id: l.id, name: l.name, a: e.A, b: e.B, half: l.half, grid: at, group: group}
				if e.IsArc() {
					k.bend = &e
				}
				ribs = append(ribs, k)
			}
			group++
		}
		if t.left <= 0 {
			d.find(finding.Finding{
				Code: "directions-cut-short", Level: finding.Warning, Feature: int64(g.ID), FeatureName: g.Name, Stage: "ribs",
				What: "the ribs of grid \"" + g.Name + "\" turn so much that not all of them could be laid",
				Why:  "the number of steps along the ribs of one field is bounded", Source: "limit of this program",
				Fix: "enlarge the pitch, or smooth the directions",
			}, box.Center())
		}
	}
	return ribs, nil
}

// lay traces ribs from the place given, or from the middle of the field, until no new one has room.
func (t *tracer) lay(from geom.Point) error {
	if !t.field.Contains(from) {
		from = t.box.Center()
		if !t.field.Contains(from) {
			from = inside(t.field[0])
		}
	}
	t.trace(from)
	for next := 0; next < len(t.lines) && t.left > 0; next++ {
		if err := t.d.ctx.Err(); err != nil {
			return err
		}
		pts := t.lines[next]
		for i := range pts {
			u, ok := t.direction(pts[i], t.tangent(pts, i))
			if !ok {
				continue
			}
			for _, side := range [2]float64{1, -1} {
				if q := pts[i].Add(u.Perp().Mul(side * t.pitch)); t.room(q) {
					t.trace(q)
				}
			}
		}
	}
	return nil
}

func (t *tracer) tangent(pts []geom.Point, i int) geom.Point {
	return pts[min(i+1, len(pts)-1)].Sub(pts[max(i-1, 0)]).Unit()
}

// direction is the direction of this family at p, going on along u.
func (t *tracer) direction(p, u geom.Point) (geom.Point, bool) {
	if t.quarter {
		v, ok := t.r.at(p, u.Perp().Mul(-1))
		return v.Perp(), ok
	}
	return t.r.at(p, u)
}

// room reports whether a rib may begin at q.
func (t *tracer) room(q geom.Point) bool {
	if !t.field.Contains(q) {
		return false
	}
	_, ok := t.nearest(q, seedShare*t.pitch, -1, 0)
	return !ok
}

// clearSteps is the number of steps along one rib within which it cannot meet itself: a pitch and a half.
const clearSteps = 15

// nearest is the traced point nearest to q, within reach. Of the given line points less than clearSteps steps from its point
// at are left out.
func (t *tracer) nearest(q geom.Point, reach float64, line, at int) (geom.Point, bool) {
	k := t.bin(q)
	best, found := geom.Point{}, false
	for y := k[1] - 1; y <= k[1]+1; y++ {
		for x := k[0] - 1; x <= k[0]+1; x++ {
			for _, b := range t.bins[[2]int{x, y}] {
				if b.line == line && b.at-at < clearSteps && at-b.at < clearSteps {
					continue
				}
				if e := b.p.Dist(q); e < reach {
					best, reach, found = b.p, e, true
				}
			}
		}
	}
	return best, found
}

func (t *tracer) bin(p geom.Point) [2]int {
	return [2]int{int(math.Floor(p.X / t.pitch)), int(math.Floor(p.Y / t.pitch))}
}

// note enters a traced point: number at, from the start of rib line, negative backwards.
func (t *tracer) note(p geom.Point, line, at int) {
	k := t.bin(p)
	t.bins[k] = append(t.bins[k], binned{p, line, at})
}

// trace adds the rib through q: forwards, then backwards.
func (t *tracer) trace(q geom.Point) {
	u, ok := t.direction(q, geom.Pt(1, 0))
	if !ok {
		return
	}
	t.note(q, len(t.lines), 0)
	ahead, closed := t.run(q, u, 1)
	var pts []geom.Point
	if !closed {
		pts, _ = t.run(q, u.Mul(-1), -1)
		slices.Reverse(pts)
	}
	t.lines = append(t.lines, append(append(pts, q), ahead...))
}

// run traces from q in the direction u until the rib leaves the field or meets a rib, and returns the points after q, which
// it numbers up or down by dir. closed says that it came back to q.
func (t *tracer) run(q, u geom.Point, dir int) (pts []geom.Point, closed bool) {
	p, line := q, len(t.lines)
	add := func(p geom.Point) {
		pts = append(pts, p)
		t.note(p, line, dir*len(pts))
	}
	for t.left > 0 {
		t.left--
		v, ok := t.direction(p, u)
		if ok {
			v, ok = t.direction(p.Add(v.Mul(t.step/2)), v)
		}
		if !ok {
			v = u // directions cancel here: straight on until there is something to end in
		}
		next := p.Add(v.Mul(t.step))
		if !t.field.Contains(next) {
			add(t.leave(p, v))
			return pts, false
		}
		if len(pts) > clearSteps && next.Dist(q) < endShare*t.pitch {
			add(next)
			return append(pts, q), true
		}
		if m, ok := t.meets(next, v, line, dir*(len(pts)+1)); ok {
			add(next)
			return append(pts, m), false
		}
		add(next)
		p, u = next, v
	}
	return pts, false
}

// meets is the point at which a rib at p going along v ends in another rib, or in an earlier part of itself.
func (t *tracer) meets(p, v geom.Point, line, at int) (geom.Point, bool) {
	reach := endShare * t.pitch
	best, found := t.nearest(p, reach, line, at)
	if !found {
		return best, false
	}
	// A little further along, so that the ribs meet slanting.
	if on, ok := t.nearest(p.Add(v.Mul(reach)), reach, line, at); ok {
		best = on
	}
	return best, true
}

// leave is the end of a rib that leaves the field from p in the direction v: on the bounds of its grid, or so far outside
// the outline that its round end lies outside.
func (t *tracer) leave(p, v geom.Point) geom.Point {
	far := t.step + t.box.Width() + t.box.Height()
	xs := t.field.Crossings(p, p.Add(v.Mul(far)))
	switch {
	case len(xs) == 0: // p is on the edge itself
		return p.Add(v.Mul(t.step))
	case t.l.free:
		return p.Add(v.Mul(xs[0][1] + 1 + 4*t.l.half))
	}
	return p.Add(v.Mul(xs[0][1]))
}

// fitArcs joins points by arcs and lines that leave no point by more than tol, each as long as it can be. Neighbours go on in
// each other's direction, for a bend of a thousandth between them would leave an edge of some micrometres on the ribs'
// outline; only where the points turn sharply, as where a rib runs into another, is there a corner.
func fitArcs(pts []geom.Point, tol float64) []geom.Edge {
	var out []geom.Edge
	from := 0
	for i := 1; i < len(pts); i++ {
		if i == len(pts)-1 || turn(pts[i-1], pts[i], pts[i+1]) > sharpTrace {
			out = append(out, fitSmooth(pts[from:i+1], tol)...)
			from = i
		}
	}
	return out
}

// sharpTrace is the turn from one step to the next, rad, from which a traced rib has a corner.
const sharpTrace = 15 * math.Pi / 180

// turn is the angle between the steps from a to b and from b to c.
func turn(a, b, c geom.Point) float64 {
	u, v := b.Sub(a), c.Sub(b)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v)))
}

// fitSmooth joins points without a corner.
func fitSmooth(pts []geom.Point, tol float64) []geom.Edge {
	tangents := tangentsAt(pts)
	var out []geom.Edge
	for i := 0; i < len(pts)-1; {
		// Doubling, then closing in, so that the fit is looked at a few times per edge only.
		j, e := i+1, biarc(pts[i], tangents[i], pts[i+1], tangents[i+1])
		if e == nil {
			e = []geom.Edge{geom.Line(pts[i], pts[j])}
		}
		try := func(k int) bool {
			f := biarc(pts[i], tangents[i], pts[k], tangents[k])
			if !alongAll(f, pts[i+1:k], tol) {
				return false
			}
			j, e = k, f
			return true
		}
		for reach := 2; j < len(pts)-1; reach *= 2 {
			k := min(i+reach, len(pts)-1)
			if try(k) {
				continue
			}
			for low := j; k-low > 1; {
				if m := (low + k) / 2; try(m) {
					low = m
				} else {
					k = m
				}
			}
			break
		}
		for _, one := range e {
			if one.A.Dist(one.B) > touchEps {
				out = append(out, one)
			}
		}
		i = j
	}
	return out
}

// tangentsAt are the directions at the points: along the steps' mean, at the ends as on the arc through the first step.
func tangentsAt(pts []geom.Point) []geom.Point {
	n := len(pts)
	t := make([]geom.Point, n)
	for i := 1; i < n-1; i++ {
		t[i] = pts[i].Sub(pts[i-1]).Unit().Add(pts[i+1].Sub(pts[i]).Unit()).Unit()
	}
	mirror := func(v, chord geom.Point) geom.Point {
		c := chord.Unit()
		return c.Mul(2 * v.Dot(c)).Sub(v)
	}
	if n == 2 {
		t[0] = pts[1].Sub(pts[0]).Unit()
		t[1] = t[0]
		return t
	}
	t[0] = mirror(t[1], pts[1].Sub(pts[0]))
	t[n-1] = mirror(t[n-2], pts[n-1].Sub(pts[n-2]))
	return t
}

// alongAll reports whether all points lie within tol of one of the edges.
func alongAll(edges []geom.Edge, pts []geom.Point, tol float64) bool {
	if edges == nil {
		return false
	}
	for _, p := range pts {
		d := math.Inf(1)
		for _, e := range edges {
			d = min(d, e.Dist(p))
		}
		if d > tol {
			return false
		}
	}
	return true
}

// biarc leaves a in the direction u and comes to b in the direction v, by two arcs that go on in each other's direction, with
// tangents of one length (K. M. Bolton, "Biarc curves", Computer-Aided Design 7 (1975) 89–92, from memory). It is nil where
// one of them would turn by more than a third, so that no edge comes near to closing on itself.
func biarc(a, u, b, v geom.Point) []geom.Edge {
	w := b.Sub(a)
	// |w − l(u+v)| = 2l, for the length l of both tangents.
	p, q, r := 2*(1-u.Dot(v)), w.Dot(u.Add(v)), w.Dot(w)
	l := r / (q + math.Sqrt(max(q*q+p*r, 0)))
	if !(l > 0) || math.IsInf(l, 0) {
		return nil
	}
	joint := a.Add(u.Mul(l)).Add(b.Sub(v.Mul(l))).Mul(0.5)
	first, ok1 := arcFrom(a, u, joint)
	second, ok2 := arcFrom(b, v.Mul(-1), joint)
	if !ok1 || !ok2 {
		return nil
	}
	return []geom.Edge{first, second.Reverse()}
}

// arcFrom is the arc, or line, from a in the direction u to b.
func arcFrom(a, u, b geom.Point) (geom.Edge, bool) {
	chord := b.Sub(a)
	half := math.Atan2(u.Cross(chord), u.Dot(chord)) // of the sweep
	if math.Abs(half) > math.Pi/3 {
		return geom.Edge{}, false
	}
	middle := a.Add(b).Mul(0.5).Sub(chord.Perp().Mul(math.Tan(half/2) / 2))
	if e, err := geom.ArcThrough(a, middle, b); err == nil && math.Abs(half) > straightTrace {
		return e, true
	}
	return geom.Line(a, b), true
}

// straightTrace is the half turn of an arc, rad, up to which it is a line: an arc of some centimetres then leaves it by less
// than a nanometre.
const straightTrace = 1e-7
