package desktop

import (
	"testing"

	"fyne.io/fyne/v2"

	"platewright/plate"
)

func TestGate(t *testing.T) {
	h := newHarness(t, Options{})
	h.do(setRim(9))
	h.do(setRim(10))

	// Undo belongs to a text only while it holds something of its own.
	h.choose(selection{stage: plate.StageOutline})
	n := h.number("rim_mm")
	h.typeIn(n, "123")
	h.menu("Undo")
	if h.job.Doc().Rim != 10 || n.Text == "123" {
		t.Errorf("undo while typing: rim %v, text %q; want the text undone, the document not", h.job.Doc().Rim, n.Text)
	}
	key(n, fyne.KeyEscape)
	h.menu("Undo")
	if h.job.Doc().Rim != 9 {
		t.Errorf("undo in a field without typed text: rim %v, want 9", h.job.Doc().Rim)
	}

	// A disabled item does nothing though its shortcut fires.
	for range 3 {
		h.menu("Undo")
	}
	rev := h.job.Revision()
	h.menu("Undo")
	if h.job.Revision() != rev {
		t.Error("a disabled undo ran")
	}

	// Nothing goes through while a sheet is open, or while something is dragged.
	d := tell(h.win.Canvas(), "Stop", "for a moment")
	h.menu("Redo")
	if h.job.Revision() != rev {
		t.Error("redo went through an open sheet")
	}
	d.close()
	h.view.drag.pressed = true
	h.menu("Redo")
	if h.job.Revision() != rev {
		t.Error("redo went through a drag")
	}
	h.view.drag.pressed = false
	h.menu("Redo")
	if h.job.Doc().Rim != 9 {
		t.Errorf("redo led to rim %v, want 9", h.job.Doc().Rim)
	}
}

// Cut, copy and paste mean the text that has the focus, in a sheet too, and else the selected feature.
func TestClipboard(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	n := h.number("rim_mm")
	h.typeIn(n, "123")
	n.TypedShortcut(&fyne.ShortcutSelectAll{})
	h.menu("Copy")
	if got := h.app.Clipboard().Content(); got != "123" {
		t.Errorf("copied text %q, want 123", got)
	}
	key(n, fyne.KeyEscape)
	h.menu("Save as…")
	h.chooserName().SetText("")
	h.menu("Paste")
	if got := h.chooserName().Text; got != "123" {
		t.Errorf("pasted into a sheet %q, want 123", got)
	}
	key(h.chooserName(), fyne.KeyEscape)

	b := h.boreNamed("Bed pivot")
	h.choose(selection{stage: plate.StageBores, id: b.ID})
	h.win.Canvas().Focus(h.view)
	h.menu("Copy")
	h.openSample("camera-dolly-cheek")
	h.settle()
	h.menu("Paste bore Bed pivot")
	h.settle()
	got := boreOf(ref(h.job.Doc()), h.sel.id)
	if got == nil || got.Diameter != b.Diameter || got.Boss != b.Boss || got.ID == 0 {
		t.Errorf("pasted %+v, want one like %+v; said %q", got, b, h.said)
	}
	h.menu("Cut")
	if boreOf(ref(h.job.Doc()), got.ID) != nil {
		t.Error("the cut bore is still there")
	}
}

func ref(p plate.Plate) *plate.Plate { return &p }

// A shortcut that a field does not want reaches its command.
func TestShortcutsFromFields(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selection{stage: plate.StageOutline})
	n := h.number("rim_mm")
	h.typeIn(n, "12")
	n.TypedShortcut(ctrl(fyne.Key5))
	if h.sel.stage != plate.StageRibs || h.job.Doc().Rim != 12 {
		t.Errorf("from a field: stage %q, rim %v; want ribs, and the text committed", h.sel.stage, h.job.Doc().Rim)
	}
}

// The menu names what undo and redo will do.
func TestMenuNamesTheEdit(t *testing.T) {
	h := newHarness(t, Options{})
	b := h.boreNamed(motor)
	h.do(moveBore(b.ID, b.X+1, b.Y))
	labels := map[string]bool{}
	for _, m := range h.cmds.menu.Items {
		for _, i := range m.Items {
			labels[i.Label] = i.Disabled
		}
	}
	if off, ok := labels["Undo move of bore Motor"]; !ok || off {
		t.Errorf("the menu has %v", labels)
	}
	if off, ok := labels["Redo"]; !ok || !off {
		t.Error("redo is not disabled")
	}
	h.job.Undo()
	if h.cmds.update() {
		t.Error("the menu was not brought up to date by the change itself")
	}
}
