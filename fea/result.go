package fea

import (
	"fmt"
	"math"
	"slices"

	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/geom"
)

// Result is the analysis of load cases. It is immutable.
type Result struct {
	Model  *Model // of the stresses: elements are divided where they peak
	Mesh   MeshFacts
	Cases  []CaseResult // in the order asked
	Coarse bool         // from a coarse model, for a plate that is being dragged: never to be reported
	Notes  []string     // what the model leaves out, for wherever figures stand
}

// notes are the cautions that go with every result.
func notes() []string {
	return []string{
		"Calculated on an idealised plate: no substitute for a test where a failure could hurt someone.",
		"Floor fillets, edge chamfers and drill points are not in the live model; stress at the root of a rib is nominal.",
		"Ribs that stand on one side of a floor come out up to a fifth too stiff in twist, the more so the thicker the floor.",
	}
}

// CaseResult is one load case.
type CaseResult struct {
	Case plate.LoadCase

	// U holds the displacements, five unknowns a node; see Displacement.
	U []float64
	// Field holds the smoothed stresses.
	Field *shell.Field
	// VonMises is the smoothed equivalent stress, MPa, at the six nodes of each
	// element on the three surfaces (shell.Bottom, Middle, Top).
	VonMises [][6][3]float64
	// Excluded says for each node why its stress is no result: 0 where it is one,
	// else 1 + the index into Zones.
	Excluded []int16
	Zones    []Zone

	MaxDeflection   float64 // mm
	MaxDeflectionAt [3]float64
	MaxVonMises     float64 // MPa, of what is not left out
	MaxVonMisesAt   [3]float64
	Surface         shell.Surface
	Principal       [2]float64 // there, MPa, the greater first
	PrincipalRad    float64    // direction of the greater from x
	// ReserveProof and ReserveUltimate are proof stress and ultimate strength over
	// the greatest von Mises stress; Reserve is the one that the case's kind asks
	// for. All are +Inf where there is no stress, 0 where the strength is not known.
	ReserveProof, ReserveUltimate, Reserve float64
	LeftOut                                []LeftOut

	Stiffness []Figure // displacement of loaded places along their load

	Asked     Wrench  // what the document asks for, about the plate's middle
	Applied   Wrench  // resultant of the nodal forces, about the plate's middle
	Inertia   Wrench  // of a plate that nothing holds
	Magnitude float64 // sum of the lengths of all nodal forces, N: the scale of Imbalance
	Reactions []Reaction
	Walls     []WallForce // of every bore, hole and slot that is loaded or held
	Imbalance float64     // of loads, inertia and reactions together, as a share of Magnitude

	ErrorPercent  float64        // estimated error of the stresses in the energy norm; NaN on a coarse model, which does not find it
	Fatigue       string         // "not assessed" and why, or FatigueResult in words
	FatigueResult *FatigueResult // nil where it is not assessed
	Accuracy      sparse.Accuracy
	ContactRounds int // solutions that it took to find where bores press on pins; 0 without hinges
	Notes         []string

	model *Model
}

// Zone is metal whose stress is no result.
type Zone struct{ Why string }

// LeftOut is the greatest stress in a zone: not a stress result.
type LeftOut struct {
	At      [3]float64
	Why     string
	MPa     float64
	Surface shell.Surface
}

// Figure is a number with a name and a unit.
type Figure struct {
	Name  string
	Value float64
	Unit  string
}

// Reaction is what a support does to the plate, about the middle of the place.
type Reaction struct {
	Support plate.ID
	Name    string
	At      [3]float64
	Wrench
}

// Displacement of the point of a node at height z, mm.
func (c *CaseResult) Displacement(node int32, z float64) [3]float64 {
	v := c.U[shell.Unknowns*int(node):][:shell.Unknowns]
	d := z - c.model.Shell.ZRef
	return [3]float64{v[0] + d*v[3], v[1] + d*v[4], v[2]}
}

// Stress is the smoothed stress at node i (0 to 5) of an element at height z, MPa.
func (c *CaseResult) Stress(element, i int, z float64) shell.Stress {
	return c.Field.Stress(element, i, z)
}

// finish evaluates the displacements of a case.
func (m *Model) finish(s *solvedCase) {
	r := &s.CaseResult
	r.model = m
	if m.Coarse {
		r.Field = m.Shell.Means(r.U, s.warm)
	} else {
		r.Field = m.patches().Recover(r.U, s.warm)
	}
	r.ErrorPercent = 100 * r.Field.ErrorShare()
	m.exclude(r, s.h.holding, s.used)
	m.stresses(r)
	m.hush(r, s.size)
	m.reserves(r)
	m.fatigue(r)
}

// exclude marks the nodes near supports, loads and sharp corners. Those that are marked
// already, before elements were divided, stay as they are.
func (m *Model) exclude(r *CaseResult, h *holding, used []*loading) {
	known := len(r.Excluded)
	r.Excluded = append(slices.Clip(r.Excluded), make([]int16, len(m.Mesh.Nodes)-known)...)
	r.Zones = nil
	if m.clear <= 0 {
		return
	}
	zone := func(why string, p *place) {
		r.Zones = append(r.Zones, Zone{why})
		k := int16(len(r.Zones))
		near := p.near(m.clear)
		for i, q := range m.Mesh.Nodes[known:] {
			if n := known + i; r.Excluded[n] == 0 && near(q) {
				r.Excluded[n] = k
			}
		}
	}
	for i, p := range h.places {
		if p != nil {
			zone(fmt.Sprintf("within %.3g mm of %s at %s", m.clear, supportName(&h.supports[i]), p.name), p)
		}
	}
	for _, l := range used {
		// A load spread over an area has no edge that stress would pile up at, but
		// its own outline; over the whole plate it has none at all.
		if l.place == nil || l.place.isArea {
			continue
		}
		zone(fmt.Sprintf("within %.3g mm of %s at %s", m.clear, loadName(&l.load), l.place.name), l.place)
	}
	if len(m.corners) > 0 {
		near := m.nearCorners(known)
		r.Zones = append(r.Zones, Zone{fmt.Sprintf("within %.3g mm of a sharp inside corner", m.clear)})
		for i := range near {
			if n := known + i; near[i] && r.Excluded[n] == 0 {
				r.Excluded[n] = int16(len(r.Zones))
			}
		}
	}
}

// nearCorners marks the nodes from number first on within the clear distance of a sharp
// corner, by bins of that size.
func (m *Model) nearCorners(first int) []bool {
	type bin struct{ x, y int }
	of := func(q geom.Point) bin { return bin{int(math.Floor(q.X / m.clear)), int(math.Floor(q.Y / m.clear))} }
	bins := map[bin][]geom.Point{}
	for _, q := range m.corners {
		bins[of(q)] = append(bins[of(q)], q)
	}
	nodes := m.Mesh.Nodes[first:]
	out := make([]bool, len(nodes))
	for n, q := range nodes {
		b := of(q)
		for i := -1; i <= 1 && !out[n]; i++ {
			for j := -1; j <= 1 && !out[n]; j++ {
				for _, c := range bins[bin{b.x + i, b.y + j}] {
					if c.Dist(q) <= m.clear {
						out[n] = true
						break
					}
				}
			}
		}
	}
	return out
}

// stresses fills von Mises stresses, their maxima and the greatest deflection.
func (m *Model) stresses(r *CaseResult) {
	r.VonMises = make([][6][3]float64, len(m.Mesh.Triangles))
	const share = 256 // elements looked through at a time
	found := make([]extremes, (len(r.VonMises)+share-1)/share)
	m.Shell.Few(len(found), func(i int) {
		x := &found[i]
		x.worst = make([]place3, len(r.Zones)+1)
		for e := i * share; e < min((i+1)*share, len(r.VonMises)); e++ {
			r.Field.VonMises(e, &r.VonMises[e])
			m.lookThrough(r, e, x)
		}
	})
	all := extremes{worst: make([]place3, len(r.Zones)+1)}
	for i := range found {
		all.take(&found[i])
	}
	at := func(p *place3) [3]float64 {
		q := m.Mesh.Nodes[m.Mesh.Triangles[p.element].Node[p.node]]
		return [3]float64{q.X, q.Y, m.Shell.Section(int(p.element)).Height(p.surface)}
	}
	if p := &all.worst[0]; p.value > 0 {
		r.MaxVonMises, r.MaxVonMisesAt, r.Surface = p.value, at(p), p.surface
		r.Principal[0], r.Principal[1], r.PrincipalRad = r.Stress(int(p.element), int(p.node), r.MaxVonMisesAt[2]).Principal()
	}
	if p := &all.farthest; p.value > 0 {
		r.MaxDeflection, r.MaxDeflectionAt = math.Sqrt(p.value), at(p)
	}
	for i := range all.worst[1:] {
		if p := &all.worst[i+1]; p.value > 0 {
			r.LeftOut = append(r.LeftOut, LeftOut{at(p), r.Zones[i].Why, p.value, p.surface})
		}
	}
	kept := false
	for _, k := range r.Excluded {
		kept = kept || k == 0
	}
	if !kept {
		r.Notes = append(r.Notes, fmt.Sprintf("all metal lies within %.3g mm of supports, loads or sharp corners: there is no stress result; give a smaller distance", m.clear))
	}
}

// place3 is a place on the metal with a figure there.
type place3 struct {
	value   float64
	element int32
	node    int8 // of the element
	surface shell.Surface
}

// extremes are the greatest stress, of what counts and then of each zone left out, and the
// square of the greatest deflection. The first of equal ones is kept.
type extremes struct {
	worst    []place3
	farthest place3
}

func (x *extremes) take(o *extremes) {
	for i := range o.worst {
		if o.worst[i].value > x.worst[i].value {
			x.worst[i] = o.worst[i]
		}
	}
	if o.farthest.value > x.farthest.value {
		x.farthest = o.farthest
	}
}

// lookThrough looks for extremes in an element.
func (m *Model) lookThrough(r *CaseResult, e int, x *extremes) {
	s := m.Shell.Section(e)
	for i, n := range m.Mesh.Triangles[e].Node {
		u := r.U[shell.Unknowns*int(n):][:shell.Unknowns]
		worst := &x.worst[r.Excluded[n]]
		for f, v := range r.VonMises[e][i] {
			here := place3{v, int32(e), int8(i), shell.Surface(f)}
			if v > worst.value {
				*worst = here
			}
			up := s.Height(here.surface) - m.Shell.ZRef // as Displacement has it
			dx, dy := u[0]+up*u[3], u[1]+up*u[4]
			if here.value = dx*dx + dy*dy + u[2]*u[2]; here.value > x.farthest.value {
				x.farthest = here
			}
		}
	}
}

// hushed is the stress, MPa, up to which a case has none but rounding. size is the sum of
// the lengths of all forces, N.
func (m *Model) hushed(size float64) float64 {
	const rounding = 1e-10
	return rounding * size / (m.extent * m.Layout.Thickness) // of about the stress of all forces on the plate's longer section
}

// hush takes the rounding that is left of a case without stress, such as a free plate
// that is warmed or pulled by its own weight, for what it is: none.
func (m *Model) hush(r *CaseResult, size float64) {
	worst, least := r.MaxVonMises, m.hushed(size)
	for _, l := range r.LeftOut {
		worst = max(worst, l.MPa)
	}
	if worst > least {
		return
	}
	r.MaxVonMises, r.MaxVonMisesAt, r.Surface = 0, [3]float64{}, shell.Bottom
	r.Principal, r.PrincipalRad = [2]float64{}, 0
	r.LeftOut, r.ErrorPercent = nil, 0
	clear(r.VonMises)
	if r.MaxDeflection <= least*m.extent/m.Shell.Material.E {
		r.MaxDeflection, r.MaxDeflectionAt = 0, [3]float64{}
	}
}

// reserves compares the worst stress with the strengths of the material.
func (m *Model) reserves(r *CaseResult) {
	mat := m.Layout.Plate.Stock.Material
	over := func(strength float64) float64 {
		switch {
		case !(strength > 0):
			return 0
		case r.MaxVonMises == 0:
			return math.Inf(1)
		}
		return strength / r.MaxVonMises
	}
	r.ReserveProof, r.ReserveUltimate = over(mat.Proof), over(mat.Ultimate)
	r.Reserve = r.ReserveProof
	if r.Case.Kind == plate.Ultimate {
		r.Reserve = r.ReserveUltimate
	}
}

// react sums up what the supports do, and what is left of loads and reactions
// together. It returns the forces of each support on all unknowns.
func (m *Model) react(r *CaseResult, h *holding, s *solution) [][]float64 {
	// The forces of bonds and pins are in K·u; what they do to the plate is minus
	// their share.
	by := make([][]float64, len(h.supports))
	for i := range by {
		by[i] = m.zeros()
	}
	for i, k := range h.heldBy {
		if k > 0 {
			by[k-1][i] += s.forces[i] - s.load[i]
		}
	}
	for i := range h.bonds {
		b := &h.bonds[i]
		size := shell.Unknowns * len(b.nodes)
		ub, fb := make([]float64, size), make([]float64, size)
		for j, n := range b.nodes {
			copy(ub[shell.Unknowns*j:], s.u[shell.Unknowns*int(n):][:shell.Unknowns])
		}
		for a := range size {
			for c, v := range b.matrix[a*size:][:size] {
				fb[a] -= v * ub[c]
			}
		}
		h.onNodes(by[b.support], b.nodes, fb)
	}
	for i := range h.pins {
		p := &h.pins[i]
		f := -p.bed * p.gap(s.u)
		if s.lifted != nil {
			f += s.lifted[i]
		}
		p.push(f, by[p.support])
	}
	total := m.resultant(s.load, m.centre)
	// Loads may balance each other, so that their resultant is no measure.
	scale := sizeOf(s.load)
	for i := range h.supports {
		if h.places[i] == nil {
			continue
		}
		at := h.places[i].centre
		w := m.resultant(by[i], at)
		r.Reactions = append(r.Reactions, Reaction{h.supports[i].ID, h.supports[i].Name, at, w})
		total = total.Add(w.Move(at, m.centre))
	}
	r.Magnitude = scale
	if scale > 0 {
		r.Imbalance = total.size(m.extent) / scale
	}
	return by
}

// sizeOf is the sum of the lengths of the forces on all nodes, N.
func sizeOf(load []float64) float64 {
	sum := 0.0
	for i := 0; i < len(load); i += shell.Unknowns {
		sum += length([3]float64{load[i], load[i+1], load[i+2]})
	}
	return sum
}

// onNodes adds forces on the unknowns of an element's nodes.
func (h *holding) onNodes(sum []float64, nodes []int32, f []float64) {
	for i, n := range nodes {
		for k := range shell.Unknowns {
			u := shell.Unknowns*int(n) + k
			sum[u] += f[shell.Unknowns*i+k]
		}
	}
}

// alongLoads is the force of each load on a wall over the displacement of the wall
// along it.
func (m *Model) alongLoads(r *CaseResult, c *plate.LoadCase, used []*loading) []Figure {
	var out []Figure
	for i, l := range used {
		if l.place == nil || len(l.place.rounds) == 0 || length(l.asked.Force) == 0 {
			continue
		}
		q := m.meanOf(l.place, l.at)
		if q == nil {
			continue
		}
		v := q.motion(r.U)
		force := length(l.asked.Force)
		d := 0.0
		for k := range 3 {
			d += l.asked.Force[k] / force * v[k]
		}
		force *= c.Factor * c.Loads[i].Factor
		if d != 0 {
			out = append(out, Figure{fmt.Sprintf("%s along %s", l.place.name, loadName(&l.load)), force / d, "N/mm"})
		}
	}
	return out
}
