package report

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// A repeated case of an alloy with sourced data is judged by the design curve, with its factors; one without is not.
func TestFatigueThroughTheReport(t *testing.T) {
	in := cantilever(t, 400) // 120 MPa at the root by beam theory, somewhat less a thickness from it
	in.Plate.Targets = nil
	in.Plate.Stock.Material.Alloy, in.Plate.Stock.Material.Temper = "EN AW-6061", "T651"
	in.Plate.Cases[0].Cycles = 1e6
	r, err := Build(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	c := &r.Cases.Value.Cases[0]
	want := (14.479 + 96.5) / 2 / c.MaxVonMises
	if c.FatigueResult == nil || math.Abs(c.FatigueResult.Reserve-want) > 1e-9 {
		t.Fatalf("fatigue %+v, want a reserve of %.4g", c.FatigueResult, want)
	}
	codes := map[string]int{}
	for _, f := range r.Findings() {
		codes[f.Code]++
	}
	if codes["fatigue-low"] != 1 || codes["fatigue-in-part"] != 1 || codes["fatigue-not-assessed"] != 0 {
		t.Errorf("findings %v, want a low fatigue strength and what it leaves out", codes)
	}
	data, err := r.JSON(Stress)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Cases []struct {
			Fatigue struct {
				Reserve float64 `json:"reserve_factor"`
				Surface float64 `json:"surface_factor"`
				Notch   float64 `json:"notch_factor"`
				Source  string
			}
		}
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if f := got.Cases[0].Fatigue; math.Abs(f.Reserve-want) > 1e-9 || f.Surface != 1 || f.Notch != 1 || f.Source == "" {
		t.Errorf("JSON %+v, want a reserve of %.4g with its factors and source", f, want)
	}
	text, err := r.StressText("")
	if err != nil || !strings.Contains(text, "surface factor 1, notch factor 1") {
		t.Errorf("error %v; the text lacks the factors:\n%s", err, text)
	}
	in.Plate.Stock.Finish.Name, in.Plate.Stock.Finish.Growth = "anodised", 0.01
	if r, err = Build(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	if c := &r.Cases.Value.Cases[0]; c.FatigueResult != nil || !strings.Contains(c.Fatigue, "anodised") {
		t.Errorf("an anodised plate is judged by the curve of milled ones: %q", c.Fatigue)
	}
}
