package table

import (
	"bytes"
	"encoding/csv"
	"math"
	"testing"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// The limits of the table are those of ISO 286-2 (H7 at 42: 0/+25 µm, N7: −33/−8 µm; a bearing maker's public page, seen,
// among the values that plate/standard is held to) and of ISO 2768-1 m (±0.2 mm over 6 to 30 mm, from memory), and before a
// finish that grows by 10 µm on every surface a hole is machined 20 µm larger.
func TestHoleTableLimits(t *testing.T) {
	p := plate.New("holes")
	p.Rim = 0
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 200, Y: 0}, {X: 200, Y: 100}, {X: 0, Y: 100}}}
	p.Machining.ZeroX, p.Machining.ZeroY = 10, 20
	p.Stock.Finish = plate.Finish{Name: "anodised", Growth: 0.01, Masked: []plate.ID{2}}
	p.Bores = []plate.Bore{
		{ID: 1, Name: "Pivot", X: 60, Y: 50, Diameter: 35, Fit: "H7", Seats: []plate.Seat{{Side: plate.Top, Diameter: 42, Depth: 8, Fit: "N7"}}},
		{ID: 2, Name: "Shaft", X: 140, Y: 50, Diameter: 42, Fit: "H7"},
	}
	p.Holes = []plate.Hole{
		{ID: 3, Name: "Bolt", X: 20, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}},
		{ID: 4, Name: "Guard", X: 30, Y: 80, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 8}},
	}
	p.NextID = 5
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	holes, err := Holes(l)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]Hole{}
	for _, h := range holes {
		got[h.Name+" "+h.Kind] = h
	}
	near := func(name string, a, b float64) {
		t.Helper()
		if math.Abs(a-b) > 1e-9 {
			t.Errorf("%s: %.4f, want %.4f", name, a, b)
		}
	}
	pivot, seat, shaft, bolt, guard := got["Pivot bore"], got["Pivot seat"], got["Shaft bore"], got["Bolt drilled"], got["Guard tapped"]
	near("seat low", seat.Low, 42-0.033)
	near("seat high", seat.High, 42-0.008)
	near("seat, machined low", seat.MakeLow, 42-0.033+0.02)
	near("shaft low", shaft.Low, 42)
	near("shaft high", shaft.High, 42.025)
	near("masked shaft, machined high", shaft.MakeHigh, 42.025)
	near("pivot, machined high", pivot.MakeHigh, 35.025+0.02)
	near("bolt high", bolt.High, 9.2)
	near("x from the work zero", pivot.X, 50)
	near("y from the work zero", pivot.Y, 30)
	if pivot.Tag != seat.Tag || pivot.Tag == shaft.Tag || !shaft.Masked || guard.Low != 0 || guard.Thread != "M6" {
		t.Errorf("tags %q, %q, %q, masked %v, thread %+v", pivot.Tag, seat.Tag, shaft.Tag, shaft.Masked, guard)
	}
	profile, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.Build(t.Context(), report.Inputs{Plate: p, Profile: profile, Want: report.Mass})
	if err != nil {
		t.Fatal(err)
	}
	var file, sheet bytes.Buffer
	if err := HolesCSV(&file, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&file).ReadAll()
	if err != nil || len(rows) != 1+len(holes) {
		t.Errorf("%d rows, error %v; want a head and %d", len(rows), err, len(holes))
	}
	if err := HolesPDF(&sheet, r, Sheet{}); err != nil || !bytes.HasPrefix(sheet.Bytes(), []byte("%PDF-")) {
		t.Errorf("sheet: %v", err)
	}
	if err := HolesCSV(&file, report.Report{}); err == nil {
		t.Error("a report of nothing has a hole table")
	}
}
