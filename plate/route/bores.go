package route

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// Bores: a pilot hole, milling under size on helices, and after the plate has been clamped again the finishing cut: with a
// boring head where the tolerance is narrow, else round the wall with an end mill.

// planBores adds every bore, by cut order.
func (pl *planner) planBores(context.Context) error {
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		if c.Kind != layout.CutBore {
			continue
		}
		if err := pl.planBore(c, pl.net[i]); err != nil {
			return err
		}
	}
	return nil
}

// lostRound is a finding about a round cut that cannot be made.
func (pl *planner) lostRound(c *layout.Cut, code, what, why, fix string) {
	stage := "holes"
	if c.Kind == layout.CutBore {
		stage = "bores"
	}
	name := pl.cutName(c)
	pl.left(finding.Finding{
		Code: code, Level: finding.Error, Stage: stage, What: fmt.Sprintf("%s: %s", name, what), Why: why,
		Source: "the shop profile " + pl.p.Name, Fix: fix, Where: [2]float64{c.Center.X, c.Center.Y}, HasWhere: true,
		Feature: int64(c.Feature), FeatureName: c.FeatureName,
	})
}

// cutName is a cut as people know it.
func (pl *planner) cutName(c *layout.Cut) string {
	if c.Hole > 0 {
		return fmt.Sprintf("hole %d of %q", c.Hole, c.FeatureName) // no comma: names stand in lists
	}
	return c.FeatureName
}

// through is how deep a tool goes below the face of a stage to come out of the work by the break-through.
func (pl *planner) through(s *stage) float64 {
	d := pl.t + pl.p.Practice.BreakThrough.Value
	if s.finish {
		return d
	}
	// the other face may not be machined yet
	if s.face == plate.Bottom {
		return d + pl.l.BlankZ.Z1 - pl.t
	}
	return d - pl.l.BlankZ.Z0
}

func (pl *planner) planBore(c *layout.Cut, net float64) error {
	pr := pl.p.Practice
	rough, finish := pl.stageFor(pl.main, false), pl.stageFor(pl.main, true)
	keep := pr.WallAllowance.Value
	var head shop.Tool
	if pl.narrow(c) {
		keep = pr.BoreAllowance.Value
		if head = pl.boringHead(c.Diameter, pl.through(finish)); head.ID == "" {
			pl.lostRound(c, "no-boring-head", fmt.Sprintf("no boring head for %.3f mm that reaches %.1f mm", c.Diameter, pl.through(finish)),
				fmt.Sprintf("a tolerance zone of %g mm, below %g mm, is finished by boring", c.Tolerance, pr.LocatedTolerance.Value),
				"a wider tolerance, or a boring head in the shop's list")
			return nil
		}
	}
	depth := pl.through(rough)
	pilot := pl.drillAtMost(pr.PilotRatio.Value*c.Diameter, depth)
	cutter, j, cond, err := pl.boreCutter(c, pilot.Diameter, keep, depth)
	if err != nil {
		return err
	}
	if cutter.ID == "" {
		pl.lostRound(c, "bore-too-small", fmt.Sprintf("no end mill goes into a bore of %.3f mm and reaches %.1f mm", c.Diameter, depth),
			"a bore is milled on a helix before it is finished", "a larger bore, or make it a drilled hole")
		return nil
	}
	share := net / (c.Diameter * c.Diameter) // of the volume to a square of the diameter
	piloted := pilot.Diameter * pilot.Diameter * share
	if err := pl.pilotBore(rough, c, pilot, depth, piloted); err != nil {
		return err
	}
	d := c.Diameter - 2*keep
	roughed := d*d*share - piloted
	k := rough.task(stepRoughBore, cutter, "rough bores on helices")
	k.cond, k.passes = cond, max(k.passes, len(j.trips[0].trip.runs))
	k.rules = "pitch: " + pr.BoreStep.Source + "; angle: " + pr.RampAngleDeg.Source
	k.add(c.Feature, visit{j, c.Center, pl.indexOf(c), roughed})
	if head.ID != "" {
		return pl.boreOut(finish, c, head, pl.through(finish), net-piloted-roughed)
	}
	return pl.boreWall(finish, c, cutter, pl.through(finish), net-piloted-roughed)
}

// narrow tells a bore that is finished by boring: its fit is of a fine grade, or without one its tolerance zone is below the rule's.
func (pl *planner) narrow(c *layout.Cut) bool {
	if g := gradeOf(c.Fit); g > 0 {
		return g <= boredGrade
	}
	return c.Tolerance > 0 && c.Tolerance < pl.p.Practice.LocatedTolerance.Value
}

// boredGrade is the coarsest ISO 286 grade that is bored; coarser ones are milled. Common practice, no source: milling on helices holds
// IT9 to IT10, boring IT6 to IT7.
const boredGrade = 8

// gradeOf is the number in an ISO 286 class like H7; 0 where there is none.
func gradeOf(fit string) int {
	n := 0
	for _, r := range fit {
		if r >= '0' && r <= '9' && n < 100 {
			n = 10*n + int(r-'0')
		}
	}
	return n
}

// pilotBore drills the pilot of a bore, or says that there is none.
func (pl *planner) pilotBore(s *stage, c *layout.Cut, pilot shop.Tool, depth, removed float64) error {
	if pilot.ID != "" {
		pl.spot(s, stepPilotSpot, c, pilot.Diameter, 0, "spot holes")
		return pl.drill(s, stepPilot, c, pilot, depth, removed, "drill pilots")
	}
	pr := pl.p.Practice
	pl.find(finding.Finding{
		Code: "no-pilot-drill", Level: finding.Warning, Stage: "bores", Feature: int64(c.Feature), FeatureName: c.FeatureName,
		What: fmt.Sprintf("%s: no drill up to %.1f mm reaches %.1f mm; it is milled from the solid", c.FeatureName, pr.PilotRatio.Value*c.Diameter, depth),
		Why:  "a pilot hole lets the chips out and saves the cutter's end", Source: pr.PilotRatio.Source,
		Fix: "a longer drill in the shop's list", Where: [2]float64{c.Center.X, c.Center.Y}, HasWhere: true,
	})
	return nil
}

func (pl *planner) boringHead(d, depth float64) (best shop.Tool) {
	for _, t := range pl.p.Tools {
		if t.Kind == shop.BoringHead && t.DiameterMin <= d && d <= t.Diameter && t.Reach >= depth &&
			(best.ID == "" || t.StickOut < best.StickOut) {
			best = t
		}
	}
	return best
}

// drillAtMost is the largest drill up to a diameter that reaches a depth with its point.
func (pl *planner) drillAtMost(d, depth float64) (best shop.Tool) {
	for _, t := range pl.p.Tools {
		if t.Kind == shop.Drill && t.Diameter <= d && t.Diameter > best.Diameter && t.Reach >= depth+pointOf(t) {
			best = t
		}
	}
	return best
}

func pointOf(t shop.Tool) float64 { return PointLength(t.Diameter, radians(t.PointAngleDeg)) }

// boreCutter chooses the end mill that mills a bore up to its allowance quickest. The job is about the origin.
func (pl *planner) boreCutter(c *layout.Cut, pilot, keep, depth float64) (best shop.Tool, j *job, cond Conditions, err error) {
	mills := pl.endMills(depth)
	if t := pl.asked(stepRoughBore, c.Feature); t.ID != "" && c.Kind == layout.CutBore {
		if i := slices.IndexFunc(mills, func(m shop.Tool) bool { return m.ID == t.ID }); i >= 0 && t.Diameter <= 0.75*c.Diameter {
			mills = mills[i : i+1]
		} else {
			pl.refused(t, pl.cutName(c), "it is no sharp end mill that reaches so deep and goes round in the bore")
		}
	}
	for _, t := range mills {
		if t.Diameter > 0.75*c.Diameter { // more room makes the helix a path and not a point
			continue
		}
		k, kc, err := pl.boreJob(t, c.Diameter/2-keep, pilot/2, depth)
		var none *noDataError
		if errors.As(err, &none) {
			continue
		}
		if err != nil {
			return best, nil, cond, err
		}
		if best.ID == "" || k.sum.motion+k.rapid < j.sum.motion+j.rapid {
			best, j, cond = t, k, kc
		}
	}
	return best, j, cond, nil
}

// boreJob mills a round hole about the origin from radius r0 to radius r1, on one helix or several.
func (pl *planner) boreJob(t shop.Tool, r1, r0, depth float64) (*job, Conditions, error) {
	pr := pl.p.Practice
	r := t.Diameter / 2
	r0 = max(r0, 0)
	rings := max(1, int(math.Ceil((r1-r0)/r-1e-9)))
	if r0 == 0 { // the first helix leaves no core and takes twice its own centre path
		rings = max(1, int(math.Ceil((r1-min(r1, (1+pr.HelixRatio.Value)*r))/r-1e-9))+1)
	}
	var tr trip
	var worst Conditions
	for i := 1; i <= rings; i++ {
		width := (r1 - r0) / float64(rings)
		reach := r0 + width*float64(i)
		if r0 == 0 {
			first := min(r1, (1+pr.HelixRatio.Value)*r)
			width = first
			if i > 1 {
				width = (r1 - first) / float64(rings-1)
			}
			reach = first + width*float64(i-1)
		}
		path := reach - r
		if path < 0.05*r {
			continue
		}
		lead := min(pr.BoreStep.Value*t.Diameter, 2*math.Pi*path*math.Tan(radians(pr.RampAngleDeg.Value)))
		cond, err := Milling(pl.p, pl.group, t, shop.Rough, min(width, t.Diameter), lead)
		if err != nil {
			return nil, cond, err
		}
		if worst.Spindle == 0 || cond.Feed < worst.Feed {
			worst = cond
		}
		feed := cond.pace().times(path / reach) // of the centre; that of the edge at the wall stays
		p := geom.Pt(path, 0)
		circle := []geom.Edge{geom.Arc(p, p, geom.Pt(0, 0), 1)}
		tr.runs = append(tr.runs, run{entry{loop: circle, pace: feed, angle: math.Atan(lead / (2 * math.Pi * path))}, []pass{
			{MoveCut, circle, feed, 0}, {MoveLink, []geom.Edge{geom.Line(p, geom.Pt(0, 0))}, cond.pace(), 0},
		}})
	}
	j := &job{}
	pl.workers[0].using(t, plate.Top).addTrip(j, tr, 0, []float64{depth}, pl.h)
	return j, worst, nil
}

// boreOut finishes a bore with a boring head: in at feed, out with the spindle stopped.
func (pl *planner) boreOut(s *stage, c *layout.Cut, head shop.Tool, depth, removed float64) error {
	cond, err := Drilling(pl.p, pl.group, head, shop.Bored, c.Diameter, pl.p.Practice.BoreAllowance.Value)
	if err != nil {
		var none *noDataError
		if errors.As(err, &none) {
			pl.lostRound(c, "cutting-data-missing", none.Error(), "speed and feed depend on the tool", "add the row to the shop's cutting data")
			return nil
		}
		return err
	}
	j := pl.plungeJob(cond.pace(), []float64{depth}, false)
	j.other = 2 * pl.p.Machine.SpindleStart
	k := s.task(stepFinishBore, head, fmt.Sprintf("bore to %.3f mm", c.Diameter))
	k.located = true
	pl.addRound(k, c, j, cond, removed)
	k.rules = "allowance: " + pl.p.Practice.BoreAllowance.Source
	return nil
}

// boreWall finishes a bore by a pass round its wall.
func (pl *planner) boreWall(s *stage, c *layout.Cut, t shop.Tool, depth, removed float64) error {
	keep := pl.p.Practice.WallAllowance.Value
	n, cond, _, err := levels(pl.p, pl.group, t, shop.Finish, keep, depth, t.FluteLength, 0)
	if err != nil {
		return err
	}
	path := c.Diameter/2 - t.Diameter/2
	p, o := geom.Pt(path, 0), geom.Pt(max(0, path-keep-wallLead), 0)
	circle := []geom.Edge{geom.Arc(p, p, geom.Pt(0, 0), 1)}
	feed := cond.pace().times(path / (c.Diameter / 2))
	tr := trip{[]run{{entry{}, []pass{
		{MoveLink, []geom.Edge{geom.Line(o, p)}, cond.pace(), 0},
		{MoveCut, circle, feed, 0},
		{MoveLink, []geom.Edge{geom.Line(p, o)}, cond.pace(), 0},
	}}}}
	j := &job{}
	pl.workers[0].using(t, s.face).addTrip(j, tr, depth, evenDepths(0, depth, n), pl.h)
	k := s.task(stepFinishBore, t, "finish bores round the wall")
	pl.addRound(k, c, j, cond, removed)
	k.passes = n
	k.rules = "allowance: " + pl.p.Practice.WallAllowance.Source
	return nil
}

func (pl *planner) addRound(k *task, c *layout.Cut, j *job, cond Conditions, removed float64) {
	k.cond = cond
	k.feature(c.Feature)
	k.visits = append(k.visits, visit{j, c.Center, pl.indexOf(c), removed})
	k.passes = len(k.visits)
}

// indexOf is the index of a cut that is one of the layout's.
func (pl *planner) indexOf(c *layout.Cut) int {
	for i := range pl.l.Cuts {
		if &pl.l.Cuts[i] == c {
			return i
		}
	}
	return -1
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }
