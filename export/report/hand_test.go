package report

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"

	"platewright/fea"
	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/material"
	"platewright/plate/quote"
	"platewright/plate/route"
	"platewright/plate/section"
	"platewright/plate/shop"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// handKey is the key of the report by hand.
var handKey = Key{Revision: "0123456789abcdef0123456789abcdef", Profile: "fedcba9876543210fedcba9876543210", Program: "9.9.9"}

// byHand is a report of invented figures, so that the way they are printed can be tested without computing any.
func byHand() Report {
	p := plate.Plate{
		Name: "Test plate",
		Stock: plate.Stock{
			Material: material.Material{Alloy: "EN AW-6082", Temper: "T651"},
			Nominal:  20, Finished: 18, Top: plate.Machined, Bottom: plate.Machined,
		},
		Bores:    []plate.Bore{{ID: 1, Name: "Pivot"}},
		CutLines: []plate.CutLine{{ID: 7, Name: "Waist", X2: 100}, {ID: 8, Name: "Neck", X2: 50}},
		Targets: []plate.Target{
			{ID: 9, Name: "Light", Quantity: plate.MassKG, Sense: plate.AtMost, Value: 1.2},
			{ID: 10, Name: "Quick", Quantity: plate.CycleMin, Sense: plate.AtMost, Value: 60},
			{ID: 11, Name: "Stiff", Quantity: plate.SectionEI, CutLine: 7, Sense: plate.AtLeast, Value: 1e8},
		},
	}
	r := Report{Key: handKey, Plate: p, in: Inputs{Plate: p, Profile: shop.Profile{Name: "example"}, Want: All}}
	r.Layout = Part[*layout.Layout]{Key: handKey, Value: &layout.Layout{}, OK: true}
	r.Mass = Part[mass.Result]{Key: handKey, OK: true, Value: mass.Result{
		MassKG: 1.2844, Volume: 475700, Density: 2700, Centroid: [3]float64{120.25, 80.5, 9},
		Inertia:     mass.Tensor{XX: 2500.5, YY: 8000.25, ZZ: 10400.75, XY: -12.5, XZ: 1e-12},
		BlankMassKG: 2.5, BlankVolume: 925900, Removed: 450200, BuyToFly: 1.9464, WettedArea: 91234.5,
		MassLow: 1.25, MassHigh: 1.31,
	}}
	r.Sections = Part[[]section.Result]{Key: handKey, OK: true, Value: []section.Result{{
		Name: "Waist", Pieces: 2, Area: 720.5, Centroid: [2]float64{50, 9}, ISS: 19440.25, IZZ: 600000.5,
		I1: 600000.5, I2: 19440.25, AxisRad: 1.5707963267948966, EA: 5.0435e7, EISS: 1.3608e9, EIZZ: 4.2e10, Label: section.UpperBound,
	}}}
	r.Torsion = Part[[]torsion.Result]{Key: handKey, OK: true, Value: []torsion.Result{{
		J: 9120.5, GJ: 2.4e8, Label: torsion.LowerBound,
		Pieces: []torsion.Piece{{J: 5000.5, Centroid: [2]float64{20, 9}, ShearCentre: [2]float64{20, 9}, Warping: 1e5}, {J: 4120}},
	}}}
	r.Machining = Part[route.Plan]{Key: handKey, OK: true, Value: handPlan()}
	r.Quote = Part[quote.Quote]{Key: handKey, OK: true, Value: handQuote()}
	r.Cases = Part[*fea.Result]{Key: handKey, OK: true, Value: handCases()}
	r.rest = Part[[]finding.Finding]{Key: handKey, OK: true}
	r.frame = Part[[]finding.Finding]{Key: handKey, OK: true, Value: []finding.Finding{
		{
			Code: "edge-short", Level: finding.Warning, Stage: "holes", What: "hole \"Rear\" stands 6 mm from the edge, 7.5 mm is the least",
			Why: "a hole nearer than 1.5 diameters tears out", Source: "common practice, no source", Fix: "move it inwards by 1.5 mm",
			Where: [2]float64{10, 20}, HasWhere: true, Feature: 3, FeatureName: "Rear",
		},
		{Code: "sharp", Level: finding.Note, Stage: "outline", What: "a sharp corner"},
	}}
	r.follow = Part[[]finding.Finding]{Key: handKey, OK: true, Value: []finding.Finding{
		{Code: "section-absent", Level: finding.Error, Stage: "stock", What: "the section at cut line \"Neck\" could not be computed: no metal", FeatureName: "Neck", Feature: 8},
	}}
	r.Baseline = Part[Baseline]{Key: handKey, OK: true, Value: Baseline{Revision: "aaaabbbbccccdddd", Changes: []Change{
		{Name: "mass", From: 1.4, To: 1.2844, HasFrom: true, HasTo: true, Unit: "kg"},
		{Name: "section area at Waist", To: 720.5, HasTo: true, Unit: "mm²"},
	}}}
	return r
}

func handCases() *fea.Result {
	return &fea.Result{
		Notes: []string{"Stress at the root of a rib is nominal."},
		Mesh: fea.MeshFacts{
			Elements: 4321, Nodes: 8765, Divided: 5432, AskedAngle: 25 * math.Pi / 180, Below: 3, LeastAngle: 12.5 * math.Pi / 180,
			At: geom.Pt(31, 41.5), Near: "bore \"Axle\"", Cause: "sharp corner of the plate",
		},
		Cases: []fea.CaseResult{
			{
				Case: plate.LoadCase{
					ID: 20, Name: "Braking", Kind: plate.Limit, Factor: 1.5,
					Origin: plate.Origin{Kind: plate.Worked, Text: "0.8 g on 160 kg"},
				},
				MaxDeflection: 0.2344, MaxDeflectionAt: [3]float64{10, 20, 9}, MaxVonMises: 88.25, MaxVonMisesAt: [3]float64{30, 40, 18},
				Surface: shell.Top, Principal: [2]float64{90.5, 4.5}, ReserveProof: 2.72, ReserveUltimate: 3.34, Reserve: 2.72,
				LeftOut:   []fea.LeftOut{{At: [3]float64{1, 2, 3}, Why: "within one thickness of a support", MPa: 140}},
				Stiffness: []fea.Figure{{Name: "Pivot along its load", Value: 12_345.6, Unit: "N/mm"}},
				Reactions: []fea.Reaction{{Support: 21, Name: "Axle", At: [3]float64{5, 6, 7}, Wrench: fea.Wrench{Force: [3]float64{-100, 50.25, 0}, Moment: [3]float64{0, 0, 1500}}}},
				Magnitude: 120, Imbalance: 3e-12, ErrorPercent: 4.321, Fatigue: "not assessed: no sourced data",
				Accuracy: sparse.Accuracy{BackwardError: 4e-16},
			},
			{
				Case:    plate.LoadCase{ID: 22, Name: "At rest", Kind: plate.Ultimate, Factor: 2},
				Reserve: math.Inf(1), ReserveProof: math.Inf(1), ReserveUltimate: math.Inf(1), Fatigue: "not assessed",
			},
		},
	}
}

func handQuote() quote.Quote {
	m := decimal.RequireFromString
	return quote.Quote{
		Currency: "EUR", Example: true, ValidDays: 30, Notes: []string{"the wear of tool EM6 is not in the price"},
		Batches: []quote.Batch{
			{
				Quantity: 1, PiecePrice: m("171"), Total: m("171"), Low: m("150.5"), High: m("200"),
				Lines: []quote.Line{
					{Name: "material", Amount: m("21"), Sum: "mass of the blank × price per kg", Inputs: []quote.Input{{Name: "price", Value: "8.40", Unit: "EUR/kg", From: "the shop's rates"}}},
					{Name: "set-up", Amount: m("150"), Sum: "set-up minutes × rate ÷ quantity", Inputs: []quote.Input{{Name: "quantity", Value: "1", Unit: "pieces", From: "the batch"}}},
				},
			},
			{
				Quantity: 10, PiecePrice: m("36"), Total: m("360"), Low: m("30"), High: m("45.05"),
				Lines: []quote.Line{
					{Name: "material", Amount: m("21"), Sum: "mass of the blank × price per kg"},
					{Name: "set-up", Amount: m("15"), Sum: "set-up minutes × rate ÷ quantity"},
				},
			},
		},
	}
}

func handPlan() route.Plan {
	return route.Plan{
		SetUps: []route.SetUp{{Number: 1, Face: plate.Top, Zero: geom.Pt(0, 0), Holding: "vice", Minutes: 25}, {Number: 2, Face: plate.Bottom, Turn: plate.AxisX, Note: "the outline comes loose from its tabs", Minutes: 16.3}},
		Operations: []route.Operation{
			{
				SetUp: 1, Tool: shop.Tool{ID: "EM10", Kind: shop.EndMill, Diameter: 10}, ToolNumber: 1, Name: "rough pockets", Where: route.OnMachine,
				Features: []plate.ID{1}, TotalMin: 12.5, CuttingMin: 11, RapidMin: 1.5, PathMM: 15250, Removed: 400000,
				Spindle: 12000, Feed: 2880, Ap: 5, Ae: 4, Passes: 2, LimitedBy: "spindle speed", Source: "a handbook, p. 1",
			},
			{
				SetUp: 2, Tool: shop.Tool{ID: "EM6", Kind: shop.EndMill, Diameter: 6}, ToolNumber: 2, Name: "finish outline", Where: route.OnMachine,
				TotalMin: 4.5, CuttingMin: 4, RapidMin: 0.5, PathMM: 900, Removed: 50200, Spindle: 12000, Feed: 1440, LimitedBy: "=deflection",
			},
			{SetUp: 2, Name: "break edges", Where: route.ByHand, TotalMin: 3},
		},
		CycleMin: 41.3, CycleLow: 33.04, CycleHigh: 61.95, FloorToFloorMin: 52.3, SetupMin: 30,
		CuttingMin: 30, RapidMin: 8.3, ToolChangeMin: 2, OtherMachineMin: 1, Removed: 450200,
	}
}

// golden compares got with a file of testdata/report.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "report", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s differs (-want +got):\n%s", name, diff)
	}
}

func TestPrintedByHand(t *testing.T) {
	r := byHand()
	var text, card bytes.Buffer
	if err := r.Text(&text, All); err != nil {
		t.Fatal(err)
	}
	golden(t, "hand.txt", text.Bytes())
	data, err := r.JSON(All)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "hand.json", data)
	if err := r.RouteCard(&card); err != nil {
		t.Fatal(err)
	}
	golden(t, "hand.csv", card.Bytes())
	again, err := r.JSON(All)
	if err != nil || !bytes.Equal(data, again) {
		t.Errorf("a second JSON differs from the first (error %v)", err)
	}
}

// A part of another key, or one that was not attempted, makes a report incomplete, and an incomplete one is not printed.
func TestOnlyCompleteReportsArePrinted(t *testing.T) {
	old := handKey
	old.Revision = "another"
	tests := map[string]func(*Report){
		"zero":                  func(r *Report) { *r = Report{} },
		"old layout":            func(r *Report) { r.Layout.Key = old },
		"old mass":              func(r *Report) { r.Mass.Key = old },
		"old sections":          func(r *Report) { r.Sections.Key = old },
		"machining not tried":   func(r *Report) { r.Machining = Part[route.Plan]{} },
		"price not tried":       func(r *Report) { r.Quote = Part[quote.Quote]{} },
		"cases not tried":       func(r *Report) { r.Cases = Part[*fea.Result]{} },
		"old findings of cases": func(r *Report) { r.rest.Key = old },
		"old findings":          func(r *Report) { r.frame.Key = old },
		"old findings of plan":  func(r *Report) { r.follow.Key = old },
		"document moved on":     func(r *Report) { r.Key = old },
		"other profile":         func(r *Report) { r.Key.Profile = "other" },
		"other program version": func(r *Report) { r.Key.Program = "10.0.0" },
	}
	for name, spoil := range tests {
		r := byHand()
		if !r.Complete() {
			t.Fatal("the report by hand is not complete")
		}
		spoil(&r)
		if r.Complete() {
			t.Errorf("%s: still complete", name)
		}
		if _, err := r.JSON(All); err != ErrIncomplete {
			t.Errorf("%s: JSON error %v, want %v", name, err, ErrIncomplete)
		}
		if err := r.Text(&bytes.Buffer{}, All); err != ErrIncomplete {
			t.Errorf("%s: Text error %v, want %v", name, err, ErrIncomplete)
		}
		if err := r.RouteCard(&bytes.Buffer{}); err != ErrIncomplete {
			t.Errorf("%s: RouteCard error %v, want %v", name, err, ErrIncomplete)
		}
	}
}

// A part that was not asked for may be missing; one that was attempted in vain may be absent.
func TestCompleteLooksAtWhatWasAskedFor(t *testing.T) {
	r := byHand()
	r.in.Want = Mass
	r.Machining, r.Sections, r.follow = Part[route.Plan]{}, Part[[]section.Result]{}, Part[[]finding.Finding]{}
	if !r.Complete() {
		t.Error("mass alone was asked for and is there, but the report is not complete")
	}
	r = byHand()
	r.Machining = Part[route.Plan]{Key: handKey}
	if !r.Complete() {
		t.Error("machining was attempted in vain, but the report is not complete")
	}
	data, err := r.JSON(All)
	if err != nil || bytes.Contains(data, []byte(`"machining"`)) {
		t.Errorf("machining that could not be computed is printed (error %v)", err)
	}
}

func TestWithKeepsOldPartsMarkedOld(t *testing.T) {
	now := byHand()
	now.Key.Revision = "next"
	now.Layout.Key, now.Mass.Key, now.frame.Key = now.Key, now.Key, now.Key
	now.Sections, now.Machining, now.follow = Part[[]section.Result]{}, Part[route.Plan]{}, Part[[]finding.Finding]{}
	now.Cases, now.rest = Part[*fea.Result]{}, Part[[]finding.Finding]{}
	now.Torsion, now.Quote = Part[[]torsion.Result]{}, Part[quote.Quote]{}
	got := now.With(byHand())
	if got.Mass.Key != now.Key || got.Machining.Key != handKey || got.Sections.Key != handKey || got.Quote.Key != handKey || got.Torsion.Key != handKey {
		t.Errorf("keys of mass, machining, sections = %v, %v, %v", got.Mass.Key, got.Machining.Key, got.Sections.Key)
	}
	if got.Complete() {
		t.Error("a report with old parts is complete")
	}
	for _, target := range got.Targets() {
		if want := target.Quantity == plate.MassKG; target.Known != want {
			t.Errorf("target %q known %v, want %v: targets are judged on current parts only", target.Name, target.Known, want)
		}
	}
}

func TestTargets(t *testing.T) {
	r := byHand()
	for _, tt := range []struct {
		quantity plate.Quantity
		sense    plate.Sense
		value    float64
		met      bool
	}{
		{plate.MassKG, plate.AtMost, 1.2844, true}, // met when equal
		{plate.MassKG, plate.AtMost, 1.28, false},
		{plate.MassKG, plate.AtLeast, 1.28, true},
		{plate.BuyToFly, plate.AtMost, 2, true},
		{plate.CycleMin, plate.AtMost, 41, false},
		{plate.SectionEI, plate.AtLeast, 1.3e9, true},
		{plate.SectionEI, plate.AtLeast, 1.4e9, false},
	} {
		r.Plate.Targets = []plate.Target{{ID: 1, Name: "T", Quantity: tt.quantity, Sense: tt.sense, Value: tt.value, CutLine: 7}}
		got := r.Targets()[0]
		if !got.Known || got.Met != tt.met {
			t.Errorf("%s %s %v: known %v met %v, want met %v", tt.quantity, tt.sense, tt.value, got.Known, got.Met, tt.met)
		}
		var missed int
		for _, f := range r.targetFindings() {
			if f.Code == "target-missed" {
				missed++
			}
		}
		if (missed == 1) == tt.met {
			t.Errorf("%s %s %v: %d findings of a missed target, met %v", tt.quantity, tt.sense, tt.value, missed, tt.met)
		}
	}
}

// A target on a figure that could not be computed is neither met nor missed, and a finding says so.
func TestTargetNotJudged(t *testing.T) {
	r := byHand()
	r.Plate.Targets = []plate.Target{{ID: 1, Name: "T", Quantity: plate.SectionEI, Sense: plate.AtLeast, Value: 1, CutLine: 8}}
	if got := r.Targets()[0]; got.Known || got.Met {
		t.Errorf("a target at a cut line without a section is judged: %+v", got)
	}
	fs := r.targetFindings()
	if len(fs) != 1 || fs[0].Code != "target-not-judged" {
		t.Errorf("findings %+v, want one target-not-judged", fs)
	}
	data, err := r.JSON(All)
	if err != nil || bytes.Contains(data, []byte(`"met"`)) {
		t.Errorf("a target that is not judged has a verdict (error %v)", err)
	}
}

// A plan that lacks an operation has minutes that stand for less than the plate: they are shown as such, not printed as JSON,
// and no target is met by them.
func TestIncompletePlan(t *testing.T) {
	r := byHand()
	r.Machining.Value.Incomplete = true
	if got, want := About(r.Machining.Value), "more than 41 min (incomplete: see the findings)"; got != want {
		t.Errorf("About = %q, want %q", got, want)
	}
	data, err := r.JSON(All)
	if err != nil || bytes.Contains(data, []byte(`"machining"`)) {
		t.Errorf("an incomplete plan is printed (error %v)", err)
	}
	for _, target := range r.Targets() {
		if target.Quantity == plate.CycleMin && target.Known {
			t.Errorf("target %q is judged on an incomplete plan", target.Name)
		}
	}
	for _, f := range r.Figures() {
		if f.Name == "cycle time" {
			t.Error("the minutes of an incomplete plan are compared")
		}
	}
}

func TestChanges(t *testing.T) {
	from := []Figure{{"mass", 2, "kg"}, {"area at A", 5, "mm²"}, {"gone", 1, "mm"}}
	now := []Figure{{"mass", 2 + 1e-12, "kg"}, {"area at A", 6, "mm²"}, {"fresh", 0, "mm"}}
	want := []Change{
		{Name: "area at A", From: 5, HasFrom: true, To: 6, HasTo: true, Unit: "mm²"},
		{Name: "fresh", To: 0, HasTo: true, Unit: "mm"},
		{Name: "gone", From: 1, HasFrom: true, Unit: "mm"},
	}
	if diff := cmp.Diff(want, changes(from, now)); diff != "" {
		t.Errorf("changes (-want +got):\n%s", diff)
	}
	if got := changes(now, now); got != nil {
		t.Errorf("changes of equal figures = %v, want none", got)
	}
}

func TestFindingsMergeSortedOnce(t *testing.T) {
	r := byHand()
	r.follow.Value = append(r.follow.Value, r.frame.Value[0])
	fs := r.Findings()
	var codes []string
	for _, f := range fs {
		codes = append(codes, f.Code)
	}
	want := []string{"section-absent", "edge-short", "target-missed", "sharp"}
	if diff := cmp.Diff(want, codes); diff != "" {
		t.Errorf("findings (-want +got):\n%s", diff)
	}
}

func TestFeatureAndCell(t *testing.T) {
	if got := featureName(finding.Finding{Feature: 12}); got != "feature 12" {
		t.Errorf("name of an unnamed feature = %q", got)
	}
	for in, want := range map[string]string{"": "", "=1+1": "'=1+1", "@x": "'@x", "-3": "'-3", "T1 =": "T1 ="} {
		if got := Cell(in); got != want {
			t.Errorf("Cell(%q) = %q, want %q", in, got, want)
		}
	}
}
