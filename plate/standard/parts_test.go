package standard_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"platewright/plate/standard"
)

// TestBearings compares every published row with the table, and counts that nothing else is held.
func TestBearings(t *testing.T) {
	n := 0
	for _, r := range rows(t, "bearings.csv") {
		names := strings.Split(r["designation"], " / ")
		if r["alt_designation"] != "" {
			names = append(names, r["alt_designation"])
		}
		chamfer := 0.0
		if r["r_min_mm"] != "" {
			chamfer = number(t, r["r_min_mm"])
		}
		kind := standard.DeepGroove
		if strings.HasPrefix(r["kind"], "drawn cup") {
			kind = standard.DrawnCup
		}
		for _, name := range names {
			b, err := standard.Bearing(name)
			want := standard.BearingSize{
				Kind: kind, Name: b.Name, Also: b.Also, Chamfer: chamfer,
				Bore: number(t, r["d_mm"]), Outer: number(t, r["D_mm"]), Width: number(t, r["B_mm"]),
			}
			if err != nil || b != want {
				t.Errorf("Bearing(%s) = %+v, %v; want %+v (%s, %s)", name, b, err, want, r["source"], r["seen"])
			}
			if !slices.Contains(standard.BearingsFor(want.Outer), b) {
				t.Errorf("BearingsFor(%v) misses %s", want.Outer, name)
			}
		}
		n++
	}
	if got := len(standard.Bearings()); got != n {
		t.Errorf("%d bearings are held, %d are published", got, n)
	}
	for _, name := range []string{"", "6004-2RS", "9999"} {
		if b, err := standard.Bearing(name); err == nil {
			t.Errorf("Bearing(%q) = %v; want an error", name, b)
		}
	}
}

func TestRings(t *testing.T) {
	n := 0
	for _, r := range rows(t, "circlips.csv") {
		if strings.Contains(r["note"], "Do not test") {
			continue // the note says that the row looks misprinted
		}
		bore, width := number(t, r["bore_mm"]), number(t, r["groove_width_m_mm"])
		got, exact, err := standard.RingFor(bore)
		if err != nil || !exact {
			t.Errorf("RingFor(%v) = %v, %v, %v; want an exact ring", bore, got, exact, err)
			continue
		}
		if r["standard"] == "DIN 472" {
			n++
		} else {
			width -= 0.05 // JIS B 2804 has the same groove this much wider; the table is DIN 472
		}
		if got.Thickness != number(t, r["ring_thickness_mm"]) || got.Groove != number(t, r["groove_dia_mm"]) ||
			math.Abs(got.Width-width) > 1e-9 || math.Abs((got.Groove-got.Bore)/2-number(t, r["groove_depth_mm"])) > 1e-9 {
			t.Errorf("RingFor(%v) = %+v; want %v", bore, got, r)
		}
		if _, err := standard.Fit(got.GrooveClass(), got.Groove); err != nil {
			t.Error(err)
		}
	}
	if got := len(standard.Rings()); got != n {
		t.Errorf("%d rings are held, %d are published", got, n)
	}
	if r, exact, err := standard.RingFor(43); err != nil || exact || r.Bore != 42 {
		t.Errorf("RingFor(43) = %v, %v, %v; want the ring for 42 mm as a proposal", r, exact, err)
	}
	for _, seat := range []float64{7.9, 100.1, 0, -1, math.NaN(), math.Inf(1)} {
		if r, _, err := standard.RingFor(seat); err == nil {
			t.Errorf("RingFor(%v) = %v; want an error", seat, r)
		}
	}
}

// TestKeyways compares every published row, of two copies, and checks what the standard's table has in common.
func TestKeyways(t *testing.T) {
	checked := map[float64]bool{}
	for _, r := range rows(t, "keyways.csv") {
		over, incl := number(t, r["over_mm"]), number(t, r["incl_mm"])
		want := standard.Keyway{
			Over: over, Incl: incl, Width: number(t, r["width_mm"]), Height: number(t, r["height_mm"]),
			ShaftDepth: number(t, r["shaft_depth_mm"]), HubDepth: number(t, r["hub_depth_mm"]),
		}
		for _, d := range across(over, incl) {
			if k, err := standard.KeywayFor(d); err != nil || k != want {
				t.Errorf("KeywayFor(%v) = %+v, %v; want %+v (%s, %s)", d, k, err, want, r["source"], r["seen"])
			}
		}
		checked[over] = true
	}
	if len(checked) != len(standard.Keyways()) {
		t.Errorf("%d keyways are held, %d are published", len(standard.Keyways()), len(checked))
	}
	last := 6.0
	for _, k := range standard.Keyways() {
		// The key fills both keyways but for a gap of at most half a millimetre over its back.
		if gap := k.ShaftDepth + k.HubDepth - k.Height; k.Over != last || gap < 0.2-1e-9 || gap > 0.5 {
			t.Errorf("%+v: begins at %v, gap %v", k, last, gap)
		}
		if k.Width > k.Incl/3+0.1 || k.ShaftDepth < k.Height/2 {
			t.Errorf("%+v: out of proportion", k)
		}
		last = k.Incl
	}
	k, _ := standard.KeywayFor(40)
	if size, upper := k.HubAcross(40); math.Abs(size-43.3) > 1e-12 || upper != 0.2 {
		t.Errorf("HubAcross(40) = %v, %v; want 43.3 +0.2", size, upper)
	}
	k, _ = standard.KeywayFor(6)
	if size, upper := k.HubAcross(6); size != 7 || upper != 0.1 {
		t.Errorf("HubAcross(6) = %v, %v; want 7 +0.1", size, upper)
	}
	for _, d := range []float64{5.9, 151, 0, math.NaN(), math.Inf(1)} {
		if k, err := standard.KeywayFor(d); err == nil {
			t.Errorf("KeywayFor(%v) = %v; want an error", d, k)
		}
	}
	for _, fit := range []string{"tight", "light", "sliding"} {
		class, ok := standard.HubClass(fit)
		if _, err := standard.Fit(class, 12); !ok || err != nil {
			t.Errorf("HubClass(%s) = %v, %v; Fit says %v", fit, class, ok, err)
		}
	}
	if _, ok := standard.HubClass("loose"); ok {
		t.Error("HubClass(loose) is held")
	}
}

// TestHeads: the heads go into what is cut for them, and a countersink of 90° for the head of ISO 10642 meets the shank:
// the head's height is that of the cone from the theoretical sharp diameter down to the thread.
func TestHeads(t *testing.T) {
	sunk := 0
	for _, size := range standard.Sizes() {
		d, _ := standard.NominalDiameter(size)
		if head, high, ok := standard.CapHead(size); ok {
			if dia, depth, held := standard.Counterbore(size); held && (dia <= head || depth <= high) {
				t.Errorf("%s: a head of %v × %v in a counterbore of %v × %v", size, head, high, dia, depth)
			}
			if high != d {
				t.Errorf("%s: the head of ISO 4762 is as high as the thread is wide; got %v", size, high)
			}
		}
		dia, high, ok := standard.Countersink(size)
		if !ok {
			continue
		}
		sunk++
		if cone := (dia - d) / 2; math.Abs(cone-high) > 1e-9 {
			t.Errorf("%s: a 90° cone from %v to %v is %v high, the table says %v", size, dia, d, cone, high)
		}
		if older, _, ok := standard.CountersinkDIN7991(size); !ok || older >= dia {
			t.Errorf("%s: DIN 7991 head %v, ISO 10642 %v", size, older, dia)
		}
	}
	if sunk != 9 {
		t.Errorf("%d countersunk heads of ISO 10642, want 9", sunk)
	}
	for _, size := range []string{"", "M7", "M99"} {
		_, _, a := standard.CapHead(size)
		_, _, b := standard.Counterbore(size)
		_, c := standard.CounterboreDIN974(size)
		_, _, d := standard.Countersink(size)
		_, _, e := standard.CountersinkDIN7991(size)
		if a || b || c || d || e {
			t.Errorf("%q has a head", size)
		}
	}
	if _, ok := standard.StressArea("M99"); ok {
		t.Error("StressArea(M99) is held")
	}
	if _, ok := standard.ClearanceClass("loose"); ok {
		t.Error("ClearanceClass(loose) is held")
	}
}
