package fea

import (
	"gonum.org/v1/gonum/mat"

	"platewright/fea/shell"
)

// inertiaOf returns the mass matrix times each of the six rigid motions about the
// plate's middle, and the 6×6 rigid mass they make.
func (m *Model) inertiaOf() (fields [6][]float64, rigid *mat.SymDense) {
	var motions [6][]float64
	for a := range 6 {
		fields[a], motions[a] = m.zeros(), m.zeros()
	}
	for n := range m.Mesh.Nodes {
		rows := m.rigidRows(int32(n), m.centre)
		for a := range 6 {
			copy(motions[a][shell.Unknowns*n:], rows[a][:])
		}
	}
	for a := range 6 {
		m.massTimes(motions[a], fields[a])
	}
	rigid = mat.NewSymDense(6, nil)
	for a := range 6 {
		for b := a; b < 6; b++ {
			v := 0.0
			for i, f := range fields[a] {
				v += f * motions[b][i]
			}
			rigid.SetSym(a, b, v)
		}
	}
	return fields, rigid
}

// massTimes adds the mass matrix times u to f.
func (m *Model) massTimes(u, f []float64) {
	const n = shell.ElementUnknowns
	me := make([]float64, n*n)
	var ue, fe [n]float64
	for e := range m.Mesh.Triangles {
		m.Shell.Mass(e, me)
		nodes := &m.Mesh.Triangles[e].Node
		for i, k := range nodes {
			copy(ue[shell.Unknowns*i:], u[shell.Unknowns*int(k):][:shell.Unknowns])
		}
		for i := range n {
			fe[i] = 0
			for j, v := range me[i*n:][:n] {
				fe[i] += v * ue[j]
			}
		}
		for i, k := range nodes {
			for c := range shell.Unknowns {
				f[shell.Unknowns*int(k)+c] += fe[shell.Unknowns*i+c]
			}
		}
	}
}

// relieve adds to the loads of a plate that nothing holds the inertia of its own
// mass, so that they are in balance. It returns the wrench of that inertia about
// the plate's middle.
func (m *Model) relieve(load []float64) Wrench {
	fields, rigid := m.inertiaOf()
	total := m.resultant(load, m.centre).vector()
	var chol mat.Cholesky
	var acc mat.VecDense
	if !chol.Factorize(rigid) {
		return Wrench{}
	}
	if err := chol.SolveVecTo(&acc, mat.NewVecDense(6, total[:])); err != nil {
		return Wrench{}
	}
	for a := range 6 {
		for i, v := range fields[a] {
			load[i] -= acc.AtVec(a) * v
		}
	}
	return wrenchOf(total).Scale(-1)
}

// settleRigid takes the rigid motion out of displacements of a free plate: what is
// left moves no mass in the mean.
func (m *Model) settleRigid(u []float64) {
	fields, rigid := m.inertiaOf()
	v := mat.NewVecDense(6, nil)
	for a := range 6 {
		s := 0.0
		for i, f := range fields[a] {
			s += f * u[i]
		}
		v.SetVec(a, s)
	}
	var chol mat.Cholesky
	var amount mat.VecDense
	if !chol.Factorize(rigid) || chol.SolveVecTo(&amount, v) != nil {
		return
	}
	for n := range m.Mesh.Nodes {
		rows := m.rigidRows(int32(n), m.centre)
		for a := range 6 {
			for k := range shell.Unknowns {
				u[shell.Unknowns*n+k] -= amount.AtVec(a) * rows[a][k]
			}
		}
	}
}
