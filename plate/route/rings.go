package route

import (
	"fmt"
	"math"

	"platewright/plate/geom"
)

// Clearing an area ring by ring. The passes are the true offsets of the cell at the distances d0, d0 + s, d0 + 2s, … from its
// boundary, with d0 the radius r of the cutter plus the allowance and s the step over; they are run from the innermost
// outwards, so that only the innermost is cut at full width.
//
// With s ≤ r they leave nothing standing: a point at distance d with dk ≤ d ≤ dk + s from the boundary lies d − dk ≤ r from
// the pass at dk (go towards the nearest point of the boundary), and a point nearer than d0 to the boundary is within r of a
// point of the first pass if any cutter of radius r inside the cell reaches it. Wider steps leave cusps in corners, where two
// passes turn by the angle between the walls; so the step over is held to the radius.

// maxRings bounds the passes in one cell.
const maxRings = 1000

// clearing is what a cell is cleared with.
type clearing struct {
	radius  float64 // of the cutter, mm
	keep    float64 // allowance left at the wall, mm
	step    float64 // step over, mm; at most the radius
	feed    pace    // at the step over
	slot    pace    // at full width
	ramp    pace    // of an entry helix, at the cutter's edge
	helix   float64 // greatest radius of the entry helix of the cutter's centre, mm
	reverse bool    // run the contours clockwise: climb milling on the bottom, seen from the top
	wall    bool    // leave the outermost ring out: a wall pass comes later
}

// worker does the geometry of one goroutine.
type worker struct {
	geom    geom.Engine
	timer   timer
	blocker blocker
	quick   bool // leave tours as they were first found
}

// centreArea is where the centre of a cutter may be that stays d away from the walls of a cell. A cell as wide as the cutter
// gives a line of no area; it is taken as a loop a few micrometres wide.
func (w *worker) centreArea(cell geom.Shape, d float64) (geom.Shape, error) {
	s, err := w.geom.Offset(cell, -d)
	if err == nil && len(s) == 0 {
		s, err = w.geom.Offset(cell, -(d - slotSlack))
	}
	if err != nil {
		return nil, fmt.Errorf("route: offset of a cell: %w", err)
	}
	return s, nil
}

// rings returns the erosions of cell at d0, d0 + s, … until nothing is left; the first is the area of the cutter's centre.
func (w *worker) rings(cell geom.Shape, d0, step float64) ([]geom.Shape, error) {
	s, err := w.centreArea(cell, d0)
	var out []geom.Shape
	for k := 1; err == nil && len(s) > 0; k++ {
		if k > maxRings {
			return nil, fmt.Errorf("route: more than %d rings at a step of %g mm; take a larger cutter", maxRings, step)
		}
		out = append(out, s)
		s, err = w.geom.Offset(cell, -(d0 + float64(k)*step))
	}
	if err != nil {
		return nil, fmt.Errorf("route: offset of a cell: %w", err)
	}
	return out, nil
}

// slotSlack is by how much a cutter as wide as its slot is taken smaller, mm: just above the distance at which the kernel
// merges two points.
const slotSlack = 3e-6

// along runs the rings of a cell, which may serve several trips.
func along(levels []geom.Shape, c clearing) trip {
	if len(levels) == 0 {
		return trip{}
	}
	r := ringer{c: c, levels: levels}
	for i := range levels[0] {
		r.region(0, &levels[0][i])
	}
	return r.trip
}

// ringer orders the rings of one cell into runs.
type ringer struct {
	c      clearing
	levels []geom.Shape
	trip   trip
	at     geom.Point
}

// region appends everything inside a region of ring k and then its own contours.
func (r *ringer) region(k int, g *geom.Region) {
	inner := false
	if k+1 < len(r.levels) {
		for i := range r.levels[k+1] {
			q := &r.levels[k+1][i]
			if len(r.levels[k]) == 1 || g.Contains(q.Outer[0].A) {
				r.region(k+1, q)
				inner = true
			}
		}
	}
	if r.c.wall && k == 0 && inner {
		return
	}
	todo := g.Contours()
	if !inner {
		r.enter(k, todo[0])
		todo = todo[1:]
	}
	for len(todo) > 0 {
		best, edge, dist := 0, 0, math.Inf(1)
		for i, c := range todo {
			if e, d := nearestOn(c, r.at); d < dist-1e-9 {
				best, edge, dist = i, e, d
			}
		}
		r.follow(todo[best], edge)
		todo = append(todo[:best:best], todo[best+1:]...)
	}
}

// enter starts a new run in uncut metal at the innermost contour of a branch: down a helix, or along the contour itself where
// there is no room for one or that is quicker.
func (r *ringer) enter(k int, c geom.Contour) {
	c = oriented(c, r.c.reverse)
	i, p := longestLine(c)
	loop := startAt(c, i, p)
	p = loop[0].A
	slot := pass{MoveCut, loop, r.c.slot, 2 * r.c.radius}
	rho := min(r.c.helix, float64(k)*r.c.step) // the circle about p stays inside ring 0
	helix := r.c.ramp.feed * rho / (rho + r.c.radius)
	if rho < 0.3*r.c.radius || helix < r.c.slot.feed && chainLength(loop) > math.Pi*r.c.radius {
		r.trip.runs = append(r.trip.runs, run{r.rampRound(loop), []pass{slot}})
		r.at = p
		return
	}
	t := loop[0].TangentA()
	from := p.Sub(t.Mul(rho))
	dir := int8(1)
	if r.c.reverse {
		dir = -1
	}
	circle := []geom.Edge{geom.Arc(from, from, p, dir)}
	feed := r.c.ramp.times(rho / (rho + r.c.radius)) // that of the cutter's edge at the wall of the helix stays
	r.trip.runs = append(r.trip.runs, run{entry{loop: circle, pace: feed}, []pass{
		{MoveCut, circle, feed, 0}, {MoveLink, []geom.Edge{geom.Line(from, p)}, r.c.slot, 0}, slot,
	}})
	r.at = p
}

// rampRound is the entry along a closed chain itself; a chain too short for that is entered straight down.
func (r *ringer) rampRound(loop []geom.Edge) entry {
	if chainLength(loop) < r.c.radius {
		return entry{pace: r.c.slot.times(plungeRatio), steep: true}
	}
	return entry{loop: loop, pace: r.c.slot}
}

// plungeRatio is the feed straight down over that of a full-width cut; common practice, no source.
const plungeRatio = 0.25

// follow appends the closed contour c, entered at the point of its edge nearest to where the tool is.
func (r *ringer) follow(c geom.Contour, edge int) {
	if r.c.reverse {
		c, edge = c.Reverse(), len(c)-1-edge
	}
	loop := startAt(c, edge, r.at)
	p := loop[0].A
	cut := pass{MoveCut, loop, r.c.feed, r.c.step}
	if n := len(r.trip.runs); n > 0 && inside(r.levels[0], r.at, p) {
		last := &r.trip.runs[n-1]
		if r.at.Dist(p) > 1e-6 {
			last.passes = append(last.passes, pass{MoveLink, []geom.Edge{geom.Line(r.at, p)}, r.c.slot, 0})
		}
		last.passes = append(last.passes, cut)
	} else {
		r.trip.runs = append(r.trip.runs, run{r.rampRound(loop), []pass{cut}})
	}
	r.at = p
}

// inside tells whether the straight line from a to b stays in s, but for a hundredth of a micrometre at its ends.
func inside(s geom.Shape, a, b geom.Point) bool {
	l := a.Dist(b)
	if l < 1e-6 {
		return true
	}
	sum := 0.0
	for _, x := range s.Crossings(a, b) {
		sum += x[1] - x[0]
	}
	return sum >= l-1e-5
}
