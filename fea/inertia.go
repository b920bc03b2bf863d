package fea

import (
	"errors"
	"fmt"

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
	m.Shell.MassTimes(motions[:], fields[:])
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

// relieve adds to the loads of a plate that nothing holds the inertia of its own
// mass, so that they are in balance. It returns the wrench of that inertia about
// the plate's middle.
func (m *Model) relieve(load []float64) (Wrench, error) {
	fields, rigid := m.inertiaOf()
	total := m.resultant(load, m.centre).vector()
	acc, err := rigidly(rigid, mat.NewVecDense(6, total[:]))
	if err != nil {
		return Wrench{}, err
	}
	for a := range 6 {
		for i, v := range fields[a] {
			load[i] -= acc.AtVec(a) * v
		}
	}
	return wrenchOf(total).Scale(-1), nil
}

// settleRigid takes the rigid motion out of displacements of a free plate: what is
// left moves no mass in the mean.
func (m *Model) settleRigid(u []float64) error {
	fields, rigid := m.inertiaOf()
	v := mat.NewVecDense(6, nil)
	for a := range 6 {
		s := 0.0
		for i, f := range fields[a] {
			s += f * u[i]
		}
		v.SetVec(a, s)
	}
	amount, err := rigidly(rigid, v)
	if err != nil {
		return err
	}
	for n := range m.Mesh.Nodes {
		rows := m.rigidRows(int32(n), m.centre)
		for a := range 6 {
			for k := range shell.Unknowns {
				u[shell.Unknowns*n+k] -= amount.AtVec(a) * rows[a][k]
			}
		}
	}
	return nil
}

// rigidly solves for the six amounts of rigid motion.
func rigidly(mass *mat.SymDense, v *mat.VecDense) (*mat.VecDense, error) {
	var chol mat.Cholesky
	if !chol.Factorize(mass) {
		return nil, errors.New("fea: the plate's mass does not resist every motion; check its density")
	}
	var out mat.VecDense
	if err := chol.SolveVecTo(&out, v); err != nil {
		return nil, fmt.Errorf("fea: inertia relief: %w", err)
	}
	return &out, nil
}
