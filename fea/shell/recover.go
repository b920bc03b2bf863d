package shell

import (
	"math"

	"platewright/plate/geom"
)

// Recovered strain. In each face of the map, and never across its edges, a
// polynomial of second degree is fitted to the strains at the integration points
// of the elements round each corner node; its values at nodes are the smoothed
// strains, at middle nodes the mean of the polynomials of both ends. They serve the
// error estimate. The strains that are given out are half theirs and half the mean
// over the elements at a node of the straight line through their integration
// points: at the edge of a hole the polynomials, which are one-sided there, come
// out 1 to 4 % high and the means 0 to 3 % low. O. C. Zienkiewicz and J. Z. Zhu, The superconvergent patch recovery and a posteriori
// error estimates, Int. J. Num. Meth. Eng. 33 (1992) 1331–1382 (from memory).

// Field is the smoothed strain of a solution. Neighbouring elements share a value
// at a node exactly when they lie in one face. It is immutable.
type Field struct {
	Model *Model
	// Slot gives for each element the index into Strains of its six nodes.
	Slot    [][6]int32
	Strains []Strain
	// Error and Energy are by element: the square of the energy norm of the
	// difference between smoothed and plain strain, and that of the plain strain,
	// N·mm. They are nil after Means.
	Error, Energy []float64
}

// Stress returns the smoothed stress at node i (0 to 5) of an element at height z.
func (f *Field) Stress(e, i int, z float64) Stress {
	return f.Model.Section(e).Stress(f.Model.Material, &f.Strains[f.Slot[e][i]], f.Model.ZRef, z)
}

// VonMises sets v to the equivalent stress at the six nodes of an element on the three
// surfaces.
func (f *Field) VonMises(e int, v *[6][3]float64) {
	s, k, zRef := f.Model.Section(e), f.Model.Material.moduli(), f.Model.ZRef
	for i, slot := range f.Slot[e] {
		strain := &f.Strains[slot]
		v[i] = [3]float64{
			Bottom: s.stress(k, strain, zRef, s.Z0).VonMises(),
			Middle: s.stress(k, strain, zRef, s.ZMiddle).VonMises(),
			Top:    s.stress(k, strain, zRef, s.Z1).VonMises(),
		}
	}
}

// ErrorShare is the estimated error of the stresses as a share of the whole in
// the energy norm: √(Σ error² / (Σ error² + Σ energy²)). It is 0 where there is no
// energy, and NaN after Means.
func (f *Field) ErrorShare() float64 {
	if f.Error == nil {
		return math.NaN()
	}
	err, en := 0.0, 0.0
	for e := range f.Error {
		err += f.Error[e]
		en += f.Energy[e]
	}
	if err+en <= 0 {
		return 0
	}
	return math.Sqrt(err / (err + en))
}

// Patches is what recovery needs of a model, made once for all load cases. It is
// immutable.
type Patches struct {
	model   *Model
	slot    [][6]int32
	slots   int
	corners []patch
	middles [][3]int32 // slot, and the indices into corners of the ends of its side
	at      []geom.Point
	// points are the places of the integration points, three an element.
	points []geom.Point
}

// patch is the elements round a corner node in one face.
type patch struct {
	slot     int32
	at       geom.Point
	elements []int32
	scale    float64 // 1/mm
	terms    int     // of the polynomial: 6, 3 or 1
	factor   [6][6]float64
}

// leastPatch is the number of elements below which a patch takes in the neighbours
// of its elements: the nine points of three elements carry six terms. Larger
// patches and fits weighted towards the node were tried on holes in strips; both
// are worse at the edge of a hole, by up to 10 % of the stress.
const leastPatch = 3

// NewPatches prepares the recovery of a model's strains.
func NewPatches(m *Model) *Patches {
	p := &Patches{model: m}
	p.slot, p.at = m.slots()
	p.slots = len(p.at)
	p.points = make([]geom.Point, 3*len(m.Mesh.Triangles))
	m.Each(len(m.Mesh.Triangles), func(e int) {
		x := m.Triangle(e)
		for k := range rule3 {
			p.points[3*e+k] = x.At(rule3[k].r, rule3[k].s)
		}
	})
	p.gather()
	m.Each(len(p.corners), func(i int) { p.prepare(&p.corners[i]) })
	return p
}

// slots gives every node a slot per face that it has elements in, and the nodes' places
// by slot.
func (m *Model) slots() (slot [][6]int32, at []geom.Point) {
	triangles, nodes := m.Mesh.Triangles, m.Mesh.Nodes
	slot = make([][6]int32, len(triangles))
	at = make([]geom.Point, 0, len(nodes)+len(nodes)/2)
	// The slots of a node are a chain: first is its head, by node, and the others
	// are by slot. Numbers are one more than the slot, so that zero ends a chain.
	first := make([]int32, len(nodes))
	next := make([]int32, 0, cap(at))
	face := make([]int32, 0, cap(at))
	for e := range triangles {
		t := &triangles[e]
		for i, n := range t.Node {
			k := first[n]
			for k > 0 && face[k-1] != t.Face {
				k = next[k-1]
			}
			if k == 0 {
				at, face, next = append(at, nodes[n]), append(face, t.Face), append(next, first[n])
				k = int32(len(at))
				first[n] = k
			}
			slot[e][i] = k - 1
		}
	}
	return slot, at
}

// around lists the elements at each corner slot: those of slot s are
// list[start[s]:start[s+1]].
func (p *Patches) around() (start, list []int32) {
	start = make([]int32, p.slots+1)
	for e := range p.slot {
		for _, s := range p.slot[e][:3] {
			start[s+1]++
		}
	}
	for s := range p.slots {
		start[s+1] += start[s]
	}
	list = make([]int32, 3*len(p.slot))
	fill := append([]int32(nil), start[:p.slots]...)
	for e := range p.slot {
		for _, s := range p.slot[e][:3] {
			list[fill[s]] = int32(e)
			fill[s]++
		}
	}
	return start, list
}

// gather finds the elements of each patch: those round the node, then, while they
// are few, their neighbours.
func (p *Patches) gather() {
	start, round := p.around()
	corner := make([]int32, p.slots)
	p.corners = make([]patch, 0, p.slots/3)
	seen := make([]int32, len(p.slot))
	for s := range p.slots {
		list := round[start[s]:start[s+1]:start[s+1]]
		corner[s] = int32(len(p.corners))
		if len(list) == 0 {
			continue
		}
		mark := int32(len(p.corners)) + 1
		for _, e := range list {
			seen[e] = mark
		}
		for ring := 0; len(list) < leastPatch && ring < 3; ring++ {
			for _, e := range list[:len(list):len(list)] {
				for _, at := range p.slot[e][:3] {
					for _, n := range round[start[at]:start[at+1]] {
						if seen[n] != mark {
							seen[n] = mark
							list = append(list, n)
						}
					}
				}
			}
		}
		p.corners = append(p.corners, patch{slot: int32(s), at: p.at[s], elements: list})
	}
	done := make([]bool, p.slots)
	p.middles = make([][3]int32, 0, p.slots-len(p.corners))
	for e := range p.slot {
		for i := range 3 {
			if s := p.slot[e][3+i]; !done[s] {
				done[s] = true
				p.middles = append(p.middles, [3]int32{s, corner[p.slot[e][(i+1)%3]], corner[p.slot[e][(i+2)%3]]})
			}
		}
	}
}

// basis are the terms of the polynomial about the patch's node.
func (c *patch) basis(q geom.Point) [6]float64 {
	x, y := (q.X-c.at.X)*c.scale, (q.Y-c.at.Y)*c.scale
	return [6]float64{1, x, y, x * x, x * y, y * y}
}

// leastPivot is the least pivot, as a share of the diagonal, with which a term of
// the fit counts as independent of those before: the square root of it is the
// share of a term that the others do not explain at the points of the patch.
const leastPivot = 1e-4

// prepare factors the normal equations of the fit. Where the points do not carry
// a second degree (one element, or a row of them) the fit has a lower one.
func (p *Patches) prepare(c *patch) {
	far := 0.0
	for _, e := range c.elements {
		for _, q := range p.points[3*e : 3*e+3] {
			far = max(far, q.Dist(c.at))
		}
	}
	c.scale = 1 / far
	var g [6][6]float64
	for _, e := range c.elements {
		for _, q := range p.points[3*e : 3*e+3] {
			b := c.basis(q)
			for i := range 6 {
				for j := range i + 1 {
					g[i][j] += b[i] * b[j]
				}
			}
		}
	}
	for _, c.terms = range [3]int{6, 3, 1} {
		if c.factor = g; cholesky(&c.factor, c.terms) {
			return
		}
	}
}

// cholesky factors the leading n rows in place; false where a pivot is small.
func cholesky(a *[6][6]float64, n int) bool {
	for i := range n {
		d := a[i][i]
		for j := range i {
			for k := range j {
				a[i][j] -= a[i][k] * a[j][k]
			}
			a[i][j] /= a[j][j]
			a[i][i] -= a[i][j] * a[i][j]
		}
		if a[i][i] <= leastPivot*d {
			return false
		}
		a[i][i] = math.Sqrt(a[i][i])
	}
	return true
}

// Recover smooths the strains of the solution u, five unknowns a node, and
// estimates their error. free is growth in the plane by warmth, as a strain: what
// of the strain makes no stress.
func (p *Patches) Recover(u []float64, free float64) *Field {
	m := p.model
	ne := len(m.Mesh.Triangles)
	plain := make([][3]Strain, ne)
	m.Each(ne, func(e int) { _, plain[e] = m.samples(e, u, free) })
	f := &Field{Model: m, Slot: p.slot, Strains: p.polynomials(plain), Error: make([]float64, ne), Energy: make([]float64, ne)}
	m.Each(ne, func(e int) { f.Error[e], f.Energy[e] = f.compare(e, &plain[e]) })
	for s, mean := range means(p.slot, p.slots, plain) {
		for k, v := range mean {
			f.Strains[s][k] = (f.Strains[s][k] + v) / 2
		}
	}
	return f
}

// Means smooths the strains of u by the means alone, see Recover: at holes they come out
// low, and there is no estimate of their error. It takes a third of the time.
func (m *Model) Means(u []float64, free float64) *Field {
	ne := len(m.Mesh.Triangles)
	plain := make([][3]Strain, ne)
	m.Each(ne, func(e int) { _, plain[e] = m.samples(e, u, free) })
	slot, at := m.slots()
	return &Field{Model: m, Slot: slot, Strains: means(slot, len(at), plain)}
}

// Slots gives every node a slot for each face that it has elements in: by element those of
// its six nodes, and how many there are.
func (m *Model) Slots() (slot [][6]int32, count int) {
	slot, places := m.slots()
	return slot, len(places)
}

// Range is the greatest von Mises stress over the height at nodes under u, MPa, as the
// single elements have it by the straight line through their integration points: the least
// and the greatest of them by slot, of which Slots has given count. It is quicker than
// Means, and tells where stress peaks and where elements are too large for it.
func (m *Model) Range(slot [][6]int32, count int, u []float64, free float64) (least, greatest []float64) {
	at := make([][6]float64, len(m.Mesh.Triangles))
	m.Each(len(at), func(e int) {
		_, plain := m.samples(e, u, free)
		s, moduli := m.Section(e), m.Material.moduli()
		for i, l := range linesToNodes {
			var strain Strain
			for k := range plain {
				strain.add(l[k], &plain[k])
			}
			low, high := s.stress(moduli, &strain, m.ZRef, s.Z0), s.stress(moduli, &strain, m.ZRef, s.Z1)
			at[e][i] = max(low.VonMises(), high.VonMises())
		}
	})
	least, greatest = make([]float64, count), make([]float64, count)
	for s := range least {
		least[s] = math.Inf(1)
	}
	for e := range at {
		for i, s := range slot[e] {
			least[s], greatest[s] = min(least[s], at[e][i]), max(greatest[s], at[e][i])
		}
	}
	return least, greatest
}

// straight is the line through values at the points of rule3, as factors at a
// place: 1 at one of the points and 0 at the others.
func straight(r, s float64) [3]float64 {
	return [3]float64{(5 - 6*r - 6*s) / 3, (6*r - 1) / 3, (6*s - 1) / 3}
}

// linesToNodes are straight at the six nodes.
var linesToNodes = func() (at [6][3]float64) {
	for i, q := range nodePlaces {
		at[i] = straight(q.r, q.s)
	}
	return at
}()

// means are, by slot, the means over elements of the straight line through their
// strains.
func means(slot [][6]int32, slots int, plain [][3]Strain) []Strain {
	out := make([]Strain, slots)
	count := make([]float64, slots)
	at := &linesToNodes
	for e := range plain {
		for i, s := range slot[e] {
			count[s]++
			for k := range plain[e] {
				out[s].add(at[i][k], &plain[e][k])
			}
		}
	}
	for s := range out {
		for k := range out[s] {
			out[s][k] /= count[s]
		}
	}
	return out
}

// polynomials are, by slot, the values of the fits.
func (p *Patches) polynomials(plain [][3]Strain) []Strain {
	fits := make([][6]Strain, len(p.corners))
	out := make([]Strain, p.slots)
	p.model.Each(len(p.corners), func(i int) {
		fits[i] = p.fit(&p.corners[i], plain)
		out[p.corners[i].slot] = fits[i][0]
	})
	p.model.Each(len(p.middles), func(i int) {
		mid := &p.middles[i]
		q := p.at[mid[0]]
		var sum Strain
		for _, c := range mid[1:] {
			b := p.corners[c].basis(q)
			for t, v := range b {
				sum.add(v/2, &fits[c][t])
			}
		}
		out[mid[0]] = sum
	})
	return out
}

// Recover prepares patches and uses them once, for a plate that is not warmed.
func (m *Model) Recover(u []float64) *Field { return NewPatches(m).Recover(u, 0) }

// fit solves the normal equations for the eight strains; terms that the fit does
// not have are zero.
func (p *Patches) fit(c *patch, plain [][3]Strain) (out [6]Strain) {
	for _, e := range c.elements {
		for k := range rule3 {
			b := c.basis(p.points[3*int(e)+k])
			v := &plain[e][k]
			for t := range out {
				out[t].add(b[t], v)
			}
		}
	}
	for t := c.terms; t < len(out); t++ {
		out[t] = Strain{}
	}
	for r := range c.terms {
		for k := range r {
			out[r].add(-c.factor[r][k], &out[k])
		}
		out[r].scale(1 / c.factor[r][r])
	}
	for r := c.terms - 1; r >= 0; r-- {
		for k := r + 1; k < c.terms; k++ {
			out[r].add(-c.factor[k][r], &out[k])
		}
		out[r].scale(1 / c.factor[r][r])
	}
	return out
}

// add adds k times another strain, written out because most of the time of recovery is
// spent here.
func (e *Strain) add(k float64, o *Strain) {
	e[0] += k * o[0]
	e[1] += k * o[1]
	e[2] += k * o[2]
	e[3] += k * o[3]
	e[4] += k * o[4]
	e[5] += k * o[5]
	e[6] += k * o[6]
	e[7] += k * o[7]
}

func (e *Strain) scale(k float64) {
	for i := range e {
		e[i] *= k
	}
}

// compare integrates the difference between smoothed and plain strain over an
// element. The plain strain is that of the three points of integration, straight
// between: in an element with straight sides it is straight, and what the displacement
// form of shear has elsewhere carries no energy.
func (f *Field) compare(e int, plain *[3]Strain) (err, en float64) {
	m := f.Model
	x, s := m.Triangle(e), m.Section(e)
	for k := range rule6 {
		h := &shapes6[k]
		l := straight(rule6[k].r, rule6[k].s)
		var raw Strain
		for i := range plain {
			raw.add(l[i], &plain[i])
		}
		d := raw
		d.scale(-1)
		for n, slot := range f.Slot[e] {
			d.add(h.n[n], &f.Strains[slot])
		}
		w := rule6[k].w * x.jacobian(h).det
		err += w * s.energy(m.Material, &d)
		en += w * s.energy(m.Material, &raw)
	}
	return err, en
}
