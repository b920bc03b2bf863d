package route

import (
	"fmt"
	"math"

	"platewright/plate/geom"
)

// What a larger cutter leaves, cleared by a smaller one. The smaller cutter runs on its own rings of the whole area, but only
// on the parts from which it touches what is left: by the argument at the head of rings.go the ring at dk clears what lies
// between dk and dk + s, and the first ring what lies nearer to the wall, all within the cutter's radius of the ring.

// chain is an open or closed part of a ring.
type chain struct {
	edges []geom.Edge
	ring  int
}

// touchSlack lets a chain reach a little beyond the place from which the cutter touches what is left, mm.
const touchSlack = 0.01

// linkSlack lets a link run along the first ring itself, mm: just above the distance at which the kernel merges two points.
const linkSlack = 5e-6

// rest plans the chains on which a cutter clears left, a part of area, from ring first on. They are grouped by the piece of
// left that they clear, the innermost ring first, and linked at depth where the way is inside the first ring. The pieces are
// entered from cleared space.
func (w *worker) rest(area, left geom.Shape, c clearing, first int, linking pace) (trip, error) {
	groups := make([][]chain, len(left))
	var ground geom.Shape // the area of the cutter's centre, and a hair more
	for k := 0; ; k++ {
		if k == maxRings {
			return trip{}, fmt.Errorf("route: more than %d rings at a step of %g mm; take a larger cutter", maxRings, c.step)
		}
		ring, err := w.geom.Offset(area, -(c.radius + c.keep + float64(k)*c.step))
		if err != nil {
			return trip{}, fmt.Errorf("route: offset of a cell: %w", err)
		}
		if k == 0 {
			if ground, err = w.geom.Offset(area, -(c.radius + c.keep - linkSlack)); err != nil {
				return trip{}, fmt.Errorf("route: offset of a cell: %w", err)
			}
		}
		if len(ring) == 0 {
			break
		}
		if k < first {
			continue
		}
		needs := left
		if k > 0 {
			if needs, err = w.geom.Intersection(left, ring); err != nil {
				return trip{}, fmt.Errorf("route: rest of a cell: %w", err)
			}
		}
		if needs.Area() < 1e-6 {
			if k > 0 {
				break
			}
			continue
		}
		chains, err := w.near(ring, needs, c.radius+touchSlack, k)
		if err != nil {
			return trip{}, err
		}
		for _, ch := range chains {
			g := nearestRegion(left, ch.edges)
			groups[g] = append(groups[g], ch)
		}
	}
	return linkChains(groups, ground, c, linking), nil
}

// near returns the parts of the ring's contours within distance d of s.
func (w *worker) near(ring, s geom.Shape, d float64, k int) ([]chain, error) {
	zone, err := w.geom.Offset(s, d)
	if err != nil {
		return nil, fmt.Errorf("route: rest of a cell: %w", err)
	}
	cut, err := w.geom.Intersection(ring, zone)
	if err != nil {
		return nil, fmt.Errorf("route: rest of a cell: %w", err)
	}
	border := ring.Contours()
	var out []chain
	for _, c := range cut.Contours() {
		for _, edges := range partsOn(c, border) {
			out = append(out, chain{edges, k})
		}
	}
	return out, nil
}

// partsOn returns the maximal chains of c that lie on the border.
func partsOn(c geom.Contour, border []geom.Contour) [][]geom.Edge {
	n := len(c)
	on := make([]bool, n)
	off := -1
	for i := range c {
		on[i] = isOn(c[i].Mid(), border)
		if !on[i] {
			off = i
		}
	}
	if off < 0 {
		return [][]geom.Edge{c}
	}
	var out [][]geom.Edge
	var part []geom.Edge
	for j := 1; j <= n; j++ {
		if i := (off + j) % n; on[i] {
			part = append(part, c[i])
		} else if len(part) > 0 {
			out, part = append(out, part), nil
		}
	}
	return out
}

func isOn(p geom.Point, border []geom.Contour) bool {
	for _, b := range border {
		if _, d := nearestOn(b, p); d < 1e-5 {
			return true
		}
	}
	return false
}

func nearestRegion(s geom.Shape, edges []geom.Edge) int {
	p := edges[len(edges)/2].Mid()
	best, dist := 0, math.Inf(1)
	for i := range s {
		if _, d := nearestOn(s[i].Outer, p); d < dist-1e-9 {
			best, dist = i, d
		}
	}
	return best
}

// linkChains puts the groups in a row, each next the nearest to where the tool is.
func linkChains(groups [][]chain, ground geom.Shape, c clearing, linking pace) trip {
	var t trip
	var at geom.Point
	for {
		best, dist := -1, math.Inf(1)
		for i, g := range groups {
			if len(g) == 0 {
				continue
			}
			d := 0.0
			if len(t.runs) > 0 {
				e := innermost(g)
				d = min(at.Dist(e.edges[0].A), at.Dist(e.edges[len(e.edges)-1].B))
			}
			if d < dist-1e-9 {
				best, dist = i, d
			}
		}
		if best < 0 {
			return t
		}
		for len(groups[best]) > 0 {
			ch := innermost(groups[best])
			groups[best] = without(groups[best], ch.ring, at, len(t.runs) > 0, &ch)
			edges := ch.edges
			if n := len(edges); len(t.runs) > 0 && at.Dist(edges[n-1].B) < at.Dist(edges[0].A)-1e-9 {
				edges = geom.Contour(edges).Reverse()
			}
			cut := pass{MoveCut, edges, c.feed, c.step}
			n := len(t.runs)
			switch {
			case n > 0 && inside(ground, at, edges[0].A):
				last := &t.runs[n-1]
				if at.Dist(edges[0].A) > 1e-6 {
					last.passes = append(last.passes, pass{MoveLink, []geom.Edge{geom.Line(at, edges[0].A)}, linking, 0})
				}
				last.passes = append(last.passes, cut)
			default:
				t.runs = append(t.runs, run{entry{}, []pass{cut}})
			}
			at = edges[len(edges)-1].B
		}
	}
}

// innermost is the chain of a group that comes next: one of the innermost ring.
func innermost(g []chain) chain {
	best := g[0]
	for _, c := range g[1:] {
		if c.ring > best.ring {
			best = c
		}
	}
	return best
}

// without takes the chain of the given ring that is nearest to at out of the group and puts it into ch.
func without(g []chain, ring int, at geom.Point, known bool, ch *chain) []chain {
	best, dist := -1, math.Inf(1)
	for i := range g {
		if g[i].ring != ring {
			continue
		}
		d := 0.0
		if known {
			e := g[i].edges
			d = min(at.Dist(e[0].A), at.Dist(e[len(e)-1].B))
		}
		if d < dist-1e-9 {
			best, dist = i, d
		}
	}
	*ch = g[best]
	out := append([]chain(nil), g[:best]...)
	return append(out, g[best+1:]...)
}

// wallLead is how far beyond the allowance a wall pass starts and ends, mm; common practice, no source.
const wallLead = 0.3

// wallPass is the loop round every contour of the area that the cutter's centre may use, with a short way in from and out to
// cleared space where there is room for it.
func (w *worker) wallPass(cell geom.Shape, c clearing, lead float64) (trip, error) {
	ground, err := w.centreArea(cell, c.radius)
	if err != nil || len(ground) == 0 {
		return trip{}, err
	}
	var t trip
	for _, contour := range ground.Contours() {
		contour = oriented(contour, c.reverse)
		i, p := longestLine(contour)
		loop := startAt(contour, i, p)
		p = loop[0].A
		normal := loop[0].TangentA().Perp()
		if c.reverse {
			normal = normal.Mul(-1)
		}
		q := p.Add(normal.Mul(lead))
		cut := pass{MoveCut, loop, c.feed, c.step}
		passes := []pass{cut}
		if inside(ground, q, p) {
			passes = []pass{{MoveLink, []geom.Edge{geom.Line(q, p)}, c.feed, 0}, cut, {MoveLink, []geom.Edge{geom.Line(p, q)}, c.feed, 0}}
		}
		t.runs = append(t.runs, run{entry{}, passes})
	}
	return t, nil
}
