package route

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// Holes: spot, drill (in pecks when deep), tap. A clearance hole that no drill fits is milled like a bore.

// sameSize is the difference of diameters below which a drill fits a hole, mm.
const sameSize = 1e-6

// planHoles adds clearance and tapped holes.
func (pl *planner) planHoles(context.Context) error {
	points := map[[4]float64]float64{} // volume of the drill points below blind holes, by place
	key := func(c *layout.Cut) [4]float64 {
		return [4]float64{c.Center.X, c.Center.Y, c.Diameter, float64(c.Feature)}
	}
	for i := range pl.l.Cuts {
		if c := &pl.l.Cuts[i]; c.Kind == layout.CutPoint {
			points[key(c)] += pl.net[i]
		}
	}
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		if c.Kind != layout.CutDrilled && c.Kind != layout.CutTapped && c.Kind != layout.CutReamed {
			continue
		}
		if err := pl.planHole(i, pl.net[i]+points[key(c)]); err != nil {
			return err
		}
	}
	return nil
}

func (pl *planner) planHole(i int, net float64) error {
	c := &pl.l.Cuts[i]
	face := c.Side
	if face == plate.Through {
		face = pl.main
	}
	s := pl.stageFor(face, true)
	if slices.Contains(pl.screws, i) { // it must be there when the plate is screwed down
		s = pl.stageFor(face, false)
	}
	depth := c.Depth()
	if c.Side == plate.Through {
		depth = pl.through(s)
	}
	if c.Kind == layout.CutReamed {
		return pl.planReamed(s, c, depth, net)
	}
	var tap shop.Tool
	if c.Kind == layout.CutTapped {
		if tap = pl.tapFor(c); tap.ID == "" {
			tap = pl.threadMillFor(c)
		}
		if tap.ID == "" {
			pl.lostRound(c, "no-tap", fmt.Sprintf("no tap %s × %g mm in the shop's list", c.Thread, c.Pitch), "a thread is cut by a tap of its size",
				"another thread size, or the tap in the shop's list")
			return nil
		}
		if need := pl.tapDepth(c, tap); tap.Kind == shop.Tap && tap.Reach < need {
			pl.lostRound(c, "tap-short", fmt.Sprintf("tap %s reaches %.1f mm, the thread needs %.1f mm", tap.ID, tap.Reach, need), "the tap's shank must stay out of the hole",
				"a shorter thread, or a longer tap in the shop's list")
			return nil
		}
	}
	drill, far := pl.drillFor(c.Diameter, depth)
	if t := pl.asked(stepDrill, c.Feature); t.ID != "" && drill.ID != "" {
		if t.Kind == shop.Drill && math.Abs(t.Diameter-c.Diameter) <= sameSize && t.Reach >= depth+pointOf(t) {
			drill = t
		} else {
			pl.refused(t, pl.cutName(c), "it is no drill of the hole's size that reaches so deep")
		}
	}
	if drill.ID == "" {
		return pl.noDrill(s, c, depth, far, net)
	}
	name, spot, first := fmt.Sprintf("drill %g mm", drill.Diameter), stepSpot, stepDrill
	if slices.Contains(pl.screws, i) {
		name += " for the screws that hold the plate"
		spot, first = stepPilotSpot, stepPilot
	}
	spotted := pl.spot(s, spot, c, drill.Diameter, net, "spot holes")
	if err := pl.drill(s, first, c, drill, depth, net-spotted, name); err != nil {
		return err
	}
	switch {
	case c.Kind != layout.CutTapped:
		return nil
	case tap.Kind == shop.ThreadMill:
		return pl.millThread(s, c, tap)
	}
	return pl.tap(s, c, tap)
}

// drillFor is the shortest drill of a diameter that reaches the depth with its point; far is the reach of the longest one of
// that diameter.
func (pl *planner) drillFor(d, depth float64) (best shop.Tool, far float64) {
	for _, t := range pl.p.Tools {
		if t.Kind != shop.Drill || math.Abs(t.Diameter-d) > sameSize {
			continue
		}
		far = max(far, t.Reach)
		if t.Reach >= depth+pointOf(t) && (best.ID == "" || t.StickOut < best.StickOut) {
			best = t
		}
	}
	return best, far
}

// drillable tells whether a drill of its size reaches through the plate, whichever clamping it is drilled in.
func (pl *planner) drillable(c *layout.Cut) bool {
	d, _ := pl.drillFor(c.Diameter, pl.t+pl.p.Practice.BreakThrough.Value+max(pl.l.BlankZ.Z1-pl.t, -pl.l.BlankZ.Z0))
	return d.ID != ""
}

// noDrill mills a clearance hole that no drill fits, or reports the hole.
func (pl *planner) noDrill(s *stage, c *layout.Cut, depth, far, net float64) error {
	if far > 0 {
		pl.lostRound(c, "drill-short", fmt.Sprintf("the drill of %g mm reaches %.1f mm, the hole needs %.1f mm with the point", c.Diameter, far, depth),
			"the flutes must stand out of the hole to let the chips go", "a longer drill in the shop's list")
		return nil
	}
	if c.Kind == layout.CutDrilled {
		cutter, j, cond, err := pl.boreCutter(c, 0, 0, depth)
		if err != nil {
			return err
		}
		if cutter.ID != "" {
			k := s.task(stepMillHole, cutter, "mill holes on helices")
			pl.addRound(k, c, j, cond, net)
			k.rules = "pitch: " + pl.p.Practice.BoreStep.Source
			return nil
		}
	}
	pl.lostRound(c, "no-drill", fmt.Sprintf("no drill of %g mm in the shop's list", c.Diameter), "a hole is drilled with a drill of its size",
		"another size, or the drill in the shop's list")
	return nil
}

// spot adds the centre for a drill of diameter d and returns the volume it takes of a hole of volume net.
func (pl *planner) spot(s *stage, st step, c *layout.Cut, d, net float64, name string) float64 {
	does := func(t shop.Tool) bool { return t.Kind == shop.SpotDrill }
	for _, t := range pl.toolsFor(stepSpot, c.Feature, pl.cutName(c), "it is no spot drill", does) {
		if !does(t) {
			continue
		}
		wide := min(pl.p.Practice.SpotRatio.Value*d, 0.95*t.Diameter)
		depth := PointLength(wide, radians(t.PointAngleDeg))
		cond, err := Drilling(pl.p, pl.group, t, shop.Spot, t.Diameter, depth)
		if err != nil {
			continue
		}
		v := 0.0
		if net > 0 {
			v = min(net, math.Pi*wide*wide/12*depth)
		}
		k := s.task(st, t, name)
		pl.addRound(k, c, pl.plungeJob(cond.pace(), []float64{depth}, false), cond, v)
		k.rules = "width: " + pl.p.Practice.SpotRatio.Source
		return v
	}
	return 0 // a shop without a spot drill lets the drill find its own centre
}

// drill adds a hole to the task of its drill.
func (pl *planner) drill(s *stage, st step, c *layout.Cut, t shop.Tool, depth, removed float64, name string) error {
	cond, err := Drilling(pl.p, pl.group, t, shop.Drilled, t.Diameter, 0)
	if err != nil {
		var none *noDataError
		if errors.As(err, &none) {
			pl.lostRound(c, "cutting-data-missing", none.Error(), "speed and feed depend on the tool", "add the row to the shop's cutting data")
			return nil
		}
		return err
	}
	pr := pl.p.Practice
	to := depth + pointOf(t)
	steps := []float64{to}
	cond.Ap = depth
	if depth > pr.PeckFrom.Value*t.Diameter {
		n := int(math.Ceil(to/(pr.PeckStep.Value*t.Diameter) - 1e-9))
		steps = evenDepths(0, to, n)
		cond.Ap = to / float64(n)
	}
	k := s.task(st, t, name)
	pl.addRound(k, c, pl.plungeJob(cond.pace(), steps, true), cond, removed)
	k.rules = "pecks: from " + pr.PeckFrom.Source + "; step: " + pr.PeckStep.Source
	return nil
}

// plungeJob feeds a tool straight down at the origin to each depth; between pecks, and at the end, it comes out to the plane of
// retraction at rapid.
func (pl *planner) plungeJob(feed pace, depths []float64, pecks bool) *job {
	d := &pl.workers[0].timer.d
	j := &job{plunge: depths, feed: feed.feed}
	prev := 0.0
	for _, z := range depths {
		from := prev - pl.h.gap
		l := z - from
		j.rapid += d.rapidTime(0, 0, pl.h.retract+from) + d.rapidTime(0, 0, pl.h.retract+z)
		down := [3]float64{0, 0, -1}
		t := straightTally(l, feed)
		t.motion = pl.workers[0].timer.time([]Block{{Length: l, Feed: feed.feed, Start: down, End: down}})
		j.sum.add(t, 1)
		prev = z
	}
	return j
}

func (pl *planner) tapFor(c *layout.Cut) shop.Tool {
	for _, t := range pl.p.Tools {
		if t.Kind == shop.Tap && t.Thread == c.Thread && math.Abs(t.Pitch-c.Pitch) < sameSize {
			return t
		}
	}
	return shop.Tool{}
}

// tapDepth is how deep the tap's tip goes: a through thread needs its lead to come out on the far side.
func (pl *planner) tapDepth(c *layout.Cut, t shop.Tool) float64 {
	return c.ThreadDepth + t.ChamferThreads*t.Pitch
}

func (pl *planner) tap(s *stage, c *layout.Cut, t shop.Tool) error {
	if !pl.p.Machine.RigidTapping {
		if m := pl.threadMillFor(c); m.ID != "" {
			return pl.millThread(s, c, m)
		}
		pl.handMin += handTap
		pl.handDoc = append(pl.handDoc, fmt.Sprintf("tap %s", c.Thread))
		return nil
	}
	cond, err := Tapping(pl.p, pl.group, t)
	if err != nil {
		var none *noDataError
		if errors.As(err, &none) {
			pl.lostRound(c, "cutting-data-missing", none.Error(), "speed depends on the tap", "add the row to the shop's cutting data")
			return nil
		}
		return err
	}
	depth := pl.tapDepth(c, t)
	runIn := pl.p.Practice.TapRunIn.Value * t.Pitch
	d := &pl.workers[0].timer.d
	j := &job{plunge: []float64{depth}, feed: cond.Feed, other: 2 * pl.p.Machine.SpindleTurn}
	j.sum = straightTally(2*(depth+runIn), cond.pace())
	j.sum.motion = 60 * TapTime(depth, runIn, t.Pitch, cond.Spindle)
	j.rapid = 2 * d.rapidTime(0, 0, max(0, pl.h.retract-runIn))
	cond.Ap, cond.Ae = depth, t.Diameter
	k := s.task(stepTap, t, fmt.Sprintf("tap %s", t.Thread))
	pl.addRound(k, c, j, cond, 0)
	k.rules = "run-in: " + pl.p.Practice.TapRunIn.Source
	return nil
}

// handTap is the time to tap one hole at the bench, min; common practice, no source.
const handTap = 1.0
