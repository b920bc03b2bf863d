package geom

import (
	"fmt"
	"math"
	"slices"
)

// ContourError says what is wrong with a contour, and where.
type ContourError struct {
	Edge   int // index of the edge
	Other  int // the second edge concerned, or -1
	At     Point
	Reason string
}

func (e *ContourError) Error() string {
	if e.Other >= 0 {
		return fmt.Sprintf("edges %d and %d at (%.6g, %.6g): %s", e.Edge, e.Other, e.At.X, e.At.Y, e.Reason)
	}
	return fmt.Sprintf("edge %d at (%.6g, %.6g): %s", e.Edge, e.At.X, e.At.Y, e.Reason)
}

// Check reports the first fault of an outer contour as a *ContourError: a
// number that is none, a size beyond MaxCoord or MaxRadius, an edge without
// length, a gap between edges, edges that cross or touch, or a contour that
// runs clockwise. Check a hole reversed.
func (c Contour) Check() error {
	if len(c) == 0 {
		return &ContourError{Edge: 0, Other: -1, Reason: "the contour has no edges"}
	}
	if len(c) > MaxEdges {
		return &ContourError{Edge: MaxEdges, Other: -1, Reason: fmt.Sprintf("the contour has %d edges, the limit is %d", len(c), MaxEdges)}
	}
	if err := checkEdges(c); err != nil {
		return err
	}
	if err := c.checkSizes(); err != nil {
		return err
	}
	if err := c.checkCrossings(); err != nil {
		return err
	}
	if a := c.Area(); a <= 0 {
		return &ContourError{Edge: 0, Other: -1, At: c[0].A, Reason: "the contour runs clockwise"}
	}
	return nil
}

func (c Contour) checkSizes() error {
	for i := range c {
		e := &c[i]
		if b := e.Box(); max(math.Abs(b.Min.X), math.Abs(b.Min.Y), math.Abs(b.Max.X), math.Abs(b.Max.Y)) > MaxCoord {
			return &ContourError{Edge: i, Other: -1, At: e.A, Reason: fmt.Sprintf("the edge reaches beyond %g mm", float64(MaxCoord))}
		}
		if e.Dir != 0 && e.R > MaxRadius {
			return &ContourError{Edge: i, Other: -1, At: e.A, Reason: fmt.Sprintf("the radius %g mm is above %g", e.R, float64(MaxRadius))}
		}
		if max(e.Length(), e.A.Dist(e.B)) < closeGap {
			return &ContourError{Edge: i, Other: -1, At: e.A, Reason: "the edge has no length"}
		}
	}
	return nil
}

// checkCrossings looks at every pair of edges whose boxes meet.
func (c Contour) checkCrossings() error {
	sw, _ := sweepEdges([]Contour{c}, closeGap)
	var bad error
	if err := sw.run(MaxPairs, func(i, j int32) bool {
		bad = c.checkPair(int(min(i, j)), int(max(i, j)))
		if bad != nil {
			bad = c.seated(int(min(i, j)), int(max(i, j)), bad)
		}
		return bad == nil
	}); err != nil {
		return &ContourError{Edge: 0, Other: -1, At: c[0].A, Reason: fmt.Sprintf("more than %d pairs of edges lie near each other", MaxPairs)}
	}
	return bad
}

// seated looks at a bad pair again if the ends of an arc of the two lie off its
// circle, as merging leaves them: the arc is known no better than that, so the
// fault must also show when the circle goes through the ends.
func (c Contour) seated(i, j int, bad error) error {
	var d Contour
	for _, k := range [2]int{i, j} {
		e := c[k]
		if e.seat(settled); e != c[k] {
			if d == nil {
				d = slices.Clone(c)
			}
			d[k] = e
		}
	}
	if d == nil {
		return bad
	}
	return d.checkPair(i, j)
}

// checkPair reports edges i < j that meet anywhere but in a corner they share.
func (c Contour) checkPair(i, j int) error {
	a, b := &c[i], &c[j]
	// b starts where a ends, or the other way round, but for very short edges.
	ab, ba := c.follows(i, j), c.follows(j, i)
	shared := func(p Point) bool {
		return ab && besideCorner(a, b, a.B, p) || ba && besideCorner(a, b, a.A, p)
	}
	bad := func(p Point, reason string) error {
		return &ContourError{Edge: i, Other: j, At: p, Reason: reason}
	}
	for _, p := range [2]Point{a.A, a.B} {
		if !shared(p) && b.Dist(p) < closeGap/2 {
			return bad(p, "the edges touch")
		}
	}
	for _, p := range [2]Point{b.A, b.B} {
		if !shared(p) && a.Dist(p) < closeGap/2 {
			return bad(p, "the edges touch")
		}
	}
	for _, p := range crossings(a, b) {
		if shared(p) {
			continue
		}
		if math.Abs(a.tangentAt(p).Cross(b.tangentAt(p))) < kinkSin {
			return bad(p, "the edges touch")
		}
		return bad(p, "the edges cross")
	}
	if n := len(c); j == i+1 && foldsBack(a, b) || (j+1)%n == i && foldsBack(b, a) {
		return bad(a.B, "the contour turns back on itself")
	}
	return nil
}

// follows reports whether edge j starts where edge i ends, or a few merge
// distances on.
func (c Contour) follows(i, j int) bool {
	n := len(c)
	for k, l := (i+1)%n, 0.0; ; k = (k + 1) % n {
		if k == j {
			return true
		}
		if l += c[k].Length(); k == i || l > shortJoin {
			return false
		}
	}
}

// besideCorner reports whether a meeting of two edges at p is no more than
// their common corner c: p is at c, or the edges run within the merge distance
// of each other all the way from c to p, as tangent edges do whose corner has
// moved by that much.
func besideCorner(a, b *Edge, c, p Point) bool {
	d := dist2(p, c)
	if d < shortJoin*shortJoin {
		return true
	}
	if d > tangentRun*tangentRun {
		return false
	}
	m := a.Closest(c.lerp(p, 0.5))
	return b.Dist(m) < mergeDist
}

// foldsBack reports whether b leaves the end of a along a.
func foldsBack(a, b *Edge) bool {
	t, u := a.TangentB(), b.TangentA()
	if min(a.Length(), b.Length()) < shortJoin {
		return false // its direction says nothing
	}
	if t.Dot(u) > 0 || math.Abs(t.Cross(u)) > parallelSin {
		return false
	}
	ka, kb := 0.0, 0.0
	if a.Dir != 0 {
		ka = -float64(a.Dir) / a.R
	}
	if b.Dir != 0 {
		kb = float64(b.Dir) / b.R
	}
	return math.Abs(ka-kb) < parallelSin
}

// Check reports the first fault of the region: of one of its contours, or of a
// hole that is not inside. Contours may touch each other in points, as the
// results of combinations do.
func (r Region) Check() error {
	if err := r.Outer.Check(); err != nil {
		return fmt.Errorf("outer contour: %w", err)
	}
	for i, h := range r.Holes {
		if err := h.Reverse().Check(); err != nil {
			return fmt.Errorf("hole %d, reversed: %w", i, err)
		}
		if p, out := r.outside(h); out {
			return fmt.Errorf("hole %d: %w", i, &ContourError{Edge: 0, Other: -1, At: p, Reason: "the hole is outside the outer contour"})
		}
	}
	return nil
}

// outside reports whether a hole lies outside the outer contour, and a point
// that shows it. Where the two touch says nothing, so the first point clear of
// the outer contour decides.
func (r Region) outside(h Contour) (Point, bool) {
	for i := range h {
		for _, t := range [...]float64{0.31, 0.67} {
			p := h[i].At(t)
			clear := true
			for k := range r.Outer {
				if r.Outer[k].Dist(p) < 10*mergeDist {
					clear = false
					break
				}
			}
			if clear {
				return p, !r.Outer.Contains(p)
			}
		}
	}
	return Point{}, false
}

// Check reports the first fault of the shape's regions.
func (s Shape) Check() error {
	for i, r := range s {
		if err := r.Check(); err != nil {
			return fmt.Errorf("region %d: %w", i, err)
		}
	}
	return nil
}
