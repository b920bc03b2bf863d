package desktop

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"platewright/export/report"
	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Every form of the Add menu can be made on a sample, has every field shown, can be made again like itself, and is undone in
// one step. What needs something else first has it made before.
func TestEveryFormCanBeAdded(t *testing.T) {
	h := newHarness(t, Options{})
	first := map[string]string{
		"New setting of the adjusters": "New eccentric",
		"New load case":                "New support, New load",
	}
	for _, a := range adders() {
		start := plate.Revision(h.job.Doc())
		before := 0
		for _, need := range strings.Split(first[a.text], ", ") {
			if need != "" {
				h.menu(need)
				before++
			}
		}
		h.choose(selection{stage: a.stage})
		h.menu(a.text)
		f, ok := h.job.Doc().Find(h.sel.id)
		if !ok || f.Stage != a.stage {
			t.Errorf("%s: selected %+v (%v), said %q", a.text, h.sel, ok, h.said)
			continue
		}
		if l, _ := h.job.UndoLabel(); !strings.HasPrefix(l, "new ") {
			t.Errorf("%s: undo reads %q", a.text, l)
		}
		if got, want := len(h.side.bound), len(h.selectedFields(h.job.Doc(), h.sel)); got != want || got == 0 {
			t.Errorf("%s: %d fields are shown, want %d", a.text, got, want)
		}
		h.frame()
		for _, d := range h.job.Findings().Value {
			if d.Level == finding.Error && plate.ID(d.Feature) == f.ID {
				t.Errorf("%s: a new one is wrong from the start: %s", a.text, d.What)
			}
		}
		again := h.sel
		h.menu("Another like it")
		if f.Kind == plate.KindEccentric { // its bore holds one, and the sample has no other of this size
			if !strings.Contains(h.said, "a bore holds one eccentric") {
				t.Errorf("a second eccentric in one bore says %q", h.said)
			}
			h.menu("New hole")
		} else if g, ok := h.job.Doc().Find(h.sel.id); !ok || g.Kind != f.Kind || h.sel == again {
			t.Errorf("%s: another like it selected %+v, said %q", a.text, g, h.said)
		}
		h.deleteSelected()
		for range 3 + before {
			h.menu("Undo")
		}
		if plate.Revision(h.job.Doc()) != start {
			t.Errorf("%s: undo did not lead back", a.text)
		}
	}
}

// What is pressed last is where a new thing goes; used once, the middle of the view is meant again.
func TestAddAtThePlacePressed(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	var at geom.Point
	for i, c := range l.Cells { // the middle of a large cell is off every bore
		if c.State == layout.CellCut && c.Area > 400 {
			at = l.CellPoint(i)
			break
		}
	}
	h.click(at)
	h.menu("New slot")
	s := slotOf(ref(h.job.Doc()), h.sel.id)
	if s == nil || math.Abs(s.X-at.X) > 0.6 || math.Abs(s.Y-at.Y) > 0.6 {
		t.Fatalf("the slot is %+v, want it at %v", s, at)
	}
	if h.view.clicked != nil {
		t.Error("the place is kept after it was used")
	}
	h.view.TappedSecondary(&fyne.PointEvent{Position: h.at(at), AbsolutePosition: h.at(at)})
	if !h.sheetOpen() || h.view.clicked == nil {
		t.Error("the right button offers nothing")
	}
}

// Deleting what is used is refused with the users' names.
func TestDeleteNamesUsers(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selectFeature(h.job.Doc(), h.boreNamed(motor).ID))
	h.menu("New eccentric")
	name := eccentricOf(ref(h.job.Doc()), h.sel.id).Name
	h.choose(selectFeature(h.job.Doc(), h.boreNamed(motor).ID))
	h.deleteSelected()
	if !strings.Contains(h.said, name) {
		t.Errorf("the refusal %q does not name %q", h.said, name)
	}
}

// frame runs the loop until the newest document is derived: minutes and price are given up by the next edit.
func (h *harness) frame() {
	h.t.Helper()
	for h.job.Mass().Stale || h.job.Layout().Stale {
		select {
		case f := <-h.queue:
			f()
		case <-time.After(60 * time.Second):
			h.t.Fatal("no frame after 60 s")
		}
	}
}

func (h *harness) drag(from, to geom.Point, m fyne.KeyModifier) {
	a, b := h.at(from), h.at(to)
	h.press(a, m)
	h.dragTo(a, b)
	h.release(b)
	h.settle()
}

func (h *harness) gripAt(k gripKind, index int) geom.Point {
	h.t.Helper()
	for _, g := range grips(h.job.Doc(), h.sel) {
		if g.kind == k && g.index == index {
			at, _ := g.place(h.job.Doc())
			return at
		}
	}
	h.t.Fatalf("the selection %+v has no grip %d/%d", h.sel, k, index)
	return geom.Point{}
}

func TestDragSlot(t *testing.T) {
	h := newHarness(t, Options{})
	h.view.clicked = &geom.Point{X: h.view.cam.Center.X, Y: h.view.cam.Center.Y}
	h.menu("New slot")
	id := h.sel.id
	slot := func() plate.Slot { return *slotOf(ref(h.job.Doc()), id) }
	s := slot()
	h.drag(geom.Pt(s.X, s.Y), geom.Pt(s.X+12, s.Y+7), fyne.KeyModifierShift)
	if got := slot(); math.Abs(got.X-s.X-12) > 0.01 || math.Abs(got.Y-s.Y-7) > 0.01 || got.Length != s.Length {
		t.Errorf("the centre dragged gives %+v, from %+v", got, s)
	}
	s = slot()
	other := h.gripAt(gripEnd, 0)
	to := geom.Pt(other.X+30, other.Y+40) // 3-4-5: 50 long at atan(4/3)
	h.drag(h.gripAt(gripEnd, 1), to, fyne.KeyModifierShift)
	got := slot()
	if math.Abs(got.Length-50) > 0.02 || math.Abs(got.AngleDeg-math.Atan2(4, 3)*180/math.Pi) > 0.05 {
		t.Errorf("the end dragged gives length %v at %v°, want 50 at 53.13°", got.Length, got.AngleDeg)
	}
	if o := h.gripAt(gripEnd, 0); o.Dist(other) > 0.01 {
		t.Errorf("the other end went from %v to %v", other, o)
	}
	h.menu("Undo")
	if slot() != s {
		t.Errorf("one undo leads to %+v, want %+v", slot(), s)
	}
}

// An eccentric turns to whole degrees, in the setting that the plate is drawn in, or as drawn where there is none.
func TestTurnEccentric(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New eccentric")
	id := h.sel.id
	e := *eccentricOf(ref(h.job.Doc()), id)
	b := *boreOf(ref(h.job.Doc()), e.Bore)
	for range 14 {
		h.view.zoomBy(1.25) // the handle is near the bore's centre
	}
	h.view.centre(geom.Pt(b.X, b.Y))
	h.view.cam.Center = geom.Pt(b.X, b.Y)
	to := geom.Pt(b.X+e.E*math.Cos(1.05), b.Y+e.E*math.Sin(1.05)) // 60.16°
	h.drag(h.gripAt(gripTurn, 0), to, 0)
	if got := eccentricOf(ref(h.job.Doc()), id).AngleDeg; got != 60 {
		t.Errorf("turned to %v°, want 60°", got)
	}
	h.menu("New setting of the adjusters")
	set := h.sel.id
	h.action("Draw the plate in this setting")
	h.choose(selectFeature(h.job.Doc(), id))
	h.drag(h.gripAt(gripTurn, 0), geom.Pt(b.X, b.Y+e.E), 0)
	doc := h.job.Doc()
	if v := settingOf(&doc, set).Values[0]; v.AngleDeg != 90 || eccentricOf(&doc, id).AngleDeg != 60 {
		t.Errorf("in a setting: value %v°, drawn %v°; want 90 and 60", v.AngleDeg, eccentricOf(&doc, id).AngleDeg)
	}
	h.choose(selectFeature(h.job.Doc(), set))
	h.action("Set the adjusters to it")
	if got := eccentricOf(ref(h.job.Doc()), id).AngleDeg; got != 90 {
		t.Errorf("set to %v°, want 90°", got)
	}
}

// A clocked ring turns from one angle at which bolts fit to the next: 12 holes and 6 of the mate fit at every 30°.
func TestTurnRing(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New clocked ring")
	id := h.sel.id
	w, _ := wheelOf(ref(h.job.Doc()), id)
	to := geom.Pt(w.centre.X+w.radius*math.Cos(0.6), w.centre.Y+w.radius*math.Sin(0.6)) // 34.4°
	h.drag(h.gripAt(gripTurn, 0), to, 0)
	if got := ringOf(ref(h.job.Doc()), id).PositionDeg; got != 30 {
		t.Errorf("turned to %v°, want 30°", got)
	}
	if text := factText(h.adjusterFacts(h.job.Doc())); !strings.Contains(text, "6 bolts fit") {
		t.Errorf("the facts are %q", text)
	}
}

func factText(fs []fact) string {
	out := ""
	for _, f := range fs {
		out += f.text + "\n"
	}
	return out
}

func TestDragArcAndBounds(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New arced rib")
	id := h.sel.id
	at := h.gripAt(gripArc, 0)
	h.drag(at, geom.Pt(at.X+3, at.Y-4), fyne.KeyModifierShift)
	if r := ribOf(ref(h.job.Doc()), id); math.Abs(r.ThroughX-at.X-3) > 0.01 || math.Abs(r.ThroughY-at.Y+4) > 0.01 {
		t.Errorf("the arc dragged goes through (%v, %v), want (%v, %v)", r.ThroughX, r.ThroughY, at.X+3, at.Y-4)
	}
	h.menu("New keep-out")
	id = h.sel.id
	at = h.gripAt(gripCorner, 2)
	h.drag(at, geom.Pt(at.X+6, at.Y+5), fyne.KeyModifierShift)
	if c := keepOutOf(ref(h.job.Doc()), id).Bounds[2]; math.Abs(c.X-at.X-6) > 0.01 {
		t.Errorf("the keep-out's corner went to %+v", c)
	}
	h.deleteSelected() // the corner
	if n := len(keepOutOf(ref(h.job.Doc()), id).Bounds); n != 3 {
		t.Errorf("after deleting a corner %d are left", n)
	}
}

// Dragging the middle of a side puts a corner there; the whole drag is one undo, and a drag across the outline is refused.
func TestInsertCornerAndRefuseCrossing(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	doc := h.job.Doc()
	n := len(doc.Outline.Corners)
	g := grip{gripMiddle, 0, 0}
	at, ok := g.place(doc)
	if !ok {
		t.Fatal("the first side has no middle")
	}
	h.drag(at, geom.Pt(at.X+2, at.Y-6), fyne.KeyModifierShift)
	got := h.job.Doc().Outline.Corners
	if len(got) != n+1 || math.Abs(got[1].X-at.X-2) > 0.01 || math.Abs(got[1].Y-at.Y+6) > 0.01 || h.sel.corner != 2 {
		t.Fatalf("%d corners, the second at (%v, %v), selected %+v", len(got), got[1].X, got[1].Y, h.sel)
	}
	h.menu("Undo new corner")
	if len(h.job.Doc().Outline.Corners) != n {
		t.Error("one undo did not take the new corner back")
	}
	// Past the opposite corner: the sides would cross.
	c, far := doc.Outline.Corners[0], doc.Outline.Corners[n/2]
	h.choose(selection{stage: plate.StageOutline})
	from := geom.Pt(c.X, c.Y)
	to := geom.Pt(far.X+0.35*(far.X-c.X), far.Y+0.35*(far.Y-c.Y))
	h.press(h.at(from), fyne.KeyModifierShift)
	h.dragTo(h.at(from), h.at(to))
	if !strings.Contains(h.said, "cross") {
		t.Errorf("a drag across the outline says %q", h.said)
	}
	h.release(h.at(to))
	h.settle()
	if k := h.job.Doc().Outline; len(k.Corners) != n || k.Corners[0].X == to.X {
		t.Errorf("the corner went to %+v", k.Corners[0])
	}
}

// The outline goes from corners to a wrap, a contour and back, and keeps its area where its shape is kept.
func TestOutlineKinds(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	area := func() float64 { h.settle(); return h.job.Layout().Value.Outline.Outer.Area() }
	was := area()
	h.action("Turn it into a contour of vertices")
	if got := area(); math.Abs(got-was) > 1e-3 {
		t.Errorf("as a contour the area is %v, want %v", got, was)
	}
	h.choose(selection{stage: plate.StageOutline, corner: 1})
	h.action("New vertex after it")
	h.action("Delete this vertex")
	h.menu("Undo")
	h.menu("Undo")
	h.choose(selection{stage: plate.StageOutline})
	h.action("Turn it into drawn corners")
	if got := area(); math.Abs(got-was) > 1e-2 {
		t.Errorf("as corners again the area is %v, want %v", got, was)
	}
	h.action("Wrap it round the bores")
	doc := h.job.Doc()
	if doc.Outline.Kind != plate.Wrapped || len(doc.Outline.Wraps) < 2 {
		t.Fatalf("wrapped: %+v, said %q", doc.Outline, h.said)
	}
	wrapped := area()
	if h.job.Layout().Stale {
		t.Fatalf("the wrapped outline does not derive: %v", h.job.Findings().Value)
	}
	h.choose(selection{stage: plate.StageOutline, corner: 1})
	h.typeIn(h.number("outline.around[0].width_mm"), "14")
	enter(h.number("outline.around[0].width_mm"))
	if got := h.job.Doc().Outline.Wraps[0].Width; got != 14 {
		t.Errorf("the width of round 1 is %v, want 14", got)
	}
	h.menu("Undo")
	h.choose(selection{stage: plate.StageOutline})
	h.action("Turn it into drawn corners")
	if got := area(); math.Abs(got-wrapped) > 1e-2 {
		t.Errorf("a drawn copy of the wrap has area %v, want %v", got, wrapped)
	}
}

func TestMirroredHalf(t *testing.T) {
	square := []plate.Corner{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 20, Radius: 3}, {X: 10, Y: 20}, {X: 0, Y: 10}}
	half, at, err := halfOf(square, plate.AxisY)
	if err != nil || at != 20 {
		t.Fatalf("halfOf: %v at %v", err, at)
	}
	want := []plate.Corner{{X: 20, Y: 20}, {X: 10, Y: 20}, {X: 0, Y: 10}, {X: 0, Y: 0}, {X: 20, Y: 0}}
	if len(half) != len(want) {
		t.Fatalf("half %+v, want %+v", half, want)
	}
	for i := range want {
		if half[i] != want[i] {
			t.Errorf("corner %d is %+v, want %+v", i+1, half[i], want[i])
		}
	}
	if _, _, err := halfOf([]plate.Corner{{X: 0, Y: 0, Arc: true, ThroughX: 20, ThroughY: -5}, {X: 40, Y: 0}, {X: 40, Y: 20}, {X: 0, Y: 20}}, plate.AxisY); err == nil {
		t.Error("an arc across the middle was cut")
	}
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	h.action("Draw only the left half, and mirror it")
	if !h.job.Doc().Outline.Mirror.On {
		t.Fatalf("no half; said %q", h.said)
	}
	area := h.job.Layout().Value.Outline.Outer.Area()
	h.action("Draw the whole outline instead of one half")
	if got := h.job.Layout().Value.Outline.Outer.Area(); math.Abs(got-area) > 1e-6 {
		t.Errorf("drawn whole the area is %v, want %v", got, area)
	}
}

// One rib of a field, pressed on the plate, takes a width of its own and gives it up again.
func TestWidthOfOneRib(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	var at geom.Point
	found := -1
	for i := range l.Strips {
		s := &l.Strips[i]
		at = s.Edge().Mid()
		if id, k := l.FeatureAt(at, 2); k == layout.HitGrid && id == s.Feature && cellUnder(l, at, plate.Top) < 0 {
			found = i
			break
		}
	}
	if found < 0 {
		t.Skip("the sample has no free rib of a field")
	}
	h.click(at)
	if !h.sel.onRib || !strings.HasPrefix(h.side.title.text, "Rib of ") {
		t.Fatalf("a press on a rib selected %+v, title %q", h.sel, h.side.title.text)
	}
	mass := h.job.Mass().Value.MassKG
	h.typeIn(h.number("width_mm"), "9")
	enter(h.number("width_mm"))
	h.settle()
	g := gridOf(ref(h.job.Doc()), h.sel.id)
	if len(g.Widths) != 1 || g.Widths[0].Width != 9 || g.Widths[0].At != h.sel.rib {
		t.Fatalf("widths %+v, selected %+v", g.Widths, h.sel)
	}
	if got := h.job.Mass().Value.MassKG; got <= mass {
		t.Errorf("a wider rib weighs %v, before %v", got, mass)
	}
	h.choose(selectFeature(h.job.Doc(), h.sel.id))
	if rows := h.listOf(h.job.Doc()); len(rows) == 0 || !rows[0].sel.onRib {
		t.Errorf("the field does not list the choice: %+v", rows)
	}
	h.choose(h.listOf(h.job.Doc())[0].sel)
	h.action("As wide as the field's ribs again")
	if got := h.job.Mass().Value.MassKG; math.Abs(got-mass) > 1e-12 {
		t.Errorf("after giving it up the plate weighs %v, want %v", got, mass)
	}
}

// A cell takes a depth of its own, becomes a window, stays solid, and is as its pocket again.
func TestChoicesOfOneCell(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	for i, c := range l.Cells {
		if c.State == layout.CellCut && c.Side != plate.Through && c.Area > 300 {
			h.click(l.CellPoint(i))
			break
		}
	}
	if !h.sel.onCell {
		t.Fatalf("selected %+v", h.sel)
	}
	was := h.job.Doc()
	choose := func(word string) {
		h.side.bound[0].focus.(interface{ SetSelected(string) }).SetSelected(word)
		h.settle()
	}
	choose(cellOwn)
	h.typeIn(h.number("depth_mm"), "2.5")
	enter(h.number("depth_mm"))
	k := pocketOf(ref(h.job.Doc()), h.sel.id)
	if len(k.Depths) != 1 || k.Depths[0].Depth != 2.5 {
		t.Fatalf("depths %+v, said %q, refused %q", k.Depths, h.said, refusals(h))
	}
	choose(cellThrough)
	if d := pocketOf(ref(h.job.Doc()), h.sel.id).Depths; len(d) != 1 || !d[0].Through {
		t.Errorf("as a window: %+v", d)
	}
	choose(cellSolid)
	if k := pocketOf(ref(h.job.Doc()), h.sel.id); len(k.Depths) != 0 || len(k.Kept) == 0 {
		t.Errorf("solid: depths %+v, kept %+v", k.Depths, k.Kept)
	}
	choose(cellAsField)
	if plate.Revision(h.job.Doc()) != plate.Revision(was) {
		t.Error("as the pocket again, the document differs from before")
	}
}

// Seats of a bore have a heading each and can be taken out one by one.
func TestSeats(t *testing.T) {
	h := newHarness(t, Options{})
	id := h.boreNamed(motor).ID
	h.choose(selectFeature(h.job.Doc(), id))
	h.action("Add a seat")
	h.action("Add a seat")
	b := boreOf(ref(h.job.Doc()), id)
	if len(b.Seats) != 2 {
		t.Fatalf("%d seats, said %q", len(b.Seats), h.said)
	}
	text := allText(h.side.object)
	if !strings.Contains(text, "Seat 1") || !strings.Contains(text, "Seat 2") || !strings.Contains(text, "Remove") {
		t.Errorf("no headings of the seats in %q", text)
	}
	keep := b.Seats[1]
	if err := h.tryEdit(removeEntry(id, "seats", 0), ""); err != nil {
		t.Fatal(err)
	}
	if got := boreOf(ref(h.job.Doc()), id).Seats; len(got) != 1 || got[0] != keep {
		t.Errorf("after removing the first: %+v, want %+v", got, keep)
	}
	if l, _ := h.job.UndoLabel(); l != "delete of seat of "+motor {
		t.Errorf("undo reads %q", l)
	}
}

// The price stands in the ledger with its range, its drawer traces every line, and a change greys it until it is known.
func TestPrice(t *testing.T) {
	h := newHarness(t, Options{})
	k := h.job.Quote()
	if !k.OK || k.Stale {
		t.Fatalf("no price: %+v", h.job.Findings().Value)
	}
	f := h.figures()[tablePrice]
	b := k.Value.Batches[0]
	if !strings.Contains(f.value, amount(b.PiecePrice)) || !strings.Contains(f.note+f.remark, amount(b.Low)) || f.unit != k.Value.Currency {
		t.Errorf("the ledger shows %+v", f)
	}
	h.menu("Price, line by line")
	title, rows := h.drawer.priceRows()
	if !strings.Contains(title, k.Value.Currency) || len(rows) < 10 {
		t.Errorf("title %q, %d rows", title, len(rows))
	}
	sum := 0.0
	for _, l := range b.Lines {
		sum += l.Amount.InexactFloat64()
	}
	if math.Abs(sum-b.PiecePrice.InexactFloat64()) > 0.05 { // each rounded to a cent
		t.Errorf("the lines sum to %v, the price is %v", sum, b.PiecePrice)
	}
	h.edit(plate.SetRim(h.job.Doc().Rim+4), "")
	if !h.job.Quote().Stale {
		t.Error("after a change the old price counts as fresh")
	}
	h.settle()
	if f := h.figures()[tablePrice]; f.stale {
		t.Error("the price is not known again")
	}
	if w := h.sheetSummary(plate.StagePrice); !strings.HasPrefix(w, "batch ") {
		t.Errorf("the job sheet says %q", w)
	}
}

func (h *harness) sheetSummary(stage string) string {
	for _, r := range h.sheet.rows {
		if r.stage == stage {
			return r.summary.text
		}
	}
	return ""
}

// Tool paths are drawn by set-up and by operation, are gone while the plan is old, and Escape takes them away.
func TestToolPaths(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("Tool paths of all set-ups")
	all, _ := h.Window.overlay()
	if len(all) == 0 {
		t.Fatal("no paths are drawn")
	}
	h.menu("Tool paths of set-up 1")
	one, _ := h.Window.overlay()
	if len(one) == 0 || len(one) >= len(all) && len(h.job.Machining().Value.SetUps) > 1 {
		t.Errorf("set-up 1 has %d runs, all %d", len(one), len(all))
	}
	h.menu("Tool path of the next operation")
	op := h.over.op
	if op == 0 || !strings.Contains(h.message(), "tool path") {
		t.Errorf("operation %d, message %q", op, h.message())
	}
	_, rows := h.drawer.cardRows()
	h.drawer.press(rows[len(h.job.Machining().Value.Operations)-1])
	if h.over.op != len(h.job.Machining().Value.Operations) {
		t.Errorf("a press on the last row shows operation %d", h.over.op)
	}
	h.edit(plate.SetRim(h.job.Doc().Rim+1), "")
	if runs, _ := h.Window.overlay(); h.job.Machining().Stale && len(runs) > 0 {
		t.Error("old paths are drawn over the new plate")
	}
	h.settle()
	key(h.view, fyne.KeyEscape)
	if (h.over != overlay{}) {
		t.Error("Escape leaves the overlay")
	}
}

func TestExportSheetsAndPanels(t *testing.T) {
	h := newHarness(t, Options{})
	for _, c := range []struct{ menu, name, holds string }{
		{"Export route card", "card.pdf", "%PDF"},
		{"Export route card", "card.csv", "operation"},
		{"Export quote", "quote.pdf", "%PDF"},
		{"Export quote", "quote.csv", "piece"},
	} {
		h.exportTo(c.menu, filepath.Join(h.dir, c.name))
		if got := h.fileText(c.name); !strings.Contains(got, c.holds) {
			t.Errorf("%s: the file begins %.60q, want %q in it", c.name, got, c.holds)
		}
	}
	h.menu("Export inlay panels")
	if h.sheetOpen() || !strings.Contains(h.said, "inlay") {
		t.Errorf("without panels: a sheet is open %v, said %q", h.sheetOpen(), h.said)
	}
	h.menu("New inlay")
	h.settle()
	h.exportTo("Export inlay panels", filepath.Join(h.dir, "panel.dxf"))
	found, err := filepath.Glob(filepath.Join(h.dir, "panel*.dxf"))
	if err != nil || len(found) == 0 {
		t.Fatalf("no panel was written: %v, said %q, sheet %q", err, h.said, h.sheetText())
	}
}

func (h *harness) exportTo(item, path string) {
	h.t.Helper()
	h.menu(item)
	h.choosePath(path)
	h.settle()
}

func (h *harness) fileText(name string) string {
	h.t.Helper()
	data, err := os.ReadFile(filepath.Join(h.dir, name))
	if err != nil {
		h.t.Fatal(err)
	}
	return string(data)
}

// A finding with one clear remedy has a button for it, and pressing the button clears the finding.
func TestFixes(t *testing.T) {
	h := newHarness(t, Options{})
	for code, spoil := range map[string]func(*plate.Plate){
		"blank-small": func(p *plate.Plate) {
			p.Stock.Blank = plate.Blank{Fixed: true, Width: 50, Height: 50}
		},
		"floor-thin": func(p *plate.Plate) {
			k := &p.Pockets[0]
			k.Side, k.DepthBack, k.FloorRadius, k.Ledge = plate.Top, 0, 0, plate.Ledge{}
			k.Depth = p.Stock.Thickness() - 0.4
		},
		"profile-changed": func(p *plate.Plate) { p.Machining.ShopHash = strings.Repeat("0", 64) },
		"thickness-not-stocked": func(p *plate.Plate) {
			p.Stock.Nominal, p.Stock.Finished, p.Stock.Top, p.Stock.Bottom = 11.3, 11.3, plate.AsSupplied, plate.AsSupplied
		},
	} {
		h.do(plate.Replace("test", spoil))
		find := func() (finding.Finding, bool) {
			for _, f := range h.job.Findings().Value {
				if f.Code == code {
					return f, true
				}
			}
			return finding.Finding{}, false
		}
		f, ok := find()
		if !ok {
			t.Errorf("%s is not found", code)
			continue
		}
		h.show(f)
		text := h.fixText(f)
		if text == "" {
			t.Errorf("%s has no button", code)
			continue
		}
		pressed := false
		for _, o := range test.LaidOutObjects(h.side.object) {
			if b, ok := o.(*clickable); ok {
				if l, ok := b.content.(*line); ok && l.text == text {
					test.Tap(b)
					pressed = true
				}
			}
		}
		h.settle()
		if f, ok := find(); ok || !pressed {
			t.Errorf("%s: after %q (pressed %v, said %q) there is still %q", code, text, pressed, h.said, f.What)
		}
		h.job.Undo()
		h.job.Undo()
	}
}

// The table of settings has a row for the adjusters as drawn and for every setting, with the centres that they give.
func TestTableOfSettings(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New eccentric")
	id := h.sel.id
	h.menu("New setting of the adjusters")
	set := h.sel.id
	h.do(plate.Replace("test", func(p *plate.Plate) { settingOf(p, set).Values[0].AngleDeg = 180 }))
	h.choose(selection{stage: plate.StageHoles})
	h.action("Table of settings")
	_, rows := h.drawer.settingsRows()
	doc := h.job.Doc()
	e := eccentricOf(&doc, id)
	b := boreOf(&doc, e.Bore)
	var xs []string
	for _, r := range rows {
		if strings.TrimSpace(r.cells[0]) == e.Name {
			xs = append(xs, r.cells[2])
		}
	}
	want := []string{fmt.Sprintf("%.3f", b.X+e.E), fmt.Sprintf("%.3f", b.X-e.E)}
	if len(xs) != 2 || xs[0] != want[0] || xs[1] != want[1] {
		t.Errorf("the centre's x is %v, want %v: half a turn moves it by twice the offset", xs, want)
	}
}

// While the loads are looked at, an arrow stands along each force and a triangle under each support.
func TestLoadsAreDrawn(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New support")
	h.menu("New load")
	doc := h.job.Doc()
	runs := loadMarks(doc, h.sel, 1)
	if len(runs) != 3 || len(runs[1].Edges) != 2 || len(runs[2].Edges) != 3 {
		t.Fatalf("%+v, want shaft and head of an arrow, and a triangle", runs)
	}
	if d := runs[0].Edges[0].B.Sub(runs[0].Edges[0].A); d.X != 0 || d.Y >= 0 {
		t.Errorf("the arrow of a force downwards goes along %v", d)
	}
	if runs := loadMarks(doc, selection{stage: plate.StageBores}, 1); len(runs) > 0 {
		t.Error("loads are drawn over another stage")
	}
}

// A quantity that a report holds is drawn by one entry of the list of fields, and grey while the plate is newer than it.
func TestFieldOverlay(t *testing.T) {
	field := &scene.Field{Title: "depth below the top", Triangles: make([]scene.FieldTriangle, 1), High: 1}
	h := newHarness(t, Options{fields: []fieldOverlay{{"depth", func(r report.Report) *scene.Field {
		if !r.Layout.OK {
			return nil
		}
		return field
	}}}})
	h.menu("Depth")
	if _, f := h.Window.overlay(); f != field {
		t.Fatalf("the field drawn is %+v", f)
	}
	h.edit(plate.SetRim(h.job.Doc().Rim+1), "")
	if _, f := h.Window.overlay(); f == nil || f.Stale == "" {
		t.Errorf("over a newer plate the field is %+v", f)
	}
	h.settle()
	if _, f := h.Window.overlay(); f == nil || f.Stale != "" {
		t.Errorf("after the new report the field is %+v", f)
	}
	h.menu("Nothing over the plate")
	if _, f := h.Window.overlay(); f != nil {
		t.Error("the field stays")
	}
}

// A clamp is drawn where it holds, can be dragged, and a change of the plan takes over the operation whose path is shown.
func TestHoldingAndChanges(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New clamp")
	id := h.sel.id
	h.settle()
	if n := len(h.holdingShown()); n == 0 {
		t.Error("nothing that holds the work is drawn")
	}
	at := h.gripAt(gripCentre, 0)
	h.drag(at, geom.Pt(at.X+20, at.Y), fyne.KeyModifierShift)
	if c := holdingOf(ref(h.job.Doc()), id); math.Abs(c.X-at.X-20) > 0.01 {
		t.Errorf("the clamp went to (%v, %v)", c.X, c.Y)
	}
	h.menu("Tool path of the next operation")
	op := h.job.Machining().Value.Operations[h.over.op-1]
	h.menu("New change of the plan")
	cs := h.job.Doc().Machining.Changes
	if len(cs) != 1 || cs[0].Class != op.Class {
		t.Errorf("the change is %+v, want one of %q", cs, op.Class)
	}
}
