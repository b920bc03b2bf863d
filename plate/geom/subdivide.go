package geom

import (
	"cmp"
	"math"
	"slices"
)

// Subdivision is the plane divided by the contours of any number of shapes.
// Face 0 is the unbounded face. Every edge lies between exactly two different
// faces. A Subdivision is not changed by its methods.
type Subdivision struct {
	Vertices []Point
	Edges    []SubEdge
	Faces    []Face

	index faceIndex // for Locate
}

// SubEdge is an edge from vertex V[0] to V[1] with the faces on its two sides.
type SubEdge struct {
	Edge
	V           [2]int32
	Left, Right int32
	src         int32    // line or circle that it lies on, for joining
	rank        [2]int32 // place among the edges round V[0] and V[1], counter-clockwise
}

// Face is a connected part of the plane. Outer is nil for face 0. Layers lists
// the input shapes that cover it, in ascending order.
type Face struct {
	Region
	Layers []int32
}

// Subdivide divides the plane by the contours of all layers and says for every
// face which layers cover it. A layer covers where its winding number is above
// zero. Hundreds of layers with thousands of edges take milliseconds; for the
// errors see Union.
func Subdivide(layers []Shape) (*Subdivision, error) { return new(Engine).Subdivide(layers) }

// Subdivide is Subdivide on the buffers of e.
//
// Membership is found by topology: the faces of each connected component are
// walked, each component is placed in a face by one ray, and layers are
// counted from the unbounded face inwards. Every edge is then checked against
// the counts on its two sides.
func (e *Engine) Subdivide(layers []Shape) (*Subdivision, error) {
	const op = "subdivide"
	if err := checkInput(op, layers...); err != nil {
		return nil, err
	}
	var d *Subdivision
	e.arr.multi = true
	turn, err := e.attempt(op, func(r *arrangement, t Affine, turned bool) {
		for i, s := range layers {
			r.addShape(s, t, turned, int32(i))
		}
	}, func(r *arrangement) (ok bool) {
		d, ok = e.sub.divide(r)
		return ok
	})
	if err != nil {
		return nil, err
	}
	if turn != 0 {
		d = d.transform(Rotation(-turn))
	}
	return d, nil
}

// transform maps a subdivision by a rotation.
func (s *Subdivision) transform(t Affine) *Subdivision {
	o := &Subdivision{
		Vertices: make([]Point, len(s.Vertices)),
		Edges:    slices.Clone(s.Edges), Faces: slices.Clone(s.Faces),
	}
	for i, p := range s.Vertices {
		o.Vertices[i] = t.Apply(p)
	}
	for i := range o.Edges {
		o.Edges[i].Edge = o.Edges[i].Edge.Transform(t)
	}
	for i := range o.Faces {
		o.Faces[i].Region = o.Faces[i].Region.Transform(t)
		sortContours(o.Faces[i].Holes)
	}
	o.sortFaces()
	return o
}

// subScratch holds the buffers of a subdivision.
type subScratch struct {
	fin    finisher
	counts [][]layerCount
	tmp    []layerCount
}

// layerCount is the winding number of one layer, if it is not zero.
type layerCount struct{ layer, w int32 }

// divide labels the faces of a built arrangement; false when the graph
// contradicts itself.
func (s *subScratch) divide(r *arrangement) (*Subdivision, bool) {
	t := &r.topo
	if !t.build(r) {
		return nil, false
	}
	layers, ok := s.coverage(r)
	if !ok {
		return nil, false
	}
	edges := make([]SubEdge, len(r.pc))
	for i := range r.pc {
		p := &r.pc[i]
		edges[i] = SubEdge{
			Edge: p.edge(false), V: [2]int32{p.a, p.b}, src: p.src,
			Left: t.host[t.rot.loop[2*i]], Right: t.host[t.rot.loop[2*i+1]],
			rank: [2]int32{t.rot.pos[2*i], t.rot.pos[2*i+1]},
		}
	}
	edges, layers = dropSlivers(edges, layers, nil)
	for round := 0; ; round++ {
		d, was, ok := s.fin.finish(r.vs, edges, layers)
		if !ok {
			return nil, false
		}
		collapsed := d.collapsed(was)
		if collapsed == nil || round == maxRounds {
			return d, true
		}
		edges, layers = dropSlivers(edges, layers, collapsed)
	}
}

// collapsed marks, by the numbers they had, the faces whose sides came to lie on or
// over each other when chains of pieces were joined: crescents a merge distance or
// two wide, between circles that are one by then. It is nil where there is none.
func (d *Subdivision) collapsed(was []int32) []bool {
	var out []bool
	for i := 1; i < len(d.Faces); i++ {
		f := &d.Faces[i]
		if a := f.Outer.Area(); a < maxSliver && (isSliver(f.Outer, a) || f.Region.Check() != nil) {
			if out == nil {
				out = make([]bool, len(d.Faces))
			}
			out[was[i]] = true
		}
	}
	return out
}

// coverage counts the layers over every face and returns those that cover it.
func (s *subScratch) coverage(r *arrangement) ([][]int32, bool) {
	n := r.topo.faces
	s.counts = slices.Grow(s.counts[:0], n)[:n]
	s.counts[0] = nil
	ok := r.topo.walk(func(h, here, there int32, fresh bool) bool {
		if here == there {
			return false
		}
		sign := int32(1 - 2*(1-h&1)) // against the piece: from its right to its left
		s.across(r, h>>1, here, sign)
		if fresh {
			s.counts[there] = slices.Clone(s.tmp)
			return true
		}
		return slices.Equal(s.tmp, s.counts[there])
	})
	if !ok {
		return nil, false
	}
	layers := make([][]int32, n)
	for f, cs := range s.counts {
		for _, c := range cs {
			if c.w > 0 {
				layers[f] = append(layers[f], c.layer)
			}
		}
		s.counts[f] = nil
	}
	return layers, true
}

// across fills tmp with the counts of face f plus the weights of piece i times
// sign.
func (s *subScratch) across(r *arrangement, i, f, sign int32) {
	s.tmp = append(s.tmp[:0], s.counts[f]...)
	for k := r.pc[i].deltas; k >= 0; k = r.deltas[k].next {
		d := r.deltas[k]
		if d.w == 0 {
			continue
		}
		at, ok := slices.BinarySearchFunc(s.tmp, d.layer, func(c layerCount, l int32) int { return cmp.Compare(c.layer, l) })
		switch {
		case !ok:
			s.tmp = slices.Insert(s.tmp, at, layerCount{d.layer, sign * d.w})
		case s.tmp[at].w+sign*d.w == 0:
			s.tmp = slices.Delete(s.tmp, at, at+1)
		default:
			s.tmp[at].w += sign * d.w
		}
	}
}

// dropSlivers gives every face too narrow to have two sides, and those marked, to
// the neighbour with the longest common border, and renumbers the faces.
func dropSlivers(edges []SubEdge, layers [][]int32, marked []bool) ([]SubEdge, [][]int32) {
	if len(edges) == 0 {
		return edges, layers
	}
	area, around := make([]float64, len(layers)), make([]float64, len(layers))
	// The area of a sliver is less than the rounding of one about a place far away.
	about, seen := make([]Point, len(layers)), make([]bool, len(layers))
	for i := range edges {
		e := &edges[i]
		for _, f := range [2]int32{e.Left, e.Right} {
			if !seen[f] {
				about[f], seen[f] = e.A, true
			}
		}
		area[e.Left] += e.areaAbout(about[e.Left])
		area[e.Right] -= e.areaAbout(about[e.Right])
	}
	found := false
	for f := range area {
		found = found || f > 0 && math.Abs(area[f]) < maxSliver
	}
	if !found {
		return edges, layers
	}
	for i := range edges {
		l := edges[i].Length()
		around[edges[i].Left] += l
		around[edges[i].Right] += l
	}
	into := make([]int32, len(layers)) // the neighbour that takes a sliver, or the face itself
	border := make([]float64, len(layers))
	for f := range into {
		into[f] = int32(f)
	}
	thin := func(f int32) bool {
		return f > 0 && (math.Abs(area[f]) <= min(maxSliver, mergeDist/2*around[f]) || marked != nil && marked[f])
	}
	// A sliver among slivers goes where the one beside it went in an earlier pass.
	was := make([]int32, len(layers))
	for left, pass := true, 0; left && pass < maxRounds; pass++ {
		left = false
		copy(was, into)
		clear(border)
		for i := range edges {
			e := &edges[i]
			l := e.Length()
			for _, p := range [2][2]int32{{e.Left, e.Right}, {e.Right, e.Left}} {
				f, to := p[0], was[p[1]]
				if was[f] != f || !thin(f) {
					continue
				}
				if thin(to) {
					left = true
				} else if l > border[f] {
					into[f], border[f] = to, l
				}
			}
		}
	}
	num := make([]int32, len(layers))
	var kept [][]int32
	for f := range into {
		if into[f] == int32(f) {
			num[f] = int32(len(kept))
			kept = append(kept, layers[f])
		}
	}
	out := edges[:0]
	for _, e := range edges {
		e.Left, e.Right = num[into[e.Left]], num[into[e.Right]]
		if e.Left != e.Right {
			out = append(out, e)
		}
	}
	return out, kept
}
