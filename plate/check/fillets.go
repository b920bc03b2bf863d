package check

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// fillets checks the floor radius of pockets against the corner radii of the end mills.
func (r *run) fillets() {
	pockets := map[plate.ID]*plate.Pocket{}
	for i := range r.l.Plate.Pockets {
		pockets[r.l.Plate.Pockets[i].ID] = &r.l.Plate.Pockets[i]
	}
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		p := pockets[c.Feature]
		if c.Kind != layout.CutPocket || c.Side == plate.Through || p == nil || p.FloorRadius == 0 {
			continue
		}
		say := func(fix, format string, args ...any) func(Rule) place {
			return func(Rule) place {
				return place{
					what: fmt.Sprintf("the floor radius of pocket %q is %s: ", p.Name, mm(p.FloorRadius)) + fmt.Sprintf(format, args...),
					fix:  fix, at: tightest(c.Region.Contours()), feature: int64(p.ID), featureName: p.Name, stage: plate.StagePockets,
				}
			}
		}
		g := group{a: int64(p.ID)}
		if p.FloorRadius > p.Radius*(1+1e-9) {
			r.test("floor-radius-large", p.FloorRadius/p.Radius, g, "cells", say("make the floor radius smaller, or the inside corner radius larger",
				"the inside corner radius is %s", mm(p.Radius)))
			continue
		}
		least, most := r.cornerRadii(p.Radius, c.Depth(), p.FloorRadius)
		if math.IsInf(least, 1) {
			r.test("floor-radius-cutter", math.Inf(-1), g, "cells", say("add an end mill with a corner radius to the shop, or leave the floor sharp",
				"no end mill with a corner radius fits the inside corners and reaches %s", mm(c.Depth())))
			continue
		}
		r.test("floor-radius-cutter", p.FloorRadius-least, g, "cells", say(fmt.Sprintf("make the floor radius %s, or add a cutter", mm(least)),
			"the least corner radius of the end mills that fit is %s", mm(least)))
		if most > 0 {
			r.test("floor-radius-stepped", p.FloorRadius-most, g, "cells", say(fmt.Sprintf("make the floor radius %s, or add a cutter", mm(most)),
				"the greatest corner radius that it holds is %s", mm(most)))
		}
	}
}

// cornerRadii are the least corner radius of the end mills that have one, fit the inside corner radius and reach the depth,
// +Inf where there is none, and the greatest of those that the floor radius holds, 0 where it holds none.
func (r *run) cornerRadii(radius, depth, floor float64) (least, most float64) {
	ratio := r.rule("corner-radius", "warning").Limit
	least = math.Inf(1)
	for _, t := range r.p.Tools {
		if t.Kind != shop.EndMill || !(t.CornerRadius > 0) || t.Reach < depth || t.Diameter/2*ratio > radius*(1+1e-9) {
			continue
		}
		least = min(least, t.CornerRadius)
		if t.CornerRadius <= floor+1e-9 {
			most = max(most, t.CornerRadius)
		}
	}
	return least, most
}
