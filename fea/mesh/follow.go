package mesh

import (
	"math"
	"slices"

	"platewright/plate/geom"
)

// While a feature is dragged the map changes its shape far more often than its
// topology. Then the mesh can follow: nodes on the map keep their fraction of
// their edge, nodes inside are moved as the joints of a net of springs would be,
// short springs stiff, so that small elements move with what they lie on and
// large ones take up the difference.

const (
	// followAngle is the least angle of a mesh that follows. Triangles that the
	// input made sharper when the mesh was made may fall to followShare of what
	// they had then.
	followAngle = 12 * math.Pi / 180
	followShare = 0.5
	// followTurn is the largest sweep of one side: a little more than that of the
	// coarsest arcs when they were made.
	followTurn = 0.55 * math.Pi

	// netRounds and netTolerance end the solution of the net, which needs no
	// accuracy: an error is a smooth shift of nodes. Conjugate gradients halve it
	// in a few rounds whatever the mesh, and each round is one pass over it.
	netRounds    = 60
	netTolerance = 1e-3
)

// Follow returns the mesh moved to a map of the same topology: the same
// vertices, edges and faces in the same order, lines and arcs where they were.
// It is false when the topology differs or the moved mesh would be poor; then a
// new mesh is needed. A mesh that followed depends on the way there: it is
// marked Followed and serves coarse answers only.
func (m *Mesh) Follow(sub *geom.Subdivision) (*Mesh, bool) {
	if !m.sameTopology(sub) {
		return nil, false
	}
	f := &Mesh{
		Nodes: slices.Clone(m.Nodes), Corners: m.Corners, Triangles: m.Triangles, Sides: m.Sides, Vertices: m.Vertices,
		Followed: true, at: m.at, on: m.on, edges: sub.Edges, faces: m.faces, minAngle: m.minAngle, made: m.made,
	}
	for v, n := range m.Vertices {
		if n >= 0 {
			f.Nodes[n] = sub.Vertices[v]
		}
	}
	for n := range f.Corners {
		if e := f.on[n]; e >= 0 {
			f.Nodes[n] = sub.Edges[e].At(f.at[n])
		}
	}
	f.moveInside(m)
	if !f.moveMiddles(sub) || !f.judgeMove(m, sub) {
		return nil, false
	}
	return f, true
}

// sameTopology reports whether the map has the topology that m was made on, and
// makes sense.
func (m *Mesh) sameTopology(sub *geom.Subdivision) bool {
	if sub == nil || len(sub.Vertices) != len(m.Vertices) || len(sub.Edges) != len(m.edges) || len(sub.Faces) != m.faces {
		return false
	}
	for i := range sub.Edges {
		e, old := &sub.Edges[i], &m.edges[i]
		if e.V != old.V || e.Left != old.Left || e.Right != old.Right || e.Dir != old.Dir || checkEdge(sub, e, m.faces) != nil {
			return false
		}
	}
	return true
}

// moveInside moves the corner nodes inside faces: it solves for the shifts that
// leave every node at the weighted mean of its neighbours' shifts.
func (m *Mesh) moveInside(old *Mesh) {
	start, list, weight := old.net()
	x := make([]geom.Point, m.Corners) // shifts
	res := make([]geom.Point, m.Corners)
	most := 0.0
	for n := range x {
		if m.on[n] != free {
			x[n] = m.Nodes[n].Sub(old.Nodes[n])
			most = max(most, x[n].Len())
		}
	}
	if most == 0 {
		return
	}
	diag := make([]float64, m.Corners)
	for n := range x {
		for k := start[n]; k < start[n+1]; k++ {
			diag[n] += weight[k]
			if m.on[n] == free {
				res[n] = res[n].Add(x[list[k]].Mul(weight[k]))
			}
		}
	}
	dir, image := make([]geom.Point, m.Corners), make([]geom.Point, m.Corners)
	old2 := 0.0
	for round := range netRounds {
		// One pair of numbers for both coordinates: the matrix is the same, and
		// the sum of the two problems is one problem.
		r2, worst := 0.0, 0.0
		for n := range res {
			r2 += res[n].Dot(res[n]) / max(diag[n], math.SmallestNonzeroFloat64)
			worst = max(worst, res[n].Len()/max(diag[n], math.SmallestNonzeroFloat64))
		}
		if worst <= netTolerance*most || r2 == 0 {
			break
		}
		beta := 0.0
		if round > 0 {
			beta = r2 / old2
		}
		curve := 0.0
		for n := range dir {
			if m.on[n] == free {
				dir[n] = res[n].Mul(1 / diag[n]).Add(dir[n].Mul(beta))
			}
		}
		for n := range dir {
			if m.on[n] != free {
				continue
			}
			s := dir[n].Mul(diag[n])
			for k := start[n]; k < start[n+1]; k++ {
				s = s.Sub(dir[list[k]].Mul(weight[k]))
			}
			image[n] = s
			curve += s.Dot(dir[n])
		}
		for n := range dir {
			x[n] = x[n].Add(dir[n].Mul(r2 / curve))
			res[n] = res[n].Sub(image[n].Mul(r2 / curve))
			if m.on[n] != free {
				x[n] = m.Nodes[n].Sub(old.Nodes[n])
			}
		}
		old2 = r2
	}
	for n := range x {
		if m.on[n] == free {
			m.Nodes[n] = old.Nodes[n].Add(x[n])
		}
	}
}

// net lists the neighbours of every corner node and the stiffness of the spring
// between them, one over the length.
func (m *Mesh) net() (start, list []int32, weight []float64) {
	start = make([]int32, m.Corners+1)
	for i := range m.Triangles {
		for _, n := range m.Triangles[i].Node[:3] {
			start[n+1] += 2
		}
	}
	for n := range m.Corners {
		start[n+1] += start[n]
	}
	list, weight = make([]int32, start[m.Corners]), make([]float64, start[m.Corners])
	fill := slices.Clone(start)
	for i := range m.Triangles {
		n := &m.Triangles[i].Node
		for k := range 3 {
			a, b := n[k], n[(k+1)%3]
			w := 1 / m.Nodes[a].Dist(m.Nodes[b])
			list[fill[a]], weight[fill[a]] = b, w
			list[fill[b]], weight[fill[b]] = a, w
			fill[a]++
			fill[b]++
		}
	}
	return start, list, weight
}

// moveMiddles puts the middles back between their corners and on their arcs;
// false where an arc has grown too long for one side.
func (m *Mesh) moveMiddles(sub *geom.Subdivision) bool {
	for i := range m.Triangles {
		n := &m.Triangles[i].Node
		for k := range 3 {
			p, q := m.Nodes[n[(k+1)%3]], m.Nodes[n[(k+2)%3]]
			m.Nodes[n[3+k]] = geom.Pt((p.X+q.X)/2, (p.Y+q.Y)/2)
		}
	}
	for i := range m.Sides {
		s := &m.Sides[i]
		e := &sub.Edges[s.Edge]
		p, q := m.Nodes[s.Node[0]], m.Nodes[s.Node[1]]
		if s.Straight || !e.IsArc() || e.Length() <= shortArc {
			continue
		}
		if p.Dist(q) > 2*e.R*math.Sin(followTurn/2) {
			return false
		}
		c := curve{Edge: e.Edge, arc: true}
		m.Nodes[s.Node[2]] = c.middle(p, q)
	}
	return true
}

// judgeMove fills in the quality; false where the mesh is too poor to use.
func (m *Mesh) judgeMove(old *Mesh, sub *geom.Subdivision) bool {
	q := &m.Quality
	q.MinAngle, q.MinFreeAngle, q.MinDeterminant, q.Straight = math.Pi, math.Pi, 1, old.Quality.Straight
	sharp := m.made
	for i := range m.Triangles {
		angle := m.leastAngle(i)
		allow, cause := followAngle, NotSharp
		if len(sharp) > 0 && sharp[0].Triangle == int32(i) {
			allow, cause = min(allow, followShare*sharp[0].Angle), sharp[0].Cause
			sharp = sharp[1:]
		}
		d := m.determinant(i)
		if !(angle >= allow && d >= straightBelow) {
			return false
		}
		if angle < m.minAngle*(1-1e-12) {
			if cause == NotSharp {
				cause = Moved
			}
			q.Sharp = append(q.Sharp, SharpTriangle{int32(i), angle, cause})
		} else {
			cause = NotSharp
		}
		if angle < q.MinAngle {
			n := &m.Triangles[i].Node
			q.MinAngle, q.Cause = angle, cause
			q.At = m.Nodes[n[0]].Add(m.Nodes[n[1]]).Add(m.Nodes[n[2]]).Mul(1.0 / 3)
		}
		if cause == NotSharp || cause == Moved {
			q.MinFreeAngle = min(q.MinFreeAngle, angle)
		}
		q.MinDeterminant = min(q.MinDeterminant, d)
	}
	metal := make([]bool, len(sub.Faces))
	for _, a := range old.Quality.Areas {
		metal[a.Face] = true
	}
	return m.compareAreas(sub, metal) == nil
}

// leastAngle is the least angle of the straight triangle i; negative when it is
// turned over.
func (m *Mesh) leastAngle(i int) float64 {
	n := &m.Triangles[i].Node
	least := math.Pi
	for k := range 3 {
		p := m.Nodes[n[k]]
		a, b := m.Nodes[n[(k+1)%3]].Sub(p), m.Nodes[n[(k+2)%3]].Sub(p)
		least = min(least, math.Atan2(a.Cross(b), a.Dot(b)))
	}
	return least
}
