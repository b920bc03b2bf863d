package desktop

import (
	"math"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
)

// The table of joints has every check of every case as the report has them, its rows choose their feature, and it is grey while
// the plate is newer.
func TestJointTable(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	h := newHarness(t, Options{Sample: "camera-dolly-cheek"})
	h.do(plate.Replace("test", func(p *plate.Plate) {
		withoutPockets(p)
		p.Supports, p.Loads, p.Cases = nil, nil, nil
	}))
	h.menu("New support")
	h.menu("New load")
	h.menu("New load case")
	h.settle()
	h.menu("Joints, seats and floors")
	title, rows := h.drawer.jointRows()
	joints := h.job.Report().Joints
	if len(joints) != 1 || len(joints[0]) == 0 || len(rows) != len(joints[0])+1 || strings.Contains(title, "out of date") {
		t.Fatalf("%q: %d rows for %v", title, len(rows), joints)
	}
	_, cases := h.drawer.caseRows()
	if !slices.ContainsFunc(cases, func(r row) bool { return strings.Contains(r.cells[0], "joints, seats") }) {
		t.Error("the load cases say nothing of joints")
	}
	for i, j := range joints[0] {
		r := rows[i+1]
		if strings.TrimSpace(r.cells[0]) != j.Where || r.cells[2] != j.Check || r.id != j.Feature {
			t.Errorf("row %d is %q, the check %q of %q", i, r.cells, j.Check, j.Where)
		}
		switch {
		case j.NotAssessed != "":
			if r.cells[4] != "–" || r.cells[6] != "not assessed" || !strings.Contains(r.cells[7], j.NotAssessed) {
				t.Errorf("not assessed, the row is %q", r.cells)
			}
		case !math.IsInf(j.Reserve, 0) && (j.Reserve < 1) != (r.wordTone == toneWrong || r.wordTone == toneLook):
			t.Errorf("reserve %v in tone %v", j.Reserve, r.wordTone)
		}
	}
	last := rows[len(rows)-1]
	h.drawer.tables[tableJoints].list.Select(len(rows) - 1)
	if h.sel.id != last.id {
		t.Errorf("a press chose %v, want feature %d", h.sel, last.id)
	}
	if p := h.drawer.tables[tableJoints].picked; p != len(rows)-1 {
		t.Errorf("row %d is marked, %d was pressed", p, len(rows)-1)
	}
	h.edit(setRim(h.job.Doc().Rim+1), "")
	title, rows = h.drawer.jointRows()
	if !strings.Contains(title, "out of date") || rows[1].tone != toneFaint {
		t.Errorf("over a newer plate: %q, tone %v", title, rows[1].tone)
	}
}

// withoutPockets strips a plate, so that its analysis takes a moment.
func withoutPockets(p *plate.Plate) {
	p.Pockets, p.Grids, p.Ribs, p.Circles, p.Slots, p.Inlays, p.KeepOuts = nil, nil, nil, nil, nil, nil, nil
}
