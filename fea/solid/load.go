package solid

import (
	"math"

	"platewright/fea/mesh"
)

// Zeros is a load vector, or displacements, of nothing.
func (m *Model) Zeros() []float64 { return make([]float64, m.Unknowns()) }

// AddBody adds a force per volume, N/mm³, on the elements that in accepts (nil: all)
// to a load vector.
func (m *Model) AddBody(in func(e int) bool, force func(at Vec) Vec, load []float64) {
	var g [nodesOf]Vec
	for e := range m.Elements {
		if in != nil && !in(e) {
			continue
		}
		x := m.Prism(e)
		for k := range rule {
			w := rule[k].w * x.slopes(&shapes[k], &g)
			q := force(x.at(&shapes[k]))
			m.addAt(m.Elements[e].Node[:], shapes[k].n[:], q, w, load)
		}
	}
}

// at is the place of a reference point.
func (x *Prism) at(h *shape) (p Vec) {
	for i := range x {
		p = p.add(x[i], h.n[i])
	}
	return p
}

// addAt adds the force q·w at a point with functions n.
func (m *Model) addAt(nodes []int32, n []float64, q Vec, w float64, load []float64) {
	for i, node := range nodes {
		for c := range 3 {
			load[3*int(node)+c] += n[i] * q[c] * w
		}
	}
}

// WallPoint is a place of integration on an upright wall.
type WallPoint struct {
	At     Vec
	Normal Vec     // unit, out of the metal
	Weight float64 // mm²

	node [9]int32
	n    [9]float64
}

// Wall returns the places of integration on the walls of metal along sides of the
// mesh: where a layer has metal on one side only.
func (m *Model) Wall(sides []mesh.Side) []WallPoint {
	rows, layers := 2*m.layers()+1, m.layers()
	var out []WallPoint
	for _, s := range sides {
		for k := range layers {
			left, right := m.hasMetal(s.Triangle[0], k), m.hasMetal(s.Triangle[1], k)
			if left == right {
				continue
			}
			var x [9]Vec
			var node [9]int32
			for h := range 3 {
				for j, p := range [3]int32{s.Node[0], s.Node[2], s.Node[1]} { // in order along the side
					node[3*h+j] = m.at[int(p)*rows+2*k+h]
					x[3*h+j] = m.Nodes[node[3*h+j]]
				}
			}
			out = append(out, wallPoints(node, x, right)...)
		}
	}
	return out
}

func (m *Model) hasMetal(triangle int32, layer int) bool {
	return triangle >= 0 && m.prism[int(triangle)*m.layers()+layer] >= 0
}

// wallPoints integrates over a face of nine nodes; the metal is on the left of the
// side, seen from the top, or (right) on the right.
func wallPoints(node [9]int32, x [9]Vec, right bool) []WallPoint {
	out := make([]WallPoint, 0, 9)
	for _, b := range gauss3 {
		hz, dz := line(b[0])
		for _, a := range gauss3 {
			hx, dx := line(a[0])
			p := WallPoint{node: node}
			var along, up Vec
			for i := range x {
				p.n[i] = hz[i/3] * hx[i%3]
				p.At = p.At.add(x[i], p.n[i])
				along = along.add(x[i], hz[i/3]*dx[i%3])
				up = up.add(x[i], dz[i/3]*hx[i%3])
			}
			n := along.cross(up) // along × up points to the right of the side
			size := n.len()
			p.Weight = a[1] * b[1] * size
			if right {
				size = -size
			}
			p.Normal = Vec{}.add(n, 1/size)
			out = append(out, p)
		}
	}
	return out
}

// AddWall adds a traction, MPa, on the places of a wall to a load vector.
func (m *Model) AddWall(wall []WallPoint, traction func(p WallPoint) Vec, load []float64) {
	for i := range wall {
		p := &wall[i]
		m.addAt(p.node[:], p.n[:], traction(*p), p.Weight, load)
	}
}

// Press adds to a load vector a pressure q·c·(1 + b·(z−z0)) where the normal out of the
// metal runs against the force: c is the cosine between wall and force, z0 the height at
// which c² balances and b such that the resultant is at height z. The part of the force
// along the axis is even over the wall.
func (m *Model) Press(points []WallPoint, force Vec, z float64, load []float64) {
	area := 0.0
	for i := range points {
		area += points[i].Weight
	}
	m.AddWall(points, func(WallPoint) Vec { return Vec{0, 0, force[2] / area} }, load)
	size := math.Hypot(force[0], force[1])
	if size == 0 {
		return
	}
	dir := Vec{force[0] / size, force[1] / size}
	cosine := func(p WallPoint) float64 { return max(0, -p.Normal.dot(dir)) }
	var a, s, i float64
	for _, p := range points {
		c := cosine(p)
		a += p.Weight * c * c
		s += p.Weight * c * c * p.At[2]
	}
	z0 := s / a
	for _, p := range points {
		c := cosine(p)
		i += p.Weight * c * c * (p.At[2] - z0) * (p.At[2] - z0)
	}
	b := a * (z - z0) / i
	m.AddWall(points, func(p WallPoint) Vec {
		return Vec{}.add(p.Normal, -size/a*cosine(p)*(1+b*(p.At[2]-z0)))
	}, load)
}

// AddSurface adds a traction, MPa, on the metal's upper (or lower) face over every
// triangle that in accepts (nil: all) to a load vector: in a pocket that is its floor.
func (m *Model) AddSurface(upper bool, in func(triangle int) bool, traction func(at Vec) Vec, load []float64) {
	for t := range m.Mesh.Triangles {
		if in != nil && !in(t) {
			continue
		}
		e, side := m.outermost(t, upper)
		x := m.Prism(e)
		for _, p := range triangle6 {
			h := shapeAt(p[0], p[1], side)
			var a, b Vec
			for i := range x {
				a, b = a.add(x[i], h.d[i][0]), b.add(x[i], h.d[i][1])
			}
			m.addAt(m.Elements[e].Node[:], h.n[:], traction(x.at(&h)), p[2]*a.cross(b).len(), load)
		}
	}
}

// fineParts divides each side of an element that the edge of an area crosses.
const fineParts = 8

// SurfacePoints returns the places of integration on the metal's upper (or lower) face
// that in accepts (nil: all), with normals along z.
func (m *Model) SurfacePoints(upper bool, in func(at Vec) bool) []WallPoint {
	var out []WallPoint
	for t := range m.Mesh.Triangles {
		e, side := m.outermost(t, upper)
		x := m.Prism(e)
		whole := true
		if in != nil {
			for _, p := range x[:6] {
				whole = whole && in(p)
			}
		}
		for _, p := range facePoints(whole) {
			h := shapeAt(p[0], p[1], side)
			w := WallPoint{At: x.at(&h), Normal: Vec{2: side}}
			if !whole && !in(w.At) {
				continue
			}
			var a, b Vec
			for i := range x {
				a, b = a.add(x[i], h.d[i][0]), b.add(x[i], h.d[i][1])
			}
			w.Weight = p[2] * a.cross(b).len()
			first := 0
			if upper {
				first = 12
			}
			for i := range w.node {
				w.node[i] = m.Elements[e].Node[first]
			}
			copy(w.node[:], m.Elements[e].Node[first:first+6])
			copy(w.n[:], h.n[first:first+6])
			out = append(out, w)
		}
	}
	return out
}

// facePoints are places on the triangle, with weights that sum to 1/2.
func facePoints(whole bool) [][3]float64 {
	if whole {
		return triangle6[:]
	}
	var out [][3]float64
	const h = 1. / fineParts
	for i := range fineParts {
		for j := range fineParts - i {
			r, s := float64(i)*h, float64(j)*h
			out = append(out, [3]float64{r + h/3, s + h/3, h * h / 2})
			if i+j < fineParts-1 {
				out = append(out, [3]float64{r + 2*h/3, s + 2*h/3, h * h / 2})
			}
		}
	}
	return out
}

// outermost is the highest or lowest element over a triangle, and the reference
// height of its face.
func (m *Model) outermost(t int, upper bool) (e int, side float64) {
	n := m.layers()
	for i := range n {
		k := i
		if upper {
			k = n - 1 - i
		}
		if at := m.prism[t*n+k]; at >= 0 {
			e = int(at)
			break
		}
	}
	if upper {
		return e, 1
	}
	return e, -1
}

// Resultant is the force of a load vector and its moment about a place, N and N·mm.
func (m *Model) Resultant(load []float64, about Vec) (force, moment Vec) {
	for n, p := range m.Nodes {
		f := Vec(load[3*n : 3*n+3])
		force = force.add(f, 1)
		moment = moment.add(p.add(about, -1).cross(f), 1)
	}
	return force, moment
}

// Nodes are those that the place lies between.
func (p *WallPoint) Nodes() []int32 { return p.node[:] }
