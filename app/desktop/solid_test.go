package desktop

import (
	"slices"
	"strings"
	"testing"

	"platewright/plate"
)

// The solid check runs in the background by a menu item that stops it too, shows the live model's error in the table of load
// cases, and is grey while the plate is newer.
func TestSolidCheck(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	h := newHarness(t, Options{Sample: "camera-dolly-cheek"})
	h.do(plate.Replace("test", func(p *plate.Plate) { // without pockets the check takes a second
		p.Pockets, p.Grids, p.Ribs, p.Holes, p.Circles, p.Slots, p.Inlays, p.KeepOuts = nil, nil, nil, nil, nil, nil, nil, nil
		p.Supports, p.Loads, p.Cases = nil, nil, nil
	}))
	h.menu("Solid check")
	if s := h.job.Solid(); s.Running || s.Value != nil {
		t.Fatalf("without load cases a check runs: %+v", s)
	}
	h.menu("New support")
	h.menu("New load")
	h.menu("New load case")
	id := h.sel.id
	h.settle()
	row := func() (row, bool) { // the one below the figures: how far the live model is off
		_, rows := h.drawer.caseRows()
		i := slices.IndexFunc(rows, func(r row) bool { return strings.TrimSpace(r.cells[0]) == "solid check" })
		if i < 0 {
			return row{}, false
		}
		return rows[i+1], true
	}
	h.menu("Solid check")
	if !h.job.Solid().Running || h.solidLabel() != "Stop the solid check" {
		t.Fatalf("it does not run: %+v, said %q", h.job.Solid(), h.said)
	}
	h.refresh()
	h.menu("Stop the solid check")
	h.settle()
	if s := h.job.Solid(); s.Running || s.Value != nil || !strings.Contains(s.Trouble, "stopped") {
		t.Fatalf("stopped, it stands at %+v", s)
	}
	h.choose(selectFeature(h.job.Doc(), id))
	h.action("Solid check")
	h.settle()
	s := h.job.Solid()
	if s.Value == nil || s.Stale || s.Trouble != "" {
		t.Fatalf("the check gave %+v", s)
	}
	if c := &s.Value.Cases[0]; c.Refused != "" || c.LiveError.Stiffness < -5 || c.LiveError.Stiffness > 5 {
		t.Errorf("a plain plate is off by %+v, refused %q", c.LiveError, c.Refused)
	}
	r, ok := row()
	if !ok || r.tone == toneFaint || !strings.Contains(r.cells[1], "stiffness") {
		t.Errorf("the table has %+v", r)
	}
	h.do(setRim(h.job.Doc().Rim + 1))
	if r, ok := row(); !ok || r.tone != toneFaint {
		t.Errorf("over a newer plate the row is %+v", r)
	}
	h.menu("Undo")
	h.settle()
	if h.job.Solid().Stale {
		t.Error("back on the plate that was checked the check is old still")
	}
}
