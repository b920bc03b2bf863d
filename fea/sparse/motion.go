package sparse

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// Component says what an unknown means, for RigidBody.
type Component int

// The meanings that a rigid motion gives a value to.
const (
	Other Component = iota // not moved by a rigid motion
	MoveX
	MoveY
	MoveZ
	TurnX // rotation about x, radians, right-handed
	TurnY
	TurnZ
	TiltX // rotation of the normal towards +x: u = z·TiltX; the same as TurnY
	TiltY // rotation of the normal towards +y: v = z·TiltY; the opposite of TurnX
)

// A Motion is a combination of candidates that has no stiffness.
type Motion struct {
	Piece       int       // that moves
	Combination []float64 // of the candidates; the largest is 1
	Stiffness   float64   // left, as a share of the stiffness of its unknowns alone
}

// freeShare is the share of stiffness below which a motion counts as free. The
// energy of a rigid motion is a sum that cancels to some units of rounding; one
// unknown held among 10⁵ leaves 1e-5 of it, and a spring of a millionth of the
// elements' stiffness there 1e-11.
const freeShare = 1e-12

// RigidBody returns the six rigid motions (along x, y, z, then about axes through
// centre parallel to x, y, z) as displacements of the unknowns. components says
// what the unknowns of each node mean, node by node. centre is the middle of the
// nodes, so that sums with the candidates lose no figures.
func (s *Symbolic) RigidBody(positions [][3]float64, components [][]Component) (vectors [][]float64, centre [3]float64, err error) {
	if len(positions) != len(s.num.free) || len(components) != len(positions) {
		return nil, centre, fmt.Errorf("sparse: %d positions and meanings of the unknowns of %d nodes: there are %d nodes", len(positions), len(components), len(s.num.free))
	}
	for _, at := range positions {
		for k, x := range at {
			centre[k] += x / float64(len(positions))
		}
	}
	vectors = make([][]float64, 6)
	for k := range vectors {
		vectors[k] = make([]float64, len(s.order))
	}
	for n, at := range positions {
		first := int(s.num.first[n])
		if size := int(s.num.first[n+1]) - first; len(components[n]) != size {
			return nil, centre, &PatternError{-1, n, fmt.Sprintf("meanings of %d unknowns, but it has %d", len(components[n]), size)}
		}
		d := [3]float64{at[0] - centre[0], at[1] - centre[1], at[2] - centre[2]}
		for c, what := range components[n] {
			for k, x := range rigid(what, d) {
				vectors[k][first+c] = x
			}
		}
	}
	return vectors, centre, nil
}

// rigid is the value of an unknown, at d from the centre, in each rigid motion.
func rigid(what Component, d [3]float64) [6]float64 {
	switch what {
	case MoveX:
		return [6]float64{1, 0, 0, 0, d[2], -d[1]}
	case MoveY:
		return [6]float64{0, 1, 0, -d[2], 0, d[0]}
	case MoveZ:
		return [6]float64{0, 0, 1, d[1], -d[0], 0}
	case TurnX:
		return [6]float64{3: 1}
	case TurnY, TiltX:
		return [6]float64{4: 1}
	case TurnZ:
		return [6]float64{5: 1}
	case TiltY:
		return [6]float64{3: -1}
	}
	return [6]float64{}
}

// FreeMotions finds, for each connected piece, the combinations of the candidates
// that have no stiffness: neither of elements nor of springs, and no part in held
// unknowns. Candidates that are the six of RigidBody name free rigid motions;
// others, mechanisms. The combinations are made as simple as possible: each has a
// candidate of its own that the others of its piece do not use. It needs no
// factor, and looks at ctx at every element.
func (s *Symbolic) FreeMotions(ctx context.Context, element Element, springs []Spring, candidates [][]float64) ([]Motion, error) {
	for i, v := range candidates {
		if len(v) != len(s.order) {
			return nil, fmt.Errorf("sparse: candidate %d has %d figures: there are %d unknowns", i, len(v), len(s.order))
		}
		if err := s.checkFinite("candidate", i, v); err != nil {
			return nil, err
		}
	}
	ground, err := s.checkSprings(springs)
	if err != nil || len(candidates) == 0 {
		return nil, err
	}
	energies := make([]energy, s.pieces.Count)
	for i := range energies {
		energies[i] = energy{mat.NewSymDense(len(candidates), nil), mat.NewSymDense(len(candidates), nil)}
	}
	diagonal := make([]float64, len(s.order))
	z := energizer{s: s, element: element, candidates: candidates, diagonal: diagonal}
	for i := range s.fronts {
		for _, k := range s.fronts[i].elems {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if err := z.add(int(k), &energies[s.pieces.OfElement[k]]); err != nil {
				return nil, &ElementError{int(k), err}
			}
		}
	}
	z.addHolds(energies, ground)
	var free []Motion
	for i := range energies {
		free = append(free, energies[i].free(i)...)
	}
	return free, nil
}

// energy holds, for a piece, the energies of pairs of candidates: with all
// stiffness, and with that of every unknown alone.
type energy struct{ all, alone *mat.SymDense }

// addSquare adds an unknown's own stiffness, and how much of it holds it.
func (e *energy) addSquare(candidates [][]float64, u int, own, hold float64) {
	for i, a := range candidates {
		if a[u] == 0 {
			continue
		}
		for j, b := range candidates[:i+1] {
			ab := a[u] * b[u]
			e.alone.SetSym(i, j, e.alone.At(i, j)+own*ab)
			e.all.SetSym(i, j, e.all.At(i, j)+hold*ab)
		}
	}
}

// energizer adds up the energies of elements.
type energizer struct {
	s                      *Symbolic
	element                Element
	candidates             [][]float64
	diagonal               []float64 // by order of elimination
	matrix, local, product []float64
}

func (z *energizer) add(e int, to *energy) error {
	units := z.s.elements[e].unknowns
	n := len(units)
	z.matrix, z.product = sized(z.matrix, n*n), sized(z.product, n)
	z.local = sized(z.local, n*len(z.candidates))
	clear(z.matrix)
	if err := z.element(e, z.matrix); err != nil {
		return err
	}
	for i := range n {
		for j := range i {
			z.matrix[j*n+i] = z.matrix[i*n+j]
		}
		z.diagonal[z.s.order[units[i]]] += z.matrix[i*n+i]
		for c, v := range z.candidates {
			z.local[c*n+i] = v[units[i]]
		}
	}
	for c := range z.candidates {
		v := z.local[c*n : c*n+n]
		for i := range n {
			z.product[i] = dot(z.matrix[i*n:i*n+n], v)
		}
		for k := range c + 1 {
			sum := dot(z.product, z.local[k*n:k*n+n])
			if math.IsNaN(sum) || math.IsInf(sum, 0) {
				return fmt.Errorf("its matrix is not finite")
			}
			to.all.SetSym(c, k, to.all.At(c, k)+sum)
		}
	}
	return nil
}

// addHolds adds springs and holds. An unknown without stiffness of its own counts
// as the weakest other of its piece, so that to move or hold it is not nothing.
func (z *energizer) addHolds(energies []energy, ground []float64) {
	pieces := make([]int32, len(z.diagonal)) // of each unknown
	weakest := make([]float64, len(energies))
	for n, piece := range z.s.pieces.OfNode {
		for u := z.s.num.first[n]; u < z.s.num.first[n+1]; u++ {
			pieces[u] = piece
			d := z.diagonal[z.s.order[u]]
			if d > 0 && (weakest[piece] == 0 || d < weakest[piece]) {
				weakest[piece] = d
			}
		}
	}
	for u, k := range z.s.order {
		piece := pieces[u]
		own, hold := z.diagonal[k], 0.0
		if own <= 0 {
			if own = weakest[piece]; own == 0 {
				own = 1
			}
		}
		if z.s.num.held[u] {
			hold = own
		}
		if ground != nil {
			own += ground[k]
			hold += ground[k]
		}
		energies[piece].addSquare(z.candidates, u, own, hold)
	}
}

// free finds the combinations of the generalised eigenvalue problem
// all·c = λ·alone·c with λ near zero.
func (e *energy) free(piece int) []Motion {
	m := e.all.SymmetricDim()
	scale := make([]float64, m)
	for i := range scale {
		if d := e.alone.At(i, i); d > 0 {
			scale[i] = 1 / math.Sqrt(d)
		}
	}
	scaled := func(a *mat.SymDense) *mat.SymDense {
		b := mat.NewSymDense(m, nil)
		for i := range m {
			for j := range i + 1 {
				b.SetSym(i, j, scale[i]*a.At(i, j)*scale[j])
			}
		}
		return b
	}
	basis := rangeOf(scaled(e.alone))
	if basis == nil {
		return nil
	}
	_, k := basis.Dims()
	var product, reduced mat.Dense
	product.Mul(scaled(e.all), basis)
	reduced.Mul(basis.T(), &product)
	sym := mat.NewSymDense(k, nil)
	for i := range k {
		for j := range i + 1 {
			sym.SetSym(i, j, (reduced.At(i, j)+reduced.At(j, i))/2)
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(sym, true) {
		return nil
	}
	var vectors, combined mat.Dense
	eig.VectorsTo(&vectors)
	combined.Mul(basis, &vectors)
	var rows [][]float64
	worst := 0.0
	for j, lambda := range eig.Values(nil) {
		if lambda < freeShare {
			rows = append(rows, mat.Col(nil, j, &combined))
			worst = max(worst, math.Abs(lambda))
		}
	}
	simplify(rows)
	var list []Motion
	for _, row := range rows {
		for i := range row {
			row[i] *= scale[i]
		}
		largest := 0.0
		for _, x := range row {
			if math.Abs(x) > math.Abs(largest) {
				largest = x
			}
		}
		for i := range row {
			row[i] /= largest
		}
		list = append(list, Motion{piece, row, worst})
	}
	return list
}

// rangeOf returns vectors B with Bᵀ·a·B = 1 that span the range of a positive
// semidefinite matrix with unit diagonal, or nil if it is zero.
func rangeOf(a *mat.SymDense) *mat.Dense {
	var eig mat.EigenSym
	if !eig.Factorize(a, true) {
		return nil
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	m := a.SymmetricDim()
	var cols [][]float64
	for j, lambda := range eig.Values(nil) {
		if lambda > 1e-10 {
			col := mat.Col(nil, j, &vectors)
			for i := range col {
				col[i] /= math.Sqrt(lambda)
			}
			cols = append(cols, col)
		}
	}
	if cols == nil {
		return nil
	}
	b := mat.NewDense(m, len(cols), nil)
	for j, col := range cols {
		b.SetCol(j, col)
	}
	return b
}

// simplify brings rows to reduced echelon form with full pivoting, and sorts them
// by their pivots. What rounding leaves is set to zero.
func simplify(rows [][]float64) {
	pivots := make([]int, len(rows))
	for k := range rows {
		row, col := k, 0
		for i := k; i < len(rows); i++ {
			for j, x := range rows[i] {
				if math.Abs(x) > math.Abs(rows[row][col])*(1+1e-9) {
					row, col = i, j
				}
			}
		}
		rows[k], rows[row] = rows[row], rows[k]
		pivots[k] = col
		pivot := rows[k][col]
		for j := range rows[k] {
			rows[k][j] /= pivot
		}
		for i := range rows {
			if i == k {
				continue
			}
			factor := rows[i][col]
			for j := range rows[i] {
				rows[i][j] -= factor * rows[k][j]
			}
		}
	}
	index := make([]int, len(rows))
	for i := range index {
		index[i] = i
		for j, x := range rows[i] {
			if math.Abs(x) < 1e-7 {
				rows[i][j] = 0
			}
		}
	}
	slices.SortFunc(index, func(a, b int) int { return pivots[a] - pivots[b] })
	sorted := make([][]float64, len(rows))
	for i, k := range index {
		sorted[i] = rows[k]
	}
	copy(rows, sorted)
}

// RigidMotion is a rigid motion as a person would say it: a turn about an axis
// through a place, with a move along the axis, or a move alone.
type RigidMotion struct {
	Turn [3]float64 // unit vector along the axis, or zero
	At   [3]float64 // place on the axis nearest to the centre, mm
	Move [3]float64 // unit direction of a move alone; for a turn, mm per radian along the axis
}

// Rigid reads a combination of the six vectors of RigidBody about centre. size is
// the extent of the model, mm: a turn that moves it by less than 1e-6 of its move
// is none.
func Rigid(combination []float64, centre [3]float64, size float64) RigidMotion {
	t, w := [3]float64(combination[:3]), [3]float64(combination[3:6])
	move, turn := length(t), length(w)
	if turn*size <= 1e-6*move {
		return RigidMotion{Move: scaledBy(t, 1/move)}
	}
	axis := scaledBy(w, 1/turn)
	off := scaledBy(cross(w, t), 1/(turn*turn))
	along := (t[0]*w[0] + t[1]*w[1] + t[2]*w[2]) / (turn * turn)
	m := RigidMotion{Turn: axis, Move: scaledBy(w, along)}
	for k := range off {
		m.At[k] = centre[k] + off[k]
	}
	return m
}

func length(v [3]float64) float64 { return math.Hypot(v[0], math.Hypot(v[1], v[2])) }

func scaledBy(v [3]float64, s float64) [3]float64 { return [3]float64{v[0] * s, v[1] * s, v[2] * s} }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func dot(a, b []float64) float64 {
	return blas64.Dot(blas64.Vector{N: len(a), Inc: 1, Data: a}, blas64.Vector{N: len(b), Inc: 1, Data: b})
}
