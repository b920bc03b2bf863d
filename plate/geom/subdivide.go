package geom

import (
	"cmp"
	"fmt"
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
}

// SubEdge is an edge from vertex V[0] to V[1] with the faces on its two sides.
type SubEdge struct {
	Edge
	V           [2]int32
	Left, Right int32
	src         int32 // line or circle that it lies on, for joining
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
	r := &e.arr
	r.multi = true
	tries := 0
	for turn := -1; turn < len(oddTurns); turn++ {
		t, turned := Affine{}, turn >= 0
		if turned {
			t = Rotation(oddTurns[turn])
		}
		r.reset()
		for i, s := range layers {
			r.addShape(s, t, turned, int32(i))
		}
		for round := 0; round < 2; round++ {
			if round > 0 {
				r.again()
			}
			if tries++; tries > 1 {
				e.retries++
			}
			if err := r.build(); err != nil {
				return nil, fmt.Errorf("geom: %s: %w: %w", op, ErrTooLarge, err)
			}
			if d, ok := e.sub.divide(r); ok {
				if turned {
					d = d.transform(Rotation(-oddTurns[turn]))
				}
				return d, nil
			}
		}
	}
	return nil, &KernelError{Op: op, Tries: tries, Pieces: len(r.pc)}
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
	rot   rotation
	area  []float64 // of each loop
	comp  unionFind // connected components, by vertex
	outer []int32   // component root → its loop towards the outside, or -1
	left  []int32   // component root → its leftmost vertex
	roots []int32
	host  []int32 // loop → its face
	fin   finisher
}

// divide labels the faces of a built arrangement; false when the graph
// contradicts itself.
func (s *subScratch) divide(r *arrangement) (*Subdivision, bool) {
	n := len(r.pc)
	s.rot.reset(2 * n)
	for h := range int32(2 * n) {
		s.rot.set(h, r.from(h), r.leave(h))
	}
	s.rot.link(len(r.vs))
	s.loopAreas(r)
	s.components(r)
	faces, ok := s.place(r)
	if !ok {
		return nil, false
	}
	edges := make([]SubEdge, n)
	for i := range r.pc {
		p := &r.pc[i]
		edges[i] = SubEdge{
			Edge: p.edge(false), V: [2]int32{p.a, p.b}, src: p.src,
			Left: s.host[s.rot.loop[2*i]], Right: s.host[s.rot.loop[2*i+1]],
		}
		if edges[i].Left == edges[i].Right {
			return nil, false
		}
	}
	layers, ok := coverage(r, edges, faces)
	if !ok {
		return nil, false
	}
	edges, layers = s.dropSlivers(r, edges, layers)
	d, _, ok := s.fin.finish(r.vs, edges, layers)
	return d, ok
}

// dropSlivers gives every face too narrow to have two sides to the neighbour
// with the longest common border, and renumbers the faces.
func (s *subScratch) dropSlivers(r *arrangement, edges []SubEdge, layers [][]int32) ([]SubEdge, [][]int32) {
	area, around := make([]float64, len(layers)), make([]float64, len(layers))
	for l, f := range s.host {
		area[f] += s.area[l]
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
	thin := func(f int32) bool { return f > 0 && math.Abs(area[f]) <= min(maxSliver, mergeDist*around[f]) }
	for i := range edges {
		e := &edges[i]
		l := e.Length()
		for _, p := range [2][2]int32{{e.Left, e.Right}, {e.Right, e.Left}} {
			if thin(p[0]) && !thin(p[1]) && l > border[p[0]] {
				into[p[0]], border[p[0]] = p[1], l
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

func (s *subScratch) loopAreas(r *arrangement) {
	s.area = slices.Grow(s.area[:0], s.rot.loops)[:s.rot.loops]
	clear(s.area)
	for i := range r.pc {
		p := &r.pc[i]
		// About a common nearby point the sum loses nothing.
		a := p.A.Sub(r.vs[0]).Cross(p.B.Sub(r.vs[0])) / 2
		if p.dir != 0 {
			e := p.edge(false)
			sw := e.Sweep()
			a += math.Copysign(e.R*e.R/2*xMinusSin(math.Abs(sw)), sw)
		}
		s.area[s.rot.loop[2*i]] += a
		s.area[s.rot.loop[2*i+1]] -= a
	}
}

// components finds the connected parts, the leftmost vertex of each, and the
// loop round the outside of each: the one of the least area.
func (s *subScratch) components(r *arrangement) {
	nv := len(r.vs)
	s.comp.reset(nv)
	for i := range r.pc {
		s.comp.join(r.pc[i].a, r.pc[i].b)
	}
	s.outer = slices.Grow(s.outer[:0], nv)[:nv]
	s.left = slices.Grow(s.left[:0], nv)[:nv]
	for i := range s.outer {
		s.outer[i], s.left[i] = -1, -1
	}
	s.roots = s.roots[:0]
	for h, v := range s.rot.from {
		c := s.comp.find(v)
		l := s.rot.loop[h]
		if s.outer[c] < 0 {
			s.roots = append(s.roots, c)
			s.left[c] = v
		}
		if s.outer[c] < 0 || s.area[l] < s.area[s.outer[c]] {
			s.outer[c] = l
		}
		if cmpPoint(r.vs[v], r.vs[s.left[c]]) < 0 {
			s.left[c] = v
		}
	}
	slices.SortFunc(s.roots, func(a, b int32) int {
		return cmp.Or(cmpPoint(r.vs[s.left[a]], r.vs[s.left[b]]), cmp.Compare(a, b))
	})
}

// place numbers the faces and puts the outside of every component into the face
// that its leftmost vertex sees to its left.
func (s *subScratch) place(r *arrangement) (faces int, ok bool) {
	s.host = slices.Grow(s.host[:0], s.rot.loops)[:s.rot.loops]
	for i := range s.host {
		s.host[i] = -1
	}
	for _, c := range s.roots {
		s.host[s.outer[c]] = -2
	}
	faces = 1
	for i := range s.host {
		if s.host[i] == -1 {
			s.host[i] = int32(faces)
			faces++
		}
	}
	if len(r.pc) == 0 {
		return faces, true
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range r.pc {
		p := &r.pc[i]
		lo, hi = min(lo, p.A.Y, p.B.Y), max(hi, p.A.Y, p.B.Y)
	}
	r.w.y.fill(r.pc, lo, hi, min(1+len(r.pc)/8, 64+4*int(math.Sqrt(float64(len(r.pc))))), true)
	for _, c := range s.roots {
		f := int32(0)
		if h := s.seeLeft(r, c); h >= 0 {
			if f = s.host[s.rot.loop[h]]; f < 0 {
				return 0, false // a component further left that is not placed yet
			}
		}
		s.host[s.outer[c]] = f
	}
	return faces, true
}

// seeLeft returns the half-edge, with the seen side on its left, that the
// leftmost vertex of component c sees to its left, or -1.
func (s *subScratch) seeLeft(r *arrangement, c int32) int32 {
	v := r.vs[s.left[c]]
	best, bx := int32(-1), math.Inf(-1)
	for _, i := range r.w.y.list(v.Y) {
		p := &r.pc[i]
		if (p.A.Y <= v.Y) == (p.B.Y <= v.Y) || min(p.A.X, p.B.X) > v.X || s.comp.find(p.a) == c {
			continue
		}
		x := p.xAt(v.Y)
		if x > v.X || x < bx-mergeDist {
			continue
		}
		if best >= 0 && x < bx+mergeDist {
			// Both start at one vertex on the ray: which is further right above it?
			q := &r.pc[best]
			y := (v.Y + min(max(p.A.Y, p.B.Y), max(q.A.Y, q.B.Y))) / 2
			if p.xAt(y) < q.xAt(y) {
				continue
			}
		}
		best, bx = i, x
	}
	if best < 0 {
		return -1
	}
	if r.pc[best].B.Y > r.pc[best].A.Y {
		return 2*best + 1 // it runs upwards: its right side is seen
	}
	return 2 * best
}

// coverage counts the layers over every face, from face 0 inwards, and checks
// every edge against the counts.
func coverage(r *arrangement, edges []SubEdge, faces int) ([][]int32, bool) {
	start := make([]int32, faces+2)
	for i := range edges {
		start[edges[i].Left+2]++
		start[edges[i].Right+2]++
	}
	for i := 2; i < len(start); i++ {
		start[i] += start[i-1]
	}
	side := make([]int32, 2*len(edges))
	for i := range edges {
		for _, f := range [2]int32{edges[i].Left, edges[i].Right} {
			side[start[f+1]] = int32(i)
			start[f+1]++
		}
	}
	type count struct{ layer, w int32 }
	counts := make([][]count, faces)
	seen := make([]bool, faces)
	var tmp []count
	// across fills tmp with the counts on the other side of edge i from face f.
	across := func(i, f int32) {
		tmp = append(tmp[:0], counts[f]...)
		sign := int32(1) // left = right + delta
		if edges[i].Left == f {
			sign = -1
		}
		for k := r.pc[i].deltas; k >= 0; k = r.deltas[k].next {
			d := r.deltas[k]
			if d.w == 0 {
				continue
			}
			at, ok := slices.BinarySearchFunc(tmp, d.layer, func(c count, l int32) int { return cmp.Compare(c.layer, l) })
			switch {
			case !ok:
				tmp = slices.Insert(tmp, at, count{d.layer, sign * d.w})
			case tmp[at].w+sign*d.w == 0:
				tmp = slices.Delete(tmp, at, at+1)
			default:
				tmp[at].w += sign * d.w
			}
		}
	}
	seen[0] = true
	queue := []int32{0}
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		for _, i := range side[start[f]:start[f+1]] {
			g := edges[i].Left + edges[i].Right - f
			across(i, f)
			if seen[g] {
				if !slices.Equal(tmp, counts[g]) {
					return nil, false
				}
				continue
			}
			seen[g] = true
			counts[g] = slices.Clone(tmp)
			queue = append(queue, g)
		}
	}
	layers := make([][]int32, faces)
	for f, cs := range counts {
		if !seen[f] {
			return nil, false
		}
		for _, c := range cs {
			if c.w > 0 {
				layers[f] = append(layers[f], c.layer)
			}
		}
	}
	return layers, true
}

// Locate returns the face that holds p: one of the neighbouring faces when p is
// on an edge.
func (s *Subdivision) Locate(p Point) int32 {
	for i := 1; i < len(s.Faces); i++ {
		if f := &s.Faces[i]; f.Outer.Box().Contains(p) && f.Contains(p) {
			return int32(i)
		}
	}
	return 0
}
