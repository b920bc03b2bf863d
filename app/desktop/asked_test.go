package desktop

import (
	"math"
	"strings"
	"testing"

	"platewright/app/session"
	"platewright/export/report"
	"platewright/plate"
)

// Frequencies and a sweep are computed in the background when asked for, can be stopped, and are grey while the plate is newer.
func TestAskedFor(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	h := newHarness(t, Options{Sample: "camera-dolly-cheek"})
	h.do(plate.Replace("test", func(p *plate.Plate) { // without pockets the analysis takes a moment
		p.Pockets, p.Grids, p.Ribs, p.Holes, p.Circles, p.Slots, p.Inlays, p.KeepOuts = nil, nil, nil, nil, nil, nil, nil, nil
		p.Supports, p.Loads, p.Cases = nil, nil, nil
	}))
	h.settle()
	h.menu("Natural frequencies")
	if h.job.Asked().Running == "" {
		t.Fatalf("nothing runs; said %q", h.said)
	}
	h.job.StopAsked()
	h.settle()
	if a := h.job.Asked(); a.Running != "" || len(a.Answers) != 0 || !strings.Contains(a.Trouble, "stopped") {
		t.Fatalf("stopped, it stands at %+v", a)
	}
	h.menu("Natural frequencies")
	h.settle()
	a := h.job.Asked()
	if len(a.Answers) != 1 || a.Answers[0].Stale || len(a.Answers[0].Extra.Free) != askedModesCount {
		t.Fatalf("the answer is %+v", a)
	}
	hz := a.Answers[0].Extra.Free
	for i, v := range hz {
		if !(v > 0) || i > 0 && v < hz[i-1] {
			t.Errorf("frequencies %v do not rise from above zero", hz)
		}
	}
	ps := places(h.job.Doc(), true)
	if len(ps) < 2 {
		t.Fatal("the sample has no two bores")
	}
	h.menu("EI and GJ along the plate…")
	if !h.sheetOpen() {
		t.Fatalf("no sheet asks; said %q", h.said)
	}
	h.button("Compute")
	h.settle()
	_, rows := h.drawer.sweepRows()
	as := h.job.Asked().Answers
	s := as[len(as)-1].Swept
	if len(rows) != askedStations || !strings.Contains(rows[s.WeakestEI].cells[5], "weakest EI") || rows[0].tone == toneFaint {
		t.Fatalf("%d rows: %v", len(rows), rows)
	}
	if want := math.Hypot(ps[0].ref.Where[0]-ps[1].ref.Where[0], ps[0].ref.Where[1]-ps[1].ref.Where[1]); math.Abs(s.Length-want) > 1e-6 {
		t.Errorf("the way is %v long, want %v", s.Length, want)
	}
	h.ask(session.Question{Name: askedStiff, More: report.More{Between: [][2]plate.ID{{ps[0].ref.ID, ps[1].ref.ID}}}}, tableAsked)
	h.settle()
	_, rows = h.drawer.askedRows()
	if text := allCells(rows); !strings.Contains(text, "between "+ps[0].word) || !strings.Contains(text, "frequency 6") {
		t.Errorf("the table has\n%s", text)
	}
	h.edit(plate.SetRim(h.job.Doc().Rim+1), "")
	if title, rows := h.drawer.sweepRows(); !strings.Contains(title, "before the last change") || rows[0].tone != toneFaint {
		t.Errorf("over a newer plate: %q, tone %v", title, rows[0].tone)
	}
	if _, rows := h.drawer.askedRows(); rows[0].tone != toneFaint || rows[len(rows)-1].tone != toneFaint {
		t.Errorf("over a newer plate the figures are not grey")
	}
}

func allCells(rows []row) string {
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(r.cells, " | ") + "\n")
	}
	return b.String()
}
