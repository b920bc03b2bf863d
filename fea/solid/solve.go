package solid

import (
	"context"
	"errors"
	"fmt"
	"math"

	"platewright/fea/sparse"
)

// Hold marks the components (x, y, z) of the nodes that in accepts as held at zero
// and returns how many nodes those are. held has one mark an unknown.
func (m *Model) Hold(held []bool, components [3]bool, in func(at Vec) bool) int {
	count := 0
	for n, p := range m.Nodes {
		if in(p) {
			count++
			for c, h := range components {
				held[3*n+c] = held[3*n+c] || h
			}
		}
	}
	return count
}

// System is a model with unknowns held, factored.
type System struct {
	Model  *Model
	Factor *sparse.Factor
	Size   sparse.Size
	held   []bool
	beds   []Bed
}

// Factor holds the marked unknowns at zero and factors the stiffness. buffers may
// be nil. It looks at ctx between bounded pieces of work and returns its error. A
// plate that can still move freely gives an error that names the motion.
func (m *Model) Factor(ctx context.Context, held []bool, buffers *sparse.Buffers) (*System, error) {
	return m.FactorOn(ctx, held, nil, buffers)
}

// FactorOn is Factor with springs between the metal and the ground.
func (m *Model) FactorOn(ctx context.Context, held []bool, beds []Bed, buffers *sparse.Buffers) (*System, error) {
	if len(held) != m.Unknowns() {
		return nil, fmt.Errorf("solid: %d marks of held unknowns for %d unknowns; give one each", len(held), m.Unknowns())
	}
	p := sparse.Pattern{
		Positions: make([][3]float64, len(m.Nodes)),
		Sizes:     make([]int, len(m.Nodes)),
		Elements:  make([][]int32, len(m.Elements)),
		Held:      held,
	}
	for n, at := range m.Nodes {
		p.Positions[n], p.Sizes[n] = at, 3
	}
	for e := range m.Elements {
		p.Elements[e] = m.Elements[e].Node[:]
	}
	for i := range beds {
		p.Elements = append(p.Elements, beds[i].Node)
	}
	element := func(e int, ke []float64) error {
		if e >= len(m.Elements) {
			beds[e-len(m.Elements)].matrix(ke)
			return nil
		}
		return m.element(e, ke)
	}
	sym, err := sparse.Analyse(ctx, p, sparse.Options{Workers: m.o.Workers})
	if err != nil {
		return nil, fmt.Errorf("solid: %w", err)
	}
	f, err := sym.Factor(ctx, element, nil, buffers)
	if err != nil {
		return nil, m.explain(ctx, sym, element, err)
	}
	return &System{m, f, sym.Size(), held, beds}, nil
}

func (m *Model) element(e int, ke []float64) error {
	x := m.Prism(e)
	return Stiffness(&x, m.Material, ke)
}

// explain names the free motion behind a singular stiffness.
func (m *Model) explain(ctx context.Context, sym *sparse.Symbolic, element sparse.Element, cause error) error {
	var singular *sparse.SingularError
	if !errors.As(cause, &singular) {
		return fmt.Errorf("solid: %w", cause)
	}
	components := make([][]sparse.Component, len(m.Nodes))
	for n := range components {
		components[n] = []sparse.Component{sparse.MoveX, sparse.MoveY, sparse.MoveZ}
	}
	positions := make([][3]float64, len(m.Nodes))
	lo, hi := m.Nodes[0], m.Nodes[0]
	for n, p := range m.Nodes {
		positions[n] = p
		for c := range 3 {
			lo[c], hi[c] = min(lo[c], p[c]), max(hi[c], p[c])
		}
	}
	vectors, centre, err := sym.RigidBody(positions, components)
	if err != nil {
		return fmt.Errorf("solid: %w", err)
	}
	motions, err := sym.FreeMotions(ctx, element, nil, vectors)
	if err != nil {
		return fmt.Errorf("solid: %w", err)
	}
	at := m.Nodes[singular.Node]
	if len(motions) == 0 {
		return fmt.Errorf("solid: the metal has no stiffness at (%.4g, %.4g, %.4g); it may hang together along a line only: %w", at[0], at[1], at[2], cause)
	}
	size := hi.add(lo, -1).len()
	r := sparse.Rigid(motions[0].Combination, centre, size)
	for c := range 3 { // what rounding leaves of zero is not for people
		r.Move[c] = tidy(r.Move[c], 1)
		r.Turn[c] = tidy(r.Turn[c], 1)
		r.At[c] = tidy(r.At[c], size)
	}
	what := fmt.Sprintf("move along (%.3g, %.3g, %.3g)", r.Move[0], r.Move[1], r.Move[2])
	if r.Turn != [3]float64{} {
		what = fmt.Sprintf("turn about the axis (%.3g, %.3g, %.3g) through (%.4g, %.4g, %.4g)", r.Turn[0], r.Turn[1], r.Turn[2], r.At[0], r.At[1], r.At[2])
	}
	return fmt.Errorf("solid: the metal about (%.4g, %.4g, %.4g) is free to %s; add a support: %w", at[0], at[1], at[2], what, cause)
}

// tidy is v, or zero where v is so by the size of things.
func tidy(v, size float64) float64 {
	if math.Abs(v) < 1e-9*size {
		return 0
	}
	return v
}

// Result is the answer to one load.
type Result struct {
	Model    *Model
	U        []float64 // displacements by unknown, mm
	Load     []float64 // as given, N
	Reaction []float64 // forces of supports and springs on the plate, N
	// Energy is the strain energy, N·mm: half of load times displacement.
	Energy float64
	// Imbalance is the resultant of loads and reactions as a share of the sum of all
	// nodes' forces.
	Imbalance float64
	Accuracy  sparse.Accuracy
}

// Solve finds the displacements under a load. It looks at ctx between bounded pieces
// of work.
func (s *System) Solve(ctx context.Context, load []float64) (*Result, error) {
	m := s.Model
	if len(load) != m.Unknowns() {
		return nil, fmt.Errorf("solid: %d forces for %d unknowns; give one each", len(load), m.Unknowns())
	}
	some := false
	for i, f := range load {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return nil, fmt.Errorf("solid: the force on node %d is %v; give finite loads", i/3, f)
		}
		some = some || f != 0
	}
	if !some {
		return nil, fmt.Errorf("solid: nothing acts on the plate; give a load")
	}
	r := &Result{Model: m, Load: load, U: m.Zeros(), Reaction: m.Zeros()}
	acc, err := s.Factor.SolveWithForces(ctx, [][]float64{r.U}, [][]float64{r.Reaction}, [][]float64{load}, nil)
	if err != nil {
		return nil, fmt.Errorf("solid: %w", err)
	}
	r.Accuracy = acc[0]
	work := 0.0
	for i := range load {
		r.Reaction[i] -= load[i]
		if !s.held[i] {
			r.Reaction[i] = 0
		}
		work += load[i] * r.U[i]
	}
	for i := range s.beds {
		b := &s.beds[i]
		b.push(-b.Stiffness*b.Gap(r.U), r.Reaction)
	}
	r.Energy = work / 2
	r.Imbalance = imbalance(load, r.Reaction)
	return r, nil
}

// imbalance is the resultant of both as a share of all forces.
func imbalance(load, reaction []float64) float64 {
	var sum Vec
	total := 0.0
	for i := range load {
		sum[i%3] += load[i] + reaction[i]
		total += math.Abs(load[i]) + math.Abs(reaction[i])
	}
	return sum.len() / total
}

// Release gives the memory of the factor back to its buffers.
func (s *System) Release() { s.Factor.Release() }
