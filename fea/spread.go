package fea

import (
	"gonum.org/v1/gonum/mat"

	"platewright/fea/shell"
)

// mean is the mean motion of a place: the rigid motion about its centre that is
// nearest to the displacements of its nodes, weighted by the length or area that
// each stands for. Turned round it spreads a wrench over the place without
// stiffening it: work and displacement belong together.
type mean struct {
	nodes []int32
	rows  [6][]float64 // by motion: five figures a node
	at    [3]float64
}

// weights collects what each node of a place stands for, in order of first use.
func (m *Model) weights(p *place) (nodes []int32, w []float64) {
	index := map[int32]int{}
	add := func(n int32, v float64) {
		i, ok := index[n]
		if !ok {
			i = len(nodes)
			index[n] = i
			nodes, w = append(nodes, n), append(w, 0)
		}
		w[i] += v
	}
	for _, s := range p.sides() {
		for _, g := range m.points(s) {
			for i, n := range s.node {
				add(n, g.Weight*g.N[i])
			}
		}
	}
	if p.isArea {
		m.overArea(p, func(e int, g shell.AreaPoint) {
			for i, n := range m.Mesh.Triangles[e].Node {
				add(n, g.Weight*g.N[i])
			}
		})
	}
	return nodes, w
}

// meanOf makes the mean motion of a place about a point.
func (m *Model) meanOf(p *place, at [3]float64) *mean {
	nodes, w := m.weights(p)
	out := &mean{nodes: nodes, at: at}
	// Turning counts as the motion of metal a twelfth of the thickness squared
	// away, so that a straight edge resists a turn about itself.
	tilt := m.Layout.Thickness * m.Layout.Thickness / 12
	total := 0.0
	for i, v := range w {
		w[i] = max(v, 0) // corner functions may dip below zero in a part of an element
		total += w[i]
	}
	arm := m.extent / 10 // makes turns comparable with moves
	var g [6][6]float64
	rows := make([][6][shell.Unknowns]float64, len(nodes))
	for i, n := range nodes {
		rows[i] = m.rigidRows(n, at)
		for a := range 6 {
			for k := range shell.Unknowns {
				if a >= 3 {
					rows[i][a][k] /= arm
				}
			}
		}
		for a := range 6 {
			for b := range 6 {
				for k := range shell.Unknowns {
					g[a][b] += nodeWeight(w[i]/total, tilt, k) * rows[i][a][k] * rows[i][b][k]
				}
			}
		}
	}
	sym := mat.NewSymDense(6, nil)
	for a := range 6 {
		for b := a; b < 6; b++ {
			sym.SetSym(a, b, g[a][b])
		}
	}
	var inv mat.SymDense
	var chol mat.Cholesky
	if !chol.Factorize(sym) {
		return nil
	}
	if err := chol.InverseTo(&inv); err != nil {
		return nil
	}
	for a := range 6 {
		out.rows[a] = make([]float64, shell.Unknowns*len(nodes))
		for i := range nodes {
			for k := range shell.Unknowns {
				v := 0.0
				for b := range 6 {
					v += inv.At(a, b) * rows[i][b][k]
				}
				v *= nodeWeight(w[i]/total, tilt, k)
				if a >= 3 {
					v /= arm
				}
				out.rows[a][shell.Unknowns*i+k] = v
			}
		}
	}
	return out
}

func nodeWeight(w, tilt float64, k int) float64 {
	if k >= 3 {
		return w * tilt
	}
	return w
}

// motion is the mean motion under the displacements u: three moves and three
// turns about the centre.
func (q *mean) motion(u []float64) (v [6]float64) {
	for a := range 6 {
		for i, n := range q.nodes {
			for k := range shell.Unknowns {
				v[a] += q.rows[a][shell.Unknowns*i+k] * u[shell.Unknowns*int(n)+k]
			}
		}
	}
	return v
}

// spread adds a wrench about the centre to the load vector f.
func (q *mean) spread(w Wrench, f []float64) {
	v := w.vector()
	for a := range 6 {
		if v[a] == 0 {
			continue
		}
		for i, n := range q.nodes {
			for k := range shell.Unknowns {
				f[shell.Unknowns*int(n)+k] += v[a] * q.rows[a][shell.Unknowns*i+k]
			}
		}
	}
}

// stiffness is the element matrix, by rows over the nodes' unknowns, of springs
// on the mean motion.
func (q *mean) stiffness(k [6]float64) []float64 {
	n := shell.Unknowns * len(q.nodes)
	out := make([]float64, n*n)
	for a := range 6 {
		if k[a] == 0 {
			continue
		}
		for i := range n {
			if v := k[a] * q.rows[a][i]; v != 0 {
				for j := range n {
					out[i*n+j] += v * q.rows[a][j]
				}
			}
		}
	}
	return out
}
