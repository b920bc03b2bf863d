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

// rib is one straight strip with round ends: a drawn rib, or one line of a grid from end to end.
type rib struct {
	id   plate.ID
	name string
	a, b geom.Point
	half float64
	grid int // index into deriver.lattices, -1 for a drawn rib
}

// makeRibs lists the strips of all ribs and grids. The ends of a grid's lines lie outside the plate, or on its bounds.
func (d *deriver) makeRibs() error {
	box := d.outline.Box()
	for i := range d.p.Ribs {
		if err := d.drawnRib(&d.p.Ribs[i]); err != nil {
			return err
		}
	}
	for i := range d.p.Grids {
		g := &d.p.Grids[i]
		l := newLattice(g)
		if !l.free {
			c, e := path(g.Bounds)
			if e != nil {
				e.Stage, e.Feature, e.FeatureName = "ribs", g.ID, g.Name
				return e
			}
			s, err := d.eng.Offset(geom.Shape{{Outer: c}}, onBounds)
			if err != nil {
				return d.kernel("ribs", g.ID, g.Name, err)
			}
			l.bounds = s
		}
		if err := l.affordable(box); err != nil {
			return err
		}
		d.lattices = append(d.lattices, l)
		d.gridRibs(len(d.lattices)-1, box)
	}
	return nil
}

// affordable refuses a grid so fine that its lines or triangles could not be computed in bounded time.
func (l *lattice) affordable(box geom.Box) error {
	for m := range 3 {
		if lo, hi := l.span(m, box, l.half); hi-lo >= maxLines {
			return bad("ribs", l.id, l.name, "a pitch of %s puts %.0f lines across the plate; at most %d are allowed, enlarge the pitch",
				mm(l.pitch), hi-lo+1, maxLines)
		}
	}
	if n := l.count(box); !(n <= maxTiles) {
		return bad("ribs", l.id, l.name, "a pitch of %s makes about %.0f triangles; at most %d are allowed, enlarge the pitch",
			mm(l.pitch), n, maxTiles)
	}
	return nil
}

// count is about how many triangles the box holds.
func (l *lattice) count(box geom.Box) float64 {
	return 2 * box.Width() * box.Height() / (l.pitch * l.h)
}

func (d *deriver) drawnRib(r *plate.Rib) error {
	var ends [2]geom.Point
	for k, e := range [2]plate.RibEnd{r.From, r.To} {
		ends[k] = geom.Pt(e.X, e.Y)
		if e.Feature != 0 {
			c, ok := d.centreOf(e.Feature)
			if !ok {
				return bad("ribs", r.ID, r.Name, "it ends at feature %d, which is no bore or hole; choose one or a point", e.Feature)
			}
			ends[k] = c
		}
	}
	if ends[0].Dist(ends[1]) < 1e-6 {
		d.find(finding.Finding{
			Code: "rib-no-length", Level: finding.Error, Feature: int64(r.ID), FeatureName: r.Name, Stage: "ribs",
			What: fmt.Sprintf("rib %q begins and ends at the same point; it is left out", r.Name),
			Why:  "a rib needs two different ends", Source: "geometry", Fix: "move one end or delete the rib",
		}, ends[0])
		return nil
	}
	d.ribs = append(d.ribs, rib{id: r.ID, name: r.Name, a: ends[0], b: ends[1], half: r.Width / 2, grid: -1})
	d.strips(&d.ribs[len(d.ribs)-1])
	return nil
}

// gridRibs adds the lines of one grid. Without bounds they run so far beyond the box of the plate that their round ends lie
// outside it. That is enough for cells too, whose strips are inflated: the field shrinks by as much as they grow.
func (d *deriver) gridRibs(at int, box geom.Box) {
	l := &d.lattices[at]
	long := box.Grow(1 + 2*l.half)
	for m := range 3 {
		dir, n := l.family(m)
		lo, hi := l.span(m, box, l.half)
		for k := lo; k <= hi; k++ {
			a, b, ok := clipLine(l.origin.Add(n.Mul(k*l.h)), dir, long)
			if !ok {
				continue
			}
			r := rib{id: l.id, name: l.name, a: a, b: b, half: l.half, grid: at}
			if l.free {
				d.ribs = append(d.ribs, r)
				d.strips(&r)
				continue
			}
			for _, x := range l.bounds.Crossings(a, b) {
				r.a, r.b = l.snap(a, dir, k, x[0]), l.snap(a, dir, k, x[1])
				d.ribs = append(d.ribs, r)
				d.strips(&r)
			}
		}
	}
}

// snap is the point at distance x from a along a line of the grid, or the node of the grid that it nearly is. A boundary
// through a node is grown by onBounds and cuts the three lines there at three points; the ribs are to meet in the node.
func (l *lattice) snap(a, dir geom.Point, k, x float64) geom.Point {
	p := a.Add(dir.Mul(x))
	// Along every line the nodes stand a pitch apart, on odd lines shifted by half.
	v := dir.Dot(p.Sub(l.origin))/l.pitch + math.Mod(k, 2)/2
	if d := (v - math.Round(v)) * l.pitch; math.Abs(d) < 10*onBounds {
		return p.Sub(dir.Mul(d))
	}
	return p
}

// strips adds what of the rib's centre line lies inside the outline.
func (d *deriver) strips(r *rib) {
	dir := r.b.Sub(r.a).Unit()
	for _, x := range (geom.Shape{{Outer: d.outline}}).Crossings(r.a, r.b) {
		d.l.Strips = append(d.l.Strips, Strip{
			Feature: r.id, A: r.a.Add(dir.Mul(x[0])), B: r.a.Add(dir.Mul(x[1])), Width: 2 * r.half,
		})
	}
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
