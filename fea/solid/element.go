package solid

import (
	"fmt"
	"math"
)

// nodesOf and unknownsOf are the nodes and unknowns of an element.
const (
	nodesOf    = 18
	unknownsOf = 3 * nodesOf
)

// Vec is a place, a displacement or a force in x, y, z.
type Vec [3]float64

func (v Vec) add(w Vec, k float64) Vec {
	return Vec{v[0] + k*w[0], v[1] + k*w[1], v[2] + k*w[2]}
}

func (v Vec) dot(w Vec) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }

func (v Vec) cross(w Vec) Vec {
	return Vec{v[1]*w[2] - v[2]*w[1], v[2]*w[0] - v[0]*w[2], v[0]*w[1] - v[1]*w[0]}
}

func (v Vec) len() float64 { return math.Sqrt(v.dot(v)) }

// Prism is the places of the nodes of an element: the six of the triangle (three
// corners counter-clockwise, then the middles of the sides opposite corner 0, 1, 2)
// at the bottom, then at middle height, then at the top.
type Prism [nodesOf]Vec

// Material is isotropic and elastic.
type Material struct {
	E  float64 // Young's modulus, MPa
	Nu float64 // Poisson's ratio
}

// Check returns an error for a material that stores no energy or is no number.
func (m Material) Check() error {
	switch {
	case !(m.E > 0) || math.IsInf(m.E, 0):
		return fmt.Errorf("solid: Young's modulus is %v MPa; give a number above zero", m.E)
	case !(m.Nu > -1 && m.Nu < 0.495):
		return fmt.Errorf("solid: Poisson's ratio is %v; give a number above -1 and below 0.495", m.Nu)
	}
	return nil
}

// lame returns the two constants of Lamé, MPa.
func (m Material) lame() (lambda, mu float64) {
	return m.E * m.Nu / (1 + m.Nu) / (1 - 2*m.Nu), m.E / 2 / (1 + m.Nu)
}

// stress returns xx, yy, zz, xy, yz, zx from the gradient g[i][j] of the
// displacement i along j.
func (m Material) stress(g *[3]Vec) Stress {
	lambda, mu := m.lame()
	p := lambda * (g[0][0] + g[1][1] + g[2][2])
	return Stress{
		p + 2*mu*g[0][0], p + 2*mu*g[1][1], p + 2*mu*g[2][2],
		mu * (g[0][1] + g[1][0]), mu * (g[1][2] + g[2][1]), mu * (g[2][0] + g[0][2]),
	}
}

// point is a reference place with a weight: r, s in the triangle (0,0), (1,0),
// (0,1), t from -1 at the bottom to 1 at the top.
type point struct{ r, s, t, w float64 }

// triangle6 is exact for degree 4, its weights sum to 1/2. D. A. Dunavant, Int. J.
// Num. Meth. Eng. 21 (1985) 1129–1148 (from memory; a test integrates all monomials).
var triangle6 = [6][3]float64{
	{0.445948490915965, 0.445948490915965, 0.1116907948390055},
	{0.108103018168070, 0.445948490915965, 0.1116907948390055},
	{0.445948490915965, 0.108103018168070, 0.1116907948390055},
	{0.091576213509771, 0.091576213509771, 0.0549758718276609},
	{0.816847572980459, 0.091576213509771, 0.0549758718276609},
	{0.091576213509771, 0.816847572980459, 0.0549758718276609},
}

// gauss3 is the Gauss rule of degree 5 on -1…1.
var gauss3 = [3][2]float64{
	{-math.Sqrt(0.6), 5. / 9}, {0, 8. / 9}, {math.Sqrt(0.6), 5. / 9},
}

// shape is the 18 functions and their slopes along r, s, t at one place.
type shape struct {
	n [nodesOf]float64
	d [nodesOf]Vec
}

func shapeAt(r, s, t float64) shape {
	q := 1 - r - s
	n := [6]float64{q * (2*q - 1), r * (2*r - 1), s * (2*s - 1), 4 * r * s, 4 * s * q, 4 * q * r}
	dr := [6]float64{1 - 4*q, 4*r - 1, 0, 4 * s, -4 * s, 4 * (q - r)}
	ds := [6]float64{1 - 4*q, 0, 4*s - 1, 4 * r, 4 * (q - s), -4 * r}
	h, dh := line(t)
	var out shape
	for k := range 3 {
		for i := range 6 {
			out.n[6*k+i] = n[i] * h[k]
			out.d[6*k+i] = Vec{dr[i] * h[k], ds[i] * h[k], n[i] * dh[k]}
		}
	}
	return out
}

// line is the three quadratic functions on -1…1 with nodes at -1, 0, 1, and their
// slopes.
func line(t float64) (h, dh [3]float64) {
	return [3]float64{t * (t - 1) / 2, 1 - t*t, t * (t + 1) / 2}, [3]float64{t - 0.5, -2 * t, t + 0.5}
}

// rule is the 18 places of integration, with the functions there.
var (
	rule   = makeRule()
	shapes = makeShapes(rule)
)

func makeRule() []point {
	var out []point
	for _, g := range gauss3 {
		for _, p := range triangle6 {
			out = append(out, point{p[0], p[1], g[0], p[2] * g[1]})
		}
	}
	return out
}

func makeShapes(ps []point) []shape {
	out := make([]shape, len(ps))
	for i, p := range ps {
		out[i] = shapeAt(p.r, p.s, p.t)
	}
	return out
}

// slopes turns slopes along r, s, t into slopes along x, y, z, and returns the
// determinant of the map.
func (x *Prism) slopes(h *shape, dst *[nodesOf]Vec) float64 {
	var c [3]Vec // c[a] is the derivative of the place along reference axis a
	for i := range x {
		for a := range 3 {
			c[a] = c[a].add(x[i], h.d[i][a])
		}
	}
	bc, ca, ab := c[1].cross(c[2]), c[2].cross(c[0]), c[0].cross(c[1])
	det := c[0].dot(bc)
	for i := range x {
		d := h.d[i]
		dst[i] = Vec{}.add(bc, d[0]/det).add(ca, d[1]/det).add(ab, d[2]/det)
	}
	return det
}

// Volume returns the volume of the element, mm³.
func (x *Prism) Volume() float64 {
	v := 0.0
	var g [nodesOf]Vec
	for k := range rule {
		v += rule[k].w * x.slopes(&shapes[k], &g)
	}
	return v
}

// Stiffness adds the stiffness matrix of an element to ke, 54 × 54 by rows, three
// unknowns (displacements in x, y, z, mm) a node. It returns an error where the element
// is folded over; ke is then undefined. ke must hold 54·54 numbers.
func Stiffness(x *Prism, m Material, ke []float64) error {
	if len(ke) != unknownsOf*unknownsOf {
		panic("solid: the element matrix is not 54 × 54")
	}
	lambda, mu := m.lame()
	var g [nodesOf]Vec
	for k := range rule {
		det := x.slopes(&shapes[k], &g)
		if !(det > 0) {
			return fmt.Errorf("solid: the element at (%.4g, %.4g, %.4g) is folded over", x[0][0], x[0][1], x[0][2])
		}
		w := rule[k].w * det
		for i := range g {
			a := Vec{}.add(g[i], w)
			for j := range i + 1 {
				b := g[j]
				dot := mu * a.dot(b)
				for p := range 3 {
					row := ke[(3*i+p)*unknownsOf+3*j:]
					for q := range 3 {
						row[q] += lambda*a[p]*b[q] + mu*a[q]*b[p]
					}
					row[p] += dot
				}
			}
		}
	}
	for i := range unknownsOf {
		for j := range i {
			ke[j*unknownsOf+i] = ke[i*unknownsOf+j]
		}
	}
	return nil
}

// gradient returns g[i][j], the slope of displacement i along j.
func gradient(u *[nodesOf]Vec, d *[nodesOf]Vec) (g [3]Vec) {
	for n := range u {
		for i := range 3 {
			g[i] = g[i].add(d[n], u[n][i])
		}
	}
	return g
}
