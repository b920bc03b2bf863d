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

// The outline: in depth steps down to a web of the tabs' height with the wall allowance on, while the blank still holds the
// plate; at the end through the web, but for the tabs, and round the finished wall. Where the blank leaves no frame outside the
// cutter's path there is nothing for tabs to hold to: the plate is then screwed down through its holes.

// outlinePlan is what the outline is cut with.
type outlinePlan struct {
	tool   shop.Tool
	levels int
	slot   Conditions // down to the web
	web    Conditions // through it
	walls  int
	wall   Conditions
	time   float64
}

func (pl *planner) planOutline(ctx context.Context) error {
	removed, least := 0.0, math.Inf(1)
	any := false
	for i := range pl.l.Cuts {
		if c := &pl.l.Cuts[i]; c.Kind == layout.CutOutline {
			any = true
			removed += pl.net[i]
			least = min(least, c.LeastRadius)
		}
	}
	if !any {
		return ctx.Err()
	}
	o, err := pl.outlineTool(least)
	var miss *missingError
	if errors.As(err, &miss) {
		pl.left(finding.Finding{
			Code: miss.code, Level: finding.Error, Stage: "outline", What: "outline: " + miss.what, Why: miss.why,
			Source: "the shop profile " + pl.p.Name, Fix: miss.fix,
		})
		return nil
	}
	if err != nil {
		return err
	}
	return pl.outlineTasks(o, removed)
}

// outlineTool is the end mill that cuts the outline quickest among those that move round its inside corners.
func (pl *planner) outlineTool(least float64) (best outlinePlan, err error) {
	pr := pl.p.Practice
	depth := pl.t + pr.BreakThrough.Value
	tools := pl.endMills(depth)
	if len(tools) == 0 {
		return best, &missingError{
			"reach-short", fmt.Sprintf("no end mill reaches %.1f mm deep", depth), "the outline goes through the plate and breaks through below",
			"a thinner plate, or a longer cutter in the shop's list",
		}
	}
	for _, t := range tools {
		if t.Diameter/2*pr.CornerRatio.Value > least+1e-9 {
			continue
		}
		o := outlinePlan{tool: t}
		toWeb := pl.tabTop()
		if o.levels, o.slot, err = levels(pl.p, pl.group, t, shop.Rough, t.Diameter, toWeb, pr.SlotDepth.Value*t.Diameter); err == nil {
			o.web, err = Milling(pl.p, pl.group, t, shop.Rough, t.Diameter, depth-toWeb)
		}
		if err == nil {
			o.walls, o.wall, err = levels(pl.p, pl.group, t, shop.Finish, pr.WallAllowance.Value, depth, t.FluteLength)
		}
		var none *noDataError
		if errors.As(err, &none) {
			continue
		}
		if err != nil {
			return best, err
		}
		o.time = float64(o.levels)/o.slot.Feed + 1/o.web.Feed + float64(o.walls)/o.wall.Feed
		if best.tool.ID == "" || o.time < best.time {
			best = o
		}
	}
	if best.tool.ID == "" {
		return best, &missingError{
			"no-cutter-for-corner", fmt.Sprintf("its inside corners of %.2f mm ask for an end mill of at most %.2f mm that reaches %.1f mm", least, 2*least/pr.CornerRatio.Value, depth),
			fmt.Sprintf("the finishing cutter's radius is at most the inside corner radius ÷ %.2f, so that it moves round the corner", pr.CornerRatio.Value),
			"larger radii in the hollows of the outline, or a smaller and longer cutter in the shop's list",
		}
	}
	return best, nil
}

// tabTop is the depth of the top of the tabs: their height above the far face, at most half the plate.
func (pl *planner) tabTop() float64 { return max(pl.t-pl.p.Practice.TabHeight.Value, pl.t/2) }

// aroundOutline is the contours of the cutter's centre round the outline, clockwise seen from the face that is up: climb
// milling.
func (pl *planner) aroundOutline(w *worker, d float64) ([]geom.Contour, error) {
	s, err := w.geom.Offset(geom.Shape{pl.l.Outline}, d)
	if err != nil {
		return nil, fmt.Errorf("route: offset of the outline: %w", err)
	}
	var out []geom.Contour
	for _, r := range s {
		out = append(out, oriented(r.Outer, pl.main != plate.Bottom))
	}
	return out, nil
}

func (pl *planner) outlineTasks(o outlinePlan, removed float64) error {
	pr := pl.p.Practice
	rough, finish := pl.stageFor(pl.main, false), pl.stageFor(pl.main, true)
	w := pl.workers[0].using(o.tool, pl.main)
	framed, err := pl.framed(w, o.tool.Diameter+pr.WallAllowance.Value)
	if err != nil {
		return err
	}
	r := o.tool.Diameter / 2
	outer, err := pl.aroundOutline(w, r+pr.WallAllowance.Value)
	if err != nil {
		return err
	}
	wall, err := pl.aroundOutline(w, r)
	if err != nil {
		return err
	}
	if len(outer) == 0 || len(wall) == 0 {
		return errors.New("route: the outline has no contour to follow")
	}
	toWeb := pl.tabTop()
	depth := pl.t + pr.BreakThrough.Value
	share := toWeb / pl.t

	roughStage := rough
	if !framed {
		roughStage = finish
	}
	k := roughStage.task(stepRoughOutline, o.tool, "rough the outline to a web")
	k.cond, k.passes, k.removed = o.slot, o.levels, removed*share
	k.rules = "ap: " + pr.SlotDepth.Source
	j := &job{}
	for _, c := range outer {
		w.addTrip(j, slotTrip(c, o.slot.Feed), 0, evenDepths(0, toWeb, o.levels), pl.h)
	}
	k.visits = []visit{{job: j}}

	k = finish.task(stepFinishOutline, o.tool, "cut the outline through and finish its wall")
	k.cond, k.passes, k.removed = o.wall, o.walls+1, removed*(1-share)
	k.rules = "tabs: " + pr.TabWidth.Source + "; cutter: " + pr.CornerRatio.Source
	j = &job{}
	tabs := 0
	if framed {
		tabs = max(3, int(math.Ceil(wall[0].Length()/pr.TabSpacing.Value)))
	}
	for i, c := range outer {
		n := 0
		if i == 0 {
			n = tabs
		}
		pl.tabbed(w, j, c, pass{MoveCut, nil, o.web.Feed, 2 * r}, []float64{depth}, toWeb, n)
	}
	for i, c := range wall {
		n := 0
		if i == 0 {
			n = tabs
		}
		pl.tabbed(w, j, c, pass{MoveCut, nil, o.wall.Feed, pr.WallAllowance.Value}, evenDepths(0, depth, o.walls), depth, n)
	}
	k.visits = []visit{{job: j}}
	pl.holdOutline(finish, framed, tabs)
	return nil
}

// slotTrip is one contour cut at full width, entered on a ramp along it.
func slotTrip(c geom.Contour, feed float64) trip {
	i, p := longestLine(c)
	loop := startAt(c, i, p)
	return trip{[]run{{entry{loop: loop, feed: feed}, []pass{{MoveCut, loop, feed, 0}}}}}
}

// tabbed adds a contour at several depths, where the metal stands at a depth; a level that would cut the tabs lifts over each
// of n. Between tabs the tool stops, lifts or plunges, and goes on; where it plunges into metal it does so slowly.
func (pl *planner) tabbed(w *worker, j *job, c geom.Contour, p pass, depths []float64, metal float64, n int) {
	top := pl.tabTop()
	i, mid := longestLine(c)
	loop := startAt(c, i, mid)
	stretch := func(a, b float64, e entry) trip {
		q := p
		q.edges = between(loop, a, b)
		return trip{[]run{{e, []pass{q}}}}
	}
	l := chainLength(loop)
	for _, d := range depths {
		if n == 0 || d <= top {
			e := entry{}
			if metal < d {
				e = entry{loop: loop, feed: p.feed}
			}
			w.addTrip(j, stretch(0, l, e), metal, []float64{d}, pl.h)
			continue
		}
		down, low := entry{}, heights{retract: -top, gap: d - top}
		if metal < d {
			down, low = entry{feed: p.feed * plungeRatio, steep: true}, heights{retract: -top}
		}
		j.rapid += 2 * w.timer.d.rapidTime(0, 0, pl.h.retract+top)
		half := min(pl.p.Practice.TabWidth.Value/2+w.blocker.radius, l/float64(n)/4)
		at := 0.0
		for k := range n {
			s := l * (float64(k) + 0.5) / float64(n)
			w.addTrip(j, stretch(at, s-half, down), top, []float64{d}, low)
			w.addTrip(j, stretch(s-half, s+half, entry{}), top, []float64{top}, heights{retract: -top})
			at = s + half
		}
		w.addTrip(j, stretch(at, l, down), top, []float64{d}, low)
	}
}

// framed tells whether the blank leaves metal outside a path of the given width round the outline.
func (pl *planner) framed(w *worker, width float64) (bool, error) {
	out, err := w.geom.Offset(geom.Shape{pl.l.Outline}, width)
	if err != nil {
		return false, fmt.Errorf("route: offset of the outline: %w", err)
	}
	b := pl.l.Blank
	box := out.Box()
	// A frame holds only if it goes all round: at least as wide as a tab on every side.
	rim := pl.p.Practice.TabWidth.Value
	return box.Min.X-b.Min.X >= rim && box.Min.Y-b.Min.Y >= rim && b.Max.X-box.Max.X >= rim && b.Max.Y-box.Max.Y >= rim, nil
}

// holdOutline says how the plate is held while it is cut out, and what comes loose.
func (pl *planner) holdOutline(s *stage, framed bool, tabs int) {
	pr := pl.p.Practice
	pl.hung = framed
	if framed {
		s.note = append(s.note, fmt.Sprintf("the outline keeps %d tabs of %g × %g mm to the frame of the blank; with the tabs cut by hand the plate comes loose from the frame",
			tabs, pr.TabWidth.Value, pl.t-pl.tabTop()))
		pl.handMin += handTab * float64(tabs)
		pl.handDoc = append(pl.handDoc, fmt.Sprintf("cut and dress %d tabs", tabs))
		pl.find(finding.Finding{
			Code: "comes-loose", Level: finding.Note, Stage: "outline",
			What: fmt.Sprintf("the plate hangs in the frame of the blank by %d tabs until they are cut by hand", tabs),
			Why:  "nothing may come loose under a turning cutter", Source: pr.TabWidth.Source, Fix: "screws through holes instead of tabs, where the shop has a fixture plate",
		})
		return
	}
	screws := pl.screwHoles()
	f := finding.Finding{
		Code: "comes-loose", Level: finding.Note, Stage: "outline",
		What:   fmt.Sprintf("the blank leaves no frame of %g mm outside the cutter's path for tabs: the plate is screwed down through %d of its holes while its outline is cut", pr.TabWidth.Value, len(screws)),
		Why:    "nothing may come loose under a turning cutter",
		Source: pr.TabWidth.Source, Fix: "a wider blank leaves a frame that tabs can hold to",
	}
	if len(screws) < 2 {
		f.Level = finding.Warning
		f.What = fmt.Sprintf("the blank leaves no frame of %g mm outside the cutter's path for tabs, and the plate has %d through holes to screw it down by; two are needed", pr.TabWidth.Value, len(screws))
	}
	pl.find(f)
}

// screwHoles are the names of through holes and bores that screws go through while the outline is cut.
func (pl *planner) screwHoles() []string {
	var names []string
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		round := c.Kind == layout.CutBore || c.Kind == layout.CutDrilled
		if round && c.Side == plate.Through && c.Diameter >= 4 {
			n := c.FeatureName
			if c.Hole > 0 {
				n = fmt.Sprintf("%s %d", n, c.Hole)
			}
			names = append(names, n)
		}
	}
	return names
}

// handTab is the time to cut and dress one tab by hand, min; common practice, no source.
const handTab = 0.75
