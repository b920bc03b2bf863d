package check

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= share) {
		t.Errorf("%s: %.6g, want %.6g within %g %%", what, got, want, 100*share)
	}
}

// Worked examples that were read on public pages, each to the digits that it prints.
func TestResistancesAgainstWorkedExamples(t *testing.T) {
	// "Design resistance for individual fasteners as per EN 1993-1-8": M20 in 22 mm holes, 8 mm of S235 (fu 360), e1 = e2 =
	// 26.4, p1 = 48.4, p2 = 52.8: end bolts 33.997 kN, inner bolts 41.079 kN, both with 400 MPa, that of its bolts, where the
	// standard has the plate's; punching under 30 mm with 360 MPa 130.288 kN.
	end := BoltBearing{Diameter: 20, Hole: 22, Thickness: 8, Ahead: 26.4, Beside: 26.4}
	near(t, "bearing, end bolt", end.Resistance(400), 33_997, 2e-5)
	inner := end
	inner.Ahead, inner.Beside, inner.AheadHole, inner.BesideHole = 48.4-11, 52.8-11, true, true
	near(t, "bearing, inner bolt", inner.Resistance(400), 41_079, 2e-5)
	near(t, "punching", Punching(30, 8, 360), 130_288, 1e-5)
	// A calculator's printed example, EN 1993-1-8, 3.9: preload 171.5 kN, two faces, μ 0.4, category C: 109.76 kN.
	near(t, "slip", Slip(171_500, 0, 0.4, 2, true), 109_760, 1e-5)
	if a, b := Slip(171_500, 0, 0.4, 2, false), Slip(171_500, 0, 0.4, 2, true); math.Abs(a/b-1.25/1.1) > 1e-12 {
		t.Errorf("slip under a limit load %v, under an ultimate one %v: want 1.25/1.1 of it", a, b)
	}
	if v := Slip(1000, 1250, 0.4, 1, true); v != 0 {
		t.Errorf("a joint pulled apart holds %v N by friction", v)
	}
	// A textbook's example of threads (chapter abstract, read): M10 × 1.5 6g in 6H, alloy of shear strength 130 MPa, screw
	// of 69 600 N; with the diameters that it prints, 9.968 and 9.206, the engagement is 21.6 mm.
	near(t, "thread engagement", 69_600/(130*ThreadShearArea(9.968, 9.206, 1.5, 1)), 21.6, 3e-3)
	// A calculator's printed example: M10 in 6061-T6 (310 MPa, shear share 0.6), 10 mm engaged, basic sizes: 51.13 kN.
	near(t, "thread load", 0.6*310*ThreadShearArea(10, 10-0.649519*1.5, 1.5, 10), 51_130, 1e-4)
	// The greatest pitch diameter 6H of M10 is 9.206 (the same chapter), the least major diameter 6g 9.732 (from memory).
	major, d2 := threadLimits(10, 1.5)
	if math.Abs(d2-9.206) > 0.01 || math.Abs(major-9.732) > 0.01 {
		t.Errorf("M10: least major diameter %.4f, greatest pitch diameter %.4f, want 9.732 and 9.206", major, d2)
	}
}

// The rule for pins, put the other way round, gives its own distances back; thinner rings are outside it.
func TestPinEnd(t *testing.T) {
	const f, d0, thick, fo = 20_000.0, 24.0, 12.0, 240.0
	need := f * factorYield / (2 * thick * fo)
	near(t, "end decides", PinEnd(need+2*d0/3, 10*d0, d0, thick, fo), f, 1e-12)
	near(t, "side decides", PinEnd(10*d0, need+d0/3, d0, thick, fo), f, 1e-12)
	if v := PinEnd(2*d0/3-1, 10*d0, d0, thick, fo); v > 0 {
		t.Errorf("a ring thinner than the rule reaches holds %v N", v)
	}
}

// The bound on floors is Euler's load of a wide strip as a plate, and below what round and square floors of the same circle
// stand, simply supported: 4.20 D/r² (ν = 0.3; Timoshenko and Gere, from memory) and 2·π²·D/(2r)² (closed form).
func TestFloorBuckling(t *testing.T) {
	const r, thick, young, nu = 20.0, 2.0, 70_000.0, 0.3
	d := young * thick * thick * thick / 12 / (1 - nu*nu)
	got := FloorBuckling(r, thick, young, nu) * thick
	near(t, "strip", got, math.Pi*math.Pi*d/(4*r*r), 1e-12)
	for shape, want := range map[string]float64{"round": 4.20 * d / (r * r), "square": 2 * math.Pi * math.Pi * d / (4 * r * r), "triangle": 16 * math.Pi * math.Pi / 36 * d / (r * r)} {
		if got > want {
			t.Errorf("the bound %.4g N/mm is above that of a %s floor, %.4g", got, shape, want)
		}
	}
}

// Johnson's parabola meets Euler's curve at half the proof stress, with its slope, and ends at the proof stress.
func TestFloorStands(t *testing.T) {
	const fo = 240.0
	if v := floorStands(50, fo); v != 50 {
		t.Errorf("a slender floor stands %v MPa, want its elastic 50", v)
	}
	near(t, "where they meet", floorStands(fo/2*(1+1e-9), fo), fo/2, 1e-8)
	near(t, "slope there", (floorStands(fo/2+0.01, fo)-fo/2)/0.01, 1, 1e-3)
	near(t, "stocky", floorStands(1e9, fo), fo, 1e-6)
}

// A slot across the force bears 0.6 of a hole; no metal ahead bears nothing.
func TestBearingLimits(t *testing.T) {
	b := BoltBearing{Diameter: 8, Hole: 9, Thickness: 10, Ahead: 30, Beside: 30}
	slot := b
	slot.Slot = true
	near(t, "slot", slot.Resistance(300)/b.Resistance(300), 0.6, 1e-12)
	near(t, "far from edges", b.Resistance(300), 2.5*300*8*10/1.25, 1e-12)
	b.Beside = 5
	if v := b.Resistance(300); v != 0 {
		t.Errorf("a hole at the edge bears %v N", v)
	}
}
