package layout_test

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

func ExampleDerive() {
	p := plate.Plate{
		Name: "rocker",
		Stock: plate.Stock{
			Nominal: 12, Finished: 12, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5},
		},
		Outline: plate.Outline{Corners: []plate.Corner{
			{X: 0, Y: 0, Radius: 15}, {X: 240, Y: 0, Radius: 15}, {X: 240, Y: 80, Radius: 15}, {X: 0, Y: 80, Radius: 15},
		}},
		Rim:     8,
		Bores:   []plate.Bore{{ID: 1, Name: "pivot", X: 120, Y: 40, Diameter: 30, Boss: 8}},
		Ribs:    []plate.Rib{{ID: 2, Name: "spine", From: plate.RibEnd{X: 0, Y: 40}, To: plate.RibEnd{X: 240, Y: 40}, Width: 6}},
		Pockets: []plate.Pocket{{ID: 3, Name: "field", Side: plate.Top, Depth: 8, Radius: 5, AllRibs: true}},
	}
	l, err := layout.Derive(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm³ of %.0f mm³ stay\n", l.Volume(), l.BlankVolume())
	for _, s := range l.Labels.Shares {
		fmt.Printf("%s %s: %.0f mm³\n", s.Kind, s.Name, s.Volume)
	}
	fmt.Println("metal under (60, 20):", l.Map.Metal[l.Map.Locate(geom.Pt(60, 20))])
	// Output:
	// 128333 mm³ of 270000 mm³ stay
	// boss pivot: 11461 mm³
	// rim rim: 56555 mm³
	// rib spine: 12825 mm³
	// floor field: 11408 mm³
	// floor field: 11408 mm³
	// floor field: 11408 mm³
	// floor field: 11408 mm³
	// land land: 1859 mm³
	// metal under (60, 20): [{0 4}]
}
