package check

import (
	"fmt"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// touching is the distance in mm below which two contours meet: then there is no wall between them.
const touching = 1e-5

// outlineWall stands for the outline where the index of a cut is asked.
const outlineWall = -1

// walls checks the metal between cells, between cells and the outline, and the necks of cells and outline. A wall is as
// high as the metal at its thinnest place between the depths of the two cuts.
func (r *run) walls() {
	var cs []geom.Contour
	var of []int // index of the cut of each contour
	deepest := 0.0
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if c.Kind != layout.CutPocket {
			continue
		}
		deepest = max(deepest, c.Depth())
		for _, k := range c.Region.Contours() {
			cs, of = append(cs, k), append(of, i)
		}
	}
	cs, of = append(cs, r.l.Outline.Outer), append(of, outlineWall)
	limit := r.wallLimit(deepest)
	for _, g := range geom.Gaps(cs, limit) {
		if a, b := of[g.I], of[g.J]; a != b && g.D > touching {
			r.wall(g, a, b)
		}
	}
	limit = r.wallLimit(max(deepest, r.l.Thickness))
	for i, c := range cs {
		// A convex cell has no wall of its own. Inside an opened cell no neck is narrower than its cutter, so that what
		// SelfGap finds below the limit is a wall, unless the cutter is as small as the limit.
		if of[i] != outlineWall && convex(c) {
			continue
		}
		if g, ok := geom.SelfGap(c, limit); ok && g.D > touching {
			r.wall(g, of[i], of[i])
		}
	}
}

// wallLimit is the thickness from which no wall up to the given height breaks a rule.
func (r *run) wallLimit(height float64) float64 {
	limit := 0.0
	for _, k := range r.rules {
		switch k.Code {
		case "wall-thin":
			limit = max(limit, k.Limit)
		case "wall-slender":
			limit = max(limit, height/k.Limit)
		}
	}
	return limit
}

// wall tests one wall between cuts a and b.
func (r *run) wall(g geom.Gap, a, b int) {
	mid := g.P.Add(g.Q).Mul(0.5)
	z := layout.Interval{Z0: 0, Z1: r.l.Thickness}
	for _, i := range [2]int{a, b} {
		if i != outlineWall {
			z.Z0, z.Z1 = max(z.Z0, r.l.Cuts[i].Z0), min(z.Z1, r.l.Cuts[i].Z1)
		}
	}
	if z.Z1 <= z.Z0 {
		return // one cut ends above the other
	}
	h := height(r.metalAt(mid), z)
	if h <= 0 {
		return // a third cut has taken the wall, or it is no wall but the step between overlapping cuts
	}
	if a == outlineWall {
		a, b = b, a
	}
	who, w := r.wallOf(a, b)
	w.at = mid
	group := group{a: int64(a), b: int64(b), kind: "wall"}
	r.test("wall-thin", g.D, group, "walls", func(k Rule) place {
		w.what = fmt.Sprintf("the wall %s is %s thick, limit %s", who, mm(g.D), mm(k.Limit))
		w.fix = "widen the rib or rim, or move the cells apart"
		return w
	})
	r.test("wall-slender", h/g.D, group, "walls", func(k Rule) place {
		w.what = fmt.Sprintf("the wall %s is %s high and %s thick: %.4g times, limit %g", who, mm(h), mm(g.D), h/g.D, k.Limit)
		w.fix = fmt.Sprintf("make the wall at least %s thick or the pocket less deep", mm(h/k.Limit))
		return w
	})
}

// wallOf names the wall between two cuts and the feature that it belongs to.
func (r *run) wallOf(a, b int) (string, place) {
	if a == outlineWall {
		return "across the neck of the plate", place{stage: "outline"}
	}
	c := &r.l.Cuts[a]
	w := place{stage: "pockets", feature: int64(c.Feature), featureName: c.FeatureName}
	switch {
	case b == outlineWall:
		return fmt.Sprintf("between a cell of pocket %q and the outline", c.FeatureName), w
	case a == b:
		return fmt.Sprintf("between two sides of one cell of pocket %q", c.FeatureName), w
	case c.Feature == r.l.Cuts[b].Feature:
		return fmt.Sprintf("between two cells of pocket %q", c.FeatureName), w
	}
	return fmt.Sprintf("between cells of pockets %q and %q", c.FeatureName, r.l.Cuts[b].FeatureName), w
}

// metalAt is the metal at a point of the plate.
func (r *run) metalAt(p geom.Point) []layout.Interval {
	f := int(r.l.Map.Locate(p))
	if f < 0 || f >= len(r.l.Map.Metal) {
		return nil
	}
	return r.l.Map.Metal[f]
}

// height is how much of z is metal.
func height(metal []layout.Interval, z layout.Interval) float64 {
	h := 0.0
	for _, m := range metal {
		h += max(0, min(m.Z1, z.Z1)-max(m.Z0, z.Z0))
	}
	return h
}

// convex reports whether no edge and no corner of the contour turns to the right.
func convex(c geom.Contour) bool {
	for i := range c {
		if c[i].Dir < 0 || c[i].TangentB().Cross(c[(i+1)%len(c)].TangentA()) < -1e-6 {
			return false
		}
	}
	return true
}
