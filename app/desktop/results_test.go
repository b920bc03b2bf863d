package desktop

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/shopspring/decimal"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/quote"
	"platewright/plate/route"
)

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
	h.edit(setRim(h.job.Doc().Rim+4), "")
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
	h.edit(setRim(h.job.Doc().Rim+1), "")
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

// The stress and deflection of the load cases are drawn, greyed while the plate is newer, and stand in ledger and table.
func TestLoadCases(t *testing.T) {
	h := newHarness(t, Options{Sample: "camera-dolly-cheek"}) // the smallest: an analysis takes seconds on a busy machine
	h.do(plate.Replace("test", func(p *plate.Plate) { p.Supports, p.Loads, p.Cases = nil, nil, nil }))
	h.menu("New support")
	h.menu("New load")
	h.menu("New load case")
	id := h.sel.id
	h.settle()
	k := h.job.Cases()
	if !k.OK || k.Stale || len(k.Value.Cases) != 1 {
		t.Fatalf("the case is not analysed: %v", h.job.Findings().Value)
	}
	c := &k.Value.Cases[0]
	f := h.figures()[tableCases]
	if f.value != reserveText(c.Reserve) || f.hidden || !strings.Contains(f.caption, c.Case.Name) {
		t.Errorf("the ledger shows %+v for a reserve of %v", f, c.Reserve)
	}
	h.action("Show its stress")
	_, field := h.Window.overlay()
	if field == nil || field.High != c.MaxVonMises || field.Stale != "" {
		t.Fatalf("the stress drawn is %+v, want up to %v", field, c.MaxVonMises)
	}
	h.menu("Deflection")
	if _, field := h.Window.overlay(); field == nil || field.High != c.MaxDeflection || field.Unit != "mm" {
		t.Errorf("the deflection drawn is %+v", field)
	}
	h.edit(setRim(h.job.Doc().Rim+2), "")
	if _, field := h.Window.overlay(); field == nil || field.Stale == "" {
		t.Error("over a newer plate the old deflection counts as current")
	}
	h.menu("Undo") // what it led to is known already
	h.settle()
	if _, field := h.Window.overlay(); field == nil || field.Stale != "" {
		t.Error("back on the plate that was analysed the deflection is old still")
	}
	h.menu("Load cases")
	_, rows := h.drawer.caseRows()
	if len(rows) < 2 || rows[0].id != id || rows[0].cells[2] != h.figures()[tableCases].value {
		t.Errorf("the table has %d rows, the first %+v", len(rows), rows[0])
	}
	if text := h.message(); !strings.Contains(text, c.Case.Name) {
		t.Errorf("what is drawn is called %q", text)
	}
	h.menu("Nothing over the plate")
	if _, field := h.Window.overlay(); field != nil {
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

// An estimated price has two significant digits, whatever its size.
func TestAmountHasTwoDigits(t *testing.T) {
	for in, want := range map[string]string{
		"0": "0.0", "0.04": "0.040", "9.87": "9.9", "12.4": "12", "99.6": "100", "258.7": "260", "768.82": "770", "1887.16": "1900",
	} {
		if got := strings.NewReplacer("\u2009", "", "\u00a0", "", "\u202f", "", " ", "").Replace(amount(decimal.RequireFromString(in))); got != want {
			t.Errorf("%s is written %q, want %q", in, got, want)
		}
	}
}

// The route card shows what each operation takes more or less than in the baseline, operations that are new or gone included: together
// they are the difference of all minutes.
func TestMinutesAgainstTheBaseline(t *testing.T) {
	h := newHarness(t, Options{})
	base, known := h.job.Baseline()
	if !known {
		t.Fatal("the baseline is not known")
	}
	total := func(p route.Plan) (sum float64) {
		for _, o := range p.Operations {
			sum += o.TotalMin
		}
		return sum
	}
	_, rows := h.drawer.cardRows()
	for _, r := range rows {
		if len(r.cells) > 4 && r.cells[4] != "" {
			t.Errorf("nothing has changed, and %q differs by %s", r.cells[2], r.cells[4])
		}
	}
	h.edit(setRim(h.job.Doc().Rim+6), "")
	h.settle()
	want := total(h.job.Machining().Value) - total(base.Machining.Value)
	if math.Abs(want) < 0.1 {
		t.Fatalf("a wider rim changes the minutes by %v: too little to test with", want)
	}
	got := 0.0
	_, rows = h.drawer.cardRows()
	for _, r := range rows {
		if len(r.cells) < 5 {
			continue
		}
		switch d := r.cells[4]; d {
		case "":
		case "new":
			v, err := strconv.ParseFloat(r.cells[3], 64)
			if err != nil {
				t.Fatal(err)
			}
			got += v
		default:
			v, err := strconv.ParseFloat(strings.ReplaceAll(d, "−", "-"), 64)
			if err != nil {
				t.Fatal(err)
			}
			got += v
		}
	}
	if math.Abs(got-want) > 0.005*float64(len(rows)) {
		t.Errorf("the rows differ by %.3f min from the baseline, the plans by %.3f", got, want)
	}
}

// A line of the price that only the baseline has is shown as gone, with what it cost.
func TestPriceLineGone(t *testing.T) {
	ten := decimal.NewFromInt(10)
	from := quote.Quote{Currency: "EUR", Batches: []quote.Batch{{Quantity: 5, Lines: []quote.Line{{Name: "finish", Amount: ten}, {Name: "sawing", Amount: ten}}}}}
	to := quote.Quote{Currency: "EUR", Batches: []quote.Batch{{Quantity: 5, Lines: []quote.Line{{Name: "sawing", Amount: ten.Add(ten)}}}}}
	rows := linesGone(from, to, to.Batches[0])
	if len(rows) != 1 || rows[0].cells[0] != "   finish, no longer" || rows[0].cells[2] != "−10.00" {
		t.Errorf("rows %+v, want the finish as gone", rows)
	}
}
