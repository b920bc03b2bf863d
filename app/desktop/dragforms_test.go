package desktop

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"platewright/plate"
	"platewright/plate/geom"
)

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
	at := h.gripAt(gripSkin, 0)
	s, _ := skinOf(ref(h.job.Doc()), 0)
	was = *s.width
	h.drag(at, at.Add(s.out.Mul(6)), fyne.KeyModifierShift)
	if got := h.job.Doc().Outline.Wraps[0].Width; math.Abs(got-was-6) > 0.02 || h.sel.corner != 1 {
		t.Errorf("the skin dragged out by 6 is %v wide, from %v; selected %+v", got, was, h.sel)
	}
	h.menu("Undo change of width of round 1")
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
