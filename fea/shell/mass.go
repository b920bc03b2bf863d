package shell

// kgPerM3 turns kg/m³ into t/mm³, the density that goes with N, mm and s.
const kgPerM3 = 1e-12

// Mass writes the 30×30 consistent mass matrix of an element to me, by rows, in
// tonnes: the inertia of every point of the metal, turning included.
func Mass(x *Triangle, s *Section, m Material, me []float64) {
	if len(me) != ElementUnknowns*ElementUnknowns {
		panic("shell: a mass matrix has 900 entries")
	}
	clear(me)
	nn := nodeMass(x, m)
	for i := range 6 {
		for n := range 6 {
			q := nn[i][n]
			set := func(a, b int, v float64) { me[(5*i+a)*ElementUnknowns+5*n+b] = v }
			for a := range 3 {
				set(a, a, s.T*q)
			}
			for a := range 2 {
				set(a, 3+a, s.S*q)
				set(3+a, a, s.S*q)
				set(3+a, 3+a, s.I*q)
			}
		}
	}
}

// nodeMass is ∫ρ·Ni·Nj over the element, t/mm: the mass matrix is made of it and
// the integrals of the section.
func nodeMass(x *Triangle, m Material) (nn [6][6]float64) {
	for k := range rule6 {
		h := &shapes6[k]
		j := x.jacobian(h)
		w := rule6[k].w * j.det * m.Density * kgPerM3
		for i := range 6 {
			a := w * h.n[i]
			for n := range 6 {
				nn[i][n] += a * h.n[n]
			}
		}
	}
	return nn
}

// MassTimes adds the mass matrix of the whole model times each of the vectors u to
// the vectors f, all with five figures a node.
func (m *Model) MassTimes(u, f [][]float64) {
	for e := range m.Mesh.Triangles {
		x, s := m.Triangle(e), m.Section(e)
		nn := nodeMass(&x, m.Material)
		nodes := &m.Mesh.Triangles[e].Node
		for k := range u {
			for i, ni := range nodes {
				var v [Unknowns]float64
				for j, nj := range nodes {
					q := nn[i][j]
					g := u[k][Unknowns*int(nj):][:Unknowns]
					v[0] += q * (s.T*g[0] + s.S*g[3])
					v[1] += q * (s.T*g[1] + s.S*g[4])
					v[2] += q * s.T * g[2]
					v[3] += q * (s.S*g[0] + s.I*g[3])
					v[4] += q * (s.S*g[1] + s.I*g[4])
				}
				d := f[k][Unknowns*int(ni):][:Unknowns]
				for c := range v {
					d[c] += v[c]
				}
			}
		}
	}
}
