package fea_test

import (
	"context"
	"fmt"

	"platewright/fea"
	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/material"
)

// A bar of 300 × 20 × 10 mm held at one end and pulled at the other by 4 kN: 20 MPa,
// a little more where the end may not shrink sideways, and 300·20/70 000 = 0.086 mm
// longer.
func ExampleSolve() {
	p := plate.Plate{
		Name: "bar", NextID: 10,
		Stock: plate.Stock{
			Material: material.Material{Density: 2700, Young: 70000, Poisson: 0.33, Proof: 240, Ultimate: 295},
			Nominal:  10, Finished: 10, Top: plate.AsSupplied, Bottom: plate.AsSupplied,
		},
		Outline: plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 300, Y: 0}, {X: 300, Y: 20}, {X: 0, Y: 20}}},
		Supports: []plate.Support{
			{ID: 1, Name: "end", Kind: plate.Fixed, On: plate.Place{OnEdge: true, X1: 0, Y1: 0, X2: 0, Y2: 20}},
		},
		Loads: []plate.Load{
			{ID: 2, Name: "pull", Kind: plate.LineForce, On: plate.Place{OnEdge: true, X1: 300, Y1: 0, X2: 300, Y2: 20}, Force: [3]float64{4000}},
		},
		Cases: []plate.LoadCase{{ID: 3, Name: "service", Kind: plate.Limit, Factor: 1, Loads: []plate.LoadFactor{{Load: 2, Factor: 1}}}},
	}
	l, err := layout.Derive(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := fea.Solve(context.Background(), l, fea.Options{}, p.Cases)
	if err != nil {
		fmt.Println(err)
		return
	}
	c := r.Cases[0]
	fmt.Printf("deflection %.3f mm, von Mises %.1f MPa, reserve %.1f\n", c.MaxDeflection, c.MaxVonMises, c.Reserve)
	fmt.Printf("reaction of %q: %.0f N along x\n", c.Reactions[0].Name, c.Reactions[0].Force[0])
	fmt.Println(c.LeftOut[0].Why)
	fmt.Println("fatigue:", c.Fatigue)
	// Output:
	// deflection 0.086 mm, von Mises 20.6 MPa, reserve 11.7
	// reaction of "end": -4000 N along x
	// within 10 mm of support "end" at the edge from 0,0 to 0,20
	// fatigue: not assessed
}
