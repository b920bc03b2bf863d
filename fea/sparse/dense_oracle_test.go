package sparse

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// oracle is gonum's dense Cholesky factorisation of the free part.
type oracle struct {
	k    *mat.SymDense
	free []int
	c    mat.Cholesky
}

func newOracle(t *testing.T, m *model) *oracle {
	t.Helper()
	o := &oracle{k: m.dense()}
	for u, h := range m.Held {
		if !h {
			o.free = append(o.free, u)
		}
	}
	if len(o.free) == 0 {
		return o
	}
	a := mat.NewSymDense(len(o.free), nil)
	for i, u := range o.free {
		for j, v := range o.free[:i+1] {
			a.SetSym(i, j, o.k.At(u, v))
		}
	}
	if !o.c.Factorize(a) {
		t.Fatal("dense Cholesky factorisation failed")
	}
	return o
}

// solve solves for a load and held values, which may be nil.
func (o *oracle) solve(t *testing.T, held []bool, load, values []float64) []float64 {
	t.Helper()
	n := len(load)
	x, product := make([]float64, n), mat.NewVecDense(n, nil)
	for u, h := range held {
		if h && values != nil {
			x[u] = values[u]
		}
	}
	if len(o.free) == 0 {
		return x
	}
	product.MulVec(o.k, mat.NewVecDense(n, x))
	b := mat.NewVecDense(len(o.free), nil)
	for i, u := range o.free {
		b.SetVec(i, load[u]-product.AtVec(u))
	}
	if err := o.c.SolveVecTo(b, b); err != nil {
		t.Fatal(err)
	}
	for i, u := range o.free {
		x[u] = b.AtVec(i)
	}
	return x
}

// Random assemblies are solved as by gonum's dense factorisation, and the forces are those of gonum's product.
func TestRandomModels(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for trial := range 60 {
		nodes := 1 + r.IntN(1<<(1+trial%7))
		maxSize := 1 + r.IntN(7)
		if trial >= 58 {
			nodes, maxSize = 860, 6 // some 2,600 unknowns
		}
		m := randomModel(r, nodes, maxSize, 1+r.IntN(6))
		n := m.unknowns()
		for u := range m.Held {
			if !m.Held[u] && r.IntN(20) == 0 {
				m.springs = append(m.springs, Spring{u, r.Float64()})
			}
		}
		f := factored(t, m, Options{Leaf: r.IntN(4)})
		loads, held, got, forces := make([][]float64, 1+r.IntN(2+trial%5*10)), [][]float64(nil), [][]float64(nil), [][]float64(nil)
		for i := range loads {
			loads[i] = randomVector(r, n)
			held = append(held, randomVector(r, n))
			got, forces = append(got, make([]float64, n)), append(forces, make([]float64, n))
		}
		held[0] = nil
		accuracy, err := f.SolveWithForces(t.Context(), got, forces, loads, held)
		if err != nil {
			t.Fatalf("trial %d: %v", trial, err)
		}
		dense := newOracle(t, m)
		for i := range loads {
			if a := accuracy[i]; !(a.BackwardError <= 1e-14) {
				t.Errorf("trial %d: backward error %g", trial, a.BackwardError)
			}
			want := dense.solve(t, m.Held, loads[i], held[i])
			if d := difference(got[i], want); d > 1e-9 {
				t.Errorf("trial %d, load %d: %d unknowns differ by %g from the dense solution", trial, i, n, d)
			}
			product := mat.NewVecDense(n, nil)
			product.MulVec(dense.k, mat.NewVecDense(n, got[i]))
			if d := difference(forces[i], product.RawVector().Data); d > 1e-12 {
				t.Errorf("trial %d, load %d: the forces differ by %g from stiffness times displacements", trial, i, d)
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
