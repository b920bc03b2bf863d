package layout

import (
	"math"
	"testing"

	"platewright/plate"
)

// A boss about the very origin is kept as one anywhere else, whatever divides the field: the zero point must not be taken
// for the lack of one.
func TestBossAboutTheOrigin(t *testing.T) {
	metal := func(x float64) float64 {
		d := plate.New("origin")
		d.Rim = 5
		d.Outline = plate.Outline{Corners: []plate.Corner{{X: x - 80, Y: -50}, {X: x + 80, Y: -50}, {X: x + 80, Y: 50}, {X: x - 80, Y: 50}}}
		d.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: x, Diameter: 20, Boss: 8}}
		d.Ribs = []plate.Rib{{ID: 2, Name: "Rib", From: plate.RibEnd{X: x - 75, Y: 3}, To: plate.RibEnd{X: x + 75, Y: 3}, Width: 4}}
		d.Pockets = []plate.Pocket{{ID: 3, Name: "Field", Side: plate.Through, Radius: 3, AllRibs: true}}
		d.NextID = 4
		l, err := Derive(d)
		if err != nil {
			t.Fatal(err)
		}
		return l.Volume()
	}
	if got, want := metal(0), metal(17); math.Abs(got-want) > 1e-6 {
		t.Errorf("with the bore at the origin the plate has %.3f mm³, 17 mm beside it %.3f", got, want)
	}
}
