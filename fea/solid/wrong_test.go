package solid

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// TestWrongModels: what cannot be made into prisms is refused.
func TestWrongModels(t *testing.T) {
	plane := grid(2, 2, func(a, b float64) geom.Point { return geom.Pt(10*a, 10*b) })
	folded := grid(2, 2, func(a, b float64) geom.Point { return geom.Pt(-10*a, 10*b) })
	mat := Material{E: 70000, Nu: 0.3}
	for _, tc := range []struct {
		name, want string
		m          *mesh.Mesh
		metal      [][]Interval
		mat        Material
		o          Options
	}{
		{"no mesh", "holds no element", nil, sheet(0, 1), mat, Options{}},
		{"empty mesh", "holds no element", &mesh.Mesh{}, sheet(0, 1), mat, Options{}},
		{"folded", "folded over", folded, sheet(0, 1), mat, Options{}},
		{"no metal", "holds no metal", plane, nil, mat, Options{}},
		{"empty face", "holds no metal", plane, [][]Interval{nil}, mat, Options{}},
		{"flat", "height above zero", plane, sheet(1, 1), mat, Options{}},
		{"upside down", "height above zero", plane, sheet(2, 1), mat, Options{}},
		{"NaN height", "height above zero", plane, sheet(math.NaN(), 1), mat, Options{}},
		{"infinite height", "height above zero", plane, sheet(0, math.Inf(1)), mat, Options{}},
		{"modulus zero", "Young's modulus", plane, sheet(0, 1), Material{Nu: 0.3}, Options{}},
		{"modulus NaN", "Young's modulus", plane, sheet(0, 1), Material{E: math.NaN(), Nu: 0.3}, Options{}},
		{"Poisson", "Poisson's ratio", plane, sheet(0, 1), Material{E: 1, Nu: 0.5}, Options{}},
		{"layers", "layers between", plane, sheet(0, 1), mat, Options{Layers: 9}},
		{"layer height", "layers are at most", plane, sheet(0, 1), mat, Options{LayerHeight: math.NaN()}},
		{"thin layers", "more than 400 layers", plane, sheet(0, 1), mat, Options{LayerHeight: 1e-9}},
		{"unknowns", "more than the 50 allowed", plane, sheet(0, 1), mat, Options{MaxUnknowns: 50, Layers: 1}},
		{"workers", "goroutines", plane, sheet(0, 1), mat, Options{Workers: -1}},
	} {
		_, err := New(tc.m, tc.metal, tc.mat, tc.o)
		if err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: error %v, want one with %q", tc.name, err, tc.want)
		}
	}
	if _, err := Of(nil, plane, Options{}); err == nil {
		t.Error("no layout: no error")
	}
}

// TestCancelled: a cancelled context ends the work with its error.
func TestCancelled(t *testing.T) {
	m := build(t, grid(3, 2, func(a, b float64) geom.Point { return geom.Pt(30*a, 20*b) }), sheet(0, 5), Material{E: 70000, Nu: 0.3}, Options{})
	held, load := make([]bool, m.Unknowns()), m.Zeros()
	m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) })
	load[len(load)-1] = 1
	ctx, cancel := context.WithCancel(t.Context())
	s, err := m.Factor(ctx, held, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Release()
	cancel()
	if _, err := s.Solve(ctx, load); !errors.Is(err, context.Canceled) {
		t.Errorf("solving: error %v, want that of the context", err)
	}
	if _, err := m.Factor(ctx, held, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("factoring: error %v, want that of the context", err)
	}
}

// TestFreePlate: what is not held is named by its motion; wrong lengths and loads are
// errors.
func TestFreePlate(t *testing.T) {
	m := build(t, grid(3, 2, func(a, b float64) geom.Point { return geom.Pt(30*a, 20*b) }), sheet(0, 5), Material{E: 70000, Nu: 0.3}, Options{})
	held := make([]bool, m.Unknowns())
	if _, err := m.Factor(t.Context(), held, nil); err == nil || !strings.Contains(err.Error(), "free to") {
		t.Errorf("a free plate: error %v", err)
	}
	m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) && near(p[1], 0) })
	_, err := m.Factor(t.Context(), held, nil)
	if err == nil || !strings.Contains(err.Error(), "turn about the axis (") || !strings.Contains(err.Error(), "through (0, 0,") {
		t.Errorf("a plate on a hinge: error %v", err)
	}
	if _, err := m.Factor(t.Context(), held[:5], nil); err == nil {
		t.Error("too few marks: no error")
	}
	m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) })
	s, err := m.Factor(t.Context(), held, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Release()
	for _, load := range [][]float64{nil, m.Zeros(), append(m.Zeros()[1:], math.NaN())} {
		if _, err := s.Solve(t.Context(), load); err == nil {
			t.Errorf("load of %d numbers: no error", len(load))
		}
	}
}
