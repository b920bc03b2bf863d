package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Mean is the mean motion of a place: the rigid motion about At that is nearest to the
// displacements of its points, weighted by their areas. Turned round it spreads a force
// and a moment over the place as tractions that vary straight with the place: work and
// displacement belong together, and no stiffness is added.
type Mean struct {
	At Vec

	points  []WallPoint
	area    float64
	arm     float64 // makes turns comparable with moves
	inverse [6][6]float64
}

// MeanOf makes the mean motion of points about a place. The error says that they lie
// along one line or in one place.
func MeanOf(points []WallPoint, at Vec) (*Mean, error) {
	q := &Mean{At: at, points: points}
	for i := range points {
		d := points[i].At.add(at, -1)
		q.area += points[i].Weight
		q.arm += points[i].Weight * d.dot(d)
	}
	if !(q.area > 0) || q.arm == 0 {
		return nil, fmt.Errorf("solid: there is no metal to move there")
	}
	q.arm = math.Sqrt(q.arm / q.area)
	g := mat.NewSymDense(6, nil)
	for i := range points {
		r := q.rows(points[i].At)
		for a := range r {
			for b := a; b < len(r); b++ {
				g.SetSym(a, b, g.At(a, b)+points[i].Weight/q.area*r[a].dot(r[b]))
			}
		}
	}
	var chol mat.Cholesky
	var inv mat.SymDense
	const worst = 1e10 // of places that turn freely about a line through them
	if !chol.Factorize(g) || chol.Cond() > worst || chol.InverseTo(&inv) != nil {
		return nil, fmt.Errorf("solid: what there is of the place lies along one line, which cannot be turned")
	}
	for a := range 6 {
		for b := range 6 {
			q.inverse[a][b] = inv.At(a, b)
		}
	}
	return q, nil
}

// rows are the displacements of a point under the six motions: moves along x, y, z, and
// turns about them of 1/arm.
func (q *Mean) rows(p Vec) [6]Vec {
	d := p.add(q.At, -1)
	s := 1 / q.arm
	return [6]Vec{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0, -d[2] * s, d[1] * s}, {d[2] * s, 0, -d[0] * s}, {-d[1] * s, d[0] * s, 0}}
}

// Motion is the mean motion under the displacements u: moves, mm, and turns, rad, of the
// metal at At.
func (q *Mean) Motion(u []float64) (v [6]float64) {
	var sum [6]float64
	for i := range q.points {
		p := &q.points[i]
		d := p.displacement(u)
		for a, r := range q.rows(p.At) {
			sum[a] += p.Weight / q.area * r.dot(d)
		}
	}
	for a := range v {
		for b, s := range sum {
			v[a] += q.inverse[a][b] * s
		}
		if a >= 3 {
			v[a] /= q.arm
		}
	}
	return v
}

// Spread adds a force and a moment about At to a load vector, N and N·mm.
func (q *Mean) Spread(m *Model, force, moment Vec, load []float64) {
	f := [6]float64{force[0], force[1], force[2], moment[0] / q.arm, moment[1] / q.arm, moment[2] / q.arm}
	var c [6]float64
	for a := range c {
		for b := range f {
			c[a] += q.inverse[a][b] * f[b]
		}
	}
	m.AddWall(q.points, func(p WallPoint) (t Vec) {
		for a, r := range q.rows(p.At) {
			t = t.add(r, c[a]/q.area)
		}
		return t
	}, load)
}

// Bed is a spring of stiffness k on one of the six motions (0 to 2: moves along x, y, z;
// 3 to 5: turns about them), N/mm or N·mm/rad.
func (q *Mean) Bed(motion int, k float64) Bed {
	s := 1.0
	if motion >= 3 {
		s /= q.arm
	}
	return bedOf(q.points, k, func(p *WallPoint) (v Vec) {
		for a, r := range q.rows(p.At) {
			v = v.add(r, q.inverse[motion][a]*p.Weight/q.area*s)
		}
		return v
	})
}

// displacement at the point.
func (p *WallPoint) displacement(u []float64) (d Vec) {
	for i, n := range p.node {
		d = d.add(Vec(u[3*n:3*n+3]), p.n[i])
	}
	return d
}

// Bed is a spring on a weighted sum of displacements, Row[i] times that of Node[i].
type Bed struct {
	Node      []int32
	Row       []Vec
	Stiffness float64 // N/mm, or N·mm/rad where the sum is a turn
}

// bedOf collects weights of points on nodes, in order of first use.
func bedOf(points []WallPoint, k float64, weight func(p *WallPoint) Vec) Bed {
	b := Bed{Stiffness: k}
	index := map[int32]int{}
	for i := range points {
		p := &points[i]
		w := weight(p)
		for j, n := range p.node {
			if p.n[j] == 0 {
				continue
			}
			at, ok := index[n]
			if !ok {
				at = len(b.Node)
				index[n] = at
				b.Node, b.Row = append(b.Node, n), append(b.Row, Vec{})
			}
			b.Row[at] = b.Row[at].add(w, p.n[j])
		}
	}
	return b
}

// BedAlong is a spring of stiffness k on the mean displacement of points along a
// direction that may change from one to the next. Points count by area times share.
func BedAlong(points []WallPoint, k float64, direction func(p *WallPoint) Vec, share func(p *WallPoint) float64) Bed {
	area := 0.0
	for i := range points {
		area += points[i].Weight * share(&points[i])
	}
	return bedOf(points, k, func(p *WallPoint) Vec { return Vec{}.add(direction(p), p.Weight*share(p)/area) })
}

// Gap is the weighted sum under the displacements u.
func (b *Bed) Gap(u []float64) (g float64) {
	for i, n := range b.Node {
		g += b.Row[i].dot(Vec(u[3*n : 3*n+3]))
	}
	return g
}

// push adds a force along the sum to a load vector.
func (b *Bed) push(f float64, load []float64) {
	for i, n := range b.Node {
		for c := range 3 {
			load[3*int(n)+c] += f * b.Row[i][c]
		}
	}
}

// matrix writes the stiffness of the spring over the unknowns of its nodes, by rows.
func (b *Bed) matrix(dst []float64) {
	size := 3 * len(b.Node)
	for i := range size {
		v := b.Stiffness * b.Row[i/3][i%3]
		for j := range i + 1 {
			dst[i*size+j] = v * b.Row[j/3][j%3]
		}
	}
}

// Row is the wall's motion at height z, mm: points of the two rows of nodes next to z, under and over it, as rows of single
// nodes along the wall, so that the mean over them is that of the wall's height z. What is free to move along z as one
// through the height has the motion of such a row. Beyond the rows' range it is the nearest row.
func (m *Model) Row(points []WallPoint, z float64) []WallPoint {
	under, over := math.Inf(-1), math.Inf(1)
	for i := range points {
		for j, n := range points[i].node {
			if points[i].n[j] == 0 {
				continue
			}
			h := m.Nodes[n][2]
			if h <= z {
				under = max(under, h)
			}
			if h >= z {
				over = min(over, h)
			}
		}
	}
	switch {
	case under == over || math.IsInf(over, 0):
		return m.rowAt(points, under)
	case math.IsInf(under, 0):
		return m.rowAt(points, over)
	}
	low, high := m.rowAt(points, under), m.rowAt(points, over)
	f := (z - under) / (over - under)
	weigh(low, 1-f)
	weigh(high, f)
	return append(low, high...)
}

// weigh scales the weights of points to the given sum.
func weigh(points []WallPoint, total float64) {
	sum := 0.0
	for i := range points {
		sum += points[i].Weight
	}
	for i := range points {
		points[i].Weight *= total / sum
	}
}

// rowAt is the part of points that lies in the row of nodes at height at.
func (m *Model) rowAt(points []WallPoint, at float64) []WallPoint {
	var out []WallPoint
	for i := range points {
		p := points[i]
		sum := 0.0
		for j, n := range p.node {
			if m.Nodes[n][2] != at {
				p.n[j] = 0
			}
			sum += p.n[j]
		}
		if sum <= 0 {
			continue
		}
		for j := range p.n {
			p.n[j] /= sum
		}
		p.Weight *= sum
		p.At[2] = at
		out = append(out, p)
	}
	return out
}
