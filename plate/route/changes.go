package route

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// The user's changes of the plan: an operation left out, done by hand or elsewhere, moved within its set-up, or given a tool.
// A change names a class of operation and a feature, and perhaps one cell of it; it applies to whatever of the plan answers to
// that after every edit, and is kept and reported where nothing does.

// checkChanges looks at the words of the changes before anything is planned.
func (pl *planner) checkChanges() {
	for _, c := range pl.l.Plate.Machining.Changes {
		switch {
		case c.Class != "" && !slices.Contains(classes[:], c.Class):
			pl.changeFinding(c, "change-unknown", fmt.Sprintf("a change is for operations of class %q, which no plan has", c.Class),
				"one of: "+strings.Join(Classes(), ", "))
		case c.Tool != "" && pl.toolByID(c.Tool).ID == "":
			pl.changeFinding(c, "change-tool", fmt.Sprintf("a change asks for tool %q, which is not in the shop's list", c.Tool), "a tool of the shop's list, or remove the change")
		case c.Tool != "" && c.Class == "" && c.Feature == 0:
			pl.changeFinding(c, "change-tool", fmt.Sprintf("a change asks for tool %q on the outline and the faces, and does not say for which class of operation", c.Tool),
				"one of: "+strings.Join(tooledClasses(), ", "))
		case c.Tool != "" && c.Class != "" && !slices.Contains(tooledClasses(), c.Class):
			pl.changeFinding(c, "change-tool", fmt.Sprintf("a change asks for tool %q in operations of class %q, whose tool follows from what they cut", c.Tool, c.Class),
				"ask for it in one of: "+strings.Join(tooledClasses(), ", "))
		}
	}
}

func (pl *planner) changeFinding(c plate.OperationChange, code, what, fix string) {
	pl.find(finding.Finding{
		Code: code, Level: finding.Warning, Stage: "machining", What: what, Why: "a change of the plan is kept, and does nothing as long as nothing answers to it",
		Source: "the changes of the plan", Fix: fix, Feature: int64(c.Feature),
	})
}

func (pl *planner) toolByID(id string) shop.Tool {
	i := slices.IndexFunc(pl.p.Tools, func(t shop.Tool) bool { return t.ID == id })
	if i < 0 {
		return shop.Tool{}
	}
	return pl.p.Tools[i]
}

// tooled are the steps whose tool a change may ask for; that of the others follows from these, or from the size of what they cut.
var tooled = []step{
	stepFace, stepRoughPocket, stepRoughBore, stepRoughOutline, stepWall, stepSpot, stepDrill, stepSink, stepFinishOutline, stepChamfer, stepEdge,
}

// tooledClasses are the classes of operation whose tool a change may ask for.
func tooledClasses() []string {
	var out []string
	for _, st := range tooled {
		out = append(out, classes[st])
	}
	return out
}

// toolsFor is what a step chooses from: the tool that a change asks for where fits says that it does, else every tool of the
// shop. A tool that was asked for and does not do is reported.
func (pl *planner) toolsFor(st step, feature plate.ID, what, why string, fits func(shop.Tool) bool) []shop.Tool {
	t := pl.asked(st, feature)
	switch {
	case t.ID == "":
		return pl.p.Tools
	case fits(t):
		return []shop.Tool{t}
	}
	pl.refused(t, what, why)
	return pl.p.Tools
}

// asked is the tool that a change asks for in a step on a feature; the zero tool where none does.
func (pl *planner) asked(st step, feature plate.ID) shop.Tool {
	for _, c := range pl.l.Plate.Machining.Changes {
		if c.Tool != "" && !c.HasCell && (c.Class == "" && c.Feature != 0 || c.Class == classes[st]) && c.Feature == feature {
			return pl.toolByID(c.Tool)
		}
	}
	return shop.Tool{}
}

// refused reports a tool that was asked for and does not do; the rule's choice holds then.
func (pl *planner) refused(t shop.Tool, what, why string) {
	pl.find(finding.Finding{
		Code: "change-tool", Level: finding.Warning, Stage: "machining",
		What: fmt.Sprintf("%s: %s was asked for and is not taken, since %s", what, t.ID, why), Why: "the plan never asks of a tool what it cannot do",
		Source: "the changes of the plan", Fix: "another tool, or remove the change",
	})
}

// applyChanges leaves out, sends elsewhere and marks for moving what the changes say.
func (pl *planner) applyChanges() {
	for _, c := range pl.l.Plate.Machining.Changes {
		if c.Class != "" && !slices.Contains(classes[:], c.Class) {
			continue
		}
		hits := 0
		for i, s := range pl.stages {
			for _, t := range s.tasks {
				hits += pl.change(c, i+1, t)
			}
			s.tasks = slices.DeleteFunc(s.tasks, func(t *task) bool { return len(t.visits) == 0 })
		}
		if hits == 0 {
			pl.changeFinding(c, "change-inactive", fmt.Sprintf("a change of the plan finds no operation%s to apply to", ofClass(c.Class)), "change what it is for, or remove it")
		}
	}
}

func ofClass(c string) string {
	if c == "" {
		return ""
	}
	return fmt.Sprintf(" of class %q", c)
}

// change applies one change to one task and returns how many of its visits it concerned.
func (pl *planner) change(c plate.OperationChange, setUp int, t *task) int {
	if c.Class != "" && c.Class != classes[t.step] {
		return 0
	}
	var mine, others []visit
	for _, v := range t.visits {
		if pl.answers(c, t, v) {
			mine = append(mine, v)
		} else {
			others = append(others, v)
		}
	}
	if len(mine) == 0 {
		return 0
	}
	if c.Order != 0 {
		t.shift = c.Order
	}
	switch {
	case c.Leave:
		t.visits = others
		pl.plan.Incomplete = true
		pl.find(finding.Finding{
			Code: "left-out", Level: finding.Warning, Stage: "machining", Feature: int64(c.Feature),
			What: fmt.Sprintf("%q is left out of set-up %d at %s by choice; its metal stays and no minutes stand for it", t.name, setUp, count(len(mine), "place")),
			Why:  "a change of the plan says so", Source: "the changes of the plan", Fix: "nothing, or remove the change",
		})
	case c.Where == string(ByHand) || c.Where == string(Outside):
		t.visits = others
		pl.elsewhere = append(pl.elsewhere, pl.sentOut(c, setUp, t, mine))
	}
	return len(mine)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// answers tells whether a visit is what a change is for. Feature 0 is the outline and the faces.
func (pl *planner) answers(c plate.OperationChange, t *task, v visit) bool {
	if v.cut < 0 {
		return c.Feature == 0 && !c.HasCell
	}
	cut := &pl.l.Cuts[v.cut]
	if cut.Feature != c.Feature {
		return false
	}
	if !c.HasCell {
		return true
	}
	if cut.Cell < 0 || cut.Cell >= len(pl.l.Cells) {
		return cut.Region.Contains(pointOfAnchor(c.At))
	}
	if a := pl.l.Cells[cut.Cell].Anchor; a.Grid != 0 && c.At.Grid != 0 {
		return a.Grid == c.At.Grid && a.I == c.At.I && a.J == c.At.J && a.K == c.At.K
	}
	return cut.Region.Contains(pointOfAnchor(c.At))
}

// sentOut is an operation done by hand or elsewhere instead of on the machine: at the minutes that the change gives, else at those
// of the shop's service of that kind, else as long as the machine would take.
func (pl *planner) sentOut(c plate.OperationChange, setUp int, t *task, vs []visit) Operation {
	op := Operation{SetUp: setUp, Class: classes[t.step], Name: t.name, Where: Place(c.Where), Features: t.features, Source: "the changes of the plan"}
	length := 0.0
	for _, v := range vs {
		op.TotalMin += (v.job.sum.motion + v.job.rapid + v.job.other) / 60
		op.Removed += v.removed
		length += v.job.sum.length
	}
	for _, s := range pl.p.Services {
		if s.Outside != (op.Where == Outside) || !slices.Contains(servesClass[s.Kind], op.Class) {
			continue
		}
		op.Name, op.Source = fmt.Sprintf("%s: %s", s.Name, t.name), s.Source
		op.TotalMin = s.EachMin * float64(len(vs))
		if s.Speed > 0 {
			op.TotalMin += pl.l.Outline.Outer.Length() / s.Speed * math.Max(pl.t, 1) / serviceThickness
		}
		break
	}
	if c.Minutes > 0 {
		op.TotalMin, op.Source = c.Minutes, "the changes of the plan"
	}
	if c.Note != "" {
		op.Name += " (" + c.Note + ")"
	}
	op.PathMM = length
	return op
}

// serviceThickness is the plate's thickness for which a profile's speed is given, mm.
const serviceThickness = 10

// servesClass tells which classes of operation a service can take over.
var servesClass = map[shop.ServiceKind][]string{
	shop.Waterjet: {"rough outline", "finish outline"}, shop.Laser: {"rough outline", "finish outline"}, shop.Sawing: {"rough outline"},
	shop.Bench: {"tap"},
}

// moveTasks moves tasks by the places that the user gave.
func moveTasks(ts []*task) {
	for _, t := range slices.Clone(ts) {
		if t.shift == 0 {
			continue
		}
		at := slices.Index(ts, t)
		to := min(max(at+t.shift, 0), len(ts)-1)
		for ; at < to; at++ {
			ts[at], ts[at+1] = ts[at+1], ts[at]
		}
		for ; at > to; at-- {
			ts[at], ts[at-1] = ts[at-1], ts[at]
		}
	}
}

// unknownCuts reports cuts that this planner has no operations for.
func (pl *planner) unknownCuts() {
	seen := map[layout.CutKind]int{}
	for i := range pl.l.Cuts {
		if c := &pl.l.Cuts[i]; rank(c.Kind) < 0 {
			if seen[c.Kind]++; seen[c.Kind] > 1 {
				continue
			}
			pl.left(finding.Finding{
				Code: "not-planned", Level: finding.Error, Stage: "machining", Feature: int64(c.Feature), FeatureName: c.FeatureName,
				What: fmt.Sprintf("%s: a cut of kind %q has no operation in this plan", c.FeatureName, c.Kind), Why: "what is not planned is not timed",
				Source: "this program's planner", Fix: "plan it by hand beside this plan",
			})
		}
	}
}
