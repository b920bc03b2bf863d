package fea

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"platewright/plate"
)

// randomPlate has three bores, a hole, pockets from one side, both or through over an
// isogrid, and random supports and loads that hold it.
func randomPlate(rng *rand.Rand) plate.Plate {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	w, h, t := between(150, 320), between(90, 180), between(6, 20)
	p := rectangle(w, h, t)
	for i := range p.Outline.Corners {
		p.Outline.Corners[i].Radius = between(0, 25)
	}
	p.Rim = between(4, 10)
	for i, x := range []float64{0.2, 0.5, 0.8} {
		p.Bores = append(p.Bores, plate.Bore{
			ID: plate.ID(1 + i), Name: fmt.Sprint("Bore ", i+1), X: w * x, Y: h * between(0.35, 0.65),
			Diameter: between(10, 26), Boss: between(4, 9),
		})
	}
	p.Holes = []plate.Hole{{ID: 4, Name: "Hole", X: w / 2, Y: h * 0.15, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 4}}}
	p.Grids = []plate.Grid{{ID: 5, Name: "grid", Pitch: between(35, 60), Width: between(3, 7), AngleDeg: between(0, 60), X: w / 2, Y: h / 2}}
	p.Pockets = []plate.Pocket{{ID: 6, Name: "top", Side: plate.Top, Depth: t * between(0.3, 0.8), Radius: between(3, 6), AllRibs: true}}
	switch rng.IntN(3) {
	case 0:
		p.Pockets[0].Side, p.Pockets[0].Depth = plate.Through, 0
	case 1:
		p.Pockets = append(p.Pockets, plate.Pocket{ID: 7, Name: "bottom", Side: plate.Bottom, Depth: t * between(0.05, 0.15), Radius: 4, AllRibs: true})
	}
	kinds := []plate.SupportKind{plate.Fixed, plate.Hinged}
	p.Supports = []plate.Support{
		{ID: 11, Name: "first", Kind: kinds[rng.IntN(2)], On: at(1)},
		{ID: 12, Name: "second", Kind: plate.Fixed, On: at(2)},
	}
	if rng.IntN(4) == 0 {
		p.Supports = []plate.Support{{ID: 11, Name: "none", Kind: plate.Free}}
	}
	any3 := func(f float64) [3]float64 { return [3]float64{between(-f, f), between(-f, f), between(-f/5, f/5)} }
	p.Loads = []plate.Load{
		{ID: 13, Name: "bore", Kind: plate.BoreForce, On: at(3), Force: any3(1000), At: [3]float64{2: between(-t, 2*t)}},
		{ID: 14, Name: "hole", Kind: plate.Moment, On: at(4), Moment: any3(5000)},
		{ID: 15, Name: "arm", Kind: plate.RemoteForce, On: at(3), Force: any3(300), At: any3(200)},
		{ID: 16, Name: "edge", Kind: plate.LineForce, On: edge(w*0.3, h, w*0.7, h), Force: any3(500)},
		{ID: 17, Name: "weight", Kind: plate.Acceleration, Force: any3(4)},
		{ID: 18, Name: "sun", Kind: plate.Temperature, Temperature: between(-20, 60)},
	}
	return p
}

// TestRandomPlates: seeded random plates are analysed without a failure, their loads
// have the resultants asked for, and reactions balance them. 60 of them when
// PLATEWRIGHT_LONG is set, every second one fine; else the first three, coarse.
func TestRandomPlates(t *testing.T) {
	n, long := 3, os.Getenv("PLATEWRIGHT_LONG") != ""
	if long {
		n = 60
	} else {
		t.Log("three plates of sixty: set PLATEWRIGHT_LONG=1 for all")
	}
	for i := range n {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			p := randomPlate(rand.New(rand.NewPCG(20, uint64(i))))
			c := solve(t, p, Options{Coarse: !long || i%2 == 1})
			t.Logf("%d elements, %d rounds, %.3g mm, %.3g MPa, error %.1f %%, imbalance %.2g", len(c.model.Mesh.Triangles), c.ContactRounds, c.MaxDeflection, c.MaxVonMises, c.ErrorPercent, c.Imbalance)
			if !(c.MaxDeflection > 0 && c.MaxDeflection < 50) || !(c.ErrorPercent > 0 && c.ErrorPercent < 60) {
				t.Errorf("deflection %g mm, error estimate %g %%", c.MaxDeflection, c.ErrorPercent)
			}
		})
	}
}
