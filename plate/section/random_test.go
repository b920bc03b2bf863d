package section_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/section"
)

// TestRandomLines cuts a plate along 2000 seeded lines, a third of them on a lattice that hits corners, centres and walls:
// pieces must sum to the whole, slabs must not overlap, and principal moments must keep sum and determinant.
func TestRandomLines(t *testing.T) {
	t.Run("busy", func(t *testing.T) { randomLines(t, busy()) })
	t.Run("formed", func(t *testing.T) { randomLines(t, formed()) })
}

func randomLines(t *testing.T, p plate.Plate) {
	l := derive(t, p)
	rng := rand.New(rand.NewPCG(7, 11))
	coord := func(lo, hi float64, coarse bool) float64 {
		v := lo + (hi-lo)*rng.Float64()
		if coarse {
			return math.Round(v/5) * 5
		}
		return v
	}
	met := 0
	for i := range 2000 {
		coarse := i%3 == 0
		a := geom.Pt(coord(-20, 240, coarse), coord(-20, 140, coarse))
		b := geom.Pt(coord(-20, 240, coarse), coord(-20, 140, coarse))
		r, err := section.At(l, "random", a, b)
		if err != nil {
			continue
		}
		met++
		sum := 0.0
		for _, p := range r.PiecesList {
			sum += p.Area
			if !(p.Area > 0) || !(p.ISS > 0) || !(p.IZZ > 0) {
				t.Fatalf("line %v to %v: piece %+v", a, b, p)
			}
		}
		agree(t, "sum of pieces", sum, r.Area, r.Area, 1e-12)
		agree(t, "I1 + I2", r.I1+r.I2, r.ISS+r.IZZ, r.I1, 1e-12)
		agree(t, "I1·I2", r.I1*r.I2, r.ISS*r.IZZ-r.ISZ*r.ISZ, r.I1*r.I1, 1e-12)
		// About the axis that AxisRad names the moment is I1, and the product with the axis across vanishes.
		sin, cos := math.Sincos(r.AxisRad)
		agree(t, "moment about the axis of I1", r.ISS*cos*cos+r.IZZ*sin*sin-2*r.ISZ*sin*cos, r.I1, r.I1, 1e-12)
		for j := 1; j < len(r.Slabs); j++ {
			p, q := r.Slabs[j-1], r.Slabs[j]
			if q.S0 < p.S0 || q.S0 == p.S0 && q.Bottom0 < p.Top0-1e-9 && q.Bottom1 < p.Top1-1e-9 {
				t.Fatalf("line %v to %v: slabs %+v and %+v overlap or are out of order", a, b, p, q)
			}
		}
	}
	if met < 1000 {
		t.Errorf("only %d of 2000 lines met metal", met)
	}
}
