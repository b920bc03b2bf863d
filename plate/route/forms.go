package route

import (
	"context"
	"errors"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// Forms besides plain pockets, bores and holes: recesses for heads, seats and grooves of bores, reamed holes, milled threads, keyways,
// the ledges that inlays sit on, chamfers along the outline.

// planForms adds them.
func (pl *planner) planForms(ctx context.Context) error {
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		var err error
		switch c.Kind {
		case layout.CutCounterbore:
			err = pl.planCounterbore(c, pl.net[i])
		case layout.CutCountersink:
			err = pl.planCountersink(c, pl.net[i])
		case layout.CutSeat:
			err = pl.planSeat(c, pl.net[i])
		case layout.CutGroove:
			err = pl.planGroove(c, pl.net[i])
		case layout.CutKeyway:
			pl.planKeyway(c, pl.net[i])
		case layout.CutLedge:
			err = pl.planLedge(i, c)
		case layout.CutChamfer:
			err = pl.planChamfer(i, c)
		}
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

// innerOf is the diameter of the hole or bore that a wider round cut is about; 0 where there is none.
func (pl *planner) innerOf(c *layout.Cut) float64 {
	inner := 0.0
	for i := range pl.l.Cuts {
		o := &pl.l.Cuts[i]
		if o != c && o.Feature == c.Feature && o.Diameter > 0 && o.Diameter < c.Diameter && o.Center.Dist(c.Center) < sameSize &&
			(o.Kind == layout.CutDrilled || o.Kind == layout.CutBore || o.Kind == layout.CutTapped || o.Kind == layout.CutReamed) {
			inner = max(inner, o.Diameter)
		}
	}
	return inner
}

// noData reports a tool without cutting data as a finding about a round cut, and passes other errors on.
func (pl *planner) noData(c *layout.Cut, err error) error {
	var none *noDataError
	if errors.As(err, &none) {
		pl.lostRound(c, "cutting-data-missing", none.Error(), "speed and feed depend on the tool", "add the row to the shop's cutting data")
		return nil
	}
	return err
}

// planCounterbore mills the recess of a cap screw's head on a helix, after its hole.
func (pl *planner) planCounterbore(c *layout.Cut, net float64) error {
	s := pl.stageFor(c.Side, true)
	t, j, cond, err := pl.boreCutter(c, pl.innerOf(c), 0, c.Depth())
	if err != nil {
		return err
	}
	if t.ID == "" {
		pl.lostRound(c, "no-cutter-for-recess", fmt.Sprintf("no end mill goes round in a recess of %g mm and reaches %g mm", c.Diameter, c.Depth()),
			"a recess is milled on a helix", "a larger head, or a smaller cutter in the shop's list")
		return nil
	}
	k := s.task(stepRecess, t, "counterbore on helices")
	pl.addRound(k, c, j, cond, net)
	k.rules = "pitch: " + pl.p.Practice.BoreStep.Source
	return nil
}

// sinkAngleTol is by how much the angle of a chamfer mill may differ from that of a countersink, rad.
const sinkAngleTol = 0.02

// planCountersink plunges a chamfer mill of the cone's angle, or runs it round where the cone is wider than the tool.
func (pl *planner) planCountersink(c *layout.Cut, net float64) error {
	width := (c.Diameter - c.Inner) / 2
	half := math.Atan2(width, c.Depth())
	s := pl.stageFor(c.Side, true)
	does := func(t shop.Tool) bool {
		return t.Kind == shop.ChamferMill && math.Abs(radians(t.PointAngleDeg)/2-half) <= sinkAngleTol
	}
	for _, t := range pl.toolsFor(stepSink, c.Feature, pl.cutName(c), "it is no chamfer mill of the cone's angle", does) {
		if !does(t) {
			continue
		}
		cond, err := Milling(pl.p, pl.group, t, shop.Chamfer, width, c.Depth())
		var none *noDataError
		if errors.As(err, &none) {
			continue
		}
		if err != nil {
			return err
		}
		edge := 0.95 * t.Diameter / 2 // the tip and the rim of the cone do not cut
		tip := min(c.Diameter/2, edge) / math.Tan(half)
		if tip > t.Reach {
			continue
		}
		j := &job{}
		if c.Diameter/2 <= edge {
			j = pl.plungeJob(cond.pace().times(plungeRatio), []float64{tip}, false)
		} else {
			if width > edge-0.05*t.Diameter {
				continue
			}
			p := geom.Pt(c.Diameter/2-edge, 0)
			circle := geom.Contour{geom.Arc(p, p, geom.Pt(0, 0), 1)}
			pl.workers[0].using(t, c.Side).addTrip(j, edgeTrip([]geom.Contour{circle}, c.Side == plate.Bottom, cond.pace()), 0, []float64{tip}, pl.h)
		}
		pl.addRound(s.task(stepSink, t, "countersink"), c, j, cond, net)
		return nil
	}
	pl.lostRound(c, "no-countersink", fmt.Sprintf("no chamfer mill of %.0f° that cuts a cone of %g mm", 2*half*180/math.Pi, c.Diameter),
		"the head of the screw fits a cone of its angle", "the tool in the shop's list, or another screw")
	return nil
}

// planSeat cuts a wider step of a bore: roughed on helices from its face, bored or milled to size where the bore is finished.
func (pl *planner) planSeat(c *layout.Cut, net float64) error {
	pr := pl.p.Practice
	rough, finish := pl.stageFor(c.Side, false), pl.stageFor(c.Side, true)
	keep, head := pr.WallAllowance.Value, shop.Tool{}
	if pl.narrow(c) {
		keep = pr.BoreAllowance.Value
		if head = pl.boringHead(c.Diameter, c.Depth()); head.ID == "" {
			pl.lostRound(c, "no-boring-head", fmt.Sprintf("no boring head for a seat of %.3f mm that reaches %.1f mm", c.Diameter, c.Depth()),
				"a narrow tolerance is finished by boring", "a wider tolerance, or a boring head in the shop's list")
			return nil
		}
	}
	inner := pl.innerOf(c)
	t, j, cond, err := pl.boreCutter(c, inner, keep, c.Depth())
	if err != nil {
		return err
	}
	if t.ID == "" {
		pl.lostRound(c, "bore-too-small", fmt.Sprintf("no end mill goes round in a seat of %.3f mm and reaches %.1f mm", c.Diameter, c.Depth()),
			"a seat is milled before it is finished", "a larger seat, or a longer cutter in the shop's list")
		return nil
	}
	d := c.Diameter - 2*keep
	roughed := net * (d*d - inner*inner) / (c.Diameter*c.Diameter - inner*inner)
	k := rough.task(stepRoughBore, t, "rough seats on helices")
	pl.addRound(k, c, j, cond, roughed)
	k.rules = "pitch: " + pr.BoreStep.Source
	if head.ID != "" {
		return pl.boreOut(finish, c, head, c.Depth(), net-roughed)
	}
	return pl.boreWall(finish, c, t, c.Depth(), net-roughed)
}

// planGroove turns a groove mill round in a seat: down in its middle, out to the groove, once round at each level, back.
func (pl *planner) planGroove(c *layout.Cut, net float64) error {
	deep := (c.Diameter - c.Inner) / 2
	low := pl.t - c.Z0 // depth of the groove's lower wall below the face
	if c.Side == plate.Bottom {
		low = c.Z1
	}
	var best shop.Tool
	for _, t := range pl.p.Tools {
		if t.Kind == shop.GrooveMill && t.FluteLength <= c.Depth()+1e-9 && t.Diameter < c.Inner-2*grooveClear && t.Reach >= low &&
			(t.Diameter-t.Shank())/2 >= deep && t.Diameter > best.Diameter {
			best = t
		}
	}
	if best.ID == "" {
		pl.lostRound(c, "no-groove-mill", fmt.Sprintf("no groove mill up to %.2f mm wide goes through %.1f mm, reaches %.1f mm and cuts %.2f mm deep", c.Depth(), c.Inner, low, deep),
			"the groove of a retaining ring is milled from inside", "the tool in the shop's list, or have it turned elsewhere")
		return nil
	}
	cond, err := Milling(pl.p, pl.group, best, shop.Grooved, deep, best.FluteLength)
	if err != nil {
		return pl.noData(c, err)
	}
	n := max(1, int(math.Ceil(c.Depth()/best.FluteLength-1e-9)))
	path := c.Diameter/2 - best.Diameter/2
	p, o := geom.Pt(path, 0), geom.Pt(0, 0)
	circle := []geom.Edge{geom.Arc(p, p, o, 1)}
	feed := cond.pace().times(path / (c.Diameter / 2))
	tr := trip{[]run{{entry{}, []pass{
		{MoveLink, []geom.Edge{geom.Line(o, p)}, feed.times(0.5), 0}, {MoveCut, circle, feed, 0}, {MoveLink, []geom.Edge{geom.Line(p, o)}, cond.pace(), 0},
	}}}}
	depths := []float64{low}
	if n > 1 { // the upper flank of the first turn is the groove's upper wall
		first := low - c.Depth() + best.FluteLength
		depths = append([]float64{first}, evenDepths(first, low, n-1)...)
	}
	j := &job{}
	pl.workers[0].using(best, c.Side).addTrip(j, tr, low, depths, pl.h)
	k := pl.stageFor(c.Side, true).task(stepGroove, best, "mill grooves")
	pl.addRound(k, c, j, cond, net)
	return nil
}

// grooveClear is the room a groove mill needs on each side to go down, mm; common practice, no source.
const grooveClear = 0.5

// planKeyway gives a keyway to whoever broaches.
func (pl *planner) planKeyway(c *layout.Cut, net float64) {
	s, ok := pl.p.Service(shop.Broaching)
	if !ok {
		pl.lostRound(c, "no-broach", "nobody of this shop broaches keyways", "a milling cutter leaves no sharp corners", "a service that broaches in the shop profile")
		return
	}
	where := ByHand
	if s.Outside {
		where = Outside
	}
	pl.elsewhere = append(pl.elsewhere, Operation{
		SetUp: len(pl.stages), Class: "broach", Name: s.Name + " of " + c.FeatureName, Where: where, Features: []plate.ID{c.Feature}, TotalMin: s.EachMin,
		Removed: net, Source: s.Source,
	})
}

// planReamed drills under size and reams.
func (pl *planner) planReamed(s *stage, c *layout.Cut, depth, net float64) error {
	var reamer, drill shop.Tool
	for _, t := range pl.p.Tools {
		if t.Kind == shop.Reamer && math.Abs(t.Diameter-c.Diameter) < sameSize && t.Reach >= depth {
			reamer = t
		}
		if under := c.Diameter - t.Diameter; t.Kind == shop.Drill && under >= leastReamed-1e-9 && under <= mostReamed+1e-9 && t.Reach >= depth+pointOf(t) && t.Diameter > drill.Diameter {
			drill = t
		}
	}
	if reamer.ID == "" || drill.ID == "" {
		what, fix := fmt.Sprintf("no reamer of %g mm that reaches %.1f mm", c.Diameter, depth), "another size, or the reamer in the shop's list"
		if reamer.ID != "" {
			what = fmt.Sprintf("no drill from %.1f to %.1f mm for the reamer of %g mm", c.Diameter-mostReamed, c.Diameter-leastReamed, c.Diameter)
			fix = "the drill in the shop's list"
		}
		pl.lostRound(c, "no-reamer", what, "a dowel hole is drilled a little under size and reamed", fix)
		return nil
	}
	cond, err := Drilling(pl.p, pl.group, reamer, shop.Reamed, c.Diameter, (c.Diameter-drill.Diameter)/2)
	if err != nil {
		return pl.noData(c, err)
	}
	share := drill.Diameter * drill.Diameter / (c.Diameter * c.Diameter)
	spotted := pl.spot(s, stepSpot, c, drill.Diameter, net*share, "spot holes")
	if err := pl.drill(s, stepDrill, c, drill, depth, net*share-spotted, fmt.Sprintf("drill %g mm", drill.Diameter)); err != nil {
		return err
	}
	j := pl.plungeJob(cond.pace(), []float64{depth}, false)
	k := s.task(stepReam, reamer, fmt.Sprintf("ream %g mm", c.Diameter))
	k.located = true
	pl.addRound(k, c, j, cond, net*(1-share))
	k.rules = "stock left by the drill: " + reamedSource
	return nil
}

// The stock on the diameter that a reamer takes, mm; for 7 to 22 mm the source has 0.25 to 0.4, below it less.
const (
	leastReamed  = 0.1
	mostReamed   = 0.45
	reamedSource = "drill/reamer maker's public speeds pages, reaming stock on diameter (seen)"
)

// threadMillFor is a thread mill of the pitch that goes into the hole and reaches the thread.
func (pl *planner) threadMillFor(c *layout.Cut) shop.Tool {
	for _, t := range pl.p.Tools {
		if t.Kind == shop.ThreadMill && math.Abs(t.Pitch-c.Pitch) < sameSize && t.Diameter <= threadMillRatio*c.Diameter && t.Reach >= c.ThreadDepth {
			return t
		}
	}
	return shop.Tool{}
}

// threadMillRatio is the largest thread mill over the tap drill's diameter; common practice, no source.
const threadMillRatio = 0.9

// millThread runs a thread mill once round on a helix of the pitch, for each stretch of thread as long as its teeth. The thread's
// outer diameter is the tap drill's and about a pitch.
func (pl *planner) millThread(s *stage, c *layout.Cut, t shop.Tool) error {
	outer := c.Diameter + c.Pitch
	cond, err := Milling(pl.p, pl.group, t, shop.Tapped, c.Pitch/2, min(t.FluteLength, c.ThreadDepth))
	if err != nil {
		return pl.noData(c, err)
	}
	path := (outer - t.Diameter) / 2
	p, o := geom.Pt(path, 0), geom.Pt(0, 0)
	circle := []geom.Edge{geom.Arc(p, p, o, 1)}
	feed := cond.pace().times(path / (outer / 2))
	n := max(1, int(math.Ceil(c.ThreadDepth/t.FluteLength-1e-9)))
	tr := trip{[]run{{entry{}, []pass{
		{MoveLink, []geom.Edge{geom.Line(o, p)}, feed.times(0.5), 0}, {MoveCut, circle, feed, 0}, {MoveLink, []geom.Edge{geom.Line(p, o)}, cond.pace(), 0},
	}}}}
	j := &job{}
	pl.workers[0].using(t, s.face).addTrip(j, tr, c.ThreadDepth, evenDepths(0, c.ThreadDepth, n), pl.h)
	k := s.task(stepTap, t, fmt.Sprintf("mill thread %s", c.Thread))
	pl.addRound(k, c, j, cond, 0)
	return nil
}

// planLedge cuts the step on which an inlay sits, outside the pocket below it: roughed and finished by the cutter that goes round its
// corners, on the rings from which that touches what the pocket leaves.
func (pl *planner) planLedge(i int, c *layout.Cut) error {
	pr := pl.p.Practice
	g := &pocketGroup{pocketKey: pocketKey{feature: c.Feature, kind: c.Kind, side: c.Side, depth: c.Depth(), radius: c.LeastRadius}, name: c.FeatureName, first: c.Region.Outer[0].A}
	lost := func(err error) error {
		var miss *missingError
		var none *noDataError
		switch {
		case errors.As(err, &miss):
			pl.miss(miss, g)
		case errors.As(err, &none):
			pl.miss(&missingError{"cutting-data-missing", none.Error(), "the shop's cutting data name group, tool and diameter", "add the row to the shop's cutting data"}, g)
		default:
			return err
		}
		return nil
	}
	t, err := pl.finishCutter(c.LeastRadius, c.Depth(), 0)
	if err != nil {
		return lost(err)
	}
	n, wall, _, err := levels(pl.p, pl.group, t, shop.Finish, pr.WallAllowance.Value, c.Depth(), t.FluteLength, 0)
	if err != nil {
		return lost(err)
	}
	floor, err := Milling(pl.p, pl.group, t, shop.Finish, pl.step(t), c.Depth()/float64(n))
	if err != nil {
		return lost(err)
	}
	region := geom.Shape{c.Region}
	var below []geom.Shape
	for k := range pl.l.Cuts {
		if o := &pl.l.Cuts[k]; o.Kind == layout.CutPocket && o.Feature == c.Feature && o.Cell == c.Cell {
			below = append(below, geom.Shape{o.Region})
		}
	}
	w := pl.workers[0].using(t, c.Side)
	left := region
	if len(below) > 0 {
		if left, err = w.geom.Difference(region, below...); err != nil {
			return fmt.Errorf("route: ledge of %q: %w", c.FeatureName, err)
		}
	}
	cl := clearing{radius: t.Diameter / 2, step: pl.step(t), reverse: c.Side != plate.Top, feed: floor.pace()}
	tr, err := w.rest(region, pieces(left), cl, 1, pl.linking())
	if err != nil {
		return err
	}
	j := &job{}
	w.addTrip(j, tr, 0, evenDepths(0, c.Depth(), n), pl.h)
	cl.feed, cl.step = wall.pace(), pr.WallAllowance.Value
	if tr, err = w.wallPass(region, cl, wallLead); err != nil {
		return err
	}
	w.addTrip(j, tr, 0, evenDepths(0, c.Depth(), n), pl.h)
	if j.isEmpty() {
		pl.miss(&missingError{"ledge-narrow", fmt.Sprintf("%s does not go round on the ledge", t.ID), "the ledge is cut by the cutter of its corners", "a wider pocket"}, g)
		return nil
	}
	k := pl.stageFor(c.Side, true).task(stepWall, t, fmt.Sprintf("finish ledges of %q", c.FeatureName))
	k.cond, k.passes = floor, n
	k.feature(c.Feature)
	k.visits = append(k.visits, visit{j, geom.Pt(0, 0), i, pl.net[i]})
	k.rules = "cutter: " + pr.CornerRatio.Source
	return nil
}

// chamferStep is the widest chamfer taken in one pass, mm; common practice, no source.
const chamferStep = 1.5

// planChamfer runs a chamfer mill along the edge that a chamfer is on.
func (pl *planner) planChamfer(i int, c *layout.Cut) error {
	if c.Sweep == nil {
		return nil
	}
	leg := c.Sweep.Leg
	var best shop.Tool
	var cond Conditions
	n := max(1, int(math.Ceil(leg/chamferStep-1e-9)))
	does := func(t shop.Tool) bool {
		return t.Kind == shop.ChamferMill && t.Diameter/2 >= edgeLead+leg && math.Abs(t.PointAngleDeg-90) <= 1
	}
	for _, t := range pl.toolsFor(stepChamfer, c.Feature, pl.cutName(c), "it is no chamfer mill of 90° that is wide enough", does) {
		if !does(t) {
			continue
		}
		got, err := Milling(pl.p, pl.group, t, shop.Chamfer, leg/float64(n), leg)
		if err == nil && (best.ID == "" || t.Diameter < best.Diameter) {
			best, cond = t, got
		}
	}
	if best.ID == "" {
		pl.left(finding.Finding{
			Code: "no-chamfer-mill", Level: finding.Error, Stage: "outline", Feature: int64(c.Feature), FeatureName: c.FeatureName,
			What: fmt.Sprintf("no chamfer mill of 90° with cutting data is wide enough for a chamfer of %g mm", leg), Why: "a chamfer is cut by a tool of its angle",
			Source: "the shop profile " + pl.p.Name, Fix: "a smaller chamfer, or the tool in the shop's list",
		})
		return nil
	}
	w := pl.workers[0].using(best, c.Side)
	cs, err := pl.aroundOutline(w, edgeLead)
	if err != nil {
		return err
	}
	e := edgeTool{true, best, cond, edgeLead}
	j := &job{}
	depths := make([]float64, n)
	for k := range depths {
		depths[k] = e.tipDepth(leg*float64(k+1)/float64(n), edgeLead)
	}
	w.addTrip(j, edgeTrip(cs, (c.Side == plate.Bottom) != (pl.main == plate.Bottom), cond.pace()), 0, depths, pl.h)
	k := pl.stageFor(c.Side, true).task(stepChamfer, best, fmt.Sprintf("chamfer the outline, %s", c.Side))
	k.cond, k.passes = cond, n
	k.visits = append(k.visits, visit{j, geom.Pt(0, 0), i, pl.net[i]})
	return nil
}

// chamferedFaces tells the faces whose outline has a chamfer, so that its edge is not broken besides.
func (pl *planner) chamferedFaces() map[plate.Side]bool {
	m := map[plate.Side]bool{}
	for i := range pl.l.Cuts {
		if c := &pl.l.Cuts[i]; c.Kind == layout.CutChamfer {
			m[c.Side] = true
		}
	}
	return m
}
