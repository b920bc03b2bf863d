package report

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
)

// bracket is a strip of 200 × 40 × 10 mm, fixed at its left end and pulled by an M8 bolt 12 mm from its right end.
func bracket(t *testing.T, pull float64) Inputs {
	t.Helper()
	in := cantilever(t, 0)
	p := &in.Plate
	p.Holes = []plate.Hole{{ID: 10, Name: "Lug", X: 188, Y: 0, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}}}
	p.Loads = []plate.Load{
		{ID: 2, Name: "Pull", Kind: plate.BoreForce, On: plate.Place{Feature: 10}, Force: [3]float64{pull, 0, 0}, At: [3]float64{2: 5}},
		{ID: 11, Name: "Bolt", Kind: plate.ClampForce, On: plate.Place{Feature: 10}, Clamp: 12_000, Bearing: 16, Friction: 0.2},
	}
	p.Cases[0].Loads = append(p.Cases[0].Loads, plate.LoadFactor{Load: 11, Factor: 1})
	p.Targets = nil
	p.NextID = 12
	return in
}

// The joints of a case reach text, JSON and findings, with what they rest on: bearing by e1/3d0 = 12/27 at 1.5 times the
// load.
func TestJointsThroughTheReport(t *testing.T) {
	in := bracket(t, 6000)
	in.Plate.Cases[0].Factor = 1.5
	r, err := Build(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	fu := in.Plate.Stock.Material.Ultimate
	data, err := r.JSON(Stress)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Cases []struct {
			Joints []struct {
				Joint, Check, Unit, Source string
				Demand                     float64
				Capacity                   *float64
				Reserve                    *float64 `json:"reserve_factor"`
				NotAssessed                string   `json:"not_assessed"`
				Inputs                     []struct{ Name string }
			}
		}
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, j := range got.Cases[0].Joints {
		found[j.Check] = true
		if j.Source == "" || (j.Capacity == nil) != (j.NotAssessed != "") {
			t.Errorf("%+v: without a source, or neither assessed nor not", j)
		}
		if j.Check != "bearing on the wall" {
			continue
		}
		want := 2.5 * 12 / 27 * fu * 8 * 10 / 1.25
		if j.Capacity == nil || math.Abs(*j.Capacity/want-1) > 2e-3 || math.Abs(j.Demand/9000-1) > 1e-6 || math.Abs(*j.Reserve/(want/9000)-1) > 2e-3 || len(j.Inputs) < 6 {
			t.Errorf("bearing %+v, want %.5g N against 9000 N with its inputs", j, want)
		}
	}
	for _, want := range []string{"bearing on the wall", "net section beside the hole", "shear-out to the edge", "clamped joint slips", "head pulls through", "bolt in shear"} {
		if !found[want] {
			t.Errorf("no check %q", want)
		}
	}
	text, err := r.StressText("")
	if err != nil || !strings.Contains(text, "Joints, seats and floors") || !strings.Contains(text, "[EN 1993-1-8 table 3.4") || !strings.Contains(text, "not assessed: the document does not state the bolts' class") {
		t.Errorf("error %v; the text lacks the joints or their sources:\n%s", err, text)
	}
	// The joint of 12 kN and 0.2 slips at 0.2·12 000/1.1 = 2182 N, below 9000 N: an error with its place.
	slips := 0
	for _, f := range r.Findings() {
		if f.Code == "joint-low" && strings.Contains(f.What, "slips") {
			slips++
			if f.Level != finding.Error || !f.HasWhere || math.Abs(f.Where[0]-188) > 1e-6 {
				t.Errorf("%+v: want an error at the hole", f)
			}
		}
	}
	if slips != 1 {
		t.Errorf("%d findings of a joint that slips, want 1: %v", slips, r.Findings())
	}
	if r, err = Build(t.Context(), bracket(t, 1000)); err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings() {
		if f.Code == "joint-low" {
			t.Errorf("a joint that holds is found fault with: %+v", f)
		}
	}
}

// The bolts of a clocked ring are checked at the case's own setting by the analysis, and at the settings that the document
// names by sharing what the ring bears.
func TestClockedRingThroughTheReport(t *testing.T) {
	in := cantilever(t, 0)
	p := &in.Plate
	p.Outline.Corners = []plate.Corner{{X: 0, Y: -70}, {X: 200, Y: -70}, {X: 200, Y: 70}, {X: 0, Y: 70}}
	p.Supports[0].On = plate.Place{OnEdge: true, X1: 0, Y1: 70, X2: 0, Y2: -70}
	p.Rings = []plate.ClockedRing{{
		BoltCircle: plate.BoltCircle{ID: 10, Name: "Clock", X: 120, Y: 0, Diameter: 80, Count: 4, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}},
		MateCount:  4, MateAngles: []float64{0, 90, 180, 285}, LeastBolts: 1,
	}}
	p.Settings = []plate.Setting{{ID: 11, Name: "Turned", Values: []plate.SettingValue{{Feature: 10, AngleDeg: 75}}}}
	p.Loads = []plate.Load{{ID: 2, Name: "Twist", Kind: plate.Moment, On: plate.Place{Feature: 10}, Moment: [3]float64{2: 12_000}}}
	p.Targets = nil
	p.NextID = 12
	r, err := Build(t.Context(), in)
	if err != nil || !r.Cases.OK {
		t.Fatalf("error %v, findings %v", err, r.Findings())
	}
	own, drawn, turned := 0.0, 0.0, ""
	for _, j := range r.Joints[0] {
		switch {
		case j.Check == "bearing on the wall" && j.Setting == "":
			own = j.Demand
		case j.Check == "bearing on the wall" && strings.HasPrefix(j.Setting, "0°, as drawn, 3 bolts"):
			drawn = j.Demand
		case strings.HasPrefix(j.Setting, `75°, setting "Turned"`):
			turned += j.Check + " " + j.NotAssessed + "; "
		}
	}
	// Three bolts at 0°, 90° and 180°: their middle is 13.3 mm off, ΣR² = 3·40² − 3·13.3² = 4267; the farthest is 42.2 mm off.
	want := 12_000 / 4266.7 * math.Hypot(40, 40./3)
	if math.Abs(drawn/want-1) > 2e-3 || math.Abs(own/want-1) > 0.1 {
		t.Errorf("the worst bolt bears %.4g N by analysis and %.4g N as of rigid parts, want %.4g N", own, drawn, want)
	}
	if !strings.Contains(turned, "one bolt cannot hold the moment") {
		t.Errorf("turned by 75°, where one bolt fits: %q", turned)
	}
}
