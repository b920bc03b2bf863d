package mesh

import "slices"

// Divide halves sides of triangles: those whose middle node is marked in halve, which is
// as long as there are nodes. Triangles with such sides become two to four, each in the
// face of its parent; halves of sides on arcs lie on them. What was stays as it was: nodes
// keep their numbers and places, one part of a divided triangle has its number, and new
// nodes and other parts come after all others. parent gives for each triangle the one of m
// that it is, or is a part of.
//
// Sides on arcs that were left straight stay whole, and so do those of a triangle of which
// a part would be bent too much: mostly by an arc that is not halved itself.
//
// Corners and middles are not in the order that Mesh.Nodes tells of, Quality is that of m,
// and Follow does not move such a mesh.
func (m *Mesh) Divide(halve []bool) (divided *Mesh, parent []int32) {
	halve = slices.Clone(halve)
	for i := range m.Sides {
		if s := &m.Sides[i]; s.Straight {
			halve[s.Node[2]] = false
		}
	}
	for {
		d := &divider{m: m, halve: halve, halves: map[int32][2]int32{}, out: &Mesh{
			Nodes: slices.Clone(m.Nodes), Corners: m.Corners, Triangles: slices.Clone(m.Triangles), Vertices: m.Vertices,
			Quality: m.Quality, Divided: true, edges: m.edges, faces: m.faces, minAngle: m.minAngle,
		}}
		d.sides()
		for e := range m.Triangles {
			d.parent = append(d.parent, int32(e))
		}
		for e := range m.Triangles {
			d.triangle(int32(e))
		}
		if !d.spare() { // fewer sides are halved each time, so that it ends
			d.linkSides()
			return d.out, d.parent
		}
	}
}

// bentBelow is the share of its straight determinant below which the map of a part of a
// triangle may not fall.
const bentBelow = 0.2

type divider struct {
	m, out *Mesh
	halve  []bool
	parent []int32
	// halves are the middles of the two halves of a side, by its own middle: first that of
	// the half at the end with the lower number.
	halves map[int32][2]int32
}

// between is a new node half way between two.
func (d *divider) between(a, b int32) int32 {
	d.out.Nodes = append(d.out.Nodes, d.out.Nodes[a].Add(d.out.Nodes[b]).Mul(0.5))
	return int32(len(d.out.Nodes) - 1)
}

// halfMiddles are the middles of the halves at a and at b of the side with those ends.
func (d *divider) halfMiddles(a, b, middle int32) (atA, atB int32) {
	h, ok := d.halves[middle]
	if !ok {
		h = [2]int32{d.between(min(a, b), middle), d.between(max(a, b), middle)}
		d.halves[middle] = h
	}
	if a < b {
		return h[0], h[1]
	}
	return h[1], h[0]
}

// spare leaves the sides of triangles whole of which a part would be bent too much; false
// where there are none.
func (d *divider) spare() bool {
	some := false
	for e, p := range d.parent {
		n := d.m.Triangles[p].Node
		if d.out.Triangles[e].Node == n || d.out.determinant(e) >= bentBelow {
			continue
		}
		some = true
		for _, middle := range n[3:] {
			d.halve[middle] = false
		}
	}
	return some
}

// sides halves those on edges of the map.
func (d *divider) sides() {
	for _, s := range d.m.Sides {
		a, b, middle := s.Node[0], s.Node[1], s.Node[2]
		if !d.halve[middle] {
			d.out.Sides = append(d.out.Sides, s)
			continue
		}
		atA, atB := d.halfMiddles(a, b, middle)
		if e := &d.m.edges[s.Edge]; e.IsArc() && e.Length() > shortArc {
			c := curve{Edge: e.Edge, arc: true}
			d.out.Nodes[atA] = c.middle(d.m.Nodes[a], d.m.Nodes[middle])
			d.out.Nodes[atB] = c.middle(d.m.Nodes[middle], d.m.Nodes[b])
		}
		first, second := s, s
		first.Node, second.Node = [3]int32{a, middle, atA}, [3]int32{middle, b, atB}
		d.out.Sides = append(d.out.Sides, first, second)
	}
}

// triangle divides one by the number of its sides that are halved.
func (d *divider) triangle(e int32) {
	n := d.m.Triangles[e].Node
	if !d.halve[n[3]] && !d.halve[n[4]] && !d.halve[n[5]] {
		return
	}
	var halved, whole []int // sides by the corner opposite
	for k := range 3 {
		if d.halve[n[3+k]] {
			halved = append(halved, k)
		} else {
			whole = append(whole, k)
		}
	}
	switch len(halved) {
	case 1:
		k := halved[0]
		d.replace(e, [3]int{k, (k + 1) % 3, 3 + k}, [3]int{k, 3 + k, (k + 2) % 3})
	case 2:
		// The corner between the halved sides is cut off, the rest divided along the
		// shorter way.
		k := whole[0]
		i, j := (k+1)%3, (k+2)%3
		corner := [3]int{k, 3 + j, 3 + i}
		if d.m.Nodes[n[i]].Dist(d.m.Nodes[n[3+i]]) < d.m.Nodes[n[j]].Dist(d.m.Nodes[n[3+j]]) {
			d.replace(e, corner, [3]int{i, 3 + i, 3 + j}, [3]int{i, j, 3 + i})
		} else {
			d.replace(e, corner, [3]int{j, 3 + i, 3 + j}, [3]int{i, j, 3 + j})
		}
	case 3:
		d.replace(e, [3]int{0, 5, 4}, [3]int{1, 3, 5}, [3]int{2, 4, 3}, [3]int{3, 4, 5})
	}
}

// replace puts parts in the place of a triangle. Their corners are counted as its nodes.
func (d *divider) replace(e int32, parts ...[3]int) {
	parent := d.m.Triangles[e]
	inner := map[[2]int]int32{}
	for i, c := range parts {
		t := Triangle{Face: parent.Face}
		for k := range 3 {
			t.Node[k] = parent.Node[c[k]]
			a, b := c[(k+1)%3], c[(k+2)%3]
			t.Node[3+k] = d.middleOf(&parent, min(a, b), max(a, b), inner)
		}
		if i == 0 {
			d.out.Triangles[e] = t
			continue
		}
		d.out.Triangles = append(d.out.Triangles, t)
		d.parent = append(d.parent, e)
	}
}

// middleOf is the middle node between nodes a and b, a below b, of a triangle: of a whole
// side, of half of one, or between two parts, which share it by inner.
func (d *divider) middleOf(t *Triangle, a, b int, inner map[[2]int]int32) int32 {
	switch {
	case b < 3:
		return t.Node[6-a-b]
	case a < 3 && a != b-3:
		at, _ := d.halfMiddles(t.Node[a], t.Node[6-a-b], t.Node[b])
		return at
	}
	n, ok := inner[[2]int{a, b}]
	if !ok {
		n = d.between(t.Node[a], t.Node[b])
		inner[[2]int{a, b}] = n
	}
	return n
}

// linkSides finds the triangles beside sides on edges of the map.
func (d *divider) linkSides() {
	m := d.out
	byMiddle := make([]int32, len(m.Nodes)) // 1 + index into Sides
	for i := range m.Sides {
		byMiddle[m.Sides[i].Node[2]] = int32(i) + 1
		m.Sides[i].Triangle = [2]int32{-1, -1}
	}
	for e := range m.Triangles {
		n := &m.Triangles[e].Node
		for k := range 3 {
			if i := byMiddle[n[3+k]]; i > 0 {
				s := &m.Sides[i-1]
				beside := 1
				if n[(k+1)%3] == s.Node[0] { // a triangle is on the left of its sides
					beside = 0
				}
				s.Triangle[beside] = int32(e)
			}
		}
	}
}
