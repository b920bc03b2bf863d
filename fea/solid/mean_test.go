package solid

import (
	"math"
	"testing"

	"platewright/plate/geom"
)

// TestRow: the row of a wall at a height moves as the wall does there, whether nodes lie at that height or not. A bar of 15
// with a floor of 4 at its other end has rows of nodes at 0, 2, 4, 9.5 and 15; a turn about an axis along the wall at height
// z moves only what lies over or under it.
func TestRow(t *testing.T) {
	plane := grid(4, 2, func(a, b float64) geom.Point { return geom.Pt(40*a, 10*b) })
	for i := range plane.Triangles {
		x := 0.0
		for _, n := range plane.Triangles[i].Node[:3] {
			x += plane.Nodes[n].X / 3
		}
		if plane.Triangles[i].Face = 0; x < 20 {
			plane.Triangles[i].Face = 1
		}
	}
	m := build(t, plane, [][]Interval{{{0, 15}}, {{0, 4}}}, Material{E: 70000, Nu: 0.33}, Options{})
	rows := map[float64]bool{}
	for _, p := range m.Nodes {
		rows[p[2]] = true
	}
	if rows[7.5] || !rows[4] {
		t.Fatalf("the test wants nodes at 4 and none at 7.5; there are %v", rows)
	}
	wall, u := endWall(m, 40), m.Zeros()
	for _, c := range []struct{ z, at float64 }{{7.5, 7.5}, {4, 4}, {3, 3}, {12, 12}, {0, 0}, {15, 15}, {-3, 0}, {20, 15}} {
		for n, p := range m.Nodes {
			u[3*n] = 1e-3 * (p[2] - c.z)
		}
		b := BedAlong(m.Row(wall, c.z), 1, func(*WallPoint) Vec { return Vec{1} }, func(*WallPoint) float64 { return 1 })
		if got, want := b.Gap(u), 1e-3*(c.at-c.z); math.Abs(got-want) > 1e-12 {
			t.Errorf("at height %g the mean motion along x is %g, want %g", c.z, got, want)
		}
	}
}
