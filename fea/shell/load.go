package shell

import "platewright/plate/geom"

// Vector is a force or a force per area, volume or length along x, y and z.
type Vector [3]float64

// AddBody adds the forces of a field per volume of metal, N/mm³, to the load
// vector f over all nodes. force is asked at the six points of a rule of degree
// four in each element, in plan; it acts alike over the height.
func (m *Model) AddBody(e int, force func(geom.Point) Vector, f []float64) {
	x, s := m.Triangle(e), m.Section(e)
	for k := range rule6 {
		h := &shapes6[k]
		j := x.jacobian(h)
		w := rule6[k].w * j.det
		q := force(x.At(rule6[k].r, rule6[k].s))
		for i, n := range m.Mesh.Triangles[e].Node {
			v := f[Unknowns*int(n):][:Unknowns]
			a := w * h.n[i]
			v[0] += a * q[0] * s.T
			v[1] += a * q[1] * s.T
			v[2] += a * q[2] * s.T
			v[3] += a * q[0] * s.S
			v[4] += a * q[1] * s.S
		}
	}
}

// AddArea adds the forces of a field per area, MPa, acting at height z.
func (m *Model) AddArea(e int, z float64, force func(geom.Point) Vector, f []float64) {
	x := m.Triangle(e)
	for k := range rule6 {
		h := &shapes6[k]
		j := x.jacobian(h)
		w := rule6[k].w * j.det
		q := force(x.At(rule6[k].r, rule6[k].s))
		for i, n := range m.Mesh.Triangles[e].Node {
			addForce(f[Unknowns*int(n):], w*h.n[i], q, z-m.ZRef)
		}
	}
}

// addForce adds a times the force q at the height z above the plane of reference.
func addForce(v []float64, a float64, q Vector, z float64) {
	v[0] += a * q[0]
	v[1] += a * q[1]
	v[2] += a * q[2]
	v[3] += a * q[0] * z
	v[4] += a * q[1] * z
}

// AddPoint adds a force at a node, acting at height z.
func (m *Model) AddPoint(node int32, z float64, force Vector, f []float64) {
	addForce(f[Unknowns*int(node):], 1, force, z-m.ZRef)
}

// SidePoint is a point on a side with what integration along it needs.
type SidePoint struct {
	P      geom.Point
	N      [3]float64 // functions of start, end and middle node
	Normal geom.Point // unit, to the right of the direction of travel
	Weight float64    // length, mm
}

// gauss5 is the five-point rule on [−1, 1], exact for degree nine. M. Abramowitz
// and I. Stegun, Handbook of Mathematical Functions, table 25.4 (from memory; a
// test integrates all monomials).
var gauss5 = [5][2]float64{
	{-0.9061798459386640, 0.2369268850561891},
	{-0.5384693101056831, 0.4786286704993665},
	{0, 0.5688888888888889},
	{0.5384693101056831, 0.4786286704993665},
	{0.9061798459386640, 0.2369268850561891},
}

// SidePoints returns five points along a side from a to b through c, for
// integrals of polynomials of up to ninth degree on straight sides.
func SidePoints(a, b, c geom.Point) [5]SidePoint {
	var out [5]SidePoint
	for k, g := range gauss5 {
		out[k] = SidePointAt(a, b, c, g[0], g[1])
	}
	return out
}

// SidePointsWithin are those of the part of a side from t0 to t1, from −1 at a to 1 at b.
func SidePointsWithin(a, b, c geom.Point, t0, t1 float64) [5]SidePoint {
	var out [5]SidePoint
	half := (t1 - t0) / 2
	for k, g := range gauss5 {
		out[k] = SidePointAt(a, b, c, t0+half*(1+g[0]), half*g[1])
	}
	return out
}

// SidePointAt is the point at t, from −1 at a to 1 at b, along a side from a to b through
// c, with the share w of an integral over t from −1 to 1.
func SidePointAt(a, b, c geom.Point, t, w float64) SidePoint {
	n := [3]float64{t * (t - 1) / 2, t * (t + 1) / 2, 1 - t*t}
	d := [3]float64{t - 0.5, t + 0.5, -2 * t}
	p := a.Mul(n[0]).Add(b.Mul(n[1])).Add(c.Mul(n[2]))
	along := a.Mul(d[0]).Add(b.Mul(d[1])).Add(c.Mul(d[2]))
	return SidePoint{P: p, N: n, Normal: along.Perp().Mul(-1).Unit(), Weight: w * along.Len()}
}

// AddSide adds the forces of a field per length of a side, N/mm, acting at height
// z. Node lists start, end and middle node of the side, as in mesh.Side.
func (m *Model) AddSide(node [3]int32, z float64, force func(SidePoint) Vector, f []float64) {
	ps := SidePoints(m.Mesh.Nodes[node[0]], m.Mesh.Nodes[node[1]], m.Mesh.Nodes[node[2]])
	for k := range ps {
		q := force(ps[k])
		for i, n := range node {
			addForce(f[Unknowns*int(n):], ps[k].Weight*ps[k].N[i], q, z-m.ZRef)
		}
	}
}

// AddWarming adds the load that a rise of temperature makes: free growth in the
// plane by middle + slope·(z − ZRef), both as strains. It is what a held plate
// pushes against its supports.
func (m *Model) AddWarming(e int, middle, slope float64, f []float64) {
	x, s := m.Triangle(e), m.Section(e)
	c := m.Material.E / (1 - m.Material.Nu)
	n0, m0 := c*(s.T*middle+s.S*slope), c*(s.S*middle+s.I*slope)
	var dx, dy [6]float64
	for k := range rule3 {
		j := x.jacobian(&shapes3[k])
		j.slopes(&shapes3[k], &dx, &dy)
		w := rule3[k].w * j.det
		for i, n := range m.Mesh.Triangles[e].Node {
			v := f[Unknowns*int(n):][:Unknowns]
			v[0] += w * n0 * dx[i]
			v[1] += w * n0 * dy[i]
			v[3] += w * m0 * dx[i]
			v[4] += w * m0 * dy[i]
		}
	}
}

// AreaPoint is a place in an element with what integration over it needs.
type AreaPoint struct {
	At     geom.Point
	N      [6]float64 // functions of the six nodes
	Weight float64    // area, mm²
}

// fineParts is the number of parts along a side into which Points divides an
// element that is cut by the edge of something.
const fineParts = 8

// Points returns places of integration over an element: six of a rule of degree
// four, or, fine, the middles of 64 equal parts of the reference triangle.
func (x *Triangle) Points(fine bool) []AreaPoint {
	ps := rule6[:]
	if fine {
		ps = make([]point, 0, fineParts*fineParts)
		const h = 1. / fineParts
		for i := range fineParts {
			for j := range fineParts - i {
				r, s := float64(i)*h, float64(j)*h
				ps = append(ps, point{r + h/3, s + h/3, h * h / 2})
				if i+j < fineParts-1 {
					ps = append(ps, point{r + 2*h/3, s + 2*h/3, h * h / 2})
				}
			}
		}
	}
	out := make([]AreaPoint, len(ps))
	for i, p := range ps {
		h := shapeAt(p.r, p.s)
		j := x.jacobian(&h)
		out[i] = AreaPoint{x.At(p.r, p.s), h.n, p.w * j.det}
	}
	return out
}

// AddAt adds a force at a place within an element, N, acting at height z.
func (m *Model) AddAt(e int, p AreaPoint, z float64, force Vector, f []float64) {
	for i, n := range m.Mesh.Triangles[e].Node {
		addForce(f[Unknowns*int(n):], p.N[i], force, z-m.ZRef)
	}
}
