package plate

import "platewright/plate/material"

// New is a small valid plate to start from: a rounded rectangle of 200 × 120 mm, 15 mm thick, in EN AW-6082 T651 with both
// faces as supplied, a rim, and the work zero at the lower left corner. An empty name becomes "Plate".
func New(name string) Plate {
	const (
		width, height = 200, 120 // mm
		corner        = 12       // outline radius, mm
	)
	if name == "" {
		name = "Plate"
	}
	return Plate{
		Name:   name,
		NextID: 1,
		// The first alloy held is the usual choice, and Alloys gives it at 15 mm.
		Stock: Stock{
			Material: material.Alloys()[0], Nominal: 15, Finished: 15, Top: AsSupplied, Bottom: AsSupplied,
			Blank: Blank{Margin: usualMargin},
		},
		Outline: Outline{Corners: []Corner{
			{X: 0, Y: 0, Radius: corner},
			{X: width, Y: 0, Radius: corner},
			{X: width, Y: height, Radius: corner},
			{X: 0, Y: height, Radius: corner},
		}},
		Rim:       8,
		Machining: Machining{Turn: AxisX, Shop: "example"},
	}
}
