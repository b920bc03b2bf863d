package verify

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/solid"
	"platewright/plate/geom"
)

// thickPlate is NAFEMS LE10 by the solid check: the ellipses of LE1, 600 mm thick, under 1 MPa from above. Six layers of
// prisms: with two or three, the stress at D is 3 to 5 % too great.
func thickPlate(ctx context.Context) (float64, error) {
	const in, out, thick = 2000.0, 3250.0, 600.0
	plane := grid(6, 8, func(a, b float64) geom.Point {
		s, c := math.Sincos(b * math.Pi / 2)
		p, q := geom.Pt(in*c, 1000*s), geom.Pt(out*c, 2750*s)
		return p.Add(q.Sub(p).Mul(a * (1 + a) / 2)) // smaller towards the inner edge
	}, nil)
	m, err := solid.New(plane, [][]solid.Interval{{{Z0: 0, Z1: thick}}}, solid.Material{E: 210000, Nu: 0.3}, solid.Options{Layers: 6})
	if err != nil {
		return 0, err
	}
	held := make([]bool, m.Unknowns())
	outer := func(p solid.Vec) bool { return on(p[0]*p[0]/out/out+p[1]*p[1]/2750/2750, 1) }
	m.Hold(held, [3]bool{true, false, false}, func(p solid.Vec) bool { return on(p[0], 0) })
	m.Hold(held, [3]bool{false, true, false}, func(p solid.Vec) bool { return on(p[1], 0) })
	m.Hold(held, [3]bool{true, true, false}, outer)
	m.Hold(held, [3]bool{false, false, true}, func(p solid.Vec) bool { return outer(p) && on(p[2], thick/2) })
	load := m.Zeros()
	m.AddSurface(true, nil, func(solid.Vec) solid.Vec { return solid.Vec{0, 0, -1} }, load)
	s, err := m.Factor(ctx, held, nil)
	if err != nil {
		return 0, err
	}
	defer s.Release()
	r, err := s.Solve(ctx, load)
	if err != nil {
		return 0, err
	}
	stress := r.NodeStress()
	for n, p := range m.Nodes {
		if on(p[0], in) && on(p[1], 0) && on(p[2], thick) {
			return stress[n][1], nil
		}
	}
	return 0, fmt.Errorf("no node at D")
}
