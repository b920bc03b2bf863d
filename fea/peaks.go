package fea

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate"
)

// Rounds where stress peaks, such as the inside corners of pockets. The sides round them
// that serve for stiffness in large plates give peaks a fifth low; enough of them round every
// corner would make three meshes of one. So the cases are solved on a mesh for stiffness
// first. Then elements about the rounds whose stress is expected to reach peakShare of the
// greatest of a load case are divided until a full turn has peakEdges sides, and what lies
// within peakRings elements of them is solved again under the displacements round it, as found
// before: what smaller elements change there dies out with the distance (Saint-Venant's
// principle), and a whole that is within 1 % of the stiffness gives displacements as near
// as that. On the samples the greatest stresses are then within 1.5 % of those with sides a
// third as long; 24 sides were up to 6 % low.
//
// Elements that carry a load or a support are left as they are and keep the
// displacements of the whole: stress beside them is no result.
const (
	peakEdges = 36
	peakTimes = 3 // the most divisions
	peakShare = 0.92
	peakRings = 3
	peakJump  = 0.1     // of the greatest stress
	peakLeast = 1. / 15 // of the thickness, away from arcs
	peakSlack = 1.25    // by which sides may be longer than wanted
	peakMost  = 60_000  // elements added
)

// manyPeaks is said of a result whose elements were not divided because stress is nearly as
// great in too many places.
const manyPeaks = "Stress is nearly as great in so many places that the elements there were not divided: peaks at the edges of holes and corners of pockets may come out up to a fifth low."

// refined divides the elements where cases peak, gives each case its displacements on all
// nodes of the model returned, and leaves the nodes that were before to it as they are. It
// returns the analysis's own model where there is nothing to divide, or too much.
func (a *analysis) refined(ctx context.Context, cases []*solvedCase) (fine *Model, tooMany bool, err error) {
	m := a.m
	if m.Coarse || m.o.even || len(cases) == 0 {
		return m, false, nil
	}
	d := &division{m: m, edges: peakEdges, times: peakTimes, most: peakMost, cases: cases}
	d.findHigh()
	fine, err = d.refine(ctx, a.supports)
	return fine, d.tooMany(), err
}

// refine divides and solves what findHigh has found.
func (d *division) refine(ctx context.Context, supports []plate.Support) (*Model, error) {
	if !slices.Contains(d.high, true) {
		return d.m, nil
	}
	d.findTouched()
	d.wish()
	d.divide()
	if d.tooMany() || len(d.mesh.Nodes) == len(d.m.Mesh.Nodes) {
		return d.m, nil
	}
	fine := *d.m
	fine.Mesh, fine.whole, fine.o.even = d.mesh, d.m, true
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
	edges   float64 // wanted round a full turn
	times   int     // the most divisions
	most    int     // elements added
	cases   []*solvedCase
	high    []bool    // by node: stress is nearly the greatest of a case
	faces   []bool    // of the map: it is so in this face
	touched []bool    // by node: it carries a load or a support
	size    []float64 // by node of mesh: the longest side wanted, mm; 0 where none is
	mesh    *mesh.Mesh
	parent  []int32 // by element of mesh: the one before division
	near    []bool  // by element before division: it is solved again
	region  []int32 // elements of mesh that are solved again
}

// arcSize is the longest side wanted on an edge of the map where stress peaks, mm; 0 on
// lines.
func (d *division) arcSize(s *mesh.Side) float64 {
	e := &d.m.Layout.Map.Edges[s.Edge]
	if s.Straight || !e.IsArc() {
		return 0
	}
	return 2 * math.Pi * e.R / d.edges
}

func (d *division) sideLength(a, b int32) float64 { return d.mesh.Nodes[a].Dist(d.mesh.Nodes[b]) }

// expected gives by node what a peak there is expected to be, times what elements on sides
// of the present length find: 1.28 where a side on an arc turns by 72°, 1.13 at 45°, as
// measured on the samples, whose peaks are within 8 % of it; 1 elsewhere, and on arcs whose
// sides are short enough.
func (d *division) expected() []float64 {
	out := make([]float64, len(d.m.Mesh.Nodes))
	for n := range out {
		out[n] = 1
	}
	for i := range d.m.Mesh.Sides {
		s := &d.m.Mesh.Sides[i]
		h, l := d.arcSize(s), d.sideLength(s.Node[0], s.Node[1])
		if h == 0 || l <= peakSlack*h {
			continue
		}
		const turn = 72 * math.Pi / 180
		v := 1 + 0.28*math.Pow(l/(h*d.edges/(2*math.Pi))/turn, 1.7)
		for _, n := range s.Node {
			out[n] = max(out[n], v)
		}
	}
	return out
}

// findHigh marks where the cases peak: on arcs whose sides are long, and elsewhere where
// the elements at a node do not agree.
func (d *division) findHigh() {
	m := d.m
	d.mesh = m.Mesh
	d.high, d.faces = make([]bool, len(m.Mesh.Nodes)), make([]bool, len(m.Layout.Map.Faces))
	low := d.expected()
	slot, count := m.Shell.Slots()
	var mu sync.Mutex
	m.Shell.Few(len(d.cases), func(i int) {
		s := d.cases[i]
		m.exclude(&s.CaseResult, s.h.holding, s.used)
		least, greatest := m.Shell.Range(slot, count, s.U, s.warm)
		each := func(f func(t *mesh.Triangle, n, slot int32)) {
			for e := range slot {
				t := &m.Mesh.Triangles[e]
				for i, n := range t.Node {
					if s.Excluded[n] == 0 {
						f(t, n, slot[e][i])
					}
				}
			}
		}
		most := 0.0
		each(func(_ *mesh.Triangle, n, k int32) { most = max(most, low[n]*greatest[k]) })
		if most <= m.hushed(s.size) {
			return
		}
		mu.Lock()
		defer mu.Unlock()
		each(func(t *mesh.Triangle, n, k int32) {
			if low[n]*greatest[k] >= peakShare*most && (low[n] > 1 || greatest[k]-least[k] > peakJump*most) {
				d.high[n], d.faces[t.Face] = true, true
			}
		})
	})
}

// wish finds the sizes wanted, and which elements are solved again.
func (d *division) wish() {
	d.mesh = d.m.Mesh
	triangles := d.mesh.Triangles
	d.size = make([]float64, len(d.mesh.Nodes))
	want := func(size []float64, n int32, h float64) {
		if size[n] == 0 || h < size[n] {
			size[n] = h
		}
	}
	// Along all of an arc with a high node.
	high := make([]bool, len(d.m.Layout.Map.Edges))
	for i := range d.mesh.Sides {
		s := &d.mesh.Sides[i]
		high[s.Edge] = high[s.Edge] || d.high[s.Node[0]] || d.high[s.Node[1]] || d.high[s.Node[2]]
	}
	for i := range d.mesh.Sides {
		s := &d.mesh.Sides[i]
		if h := d.arcSize(s); h > 0 && high[s.Edge] {
			for _, n := range s.Node {
				want(d.size, n, h)
			}
		}
	}
	// Elsewhere about half of what there is, but not much below the thickness, where a
	// shell means nothing.
	for e := range triangles {
		t := &triangles[e]
		mean := (d.sideLength(t.Node[0], t.Node[1]) + d.sideLength(t.Node[1], t.Node[2]) + d.sideLength(t.Node[2], t.Node[0])) / 3
		for _, n := range t.Node {
			if d.high[n] && d.size[n] == 0 {
				d.size[n] = max(0.55*mean, d.m.Layout.Thickness*peakLeast)
			}
		}
	}
	d.near = d.ring(d.size)
	// Twice as long one element on.
	spread := slices.Clone(d.size)
	for e := range triangles {
		if !d.near[e] || !d.faces[triangles[e].Face] {
			continue
		}
		least := math.Inf(1)
		for _, n := range triangles[e].Node {
			if h := d.size[n]; h > 0 {
				least = min(least, h)
			}
		}
		for _, n := range triangles[e].Node {
			want(spread, n, 2*least)
		}
	}
	d.size = spread
	for range peakRings - 1 {
		in := make([]float64, len(d.mesh.Nodes))
		for e, near := range d.near {
			if near {
				for _, n := range triangles[e].Node {
					in[n] = 1
				}
			}
		}
		d.near = d.ring(in)
	}
}

// ring marks the elements with a node that is not zero.
func (d *division) ring(nodes []float64) []bool {
	out := make([]bool, len(d.mesh.Triangles))
	for e := range out {
		for _, n := range d.mesh.Triangles[e].Node {
			out[e] = out[e] || nodes[n] > 0
		}
	}
	return out
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
	d.parent = make([]int32, len(d.mesh.Triangles))
	for e := range d.parent {
		d.parent[e] = int32(e)
	}
	for range d.times {
		halve := d.tooLong()
		if !slices.Contains(halve, true) || d.tooMany() {
			break
		}
		next, of := d.mesh.Divide(halve)
		for _, e := range of[len(d.parent):] {
			d.parent = append(d.parent, d.parent[e])
		}
		d.mesh = next
		d.size = append(d.size, make([]float64, len(next.Nodes)-len(d.size))...)
	}
	for e := range d.mesh.Triangles {
		if d.near[d.parent[e]] && !d.kept(e) {
			d.region = append(d.region, int32(e))
		}
	}
}

// tooMany reports whether division has added more elements than it may.
func (d *division) tooMany() bool {
	return len(d.mesh.Triangles)-len(d.m.Mesh.Triangles) > d.most
}

// tooLong marks the middles of the sides that are to be halved, and gives middles the mean
// of the sizes wanted at the ends.
func (d *division) tooLong() []bool {
	halve := make([]bool, len(d.mesh.Nodes))
	for e := range d.mesh.Triangles {
		t := &d.mesh.Triangles[e]
		if !d.faces[t.Face] {
			continue // it follows where it must
		}
		for k, middle := range t.Node[3:] {
			a, b := t.Node[(k+1)%3], t.Node[(k+2)%3]
			if d.size[a] == 0 || d.size[b] == 0 {
				continue
			}
			if d.size[middle] == 0 {
				d.size[middle] = (d.size[a] + d.size[b]) / 2
			}
			halve[middle] = d.sideLength(a, b) > peakSlack*(d.size[a]+d.size[b])/2
		}
	}
	for e := range d.mesh.Triangles {
		if d.kept(e) || !d.near[d.parent[e]] {
			for _, middle := range d.mesh.Triangles[e].Node[3:] {
				halve[middle] = false
			}
		}
	}
	return halve
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
