package fea

import (
	"context"
	"fmt"
	"math"
	"sync"

	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
)

// maxCases bounds the work of one analysis.
const maxCases = 500

// Solve analyses load cases of a layout's document. Loads and supports are those
// of the document that the cases name. It looks at ctx between bounded pieces of
// work and returns its error; other errors say what of the document cannot be
// analysed, and what to do.
func Solve(ctx context.Context, l *layout.Layout, o Options, cases []plate.LoadCase) (*Result, error) {
	m, err := NewModel(ctx, l, o)
	if err != nil {
		return nil, err
	}
	return m.Solve(ctx, cases)
}

// Solve analyses load cases on the model.
func (m *Model) Solve(ctx context.Context, cases []plate.LoadCase) (*Result, error) {
	r, failed, err := m.SolveEach(ctx, cases)
	if err != nil {
		return nil, err
	}
	for _, err := range failed {
		if err != nil {
			return nil, err
		}
	}
	return r, nil
}

// SolveEach analyses the load cases that can be analysed; failed says of each case why it
// cannot, nil where it can. The error is that of ctx, or that of too many cases.
func (m *Model) SolveEach(ctx context.Context, cases []plate.LoadCase) (r *Result, failed []error, err error) {
	if len(cases) > maxCases {
		return nil, nil, fmt.Errorf("fea: %d load cases; at most %d are analysed at a time", len(cases), maxCases)
	}
	a := m.analysis(m.Layout.Plate.Supports)
	defer a.release()
	solved, failed, err := a.solveCases(ctx, cases)
	if err != nil {
		return nil, nil, err
	}
	fine, tooMany, err := a.refined(ctx, solved)
	if err != nil {
		return nil, nil, err
	}
	r = &Result{Model: fine, Mesh: m.facts(), Coarse: m.Coarse, Notes: notes()}
	r.Mesh.Divided = len(fine.Mesh.Triangles)
	if tooMany {
		r.Notes = append(r.Notes, manyPeaks)
	}
	m.Shell.Few(len(solved), func(i int) { fine.finish(solved[i]) })
	for _, s := range solved {
		r.Cases = append(r.Cases, s.CaseResult)
	}
	return r, failed, nil
}

// startPatches makes what recovery needs while the equations, which it does not depend
// on, are ordered by one goroutine. The function returned waits for its end.
func (m *Model) startPatches() (wait func()) {
	var wg sync.WaitGroup
	if m.Shell.Workers() > 1 && !m.Coarse {
		wg.Go(func() { m.patches() })
	}
	return wg.Wait
}

// analysis holds what the cases of one run share.
type analysis struct {
	m        *Model
	supports []plate.Support
	held     map[string]*held
	loads    map[loadKey]*loading
}

func (m *Model) analysis(supports []plate.Support) *analysis {
	return &analysis{m: m, supports: supports, held: map[string]*held{}, loads: map[loadKey]*loading{}}
}

type loadKey struct {
	id       plate.ID
	mirrored bool
	setting  plate.ID
}

// held is a set of supports with the factor of its equations, all walls on pins
// pressing, and what the search for those that do needs.
type held struct {
	*holding
	factor *sparse.Factor
	pinned *pinned // nil without hinges
}

func (a *analysis) release() {
	for _, h := range a.held {
		h.factor.Release()
	}
}

// caseError says which load case cannot be analysed.
type caseError struct {
	name string
	err  error
}

func (e *caseError) Error() string {
	return fmt.Sprintf("fea: load case %q: %s", e.name, finding.Words(e.err))
}

func (e *caseError) Unwrap() error { return e.err }

// loadsOf adds up the loads of a case.
func (a *analysis) loadsOf(c *plate.LoadCase, set adjusted) (sum []float64, warm float64, asked Wrench, used []*loading, err error) {
	m := a.m
	sum = m.zeros()
	if len(c.Loads) == 0 {
		return nil, 0, asked, nil, fmt.Errorf("fea: it has no load; add one")
	}
	if !(c.Factor > 0) || math.IsInf(c.Factor, 0) {
		return nil, 0, asked, nil, fmt.Errorf("fea: its factor is %v; give a number above zero", c.Factor)
	}
	largest := 0.0
	for _, lf := range c.Loads {
		if math.IsNaN(lf.Factor) || math.IsInf(lf.Factor, 0) {
			return nil, 0, asked, nil, fmt.Errorf("fea: the factor of a load is %v; give a number", lf.Factor)
		}
		key := loadKey{lf.Load, c.Mirrored, c.Setting}
		l := a.loads[key]
		if l == nil {
			for i := range m.Layout.Plate.Loads {
				if d := &m.Layout.Plate.Loads[i]; d.ID == lf.Load {
					if l, err = m.makeLoad(d, c.Mirrored, set); err != nil {
						return nil, 0, asked, nil, err
					}
				}
			}
			if l == nil {
				return nil, 0, asked, nil, fmt.Errorf("fea: it names load %d, which the document does not have", lf.Load)
			}
			a.loads[key] = l
		}
		k := c.Factor * lf.Factor
		for i, v := range l.f {
			sum[i] += k * v
			largest = max(largest, math.Abs(k*v))
		}
		warm += k * l.warm
		asked = asked.Add(l.asked.Move(l.at, m.centre).Scale(k))
		used = append(used, l)
	}
	left := 0.0
	for _, v := range sum {
		left = max(left, math.Abs(v))
	}
	if left <= 1e-12*largest || largest == 0 {
		return nil, 0, asked, nil, fmt.Errorf("fea: its loads cancel, so that nothing acts on the plate; check figures and factors")
	}
	return sum, warm, asked, used, nil
}

// heldKey names what holds a case: cases of one key share a factor.
func heldKey(c *plate.LoadCase) string { return fmt.Sprint(c.Setting, c.Supports) }

// supportsOf makes or finds the supports of a case, factored.
func (a *analysis) supportsOf(ctx context.Context, c *plate.LoadCase, set adjusted) (*held, error) {
	key := heldKey(c)
	if h := a.held[key]; h != nil {
		return h, nil
	}
	list, err := supportsIn(a.supports, c)
	if err != nil {
		return nil, err
	}
	h, err := a.m.hold(ctx, list, set)
	if err != nil {
		return nil, err
	}
	out, err := h.factored(ctx)
	if err != nil {
		return nil, err
	}
	a.held[key] = out
	return out, nil
}

// supportsIn lists the supports of a case: all where it names none.
func supportsIn(all []plate.Support, c *plate.LoadCase) ([]plate.Support, error) {
	if len(c.Supports) == 0 {
		return all, nil
	}
	var list []plate.Support
	for _, id := range c.Supports {
		n := len(list)
		for _, s := range all {
			if s.ID == id {
				list = append(list, s)
			}
		}
		if len(list) == n {
			return nil, fmt.Errorf("fea: it names support %d, which the document does not have", id)
		}
	}
	return list, nil
}

// factored factors the equations, and finds what the pins need.
func (h *holding) factored(ctx context.Context) (*held, error) {
	factor, err := h.sym.Factor(ctx, h.element, h.anchors, h.m.buffers)
	if err != nil {
		return nil, h.explain(ctx, err)
	}
	out := &held{holding: h, factor: factor}
	if len(h.pins) > 0 {
		if out.pinned, err = out.pin(ctx); err != nil {
			factor.Release()
			return nil, err
		}
	}
	return out, nil
}

// solution is the displacement under one case, and what came with it.
type solution struct {
	u        []float64
	load     []float64 // loads, inertia included
	size     float64   // sum of the lengths of the forces of the loads alone, N
	forces   []float64 // K·u
	lifted   []float64 // by cell: the force that takes back what the bed of a cell off its pin would do
	rounds   int
	accuracy sparse.Accuracy
}

// solvedCase is a load case solved for displacements.
type solvedCase struct {
	CaseResult // without stresses; U on the nodes of the mesh that it was solved on
	h          *held
	set        adjusted
	used       []*loading
	warm       float64
	solution
}

// together is the number of cases that are solved at a time: one pass over the factor
// serves all of them, and the forces of no more are held.
const together = 16

// solveCases finds the displacements of the cases that can be solved; failed says why the
// others cannot. The error is that of ctx.
func (a *analysis) solveCases(ctx context.Context, cases []plate.LoadCase) (solved []*solvedCase, failed []error, err error) {
	failed = make([]error, len(cases))
	for from := 0; from < len(cases); from += together {
		some := cases[from:min(from+together, len(cases))]
		list := make([]*solvedCase, len(some))
		for i := range some {
			list[i], failed[from+i] = a.prepare(ctx, &some[i])
		}
		for i, s := range list {
			if s == nil || s.u != nil {
				continue
			}
			// Those that are held alike, by the same factor.
			var alike []*solution
			var at []int
			for k := i; k < len(list); k++ {
				if list[k] != nil && list[k].h == s.h {
					alike, at = append(alike, &list[k].solution), append(at, from+k)
				}
			}
			for k, err := range s.h.solve(ctx, alike) {
				failed[at[k]] = err
			}
		}
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		a.m.Shell.Few(len(list), func(i int) {
			if list[i] != nil && failed[from+i] == nil {
				failed[from+i] = a.complete(list[i])
			}
		})
		for i, s := range list {
			if err := failed[from+i]; err != nil {
				failed[from+i] = &caseError{some[i].Name, err}
				continue
			}
			solved = append(solved, s)
		}
	}
	return solved, failed, nil
}

// prepare finds the loads and supports of a case.
func (a *analysis) prepare(ctx context.Context, c *plate.LoadCase) (*solvedCase, error) {
	s := &solvedCase{CaseResult: CaseResult{Case: *c}}
	var err error
	if s.set, err = a.m.adjust(c.Setting); err != nil {
		return nil, err
	}
	if s.load, s.warm, s.Asked, s.used, err = a.loadsOf(c, s.set); err != nil {
		return nil, err
	}
	if s.h, err = a.supportsOf(ctx, c, s.set); err != nil {
		return nil, err
	}
	s.size = sizeOf(s.load)
	if s.h.free {
		s.Inertia, err = a.m.relieve(s.load)
	}
	return s, err
}

// complete finds what follows from the displacements of a case but stresses, and lets go of
// what was needed for it.
func (a *analysis) complete(s *solvedCase) error {
	m := a.m
	if s.h.free {
		if err := m.settleRigid(s.u); err != nil {
			return err
		}
	}
	r := &s.CaseResult
	r.U, r.Accuracy, r.ContactRounds = s.u, s.accuracy, s.rounds
	by := m.react(r, s.h.holding, &s.solution)
	r.Walls = m.wallForces(&r.Case, s.h.holding, by, s.used)
	for _, l := range s.used {
		if l.note != "" {
			r.Notes = append(r.Notes, l.note)
		}
	}
	r.Stiffness = m.alongLoads(r, &r.Case, s.used)
	r.Applied = m.resultant(s.load, m.centre).Add(r.Inertia.Scale(-1))
	s.load, s.forces, s.lifted = nil, nil, nil
	return nil
}

// solve finds the displacements of cases, pins pressing where they press, and says of each
// why they cannot be found.
func (h *held) solve(ctx context.Context, list []*solution) []error {
	for _, s := range list {
		s.u, s.forces = h.m.zeros(), h.m.zeros()
	}
	if h.pinned != nil {
		return h.settlePins(ctx, list)
	}
	failed := make([]error, len(list))
	loads := make([][]float64, len(list))
	for i, s := range list {
		loads[i] = s.load
	}
	h.displace(ctx, standing(failed), list, loads, failed)
	return failed
}

// standing are the numbers of the cases that have not failed.
func standing(failed []error) []int {
	var out []int
	for i, err := range failed {
		if err == nil {
			out = append(out, i)
		}
	}
	return out
}

// displace finds the displacements of the solutions at the numbers given, under forces.
func (h *held) displace(ctx context.Context, at []int, list []*solution, forces [][]float64, failed []error) {
	h.together(ctx, at, failed, func(at []int) error {
		var u, k, f [][]float64
		for _, i := range at {
			u, k, f = append(u, list[i].u), append(k, list[i].forces), append(f, forces[i])
		}
		acc, err := h.factor.SolveWithForces(ctx, u, k, f, nil)
		for j := range acc {
			list[at[j]].accuracy = acc[j]
		}
		return err
	})
}

// together calls f for all numbers at once, and where that fails one by one, so that only
// what is wrong fails.
func (h *held) together(ctx context.Context, at []int, failed []error, f func(at []int) error) {
	if len(at) == 0 || f(at) == nil {
		return
	}
	for _, i := range at {
		if err := f([]int{i}); err != nil {
			failed[i] = h.explain(ctx, err)
		}
	}
}
