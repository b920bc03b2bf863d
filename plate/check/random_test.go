package check_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/layout"
)

// TestRandomPlates runs the rules on 150 seeded plates with everything thrown at random places, most of them nonsense: no
// fault, no figure that is not a number, and the least ligament between holes equal to that found by trying all pairs.
func TestRandomPlates(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	at := func(lo, hi float64) float64 { return math.Round((lo+(hi-lo)*rng.Float64())*4) / 4 }
	sizes := []string{"M3", "M5", "M8", "M12"}
	sides := []plate.Side{plate.Top, plate.Bottom, plate.Through}
	s := example(t)
	thin := 0
	for i := range 150 {
		p := blank(at(4, 30))
		id := plate.ID(1)
		next := func() plate.ID { id++; return id }
		for range rng.IntN(4) {
			p.Bores = append(p.Bores, bore(next(), at(5, 60), at(-5, 205), at(-5, 125)))
		}
		for range rng.IntN(8) {
			p.Holes = append(p.Holes, clearance(next(), sizes[rng.IntN(4)], at(0, 200), at(0, 120)))
			side, depth := sides[rng.IntN(3)], at(1, 20)
			if side == plate.Through {
				depth = 0
			}
			p.Holes = append(p.Holes, tapped(next(), sizes[rng.IntN(4)], side, depth, at(0, 200), at(0, 120)))
		}
		for range rng.IntN(4) {
			x, y := at(-10, 180), at(-10, 100)
			p.Pockets = append(p.Pockets, pocket(next(), sides[rng.IntN(3)], at(1, 20), at(1, 6), x, y, x+at(5, 90), y+at(5, 60)))
		}
		l, err := layout.Derive(p)
		if err != nil {
			t.Fatalf("plate %d: %v", i, err)
		}
		fs := check.Run(l, s)
		reported := math.Inf(1)
		for _, f := range fs {
			if strings.Contains(fmt.Sprint(f.What, f.Fix), "NaN") || strings.Contains(f.What, "Inf") || math.IsNaN(f.Where[0]+f.Where[1]) {
				t.Fatalf("plate %d: %+v", i, f)
			}
			if f.Code != "ligament-thin" || strings.Contains(f.What, "outline") || strings.Contains(f.What, "pocket") || strings.Contains(f.What, "bore") {
				continue
			}
			var v float64
			_, figure, _ := strings.Cut(f.What, " is ")
			if _, err := fmt.Sscanf(figure, "%g mm", &v); err != nil {
				t.Fatalf("plate %d: %q: %v", i, f.What, err)
			}
			reported = min(reported, v)
			thin++
		}
		if want := leastLigament(l); (want < 1.5-1e-6 || reported < 1.5) && math.Abs(want-reported) > 1e-3*max(1, want) {
			t.Errorf("plate %d: least ligament between holes reported %v, by trying all pairs %v", i, reported, want)
		}
	}
	if thin < 10 {
		t.Errorf("only %d thin ligaments between holes in all plates: the test tests little", thin)
	}
}

// leastLigament tries all pairs of holes that share a height and do not break into each other.
func leastLigament(l *layout.Layout) float64 {
	least := math.Inf(1)
	for i, a := range l.Cuts {
		for _, b := range l.Cuts[:i] {
			for _, c := range []layout.Cut{a, b} {
				if c.Kind != layout.CutDrilled && c.Kind != layout.CutTapped {
					goto next
				}
			}
			if min(a.Z1, b.Z1)-max(a.Z0, b.Z0) > 1e-5 {
				if d := a.Center.Dist(b.Center) - (a.Diameter+b.Diameter)/2; d > 1e-5 {
					least = min(least, d)
				}
			}
		next:
		}
	}
	return least
}
