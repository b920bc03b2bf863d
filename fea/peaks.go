package fea

import (
	"context"
	"fmt"
	"math"
	"slices"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate"
)

// Rounds where stress peaks, such as the inside corners of pockets. The sides round them
// that serve for stiffness give peaks a tenth to a fifth low; 24 round every corner would
// make three meshes of one. So the cases are solved on a mesh for stiffness first. Then
// elements about the rounds whose stress reaches peakShare of the greatest of a load case
// are divided until a full turn has peakEdges sides, and what lies within peakRings
// elements of them is solved again under the displacements round it, as found before: what
// smaller elements change there dies out with the distance (Saint-Venant's principle), and
// a whole that is within 1 % of the stiffness gives displacements as near as that.
//
// Elements that carry a load or a support are left as they are and keep the
// displacements of the whole: stress beside them is no result.
const (
	peakEdges = 24
	peakTimes = 2 // the most divisions
	peakShare = 0.75
	peakRings = 3
)

// solvedCase is a load case solved for displacements.
type solvedCase struct {
	CaseResult // without stresses; U on the nodes of the mesh that it was solved on
	h          *holding
	set        adjusted
	used       []*loading
	warm, size float64
}

// refined divides the elements where cases peak, gives each case its displacements on all
// nodes of the model returned, and leaves the nodes that were before to it as they are. It
// returns the analysis's own model where there is nothing to divide.
func (a *analysis) refined(ctx context.Context, cases []*solvedCase) (*Model, error) {
	m := a.m
	if m.Coarse || m.o.even || len(cases) == 0 {
		return m, nil
	}
	d := &division{m: m, cases: cases}
	d.findHigh()
	return d.refine(ctx, a.supports)
}

// refine divides and solves what findHigh has found.
func (d *division) refine(ctx context.Context, supports []plate.Support) (*Model, error) {
	if !slices.Contains(d.high, true) {
		return d.m, nil
	}
	d.findTimes()
	d.findTouched()
	d.divide()
	if len(d.mesh.Nodes) == len(d.m.Mesh.Nodes) {
		return d.m, nil
	}
	fine := *d.m
	fine.Mesh, fine.o.even = d.mesh, true
	var err error
	if fine.Shell, err = d.m.Shell.On(d.mesh); err != nil {
		return nil, fmt.Errorf("fea: where stress peaks: %w", err)
	}
	fine.patches = fine.patchesOnce()
	defer fine.startPatches()()
	if err = d.solve(ctx, &fine, supports); err != nil {
		return nil, fmt.Errorf("fea: where stress peaks: %w", err)
	}
	return &fine, nil
}

// division of the elements where cases peak.
type division struct {
	m       *Model
	cases   []*solvedCase
	high    []bool // by node: stress is nearly the greatest of a case
	times   []int8 // by edge of the map: how often its sides are to be halved
	touched []bool // by node: it carries a load or a support
	mesh    *mesh.Mesh
	region  []int32 // elements of mesh that are solved again
}

// findHigh marks where the cases peak.
func (d *division) findHigh() {
	m := d.m
	d.high = make([]bool, len(m.Mesh.Nodes))
	for _, s := range d.cases {
		m.exclude(&s.CaseResult, s.h, s.used)
		stress, most := m.Shell.Greatest(s.U, s.warm), 0.0
		each := func(f func(n int32, v float64)) {
			for e := range stress {
				for i, n := range m.Mesh.Triangles[e].Node {
					if s.Excluded[n] == 0 {
						f(n, stress[e][i])
					}
				}
			}
		}
		each(func(_ int32, v float64) { most = max(most, v) })
		if most > m.hushed(s.size) {
			each(func(n int32, v float64) { d.high[n] = d.high[n] || v >= peakShare*most })
		}
	}
}

// findTimes counts for the arcs where stress is high how often their sides are halved.
func (d *division) findTimes() {
	m := d.m
	d.times = make([]int8, len(m.Layout.Map.Edges))
	for i := range m.Mesh.Sides {
		s := &m.Mesh.Sides[i]
		e := &m.Layout.Map.Edges[s.Edge]
		if s.Straight || !e.IsArc() || !d.high[s.Node[0]] && !d.high[s.Node[1]] && !d.high[s.Node[2]] {
			continue
		}
		chord := m.Mesh.Nodes[s.Node[0]].Dist(m.Mesh.Nodes[s.Node[1]])
		turn := 2 * math.Asin(min(1, chord/(2*e.R)))
		for t := int8(0); t < peakTimes && turn > 1.1*2*math.Pi/peakEdges; t++ {
			d.times[s.Edge] = max(d.times[s.Edge], t+1)
			turn /= 2
		}
	}
}

// findTouched marks the nodes that carry loads or supports.
func (d *division) findTouched() {
	d.touched = make([]bool, len(d.m.Mesh.Nodes))
	mark := func(nodes []int32) {
		for _, n := range nodes {
			d.touched[n] = true
		}
	}
	for _, s := range d.cases {
		for i, k := range s.h.heldBy {
			if k > 0 {
				d.touched[i/shell.Unknowns] = true
			}
		}
		for i := range s.h.bonds {
			mark(s.h.bonds[i].nodes)
		}
		for i := range s.h.pins {
			mark(s.h.pins[i].node[:])
		}
		for _, k := range s.h.anchors {
			d.touched[k.Unknown/shell.Unknowns] = true
		}
		for _, l := range s.used {
			if l.place == nil {
				continue
			}
			for _, w := range l.place.sides() {
				mark(w.node[:])
			}
			for _, w := range l.place.line {
				mark(w.node[:])
			}
		}
	}
}

// divide makes mesh and region.
func (d *division) divide() {
	d.mesh = d.m.Mesh
	most := max(1, slices.Max(d.times))
	in := d.ring(d.atPeaks(1))
	for range peakRings - 1 {
		in = d.ring(d.nodesOf(in))
	}
	parent := make([]int32, len(d.mesh.Triangles))
	for e := range parent {
		parent[e] = int32(e)
	}
	for k := int8(1); k <= most; k++ {
		mark := d.ring(d.atPeaks(k))
		if k < most { // the ring round those that are divided again
			for e, next := range d.ring(d.nodesOf(d.ring(d.atPeaks(k + 1)))) {
				mark[e] = mark[e] || next
			}
		}
		halve := make([]bool, len(d.mesh.Nodes))
		for e, t := range d.mesh.Triangles {
			if mark[e] {
				for _, n := range t.Node[3:] {
					halve[n] = true
				}
			}
		}
		for e, t := range d.mesh.Triangles {
			if d.kept(e) || !in[parent[e]] {
				for _, n := range t.Node[3:] {
					halve[n] = false
				}
			}
		}
		var of []int32
		d.mesh, of = d.mesh.Divide(halve)
		for _, e := range of[len(parent):] {
			parent = append(parent, parent[e])
		}
	}
	for e := range d.mesh.Triangles {
		if in[parent[e]] && !d.kept(e) {
			d.region = append(d.region, int32(e))
		}
	}
}

// atPeaks marks the nodes whose elements are to be divided k times or more.
func (d *division) atPeaks(k int8) []bool {
	out := make([]bool, len(d.mesh.Nodes))
	if k == 1 {
		copy(out, d.high)
	}
	for i := range d.mesh.Sides {
		if s := &d.mesh.Sides[i]; d.times[s.Edge] >= k {
			for _, n := range s.Node {
				out[n] = true
			}
		}
	}
	return out
}

// ring marks the elements with one of the nodes.
func (d *division) ring(nodes []bool) []bool {
	out := make([]bool, len(d.mesh.Triangles))
	for e := range out {
		for _, n := range d.mesh.Triangles[e].Node {
			out[e] = out[e] || nodes[n]
		}
	}
	return out
}

func (d *division) nodesOf(elements []bool) []bool {
	out := make([]bool, len(d.mesh.Nodes))
	for e, in := range elements {
		if in {
			for _, n := range d.mesh.Triangles[e].Node {
				out[n] = true
			}
		}
	}
	return out
}

// kept reports whether an element carries a load or a support.
func (d *division) kept(e int) bool {
	for _, n := range d.mesh.Triangles[e].Node {
		if int(n) < len(d.touched) && d.touched[n] {
			return true
		}
	}
	return false
}

// pattern is that of the region, by the nodes in it. Those on its rim, which elements
// outside share, are held.
func (d *division) pattern() (p sparse.Pattern, nodes []int32) {
	local := make([]int32, len(d.mesh.Nodes)) // 1 + number in the region
	in := make([]bool, len(d.mesh.Triangles))
	p.Elements = make([][]int32, len(d.region))
	for i, e := range d.region {
		in[e] = true
		list := make([]int32, 6)
		for k, n := range d.mesh.Triangles[e].Node {
			if local[n] == 0 {
				nodes = append(nodes, n)
				local[n] = int32(len(nodes))
				q := d.mesh.Nodes[n]
				p.Positions = append(p.Positions, [3]float64{q.X, q.Y})
				p.Sizes = append(p.Sizes, shell.Unknowns)
			}
			list[k] = local[n] - 1
		}
		p.Elements[i] = list
	}
	p.Held = make([]bool, shell.Unknowns*len(nodes))
	for e := range d.mesh.Triangles {
		if in[e] {
			continue
		}
		for _, n := range d.mesh.Triangles[e].Node {
			if local[n] > 0 {
				at := p.Held[shell.Unknowns*(local[n]-1):][:shell.Unknowns]
				for k := range at {
					at[k] = true
				}
			}
		}
	}
	return p, nodes
}

// solve finds the displacements in the region.
func (d *division) solve(ctx context.Context, fine *Model, supports []plate.Support) error {
	p, nodes := d.pattern()
	sym, err := sparse.Analyse(ctx, p, sparse.Options{Workers: d.m.o.Workers})
	if err != nil {
		return err
	}
	factor, err := sym.Factor(ctx, func(e int, dst []float64) error {
		fine.Shell.Stiffness(int(d.region[e]), dst)
		return nil
	}, nil, d.m.buffers)
	if err != nil {
		return err
	}
	defer factor.Release()
	loads := fine.analysis(supports)
	var u, f, held [][]float64
	for _, s := range d.cases {
		load, err := loads.spread(s)
		if err != nil {
			return err
		}
		v, g := make([]float64, len(p.Held)), make([]float64, len(p.Held))
		for i, n := range nodes {
			if int(n) < len(d.m.Mesh.Nodes) {
				copy(v[shell.Unknowns*i:][:shell.Unknowns], s.U[shell.Unknowns*int(n):])
			}
			if load != nil {
				copy(g[shell.Unknowns*i:][:shell.Unknowns], load[shell.Unknowns*int(n):])
			}
		}
		u, f, held = append(u, make([]float64, len(v))), append(f, g), append(held, v)
	}
	acc, err := factor.SolveTo(ctx, u, f, held)
	if err != nil {
		return err
	}
	for i, s := range d.cases {
		s.Accuracy.BackwardError = max(s.Accuracy.BackwardError, acc[i].BackwardError)
	}
	d.put(nodes, u)
	return nil
}

// put gives the cases their displacements on all nodes: those of the whole, and u by
// case on the nodes of the region.
func (d *division) put(nodes []int32, u [][]float64) {
	for i, s := range d.cases {
		all := make([]float64, shell.Unknowns*len(d.mesh.Nodes))
		copy(all, s.U)
		for k, n := range nodes {
			copy(all[shell.Unknowns*int(n):][:shell.Unknowns], u[i][shell.Unknowns*k:])
		}
		s.U = all
	}
}

// spread is the load of a case where any of it acts elsewhere than on walls and edges; nil
// else.
func (a *analysis) spread(s *solvedCase) ([]float64, error) {
	some := s.h.free
	for _, l := range s.used {
		some = some || l.place == nil || l.place.isArea
	}
	if !some {
		return nil, nil
	}
	load, _, _, _, err := a.loadsOf(&s.Case, s.set)
	if err == nil && s.h.free {
		_, err = a.m.relieve(load)
	}
	return load, err
}
