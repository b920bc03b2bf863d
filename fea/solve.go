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
	failed = make([]error, len(cases))
	var solved []*solvedCase
	for i := range cases {
		s, err := a.solveCase(ctx, &cases[i])
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		if failed[i] = err; err == nil {
			solved = append(solved, s)
		}
	}
	fine, err := a.refined(ctx, solved)
	if err != nil {
		return nil, nil, err
	}
	r = &Result{Model: fine, Whole: m, Mesh: m.facts(), Coarse: m.Coarse, Notes: notes()}
	r.Mesh.Divided = len(fine.Mesh.Triangles)
	for _, s := range solved {
		fine.finish(s)
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

// supportsOf makes or finds the supports of a case, factored.
func (a *analysis) supportsOf(ctx context.Context, c *plate.LoadCase, set adjusted) (*held, error) {
	key := fmt.Sprint(c.Setting, c.Supports)
	if h := a.held[key]; h != nil {
		return h, nil
	}
	var list []plate.Support
	if len(c.Supports) == 0 {
		list = a.supports
	}
	for _, id := range c.Supports {
		n := len(list)
		for _, s := range a.supports {
			if s.ID == id {
				list = append(list, s)
			}
		}
		if len(list) == n {
			return nil, fmt.Errorf("fea: it names support %d, which the document does not have", id)
		}
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

// solveCase finds the displacements of a case, and what does not depend on stresses.
func (a *analysis) solveCase(ctx context.Context, c *plate.LoadCase) (*solvedCase, error) {
	fail := func(err error) (*solvedCase, error) { return nil, &caseError{c.Name, err} }
	set, err := a.m.adjust(c.Setting)
	if err != nil {
		return fail(err)
	}
	load, warm, asked, used, err := a.loadsOf(c, set)
	if err != nil {
		return fail(err)
	}
	h, err := a.supportsOf(ctx, c, set)
	if err != nil {
		return fail(err)
	}
	s := solution{load: load, size: sizeOf(load)}
	inertia := Wrench{}
	if h.free {
		if inertia, err = a.m.relieve(s.load); err != nil {
			return fail(err)
		}
	}
	if err := h.solve(ctx, &s); err != nil {
		return fail(err)
	}
	if h.free {
		if err := a.m.settleRigid(s.u); err != nil {
			return fail(err)
		}
	}
	out := &solvedCase{h: h.holding, set: set, used: used, warm: warm, size: s.size}
	r := &out.CaseResult
	r.Case, r.U, r.Accuracy, r.ContactRounds = *c, s.u, s.accuracy, s.rounds
	by := a.m.react(r, h.holding, &s)
	r.Walls = a.m.wallForces(c, h.holding, by, used)
	for _, l := range used {
		if l.note != "" {
			r.Notes = append(r.Notes, l.note)
		}
	}
	r.Stiffness = a.m.alongLoads(r, c, used)
	r.Applied = a.m.resultant(s.load, a.m.centre).Add(inertia.Scale(-1))
	r.Asked, r.Inertia = asked, inertia
	return out, nil
}

// solve finds the displacements, pins pressing where they press.
func (h *held) solve(ctx context.Context, s *solution) error {
	s.u, s.forces = h.m.zeros(), h.m.zeros()
	if h.pinned != nil {
		return h.settlePins(ctx, s)
	}
	return h.displace(ctx, s, s.load)
}

// displace finds the displacements under forces.
func (h *held) displace(ctx context.Context, s *solution, forces []float64) error {
	acc, err := h.factor.SolveWithForces(ctx, [][]float64{s.u}, [][]float64{s.forces}, [][]float64{forces}, nil)
	if err != nil {
		return h.explain(ctx, err)
	}
	s.accuracy = acc[0]
	return nil
}
