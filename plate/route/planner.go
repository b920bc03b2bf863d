package route

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// step orders the tasks of one set-up: the default order of the trade. Roughing first, then floors and walls, then the located
// holes in one clamping, then threads, the outline and the edges.
type step int

const (
	stepFace step = iota
	stepRoughPocket
	stepRoughCorner
	stepPilotSpot
	stepPilot
	stepRoughBore
	stepRoughOutline
	stepFloor
	stepWall
	stepFinishBore
	stepSpot
	stepDrill
	stepMillHole
	stepReam
	stepRecess
	stepGroove
	stepSink
	stepTap
	stepFinishOutline
	stepChamfer
	stepEdge
	nSteps
)

// classes are the words of the route card for each step.
var classes = [nSteps]string{
	"face", "rough pocket", "rough corners", "spot", "drill pilot", "rough bore", "rough outline", "finish floor", "finish wall",
	"finish bore", "spot", "drill", "mill hole", "ream", "counterbore", "groove", "countersink", "tap", "finish outline", "chamfer",
	"break edges",
}

// Classes lists the kinds of operation in the order of the trade, as Operation.Class and the changes of a document name them.
func Classes() []string {
	var out []string
	for _, c := range classes {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// roughing tells the steps that take most of the metal and let the plate move.
func (s step) roughing() bool { return s <= stepRoughOutline }

// task is an operation in the making.
type task struct {
	step     step
	tool     shop.Tool
	name     string
	features []plate.ID
	located  bool // finishes a located bore
	cond     Conditions
	passes   int
	visits   []visit
	extra    tally // besides the visits
	rapid    float64
	other    float64 // s
	shift    int     // places that the user moved it later in its set-up
	rules    string  // where its rules come from, besides the cutting data
}

// key tells tools apart in the magazine: a boring head is set to one diameter.
func (t *task) key() string {
	if t.tool.Kind == shop.BoringHead {
		return t.tool.ID + " " + t.name
	}
	return t.tool.ID
}

func (t *task) feature(id plate.ID) {
	if id != 0 && !slices.Contains(t.features, id) {
		t.features = append(t.features, id)
	}
}

// stage is one clamping.
type stage struct {
	face   plate.Side
	rough  bool
	finish bool
	note   []string
	tasks  []*task
}

// planner makes one plan.
type planner struct {
	l     *layout.Layout
	p     shop.Profile
	hash  string // of the profile as it was given
	group string
	t     float64
	h     heights
	main  plate.Side
	other plate.Side

	workers []*worker
	net     []float64 // volume of each cut, overlaps counted once, mm³
	stages  []*stage
	plan    Plan

	cutOut  bool // there is an outline to cut, and a cutter for it
	outline outlinePlan
	offcut  float64 // volume outside the outline, mm³
	hung    bool    // the outline keeps tabs to a frame
	screws  []int   // otherwise: the cuts that screws hold the plate by

	keepOuts  [][]KeepOut // by set-up
	elsewhere []Operation // what the user has done by hand or outside
	memo      *memory
	before    *memory // of the plan that this one is re-timed from; nil for a full plan

	fixed       []int    // option of each class of cells, in order, instead of the best; for tests
	slots       []slot   // buffer of changesWith
	lastOptions [][]bool // by class, which options enter it; for tests

	handMM  float64 // edges to break by hand, mm
	handMin float64 // other work by hand
	handDoc []string
}

// left notes something that no operation does.
func (pl *planner) left(f finding.Finding) {
	pl.plan.Incomplete = true
	f.Fix += "; until then it is in no operation and no minutes stand for it"
	pl.plan.Findings = append(pl.plan.Findings, f)
}

// sayIncomplete puts one line above what is missing.
func (pl *planner) sayIncomplete() {
	n := finding.Count(pl.plan.Findings, finding.Error)
	if !pl.plan.Incomplete || n == 0 {
		return
	}
	name := "1 finding names"
	if n > 1 {
		name = fmt.Sprintf("%d findings name", n)
	}
	pl.find(finding.Finding{
		Code: "minutes-incomplete", Level: finding.Warning, Stage: "machining",
		What: fmt.Sprintf("the minutes are incomplete: %s what this shop cannot make, and nothing is counted for it", name),
		Why:  "work that no tool can do is not guessed", Source: "the shop profile " + pl.p.Name, Fix: "see the findings of level error of the machining plan",
	})
}

func (pl *planner) find(f finding.Finding) { pl.plan.Findings = append(pl.plan.Findings, f) }

// Make plans how the plate of a layout is made in a shop, and how long it takes. What no tool of the shop can do is a finding
// of level error and in no operation; Plan.Incomplete says so. The error is for a layout or profile that no plan can be made
// of, or a context that has ended.
func Make(ctx context.Context, l *layout.Layout, p shop.Profile) (Plan, error) {
	if l == nil || len(l.Outline.Outer) == 0 {
		return Plan{}, fmt.Errorf("route: the layout has no outline")
	}
	if ps := p.Validate(); len(ps) > 0 {
		return Plan{}, fmt.Errorf("route: %w", &shop.ProfileError{Problems: ps})
	}
	return newPlanner(l, p).make(ctx)
}

func (pl *planner) make(ctx context.Context) (Plan, error) {
	if !pl.fitsMachine() || !pl.hasData() {
		pl.sayIncomplete()
		return pl.plan, nil
	}
	pl.unknownCuts()
	pl.checkChanges()
	var err error
	if pl.net, err = pl.volumes(ctx); err != nil {
		return Plan{}, err
	}
	pl.chooseMain()
	if err := pl.prepareOutline(ctx); err != nil {
		return Plan{}, err
	}
	pl.makeStages()
	for _, part := range []func(context.Context) error{
		pl.planFaces, pl.planBores, pl.planHoles, pl.planForms, pl.planOutline, pl.planPockets, pl.planEdges,
	} {
		if err := part(ctx); err != nil {
			return Plan{}, err
		}
	}
	pl.finish()
	pl.memo.profile = pl.hash
	pl.plan.memo = pl.memo
	return pl.plan, ctx.Err()
}

func newPlanner(l *layout.Layout, p shop.Profile) *planner {
	m := l.Plate.Stock.Material
	pl := &planner{l: l, p: p.For(m.Alloy), hash: p.Hash(), group: m.Group, t: l.Thickness, memo: newMemory()}
	pl.takeMachine()
	pl.h = heights{retract: p.Practice.Retract.Value, safe: p.Practice.SafeHeight.Value, gap: p.Practice.EntryGap.Value}
	for range 2 {
		w := &worker{}
		w.timer.d = dynamicsOf(p.Machine)
		w.blocker = blocker{least: p.Practice.LeastCornerFeedRat.Value, angle: radians(p.Practice.RampAngleDeg.Value), linking: pl.linking().feed}
		pl.workers = append(pl.workers, w)
	}
	return pl
}

// using sets a worker to a cutter and a side.
func (w *worker) using(t shop.Tool, face plate.Side) *worker {
	w.blocker.radius, w.blocker.side = t.Diameter/2, 1
	if face == plate.Bottom {
		w.blocker.side = -1
	}
	return w
}

// each runs f for every i below n on the workers, looks at the context between, and returns the first error by index.
func (pl *planner) each(ctx context.Context, n int, f func(w *worker, i int) error) error {
	errs := make([]error, n)
	var next int
	var mu sync.Mutex
	take := func() int {
		mu.Lock()
		defer mu.Unlock()
		next++
		return next - 1
	}
	var wg sync.WaitGroup
	for _, w := range pl.workers {
		wg.Go(func() {
			for i := take(); i < n && ctx.Err() == nil; i = take() {
				errs[i] = f(w, i)
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// fits compares the blank with a machine's travels.
func (pl *planner) fits(m shop.Machine) (fits, across bool) {
	w, h := pl.l.Blank.Width(), pl.l.Blank.Height()
	if w <= m.Travel[0] && h <= m.Travel[1] {
		return true, false
	}
	return h <= m.Travel[0] && w <= m.Travel[1], true
}

// takeMachine sets the plan to the first machine of the shop that holds the blank; to the shop's first where none does.
func (pl *planner) takeMachine() {
	pl.plan.Machine = pl.p.Machine.Name
	if ok, _ := pl.fits(pl.p.Machine); ok {
		return
	}
	for _, m := range pl.p.Others {
		if ok, _ := pl.fits(m); ok {
			pl.find(finding.Finding{
				Code: "other-machine", Level: finding.Note, Stage: "machining",
				What: fmt.Sprintf("the blank does not fit %s; the plan is for %s", pl.p.Machine.Name, m.Name),
				Why:  "the tool must reach every edge of the blank", Source: "the shop profile " + pl.p.Name, Fix: "nothing, or a smaller blank",
			})
			pl.p.Machine, pl.plan.Machine = m, m.Name
			return
		}
	}
}

// fitsMachine reports a blank larger than the machine's travels; the plate may lie either way.
func (pl *planner) fitsMachine() bool {
	w, h := pl.l.Blank.Width(), pl.l.Blank.Height()
	tr := pl.p.Machine.Travel
	ok, across := pl.fits(pl.p.Machine)
	if ok && !across {
		return true
	}
	if ok {
		pl.find(finding.Finding{
			Code: "lies-across", Level: finding.Note, Stage: "machining",
			What: fmt.Sprintf("the blank of %.0f × %.0f mm fits the travels of %.0f × %.0f mm only turned by 90°", w, h, tr[0], tr[1]),
			Why:  "the tool must reach every edge of the blank", Source: "the shop profile " + pl.p.Name, Fix: "clamp it with its length along X",
		})
		return true
	}
	pl.left(finding.Finding{
		Code: "plate-over-travel", Level: finding.Error, Stage: "machining",
		What: fmt.Sprintf("the blank of %.0f × %.0f mm is larger than the machine's travels of %.0f × %.0f mm", w, h, tr[0], tr[1]),
		Why:  "the tool must reach every edge of the blank", Source: "the shop profile " + pl.p.Name,
		Fix: "a smaller blank, or a shop with a larger machine",
	})
	return false
}

func (pl *planner) hasData() bool {
	for _, c := range pl.p.Cutting {
		if c.Group == pl.group {
			return true
		}
	}
	pl.left(finding.Finding{
		Code: "cutting-data-missing", Level: finding.Error, Stage: "stock",
		What: fmt.Sprintf("the shop has no cutting data for material group %q", pl.group),
		Why:  "speeds, feeds and forces depend on the material", Source: "the shop profile " + pl.p.Name,
		Fix: "set the machining group of the material (aluminium is N by ISO 513), or give the shop data for it",
	})
	return false
}

// sideWork is what is machined from one side alone.
type sideWork struct{ pockets, blind, faced bool }

func (s sideWork) any() bool { return s.pockets || s.blind || s.faced }

func (pl *planner) workOn(side plate.Side) sideWork {
	var s sideWork
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		if c.Side != side {
			continue
		}
		switch {
		case pocketLike(c.Kind):
			s.pockets = true
		case c.Kind == layout.CutFace:
			s.faced = true
		case c.Kind != layout.CutPoint && c.Kind != layout.CutFillet && c.Kind != layout.CutChamfer:
			s.blind = true
		}
	}
	return s
}

// chooseMain makes the top the main face, unless only the bottom has work.
func (pl *planner) chooseMain() {
	pl.main, pl.other = plate.Top, plate.Bottom
	if !pl.workOn(plate.Top).any() && pl.workOn(plate.Bottom).any() {
		pl.main, pl.other = plate.Bottom, plate.Top
	}
}

// makeStages decides which clampings the plate needs.
//
// With pockets everything is roughed first, on both faces, and the plate is clamped again before anything is finished; so it is
// where it must be screwed down through holes that have to be made first. The main face is finished last, since it holds the
// outline. Without either one clamping for each face that has work does. Clampings in which nothing is done are dropped later.
func (pl *planner) makeStages() {
	twice := pl.cutOut && !pl.hung ||
		slices.ContainsFunc(pl.l.Cuts, func(c layout.Cut) bool { return pocketLike(c.Kind) })
	o := pl.workOn(pl.other)
	add := func(s stage) { pl.stages = append(pl.stages, &s) }
	switch {
	case !twice && o.any():
		add(stage{face: pl.other, rough: true, finish: true})
		add(stage{face: pl.main, rough: true, finish: true})
	case !twice:
		add(stage{face: pl.main, rough: true, finish: true})
	case !o.any():
		add(stage{face: pl.main, rough: true})
		add(stage{face: pl.main, finish: true})
	default:
		add(stage{face: pl.main, rough: true})
		add(stage{face: pl.other, rough: true})
		add(stage{face: pl.other, finish: true})
		add(stage{face: pl.main, finish: true})
	}
}

// stageFor is the clamping in which a face is roughed or finished.
func (pl *planner) stageFor(face plate.Side, finish bool) *stage {
	for _, s := range pl.stages {
		if s.face == face && (finish && s.finish || !finish && s.rough) {
			return s
		}
	}
	return pl.stages[len(pl.stages)-1]
}

// task returns the stage's task of that step, tool and name, made when it is not there yet.
func (s *stage) task(st step, tool shop.Tool, name string) *task {
	for _, t := range s.tasks {
		if t.step == st && t.tool.ID == tool.ID && t.name == name {
			return t
		}
	}
	t := &task{step: st, tool: tool, name: name}
	s.tasks = append(s.tasks, t)
	return t
}

// z turns a depth below a face into a height in plate coordinates.
func (pl *planner) z(face plate.Side) func(float64) float64 {
	if face == plate.Bottom {
		return func(d float64) float64 { return d }
	}
	return func(d float64) float64 { return pl.t - d }
}

// zero is the work zero.
func (pl *planner) zero() geom.Point {
	return geom.Pt(pl.l.Plate.Machining.ZeroX, pl.l.Plate.Machining.ZeroY)
}
