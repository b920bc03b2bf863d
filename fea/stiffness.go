package fea

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"platewright/fea/sparse"
	"platewright/plate"
)

// Compliance is how two features move against each other: the motion of the second
// seen from the first (three moves in mm, three turns in rad about axes along x, y
// and z through the second's centre), under a unit force or moment on the second
// that the first holds against, N and N·mm. Motions are those of the walls in the
// mean.
type Compliance struct {
	A, B    plate.ID
	At      [3]float64 // centre of B
	Towards [3]float64 // unit, from the centre of A to that of B in the plane
	Matrix  [6][6]float64
}

// Stiffness is the inverse of Matrix: the forces and moments for unit motions.
func (c *Compliance) Stiffness() ([6][6]float64, error) {
	m := mat.NewDense(6, 6, nil)
	for i := range 6 {
		for j := range 6 {
			m.Set(i, j, c.Matrix[i][j])
		}
	}
	var inv mat.Dense
	var out [6][6]float64
	if err := inv.Inverse(m); err != nil {
		return out, fmt.Errorf("fea: the stiffness between features %d and %d cannot be found: %w", c.A, c.B, err)
	}
	for i := range 6 {
		for j := range 6 {
			out[i][j] = inv.At(i, j)
		}
	}
	return out, nil
}

// Along returns the stiffnesses in the directions that a designer names: along the
// line between the centres, across it in the plane, out of the plane (N/mm), and
// against a twist about the line (N·m/°). Each is under that force or moment alone;
// the other motions are free.
func (c *Compliance) Along() []Figure {
	x := [6]float64{c.Towards[0], c.Towards[1]}
	y := [6]float64{-c.Towards[1], c.Towards[0]}
	z := [6]float64{2: 1}
	turn := [6]float64{3: c.Towards[0], 4: c.Towards[1]}
	of := func(d [6]float64) float64 {
		v := 0.0
		for i := range 6 {
			for j := range 6 {
				v += d[i] * c.Matrix[i][j] * d[j]
			}
		}
		return 1 / v
	}
	return []Figure{
		{"along the line", of(x), "N/mm"},
		{"across in the plane", of(y), "N/mm"},
		{"out of the plane", of(z), "N/mm"},
		{"twist about the line", of(turn) * math.Pi / 180 / 1000, "N·m/°"},
	}
}

// Between finds how each of the given pairs of features move against each other on
// a plate that nothing else holds. Features are bores, holes, bolt circles, clocked
// rings and slots.
func (m *Model) Between(ctx context.Context, pairs [][2]plate.ID) ([]Compliance, error) {
	f, err := m.freeFactor(ctx)
	if err != nil {
		return nil, err
	}
	defer f.Release()
	means := map[plate.ID]*mean{}
	for _, pair := range pairs {
		for _, id := range pair {
			if means[id] != nil {
				continue
			}
			pl, err := m.findFeature(id, "a stiffness", adjusted{})
			if err != nil {
				return nil, err
			}
			if means[id] = m.meanOf(pl, pl.centre); means[id] == nil {
				return nil, fmt.Errorf("fea: %s is too small for a stiffness", pl.name)
			}
		}
	}
	var out []Compliance
	for _, pair := range pairs {
		if pair[0] == pair[1] {
			return nil, fmt.Errorf("fea: a stiffness of %s against itself; give two features", m.featureName(pair[0]))
		}
		c, err := m.between(ctx, f, means[pair[0]], means[pair[1]])
		if err != nil {
			return nil, err
		}
		c.A, c.B = pair[0], pair[1]
		out = append(out, c)
	}
	return out, nil
}

// between loads b by unit wrenches and a by what balances them: the six held
// unknowns of the factor then carry nothing.
func (m *Model) between(ctx context.Context, f *sparse.Factor, a, b *mean) (Compliance, error) {
	c := Compliance{At: b.at}
	d := [3]float64{b.at[0] - a.at[0], b.at[1] - a.at[1]}
	if l := length(d); l > 0 {
		c.Towards = [3]float64{d[0] / l, d[1] / l}
	} else {
		c.Towards = [3]float64{1}
	}
	u := make([][]float64, 6)
	for k := range 6 {
		var v [6]float64
		v[k] = 1
		w := wrenchOf(v)
		u[k] = m.zeros()
		b.spread(w, u[k])
		back := m.resultant(u[k], a.at).Scale(-1)
		a.spread(back, u[k])
	}
	if _, err := f.SolveTo(ctx, u, u, nil); err != nil {
		return c, fmt.Errorf("fea: %w", err)
	}
	for k := range 6 {
		qb, qa := b.motion(u[k]), a.motion(u[k])
		// The rigid motion of a, carried to b.
		r := [3]float64{b.at[0] - a.at[0], b.at[1] - a.at[1], b.at[2] - a.at[2]}
		t := cross([3]float64{qa[3], qa[4], qa[5]}, r)
		for i := range 3 {
			c.Matrix[i][k] = qb[i] - qa[i] - t[i]
			c.Matrix[3+i][k] = qb[3+i] - qa[3+i]
		}
	}
	// Betti's theorem makes it symmetric; rounding does not.
	for i := range 6 {
		for j := range i {
			v := (c.Matrix[i][j] + c.Matrix[j][i]) / 2
			c.Matrix[i][j], c.Matrix[j][i] = v, v
		}
	}
	return c, nil
}

// At finds the compliance of a feature against the supports given, walls on pins
// pressing all round: its motion under unit forces and moments on it. A of the
// result is 0.
func (m *Model) At(ctx context.Context, id plate.ID, supports []plate.Support) (Compliance, error) {
	h, err := m.hold(ctx, supports, adjusted{})
	if err != nil {
		return Compliance{}, err
	}
	if h.free {
		return Compliance{}, fmt.Errorf("fea: a plate that nothing holds has no stiffness at %s; give supports, or ask between two features", m.featureName(id))
	}
	pl, err := m.findFeature(id, "a stiffness", adjusted{})
	if err != nil {
		return Compliance{}, err
	}
	q := m.meanOf(pl, pl.centre)
	if q == nil {
		return Compliance{}, fmt.Errorf("fea: %s is too small for a stiffness", pl.name)
	}
	f, err := h.sym.Factor(ctx, h.element, nil, m.buffers)
	if err != nil {
		return Compliance{}, h.explain(ctx, err)
	}
	defer f.Release()
	c := Compliance{B: id, At: pl.centre, Towards: [3]float64{1}}
	u := make([][]float64, 6)
	for k := range 6 {
		var v [6]float64
		v[k] = 1
		u[k] = m.zeros()
		q.spread(wrenchOf(v), u[k])
	}
	if _, err := f.SolveTo(ctx, u, u, nil); err != nil {
		return c, h.explain(ctx, err)
	}
	for k := range 6 {
		v := q.motion(u[k])
		for i := range 6 {
			c.Matrix[i][k] = v[i]
		}
	}
	return c, nil
}
