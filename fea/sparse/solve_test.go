package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A linear field of displacement is reproduced exactly by plane stress on
// distorted elements: the boundary is held at it, the inside follows.
func TestPatchOfPlaneStress(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	at, triangles := grid(7, 5, 7, 5, nil)
	inside := func(p [3]float64) bool { return p[0] > 0 && p[0] < 7 && p[1] > 0 && p[1] < 5 }
	corner := make(map[int32]bool)
	for _, e := range triangles {
		corner[e[0]], corner[e[1]], corner[e[2]] = true, true, true
	}
	for n := range at {
		if corner[int32(n)] && inside(at[n]) {
			at[n][0] += 0.3 * (r.Float64() - 0.5)
			at[n][1] += 0.3 * (r.Float64() - 0.5)
		}
	}
	for _, e := range triangles { // straight sides: middles between the corners
		for k, ends := range [3][2]int{{0, 1}, {1, 2}, {2, 0}} {
			for c := range 2 {
				at[e[3+k]][c] = (at[e[ends[0]]][c] + at[e[ends[1]]][c]) / 2
			}
		}
	}
	m := &model{Pattern: Pattern{Positions: at, Elements: triangles}}
	var want []float64
	for _, p := range at {
		m.Sizes = append(m.Sizes, 2)
		m.Held = append(m.Held, !inside(p), !inside(p))
		want = append(want, 0.1+2e-3*p[0]-1e-3*p[1], 0.2+5e-4*p[0]+3e-3*p[1])
	}
	for _, e := range triangles {
		m.matrices = append(m.matrices, membrane(at, e, 70000, 0.33, 5))
	}
	f := factored(t, m, Options{Leaf: 3})
	got, forces, zero := make([]float64, len(want)), make([]float64, len(want)), make([]float64, len(want))
	if _, err := f.SolveWithForces(t.Context(), [][]float64{got}, [][]float64{forces}, [][]float64{zero}, [][]float64{want}); err != nil {
		t.Fatal(err)
	}
	if d := difference(got, want); d > 1e-12 {
		t.Errorf("linear displacement is off by %g", d)
	}
	// The reactions are those of the constant stress: on the whole zero, and on
	// the side x = 7 the stress along x times the area.
	var sum, side float64
	for n, p := range at {
		sum += forces[2*n]
		if p[0] == 7 {
			side += forces[2*n]
		}
		if inside(p) && math.Abs(forces[2*n]) > 1e-9 {
			t.Errorf("force %g at a free node", forces[2*n])
		}
	}
	// The corner nodes' shares of the top and bottom sides add the shear stress
	// times half an element each, with opposite signs.
	stress := 70000 / (1 - 0.33*0.33) * (2e-3 + 0.33*3e-3)
	if want := stress * 5 * 5; math.Abs(side-want) > 1e-9*want || math.Abs(sum) > 1e-9*want {
		t.Errorf("reaction along x on x = 7 is %g, want %g; sum %g, want 0", side, want, sum)
	}
}

// Laplace's equation on a chain has a straight solution; on a square with
// harmonic boundary values xy it is xy, which the five-point scheme reproduces.
func TestLaplace(t *testing.T) {
	const n = 40
	m := new(model)
	for j := range n + 1 {
		for i := range n + 1 {
			m.Positions = append(m.Positions, [3]float64{float64(i), float64(j), 0})
			m.Sizes = append(m.Sizes, 1)
			m.Held = append(m.Held, i == 0 || j == 0 || i == n || j == n)
			k := int32(j*(n+1) + i)
			if i < n {
				m.Elements = append(m.Elements, []int32{k, k + 1})
			}
			if j < n {
				m.Elements = append(m.Elements, []int32{k, k + n + 1})
			}
		}
	}
	for range m.Elements {
		m.matrices = append(m.matrices, []float64{1, -1, -1, 1})
	}
	var want []float64
	for _, p := range m.Positions {
		want = append(want, p[0]*p[1])
	}
	for _, leaf := range []int{0, 1, 7, 1 << 20} {
		f := factored(t, m, Options{Leaf: leaf})
		got := make([]float64, len(want))
		accuracy, err := f.SolveTo(t.Context(), [][]float64{got}, [][]float64{make([]float64, len(want))}, [][]float64{want})
		if err != nil {
			t.Fatal(err)
		}
		if d := difference(got, want); d > 1e-13 || accuracy[0].BackwardError > 1e-14 {
			t.Errorf("leaf %d: x·y is off by %g, backward error %g", leaf, d, accuracy[0].BackwardError)
		}
		// The weakest motion of the grid is known: sin·sin. Its stiffness and that
		// of the strongest bound the condition from below, in the 2-norm.
		got2, err := f.Condition(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		c := math.Cos(math.Pi / n)
		if low := (1 + c) / (1 - c) / 3; got2 < low || got2 > 300*low {
			t.Errorf("leaf %d: condition %g, want at least %g", leaf, got2, low)
		}
	}
}

// The backward error stays of the size of rounding on thin plates, where the
// residual is large beside the load; it is checked with the whole matrix.
func TestThinPlates(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	last := 0.0
	for _, thickness := range []float64{1, 0.1, 0.01, 0.001} {
		m := plateModel(16, 8, thickness)
		f := factored(t, m, Options{})
		n := m.unknowns()
		u, load := make([]float64, n), randomVector(r, n)
		accuracy, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil)
		if err != nil {
			t.Fatal(err)
		}
		condition, err := f.Condition(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if condition < 10*last {
			t.Errorf("thickness %g: condition %g, at ten times the thickness %g", thickness, condition, last)
		}
		last = condition
		k := m.dense()
		var product mat.VecDense
		product.MulVec(k, mat.NewVecDense(n, u))
		residual, force, displacement := 0.0, 0.0, 0.0
		for i := range n {
			if !m.Held[i] {
				residual = max(residual, math.Abs(load[i]-product.AtVec(i)))
				force, displacement = max(force, math.Abs(load[i])), max(displacement, math.Abs(u[i]))
			}
		}
		exact := residual / (mat.Norm(k, math.Inf(1))*displacement + force)
		if got := accuracy[0].BackwardError; got > 1e-14 || exact > 1e-14 || exact > 4*got+1e-16 {
			t.Errorf("thickness %g: backward error %g, with the whole matrix %g", thickness, got, exact)
		}
	}
}

// The condition of a small model is that of the whole scaled matrix.
func TestCondition(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 20 {
		m := randomModel(r, 20, 4, 4)
		clear(m.Held)
		f := factored(t, m, Options{})
		got, err := f.Condition(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		k := m.dense()
		n := k.SymmetricDim()
		scaled := mat.NewDense(n, n, nil)
		for i := range n {
			for j := range n {
				scaled.Set(i, j, k.At(i, j)/math.Sqrt(k.At(i, i)*k.At(j, j)))
			}
		}
		want := mat.Cond(scaled, 1)
		if got > want*(1+1e-6) || got < want/3 {
			t.Errorf("condition %g, want %g or up to three times less", got, want)
		}
	}
}

func TestReleased(t *testing.T) {
	m := membraneModel(8, 4)
	for u := range 8 {
		m.Held[u] = true
	}
	f := factored(t, m, Options{})
	f.Release()
	f.Release() // no harm
	v := [][]float64{make([]float64, m.unknowns())}
	if _, err := f.SolveTo(t.Context(), v, v, nil); !errors.Is(err, ErrReleased) {
		t.Errorf("SolveTo: got %v", err)
	}
	if _, err := f.Condition(t.Context()); !errors.Is(err, ErrReleased) {
		t.Errorf("Condition: got %v", err)
	}
}

// TestServes: a pattern of moved nodes is served by an analysis, one of other elements,
// held unknowns or sizes is not.
func TestServes(t *testing.T) {
	m := membraneModel(8, 4)
	for u := range 8 {
		m.Held[u] = true
	}
	m.Held[17] = true
	s, err := Analyse(t.Context(), m.Pattern, Options{GoodError: 1e-6})
	if err != nil {
		t.Fatal(err)
	}
	moved := membraneModel(8, 4)
	copy(moved.Held, m.Held)
	for i := range moved.Positions {
		moved.Positions[i][0] *= 3
	}
	if !s.Serves(&moved.Pattern) {
		t.Fatal("moved nodes are not served")
	}
	for name, change := range map[string]func(p *Pattern){
		"held less":     func(p *Pattern) { p.Held[17] = false },
		"held more":     func(p *Pattern) { p.Held[18] = true },
		"nothing held":  func(p *Pattern) { p.Held = nil },
		"marks missing": func(p *Pattern) { p.Held = p.Held[:5] },
		"size":          func(p *Pattern) { p.Sizes[3]++ },
		"node":          func(p *Pattern) { p.Elements[2][0], p.Elements[2][1] = p.Elements[2][1], p.Elements[2][0] },
		"no such node":  func(p *Pattern) { p.Elements[2][0] = 1 << 20 },
		"element":       func(p *Pattern) { p.Elements = p.Elements[1:] },
		"empty element": func(p *Pattern) { p.Elements[4] = nil },
		"long element":  func(p *Pattern) { p.Elements[4] = append(p.Elements[4], 0) },
		"nodes":         func(p *Pattern) { p.Sizes = append(p.Sizes, 0) },
	} {
		other := membraneModel(8, 4)
		copy(other.Held, m.Held)
		change(&other.Pattern)
		if s.Serves(&other.Pattern) {
			t.Errorf("%s: served", name)
		}
	}

	// A solution that need not be refined is not.
	f, err := s.Factor(t.Context(), m.element, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	load, u := make([]float64, m.unknowns()), make([]float64, m.unknowns())
	load[30] = 1
	if acc, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil); err != nil || acc[0].Refinements != 0 {
		t.Errorf("%d refinements, %v", acc[0].Refinements, err)
	}
}
