package sparse_test

import (
	"context"
	"errors"
	"fmt"

	"platewright/fea/sparse"
)

// A row of three springs of 1000 N/mm between four nodes, held at the left and
// pulled with 50 N at the right.
func Example() {
	ctx := context.Background()
	pattern := sparse.Pattern{
		Positions: [][3]float64{{0}, {10}, {20}, {30}},
		Sizes:     []int{1, 1, 1, 1},
		Elements:  [][]int32{{0, 1}, {1, 2}, {2, 3}},
		Held:      []bool{true, false, false, false},
	}
	spring := func(e int, dst []float64) error {
		copy(dst, []float64{1000, -1000, -1000, 1000})
		return nil
	}
	sym, err := sparse.Analyse(ctx, pattern, sparse.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := sym.Factor(ctx, spring, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	load := [][]float64{{0, 0, 0, 50}}
	u, forces := [][]float64{make([]float64, 4)}, [][]float64{make([]float64, 4)}
	if _, err := f.SolveWithForces(ctx, u, forces, load, nil); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("displacements %.3f mm\n", u[0])
	fmt.Printf("reaction %.1f N\n", forces[0][0]-load[0][0])
	// Output:
	// displacements [0.000 0.050 0.100 0.150] mm
	// reaction -50.0 N
}

// A bar in the plane that is held at one end in both directions can turn there.
func ExampleSymbolic_FreeMotions() {
	ctx := context.Background()
	pattern := sparse.Pattern{
		Positions: [][3]float64{{20, 10}, {50, 10}},
		Sizes:     []int{2, 2},
		Elements:  [][]int32{{0, 1}},
		Held:      []bool{true, true, false, false},
	}
	bar := func(e int, dst []float64) error {
		dst[0*4+0], dst[2*4+2] = 1000, 1000
		dst[0*4+2], dst[2*4+0] = -1000, -1000
		return nil
	}
	sym, err := sparse.Analyse(ctx, pattern, sparse.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var singular *sparse.SingularError
	if _, err := sym.Factor(ctx, bar, nil, nil); !errors.As(err, &singular) {
		fmt.Println("not singular:", err)
		return
	}
	fmt.Println("node", singular.Node, "unknown", singular.Component)
	plane := [][]sparse.Component{{sparse.MoveX, sparse.MoveY}, {sparse.MoveX, sparse.MoveY}}
	candidates, centre, err := sym.RigidBody(pattern.Positions, plane)
	if err != nil {
		fmt.Println(err)
		return
	}
	free, err := sym.FreeMotions(ctx, bar, nil, candidates)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, motion := range free {
		m := sparse.Rigid(motion.Combination, centre, 30)
		fmt.Printf("turns about the axis %.0f through %.1f\n", m.Turn, m.At)
	}
	// Output:
	// node 1 unknown 1
	// turns about the axis [0 0 1] through [20.0 10.0 0.0]
}
