package fea

import (
	"math"

	"platewright/fea/shell"
)

// Wrench is a force and a moment about a point, N and N·mm.
type Wrench struct{ Force, Moment [3]float64 }

// Add returns both together; they must be about one point.
func (w Wrench) Add(v Wrench) Wrench {
	for i := range 3 {
		w.Force[i] += v.Force[i]
		w.Moment[i] += v.Moment[i]
	}
	return w
}

// Scale returns the wrench times s.
func (w Wrench) Scale(s float64) Wrench {
	for i := range 3 {
		w.Force[i] *= s
		w.Moment[i] *= s
	}
	return w
}

// Move returns the same action about another point: from is where w is about.
func (w Wrench) Move(from, to [3]float64) Wrench {
	r := [3]float64{from[0] - to[0], from[1] - to[1], from[2] - to[2]}
	c := cross(r, w.Force)
	for i := range 3 {
		w.Moment[i] += c[i]
	}
	return w
}

// size is the length of force and of moment over an arm, together.
func (w Wrench) size(arm float64) float64 {
	return math.Hypot(length(w.Force), length(w.Moment)/arm)
}

func (w Wrench) vector() [6]float64 {
	return [6]float64{w.Force[0], w.Force[1], w.Force[2], w.Moment[0], w.Moment[1], w.Moment[2]}
}

func wrenchOf(v [6]float64) Wrench {
	return Wrench{[3]float64{v[0], v[1], v[2]}, [3]float64{v[3], v[4], v[5]}}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func length(a [3]float64) float64 { return math.Hypot(math.Hypot(a[0], a[1]), a[2]) }

// rigidRows are the five unknowns of a node under the six rigid motions: along
// x, y, z, and turns about axes through c along x, y, z.
func (m *Model) rigidRows(node int32, c [3]float64) [6][shell.Unknowns]float64 {
	p := m.Mesh.Nodes[node]
	x, y, z := p.X-c[0], p.Y-c[1], m.Shell.ZRef-c[2]
	return [6][shell.Unknowns]float64{
		{1, 0, 0, 0, 0},
		{0, 1, 0, 0, 0},
		{0, 0, 1, 0, 0},
		{0, -z, y, 0, -1},
		{z, 0, -x, 1, 0},
		{-y, x, 0, 0, 0},
	}
}

// resultant is the wrench about c of forces on the unknowns of all nodes.
func (m *Model) resultant(f []float64, c [3]float64) Wrench {
	var v [6]float64
	for n := range m.Mesh.Nodes {
		g := f[shell.Unknowns*n:][:shell.Unknowns]
		if g[0] == 0 && g[1] == 0 && g[2] == 0 && g[3] == 0 && g[4] == 0 {
			continue
		}
		rows := m.rigidRows(int32(n), c)
		for i := range rows {
			for k := range g {
				v[i] += rows[i][k] * g[k]
			}
		}
	}
	return wrenchOf(v)
}
