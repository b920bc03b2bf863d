package section

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// takeOthers puts what is no prism into the slabs as polylines, and returns their tolerance, 0 when the line meets none:
// drill points, countersinks and chamfers are taken out, floor fillets put in. Of all but drill points a note says so.
func (cl line) takeOthers(l *layout.Layout, slabs []Slab) (out []Slab, tol float64, notes []string) {
	var met []string
	for i := range l.Cuts {
		c := &l.Cuts[i]
		var parts []Slab
		switch c.Kind {
		case layout.CutPoint:
			parts = cl.cone(*c)
		case layout.CutCountersink:
			parts = cl.cone(fullCone(*c))
		case layout.CutChamfer, layout.CutFillet:
			parts = cl.sweep(c)
		}
		if len(parts) == 0 {
			continue
		}
		tol = PolylineTol
		if k := string(c.Kind) + "s"; c.Kind != layout.CutPoint && !slices.Contains(met, k) {
			met = append(met, k)
		}
		if c.Kind == layout.CutFillet {
			slabs = raise(slabs, parts, c)
		} else {
			slabs = subtract(slabs, parts)
		}
	}
	if len(met) > 0 {
		notes = append(notes, fmt.Sprintf("the cut line meets %s, which enter as polylines within %g mm", strings.Join(met, " and "), PolylineTol))
	}
	return slabs, tol, notes
}

// fullCone is the countersink carried on to its apex, at 45°: what it then reaches over lies in the hole.
func fullCone(c layout.Cut) layout.Cut {
	if c.Side == plate.Bottom {
		c.Z1 = c.Z0 + c.Diameter/2
	} else {
		c.Z0 = c.Z1 - c.Diameter/2
	}
	return c
}

// beside is how far to its left the line is moved to find the bands of sweeps, mm, so that a line along a wall has the band
// on its left, as it has the metal there.
const beside = 1e-8

// sweep is the section of a chamfer (void) or a fillet (metal) as slabs within PolylineTol.
func (cl line) sweep(c *layout.Cut) []Slab {
	s := c.Sweep
	reach := s.Along[0].Box()
	for _, k := range s.Along[1:] {
		reach = reach.Union(k.Box())
	}
	if !reach.Overlaps(cl.box().Grow(beside)) {
		return nil
	}
	off := cl.u.Perp().Mul(beside)
	a, b := cl.a.Add(off), cl.b.Add(off)
	bands := stretches(s.Along, a, b)
	if len(bands) == 0 {
		return nil
	}
	if in := s.Offset(s.Leg); len(in) > 0 && in[0].Area() > 0 {
		bands = lessSpans(bands, stretches(in, a, b))
	}
	height := func(u float64) float64 { return profile(c, distance(s.Along, a.Add(cl.u.Mul(u)))) }
	var out []Slab
	for _, w := range bands {
		if w[1]-w[0] <= touch {
			continue
		}
		nodes := polyline(height, w[0], w[1])
		for i := 1; i < len(nodes); i++ {
			out = append(out, slabOf(c, nodes[i-1], nodes[i]))
		}
	}
	return out
}

// stretches are those of the line from a to b inside the contours, an outer one and holes.
func stretches(cs []geom.Contour, a, b geom.Point) [][2]float64 {
	return geom.Shape{{Outer: cs[0], Holes: cs[1:]}}.Crossings(a, b)
}

// lessSpans is what of a, sorted and disjoint, is not in b.
func lessSpans(a, b [][2]float64) [][2]float64 {
	var out [][2]float64
	for _, w := range a {
		from := w[0]
		for _, v := range b {
			if v[1] <= from || v[0] >= w[1] {
				continue
			}
			if v[0] > from {
				out = append(out, [2]float64{from, v[0]})
			}
			from = v[1]
		}
		if from < w[1] {
			out = append(out, [2]float64{from, w[1]})
		}
	}
	return out
}

func distance(cs []geom.Contour, p geom.Point) float64 {
	d := math.Inf(1)
	for _, c := range cs {
		for i := range c {
			d = min(d, c[i].Dist(p))
		}
	}
	return d
}

// profile is the depth of the chamfer, or the height of the fillet, at distance d from the edge.
func profile(c *layout.Cut, d float64) float64 {
	r := c.Sweep.Leg
	d = min(d, r)
	if c.Kind == layout.CutChamfer {
		return r - d
	}
	return r - math.Sqrt(d*(2*r-d))
}

// slabOf is the slab between two points of the profile.
func slabOf(c *layout.Cut, p, q [2]float64) Slab {
	up := c.Side == plate.Top
	if c.Kind == layout.CutChamfer {
		up = !up
	}
	z := c.Sweep.Z
	b := Slab{S0: p[0], S1: q[0], Bottom0: z, Bottom1: z, Top0: z, Top1: z}
	if up {
		b.Top0, b.Top1 = z+p[1], z+q[1]
	} else {
		b.Bottom0, b.Bottom1 = z-p[1], z-q[1]
	}
	return b
}

// least and most are how often a stretch is halved at least, so that no kink is missed, and at most. A chord that the
// profile leaves by more than half of PolylineTol at a quarter, the middle or three quarters is halved: half, because the
// greatest distance may lie between these places.
const (
	leastHalvings = 3
	mostHalvings  = 20
)

// polyline returns points (u, f(u)) from u0 to u1 whose chords are within PolylineTol of the curve.
func polyline(f func(float64) float64, u0, u1 float64) [][2]float64 {
	out := [][2]float64{{u0, f(u0)}}
	var chord func(a, b [2]float64, n int)
	chord = func(a, b [2]float64, n int) {
		m := (b[1] - a[1]) / (b[0] - a[0])
		mid := (a[0] + b[0]) / 2
		split := n < leastHalvings
		for _, x := range [3]float64{0.25, 0.5, 0.75} {
			u := a[0] + x*(b[0]-a[0])
			split = split || math.Abs(f(u)-a[1]-m*(u-a[0]))/math.Hypot(1, m) > PolylineTol/2
		}
		if split && n < mostHalvings {
			q := [2]float64{mid, f(mid)}
			chord(a, q, n+1)
			chord(q, b, n+1)
			return
		}
		out = append(out, b)
	}
	chord(out[0], [2]float64{u1, f(u1)}, 0)
	return out
}

// raise puts a fillet on the floor that it lies on: slabs whose side at the floor's height is level are raised to it.
func raise(slabs, parts []Slab, c *layout.Cut) []Slab {
	out := make([]Slab, 0, len(slabs)+len(parts))
	for _, b := range slabs {
		if !onFloor(b, c) {
			out = append(out, b)
			continue
		}
		from := b.S0
		for _, p := range parts {
			lo, hi := max(p.S0, from), min(p.S1, b.S1)
			if hi <= lo {
				continue
			}
			if lo > from {
				out = append(out, b.part(from, lo))
			}
			q, f := b.part(lo, hi), p.part(lo, hi)
			if c.Side == plate.Top {
				q.Top0, q.Top1 = f.Top0, f.Top1
			} else {
				q.Bottom0, q.Bottom1 = f.Bottom0, f.Bottom1
			}
			out = append(out, q)
			from = hi
		}
		if from < b.S1 {
			out = append(out, b.part(from, b.S1))
		}
	}
	slices.SortStableFunc(out, bySlab)
	return out
}

// onFloor reports whether the slab ends at the floor of the fillet.
func onFloor(b Slab, c *layout.Cut) bool {
	if c.Side == plate.Top {
		return math.Abs(b.Top0-c.Sweep.Z) <= touch && math.Abs(b.Top1-c.Sweep.Z) <= touch
	}
	return math.Abs(b.Bottom0-c.Sweep.Z) <= touch && math.Abs(b.Bottom1-c.Sweep.Z) <= touch
}
