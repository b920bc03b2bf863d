package route

import (
	"math"

	"platewright/plate/geom"
)

// Move says how the tool goes along a stretch of path.
type Move string

// The kinds of move.
const (
	MoveCut    Move = "cut"
	MoveRamp   Move = "ramp"   // going down along the edges, a helix when they are a circle
	MoveLink   Move = "link"   // from one pass to the next at depth
	MoveRapid  Move = "rapid"  // positioning above the work
	MovePlunge Move = "plunge" // straight down at Shift to each height in Z: drills, taps; no edges
)

// Path is a stretch of tool path in plate coordinates, seen from the top. Its edges are run at every height in Z, in order;
// a ramp goes round them down to that height. Equal cells share the slice Edges and differ in Shift, so it must not be
// changed.
type Path struct {
	Move  Move
	Edges []geom.Edge
	Shift geom.Point // added to every edge
	Z     []float64  // heights of the tool's tip, mm
	Feed  float64    // mm/min; 0 for rapid
}

// pass is a chain of edges run in one go at one height.
type pass struct {
	move  Move
	edges []geom.Edge
	pace
	ae float64 // width of cut on a straight, mm; 0 where nothing is cut
}

// pace is a feed and what holds it down.
type pace struct {
	feed  float64 // mm/min on a straight
	ideal float64 // feed that the cutting data alone would allow, mm/min
	next  float64 // feed that the next limit would allow, mm/min
	limit string
}

// pace is the feed of conditions.
func (c Conditions) pace() pace { return pace{c.Feed, c.Ideal, c.Next, c.LimitedBy} }

// times is a share of a pace, as rules ask for where the tool goes down or its edge goes further than its centre.
func (p pace) times(k float64) pace { return pace{p.feed * k, p.ideal * k, p.next * k, p.limit} }

// steady is a feed that a rule gives.
func steady(feed float64) pace { return pace{feed, feed, feed, LimitData} }

// entry is how a run goes down to its height: round and round a closed loop, or straight down where loop is empty (into
// cleared space, or at a plunging feed where steep is set).
type entry struct {
	loop []geom.Edge
	pace
	angle float64 // greatest angle of the ramp, rad; 0: the rule's
	steep bool
}

// run is passes in one go; between two runs the tool lifts.
type run struct {
	entry  entry
	passes []pass
}

// trip is everything that one tool does in one cell at one height.
type trip struct{ runs []run }

func (r *run) start() geom.Point {
	if len(r.entry.loop) > 0 {
		return r.entry.loop[0].A
	}
	return r.passes[0].edges[0].A
}

func (r *run) end() geom.Point {
	last := r.passes[len(r.passes)-1].edges
	return last[len(last)-1].B
}

func (t *trip) start() geom.Point { return t.runs[0].start() }
func (t *trip) end() geom.Point   { return t.runs[len(t.runs)-1].end() }

// chainLength is the summed length of edges.
func chainLength(edges []geom.Edge) float64 {
	l := 0.0
	for i := range edges {
		l += edges[i].Length()
	}
	return l
}

// tail is the last part of a chain, of the given length; the whole chain where it is shorter.
func tail(edges []geom.Edge, length float64) []geom.Edge {
	for i := len(edges) - 1; i >= 0; i-- {
		l := edges[i].Length()
		if length <= l*(1-1e-9) {
			e := edges[i]
			e.A = e.At(1 - length/l)
			return append([]geom.Edge{e}, edges[i+1:]...)
		}
		length -= l
	}
	return edges
}

// between is the part of a chain from the length a to the length b along it.
func between(edges []geom.Edge, a, b float64) []geom.Edge {
	var out []geom.Edge
	at := 0.0
	for i := range edges {
		e := edges[i]
		l := e.Length()
		from, to := max(a-at, 0), min(b-at, l)
		at += l
		if to-from < 1e-9 {
			continue
		}
		part := e
		if from > 0 {
			part.A = e.At(from / l)
		}
		if to < l {
			part.B = e.At(to / l)
		}
		out = append(out, part)
	}
	return out
}

// startAt turns a closed contour so that it starts at the point of edge i closest to p.
func startAt(c geom.Contour, i int, p geom.Point) []geom.Edge {
	e := c[i]
	q := e.Closest(p)
	out := make([]geom.Edge, 0, len(c)+1)
	const whole = 1e-4 // mm: nearer to an end than that the edge is not cut in two
	switch {
	case e.A == e.B: // a full circle
		e.A, e.B = q, q
		out = append(out, e)
		out = append(out, c[i+1:]...)
		return append(out, c[:i]...)
	case q.Dist(e.A) < whole:
		out = append(out, c[i:]...)
		return append(out, c[:i]...)
	case q.Dist(e.B) < whole:
		out = append(out, c[i+1:]...)
		return append(out, c[:i+1]...)
	}
	first, last := e, e
	first.A, last.B = q, q
	out = append(out, first)
	out = append(out, c[i+1:]...)
	out = append(out, c[:i]...)
	return append(out, last)
}

// nearestOn returns the edge of c nearest to p and its distance.
func nearestOn(c geom.Contour, p geom.Point) (edge int, dist float64) {
	dist = math.Inf(1)
	for i := range c {
		if d := c[i].Dist(p); d < dist-1e-9 {
			edge, dist = i, d
		}
	}
	return edge, dist
}

// longestLine returns the middle of the longest straight edge of c, or of its first edge where all are arcs.
func longestLine(c geom.Contour) (edge int, mid geom.Point) {
	best := -1.0
	for i := range c {
		if l := c[i].Length(); !c[i].IsArc() && l > best+1e-6 {
			edge, best = i, l
		}
	}
	return edge, c[edge].Mid()
}

// oriented is the contour run the other way round, or as it is.
func oriented(c geom.Contour, reverse bool) geom.Contour {
	if reverse {
		return c.Reverse()
	}
	return c
}
