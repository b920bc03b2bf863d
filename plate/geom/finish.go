package geom

import (
	"cmp"
	"math"
	"slices"
)

// finisher turns labelled edges into a Subdivision: it joins edges that continue
// each other at vertices of degree two, drops vertices no longer used, and
// builds the contours of every face. Subdivide and Merge both end here.
type finisher struct {
	deg   []int32
	inc   [][2]int32
	done  []bool
	rot   rotation
	mark  []int32
	stack []int32
	ring  []chainEdge
	loop  []faceContour
	slab  edgeSlab
}

// faceContour is a contour with the face that it bounds.
type faceContour struct {
	Contour
	face int32
}

// along returns the edge run as half-edge h.
func along(edges []SubEdge, h int32) SubEdge {
	e := edges[h>>1]
	if h&1 == 1 {
		e.Edge = e.Edge.Reverse()
		e.V[0], e.V[1] = e.V[1], e.V[0]
		e.Left, e.Right = e.Right, e.Left
		e.rank[0], e.rank[1] = e.rank[1], e.rank[0]
	}
	return e
}

// finish returns the subdivision, and for each of its faces the label it had in
// edges. False means that the contours of a face contradict each other.
func (f *finisher) finish(vs []Point, edges []SubEdge, layers [][]int32) (*Subdivision, []int32, bool) {
	d := &Subdivision{Edges: f.compress(vs, edges), Faces: make([]Face, len(layers))}
	d.Vertices = f.compact(vs, d.Edges)
	for i := range layers {
		d.Faces[i].Layers = layers[i]
	}
	f.rot.reset(2*len(d.Edges), true)
	for i := range d.Edges {
		e := &d.Edges[i]
		f.rot.rank = append(f.rot.rank, e.rank[0], e.rank[1])
	}
	for h := range f.rot.from {
		f.rot.from[h] = d.Edges[h>>1].V[h&1]
	}
	f.rot.link(len(d.Vertices))
	if !f.contours(d) {
		return nil, nil, false
	}
	return d, d.sortFaces(), true
}

// compress joins chains of edges at vertices of degree two.
func (f *finisher) compress(vs []Point, edges []SubEdge) []SubEdge {
	f.deg = slices.Grow(f.deg[:0], len(vs))[:len(vs)]
	clear(f.deg)
	f.inc = slices.Grow(f.inc[:0], len(vs))[:len(vs)]
	for i := range edges {
		for k, v := range edges[i].V {
			if f.deg[v] < 2 {
				f.inc[v][f.deg[v]] = int32(2*i + k) // the half-edge leaving v
			}
			f.deg[v]++
		}
	}
	f.done = slices.Grow(f.done[:0], len(edges))[:len(edges)]
	clear(f.done)
	// step returns the half-edge that continues h, whose edge so far is e, or -1.
	step := func(h int32, e *SubEdge) int32 {
		v := edges[h>>1].V[1-h&1]
		if f.deg[v] != 2 {
			return -1
		}
		o := f.inc[v][0]
		if o == h^1 {
			o = f.inc[v][1]
		}
		g := along(edges, o)
		a, b := chainEdge{e.Edge, e.src}, chainEdge{g.Edge, g.src}
		if o == h^1 || !a.continues(&b) {
			return -1
		}
		return o
	}
	out := make([]SubEdge, 0, len(edges))
	for i := 0; i < len(edges); {
		if f.done[i] {
			i++
			continue // a chain that breaks before edge i leaves it for another go
		}
		// Back to the start of the chain; a closed chain starts where it was found.
		first := int32(2 * i)
		for {
			e := along(edges, first^1)
			h := step(first^1, &e)
			if h < 0 || f.done[h>>1] || h>>1 == int32(i) {
				break
			}
			first = h ^ 1
		}
		e := along(edges, first)
		f.done[first>>1] = true
		h := step(first, &e)
		for h >= 0 && !f.done[h>>1] {
			f.done[h>>1] = true
			g := along(edges, h)
			e.B, e.V[1], e.rank[1] = g.B, g.V[1], g.rank[1]
			h = step(h, &e)
		}
		if h == first && e.Dir != 0 {
			e.B, e.V[1] = e.A, e.V[0]
		}
		e.seat(maxOff)
		out = append(out, e)
	}
	return out
}

// compact renumbers the vertices of the edges and returns those in use.
func (f *finisher) compact(vs []Point, edges []SubEdge) []Point {
	num := slices.Grow(f.deg[:0], len(vs))[:len(vs)]
	for i := range num {
		num[i] = -1
	}
	var out []Point
	for i := range edges {
		for k, v := range edges[i].V {
			if num[v] < 0 {
				num[v] = int32(len(out))
				out = append(out, vs[v])
			}
			edges[i].V[k] = num[v]
		}
	}
	return out
}

// contours builds the contours of every face from the loops.
func (f *finisher) contours(d *Subdivision) bool {
	f.done = slices.Grow(f.done[:0], f.rot.loops)[:f.rot.loops]
	clear(f.done)
	f.loop = f.loop[:0]
	f.slab = edgeSlab{chunk: 2*len(d.Edges) + 1} // every half-edge is in one contour
	for h := range int32(2 * len(d.Edges)) {
		if l := f.rot.loop[h]; f.done[l] {
			continue
		} else {
			f.done[l] = true
		}
		if !f.cutLoop(d, h) {
			return false
		}
	}
	all := make([]Contour, len(f.loop))
	f.sortByFace(len(d.Faces), all)
	f.slab = edgeSlab{}
	clear(f.loop) // the buffer must not keep results alive
	holes := all[:f.deg[0]:f.deg[0]]
	if len(holes) > 0 {
		d.Faces[0].Holes = holes
	}
	sortContours(holes)
	for i := 1; i < len(d.Faces); i++ {
		if !d.Faces[i].setContours(all[f.deg[i-1]:f.deg[i]:f.deg[i]]) {
			return false
		}
	}
	return true
}

// sortByFace puts the contours of each face beside each other, in the order in
// which they were found, and leaves in deg where those of each face end.
func (f *finisher) sortByFace(faces int, all []Contour) {
	f.deg = slices.Grow(f.deg[:0], faces+1)[:faces+1]
	clear(f.deg)
	for i := range f.loop {
		f.deg[f.loop[i].face+1]++
	}
	for i := 1; i <= faces; i++ {
		f.deg[i] += f.deg[i-1]
	}
	for i := range f.loop {
		l := &f.loop[i]
		all[f.deg[l.face]] = l.Contour
		f.deg[l.face]++
	}
}

// setContours makes the contour of the greatest area the outer one. Any other
// that runs counter-clockwise beyond rounding is a contradiction.
func (f *Face) setContours(cs []Contour) bool {
	if len(cs) == 1 {
		f.Outer = cs[0]
		return true
	}
	outer, most := -1, math.Inf(-1)
	areas := make([]float64, len(cs))
	for i, c := range cs {
		if areas[i] = c.Area(); areas[i] > most {
			outer, most = i, areas[i]
		}
	}
	if outer < 0 {
		return false
	}
	for i, c := range cs {
		if i == outer {
			f.Outer = c
			continue
		}
		if areas[i] > 0 && !isSliver(c, areas[i]) {
			return false
		}
		f.Holes = append(f.Holes, c)
	}
	sortContours(f.Holes)
	return true
}

// cutLoop walks the loop of half-edge h and cuts it into simple contours; false
// when another face's label is met.
func (f *finisher) cutLoop(d *Subdivision, h int32) bool {
	for len(f.mark) < len(d.Vertices) {
		f.mark = append(f.mark, -1)
	}
	face := d.Edges[h>>1].left(h)
	ok := true
	st := f.stack[:0]
	for c, first := h, true; first || c != h; c, first = f.rot.next[c], false {
		if d.Edges[c>>1].left(c) != face {
			ok = false
			break
		}
		f.mark[f.rot.from[c]] = int32(len(st))
		st = append(st, c)
		k := f.mark[f.rot.from[c^1]]
		if k < 0 {
			continue
		}
		f.ring = f.ring[:0]
		for _, g := range st[k:] {
			e := &d.Edges[g>>1]
			x := e.Edge
			if g&1 == 1 {
				x = x.Reverse()
			}
			f.ring = append(f.ring, chainEdge{x, e.src})
			f.mark[f.rot.from[g]] = -1
		}
		f.loop = append(f.loop, faceContour{joinChain(f.ring, &f.slab), face})
		st = st[:k]
	}
	for _, g := range st {
		f.mark[f.rot.from[g]] = -1
	}
	f.stack = st
	return ok
}

// left returns the face left of half-edge h, which runs along the edge or against
// it.
func (e *SubEdge) left(h int32) int32 {
	if h&1 == 1 {
		return e.Right
	}
	return e.Left
}

// sortFaces orders the bounded faces by the lower left corner of their boxes,
// renumbers the edges and indexes the boxes. It returns for each face the number it had.
func (s *Subdivision) sortFaces() []int32 {
	n := len(s.Faces)
	boxes := make([]Box, n)
	old := make([]int32, n)
	for i := range s.Faces {
		boxes[i] = s.Faces[i].Outer.Box()
		old[i] = int32(i)
	}
	slices.SortFunc(old[1:], func(a, b int32) int { return cmp.Or(cmpBox(boxes[a], boxes[b]), cmp.Compare(a, b)) })
	faces, num := make([]Face, n), make([]int32, n)
	sorted := make([]Box, n)
	for i, o := range old {
		faces[i], num[o], sorted[i] = s.Faces[o], int32(i), boxes[o]
	}
	s.index = newFaceIndex(sorted)
	s.Faces = faces
	for i := range s.Edges {
		e := &s.Edges[i]
		e.Left, e.Right = num[e.Left], num[e.Right]
	}
	return old
}

// Merge joins faces that share an edge and have the same key, drops the edges
// between them, and joins edges that then continue each other. The merged faces
// are connected and as large as they can be. What is joined to face 0 is part
// of the new face 0. Layers of a merged face are those of its lowest old face.
//
// The second result lists the old faces in every new one, in ascending order.
func (s *Subdivision) Merge(key func(face int) int) (*Subdivision, [][]int32, error) {
	n := len(s.Faces)
	keys := make([]int, n)
	for i := range keys {
		keys[i] = key(i)
	}
	var u unionFind
	u.reset(n)
	for i := range s.Edges {
		if e := &s.Edges[i]; keys[e.Left] == keys[e.Right] {
			u.join(e.Left, e.Right)
		}
	}
	group := make([]int32, n)
	var layers [][]int32
	var members [][]int32
	for i := range int32(n) {
		r := u.find(i) // the lowest face of its group
		if r == i {
			group[i] = int32(len(layers))
			layers = append(layers, s.Faces[i].Layers)
			members = append(members, nil)
		}
		group[i] = group[r]
		members[group[i]] = append(members[group[i]], i)
	}
	edges := make([]SubEdge, 0, len(s.Edges))
	for _, e := range s.Edges {
		e.Left, e.Right = group[e.Left], group[e.Right]
		if e.Left != e.Right {
			edges = append(edges, e)
		}
	}
	d, old, ok := new(finisher).finish(s.Vertices, edges, layers)
	if !ok {
		return nil, nil, &KernelError{Op: "merge faces", Tries: 1, Pieces: len(edges)}
	}
	from := make([][]int32, len(old))
	for i, o := range old {
		from[i] = members[o]
	}
	return d, from, nil
}
