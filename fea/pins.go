package fea

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"platewright/fea/sparse"
)

// Where a wall comes off its pin. The equations are factored with every cell of the
// walls pressing. A cell that has come off is taken away by the force that undoes its
// bed (the Sherman–Morrison–Woodbury formula), so that the search for the cells that
// have is one among the cells alone: C, the gaps of all cells under a unit force on
// each, is all it needs. It comes from the factor without solutions (see
// sparse.Factor.Compliance) and serves all load cases.
//
// With g the gaps while all press, k the beds and I the cells off their pins, the
// undoing forces are x = (diag(1/k) − C_II)⁻¹ g_I, and the gaps g + C_·I x.

// pinned is C, scaled: √k C √k, whose eigenvalues are below 1 as long as the plate is
// held without the cells.
type pinned struct {
	compliance *sparse.Compliance
	root       []float64 // √k by cell
}

// maxCells bounds the dense arithmetic over cells.
const maxCells = 3000

func (h *held) pin(ctx context.Context) (*pinned, error) {
	n := len(h.pins)
	if n > maxCells {
		return nil, fmt.Errorf("fea: the hinges have %d places that may come off their pins, the limit is %d; fix some of them, or hinge fewer holes", n, maxCells)
	}
	p := &pinned{root: make([]float64, n)}
	columns := make([][]sparse.Entry, n)
	for i := range h.pins {
		p.root[i] = math.Sqrt(h.pins[i].bed)
		columns[i] = h.pins[i].entries(p.root[i])
	}
	var err error
	if p.compliance, err = h.factor.Compliance(ctx, columns); err != nil {
		return nil, h.explain(ctx, err)
	}
	return p, nil
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
			v := -p.compliance.Matrix[a*len(g)+off[j]]
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
			gap[i] += p.compliance.Matrix[a*len(g)+i] * x[j]
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

// settlePins finds the displacements of cases with cells that pull off their pins, and says
// of each why they cannot be found.
func (h *held) settlePins(ctx context.Context, list []*solution) []error {
	gaps := make([][]float64, len(list))
	failed := make([]error, len(list))
	h.together(ctx, standing(failed), failed, func(at []int) error {
		var loads [][]float64
		for _, i := range at {
			loads = append(loads, list[i].load)
		}
		g, err := h.pinned.compliance.Under(ctx, loads)
		for k := range g {
			gaps[at[k]] = g[k]
		}
		return err
	})
	lifts := make([]lift, len(list))
	for _, i := range standing(failed) {
		lifts[i].off, lifts[i].x, failed[i] = h.search(list[i], gaps[i])
	}
	h.lift(ctx, list, lifts, failed)
	return failed
}

// search repeats: cells that pull come off their pins, and cells that meet them press
// again, until none changes. It starts with those that pull while all press, and
// returns the cells off their pins and the scaled forces that undo their beds.
func (h *held) search(s *solution, g []float64) (off []int, x []float64, err error) {
	n := len(h.pins)
	isOff := make([]bool, n)
	for i := range g {
		isOff[i] = g[i] > 0
	}
	for s.rounds = 1; s.rounds <= maxRounds; s.rounds++ {
		off = off[:0]
		for i, o := range isOff {
			if o {
				off = append(off, i)
			}
		}
		x, gap, ok := h.pinned.undo(g, off)
		if !ok || len(off) == n {
			return nil, nil, fmt.Errorf("fea: the loads lift the plate off the pins of its hinges; fix one of them, or add a support that holds it there")
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
			return off, x, nil
		}
		if s.rounds > manyAtOnce {
			isOff[at] = !isOff[at]
			continue
		}
		for i, v := range gap {
			isOff[i] = v > 0
		}
	}
	return nil, nil, fmt.Errorf("fea: after %d rounds it is still not clear where the bores press on their pins; fix one of the hinges", maxRounds)
}

// liftError is the share of the largest undoing force to which each must be what the
// bed of its cell does at the gap found; a solution or two correct what rounding has
// left in C.
const (
	liftError = 1e-9
	maxLifts  = 4
)

// lift is what undoes the beds of the cells off their pins.
type lift struct {
	off []int     // those cells
	x   []float64 // the scaled forces
}

// lift solves the cases that have not failed with the undoing forces on the cells off their
// pins.
func (h *held) lift(ctx context.Context, list []*solution, lifts []lift, failed []error) {
	forces := make([][]float64, len(list))
	open := standing(failed)
	for range maxLifts {
		for _, i := range open {
			s := list[i]
			forces[i] = append(forces[i][:0], s.load...)
			s.lifted = make([]float64, len(h.pins))
			for k, a := range lifts[i].off {
				s.lifted[a] = lifts[i].x[k] * h.pinned.root[a]
				h.pins[a].push(s.lifted[a], forces[i])
			}
		}
		h.displace(ctx, open, list, forces, failed)
		var left []int
		for _, i := range open {
			if failed[i] == nil && !h.correct(list[i], &lifts[i]) {
				left = append(left, i)
			}
		}
		open = left
	}
	for _, i := range open {
		failed[i] = fmt.Errorf("fea: the forces where bores come off their pins cannot be found to %g: the plate is hardly held; fix one of the hinges", liftError)
	}
}

// correct compares the forces of a lift with the gaps found, and reports whether they agree;
// else it makes up for what is missing as for gaps of their own.
func (h *held) correct(s *solution, l *lift) bool {
	missing := make([]float64, len(h.pins))
	worst, largest := 0.0, 0.0
	for i, a := range l.off {
		missing[a] = h.pinned.root[a]*h.pins[a].gap(s.u) - l.x[i]
		worst, largest = max(worst, math.Abs(missing[a])), max(largest, math.Abs(l.x[i]))
	}
	if worst <= liftError*largest {
		return true
	}
	if more, _, ok := h.pinned.undo(missing, l.off); ok {
		for i := range l.x {
			l.x[i] += more[i]
		}
	}
	return false
}
