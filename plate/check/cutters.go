package check

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// job is one wall that an end mill must finish: of a cell, or of the outline.
type job struct {
	radius  float64 // least inside corner radius, +Inf where there is none
	depth   float64
	below   float64 // how far the cutter must go below it to break through
	who     string
	place   place // stage, feature and name
	corners []geom.Contour
	slot    bool // its ends are no corners: a cutter as wide as the slot makes them
	group   group
}

// cutters checks every cell and the outline against the end mills of the shop.
func (r *run) cutters() {
	mills := flatMills(r.p)
	floors := map[plate.ID]float64{}
	for i := range r.l.Plate.Pockets {
		floors[r.l.Plate.Pockets[i].ID] = r.l.Plate.Pockets[i].FloorRadius
	}
	outline := false
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		j := job{radius: c.LeastRadius, group: group{a: int64(c.Feature)}}
		if c.Side == plate.Through {
			j.below = max(0, r.p.Practice.BreakThrough.Value)
		}
		switch {
		case c.Kind == layout.CutPocket:
			j.depth = c.Depth()
			j.who = fmt.Sprintf("a cell of pocket %q", c.FeatureName)
			j.place = place{stage: "pockets", feature: int64(c.Feature), featureName: c.FeatureName}
			j.corners = c.Region.Contours()
		case c.Kind == layout.CutOutline && !outline:
			outline = true // the regions outside the outline share its corners
			j.depth = r.l.Thickness
			j.who = "the outline"
			j.place = place{stage: "outline"}
			j.corners = []geom.Contour{r.l.Outline.Outer.Reverse()}
		case c.Kind == layout.CutSlot:
			j.depth = c.Depth()
			j.slot = true
			j.who = fmt.Sprintf("slot %q", c.FeatureName)
			j.place = place{stage: plate.StageHoles, feature: int64(c.Feature), featureName: c.FeatureName}
			j.corners = c.Region.Contours()
		default:
			continue
		}
		fit := mills
		if c.Kind == layout.CutPocket && c.Side != plate.Through {
			fit = filletMills(mills, r.p, floors[c.Feature])
		}
		r.corner(j, fit)
		r.reach(j, fit)
	}
}

// flatMills are the end mills with sharp tips: those that finish a wall down to a floor.
func flatMills(p shop.Profile) []shop.Tool {
	var out []shop.Tool
	for _, t := range p.Tools {
		if t.Kind == shop.EndMill && t.CornerRadius == 0 && t.Diameter > 0 {
			out = append(out, t)
		}
	}
	return out
}

// filletMills adds to the sharp mills those whose corner radius the floor radius holds.
func filletMills(mills []shop.Tool, p shop.Profile, floor float64) []shop.Tool {
	if floor == 0 {
		return mills
	}
	out := slices.Clone(mills)
	for _, t := range p.Tools {
		if t.Kind == shop.EndMill && t.Diameter > 0 && t.CornerRadius > 0 && t.CornerRadius <= floor+1e-9 {
			out = append(out, t)
		}
	}
	return out
}

// corner checks the inside corner radius against depth and against the smallest cutter.
func (r *run) corner(j job, mills []shop.Tool) {
	if math.IsInf(j.radius, 1) {
		return
	}
	tell := func(what, fix string) func(Rule) place {
		return func(Rule) place {
			w := j.place
			w.what, w.fix, w.at = what, fix, tightest(j.corners)
			return w
		}
	}
	if _, sharp := r.row("sharp-inside-corner", j.radius); sharp {
		r.test("sharp-inside-corner", j.radius, j.group, "cells",
			tell("an inside corner of "+j.who+" is sharp", "give the corner a radius of at least 1.1 times that of a cutter"))
		return
	}
	if j.slot && smallest(mills) <= j.radius*(1+1e-9) {
		return
	}
	if j.slot {
		r.test("corner-radius", j.radius/smallest(mills), j.group, "slots",
			tell(fmt.Sprintf("%s is %s wide, narrower than every end mill of the shop", j.who, mm(2*j.radius)), "widen the slot, or add a smaller end mill to the shop"))
		return
	}
	r.test("corner-deep", j.depth/j.radius, j.group, "cells", func(k Rule) place {
		return tell(fmt.Sprintf("%s is %s deep with an inside corner radius of %s: %.4g times, limit %g",
			j.who, mm(j.depth), mm(j.radius), j.depth/j.radius, k.Limit),
			fmt.Sprintf("make the inside corner radius at least %s", mm(j.depth/k.Limit)))(k)
	})
	least := smallest(mills)
	r.test("corner-radius", j.radius/least, j.group, "cells", func(k Rule) place {
		if math.IsInf(least, 1) {
			return tell("the shop has no end mill with a sharp tip to finish "+j.who, "add end mills to the shop")(k)
		}
		return tell(fmt.Sprintf("the inside corner radius of %s is %s; the smallest end mill has a radius of %s: ratio %.4g, limit %g",
			j.who, mm(j.radius), mm(least), j.radius/least, k.Limit),
			fmt.Sprintf("make the inside corner radius at least %s, or add a smaller end mill to the shop", mm(least*k.Limit)))(k)
	})
}

// smallest is the radius of the smallest mill, +Inf when there is none.
func smallest(mills []shop.Tool) float64 {
	least := math.Inf(1)
	for _, t := range mills {
		least = min(least, t.Diameter/2)
	}
	return least
}

// fit is what the mills that fit a corner can do.
type fit struct {
	longest shop.Tool // of the greatest reach; the zero tool when none fits
	widest  float64   // diameter of the widest that reaches far enough, 0 when none does
}

// fitting chooses among the mills for an inside corner radius and a reach. Where none moves round the corners, those that
// just enter are taken: the rule on corner radii has said that there is no better.
func (r *run) fitting(mills []shop.Tool, radius, need float64) fit {
	ratio := r.rule("corner-radius", finding.Warning).Limit
	if smallest(mills)*ratio > radius*(1+1e-9) {
		ratio = 1
	}
	var f fit
	for _, t := range mills {
		if t.Diameter/2*ratio > radius*(1+1e-9) {
			continue
		}
		if t.Reach > f.longest.Reach {
			f.longest = t
		}
		if t.Reach >= need {
			f.widest = max(f.widest, t.Diameter)
		}
	}
	return f
}

// reach checks the depth against the mills that fit the corners.
func (r *run) reach(j job, mills []shop.Tool) {
	need := j.depth + j.below
	f := r.fitting(mills, j.radius, need)
	if f.longest.Reach == 0 {
		return // no cutter fits at all: corner has said so
	}
	if f.widest == 0 {
		r.test("cutter-reach", f.longest.Reach/need, j.group, "cells", func(Rule) place { return j.short(f.longest, need) })
		return
	}
	r.test("cutter-slender", j.depth/f.widest, j.group, "cells", func(k Rule) place {
		w := j.place
		w.what = fmt.Sprintf("%s is %s deep and takes a cutter of %s: %.4g times its diameter, limit %g", j.who, mm(j.depth), mm(f.widest), j.depth/f.widest, k.Limit)
		w.fix = "enlarge the inside corner radius or cut less deep"
		w.at = tightest(j.corners)
		return w
	})
}

// short says that even the longest mill does not reach.
func (j job) short(longest shop.Tool, need float64) place {
	w := j.place
	w.at = tightest(j.corners)
	if math.IsInf(j.radius, 1) {
		w.what = fmt.Sprintf("%s needs a reach of %s; the longest end mill, %s, reaches %s", j.who, mm(need), longest.ID, mm(longest.Reach))
		w.fix = "take thinner stock, or add a longer cutter to the shop"
		return w
	}
	w.what = fmt.Sprintf("%s needs a reach of %s; of the end mills that fit an inside corner radius of %s the longest, %s, reaches %s",
		j.who, mm(need), mm(j.radius), longest.ID, mm(longest.Reach))
	w.fix = "enlarge the inside corner radius so that a longer cutter fits, cut less deep, or add a longer cutter to the shop"
	return w
}

// tightest is a place on the contours where the cutter on their left meets the smallest radius: a sharp corner, else the
// middle of the smallest left-hand arc, else the start of the first edge.
func tightest(cs []geom.Contour) geom.Point {
	least := math.Inf(1)
	var at geom.Point
	for _, c := range cs {
		for i := range c {
			if math.IsInf(least, 1) {
				at = c[i].A
				least = math.MaxFloat64
			}
			if c[i].Dir > 0 && c[i].R < least {
				least, at = c[i].R, c[i].Mid()
			}
			next := c[(i+1)%len(c)]
			// A corner of more than half a degree: smaller turns come from rounding.
			if t, u := c[i].TangentB(), next.TangentA(); least > 0 && (t.Cross(u) > 1e-2 || t.Dot(u) < 0 && t.Cross(u) > -1e-2) {
				least, at = 0, c[i].B
			}
		}
	}
	return at
}
