package fea

import (
	"math"
	"testing"

	"platewright/plate"
)

// TestPinsAgainstFactors: cells off their pins found among the cells alone are those
// that factoring again without them finds, over and over until none changes.
func TestPinsAgainstFactors(t *testing.T) {
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
	a := m.analysis(p.Supports)
	defer a.release()
	load, _, _, _, err := a.loadsOf(&c[0], adjusted{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := a.supportsOf(t.Context(), &c[0], adjusted{})
	if err != nil {
		t.Fatal(err)
	}
	s := &solution{load: load}
	if err := h.solve(t.Context(), []*solution{s})[0]; err != nil {
		t.Fatal(err)
	}
	want := factoredWithout(t, h, load)
	worst, size := 0.0, 0.0
	for i, v := range want {
		worst, size = max(worst, math.Abs(v-s.u[i])), max(size, math.Abs(v))
	}
	if worst > 1e-7*size {
		t.Errorf("the two ways differ by %.2g of %.2g", worst, size)
	}
	if s.rounds < 2 || s.lifted == nil {
		t.Errorf("%d rounds: nothing came off its pin", s.rounds)
	}
}

// factoredWithout solves with a factor of its own for each set of cells off their
// pins.
func factoredWithout(t *testing.T, h *held, load []float64) []float64 {
	t.Helper()
	first := len(h.m.Mesh.Triangles) + len(h.bonds)
	off := make([]bool, len(h.pins))
	u := h.m.zeros()
	for range 20 {
		f, err := h.sym.Factor(t.Context(), func(e int, dst []float64) error {
			if e >= first && off[e-first] {
				return nil
			}
			return h.element(e, dst)
		}, h.anchors, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil); err != nil {
			t.Fatal(err)
		}
		same := true
		for i := range off {
			now := h.pins[i].gap(u) > 0
			same = same && now == off[i]
			off[i] = now
		}
		if same {
			return u
		}
	}
	t.Fatal("the cells off their pins do not settle")
	return nil
}
