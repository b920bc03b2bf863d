package mass_test

import (
	"fmt"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/mass"
)

// panel is 600 × 400 mm with an isogrid, pockets on both sides and 24 holes: the size of the largest plates.
func panel() plate.Plate {
	p := sheet(15, []plate.Corner{{Radius: 40}, {X: 600, Radius: 40}, {X: 600, Y: 400, Radius: 40}, {Y: 400, Radius: 40}})
	p.Rim = 12
	p.Grids = []plate.Grid{{ID: 1, Name: "grid", Pitch: 52, AngleDeg: 7.5, X: 301, Y: 202, Width: 4}}
	p.Pockets = []plate.Pocket{
		{ID: 2, Name: "top", Side: plate.Top, Depth: 7, Radius: 5, AllRibs: true},
		{ID: 3, Name: "bottom", Side: plate.Bottom, Depth: 4, Radius: 5, AllRibs: true, Bounds: corners(150, 100, 450, 100, 450, 300, 150, 300)},
	}
	for i := range 24 {
		p.Holes = append(p.Holes, plate.Hole{
			ID: plate.ID(10 + i), Name: fmt.Sprint("hole ", i), X: 40 + 520*float64(i%12)/11, Y: 8 + 384*float64(i/12),
			HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M4", Side: plate.Top, Depth: 6, Boss: 3},
		})
	}
	return p
}

func BenchmarkOf(b *testing.B) {
	formed := panel()
	formed.Outline.Chamfer = plate.EdgeChamfer{Top: 0.5, Bottom: 0.5}
	for i := range formed.Pockets {
		formed.Pockets[i].FloorRadius = 3
	}
	for _, c := range []struct {
		name string
		p    plate.Plate
	}{{"prisms", panel()}, {"floor radii and chamfers", formed}} {
		b.Run(c.name, func(b *testing.B) {
			l := derive(b, c.p)
			b.ReportMetric(float64(len(l.Map.Faces)), "faces")
			b.ReportAllocs()
			for b.Loop() {
				if _, err := mass.Of(l); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func ExampleOf() {
	p := sheet(10, corners(0, 0, 200, 0, 200, 100, 0, 100)) // 200 × 100 × 10 mm at 2700 kg/m³
	p.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: 50, Y: 50, Diameter: 40}}
	l, err := layout.Derive(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := mass.Of(l)
	if err != nil {
		fmt.Println(err)
		return
	}
	i, err := r.InertiaAbout([3]float64{50, 50, 0}, [3]float64{0, 0, 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f kg, of %.4f kg, %.1f kg·mm² about the pivot\n", r.MassKG, r.BlankMassKG, i)
	// Output: 0.5061 kg, of 0.6237 kg, 3593.2 kg·mm² about the pivot
}
