package desktop

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"platewright/plate"
	"platewright/plate/geom"
)

func TestFieldsEditTheDocument(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	h.click(geom.Pt(b.X, b.Y))
	d := h.number("diameter_mm")
	h.typeIn(d, "2*20.5")
	enter(d)
	if got := h.boreNamed(motor).Diameter; got != 41 {
		t.Fatalf("diameter %v, want 41", got)
	}
	h.typeIn(h.field("name"), "Hub")
	enter(h.field("name"))
	if got := h.boreNamed("Hub"); got.ID != b.ID || h.side.title.text != "Bore: Hub" {
		t.Errorf("renamed %+v, title %q", got, h.side.title.text)
	}
	h.typeIn(h.field("name"), "Axle")
	enter(h.field("name"))
	if !strings.Contains(refusals(h), "Axle") {
		t.Errorf("a doubled name is refused with %q", refusals(h))
	}
	key(h.field("name"), fyne.KeyEscape)
	h.menu("Undo new name")
	h.menu("Undo diameter")
	if got := h.boreNamed(motor); !reflect.DeepEqual(got, b) {
		t.Errorf("after two undos %+v, want %+v", got, b)
	}
	h.choose(selection{stage: plate.StageOutline})
	h.typeIn(h.number("rim_mm"), "3/8 in")
	h.win.Canvas().Unfocus() // leaving commits
	if got := h.job.Doc().Rim; math.Abs(got-9.525) > 1e-12 {
		t.Errorf("rim %v, want 9.525", got)
	}
}

func TestBoundaries(t *testing.T) {
	h := newHarness(t, Options{})
	for _, id := range []plate.ID{h.job.Doc().Grids[0].ID, h.job.Doc().Pockets[0].ID} {
		h.choose(selectFeature(h.job.Doc(), id))
		h.action("Keep it inside a boundary")
		path := h.sel.path(h.job.Doc())
		if len(path) != 4 || len(grips(h.job.Doc(), h.sel)) < 4 {
			t.Fatalf("boundary has %d corners, %d grips", len(path), len(grips(h.job.Doc(), h.sel)))
		}
		k := path[2]
		from, to := h.at(geom.Pt(k.X, k.Y)), h.at(geom.Pt(k.X+11, k.Y+5))
		h.press(from, fyne.KeyModifierShift)
		h.dragTo(from, to)
		h.release(to)
		h.settle()
		if got := h.sel.path(h.job.Doc())[2]; math.Abs(got.X-k.X-11) > 0.01 || h.sel.corner != 3 {
			t.Errorf("boundary corner dragged to %v, selected %+v", got, h.sel)
		}
		h.choose(selectFeature(h.job.Doc(), id))
		h.action("Whole plate instead of the boundary")
		if n := len(h.sel.path(h.job.Doc())); n != 0 {
			t.Errorf("after giving up the boundary %d corners are left", n)
		}
	}
}
