package fea

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"

	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate"
)

// Mode is a natural vibration.
type Mode struct {
	Hz    float64
	Shape []float64 // five unknowns a node, with ∫ρ·shape² = 1 (t·mm²)
}

// Limits of a search for modes.
const (
	maxModes  = 40
	maxSweeps = 60
)

// Frequencies finds the lowest natural vibrations of the plate on the supports
// given, or of the free plate where there are none or the only one is free; its six
// rigid motions are left out then. Pins press all round.
//
// The method is subspace iteration (K. J. Bathe, Finite Element Procedures, 1996,
// section 11.6, from memory) on K + σM, σ above zero for a free plate only.
func (m *Model) Frequencies(ctx context.Context, supports []plate.Support, count int) ([]Mode, error) {
	switch {
	case count < 1 || count > maxModes:
		return nil, fmt.Errorf("fea: %d natural frequencies; give 1 to %d", count, maxModes)
	case !(m.mass > 0):
		return nil, fmt.Errorf("fea: natural frequencies need the density of the material, which is %v kg/m³; give it", m.Shell.Material.Density)
	}
	rigid := 0
	shift := 0.0
	if len(supports) == 0 || supports[0].Kind == plate.Free {
		rigid, shift = 6, m.freeShift()
		supports = []plate.Support{{Kind: plate.Free}}
	}
	h, err := m.hold(ctx, supports, adjusted{})
	if err != nil {
		return nil, err
	}
	const n = shell.ElementUnknowns
	element := func(e int, dst []float64) error {
		if err := h.element(e, dst); err != nil || shift == 0 || e >= len(m.Mesh.Triangles) {
			return err
		}
		var me [n * n]float64
		m.Shell.Mass(e, me[:])
		for i, v := range me {
			dst[i] += shift * v
		}
		return nil
	}
	f, err := h.sym.Factor(ctx, element, nil, m.buffers)
	if err != nil {
		return nil, h.explain(ctx, err)
	}
	defer f.Release()
	s := &subspace{m: m, f: f, held: h.heldBy, size: min(2*(count+rigid), count+rigid+8)}
	values, err := s.run(ctx, count+rigid)
	if err != nil {
		return nil, err
	}
	var out []Mode
	for i := rigid; i < count+rigid; i++ {
		out = append(out, Mode{math.Sqrt(max(0, values[i]-shift)) / 2 / math.Pi, s.x[i]})
	}
	return out, nil
}

// freeShift is the square of a frequency well below the first of a free plate of
// this size, so that K + σM is far from singular and the modes stay apart: a tenth
// of a solid square's λ²·√(D/ρh)/L² with λ² = 13.5 (A. W. Leissa, Vibration of
// Plates, 1969, from memory), with the thinnest metal for its stiffness.
func (m *Model) freeShift() float64 {
	thin := m.Layout.Thickness
	for f := range m.Shell.Sections {
		if s := &m.Shell.Sections[f]; s.T > 0 {
			thin = min(thin, s.T)
		}
	}
	mat := m.Shell.Material
	d := mat.E * thin * thin / 12 / (1 - mat.Nu*mat.Nu) / (mat.Density * 1e-12)
	return 0.01 * 13.5 * 13.5 * d / math.Pow(m.extent, 4)
}

// subspace iterates on a few vectors at a time.
type subspace struct {
	m    *Model
	f    *sparse.Factor
	held []int16
	size int
	x    [][]float64 // and the mass matrix times each:
	mx   [][]float64
}

// settled is the change of an eigenvalue from one sweep to the next at which it is
// taken: frequencies are then right to half of it or so.
const settled = 1e-7

func (s *subspace) run(ctx context.Context, want int) ([]float64, error) {
	rng := rand.New(rand.NewPCG(1, 1))
	s.x = make([][]float64, s.size)
	for i := range s.x {
		s.x[i] = s.m.zeros()
		for k := range s.x[i] {
			if s.held[k] == 0 {
				s.x[i][k] = rng.Float64() - 0.5
			}
		}
	}
	s.mx = s.mass()
	var last []float64
	for range maxSweeps {
		kx := s.mx
		if _, err := s.f.SolveTo(ctx, s.x, kx, nil); err != nil {
			return nil, fmt.Errorf("fea: natural frequencies: %w", err)
		}
		s.mx = s.mass()
		values, err := s.rotate(kx)
		if err != nil {
			return nil, err
		}
		if last != nil {
			worst := 0.0
			for i := range want {
				worst = max(worst, math.Abs(values[i]-last[i])/values[i])
			}
			if worst < settled {
				return values, nil
			}
		}
		last = values
	}
	return nil, fmt.Errorf("fea: the natural frequencies have not settled after %d sweeps; ask for fewer", maxSweeps)
}

// mass is the mass matrix times all vectors; held unknowns have none.
func (s *subspace) mass() [][]float64 {
	out := make([][]float64, s.size)
	for i := range out {
		out[i] = s.m.zeros()
	}
	s.m.Shell.MassTimes(s.x, out)
	for k, h := range s.held {
		if h > 0 {
			for i := range out {
				out[i][k] = 0
			}
		}
	}
	return out
}

// rotate solves the small problem in the space of x, given K·x, and turns x into
// its vectors, lowest first, of unit mass.
func (s *subspace) rotate(kx [][]float64) ([]float64, error) {
	n := s.size
	k, g := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			k.SetSym(i, j, dot(s.x[j], kx[i]))
			g.SetSym(i, j, dot(s.x[j], s.mx[i]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(g) {
		return nil, fmt.Errorf("fea: the vectors of the natural frequencies have become one; ask for fewer")
	}
	var l mat.TriDense
	chol.LTo(&l)
	var a, b mat.Dense
	if err := a.Solve(&l, k); err != nil {
		return nil, fmt.Errorf("fea: natural frequencies: %w", err)
	}
	if err := b.Solve(&l, a.T()); err != nil {
		return nil, fmt.Errorf("fea: natural frequencies: %w", err)
	}
	sym := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sym.SetSym(i, j, (b.At(i, j)+b.At(j, i))/2)
		}
	}
	var e mat.EigenSym
	if !e.Factorize(sym, true) {
		return nil, fmt.Errorf("fea: the small problem of the natural frequencies has no solution")
	}
	var v, y mat.Dense
	e.VectorsTo(&v)
	if err := y.Solve(l.T(), &v); err != nil {
		return nil, fmt.Errorf("fea: natural frequencies: %w", err)
	}
	s.x, s.mx = combine(s.x, &y), combine(s.mx, &y)
	return e.Values(nil), nil
}

// combine returns the vectors Σ y[j][i]·x[j].
func combine(x [][]float64, y *mat.Dense) [][]float64 {
	next := make([][]float64, len(x))
	for i := range next {
		next[i] = make([]float64, len(x[0]))
		for j := range x {
			f := y.At(j, i)
			for q, w := range x[j] {
				next[i][q] += f * w
			}
		}
	}
	return next
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
