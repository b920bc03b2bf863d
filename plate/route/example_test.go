package route_test

import (
	"context"
	"fmt"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/route"
	"platewright/plate/shop"
)

func ExampleMake() {
	p := plate.New("cover")
	p.Holes = []plate.Hole{{ID: 1, Name: "Bolt", X: 20, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}}}
	p.Stock.Blank.Margin = 30
	profile, err := shop.Example()
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := layout.Derive(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := route.Make(context.Background(), l, profile)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range plan.Operations {
		fmt.Printf("%d %s: %s\n", o.SetUp, o.Where, o.Name)
	}
	// Output:
	// 1 machine: find the work zero by probe
	// 1 machine: rough the outline to a web
	// 1 machine: spot holes
	// 1 machine: drill 9 mm
	// 1 machine: cut the outline through and finish its wall
	// 1 machine: break edges
	// 1 hand: cut and dress 4 tabs
	// 1 hand: break 0.6 m of edges by hand
}

func ExampleSpindleSpeed() {
	fmt.Printf("%.0f rpm\n", route.SpindleSpeed(367, 12))
	// Output: 9735 rpm
}

// A shop enters what its last jobs took, and its minutes follow.
func ExampleCalibrate() {
	jobs, err := route.ReadJobs([]byte(`job,roughing,finishing,drilling,other,actual_min
bracket,10,8,3,4,31
cover,22,9,6,5,54
hub,5,12,2,4,27
rocker,14,10,8,6,47
cheek,18,6,4,4,42
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := route.Calibrate(jobs, "jobs of spring")
	if err != nil {
		fmt.Println(err)
		return
	}
	f := c.Factor("roughing")
	fmt.Printf("%d jobs; roughing takes %.1f ± %.1f times the estimate\n", c.Jobs, f.Factor, 2*f.Sigma)
	// Output: 5 jobs; roughing takes 1.4 ± 0.2 times the estimate
}
