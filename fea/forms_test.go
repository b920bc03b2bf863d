package fea

import (
	"testing"

	"platewright/plate"
)

// TestGroove: a bore with a seat and a groove for a ring in it, whose metal lies in
// two heights, and a slot with a load: analysed like any other.
func TestGroove(t *testing.T) {
	p := link(140, 25, 12, 18)
	p.Bores[0].Seats = []plate.Seat{{Side: plate.Top, Diameter: 26, Depth: 8, Groove: plate.Groove{Diameter: 29, Width: 1.3, At: 2}}}
	p.Slots = []plate.Slot{{ID: 6, Name: "Guide", X: 95, Y: 25, Length: 20, Width: 8, Side: plate.Through}}
	p.Supports = []plate.Support{
		{ID: 11, Name: "seat", Kind: plate.Hinged, On: at(1)},
		{ID: 12, Name: "guide", Kind: plate.Sliding, On: at(6)},
	}
	p.Loads = []plate.Load{{ID: 13, Name: "push", Kind: plate.BoreForce, On: at(2), Force: [3]float64{-500, 300, 50}, At: [3]float64{2: 6}}}
	c := solve(t, p, Options{})
	two := 0
	for e := range c.model.Mesh.Triangles {
		if len(c.model.Shell.Section(e).Metal) == 2 {
			two++
		}
	}
	if two == 0 {
		t.Error("no element has metal at two heights: the groove is not in the model")
	}
	t.Logf("%d elements at the groove; %.3g mm, %.3g MPa, reactions %v", two, c.MaxDeflection, c.MaxVonMises, c.Reactions)
	// The other way round: the slot carries the load.
	p.Supports[1] = plate.Support{ID: 12, Name: "end", Kind: plate.Fixed, On: at(2)}
	p.Loads[0].On = at(6)
	p.Loads[0].Force = [3]float64{0, 400, 30}
	solve(t, p, Options{})
}
