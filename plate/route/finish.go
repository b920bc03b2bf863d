package route

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

// From stages and tasks to the plan: order, tool numbers, minutes, words.

// finish turns the stages into set-ups and operations.
func (pl *planner) finish() {
	pl.applyChanges()
	pl.stages = slices.DeleteFunc(pl.stages, func(s *stage) bool { return len(s.tasks) == 0 })
	pl.hold()
	numbers := map[string]int{}
	var order []operated
	for i, s := range pl.stages {
		sortTasks(s.tasks)
		moveTasks(s.tasks)
		pl.plan.SetUps = append(pl.plan.SetUps, pl.setUp(i, s))
		pl.probe(i + 1)
		held := ""
		for _, t := range s.tasks {
			op := pl.operation(i+1, s, t, held != t.key(), numbers)
			held = t.key()
			pl.plan.Operations = append(pl.plan.Operations, op)
			order = append(order, operated{t, i + 1})
		}
	}
	pl.byHand()
	pl.total(numbers)
	pl.checkTools(numbers)
	pl.plan.Findings = append(pl.plan.Findings, checkOrder(order)...)
	pl.sayIncomplete()
	finding.Sort(pl.plan.Findings)
}

// sortTasks puts the tasks of a stage in the order of the trade; within a step larger cutters first, one tool after the other.
func sortTasks(ts []*task) {
	slices.SortStableFunc(ts, func(a, b *task) int {
		return cmp.Or(cmp.Compare(a.step, b.step), cmp.Compare(b.tool.Diameter, a.tool.Diameter), cmp.Compare(a.tool.ID, b.tool.ID))
	})
}

// probe is the search of the work zero at the start of a set-up.
func (pl *planner) probe(setUp int) {
	if pl.p.Times.Probe <= 0 {
		return
	}
	op := Operation{
		SetUp: setUp, Name: "find the work zero by probe", Where: OnMachine, TotalMin: (pl.p.Times.Probe + pl.p.Machine.ToolChange) / 60,
		Source: pl.p.Times.Source,
	}
	if !pl.p.Machine.Probing {
		op.Name = "find the work zero with an indicator"
	}
	pl.plan.OtherMachineMin += pl.p.Times.Probe / 60
	pl.plan.ToolChangeMin += pl.p.Machine.ToolChange / 60
	pl.plan.SetUps[setUp-1].Minutes += op.TotalMin
	pl.plan.Operations = append(pl.plan.Operations, op)
}

// operation closes a task: the order of its visits, its minutes, its paths.
func (pl *planner) operation(setUp int, s *stage, t *task, change bool, numbers map[string]int) Operation {
	w := pl.workers[0]
	between := w.tour(t.visits, pl.zero())
	sum, rapid, other := t.extra, t.rapid+between, t.other
	z := pl.z(s.face)
	var paths []Path
	var hops []geom.Edge
	removed := 0.0
	for i, v := range t.visits {
		sum.add(v.job.sum, 1)
		removed += v.removed
		rapid += v.job.rapid
		other += v.job.other
		if i > 0 {
			hop := geom.Line(t.visits[i-1].end(), v.start())
			hops = append(hops, hop)
			rapid += pl.overHolding(setUp, &hop, t.tool)
		}
		paths = append(paths, v.job.paths(v.shift, z)...)
	}
	rapid += 2 * w.timer.d.rapidTime(0, 0, max(0, pl.h.safe-pl.h.retract))
	if len(hops) > 0 {
		paths = append(paths, Path{Move: MoveRapid, Edges: hops, Z: []float64{z(-pl.h.retract)}})
	}
	if numbers[t.key()] == 0 {
		numbers[t.key()] = len(numbers) + 1
	}
	changed := 0.0
	if change {
		changed = pl.changeTime(t.key(), numbers)
		other += pl.p.Machine.SpindleStart
	}
	op := Operation{
		SetUp: setUp, Class: classes[t.step], Tool: t.tool, ToolNumber: numbers[t.key()], Name: t.name, Where: OnMachine, Features: t.features,
		CuttingMin: sum.motion / 60, RapidMin: rapid / 60, TotalMin: (sum.motion + rapid + other + changed) / 60,
		PathMM: sum.length, Removed: removed, Spindle: t.cond.Spindle, Feed: t.cond.Feed, Ap: t.cond.Ap, Ae: t.cond.Ae,
		Passes: t.passes, LimitedBy: limitedBy(sum), Source: t.cond.Source, Paths: paths,
	}
	if t.rules != "" {
		op.Source += "; " + t.rules
	}
	op.Gains = gainsOf(sum)
	for _, g := range op.Gains {
		if g.Limit == op.LimitedBy {
			op.GainMin = g.Minutes
		}
	}
	pl.plan.CuttingMin += op.CuttingMin
	pl.plan.RapidMin += op.RapidMin
	pl.plan.ToolChangeMin += changed / 60
	pl.plan.OtherMachineMin += other / 60
	pl.plan.Removed += op.Removed
	pl.plan.SetUps[setUp-1].Minutes += op.TotalMin
	return op
}

// limitedBy names what costs an operation most: a limit that holds the feed below that of the cutting data, corners, or
// acceleration. Below a twentieth of its time none does.
func limitedBy(t tally) string {
	const matters = 0.05
	worst, name := matters*t.motion, LimitData
	for i, s := range t.held {
		if s > worst {
			worst, name = s, holders[i]
		}
	}
	if s := t.corner - t.nominal; s > worst {
		worst, name = s, LimitCorner
	}
	if s := t.motion - t.corner; s > worst {
		name = LimitAcceleration
	}
	return name
}

// byHand adds the work at the bench.
func (pl *planner) byHand() {
	last := len(pl.stages)
	if last == 0 {
		return
	}
	pl.plan.Operations = append(pl.plan.Operations, pl.elsewhere...)
	for _, o := range pl.elsewhere {
		pl.plan.Removed += o.Removed
	}
	if pl.handMin > 0 {
		pl.plan.Operations = append(pl.plan.Operations, Operation{
			SetUp: last, Name: joinWords(pl.handDoc), Where: ByHand, TotalMin: pl.handMin, Source: "common practice, no source",
		})
	}
	if pl.handMM > 0 {
		pl.plan.Operations = append(pl.plan.Operations, Operation{
			SetUp: last, Name: fmt.Sprintf("break %.1f m of edges by hand", pl.handMM/1000), Where: ByHand,
			TotalMin: pl.handMM / pl.p.Times.HandEdge, Source: pl.p.Times.Source,
		})
	}
}

func joinWords(ws []string) string {
	s := ""
	for _, w := range slices.Compact(slices.Sorted(slices.Values(ws))) {
		if s != "" {
			s += ", "
		}
		s += w
	}
	return s
}

// total sums the plan.
func (pl *planner) total(numbers map[string]int) {
	p, t := &pl.plan, pl.p.Times
	p.CycleMin = p.CuttingMin + p.RapidMin + p.ToolChangeMin + p.OtherMachineMin
	p.CycleLow = p.CycleMin * (1 + pl.p.Band.Low/100)
	p.CycleHigh = p.CycleMin * (1 + pl.p.Band.High/100)
	pl.calibrate()
	p.FloorToFloorMin = p.CycleMin + t.Load + t.Unload
	p.SetupMin = t.ProgramLoad + t.SetUp*float64(pl.fixtures()) + t.ToolSet*float64(len(numbers))
	for i, s := range pl.stages {
		p.FloorToFloorMin += t.Clean
		if s.finish {
			p.FloorToFloorMin += t.Gauge
		}
		switch {
		case i == 0:
		case pl.turned(i):
			p.FloorToFloorMin += t.TurnOver
		default:
			p.FloorToFloorMin += t.Reclamp
		}
	}
}

// setUp words one clamping.
func (pl *planner) setUp(i int, s *stage) SetUp {
	out := SetUp{Number: i + 1, Face: s.face, Zero: pl.zero()}
	if pl.turned(i) {
		out.Turn = pl.l.Plate.Machining.Turn
	}
	out.Holding = pl.holding(s)
	out.Locators = pl.locators(s.face)
	out.KeepOuts = pl.keepOuts[i]
	if words := pl.heldBy(i + 1); words != "" {
		out.Holding = words
	}
	if i > 0 && !pl.turned(i) {
		out.Note = "loosened and clamped again lightly, so that the plate can relax before it is finished"
	}
	for _, n := range s.note {
		if out.Note != "" {
			out.Note += "; "
		}
		out.Note += n
	}
	return out
}

// holding words what holds the plate in a clamping. A frame is clamped down wherever its face is not milled: pressed from the
// sides it would give way at the web as soon as the outline is roughed.
func (pl *planner) holding(s *stage) string {
	switch {
	case pl.hung && !s.has(stepFace):
		return "on a sacrificial plate, clamped down on the frame of the blank outside the outline"
	case s.has(stepFinishOutline) && len(pl.screws) >= leastScrews:
		return "on a sacrificial plate, screwed down through " + namesOf(pl.screwNames())
	case s.has(stepFinishOutline):
		return "on a sacrificial plate; nothing of this plate holds it while its outline is cut: see the findings"
	default:
		return "on a sacrificial plate, held from the sides by edge clamps below the face"
	}
}

// fixtures counts the clampings that are set up for the batch. One in which the plate is only loosened and clamped again, on
// the same face and by the same means, needs nothing set up: its minutes are those of clamping again, for each piece.
func (pl *planner) fixtures() int {
	n := 0
	for i, s := range pl.stages {
		if i == 0 || pl.turned(i) || pl.holding(s) != pl.holding(pl.stages[i-1]) {
			n++
		}
	}
	return n
}

// turned tells whether the work is turned over before the clamping of index i.
func (pl *planner) turned(i int) bool { return i > 0 && pl.stages[i].face != pl.stages[i-1].face }

func (s *stage) has(st step) bool {
	return slices.ContainsFunc(s.tasks, func(t *task) bool { return t.step == st })
}

func namesOf(names []string) string {
	const show = 4
	s := ""
	for i, n := range names {
		if i == show {
			return fmt.Sprintf("%s and %d more", s, len(names)-show)
		}
		if i > 0 {
			s += ", "
		}
		s += n
	}
	return s
}

// checkTools reports slender tools in use and a magazine that is too small.
func (pl *planner) checkTools(numbers map[string]int) {
	pr := pl.p.Practice
	for _, t := range pl.p.Tools {
		if numbers[t.ID] == 0 || t.Kind != shop.EndMill || t.Slender() <= pr.Slender.Value+1e-9 {
			continue
		}
		pl.find(finding.Finding{
			Code: "tool-slender", Level: finding.Warning, Stage: "machining",
			What: fmt.Sprintf("%s is %.1f times as long as it is thick; above %g it chatters", t.ID, t.Slender(), pr.Slender.Value),
			Why:  "a slender cutter bends and chatters; its feed is reduced", Source: pr.Slender.Source,
			Fix: "a larger inside corner radius or a shallower pocket lets a thicker cutter in",
		})
	}
	if n := len(numbers); n > pl.p.Machine.Magazine {
		pl.find(finding.Finding{
			Code: "magazine-full", Level: finding.Warning, Stage: "machining",
			What: fmt.Sprintf("%d tools, the magazine holds %d", n, pl.p.Machine.Magazine),
			Why:  fmt.Sprintf("tools above the number of places are changed by hand, each in %g s", pl.p.Machine.HandChange), Source: "the shop profile " + pl.p.Name,
			Fix: "fewer sizes of holes and inside corner radii",
		})
	}
}

// operated is a task and its set-up, in the order of the plan.
type operated struct {
	*task
	setUp int
}

// checkOrder reports located bores that are finished before the last roughing near them: the metal moves when it is roughed.
// The default order never does.
func checkOrder(order []operated) []finding.Finding {
	var out []finding.Finding
	for i, t := range order {
		if !t.located {
			continue
		}
		for _, later := range order[i+1:] {
			if !later.step.roughing() || !closeTo(t.task, later.task) {
				continue
			}
			out = append(out, finding.Finding{
				Code: "located-before-roughing", Level: finding.Warning, Stage: "machining",
				What: fmt.Sprintf("%q in set-up %d comes before %q in set-up %d", t.name, t.setUp, later.name, later.setUp),
				Why:  "roughing frees stress and moves what was finished", Source: "common practice, no source", Fix: "finish located bores after all roughing",
			})
			break
		}
	}
	return out
}

// nearMM is how far from a located bore roughing counts as near it, mm; common practice, no source.
const nearMM = 150

func closeTo(a, b *task) bool {
	for _, v := range a.visits {
		for _, u := range b.visits {
			if math.Min(v.start().Dist(u.start()), v.start().Dist(u.end())) < nearMM {
				return true
			}
		}
	}
	return false
}
