package mesh

import (
	"cmp"
	"fmt"
	"slices"

	"platewright/plate/geom"
)

// leastDeterminant bounds the determinant of the map of a six-node triangle from
// below. The map is quadratic and its determinant too; written in Bernstein
// form, a polynomial is nowhere below its least coefficient. n holds the corners
// and the middles of the sides opposite them.
func leastDeterminant(n *[6]geom.Point) float64 {
	// Control points of the sides: 2·middle − half the sum of the ends.
	ctrl := func(m, p, q geom.Point) geom.Point { return m.Mul(2).Sub(p.Add(q).Mul(0.5)) }
	c0, c1, c2 := ctrl(n[3], n[1], n[2]), ctrl(n[4], n[2], n[0]), ctrl(n[5], n[0], n[1])
	// Derivatives towards corner 1 and corner 2 from corner 0: linear, so given
	// by their values at the corners, without the common factor 2.
	s := [3]geom.Point{c2.Sub(n[0]), n[1].Sub(c2), c0.Sub(c1)}
	t := [3]geom.Point{c1.Sub(n[0]), c0.Sub(c2), n[2].Sub(c1)}
	least := 4 * s[0].Cross(t[0])
	for i := range 3 {
		j := (i + 1) % 3
		least = min(least, 4*s[i].Cross(t[i]), 2*(s[i].Cross(t[j])+s[j].Cross(t[i])))
	}
	return least
}

// finisher turns a triangulation into a mesh.
type finisher struct {
	*builder
	m     *Mesh
	node  []int32 // of points: their corner node, or none
	order []int32 // triangles of the mesh, in its order
	place []int32 // of triangles: their index in the mesh, or none
}

// finish numbers nodes, triangles and sides, straightens what cannot stay round,
// and checks the result against the map.
func (b *builder) finish() (*Mesh, error) {
	f := &finisher{builder: b, m: &Mesh{
		Vertices: slices.Clone(b.point), edges: b.sub.Edges, faces: len(b.sub.Faces), minAngle: b.o.MinAngle,
	}}
	f.sortTriangles()
	if len(f.order) > b.o.MaxTriangles {
		return nil, b.tooFine(b.p[len(b.p)-1])
	}
	f.numberCorners()
	sides := f.numberMiddles()
	f.listSides(sides)
	f.straighten()
	if err := f.m.compareAreas(b.sub, b.metal); err != nil {
		return nil, err
	}
	if err := f.judge(); err != nil {
		return nil, err
	}
	return f.m, nil
}

// sortTriangles puts the triangles with metal in the order of a space-filling
// curve, so that neighbours in the mesh are near each other in memory.
func (f *finisher) sortTriangles() {
	var box geom.Box
	for _, p := range f.p[firstPoint:] {
		box = box.Add(p)
	}
	scale := hilbertCells / max(box.Width(), box.Height(), 1e-9)
	keys := make([]uint64, 0, len(f.t))
	for t := range f.t {
		if f.t[t].face < 0 {
			continue
		}
		q := f.middleOf(int32(t)).Sub(box.Min).Mul(scale)
		keys = append(keys, uint64(hilbert(uint32(max(q.X, 0)), uint32(max(q.Y, 0))))<<32|uint64(t))
	}
	slices.Sort(keys)
	f.order = make([]int32, len(keys))
	f.place = make([]int32, len(f.t))
	for t := range f.place {
		f.place[t] = none
	}
	for i, k := range keys {
		f.order[i] = int32(uint32(k))
		f.place[f.order[i]] = int32(i)
	}
}

// numberCorners gives the corners of the triangles their nodes, in order of
// first use.
func (f *finisher) numberCorners() {
	m := f.m
	f.node = make([]int32, len(f.p))
	for v := range f.node {
		f.node[v] = none
	}
	m.Triangles = make([]Triangle, len(f.order))
	m.Nodes = make([]geom.Point, 0, 2*len(f.order)+64)
	for i, t := range f.order {
		m.Triangles[i].Face = f.t[t].face
		for k, v := range f.t[t].v {
			if f.node[v] < 0 {
				f.node[v] = int32(len(m.Nodes))
				m.Nodes = append(m.Nodes, f.p[v])
			}
			m.Triangles[i].Node[k] = f.node[v]
		}
	}
	m.Corners = len(m.Nodes)
	for v, p := range m.Vertices {
		if p >= 0 {
			m.Vertices[v] = f.node[p]
		}
	}
}

// numberMiddles gives every side its middle node, on the arc where it is on one,
// and returns the middle of every segment.
func (f *finisher) numberMiddles() []int32 {
	m := f.m
	middle := make([]int32, len(f.segs))
	for i, t := range f.order {
		tr := &f.t[t]
		for k := range 3 {
			o := tr.n[k]
			if j := f.place[o]; j >= 0 && j < int32(i) {
				m.Triangles[i].Node[3+k] = m.Triangles[j].Node[3+f.t[o].beside(t)]
				continue
			}
			n := int32(len(m.Nodes))
			m.Nodes = append(m.Nodes, f.sideMiddle(tr.s[k], tr.v[(k+1)%3], tr.v[(k+2)%3]))
			m.Triangles[i].Node[3+k] = n
			if tr.s[k] >= 0 {
				middle[tr.s[k]] = n
			}
		}
	}
	return middle
}

// listSides lists the segments by curve and along it.
func (f *finisher) listSides(middle []int32) {
	m := f.m
	// From every corner node of a curve to the segment that leaves it: segments
	// are halved in place, so their order along the curve is not that of segs.
	next := make([]int32, len(f.p))
	byCurve := make([]int32, len(f.curves)+1)
	for i := range f.segs {
		byCurve[f.segs[i].curve+1]++
	}
	for i := range f.curves {
		byCurve[i+1] += byCurve[i]
	}
	list := make([]int32, len(f.segs))
	fill := slices.Clone(byCurve)
	for i := range f.segs {
		c := f.segs[i].curve
		list[fill[c]] = int32(i)
		fill[c]++
	}
	m.Sides = make([]Side, 0, len(f.segs))
	m.on, m.at = make([]int32, m.Corners), make([]float64, m.Corners)
	for i := range m.on {
		m.on[i] = free
	}
	for c := range f.curves {
		part := list[byCurve[c]:byCurve[c+1]]
		for _, s := range part {
			next[f.segs[s].a] = s
		}
		v := f.curves[c].v[0]
		for range part {
			s := &f.segs[next[v]]
			t, i := f.edge(s.a, s.b)
			m.Sides = append(m.Sides, Side{
				Node: [3]int32{f.node[s.a], f.node[s.b], middle[next[v]]}, Edge: f.curves[c].id,
				Triangle: [2]int32{f.place[t], f.place[f.t[t].n[i]]},
			})
			v = s.b
		}
	}
	f.placeOnEdges()
}

// placeOnEdges records where along its edge each corner node lies.
func (f *finisher) placeOnEdges() {
	m := f.m
	length := func(s *Side) float64 {
		e := f.sub.Edges[s.Edge].Edge
		e.A, e.B = m.Nodes[s.Node[0]], m.Nodes[s.Node[1]]
		return e.Length()
	}
	for i := 0; i < len(m.Sides); {
		j, total := i, 0.0
		for ; j < len(m.Sides) && m.Sides[j].Edge == m.Sides[i].Edge; j++ {
			total += length(&m.Sides[j])
		}
		run := 0.0
		for ; i < j; i++ {
			s := &m.Sides[i]
			run += length(s)
			m.on[s.Node[1]], m.at[s.Node[1]] = s.Edge, run/total
		}
	}
	for _, n := range m.Vertices {
		if n >= 0 {
			m.on[n], m.at[n] = atCorner, 0
		}
	}
}

// straightBelow is the share of its straight determinant below which the map of
// an element may not fall: its curved sides are straightened then.
const straightBelow = 0.05

// straighten moves the middles of arcs onto their chords where an element would
// fold: at cusps of the map and where metal is thinner than MinSize.
func (f *finisher) straighten() {
	m := f.m
	bySide := map[int32]int{} // middle node → side; looked up only, never ranged over
	for i := range m.Sides {
		if f.sub.Edges[m.Sides[i].Edge].IsArc() {
			bySide[m.Sides[i].Node[2]] = i
		}
	}
	// A side made straight for one triangle may fold the one across, which is
	// bent by another of its sides alone then; every round straightens a side.
	for again := true; again; {
		again = false
		for i := range m.Triangles {
			if m.determinant(i) >= straightBelow {
				continue
			}
			n := &m.Triangles[i].Node
			for k := range 3 {
				s, ok := bySide[n[3+k]]
				if !ok || m.Sides[s].Straight {
					continue
				}
				m.Sides[s].Straight, again = true, true
				p, q := m.Nodes[n[(k+1)%3]], m.Nodes[n[(k+2)%3]]
				m.Nodes[n[3+k]] = geom.Pt((p.X+q.X)/2, (p.Y+q.Y)/2)
			}
		}
	}
}

// determinant bounds the least determinant of the map of triangle i as a share
// of that of the triangle with straight sides.
func (m *Mesh) determinant(i int) float64 {
	var n [6]geom.Point
	for k, v := range m.Triangles[i].Node {
		n[k] = m.Nodes[v]
	}
	return leastDeterminant(&n) / n[1].Sub(n[0]).Cross(n[2].Sub(n[0]))
}

// compareAreas compares the area of every face with that of the map: whatever
// went wrong on the way shows there.
func (m *Mesh) compareAreas(sub *geom.Subdivision, metal []bool) error {
	got, allow := make([]float64, len(sub.Faces)), make([]float64, len(sub.Faces))
	for i := range m.Triangles {
		got[m.Triangles[i].Face] += m.area(i)
	}
	for i := range m.Sides {
		s := &m.Sides[i]
		e := &sub.Edges[s.Edge]
		a, b := m.Nodes[s.Node[0]], m.Nodes[s.Node[1]]
		slack := 2*mapExact*a.Dist(b) + chordError(e.Edge, a, b, m.Nodes[s.Node[2]])
		allow[e.Left] += slack
		allow[e.Right] += slack
	}
	for i := range sub.Faces {
		if !metal[i] {
			continue
		}
		want := sub.Faces[i].Area()
		m.Quality.Areas = append(m.Quality.Areas, FaceArea{Face: int32(i), Mesh: got[i], Map: want, ChordError: allow[i]})
		if d := got[i] - want; !(d <= allow[i]+1e-9*want && -d <= allow[i]+1e-9*want) {
			return fmt.Errorf("mesh: face %d has %.9g mm² of triangles and %.9g mm² in the map: this is a fault of the mesher or of the map; report it with the drawing", i, got[i], want)
		}
	}
	return nil
}

// area is the area of triangle i with its curved sides.
func (m *Mesh) area(i int) float64 {
	n := &m.Triangles[i].Node
	a := m.Nodes[n[1]].Sub(m.Nodes[n[0]]).Cross(m.Nodes[n[2]].Sub(m.Nodes[n[0]])) / 2
	for k := range 3 {
		p, q := m.Nodes[n[(k+1)%3]], m.Nodes[n[(k+2)%3]]
		// A parabola over a chord holds two thirds of the chord times its rise.
		mid := geom.Pt((p.X+q.X)/2, (p.Y+q.Y)/2)
		a -= q.Sub(p).Cross(m.Nodes[n[3+k]].Sub(mid)) * 2 / 3
	}
	return a
}

// EdgeSides returns the sides on one edge of the map, along it; empty when the
// edge borders no metal.
func (m *Mesh) EdgeSides(edge int32) []Side {
	byEdge := func(s Side, e int32) int { return cmp.Compare(s.Edge, e) }
	i, _ := slices.BinarySearchFunc(m.Sides, edge, byEdge)
	j, _ := slices.BinarySearchFunc(m.Sides, edge+1, byEdge)
	return m.Sides[i:j:j]
}
