package desktop

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

const motor = "Motor" // the bore of the first sample that the tests drag

func TestDragBore(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	mass := h.job.Mass().Value.MassKG
	from, to := h.at(geom.Pt(b.X, b.Y)), h.at(geom.Pt(b.X+7.3, b.Y-4.4))
	h.press(from, 0)
	h.dragTo(from, to)
	if !h.view.drag.active || len(h.view.drag.dimensions(h.job.Doc())) != 2 {
		t.Error("no live dimensions during the drag")
	}
	h.release(to)
	h.settle()
	now := h.boreNamed(motor)
	if now.X != math.Round(b.X+7.3) || now.Y != math.Round(b.Y-4.4) {
		t.Errorf("dragged to (%v, %v), want whole millimetres at (%v, %v)", now.X, now.Y, math.Round(b.X+7.3), math.Round(b.Y-4.4))
	}
	if h.sel.id != b.ID || h.number("x_mm").Text != lengthIn(false).format(now.X) {
		t.Errorf("selected %d, field shows %q", h.sel.id, h.number("x_mm").Text)
	}
	if m := h.job.Mass(); m.Stale || m.Value.MassKG == mass {
		t.Errorf("after the drag the mass is %v, stale %v; before %v", m.Value.MassKG, m.Stale, mass)
	}
	if l, _ := h.job.UndoLabel(); l != "move of bore "+motor {
		t.Errorf("undo reads %q", l)
	}
	h.menu("Undo")
	if got := h.boreNamed(motor); !reflect.DeepEqual(got, b) {
		t.Errorf("one undo led to %+v, want %+v", got, b)
	}
	if h.job.Dirty() {
		t.Error("after undo the document is dirty")
	}
	h.menu("Redo")
	if got := h.boreNamed(motor); !reflect.DeepEqual(got, now) {
		t.Errorf("redo led to %+v, want %+v", got, now)
	}
}

func TestDragFreeAndSnapToOthers(t *testing.T) {
	h := newHarness(t, Options{})
	b, axle := h.boreNamed(motor), h.boreNamed("Axle")
	from, to := h.at(geom.Pt(b.X, b.Y)), h.at(geom.Pt(b.X+3.37, b.Y+1.21))
	h.press(from, fyne.KeyModifierShift)
	h.dragTo(from, to)
	h.release(to)
	if got := h.boreNamed(motor); math.Abs(got.X-b.X-3.37) > 0.01 || math.Abs(got.Y-b.Y-1.21) > 0.01 {
		t.Errorf("with Shift dragged to (%v, %v), want (%v, %v) freely", got.X, got.Y, b.X+3.37, b.Y+1.21)
	}
	h.menu("Undo")
	near := h.at(geom.Pt(b.X+30, axle.Y+1.4)) // a little off the axle's height
	h.press(from, 0)
	h.dragTo(from, near)
	if len(h.view.drag.guides) != 1 {
		t.Errorf("%d guides, want one to the axle", len(h.view.drag.guides))
	}
	h.release(near)
	if got := h.boreNamed(motor); got.Y != axle.Y || got.X != b.X+30 {
		t.Errorf("dragged to (%v, %v), want (%v, %v) on the axle's height", got.X, got.Y, b.X+30, axle.Y)
	}
}

func TestEscapeDuringDrag(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	from, to := h.at(geom.Pt(b.X, b.Y)), h.at(geom.Pt(b.X+20, b.Y))
	h.press(from, 0)
	h.dragTo(from, to)
	if reflect.DeepEqual(h.boreNamed(motor), b) {
		t.Fatal("the drag moved nothing")
	}
	key(h.view, fyne.KeyEscape)
	h.dragTo(to, h.at(geom.Pt(b.X+40, b.Y))) // the button is still down
	h.release(to)
	if got := h.boreNamed(motor); !reflect.DeepEqual(got, b) || h.job.Dirty() {
		t.Errorf("after Escape the bore is at (%v, %v), dirty %v", got.X, got.Y, h.job.Dirty())
	}
	if _, ok := h.job.RedoLabel(); ok {
		t.Error("an abandoned drag can be redone")
	}
	h.press(from, 0) // the next drag works
	h.dragTo(from, to)
	h.release(to)
	if got := h.boreNamed(motor); got.X != b.X+20 {
		t.Errorf("the next drag led to x %v, want %v", got.X, b.X+20)
	}
}

// A press that trembles selects and moves nothing.
func TestTremblingClick(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	q := h.at(geom.Pt(b.X, b.Y))
	h.press(q, 0)
	h.view.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: q.AddXY(1, 1)}, Dragged: fyne.Delta{DX: 1, DY: 1}})
	h.release(q)
	if h.job.Dirty() || h.sel.id != b.ID {
		t.Errorf("a trembling click: dirty %v, selected %d, want clean and %d", h.job.Dirty(), h.sel.id, b.ID)
	}
}

func TestPanAndZoom(t *testing.T) {
	h := newHarness(t, Options{})
	cam := h.view.cam
	empty := fyne.NewPos(30, 400)
	h.press(empty, 0)
	h.dragTo(empty, empty.AddXY(60, 30))
	h.release(empty.AddXY(60, 30))
	x0, y0 := cam.ToPx(geom.Pt(0, 0))
	x1, y1 := h.view.cam.ToPx(geom.Pt(0, 0))
	if math.Abs(x1-x0-60) > 0.01 || math.Abs(y1-y0-30) > 0.01 || h.job.Dirty() {
		t.Errorf("dragging empty space moved the paper by (%v, %v), want (60, 30)", x1-x0, y1-y0)
	}
	at := fyne.NewPos(123, 234)
	before := h.view.cam.FromPx(123, 234)
	h.view.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: at}, Scrolled: fyne.NewDelta(0, 75)})
	after := h.view.cam.FromPx(123, 234)
	if before.Dist(after) > 1e-6 || h.view.cam.Scale <= cam.Scale {
		t.Errorf("the wheel moved the point under the pointer by %v mm, scale %v", before.Dist(after), h.view.cam.Scale)
	}
	h.view.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonTertiary})
	h.dragTo(at, at.AddXY(-20, 10))
	h.view.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonTertiary})
	h.view.DragEnd()
	if x, y := h.view.cam.ToPx(after); math.Abs(x-103) > 0.01 || math.Abs(y-244) > 0.01 {
		t.Errorf("the middle button moved the point to (%v, %v), want (103, 244)", x, y)
	}
	key(h.view, fyne.KeyHome)
	if h.view.cam != cam {
		t.Errorf("fit led to %+v, want %+v", h.view.cam, cam)
	}
}

func TestNudgeDeleteEscape(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	h.click(geom.Pt(b.X, b.Y))
	for range 3 { // a held key
		key(h.view, fyne.KeyRight)
	}
	key(h.view, fyne.KeyUp)
	h.view.KeyUp(&fyne.KeyEvent{Name: fyne.KeyUp})
	if got := h.boreNamed(motor); got.X != b.X+3 || got.Y != b.Y+1 {
		t.Errorf("nudged to (%v, %v), want (%v, %v)", got.X, got.Y, b.X+3, b.Y+1)
	}
	key(h.view, fyne.KeyLeft)
	h.view.KeyUp(&fyne.KeyEvent{Name: fyne.KeyLeft})
	h.menu("Undo")
	h.menu("Undo")
	if got := h.boreNamed(motor); !reflect.DeepEqual(got, b) {
		t.Errorf("two undos of two runs led to (%v, %v)", got.X, got.Y)
	}
	key(h.view, fyne.KeyDelete) // used by a bolt circle and ribs
	if h.said == "" || !strings.Contains(h.said, "used by") || h.job.Dirty() {
		t.Errorf("deleting a bore in use says %q, dirty %v", h.said, h.job.Dirty())
	}
	hole := h.job.Doc().Holes[0]
	h.click(geom.Pt(hole.X, hole.Y))
	key(h.view, fyne.KeyDelete)
	if _, ok := h.job.Doc().Find(hole.ID); ok || h.sel.stage != plate.StageHoles || h.sel.id != 0 {
		t.Errorf("after delete the hole is there %v, selected %+v", ok, h.sel)
	}
	h.menu("Undo")
	h.click(geom.Pt(hole.X, hole.Y))
	key(h.view, fyne.KeyEscape)
	if h.sel != (selection{stage: plate.StageHoles}) {
		t.Errorf("Escape led to %+v, want the stage", h.sel)
	}
}

// Picking by place: what the layout has there, its handle where it can be dragged, its cell where there is one.
func TestPick(t *testing.T) {
	h := newHarness(t, Options{})
	doc, l := h.job.Doc(), h.job.Layout().Value
	cam := h.view.cam
	find := func(q geom.Point, s selection) target {
		x, y := cam.ToPx(q)
		return pick(l, doc, s, nil, cam, x, y)
	}
	for _, b := range doc.Bores {
		if got := find(geom.Pt(b.X, b.Y), selection{}); got.grip != (grip{kind: gripCentre, id: b.ID}) || got.sel.id != b.ID {
			t.Errorf("bore %s: %+v", b.Name, got)
		}
	}
	for _, o := range doc.Holes {
		if got := find(geom.Pt(o.X, o.Y), selection{}); got.grip != (grip{kind: gripCentre, id: o.ID}) {
			t.Errorf("hole %s: %+v", o.Name, got)
		}
	}
	cells := 0
	for i := range l.Cells {
		if l.Cells[i].State != layout.CellCut {
			continue
		}
		got := find(l.CellPoint(i), selection{})
		if got.kind == layout.HitCutLine {
			continue // a cut line runs over this one
		}
		cells++
		if got.cell != i || !got.sel.onCell || got.sel.id != l.Cells[i].Pocket || got.grip.kind != gripNone {
			t.Fatalf("cell %d: %+v", i, got)
		}
		// An anchor in a grid means every piece of its triangle.
		if cs := got.sel.cells(l); !slices.Contains(cs, i) || len(cs) > 3 {
			t.Errorf("cell %d: the selection means cells %v", i, cs)
		}
	}
	if cells < 10 {
		t.Errorf("only %d cells were tried", cells)
	}
	if got := find(geom.Pt(-500, 0), selection{}); got.kind != layout.HitNothing || got.sel.stage != "" {
		t.Errorf("off the plate: %+v", got)
	}
	c := doc.CutLines[0]
	end := geom.Pt(c.X1, c.Y1)
	if got := find(end, selection{stage: plate.StageTargets, id: c.ID}); got.grip != (grip{gripEnd, c.ID, 0}) {
		t.Errorf("end of a selected cut line: %+v", got)
	}
	k := doc.Outline.Corners[1]
	if got := find(geom.Pt(k.X, k.Y), selection{stage: plate.StageOutline}); got.grip != (grip{gripCorner, 0, 1}) || got.sel.corner != 2 {
		t.Errorf("corner 2 with the outline selected: %+v", got)
	}
	if got := find(geom.Pt(k.X, k.Y), selection{stage: plate.StageBores}); got.grip.kind != gripNone {
		t.Errorf("corners have handles with the bores selected: %+v", got)
	}
	z := geom.Pt(doc.Machining.ZeroX, doc.Machining.ZeroY)
	if got := find(z, selection{stage: plate.StageMachining}); got.grip.kind != gripZero {
		t.Errorf("the work zero with machining selected: %+v", got)
	}
}

func TestDragCorner(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	k := h.job.Doc().Outline.Corners[2]
	from, to := h.at(geom.Pt(k.X, k.Y)), h.at(geom.Pt(k.X+9, k.Y-2))
	h.press(from, fyne.KeyModifierShift)
	h.dragTo(from, to)
	h.release(to)
	h.settle()
	got := h.job.Doc().Outline.Corners[2]
	if math.Abs(got.X-k.X-9) > 0.01 || math.Abs(got.Y-k.Y+2) > 0.01 || h.sel.corner != 3 {
		t.Errorf("corner dragged to (%v, %v), selected %+v", got.X, got.Y, h.sel)
	}
	if len(h.side.bound) == 0 || h.side.title.text != "Outline: corner 3" {
		t.Errorf("particulars show %q with %d fields", h.side.title.text, len(h.side.bound))
	}
	h.deleteSelected()
	if n := len(h.job.Doc().Outline.Corners); n != 6 {
		t.Errorf("after delete %d corners, want 6", n)
	}
	h.menu("Undo")
	h.addCorner(0)
	if n := len(h.job.Doc().Outline.Corners); n != 8 || h.sel.corner != 2 {
		t.Errorf("after adding %d corners, selected %d, want 8 and 2", n, h.sel.corner)
	}
}

func TestCellKeptSolidAndCutAgain(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	big := -1
	for i, c := range l.Cells {
		if c.State == layout.CellCut && (big < 0 || c.Area > l.Cells[big].Area) {
			big = i
		}
	}
	mass := h.job.Mass().Value.MassKG
	metal := l.Cells[big].Area * l.Cells[big].Depth * l.Plate.Stock.Material.Density * 1e-9
	at := l.CellPoint(big)
	h.click(at)
	if !h.sel.onCell || h.side.title.text != "Cell of Pockets" {
		t.Fatalf("click on a cell selected %+v, title %q", h.sel, h.side.title.text)
	}
	h.action("Keep this cell solid")
	if got := h.job.Mass().Value.MassKG; math.Abs(got-mass-metal) > 1e-9 {
		// Kept metal is the sharp piece, corners included: no less than what the cutter takes.
		if got < mass+metal {
			t.Errorf("with the cell solid the plate weighs %v, want at least %v", got, mass+metal)
		}
	}
	h.click(at)
	h.action("Cut this cell again")
	if got := h.job.Mass().Value.MassKG; math.Abs(got-mass) > 1e-12 {
		t.Errorf("with the cell cut again the plate weighs %v, want %v", got, mass)
	}
}

// action presses one of the selection's commands.
func (h *harness) action(text string) {
	h.t.Helper()
	for _, a := range h.actions(h.job.Doc()) {
		if a.text == text {
			a.do()
			h.settle()
			return
		}
	}
	h.t.Fatalf("the selection %+v has no command %q", h.sel, text)
}

// Typed text that is not committed yet is when a command runs.
func TestCommandsCommitTypedText(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	h.typeIn(h.number("rim_mm"), "12")
	h.menu("Fit the plate")
	if got := h.job.Doc().Rim; got != 12 {
		t.Errorf("rim %v, want 12", got)
	}
}

func TestStaleFiguresAreGreyed(t *testing.T) {
	h := newHarness(t, Options{})
	mass := h.ledger.cells[0]
	if mass.value.tone != toneInk {
		t.Fatalf("a fresh figure has tone %v", mass.value.tone)
	}
	if err := h.tryEdit(setRim(13), ""); err != nil {
		t.Fatal(err)
	}
	shown := slices.DeleteFunc(slices.Clone(h.ledger.cells), func(c *ledgerCell) bool { return c.opens == tableCases }) // the sample has no load case
	for _, c := range shown {
		if c.value.tone != toneFaint {
			t.Errorf("%s is not greyed right after an edit", c.caption.text)
		}
	}
	h.settle()
	for _, c := range shown {
		if c.value.tone != toneInk {
			t.Errorf("%s is still greyed at rest", c.caption.text)
		}
	}
	if mass.diff.text == "" || mass.diff.text[0] != '+' {
		t.Errorf("a wider rim shows the difference %q, want more", mass.diff.text)
	}
	h.menu("Show differences from here on")
	h.settle()
	if mass.diff.text != "" {
		t.Errorf("against itself the plate shows the difference %q", mass.diff.text)
	}
}

// An outline that cannot be made: the last good plate stays with its age, the stage says wrong, and undo heals all.
func TestBrokenPlateKeepsItsLastFigures(t *testing.T) {
	h := newHarness(t, Options{})
	good := h.ledger.cells[0].value.text
	c := h.job.Doc().Outline.Corners[0]
	c.Radius = 900
	if err := h.tryEdit(setCorner(0, c), ""); err != nil {
		t.Fatal(err)
	}
	h.settle()
	if v := h.ledger.cells[0].value; v.text != good || v.tone != toneFaint {
		t.Errorf("mass shows %q in tone %v, want the last good %q greyed", v.text, v.tone, good)
	}
	if r := h.sheet.rows[1]; r.state.text != "wrong" {
		t.Errorf("the outline's state is %q, want wrong", r.state.text)
	}
	if h.lastLayout() == nil {
		t.Error("the view shows nothing")
	}
	h.menu("Undo")
	h.settle()
	if v := h.ledger.cells[0].value; v.tone != toneInk || h.sheet.rows[1].state.text == "wrong" {
		t.Error("undo did not heal the figures")
	}
}

func TestFindingsLeadToTheirPlace(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	if err := h.tryEdit(moveBore(b.ID, 2000, 1000), ""); err != nil { // far outside
		t.Fatal(err)
	}
	h.settle()
	fs := h.job.Findings().Value
	if len(fs) == 0 || fs[0].Level != "error" {
		t.Fatalf("a bore outside gives %v", fs)
	}
	h.choose(selection{stage: plate.StageStock})
	h.show(fs[0])
	if h.sel.id != plate.ID(fs[0].Feature) || h.sel.id == 0 {
		t.Errorf("the finding selected %+v, want feature %d", h.sel, fs[0].Feature)
	}
	if fs[0].HasWhere {
		x, y := h.view.cam.ToPx(geom.Pt(fs[0].Where[0], fs[0].Where[1]))
		if x < 0 || y < 0 || x > h.view.cam.Width || y > h.view.cam.Height {
			t.Errorf("the finding's place is out of sight at (%v, %v)", x, y)
		}
	}
	if !h.side.findings.box.Visible() || len(h.side.findings.box.Objects) == 0 {
		t.Error("the particulars do not show the finding")
	}
}

// Every ring drawn on the plate can be pressed, and leads to its own finding.
func TestFindingRingsCanBePressed(t *testing.T) {
	h := newHarness(t, Options{})
	fs := h.job.Findings().Value
	m := markFinder{}
	scene.Paint(&m, nil, h.view.cam, scene.Options{Show: scene.Findings, Findings: fs})
	placed := 0
	for _, f := range fs {
		if f.HasWhere {
			placed++
		}
	}
	if len(m.marks) == 0 || len(m.marks) != placed {
		t.Fatalf("%d rings found, %d findings have a place", len(m.marks), placed)
	}
	for _, k := range m.marks {
		if got := findingAt(fs, h.view.cam, k.x+3, k.y-3); got != k.index {
			t.Errorf("ring %d: pressed %d", k.index, got)
		}
		h.choose(selection{stage: plate.StageStock})
		at := fyne.NewPos(float32(k.x), float32(k.y))
		h.press(at, 0)
		h.release(at)
		if f := fs[k.index]; h.sel.stage != f.Stage || h.sel.id != plate.ID(f.Feature) {
			t.Errorf("ring %d selected %+v, want %s %d", k.index, h.sel, f.Stage, f.Feature)
		}
	}
	h.parts &^= scene.Findings
	k := m.marks[0]
	if got := h.view.pick(k.x, k.y); got.mark >= 0 {
		t.Error("a hidden ring was pressed")
	}
}

func TestTablesSelectOnThePlate(t *testing.T) {
	h := newHarness(t, Options{})
	for _, v := range []ledgerView{tableMass, tableCard, tableSections, tableFindings} {
		h.openTable(v)
		tab := h.drawer.tables[v]
		if !h.drawer.object.Visible() || v != tableFindings && len(tab.rows) == 0 {
			t.Errorf("table %s: visible %v, %d rows", v, h.drawer.object.Visible(), len(tab.rows))
		}
		for i, r := range tab.rows {
			if r.id != 0 {
				tab.list.Select(i)
				if h.sel.id != r.id {
					t.Errorf("table %s row %d selected %+v, want feature %d", v, i, h.sel, r.id)
				}
				break
			}
		}
	}
	sum := 0.0
	for _, s := range h.job.Mass().Value.Shares {
		sum += s.MassKG
	}
	if m := h.job.Mass().Value.MassKG; math.Abs(sum-m) > 1e-9*m {
		t.Errorf("the owners' masses sum to %v, the plate weighs %v", sum, m)
	}
	h.openTable(tableFindings)
	if h.drawer.object.Visible() || h.open != tableNone {
		t.Error("a second press does not close the table")
	}
}

func TestInches(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	h.menu("Show inches")
	n := h.number("rim_mm")
	if n.kind.unit != "in" || n.Text != n.kind.format(h.job.Doc().Rim) {
		t.Errorf("in inches the rim shows %q %s", n.Text, n.kind.unit)
	}
	h.typeIn(n, "0.5")
	enter(n)
	if got := h.job.Doc().Rim; math.Abs(got-12.7) > 1e-9 {
		t.Errorf("half an inch is %v mm, want 12.7", got)
	}
	h.menu("Show millimetres")
	if n := h.number("rim_mm"); n.Text != "12.7" {
		t.Errorf("back in millimetres the rim shows %q", n.Text)
	}
}

func TestJobSheetByKeyboard(t *testing.T) {
	h := newHarness(t, Options{})
	h.sheet.focus(0)
	key(h.win.Canvas().Focused(), fyne.KeyDown)
	if h.sel.stage != plate.StageOutline {
		t.Errorf("one key down from the stock selected %+v", h.sel)
	}
	h.menu("5  Ribs")
	if h.sel.stage != plate.StageRibs {
		t.Errorf("the menu's stage 5 selected %+v", h.sel)
	}
}

// Features, corners and fields are reached without a pointer.
func TestStepAndEnterByKeyboard(t *testing.T) {
	h := newHarness(t, Options{})
	doc := h.job.Doc()
	h.win.Canvas().Focus(h.view)
	h.choose(selection{stage: plate.StageBores})
	for _, want := range []int{0, 1, 2, 0} {
		key(h.view, fyne.KeyPageDown)
		if h.sel.id != doc.Bores[want].ID {
			t.Errorf("Page Down selected %+v, want bore %d", h.sel, want)
		}
	}
	key(h.view, fyne.KeyPageUp)
	if h.sel.id != doc.Bores[2].ID {
		t.Errorf("Page Up selected %+v, want the last bore", h.sel)
	}
	key(h.view, fyne.KeyReturn)
	if f := h.win.Canvas().Focused(); f != h.field("name") {
		t.Errorf("Enter put the focus on %T, want the name", f)
	}
	h.choose(selection{stage: plate.StageOutline})
	key(h.view, fyne.KeyPageDown)
	if h.sel.corner != 1 {
		t.Errorf("Page Down in the outline selected %+v, want corner 1", h.sel)
	}
}

// The hint goes from step to step as the person does what it says, and does not come again.
func TestHint(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("Show the hint again")
	if !h.hints.object.Visible() {
		t.Fatal("no hint")
	}
	b := h.boreNamed(motor)
	h.click(geom.Pt(b.X, b.Y))
	if h.hints.step != hintDrag {
		t.Errorf("after a selection the hint is at step %d, want %d", h.hints.step, hintDrag)
	}
	key(h.view, fyne.KeyRight)
	h.openTable(tableMass)
	if h.hints.object.Visible() || !h.app.Preferences().Bool(prefHintDone) {
		t.Errorf("the hint is still at step %d", h.hints.step)
	}
}
