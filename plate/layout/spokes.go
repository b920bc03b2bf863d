package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// Spokes join hubs (bores, holes, slots) along the shortest sensible links. All links between two hubs are looked at in
// order of length, equal ones in the order of the hubs. A link is sensible when it lies inside the outline, passes no other
// hub's boss, and makes at least the least angle with the spokes already taken at both of its hubs. Of the sensible ones
// those are taken that cross no spoke. Where hubs are still apart then, the shortest links that join them are taken in the
// same order although they cross, if they do so at no less than the least angle: no spoke crosses another needlessly.

// leastSpoke is the least angle between spokes where the document gives none, degrees.
const leastSpoke = 20

// hub is an end of spokes.
type hub struct {
	id   plate.ID
	name string
	c    geom.Point
	r    float64 // of its boss
	dirs []geom.Point
}

// link is a possible spoke between two hubs.
type link struct {
	a, b   int
	length float64
}

// spokes are the ribs of a field of spokes.
func (d *deriver) spokes(at int, g *plate.Grid) ([]rib, error) {
	l := &d.lattices[at]
	hubs, err := d.hubs(g)
	if err != nil {
		return nil, err
	}
	w := &web{d: d, hubs: hubs, half: l.half, least: g.LeastAngle, joined: make([]int, len(hubs))}
	if w.least == 0 {
		w.least = leastSpoke
	}
	w.least *= math.Pi / 180
	for i := range w.joined {
		w.joined[i] = i
	}
	links := w.links()
	for _, k := range links {
		if w.sensible(k) && w.crossing(k) >= math.Pi {
			w.take(k)
		}
	}
	for _, k := range links {
		if w.root(k.a) != w.root(k.b) && w.sensible(k) && w.crossing(k) >= w.least-1e-9 {
			w.take(k)
		}
	}
	w.tellApart(g)
	var ribs []rib
	for n, k := range w.taken {
		ribs = append(ribs, d.inBounds(l, rib{
			id: l.id, name: l.name, a: hubs[k.a].c, b: hubs[k.b].c, half: l.half, grid: at, group: n,
		})...)
	}
	return ribs, nil
}

// inBounds is what of a straight rib lies in the bounds of its grid.
func (d *deriver) inBounds(l *lattice, r rib) []rib {
	if l.free {
		return []rib{r}
	}
	var out []rib
	a, dir := r.a, r.b.Sub(r.a).Unit()
	for _, x := range l.bounds.Crossings(r.a, r.b) {
		r.a, r.b = a.Add(dir.Mul(x[0])), a.Add(dir.Mul(x[1]))
		out = append(out, r)
	}
	return out
}

// hubs are the ends of the spokes: those that the document names, or all bores.
func (d *deriver) hubs(g *plate.Grid) ([]hub, error) {
	ids := g.Hubs
	if len(ids) == 0 {
		for i := range d.p.Bores {
			ids = append(ids, d.p.Bores[i].ID)
		}
	}
	if len(ids) > maxHubs {
		return nil, bad("ribs", g.ID, g.Name, "it joins %d bores; at most %d are allowed, name the ones that it should join", len(ids), maxHubs)
	}
	var hs []hub
	for _, id := range ids {
		c, ok := d.centreOf(id)
		if !ok {
			return nil, bad("ribs", g.ID, g.Name, "it joins feature %d, which is no bore, hole or slot; choose another", id)
		}
		if slices.ContainsFunc(hs, func(h hub) bool { return h.id == id }) {
			continue
		}
		h := hub{id: id, c: c}
		for i := range d.rounds {
			if r := &d.rounds[i]; r.id == id {
				h.name, h.r = r.label(), max(h.r, r.radius())
			}
		}
		if h.name == "" {
			h.name = fmt.Sprintf("feature %d", id)
		}
		hs = append(hs, h)
	}
	if len(hs) < 2 {
		d.l.Findings = append(d.l.Findings, finding.Finding{
			Code: "spokes-few", Level: finding.Warning, Feature: int64(g.ID), FeatureName: g.Name, Stage: "ribs",
			What: fmt.Sprintf("grid %q has %d hubs and no spoke", g.Name, len(hs)),
			Why:  "a spoke joins two bores, holes or slots", Source: "geometry", Fix: "add bores, or name the hubs that the spokes should join",
		})
	}
	return hs, nil
}

// web is the set of spokes taken so far.
type web struct {
	d      *deriver
	hubs   []hub
	half   float64
	least  float64 // rad
	taken  []link
	joined []int // union of hubs that spokes join
}

// links are all pairs of hubs, shortest first.
func (w *web) links() []link {
	var ks []link
	for a := range w.hubs {
		for b := a + 1; b < len(w.hubs); b++ {
			if n := w.hubs[a].c.Dist(w.hubs[b].c); n > touchEps {
				ks = append(ks, link{a, b, n})
			}
		}
	}
	slices.SortStableFunc(ks, func(p, q link) int {
		if math.Abs(p.length-q.length) < touchEps { // equal but for rounding: keep the order of the hubs
			return cmp.Or(cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
		}
		return cmp.Compare(p.length, q.length)
	})
	return ks
}

// sensible reports whether the link lies inside the outline, clear of other hubs and far enough from the spokes at its own.
func (w *web) sensible(k link) bool {
	a, b := w.hubs[k.a].c, w.hubs[k.b].c
	dir := b.Sub(a).Unit()
	for _, d := range w.hubs[k.a].dirs {
		if angle(d, dir) < w.least-1e-9 {
			return false
		}
	}
	for _, d := range w.hubs[k.b].dirs {
		if angle(d, dir.Mul(-1)) < w.least-1e-9 {
			return false
		}
	}
	e := geom.Line(a, b)
	for i := range w.hubs {
		if i != k.a && i != k.b && e.Dist(w.hubs[i].c) < w.hubs[i].r+w.half-touchEps {
			return false
		}
	}
	inside := 0.0
	for _, x := range (geom.Shape{{Outer: w.d.outline}}).Crossings(a, b) {
		inside += x[1] - x[0]
	}
	return inside > k.length-touchEps
}

// angle is the angle between two unit vectors.
func angle(a, b geom.Point) float64 { return math.Atan2(math.Abs(a.Cross(b)), a.Dot(b)) }

// crossing is the flattest angle at which the link crosses a spoke, at most a right angle; π when it crosses none.
func (w *web) crossing(k link) float64 {
	least := math.Pi
	for _, t := range w.taken {
		least = min(least, w.crosses(k, t))
	}
	return least
}

// crosses is the angle at which two links cross, at most a right angle; π when they do not.
func (w *web) crosses(k, t link) float64 {
	if t.a == k.a || t.a == k.b || t.b == k.a || t.b == k.b {
		return math.Pi
	}
	a, b, p, q := w.hubs[k.a].c, w.hubs[k.b].c, w.hubs[t.a].c, w.hubs[t.b].c
	u, v := b.Sub(a).Unit(), q.Sub(p).Unit()
	if u.Cross(p.Sub(a))*u.Cross(q.Sub(a)) < 0 && v.Cross(a.Sub(p))*v.Cross(b.Sub(p)) < 0 {
		x := angle(u, v)
		return min(x, math.Pi-x)
	}
	return math.Pi
}

// take adds the link to the spokes. Where it crosses one, the two are joined: ribs that cross are one piece.
func (w *web) take(k link) {
	for _, t := range w.taken {
		if w.crosses(k, t) < math.Pi {
			w.joined[w.root(t.a)] = w.root(k.a)
		}
	}
	dir := w.hubs[k.b].c.Sub(w.hubs[k.a].c).Unit()
	w.hubs[k.a].dirs = append(w.hubs[k.a].dirs, dir)
	w.hubs[k.b].dirs = append(w.hubs[k.b].dirs, dir.Mul(-1))
	w.taken = append(w.taken, k)
	w.joined[w.root(k.a)] = w.root(k.b)
}

func (w *web) root(i int) int {
	for w.joined[i] != i {
		w.joined[i] = w.joined[w.joined[i]]
		i = w.joined[i]
	}
	return i
}

// tellApart reports the hubs that no sensible spoke joins to the first.
func (w *web) tellApart(g *plate.Grid) {
	var apart []string
	at := geom.Point{}
	for i := range w.hubs {
		if w.root(i) != w.root(0) {
			if apart = append(apart, w.hubs[i].name); len(apart) == 1 {
				at = w.hubs[i].c
			}
		}
	}
	if len(apart) == 0 {
		return
	}
	w.d.find(finding.Finding{
		Code: "spokes-apart", Level: finding.Warning, Feature: int64(g.ID), FeatureName: g.Name, Stage: "ribs",
		What: fmt.Sprintf("the spokes of grid %q do not join %s to %s", g.Name, strings.Join(apart, ", "), w.hubs[0].name),
		Why:  "every link between them leaves the outline, passes another boss, or makes too small an angle with a spoke", Source: "geometry",
		Fix: "make the least angle smaller, narrow the bosses, or draw a rib",
	}, at)
}
