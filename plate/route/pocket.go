package route

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

// Pockets: each cell is roughed by one cutter, the corners that it does not reach by the finishing cutter at roughing
// conditions, then the floor by the roughing cutter, and last floor corners and walls by the finishing cutter. The finishing
// cutter is the largest whose radius is at most the inside corner radius over the corner ratio.

// cutterOption is one cutter that could rough a group of cells.
type cutterOption struct {
	tool        shop.Tool
	asked       bool // by the user: it is taken wherever it enters
	levels      int
	rough, slot Conditions
	ramp        Conditions // of the entry helix, which takes its pitch at full width
	floor       Conditions
}

// pocketPlan is how the cells of a group are cut.
type pocketPlan struct {
	*pocketGroup
	roughTo float64 // depth left by roughing; 0 where the pocket is too shallow to be roughed
	floorTo float64 // depth of the floor pass; below the far face where the pocket goes through
	keep    float64 // left at the wall by roughing: the allowance, and the floor fillet
	finish  shop.Tool
	walls   int // depth levels of the wall pass
	wall    Conditions
	options []cutterOption // by diameter; the first is the finishing cutter
	edge    edgeTool
}

// cellWork is what is done in each cell of a class. Areas in mm².
type cellWork struct {
	estimate                      []float64 // s, with each option; +Inf where it does not enter
	option                        int
	rough, rest, floor, wall, rim job
	swept, left                   float64 // by roughing
	sweptFloor                    float64
	rimFree                       bool // the edge is left to the hand
}

// pocketPlans finds tools and conditions for every group; groups that no tool can do become findings.
func (pl *planner) pocketPlans(groups []*pocketGroup) ([]*pocketPlan, error) {
	var out []*pocketPlan
	for _, g := range groups {
		p, err := pl.pocketPlan(g)
		var miss *missingError
		var none *noDataError
		switch {
		case errors.As(err, &miss):
			pl.miss(miss, g)
		case errors.As(err, &none):
			pl.miss(&missingError{"cutting-data-missing", none.Error(), "the shop's cutting data name group, tool and diameter", "add the row to the shop's cutting data or take another tool"}, g)
		case err != nil:
			return nil, err
		default:
			out = append(out, p)
		}
	}
	return out, nil
}

func (pl *planner) miss(m *missingError, g *pocketGroup) {
	pl.left(finding.Finding{
		Code: m.code, Level: finding.Error, What: fmt.Sprintf("%s: %s", g.name, m.what), Why: m.why, Source: "the shop profile " + pl.p.Name,
		Fix: m.fix, Where: [2]float64{g.first.X, g.first.Y}, HasWhere: true, Feature: int64(g.feature), FeatureName: g.name, Stage: "pockets",
	})
}

// missingError says that the shop has no tool for something.
type missingError struct{ code, what, why, fix string }

func (e *missingError) Error() string { return "route: " + e.what }

func (pl *planner) pocketPlan(g *pocketGroup) (*pocketPlan, error) {
	pr := pl.p.Practice
	p := &pocketPlan{pocketGroup: g, floorTo: g.depth}
	keep := pr.FloorAllowance.Value
	if g.through {
		p.floorTo, keep = g.depth+pr.BreakThrough.Value, pr.Skin.Value
	}
	if g.depth > 2*keep {
		p.roughTo = g.depth - keep
	}
	p.keep = pr.WallAllowance.Value + g.fillet // sharp cutters stay out of the fillet
	var err error
	if p.finish, err = pl.finishCutter(g.radius, p.floorTo, g.fillet); err != nil {
		return nil, err
	}
	if t := pl.asked(stepWall, g.feature); t.ID != "" {
		if why := pl.unfitWall(t, p); why != "" {
			pl.refused(t, g.name, why)
		} else {
			p.finish = t
		}
	}
	if p.walls, p.wall, _, err = levels(pl.p, pl.group, p.finish, shop.Finish, p.keep, p.floorTo, p.finish.FluteLength, 0); err != nil {
		return nil, err
	}
	asked := pl.asked(stepRoughPocket, g.feature)
	for i, t := range append([]shop.Tool{p.finish}, pl.endMills(p.floorTo)...) {
		if i > 0 && (t.Diameter <= p.finish.Diameter && p.finish.CornerRadius == 0 || t.ID == p.finish.ID) || t.Diameter < p.finish.Diameter {
			continue
		}
		o := cutterOption{tool: t, asked: t.ID == asked.ID && asked.ID != ""}
		if err := pl.roughing(&o, p); err != nil {
			var none *noDataError
			if t.ID != p.finish.ID && errors.As(err, &none) {
				continue // another cutter has data
			}
			return nil, err
		}
		p.options = append(p.options, o)
	}
	if asked.ID != "" && !slices.ContainsFunc(p.options, func(o cutterOption) bool { return o.asked }) {
		pl.refused(asked, g.name, "it is no end mill that reaches the floor, or is smaller than the finishing cutter")
	}
	p.edge = pl.edgeTool()
	return p, nil
}

// slotShare is about the share of a pocket's path that is cut at full width: entries, innermost rings and links; 0.2 in large
// cells, all of it in cells of one ring. It weighs the number of depth levels only.
const slotShare = 0.5

// roughing fills in the conditions of an option.
func (pl *planner) roughing(o *cutterOption, p *pocketPlan) (err error) {
	t, pr := o.tool, pl.p.Practice
	if p.roughTo > 0 {
		o.levels, o.rough, o.slot, err = levels(pl.p, pl.group, t, shop.Rough, pl.step(t), p.roughTo, pr.RoughDepth.Value*t.Diameter, slotShare)
		if err != nil {
			return err
		}
		lead := math.Pi * pr.HelixRatio.Value * t.Diameter * math.Tan(radians(pr.RampAngleDeg.Value))
		if o.ramp, err = Milling(pl.p, pl.group, t, shop.Rough, t.Diameter, min(lead, o.rough.Ap)); err != nil {
			return err
		}
	}
	o.floor, err = Milling(pl.p, pl.group, t, shop.Finish, pl.step(t), p.depth-p.roughTo)
	return err
}

// step is the step over of passes with a cutter: the rule's share of the diameter, at most just under the radius.
func (pl *planner) step(t shop.Tool) float64 {
	return min(pl.p.Practice.RoughWidth.Value, 0.49) * t.Diameter
}

// unfitWall says why a tool cannot finish the walls of a group; empty if it can. Equal radius is allowed to the user, with a finding.
func (pl *planner) unfitWall(t shop.Tool, p *pocketPlan) string {
	switch {
	case t.Kind != shop.EndMill:
		return "it is no end mill"
	case t.Reach < p.floorTo:
		return fmt.Sprintf("it reaches %g mm and %g mm are needed", t.Reach, p.floorTo)
	case t.Diameter/2 > p.radius+1e-9:
		return fmt.Sprintf("its radius of %g mm is above the inside corner radius of %g mm", t.Diameter/2, p.radius)
	case t.CornerRadius > p.fillet+1e-9:
		return fmt.Sprintf("its corner radius of %g mm leaves more than the floor radius of %g mm", t.CornerRadius, p.fillet)
	}
	if t.Diameter/2*pl.p.Practice.CornerRatio.Value > p.radius+1e-9 {
		pl.find(finding.Finding{
			Code: "cutter-fills-corner", Level: finding.Warning, Stage: "pockets", Feature: int64(p.feature), FeatureName: p.name,
			What: fmt.Sprintf("%s: %s fills the inside corners of %g mm and stops in them", p.name, t.ID, p.radius),
			Why:  "a cutter as large as the corner is wrapped by metal there and chatters", Source: pl.p.Practice.CornerRatio.Source,
			Fix: "a smaller cutter, or a larger inside corner radius",
		})
	}
	return ""
}

// endMills lists the sharp end mills that reach a depth: of each diameter the shortest, by rising diameter.
func (pl *planner) endMills(depth float64) []shop.Tool { return pl.endMillsWith(depth, 0) }

// endMillsWith are those with a corner radius.
func (pl *planner) endMillsWith(depth, corner float64) []shop.Tool {
	var out []shop.Tool
	for _, t := range pl.p.Tools {
		if t.Kind != shop.EndMill || t.CornerRadius != corner || t.Reach < depth {
			continue
		}
		i := slices.IndexFunc(out, func(o shop.Tool) bool { return o.Diameter == t.Diameter })
		switch {
		case i < 0:
			out = append(out, t)
		case t.StickOut < out[i].StickOut:
			out[i] = t
		}
	}
	slices.SortStableFunc(out, func(a, b shop.Tool) int { return cmp.Compare(a.Diameter, b.Diameter) })
	return out
}

// finishCutter is the largest end mill that moves round the inside corner radius and reaches the depth: a sharp one, or for a floor
// fillet that with the largest corner radius which the fillet holds.
func (pl *planner) finishCutter(radius, depth, fillet float64) (shop.Tool, error) {
	corner := 0.0
	if fillet > 0 {
		for _, t := range pl.p.Tools {
			if t.Kind == shop.EndMill && t.CornerRadius <= fillet+1e-9 && t.CornerRadius > corner && t.Reach >= depth &&
				t.Diameter/2*pl.p.Practice.CornerRatio.Value <= radius+1e-9 {
				corner = t.CornerRadius
			}
		}
		if corner == 0 {
			return shop.Tool{}, &missingError{
				"no-cutter-for-fillet", fmt.Sprintf("no end mill with a corner radius up to the floor radius of %.2f mm goes round the inside corner radius of %.2f mm and reaches %.1f mm", fillet, radius, depth),
				"the corner of the cutter forms the fillet between floor and wall", "another floor radius, or a cutter with a corner radius in the shop's list",
			}
		}
	}
	ratio := pl.p.Practice.CornerRatio.Value
	most := 2 * radius / ratio
	fits := func(ts []shop.Tool) (best shop.Tool) {
		for _, t := range ts {
			if t.Diameter <= most+1e-9 {
				best = t
			}
		}
		return best
	}
	if t := fits(pl.endMillsWith(depth, corner)); t.ID != "" {
		return t, nil
	}
	if t := fits(pl.endMills(0)); t.ID != "" {
		return shop.Tool{}, &missingError{
			"reach-short", fmt.Sprintf("no end mill of at most %.2f mm reaches %.1f mm deep", most, depth),
			fmt.Sprintf("inside corner radius %.2f mm ÷ %.2f is the radius of the finishing cutter; the pocket and the break-through are the depth", radius, ratio),
			"a larger inside corner radius, a shallower pocket, or a longer cutter in the shop's list",
		}
	}
	return shop.Tool{}, &missingError{
		"no-cutter-for-corner", fmt.Sprintf("the inside corner radius of %.2f mm asks for an end mill of at most %.2f mm, and the shop has none", radius, most),
		fmt.Sprintf("the finishing cutter's radius is at most the inside corner radius ÷ %.2f, so that it moves round the corner", ratio),
		"a larger inside corner radius, or a smaller cutter in the shop's list",
	}
}

// estimateCell finds, for every option, about how long a cell takes. It is used to choose cutters, and nothing else: the plan
// times the paths themselves.
func (pl *planner) estimateCell(w *worker, p *pocketPlan, c *cellClass) error {
	small := &p.options[0]
	c.work.estimate = make([]float64, len(p.options))
	for i := range p.options {
		o := &p.options[i]
		r, keep := o.tool.Diameter/2, p.keep
		c.work.estimate[i] = math.Inf(1)
		ground, err := w.geom.Offset(c.region, -(r + keep))
		if err != nil {
			return fmt.Errorf("route: offset of a cell: %w", err)
		}
		if len(ground) == 0 && i > 0 {
			continue
		}
		area, around := ground.Area(), ground.Length()
		if i > 0 && 2*area < minRoom*r*around { // the cutter would only dip in
			continue
		}
		rest := 0.0
		if i > 0 {
			// the strip within r of the ground, by Steiner's formula: exact where no two parts of it meet
			swept := area + around*r + math.Pi*r*r*float64(len(ground))
			rest = max(0, c.area-keep*c.region.Length()-swept)
		}
		s := 0.0
		step := pl.step(o.tool)
		if p.roughTo > 0 {
			s += float64(o.levels) * ringTime(area, around, step, o.rough, o.slot, o.ramp, pl.rampLength(o.rough.Ap))
			s += float64(small.levels) * restTime(rest, pl.step(small.tool), small.rough)
		}
		s += ringTime(area, around, step, o.floor, o.floor, o.floor, pl.rampLength(p.depth-p.roughTo))
		s += restTime(rest, pl.step(small.tool), small.floor)
		c.work.estimate[i] = s
	}
	return nil
}

// minRoom is the least width of the ground of a larger cutter over its radius, so that there is something for it to cut.
const minRoom = 0.2

// rampLength is the length of path that goes down by h.
func (pl *planner) rampLength(h float64) float64 {
	return (h + pl.h.gap) / math.Tan(radians(pl.p.Practice.RampAngleDeg.Value))
}

// ringTime estimates the time in s to clear an area for the cutter's centre ring by ring. The area shrinks as one round an
// inscribed circle does: its depth is ρ = 2·area ÷ around, and ring k is around·(1 − k·step/ρ) long.
func ringTime(area, around, step float64, c, slot, ramp Conditions, down float64) float64 {
	if around <= 0 {
		return 60 * down / slot.Feed
	}
	rho := 2 * area / around
	n := 1 + math.Floor(rho/step)
	k := n - 1
	inner := around * max(0, 1-k*step/rho)
	outer := around*k - around*step/rho*k*(k-1)/2
	const helixShare = 0.45 // of the feed: the centre's helix is about as wide as the cutter
	entering := down / slot.Feed
	if n > 1 {
		entering = down / max(slot.Feed, ramp.Feed*helixShare)
	}
	return 60*(outer/c.Feed+inner/slot.Feed+entering) + liftTime
}

// restTime estimates the time to clear corners.
func restTime(area, step float64, c Conditions) float64 {
	if area <= 0 {
		return 0
	}
	return 60*area/(step*c.Feed) + 3*liftTime
}

// liftTime is about the time to lift, move and go down again in a cell, s.
const liftTime = 0.4

// minLeft is the area below which a piece that a cutter leaves is rounding, mm².
const minLeft = 1e-4

func pieces(s geom.Shape) geom.Shape {
	return slices.DeleteFunc(s, func(r geom.Region) bool { return r.Area() < minLeft })
}

// planCell makes the paths of one class of cells.
func (pl *planner) planCell(w *worker, p *pocketPlan, c *cellClass) error {
	o := &p.options[c.work.option]
	if c.recalled = pl.recall(p.pocketGroup, c, o.tool.ID); c.recalled {
		return nil
	}
	big := clearing{
		radius: o.tool.Diameter / 2, keep: p.keep, step: pl.step(o.tool), reverse: p.side != plate.Top,
		helix: pl.p.Practice.HelixRatio.Value * o.tool.Diameter / 2,
	}
	levels, err := w.rings(c.region, big.radius+big.keep, big.step)
	if err != nil {
		return err
	}
	var swept geom.Shape // what the cutter reaches that stays off the walls
	if len(levels) > 0 {
		if swept, err = w.geom.Offset(levels[0], big.radius); err != nil {
			return fmt.Errorf("route: reach of a cutter: %w", err)
		}
	}
	c.work.sweptFloor = swept.Area()
	if p.roughTo > 0 {
		if err := pl.roughCell(w, p, c, big, levels, swept); err != nil {
			return err
		}
	}
	if err := pl.finishCell(w, p, c, big, levels, swept); err != nil {
		return err
	}
	return pl.rimCell(w, p, c)
}

// finishCell makes the floor passes of the roughing cutter, and the floor corners and the wall by the finishing cutter.
func (pl *planner) finishCell(w *worker, p *pocketPlan, c *cellClass, floor clearing, levels []geom.Shape, swept geom.Shape) error {
	o, small := &p.options[c.work.option], &p.options[0]
	floor.feed, floor.slot, floor.ramp = o.floor.pace(), o.floor.pace(), o.floor.pace()
	same := c.work.option == 0
	last := clearing{radius: small.tool.Diameter / 2, step: pl.step(small.tool), reverse: floor.reverse, feed: small.floor.pace()}
	keep := floor.keep
	var err error
	if same && p.fillet == 0 { // its wall pass comes at the full depth, right after
		floor.keep, floor.wall = 0, true
		if levels, err = w.rings(c.region, floor.radius, floor.step); err != nil {
			return err
		}
	}
	t := along(levels, floor)
	w.using(o.tool, p.side).addTrip(&c.work.floor, t, p.roughTo, []float64{p.floorTo}, pl.h)
	w.using(small.tool, p.side)
	if !same || p.fillet > 0 {
		left, err := w.geom.Difference(c.region, swept)
		if err != nil {
			return fmt.Errorf("route: rest of a cell: %w", err)
		}
		if t, err = w.rest(c.region, pieces(left), last, 1, pl.linking()); err != nil {
			return err
		}
		w.addTrip(&c.work.wall, t, p.floorTo, []float64{p.floorTo}, pl.h)
	}
	last.feed, last.step = p.wall.pace(), keep
	if t, err = w.wallPass(c.region, last, keep+wallLead); err != nil {
		return err
	}
	if len(t.runs) == 0 {
		return fmt.Errorf("route: a cell of %q is too narrow for its own cutter", p.name)
	}
	w.addTrip(&c.work.wall, t, p.floorTo, evenDepths(0, p.floorTo, p.walls), pl.h)
	return pl.fillFillet(w, p, c, last)
}

// filletStep is how far apart the passes are that form a fillet larger than the cutter's corner, mm along the arc; common
// practice, no source.
const filletStep = 0.3

// fillFillet adds the passes that form a fillet larger than the corner radius of the cutter, from the wall down to the floor. The
// centre of the cutter's corner goes round the fillet's: at the angle a from the wall the axis stands (f − c)(1 − cos a) further in
// and the tip (f − c)(1 − sin a) above the floor.
func (pl *planner) fillFillet(w *worker, p *pocketPlan, c *cellClass, last clearing) error {
	d := p.fillet - p.finish.CornerRadius
	if d < 1e-6 {
		return nil
	}
	n := int(math.Ceil(d * math.Pi / 2 / filletStep))
	for k := 1; k <= n; k++ {
		a := math.Pi / 2 * float64(k) / float64(n)
		at := last
		at.radius = p.finish.Diameter/2 + d*(1-math.Cos(a))
		t, err := w.wallPass(c.region, at, p.keep+wallLead)
		if err != nil {
			return err
		}
		depth := p.floorTo - d*(1-math.Sin(a))
		w.addTrip(&c.work.wall, t, depth, []float64{depth}, pl.h)
	}
	return nil
}

// roughCell makes the roughing paths: the area that the larger cutter sweeps, and the corners by the finishing cutter.
func (pl *planner) roughCell(w *worker, p *pocketPlan, c *cellClass, big clearing, levels []geom.Shape, swept geom.Shape) error {
	o, small := &p.options[c.work.option], &p.options[0]
	big.feed, big.slot, big.ramp = o.rough.pace(), o.slot.pace(), o.ramp.pace()
	t := along(levels, big)
	w.using(o.tool, p.side).addTrip(&c.work.rough, t, 0, evenDepths(0, p.roughTo, o.levels), pl.h)
	c.work.swept = swept.Area()
	if c.work.option == 0 {
		return nil
	}
	area, err := w.geom.Offset(c.region, -big.keep)
	if err != nil {
		return fmt.Errorf("route: offset of a cell: %w", err)
	}
	left, err := w.geom.Difference(area, swept)
	if err != nil {
		return fmt.Errorf("route: rest of a cell: %w", err)
	}
	left = pieces(left)
	if len(left) == 0 {
		return nil
	}
	last := clearing{radius: small.tool.Diameter / 2, step: pl.step(small.tool), reverse: big.reverse, feed: small.rough.pace()}
	if t, err = w.rest(area, left, last, 0, pl.linking()); err != nil {
		return err
	}
	w.using(small.tool, p.side).addTrip(&c.work.rest, t, 0, evenDepths(0, p.roughTo, small.levels), pl.h)
	if !c.work.rest.isEmpty() {
		c.work.left = left.Area()
	}
	return nil
}

func (j *job) isEmpty() bool { return len(j.trips) == 0 }

func (pl *planner) linking() pace {
	return steady(min(pl.p.Practice.LinkFeed.Value, pl.p.Machine.MaxFeed))
}
