package fea

import (
	"math"
	"testing"

	"platewright/plate"
)

// TestPinRoutes: the search by factors and the search among the cells alone find
// the same.
func TestPinRoutes(t *testing.T) {
	p := link(120, 20, 10, 16)
	p.Supports = []plate.Support{
		{ID: 11, Name: "left", Kind: plate.Hinged, On: at(1)},
		{ID: 12, Name: "right", Kind: plate.Hinged, On: at(2)},
	}
	p.Loads = []plate.Load{
		{ID: 13, Name: "side", Kind: plate.LineForce, On: edge(40, 40, 120, 40), Force: [3]float64{800, 2000, 30}},
	}
	m, err := NewModel(t.Context(), derive(t, p), Options{})
	if err != nil {
		t.Fatal(err)
	}
	c := oneCase(&p)
	var u [2][]float64
	for route := range u {
		a := m.analysis(p.Supports)
		load, _, _, _, err := a.loadsOf(&c[0], adjusted{})
		if err != nil {
			t.Fatal(err)
		}
		h, err := a.supportsOf(t.Context(), &c[0], adjusted{})
		if err != nil {
			t.Fatal(err)
		}
		s := &solution{load: load, u: m.zeros()}
		if _, err := h.factor.SolveTo(t.Context(), [][]float64{s.u}, [][]float64{s.load}, nil); err != nil {
			t.Fatal(err)
		}
		g, off := make([]float64, len(h.pins)), make([]bool, len(h.pins))
		for i := range g {
			g[i] = h.pinned.root[i] * h.pins[i].gap(s.u)
			off[i] = g[i] > 0
		}
		if route == 0 {
			done, err := h.refactor(t.Context(), s, off)
			if err != nil || !done {
				t.Fatalf("by factors: done %v, error %v", done, err)
			}
		} else if err := h.search(t.Context(), s, g, off); err != nil {
			t.Fatal(err)
		}
		u[route] = s.u
		a.release()
	}
	worst, size := 0.0, 0.0
	for i, v := range u[0] {
		worst, size = max(worst, math.Abs(v-u[1][i])), max(size, math.Abs(v))
	}
	if worst > 1e-5*size {
		t.Errorf("the two ways differ by %.2g of %.2g", worst, size)
	}
}
