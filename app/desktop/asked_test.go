package desktop

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

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
	h.menu("Export EI and GJ")
	path := filepath.Join(h.dir, "sweep.csv")
	h.choosePath(path)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no table was saved: %v; %s", err, h.sheetText())
	}
	table, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(table) != askedStations+1 || table[0][6] != "gj_n_mm2" || !strings.HasPrefix(table[s.WeakestEI+1][8], "EI") {
		t.Fatalf("the table has %d rows: %v, %q", len(table), err, table)
	}
	for i, st := range s.Stations {
		if v, err := strconv.ParseFloat(table[i+1][4], 64); err != nil || math.Abs(v/st.EI-1) > 1e-7 {
			t.Errorf("row %d says EI %q, want %v", i+1, table[i+1][4], st.EI)
		}
	}
	h.edit(setRim(h.job.Doc().Rim+1), "")
	if h.menu("Export EI and GJ"); h.sheetOpen() || !strings.Contains(h.said, "has changed") {
		t.Errorf("EI and GJ of an old plate are saved; said %q", h.said)
	}
	if title, rows := h.drawer.sweepRows(); !strings.Contains(title, "before the last change") || rows[0].tone != toneFaint {
		t.Errorf("over a newer plate: %q, tone %v", title, rows[0].tone)
	}
	if _, rows := h.drawer.askedRows(); rows[0].tone != toneFaint || rows[len(rows)-1].tone != toneFaint {
		t.Errorf("over a newer plate the figures are not grey")
	}
}

// Frequencies are asked for by load case where cases choose their supports; the stiffness with bores hinged and fixed stands in two
// columns, and what cannot stand on hinges says so.
func TestAskedByCase(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	h := newHarness(t, Options{Sample: "camera-dolly-cheek"})
	h.do(plate.Replace("test", func(p *plate.Plate) {
		withoutPockets(p)
		p.Bores = slices.Clone(p.Bores[:2])
		p.Holes = slices.Clone(p.Holes[:1])
		id := p.NextID
		p.Supports = []plate.Support{
			{ID: id, Name: "Near", Kind: plate.Fixed, On: plate.Place{Feature: p.Bores[0].ID}},
			{ID: id + 1, Name: "Far", Kind: plate.Fixed, On: plate.Place{Feature: p.Bores[1].ID}},
		}
		p.Loads = []plate.Load{{ID: id + 2, Name: "Pull", Kind: plate.BoreForce, On: plate.Place{Feature: p.Holes[0].ID}, Force: [3]float64{100, 50, 0}}}
		origin := plate.Origin{Kind: plate.Assumed, Text: "a test"}
		loads := []plate.LoadFactor{{Load: id + 2, Factor: 1}}
		p.Cases = []plate.LoadCase{
			{ID: id + 3, Name: "On both", Kind: plate.Limit, Factor: 1, Origin: origin, Loads: loads},
			{ID: id + 4, Name: "On one", Kind: plate.Limit, Factor: 1, Origin: origin, Loads: loads, Supports: []plate.ID{id}},
		}
		p.NextID = id + 5
	}))
	h.settle()
	hs := heldBy(h.job.Doc())
	if len(hs) != 2 || hs[0].id != 0 || hs[1].word != "the supports of On one" {
		t.Fatalf("to choose from are %v", hs)
	}
	h.menu("Natural frequencies…")
	if text := h.sheetText(); !strings.Contains(text, "Held by") {
		t.Fatalf("the sheet says %q", text)
	}
	h.button("Compute")
	h.settle()
	h.menu("Natural frequencies…")
	for _, o := range test.LaidOutObjects(h.win.Canvas().Overlays().Top()) {
		if list, ok := o.(*widget.Select); ok {
			list.SetSelected(hs[1].word)
		}
	}
	h.button("Compute")
	h.settle()
	as := h.job.Asked().Answers
	if len(as) != 2 || !(as[1].Extra.Held[0] < as[0].Extra.Held[0]) || strings.Contains(as[1].Extra.Supports, "Far") {
		t.Fatalf("the answers are %+v", as)
	}
	h.menu("Stiffness with bores hinged")
	h.settle()
	_, rows := h.drawer.askedRows()
	at := slices.IndexFunc(rows, func(r row) bool { return strings.Contains(r.cells[0], "On both") })
	if at < 0 || !slices.Equal(rows[at].cells[1:], []string{"hinged", "fixed"}) {
		t.Fatalf("the table has\n%s", allCells(rows))
	}
	as = h.job.Asked().Answers
	want := as[len(as)-1].Extra.Band[0][0]
	if r := rows[at+2]; !(want.Fixed > want.Hinged) || !slices.Equal(r.cells[1:], []string{report.Significant(want.Hinged), report.Significant(want.Fixed), want.Unit}) {
		t.Errorf("the row is %q for %+v", r.cells, want)
	}
	if text := allCells(rows); !strings.Contains(text, "could not be computed") || strings.Contains(text, "On one | hinged") {
		t.Errorf("on one hinge the plate stands:\n%s", text)
	}
	h.edit(setRim(h.job.Doc().Rim+1), "")
	if _, rows := h.drawer.askedRows(); rows[0].tone != toneFaint || rows[at+1].tone != toneFaint {
		t.Error("over a newer plate the band counts as current")
	}
	_, rows = h.drawer.caseRows()
	if k := h.job.Cases(); !k.Stale || rows[0].tone != toneFaint {
		t.Errorf("over a newer plate, stale %v, the load cases stand in tone %v", k.Stale, rows[0].tone)
	}
}

// A reserve has the digits that it deserves.
func TestFactorText(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{0.987, "0.99"}, {4.0512, "4.05"}, {77.949, "77.95"}, {150.54, "151"}, {1404.51, "1400"}} {
		if got := factorText(c.v); got != c.want {
			t.Errorf("%v is written %q, want %q", c.v, got, c.want)
		}
	}
}

// A wide row leaves the rest of its line to its last cell, and the row that is drawn there next has its columns again.
func TestWideRow(t *testing.T) {
	test.NewTempApp(t)
	tb := newTable([]column{{"a", 60, false}, {"b", 50, true}, {"c", 0, false}}, func(row) {})
	o := tb.newRow()
	o.Resize(fyne.NewSize(600, 20))
	cells := o.(*fyne.Container).Objects[0].(*fyne.Container).Objects
	tb.set([]row{{cells: []string{"1", "2", "3"}}, {wide: 1, cells: []string{"1", "a long text"}}})
	for i, want := range []float32{50, 500, 50} {
		tb.fillRow(i%2, o)
		w := cells[1].Size().Width
		if i == 1 && (w < want || cells[2].Size().Width > 0) || i != 1 && w != want {
			t.Errorf("drawn as %d, the second cell is %v wide, the third %v", i, w, cells[2].Size().Width)
		}
		if left := cells[1].(*line).align == fyne.TextAlignLeading; left != (i == 1) {
			t.Errorf("drawn as %d, the second cell stands at the left: %v", i, left)
		}
	}
}

func allCells(rows []row) string {
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(r.cells, " | ") + "\n")
	}
	return b.String()
}
