package fea

import (
	"math"

	"platewright/plate/geom"
)

// outline measures along the outer contour of the plate, mm from its first point.
type outline struct {
	edges  geom.Contour
	length float64
}

func (m *Model) outline() *outline {
	return &outline{m.Layout.Outline.Outer, m.Layout.Outline.Outer.Length()}
}

// turn brings a distance along the contour into one turn.
func (o *outline) turn(s float64) float64 {
	if s = math.Mod(s, o.length); s < 0 {
		s += o.length
	}
	return s
}

// at is how far along the contour the point of it nearest to q lies, and how far off q.
func (o *outline) at(q geom.Point) (s, d float64) {
	run := 0.0
	d = math.Inf(1)
	for _, e := range o.edges {
		p := e.Closest(q)
		if dist := p.Dist(q); dist < d-onWall {
			d, s = dist, run+along(e, p)
		}
		run += e.Length()
	}
	return s, d
}

// part cuts a side from a to b, whose middle is at mid, to the span from start on. It
// sets the part of the side that counts and returns where that lies along the contour;
// false where nothing of it does.
func (o *outline) part(a, b geom.Point, mid, start, span float64, w *wall) (from, to float64, ok bool) {
	off := func(q geom.Point) float64 {
		s, _ := o.at(q)
		return math.Remainder(s-mid, o.length)
	}
	ua, ub := off(a), off(b)
	u := o.turn(mid - start)
	if u > span+(o.length-span)/2 {
		u -= o.length
	}
	lo, hi := max(0, u+min(ua, ub)), min(span, u+max(ua, ub))
	if !(hi-lo > 1e-9*o.length) {
		return 0, 0, false
	}
	share := func(s float64) float64 { return 2*(s-u-ua)/(ub-ua) - 1 }
	w.from, w.to = share(lo), share(hi)
	if w.from > w.to {
		w.from, w.to = w.to, w.from
	}
	return start + lo, start + hi, true
}

// centre is the middle of gravity of the contour from one place to another within one of
// its edges, and the length between them.
func (o *outline) centre(from, to float64) (at geom.Point, length float64) {
	length = to - from
	mid := o.turn((from + to) / 2)
	run := 0.0
	for i, e := range o.edges {
		l := e.Length()
		if mid > run+l && i < len(o.edges)-1 {
			run += l
			continue
		}
		at = e.At((mid - run) / l)
		if e.IsArc() && length > 0 {
			half := length / e.R / 2
			at = e.C.Add(at.Sub(e.C).Mul(math.Sin(half) / half))
		}
		break
	}
	return at, length
}

// sumAlong gathers the middle of a line.
type sumAlong struct {
	sum    [3]float64
	length float64
}

func (a *sumAlong) add(at geom.Point, z, length float64) {
	for i, v := range [3]float64{at.X, at.Y, z} {
		a.sum[i] += v * length
	}
	a.length += length
}

// mean is the middle; the origin where there is no line.
func (a *sumAlong) mean() [3]float64 {
	if a.length == 0 {
		return [3]float64{}
	}
	return [3]float64{a.sum[0] / a.length, a.sum[1] / a.length, a.sum[2] / a.length}
}
