package fea

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"platewright/fea/sparse"
)

// Where a wall comes off its pin. The equations are factored with every cell of the
// walls pressing, then twice or so again without the cells that have come off, until
// none changes (refactor). Where that does not settle, or leaves a plate that is not
// held, the search goes on with the first factor: a cell that has come off is taken
// away by the force that undoes its bed (the Sherman–Morrison–Woodbury formula), so
// that C, the gaps of all cells under a unit force on each, is all it needs. Columns
// of C are kept, and serve all load cases once there are enough of them.
//
// With g the gaps while all press, k the beds and I the cells off their pins, the
// undoing forces are x = (diag(1/k) − C_II)⁻¹ g_I, and the gaps g + C_·I x.

// pinned is what is known of C, scaled: √k C √k, whose eigenvalues are below 1 as
// long as the plate is held without the cells. Columns are found when they are
// first needed, and serve all cases with these supports.
type pinned struct {
	columns [][]float64 // by cell; nil where not known
	root    []float64   // √k by cell
}

// batch is the number of unit forces solved for at a time.
const batch = 32

// maxCells bounds the dense arithmetic over cells.
const maxCells = 3000

func (h *holding) pin() (*pinned, error) {
	n := len(h.pins)
	if n > maxCells {
		return nil, fmt.Errorf("fea: the hinges have %d places that may come off their pins, the limit is %d; fix some of them, or hinge fewer holes", n, maxCells)
	}
	p := &pinned{columns: make([][]float64, n), root: make([]float64, n)}
	for i := range h.pins {
		p.root[i] = math.Sqrt(h.pins[i].bed)
	}
	return p, nil
}

// know finds the columns of some cells: the gaps under a unit force on each.
func (h *held) know(ctx context.Context, cells []int) error {
	p := h.pinned
	var missing []int
	for _, i := range cells {
		if p.columns[i] == nil {
			missing = append(missing, i)
		}
	}
	for len(missing) > 0 {
		part := missing[:min(batch, len(missing))]
		missing = missing[len(part):]
		u := make([][]float64, len(part))
		for k, i := range part {
			u[k] = h.m.zeros()
			h.pins[i].push(p.root[i], u[k])
		}
		if _, err := h.factor.SolveTo(ctx, u, u, nil); err != nil {
			return h.explain(ctx, err)
		}
		for k, i := range part {
			c := make([]float64, len(h.pins))
			for j := range c {
				c[j] = p.root[j] * h.pins[j].gap(u[k])
			}
			p.columns[i] = c
		}
	}
	return nil
}

// undo finds the scaled forces on the cells off their pins, and the scaled gaps of
// all. ok is false where the plate is not held without those cells.
func (p *pinned) undo(g []float64, off []int) (x, gap []float64, ok bool) {
	gap = append([]float64(nil), g...)
	if len(off) == 0 {
		return nil, gap, true
	}
	m := mat.NewSymDense(len(off), nil)
	b := mat.NewVecDense(len(off), nil)
	for i, a := range off {
		b.SetVec(i, g[a])
		for j := i; j < len(off); j++ {
			v := -p.columns[a][off[j]]
			if i == j {
				v++
			}
			m.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	var sol mat.VecDense
	if !chol.Factorize(m) || chol.Cond() > maxPinCondition || chol.SolveVecTo(&sol, b) != nil {
		return nil, nil, false
	}
	x = sol.RawVector().Data
	for i := range gap {
		for j, a := range off {
			gap[i] += p.columns[a][i] * x[j]
		}
	}
	return x, gap, true
}

// maxPinCondition is from where the cells that press hold the plate by rounding
// alone. Beds are a thousand times stiffer than the plate, and a plate's stiffness
// spans a few thousands.
const maxPinCondition = 1e11

// Rounds of the search: manyAtOnce in which all cells that should change do, then
// one at a time, which cannot run in a circle.
const (
	manyAtOnce = 30
	maxRounds  = 400
)

// A factor costs as much time as about this many columns of C.
const columnsPerFactor = 12

// maxFactors is how often the equations are factored anew for a case before the
// search goes on by columns.
const maxFactors = 5

// refactorShare is the share of all force on pins that cells about to change may
// carry when the search by factors ends.
const refactorShare = 1e-6

// settlePins finds the displacements with cells that pull off their pins. isOff
// starts with those that pull while all press.
func (h *held) settlePins(ctx context.Context, s *solution) error {
	g := make([]float64, len(h.pins)) // scaled: times the root of the bed
	isOff := make([]bool, len(h.pins))
	missing := 0
	for i := range g {
		g[i] = h.pinned.root[i] * h.pins[i].gap(s.u)
		if isOff[i] = g[i] > 0; isOff[i] && h.pinned.columns[i] == nil {
			missing++
		}
	}
	s.rounds = 1
	if missing > columnsPerFactor {
		if done, err := h.refactor(ctx, s, isOff); done || err != nil {
			return err
		}
	}
	return h.search(ctx, s, g, isOff)
}

// refactor repeats: the equations are factored without the cells off their pins,
// and cells that pull come off, cells that meet the pin press again. It is done when
// what changes carries next to nothing.
func (h *held) refactor(ctx context.Context, s *solution, isOff []bool) (done bool, err error) {
	first := len(h.m.Mesh.Triangles) + len(h.bonds)
	for range maxFactors {
		s.rounds++
		without := func(e int, dst []float64) error {
			if e >= first && isOff[e-first] {
				return nil
			}
			return h.element(e, dst)
		}
		f, err := h.sym.Factor(ctx, without, h.anchors, h.m.buffers)
		if err != nil {
			var singular *sparse.SingularError
			if errors.As(err, &singular) {
				err = nil // the search says what is the matter
			}
			return false, err
		}
		done, err = h.solveWith(ctx, f, s, isOff)
		f.Release()
		if done || err != nil {
			return done, err
		}
	}
	return false, nil
}

// solveWith solves with the factor of one round of refactor, and marks the cells that
// are off their pins then.
func (h *held) solveWith(ctx context.Context, f *sparse.Factor, s *solution, isOff []bool) (done bool, err error) {
	acc, err := f.SolveTo(ctx, [][]float64{s.u}, [][]float64{s.load}, nil)
	if err != nil {
		return false, fmt.Errorf("fea: %w", err)
	}
	lifted := make([]float64, len(h.pins))
	changed, total := 0.0, 0.0
	for i := range h.pins {
		gap := h.pins[i].gap(s.u)
		force := math.Abs(gap) * h.pins[i].bed
		if isOff[i] {
			lifted[i] = h.pins[i].bed * gap
		} else {
			total += force
		}
		if isOff[i] != (gap > 0) {
			changed += force
		}
		isOff[i] = gap > 0
	}
	if changed > refactorShare*total {
		return false, nil
	}
	s.accuracy, s.lifted = acc[0], lifted
	s.forces = h.m.zeros()
	return true, f.MultiplyTo(ctx, [][]float64{s.forces}, [][]float64{s.u})
}

// search repeats the same among the cells alone, with C, and solves once at the end.
func (h *held) search(ctx context.Context, s *solution, g []float64, isOff []bool) error {
	p, n := h.pinned, len(h.pins)
	for ; s.rounds <= maxRounds; s.rounds++ {
		var off []int
		for i, o := range isOff {
			if o {
				off = append(off, i)
			}
		}
		if err := h.know(ctx, off); err != nil {
			return err
		}
		x, gap, ok := p.undo(g, off)
		if !ok || len(off) == n {
			return fmt.Errorf("fea: the loads lift the plate off the pins of its hinges; fix one of them, or add a support that holds it there")
		}
		worst, at := 0.0, -1
		largest := 0.0
		for i, v := range gap {
			largest = max(largest, math.Abs(v))
			if (v > 0) != isOff[i] && math.Abs(v) > worst {
				worst, at = math.Abs(v), i
			}
		}
		if worst <= 1e-9*largest {
			return h.lift(ctx, s, off, x)
		}
		if s.rounds > manyAtOnce {
			isOff[at] = !isOff[at]
			continue
		}
		for i, v := range gap {
			isOff[i] = v > 0
		}
	}
	return fmt.Errorf("fea: after %d rounds it is still not clear where the bores press on their pins; fix one of the hinges", maxRounds)
}

// lift solves once more with the undoing forces on the cells off their pins.
func (h *held) lift(ctx context.Context, s *solution, off []int, x []float64) error {
	s.lifted = make([]float64, len(h.pins))
	f := append([]float64(nil), s.load...)
	for i, a := range off {
		s.lifted[a] = x[i] * h.pinned.root[a]
		h.pins[a].push(s.lifted[a], f)
	}
	acc, err := h.factor.SolveTo(ctx, [][]float64{s.u}, [][]float64{f}, nil)
	if err != nil {
		return h.explain(ctx, err)
	}
	s.accuracy = acc[0]
	return nil
}
