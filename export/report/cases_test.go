package report

import (
	"errors"
	"strings"
	"testing"

	"platewright/fea"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/shop"
)

// cantilever is a strip of 200 × 40 × 10 mm, fixed at its left end and loaded at its right end by a force across it.
func cantilever(t *testing.T, force float64) Inputs {
	t.Helper()
	p := plate.New("Strip")
	p.Rim = 0
	p.Stock.Nominal, p.Stock.Finished = 10, 10
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: -20}, {X: 200, Y: -20}, {X: 200, Y: 20}, {X: 0, Y: 20}}}
	p.Supports = []plate.Support{{ID: 1, Name: "Wall", Kind: plate.Fixed, On: plate.Place{OnEdge: true, X1: 0, Y1: 20, X2: 0, Y2: -20}}}
	p.Loads = []plate.Load{{
		ID: 2, Name: "Tip", Kind: plate.LineForce, On: plate.Place{OnEdge: true, X1: 200, Y1: -20, X2: 200, Y2: 20},
		Force: [3]float64{0, 0, force},
	}}
	p.Cases = []plate.LoadCase{{ID: 3, Name: "Bending", Kind: plate.Limit, Factor: 1, Origin: plate.Origin{Kind: plate.Assumed, Text: "a test"}, Loads: []plate.LoadFactor{{Load: 2, Factor: 1}}}}
	p.Targets = []plate.Target{
		{ID: 4, Name: "Stiff", Quantity: plate.Deflect, Case: 3, Sense: plate.AtMost, Value: 10},
		{ID: 5, Name: "Strong", Quantity: plate.Reserve, Sense: plate.AtLeast, Value: 1.5},
	}
	p.NextID = 6
	profile, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	return Inputs{Plate: p, Profile: profile, Want: Stress | Targets}
}

// A cantilever's tip deflects by F L³/(3 E I) and its root is stressed by F L h/(2 I) (beam theory; the plate is 5 times as
// long as wide, so that 3 % is asked).
func TestCantileverThroughTheReport(t *testing.T) {
	in := cantilever(t, 100)
	r, err := Build(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Cases.OK {
		t.Fatalf("no case was analysed: %v", r.Findings())
	}
	c := r.Cases.Value.Cases[0]
	want := 100 * 200 * 200 * 200 / (3 * in.Plate.Stock.Material.Young * 40 * 1000 / 12)
	if d := c.MaxDeflection/want - 1; d > 0.03 || d < -0.03 {
		t.Errorf("deflection %v mm, want %v", c.MaxDeflection, want)
	}
	for _, target := range r.Targets() {
		if !target.Known || !target.Met {
			t.Errorf("target %q: known %v, met %v at %v", target.Name, target.Known, target.Met, target.Now)
		}
	}
	if n := finding.Count(r.Findings(), finding.Error); n != 0 {
		t.Errorf("%d errors: %v", n, r.Findings())
	}
	text, err := r.StressText("Bending")
	if err != nil || !strings.Contains(text, "not a stress") && !strings.Contains(text, "Not a stress") {
		t.Errorf("error %v; the text does not list what is left out:\n%s", err, text)
	}
	if _, err := r.StressText("Twisting"); !errors.Is(err, ErrNoCase) {
		t.Errorf("a case that is not there: error %v", err)
	}
}

// Loads beyond the strength are an error, with its place; a case that cannot be analysed is one too, and the others stand.
func TestCasesThatFail(t *testing.T) {
	in := cantilever(t, 20_000)
	free := in.Plate.Cases[0]
	free.ID, free.Name = 6, "Repeated"
	free.Cycles = 1e5
	in.Plate.Cases = append(in.Plate.Cases, free)
	in.Plate.NextID = 7
	r, err := Build(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	codes := map[string]int{}
	for _, f := range r.Findings() {
		codes[f.Code]++
		if f.Code == "reserve-low" && (!f.HasWhere || f.Level != finding.Error) {
			t.Errorf("%+v has no place, or is no error", f)
		}
	}
	if codes["reserve-low"] != 2 || codes["fatigue-not-assessed"] != 1 || codes["target-missed"] == 0 {
		t.Errorf("findings %v, want two low reserves, one fatigue strength not assessed, and missed targets", codes)
	}
	in = cantilever(t, 100)
	in.Plate.Loads = append(in.Plate.Loads, plate.Load{ID: 6, Name: "Beside", Kind: plate.AreaForce, Force: [3]float64{0, 0, 1}, On: plate.Place{
		Side: plate.Top, Bounds: []plate.Corner{{X: 500, Y: 500}, {X: 510, Y: 500}, {X: 510, Y: 510}},
	}})
	in.Plate.Cases = append(in.Plate.Cases, plate.LoadCase{
		ID: 7, Name: "Nothing", Kind: plate.Limit, Factor: 1, Origin: plate.Origin{Kind: plate.Assumed}, Loads: []plate.LoadFactor{{Load: 6, Factor: 1}},
	})
	in.Plate.NextID = 8
	if r, err = Build(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	absent := 0
	for _, f := range r.Findings() {
		if f.Code == "case-absent" && f.Feature == 7 {
			absent++
		}
	}
	if absent != 1 || !r.Cases.OK || len(r.Cases.Value.Cases) != 1 {
		t.Errorf("%d findings of the case on nothing, cases %+v: want one, and the other case analysed", absent, r.Cases.Value)
	}
	for _, target := range r.Targets() {
		if target.ID == 5 && target.Known {
			t.Error("the worst of all cases is judged though one could not be analysed")
		}
	}
}

// A report that wants the load cases is complete only when the rest is done.
func TestRestCompletesTheReport(t *testing.T) {
	r, err := Frame(t.Context(), cantilever(t, 100))
	if err != nil {
		t.Fatal(err)
	}
	if r, err = r.Follow(t.Context()); err != nil || r.Complete() {
		t.Errorf("after Follow: error %v, complete %v without the load cases", err, r.Complete())
	}
	if r, err = r.Rest(t.Context()); err != nil || !r.Complete() || !r.Cases.OK {
		t.Errorf("after Rest: error %v, complete %v, cases %v", err, r.Complete(), r.Cases.OK)
	}
}

// Without load cases nothing is analysed, and the report is complete.
func TestNoCases(t *testing.T) {
	in := cantilever(t, 1)
	in.Plate.Cases, in.Plate.Targets = nil, nil
	r, err := Build(t.Context(), in)
	if err != nil || !r.Complete() || r.Cases.OK {
		t.Errorf("error %v, complete %v, cases %v", err, r.Complete(), r.Cases.OK)
	}
	var none *fea.Result
	if r.Cases.Value != none {
		t.Error("a result without cases")
	}
}

// A load that is none of the forces of its case's worked sum is noted; the sum is printed with the case.
func TestLoadBesideItsSum(t *testing.T) {
	for force, want := range map[float64]int{588.4: 0, 600: 0, 620: 1} { // 60 kg · 9.80665 m/s² · 2 · 0.5 = 588.4 N, within 2 %
		in := cantilever(t, force)
		in.Plate.Cases[0].Origin = plate.Origin{Kind: plate.Worked, Text: "a drop", Event: plate.Drop, Mass: 60, G: 2, Share: 0.5}
		r, err := Build(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		got := 0
		for _, f := range r.Findings() {
			if f.Code == "load-beside-sum" {
				got++
			}
		}
		if got != want {
			t.Errorf("%g N: %d notes, want %d", force, got, want)
		}
		text, err := r.StressText("")
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(text, "= upwards, 0.5 of it on the plate: 588.4 N") {
			t.Errorf("the worked sum is not printed:\n%s", text)
		}
	}
}

// A worked sum that gives no forces, of a braking that lifts the rear wheels, is a finding of its case.
func TestSumWithoutForces(t *testing.T) {
	in := cantilever(t, 100)
	in.Plate.Cases[0].Origin = plate.Origin{Kind: plate.Worked, Text: "hard", Event: plate.Braking, Mass: 60, Wheelbase: 1000, CentreX: 500, CentreHeight: 600, G: 1, Share: 0.5}
	r, err := Build(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings() {
		if f.Code == "worked-sum" && strings.Contains(f.What, "lifts the rear wheels, which happens at c/h = 0.8333 g") {
			return
		}
	}
	t.Errorf("no finding of a sum without forces in %v", r.Findings())
}
