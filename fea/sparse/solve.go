package sparse

import (
	"context"
	"fmt"
	"math"
)

// Accuracy tells how well a solution fulfils its equations.
type Accuracy struct {
	// BackwardError is the normwise backward error: the solution is exact for a
	// stiffness and load that differ from the given ones by no more than this
	// share. It is the larger of two bounds, one in the caller's units, and one
	// with every unknown scaled to a stiffness of 1 of its own, which does not
	// depend on the units of displacement and rotation. Both take the largest
	// diagonal term for the norm of the stiffness, which is less than it.
	BackwardError float64
	// Refinements is the number of corrections that were made.
	Refinements int
}

const (
	// goodError is the usual backward error at which refinement stops: 64 units of
	// rounding, 7e-15. Another correction would gain a factor of ten at the price of
	// a solution, and reactions would balance loads no better, because the
	// displacements themselves are rounded.
	goodError      = 64.0 / (1 << 53)
	maxRefinements = 5
)

// batch is the number of right-hand sides that are solved for at a time; it
// bounds the memory for them.
const batch = 4 * group

// SolveTo solves K·dst[i] = loads[i] for every load, with the held unknowns at
// the values in held[i]; held may be nil, and so may each of its members: then
// they are zero. All vectors are as long as there are unknowns; of loads only the
// free unknowns count, of held only the held ones. dst[i] may be loads[i] or
// held[i], but no other load's.
//
// Each solution is refined with the residual of the element matrices until its
// backward error is of the size of rounding or no longer falls. SolveTo looks at
// ctx between fronts. If it fails, dst is undefined.
func (f *Factor) SolveTo(ctx context.Context, dst, loads, held [][]float64) ([]Accuracy, error) {
	return f.SolveWithForces(ctx, dst, nil, loads, held)
}

// SolveWithForces is SolveTo, and sets forces[i], unless forces is nil, to K·dst[i]
// for all unknowns, held ones included: the forces that hold the displacements.
// Less the loads, they are the reactions at the held unknowns; springs count as part
// of the model. forces[i] may be loads[i], but no other vector.
func (f *Factor) SolveWithForces(ctx context.Context, dst, forces, loads, held [][]float64) ([]Accuracy, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	if err := f.checkVectors(dst, loads, held); err != nil {
		return nil, err
	}
	if forces != nil {
		if err := f.checkVectors(forces, loads, held); err != nil {
			return nil, err
		}
	}
	var accuracy []Accuracy
	for i := 0; i < len(loads); i += batch {
		end := min(i+batch, len(loads))
		var h [][]float64
		if held != nil {
			h = held[i:end]
		}
		var k [][]float64
		if forces != nil {
			k = forces[i:end]
		}
		a, err := f.solveBatch(ctx, dst[i:end], k, loads[i:end], h)
		if err != nil {
			return nil, err
		}
		for k := range a {
			if e := a[k].BackwardError; math.IsNaN(e) || math.IsInf(e, 0) {
				return nil, fmt.Errorf("sparse: load %d has no finite solution: its figures are too large", i+k)
			}
		}
		accuracy = append(accuracy, a...)
	}
	return accuracy, nil
}

func (f *Factor) solveBatch(ctx context.Context, dst, forces, loads, held [][]float64) ([]Accuracy, error) {
	r := newRefiner(ctx, f, len(loads))
	for i := range loads {
		var h []float64
		if held != nil {
			h = held[i]
		}
		r.set(i, loads[i], h)
	}
	if forces != nil {
		r.keepForces()
	}
	accuracy := r.run()
	if r.crew.ended.Load() {
		return nil, ctx.Err()
	}
	for i, x := range r.x.vectors {
		for k, u := range f.sym.unknown {
			dst[i][u] = x[k]
		}
	}
	for i, x := range r.forces {
		for k, u := range f.sym.unknown {
			forces[i][u] = x[k]
		}
	}
	return accuracy, nil
}

// checkVectors is called with mu held.
func (f *Factor) checkVectors(dst, loads, held [][]float64) error {
	if f.panels == nil {
		return ErrReleased
	}
	n := len(f.sym.order)
	if len(dst) != len(loads) || held != nil && len(held) != len(loads) {
		return fmt.Errorf("sparse: %d results and %d lists of held values for %d loads: give as many of each", len(dst), len(held), len(loads))
	}
	for i, v := range loads {
		if len(v) != n || len(dst[i]) != n {
			return fmt.Errorf("sparse: vector %d has %d figures and room for %d results: there are %d unknowns", i, len(v), len(dst[i]), n)
		}
		if err := f.sym.checkFinite("load", i, v); err != nil {
			return err
		}
	}
	for i, v := range held {
		if v != nil && len(v) != n {
			return fmt.Errorf("sparse: held values %d are %d: there are %d unknowns", i, len(v), n)
		}
		if err := f.sym.checkFinite("held values", i, v); err != nil {
			return err
		}
	}
	return nil
}

func (s *Symbolic) checkFinite(what string, i int, v []float64) error {
	for u, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			node, c := s.Locate(u)
			return fmt.Errorf("sparse: %s %d: %g at unknown %d of node %d is not finite", what, i, x, c, node)
		}
	}
	return nil
}

// refiner solves for several right-hand sides with iterative refinement.
type refiner struct {
	f          *Factor
	crew       *crew
	x, r       *sweeper    // solutions; residuals, then corrections
	load, best [][]float64 // of the free unknowns; loads, and the best solutions so far
	forces     [][]float64 // K times the best solutions, of all unknowns, if they are kept
}

func (r *refiner) keepForces() {
	for range r.load {
		r.forces = append(r.forces, make([]float64, len(r.f.sym.order)))
	}
}

func newRefiner(ctx context.Context, f *Factor, count int) *refiner {
	c := newCrew(ctx, f.sym.opts.Workers)
	r := &refiner{f: f, crew: c, x: newSweeper(f, c, count), r: newSweeper(f, c, count)}
	for range count {
		r.load = append(r.load, make([]float64, f.sym.free))
		r.best = append(r.best, make([]float64, f.sym.free))
	}
	return r
}

// set gives a load and the held values, which may be nil.
func (r *refiner) set(i int, load, held []float64) {
	s := r.f.sym
	for k, u := range s.unknown[:s.free] {
		r.load[i][k] = load[u]
	}
	if held == nil {
		return
	}
	for k, u := range s.unknown[s.free:] {
		r.x.vectors[i][s.free+k] = held[u]
	}
}

// run solves and refines. The first residual, with x = 0 on the free unknowns,
// brings in the held values.
func (r *refiner) run() []Accuracy {
	accuracy := make([]Accuracy, len(r.load))
	moved := false
	for _, x := range r.x.vectors {
		for _, v := range x[r.f.sym.free:len(r.f.sym.order)] {
			moved = moved || v != 0
		}
	}
	if moved {
		r.residual()
	} else {
		for i, load := range r.load {
			copy(r.r.vectors[i], load)
		}
	}
	forces := make([]norms, len(r.load))
	for i := range forces {
		forces[i] = r.f.norms(r.r.vectors[i][:r.f.sym.free], false)
	}
	r.correct()
	for step := 0; ; step++ {
		r.residual()
		again := false
		for i := range accuracy {
			again = r.judge(&accuracy[i], i, step, forces[i]) || again
		}
		if !again || r.crew.ended.Load() {
			break
		}
		r.correct()
	}
	for i, b := range r.best {
		copy(r.x.vectors[i], b)
	}
	return accuracy
}

// judge keeps the solution if it is the best so far, and says whether another
// correction is worth while. Solutions that are good enough are not corrected.
func (r *refiner) judge(a *Accuracy, i, step int, force norms) bool {
	free := r.f.sym.free
	e := r.f.backwardError(r.r.vectors[i][:free], r.x.vectors[i][:free], force)
	better := step == 0 || e < a.BackwardError
	worth := step == 0 || e < a.BackwardError/2
	if better {
		a.BackwardError, a.Refinements = e, step
		copy(r.best[i], r.x.vectors[i])
		if r.forces != nil {
			k := r.forces[i]
			copy(k[free:], r.r.vectors[i][free:])
			for j, l := range r.load[i] {
				k[j] = l - r.r.vectors[i][j]
			}
		}
	}
	if worth && e > r.f.sym.opts.GoodError && step < maxRefinements {
		return true
	}
	clear(r.r.vectors[i]) // no correction
	return false
}

// residual sets r to load − K·x on the free unknowns.
func (r *refiner) residual() {
	r.x.multiply(r.r)
	for i, load := range r.load {
		v := r.r.vectors[i]
		for k, l := range load {
			v[k] = l - v[k]
		}
	}
}

// correct adds K⁻¹·r to x.
func (r *refiner) correct() {
	r.r.solve()
	for i, x := range r.x.vectors {
		for k, v := range r.r.vectors[i][:r.f.sym.free] {
			x[k] += v
		}
	}
}

// norms are largest magnitudes: plain, and with every unknown scaled to a
// stiffness of 1.
type norms struct{ plain, scaled float64 }

// norms of a displacement, or of a force.
func (f *Factor) norms(v []float64, displacement bool) norms {
	var n norms
	for k, x := range v {
		x = math.Abs(x)
		s := f.scale[k]
		if displacement {
			s = 1 / s
		}
		n.plain, n.scaled = max(n.plain, x), max(n.scaled, s*x)
	}
	return n
}

// backwardError is the backward error of a solution with its residual (Higham,
// theorem 7.1, in the ∞-norm).
func (f *Factor) backwardError(residual, x []float64, force norms) float64 {
	r, u := f.norms(residual, false), f.norms(x, true)
	if r.plain == 0 {
		return 0
	}
	return max(r.plain/(f.largest*u.plain+force.plain), r.scaled/(u.scaled+force.scaled))
}
