package material

import (
	"math"
	"testing"
)

// The fit in its other units, read beside it: S = 2 100 000/√N + 14 000 psi (1 psi = 6.894757e-3 MPa); and the factors of
// two on stress and twenty on cycles.
func TestFatigueStrength(t *testing.T) {
	m := Material{Alloy: "EN AW-6061", Temper: "T651"}
	for _, n := range []float64{1e3, 1e4, 1e6, 1e8} {
		f, err := FatigueStrength(m, n)
		if err != nil {
			t.Fatal(err)
		}
		psi := func(n float64) float64 { return (2_100_000/math.Sqrt(n) + 14_000) * 6.894757e-3 }
		if math.Abs(f.Mean/psi(n)-1) > 1e-3 || math.Abs(f.Design/math.Min(psi(n)/2, psi(20*n))-1) > 1e-3 || f.Source == "" {
			t.Errorf("at %g cycles %+v, want %.4g and %.4g MPa", n, f, psi(n), math.Min(psi(n)/2, psi(20*n)))
		}
	}
	// At 1000 cycles twenty times the cycles decide, at a million half the stress.
	low, _ := FatigueStrength(m, 1e3)
	high, _ := FatigueStrength(m, 1e6)
	if !(low.Design < low.Mean/2) || math.Abs(high.Design-high.Mean/2) > 1e-12 {
		t.Errorf("design %v of %v, and %v of %v", low.Design, low.Mean, high.Design, high.Mean)
	}
	for _, c := range []struct {
		m Material
		n float64
	}{{Material{Alloy: "EN AW-6082", Temper: "T651"}, 1e6}, {Material{Alloy: "EN AW-6061", Temper: "O"}, 1e6}, {m, 10}, {m, 1e9}, {m, math.NaN()}} {
		if f, err := FatigueStrength(c.m, c.n); err == nil {
			t.Errorf("%s %s at %g cycles: %+v without data", c.m.Alloy, c.m.Temper, c.n, f)
		}
	}
}
