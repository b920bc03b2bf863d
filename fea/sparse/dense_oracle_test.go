package sparse

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// solveDense solves with gonum's dense Cholesky factorisation of the free part.
func solveDense(t *testing.T, m *model, load, held []float64) []float64 {
	t.Helper()
	k := m.dense()
	var free []int
	for u, h := range m.Held {
		if !h {
			free = append(free, u)
		}
	}
	x := make([]float64, len(load))
	for u, h := range m.Held {
		if h && held != nil {
			x[u] = held[u]
		}
	}
	if len(free) == 0 {
		return x
	}
	a, b := mat.NewSymDense(len(free), nil), mat.NewVecDense(len(free), nil)
	for i, u := range free {
		sum := load[u]
		for v, xv := range x {
			sum -= k.At(u, v) * xv
		}
		b.SetVec(i, sum)
		for j, v := range free[:i+1] {
			a.SetSym(i, j, k.At(u, v))
		}
	}
	var c mat.Cholesky
	if !c.Factorize(a) {
		t.Fatal("dense Cholesky factorisation failed")
	}
	var y mat.VecDense
	if err := c.SolveVecTo(&y, b); err != nil {
		t.Fatal(err)
	}
	for i, u := range free {
		x[u] = y.AtVec(i)
	}
	return x
}

// Random assemblies are solved as by gonum's dense factorisation.
func TestRandomModels(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for trial := range 60 {
		nodes := 1 + r.IntN(1<<(1+trial%7))
		maxSize := 1 + r.IntN(7)
		if trial >= 58 {
			nodes, maxSize = 700, 7
		}
		m := randomModel(r, nodes, maxSize, 1+r.IntN(6))
		n := m.unknowns()
		for u := range m.Held {
			if !m.Held[u] && r.IntN(20) == 0 {
				m.springs = append(m.springs, Spring{u, r.Float64()})
			}
		}
		f := factored(t, m, Options{Leaf: r.IntN(4)})
		loads, held, got := make([][]float64, 1+r.IntN(11)), [][]float64(nil), [][]float64(nil)
		for i := range loads {
			loads[i] = randomVector(r, n)
			held = append(held, randomVector(r, n))
			got = append(got, make([]float64, n))
		}
		held[0] = nil
		accuracy, err := f.SolveTo(t.Context(), got, loads, held)
		if err != nil {
			t.Fatalf("trial %d: %v", trial, err)
		}
		for i := range loads {
			if a := accuracy[i]; !(a.BackwardError <= 1e-14) {
				t.Errorf("trial %d: backward error %g", trial, a.BackwardError)
			}
			want := solveDense(t, m, loads[i], held[i])
			if d := difference(got[i], want); d > 1e-9 {
				t.Errorf("trial %d, load %d: %d unknowns differ by %g from the dense solution", trial, i, n, d)
			}
		}
		f.Release()
	}
}

// difference is the largest difference as a share of the largest figure.
func difference(a, b []float64) float64 {
	d, size := 0.0, 0.0
	for i := range a {
		d, size = max(d, math.Abs(a[i]-b[i])), max(size, math.Abs(b[i]))
	}
	if size == 0 {
		return d
	}
	return d / size
}
