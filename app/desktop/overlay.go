package desktop

import (
	"fmt"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/route"
)

// overlay is what is drawn over the plate, one at a time. The zero overlay is none.
type overlay struct {
	paths bool // tool paths: of operation op of the plan where that is above 0, else of set-up setUp, 0 for all
	setUp int
	op    int    // 1-based
	field string // name of a field of fieldOverlays, drawn for load case at of the analysed ones, from 0
	at    int
}

// overlay is what the view draws now. Paths of a plan that no longer belongs to the document are not drawn: they would lie
// beside the pockets that they cut.
func (w *Window) overlay() ([]scene.ToolRun, *scene.Field) {
	runs, field := w.chosenOverlay()
	return slices.Concat(runs, w.holdingShown()), field
}

func (w *Window) chosenOverlay() ([]scene.ToolRun, *scene.Field) {
	switch o := w.over; {
	case o.paths:
		m := w.job.Machining()
		if !m.OK || m.Stale {
			return nil, nil
		}
		if w.runsOf != o || w.runsFor != w.job.Revision() {
			w.runs, w.runsOf, w.runsFor = toolRuns(m.Value, o), o, w.job.Revision()
		}
		return w.runs, nil
	case o.field != "":
		return nil, w.fieldShown()
	}
	return nil, nil
}

// mostRuns bounds what is drawn of a plan; a single operation is always whole.
const mostRuns = 40_000

// toolRuns are the stretches of path that an overlay shows, in plate coordinates.
func toolRuns(p route.Plan, o overlay) []scene.ToolRun {
	var out []scene.ToolRun
	for i := range p.Operations {
		op := &p.Operations[i]
		if o.op > 0 && o.op != i+1 || o.op == 0 && o.setUp > 0 && o.setUp != op.SetUp {
			continue
		}
		if len(out) > mostRuns {
			break
		}
		out = append(out, scene.Runs(op)...)
	}
	return out
}

// holdingMarks draw what holds the work and where its edges rest, seen from the face that is up: while the machining or tool
// paths are looked at.
func holdingMarks(p route.Plan, side plate.Side) []scene.ToolRun {
	return scene.HoldingRuns(p, func(s route.SetUp) bool { return (s.Face == plate.Bottom) == (side == plate.Bottom) })
}

// holdingShown are the marks of the holding, where they belong to what is looked at.
func (w *Window) holdingShown() []scene.ToolRun {
	m := w.job.Machining()
	if !m.OK || m.Stale || w.sel.stage != plate.StageMachining && !w.over.paths {
		return nil
	}
	return holdingMarks(m.Value, w.view.cam.Side)
}

// overlayText says what is drawn over the plate, for the corner of the view; empty for nothing.
func (w *Window) overlayText() string {
	o := w.over
	m := w.job.Machining()
	switch {
	case o.field != "":
		return w.fieldText()
	case !o.paths:
		return ""
	case !m.OK || m.Stale:
		return "tool paths: being planned"
	case o.op > 0 && o.op <= len(m.Value.Operations):
		op := m.Value.Operations[o.op-1]
		text := fmt.Sprintf("tool path %d of %d: %s", o.op, len(m.Value.Operations), op.Name)
		if t := toolText(op); t != "" {
			text += ", " + t
		}
		if len(op.Paths) == 0 {
			text += "; it has no path on the machine"
		}
		return text
	case o.setUp > 0:
		return "tool paths of set-up " + strconv.Itoa(o.setUp)
	}
	return "tool paths of all set-ups"
}

// setOverlay draws an overlay instead of the one before. Paths of a set-up are seen from its own face.
func (w *Window) setOverlay(o overlay) {
	refit := (w.over.field == "") != (o.field == "") && !w.view.own
	w.over, w.said = o, ""
	if refit {
		w.view.fit()
	}
	m := w.job.Machining()
	if o.paths && m.OK {
		n := o.setUp
		if o.op > 0 && o.op <= len(m.Value.Operations) {
			n = m.Value.Operations[o.op-1].SetUp
		}
		for _, s := range m.Value.SetUps {
			if s.Number == n && (s.Face == plate.Bottom) != (w.view.cam.Side == plate.Bottom) {
				w.view.turn()
			}
		}
	}
	w.refresh()
}

// stepOperation shows the path of the next (by 1) or previous operation of the plan that has one.
func (w *Window) stepOperation(by int) {
	m := w.job.Machining()
	n := len(m.Value.Operations)
	if !m.OK || n == 0 {
		w.say("the plan is not known yet")
		return
	}
	at := w.over.op
	if !w.over.paths {
		at = 0
	}
	if at == 0 && by < 0 {
		at = n + 1
	}
	for range n {
		at = (at-1+by+n)%n + 1
		if len(m.Value.Operations[at-1].Paths) > 0 {
			break
		}
	}
	w.setOverlay(overlay{paths: true, op: at})
}

// overlayItems are the items of the View menu for what is drawn over the plate.
func (w *Window) overlayItems() []*fyne.MenuItem {
	plan := func() bool { return w.job.Machining().OK }
	entry := func(label string, key fyne.Shortcut, enabled func() bool, do func()) *fyne.MenuItem {
		return w.gate.menuItem(w.command(always(label), key, do, enabled))
	}
	paths := fyne.NewMenuItem("Tool paths", nil)
	paths.ChildMenu = fyne.NewMenu("",
		entry("Tool paths of all set-ups", ctrlShift(fyne.KeyT), plan, func() { w.setOverlay(overlay{paths: true}) }))
	const setUps = 4
	for i := 1; i <= setUps; i++ {
		paths.ChildMenu.Items = append(paths.ChildMenu.Items, entry("Tool paths of set-up "+strconv.Itoa(i), nil,
			func() bool { m := w.job.Machining(); return m.OK && len(m.Value.SetUps) >= i },
			func() { w.setOverlay(overlay{paths: true, setUp: i}) }))
	}
	paths.ChildMenu.Items = append(paths.ChildMenu.Items, fyne.NewMenuItemSeparator(),
		entry("Tool path of the next operation", ctrl(fyne.KeyPeriod), plan, func() { w.stepOperation(1) }),
		entry("Tool path of the operation before", ctrl(fyne.KeyComma), plan, func() { w.stepOperation(-1) }))
	items := []*fyne.MenuItem{
		entry("Nothing over the plate", nil, func() bool { return w.over != overlay{} }, func() { w.setOverlay(overlay{}) }),
		paths,
	}
	cases := func() bool { return w.job.Cases().OK }
	stress := fyne.NewMenuItem("Stress and deflection", nil)
	stress.ChildMenu = fyne.NewMenu("")
	for _, f := range fieldOverlays() {
		stress.ChildMenu.Items = append(stress.ChildMenu.Items,
			entry(upperFirst(f.name), nil, cases, func() { w.setOverlay(overlay{field: f.name, at: w.caseAt()}) }))
	}
	stress.ChildMenu.Items = append(stress.ChildMenu.Items, fyne.NewMenuItemSeparator(),
		entry("The next load case", ctrlShift(fyne.KeyN), cases, w.stepCase))
	return append(items, stress)
}
