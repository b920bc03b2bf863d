package mesh

import (
	"math/rand/v2"
	"slices"
	"testing"

	"platewright/plate/layout"
)

// TestDivide halves sides of random plates (100 when PLATEWRIGHT_LONG is set): some, then some of what came of it, then all.
// The mesh still covers the map, side by side, and what was keeps its numbers.
func TestDivide(t *testing.T) {
	var g plateRanges
	readJSON(t, "layout/random_plates.json", &g)
	for i := range many(6, 100) {
		l, err := layout.Derive(randomPlate(&g, i))
		if err != nil {
			continue
		}
		metal := make([]bool, len(l.Map.Metal))
		for f := range metal {
			metal[f] = len(l.Map.Metal[f]) > 0
		}
		m := mustGenerate(t, l.Map.Subdivision, metal, Options{ArcEdges: 6, Size: 40, Grading: 2})
		dice := rand.New(rand.NewPCG(7, uint64(i)))
		for round, share := range []float64{0.2, 0.5, 1} {
			halve := make([]bool, len(m.Nodes))
			count := 0
			for _, tr := range m.Triangles {
				for _, n := range tr.Node[3:] {
					halve[n] = halve[n] || dice.Float64() < share
				}
			}
			for _, h := range halve {
				if h {
					count++
				}
			}
			was := slices.Clone(m.Nodes)
			d, parent := m.Divide(halve)
			verifyTriangles(t, d)
			verifySides(t, l.Map.Subdivision, metal, d)
			verifyAreas(t, l.Map.Subdivision, metal, d)
			if !slices.Equal(d.Nodes[:len(m.Nodes)], was) || !slices.Equal(m.Nodes, was) {
				t.Errorf("plate %d, round %d: nodes that were have moved", i, round)
			}
			if len(parent) != len(d.Triangles) || len(d.Triangles) <= len(m.Triangles) {
				t.Errorf("plate %d, round %d: %d parents, %d triangles of %d by %d halved sides", i, round, len(parent), len(d.Triangles), len(m.Triangles), count)
			}
			for e, p := range parent {
				if d.Triangles[e].Face != m.Triangles[p].Face || e < len(m.Triangles) && int(p) != e {
					t.Fatalf("plate %d, round %d: triangle %d is no part of %d", i, round, e, p)
				}
			}
			if t.Failed() {
				t.Fatalf("plate %d, round %d", i, round)
			}
			m = d
		}
	}
}
