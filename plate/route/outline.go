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

// prepareOutline chooses the cutter and finds out how the plate is held while it is cut out, which decides the clampings.
func (pl *planner) prepareOutline(ctx context.Context) error {
	least := math.Inf(1)
	for i := range pl.l.Cuts {
		if c := &pl.l.Cuts[i]; c.Kind == layout.CutOutline {
			pl.cutOut = true
			pl.offcut += pl.net[i]
			least = min(least, c.LeastRadius)
		}
	}
	if !pl.cutOut {
		return ctx.Err()
	}
	asked := pl.askedOutline()
	key := pl.shapeOf(least) + asked.ID
	known, ok := pl.recallOutline(key)
	if !ok {
		var err error
		known.plan, err = pl.outlineTool(least)
		if err != nil && !errors.As(err, &known.miss) {
			return err
		}
	}
	pl.memo.outlines[key] = known
	pl.outline = known.plan
	if miss := known.miss; miss != nil {
		pl.cutOut = false
		pl.left(finding.Finding{
			Code: miss.code, Level: finding.Error, Stage: "outline", What: "outline: " + miss.what, Why: miss.why,
			Source: "the shop profile " + pl.p.Name, Fix: miss.fix,
		})
		return nil
	}
	if asked.ID != "" && asked.ID != pl.outline.tool.ID {
		pl.refused(asked, "the outline", "it is no sharp end mill that reaches through the plate and goes round the inside corners")
	}
	var err error
	pl.hung, err = pl.framed(pl.workers[0], pl.outline.tool.Diameter+pl.p.Practice.WallAllowance.Value)
	if err == nil && !pl.hung {
		pl.screws = pl.screwHoles()
	}
	return err
}

func (pl *planner) recallOutline(key string) (outlineMemory, bool) {
	if pl.before == nil {
		return outlineMemory{}, false
	}
	m, ok := pl.before.outlines[key]
	return m, ok
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
	asked := pl.askedOutline()
	if i := slices.IndexFunc(tools, func(t shop.Tool) bool { return t.ID == asked.ID }); i >= 0 {
		if best, err = pl.outlineToolOf(tools[i:i+1], least, depth); err != nil || best.tool.ID != "" {
			return best, err
		}
	}
	if best, err = pl.outlineToolOf(tools, least, depth); err != nil {
		return best, err
	}
	if best.tool.ID == "" {
		return best, &missingError{
			"no-cutter-for-corner", fmt.Sprintf("its hollows, with inside corners of %s, let in no end mill of the shop that reaches %.1f mm", cornerText(least), depth),
			fmt.Sprintf("the finishing cutter's radius is at most the inside corner radius ÷ %.2f, so that it moves round the corner", pr.CornerRatio.Value),
			"larger radii in the hollows of the outline, or a smaller and longer cutter in the shop's list",
		}
	}
	return best, nil
}

// askedOutline is the tool that a change asks for on the outline, roughing or finishing: one tool does both.
func (pl *planner) askedOutline() shop.Tool {
	if t := pl.asked(stepRoughOutline, 0); t.ID != "" {
		return t
	}
	return pl.asked(stepFinishOutline, 0)
}

// outlineToolOf is the quickest of some tools that goes round the outline; the zero plan where none does.
func (pl *planner) outlineToolOf(tools []shop.Tool, least, depth float64) (best outlinePlan, err error) {
	pr := pl.p.Practice
	for _, t := range tools {
		if t.Diameter/2*pr.CornerRatio.Value > least+1e-9 {
			continue
		}
		if in, err := pl.goesIn(t.Diameter / 2); err != nil {
			return best, err
		} else if !in {
			continue
		}
		o := outlinePlan{tool: t}
		toWeb := pl.tabTop()
		if o.levels, o.slot, _, err = levels(pl.p, pl.group, t, shop.Rough, t.Diameter, toWeb, pr.SlotDepth.Value*t.Diameter, 0); err == nil {
			o.web, err = Milling(pl.p, pl.group, t, shop.Rough, t.Diameter, depth-toWeb)
		}
		if err == nil {
			o.walls, o.wall, _, err = levels(pl.p, pl.group, t, shop.Finish, pr.WallAllowance.Value, depth, t.FluteLength, 0)
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
	return best, nil
}

func cornerText(least float64) string {
	if math.IsInf(least, 1) {
		return "no radius of their own"
	}
	return fmt.Sprintf("%.2f mm (a cutter of at most %.2f mm)", least, 2*least)
}

// goesIn tells whether a cutter of radius r reaches every hollow of the outline from outside: a hollow may be wide inside and
// have a narrow mouth.
func (pl *planner) goesIn(r float64) (bool, error) {
	w, o := pl.workers[0], geom.Shape{pl.l.Outline}
	out, err := w.geom.Offset(o, r)
	if err != nil {
		return false, fmt.Errorf("route: offset of the outline: %w", err)
	}
	back, err := w.geom.Offset(out, -r)
	if err != nil {
		return false, fmt.Errorf("route: offset of the outline: %w", err)
	}
	const rounding = 0.01 // mm²; a hollow that matters is larger
	return back.Area()-o.Area() < rounding, nil
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

// planOutline adds the outline to the clampings.
func (pl *planner) planOutline(ctx context.Context) error {
	if !pl.cutOut {
		return ctx.Err()
	}
	o, pr := pl.outline, pl.p.Practice
	rough, finish := pl.stageFor(pl.main, false), pl.stageFor(pl.main, true)
	if !pl.hung { // cut while the plate is screwed down
		rough = finish
	}
	r := o.tool.Diameter / 2
	w := pl.workers[0].using(o.tool, pl.main)
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
	share := pl.tabTop() / pl.t
	k := rough.task(stepRoughOutline, o.tool, "rough the outline to a web")
	k.cond, k.passes = o.slot, o.levels
	k.rules = "ap: " + pr.SlotDepth.Source
	j := &job{}
	for _, c := range outer {
		w.addTrip(j, slotTrip(c, o.slot.pace()), 0, evenDepths(0, pl.tabTop(), o.levels), pl.h)
	}
	k.visits = []visit{{job: j, cut: -1, removed: pl.offcut * share}}

	k = finish.task(stepFinishOutline, o.tool, "cut the outline through and finish its wall")
	k.cond, k.passes = o.wall, o.walls+1
	k.rules = "tabs: " + pr.TabWidth.Source + "; cutter: " + pr.CornerRatio.Source
	tabs := 0
	if pl.hung {
		tabs = max(3, int(math.Ceil(wall[0].Length()/pr.TabSpacing.Value)))
	}
	k.visits = []visit{{job: pl.throughJob(w, outer, wall, tabs), cut: -1, removed: pl.offcut * (1 - share)}}
	pl.holdOutline(finish, tabs)
	return nil
}

// throughJob cuts the web and then the wall of the outline, over tabs on the first contour of each.
func (pl *planner) throughJob(w *worker, outer, wall []geom.Contour, tabs int) *job {
	o := pl.outline
	depth := pl.t + pl.p.Practice.BreakThrough.Value
	j := &job{}
	on := func(i int) int {
		if i > 0 {
			return 0
		}
		return tabs
	}
	for i, c := range outer {
		pl.tabbed(w, j, c, pass{MoveCut, nil, o.web.pace(), o.tool.Diameter}, []float64{depth}, pl.tabTop(), on(i))
	}
	for i, c := range wall {
		pl.tabbed(w, j, c, pass{MoveCut, nil, o.wall.pace(), pl.p.Practice.WallAllowance.Value}, evenDepths(0, depth, o.walls), depth, on(i))
	}
	return j
}

// slotTrip is one contour cut at full width, entered on a ramp along it.
func slotTrip(c geom.Contour, feed pace) trip {
	i, p := longestLine(c)
	loop := startAt(c, i, p)
	return trip{[]run{{entry{loop: loop, pace: feed}, []pass{{MoveCut, loop, feed, 0}}}}}
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
				e = entry{loop: loop, pace: p.pace}
			}
			w.addTrip(j, stretch(0, l, e), metal, []float64{d}, pl.h)
			continue
		}
		down, low := entry{}, heights{retract: -top, gap: d - top}
		if metal < d {
			down, low = entry{pace: p.pace.times(plungeRatio), steep: true}, heights{retract: -top}
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
func (pl *planner) holdOutline(s *stage, tabs int) {
	pr := pl.p.Practice
	f := finding.Finding{
		Code: "comes-loose", Level: finding.Note, Stage: "outline",
		Why: "nothing may come loose under a turning cutter", Source: pr.TabWidth.Source,
	}
	switch {
	case pl.hung:
		s.note = append(s.note, fmt.Sprintf("the outline keeps %d tabs of %g × %g mm to the frame of the blank; with the tabs cut by hand the plate comes loose from the frame",
			tabs, pr.TabWidth.Value, pl.t-pl.tabTop()))
		pl.handMin += handTab * float64(tabs)
		pl.handDoc = append(pl.handDoc, fmt.Sprintf("cut and dress %d tabs", tabs))
		f.What = fmt.Sprintf("the plate hangs in the frame of the blank by %d tabs until they are cut by hand", tabs)
		f.Fix = "nothing, or a narrower blank: the plate is then screwed down through its holes and needs no tabs"
	case len(pl.screws) >= leastScrews:
		s.note = append(s.note, "the strips of the blank outside the outline come loose as it is cut through")
		f.What = fmt.Sprintf("the blank leaves no frame for tabs outside the cutter's path: the plate is screwed down through %s while its outline is cut, and the strips outside it come loose",
			namesOf(pl.screwNames()))
		f.Fix = fmt.Sprintf("nothing, or a blank with at least %.0f mm outside the outline: its frame then holds the plate by tabs", pl.outline.tool.Diameter+pr.WallAllowance.Value+pr.TabWidth.Value)
	default:
		f.Level = finding.Warning
		f.What = fmt.Sprintf("the blank leaves no frame for tabs outside the cutter's path, and the plate has %d through holes to screw it down by; %d are needed", len(pl.screws), leastScrews)
		f.Fix = fmt.Sprintf("a blank with at least %.0f mm outside the outline, or two clearance holes of M4 or larger", pl.outline.tool.Diameter+pr.WallAllowance.Value+pr.TabWidth.Value)
	}
	pl.find(f)
	pl.holdsFarOut()
}

// holdsFarOut reports screws so close together that the plate reaches farther beyond them than they stand apart: the cutter
// then has the longer lever.
func (pl *planner) holdsFarOut() {
	if pl.hung || len(pl.screws) < leastScrews {
		return
	}
	apart := 0.0
	for k, i := range pl.screws {
		for _, j := range pl.screws[:k] {
			apart = max(apart, pl.l.Cuts[i].Center.Dist(pl.l.Cuts[j].Center))
		}
	}
	var far geom.Point
	reach := 0.0
	for _, q := range pl.l.Outline.Outer.Flatten(outlineChord) {
		near := math.Inf(1)
		for _, i := range pl.screws {
			near = min(near, q.Dist(pl.l.Cuts[i].Center))
		}
		if near > reach {
			far, reach = q, near
		}
	}
	if reach <= apart {
		return
	}
	pl.find(finding.Finding{
		Code: "screws-close", Level: finding.Note, Stage: "outline", Where: [2]float64{far.X, far.Y}, HasWhere: true,
		What: fmt.Sprintf("the screws that hold the plate while its outline is cut stand within %.0f mm of one another, and the outline reaches %.0f mm from the nearest of them", apart, reach),
		Why:  "far from its screws a plate turns or lifts under the cutter", Source: "common practice, no source",
		Fix: "clamp the plate down through its bores as well, add clearance holes farther out, or leave a frame of the blank for tabs",
	})
}

// outlineChord is how far the chords that the reach is measured on leave the arcs of the outline, mm.
const outlineChord = 0.1

// leastScrews hold a plate against turning; mostScrews are enough for any plate of this class. Common practice, no source.
const (
	leastScrews   = 2
	mostScrews    = 4
	leastScrewDia = 4.0 // mm, of the hole
)

// screwHoles are the cuts that screws go through while the outline is cut: clearance holes, since nothing that holds the plate
// may be cut while it does, as far apart as possible.
func (pl *planner) screwHoles() []int {
	var fit, chosen []int
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		if c.Kind == layout.CutDrilled && c.Side == plate.Through && c.Diameter >= leastScrewDia && pl.drillable(c) {
			fit = append(fit, i)
		}
	}
	for len(chosen) < mostScrews && len(chosen) < len(fit) {
		best, far := -1, -1.0
		for _, i := range fit {
			d := math.Inf(1)
			for _, j := range chosen {
				d = min(d, pl.l.Cuts[i].Center.Dist(pl.l.Cuts[j].Center))
			}
			if len(chosen) == 0 { // the first is the farthest from the middle of the blank
				d = pl.l.Cuts[i].Center.Dist(pl.l.Blank.Center())
			}
			if d > far+1e-6 {
				best, far = i, d
			}
		}
		chosen = append(chosen, best)
	}
	slices.Sort(chosen)
	return chosen
}

func (pl *planner) screwNames() []string {
	var names []string
	for _, i := range pl.screws {
		names = append(names, pl.cutName(&pl.l.Cuts[i]))
	}
	return names
}

// handTab is the time to cut and dress one tab by hand, min; common practice, no source.
const handTab = 0.75
