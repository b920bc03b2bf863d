package shell

import (
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"platewright/fea/mesh"
)

// Options choose between equal ways to the same plate. The zero value is right.
type Options struct {
	// ZRef is the height that the unknowns u and v refer to, mm.
	ZRef float64
	// AssumedAbove is the ratio of an element's longest side to its metal's
	// thickness above which transverse shear takes the assumed form; zero means 5.
	AssumedAbove float64
	// Workers is the number of goroutines that recovery may use; zero means one per
	// processor. Results do not depend on it.
	Workers int
}

// assumedAbove is where the two forms of shear are about equally good. Measured
// on clamped and simply supported square and round plates: their errors, of
// opposite sign, are equal between 5 and 12; below, the displacement form is 3 to
// 30 times nearer, far above it locks.
const assumedAbove = 5

// Model is a mesh with its metal. It is immutable.
type Model struct {
	Mesh     *mesh.Mesh
	Material Material
	ZRef     float64
	Sections []Section // by face of the map; empty where a face holds no element
	Forms    []Shear   // by element

	workers      int
	assumedAbove float64
}

// NewModel puts the metal of the faces (metal[f] lists that of face f) on the
// elements of a mesh. Errors: a material out of range, an element in a face
// without metal, an element folded over.
func NewModel(m *mesh.Mesh, metal [][]Interval, mat Material, o Options) (*Model, error) {
	if err := mat.Check(); err != nil {
		return nil, err
	}
	out := &Model{Mesh: m, Material: mat, ZRef: o.ZRef, Sections: make([]Section, len(metal)), Forms: make([]Shear, len(m.Triangles)), workers: o.Workers, assumedAbove: o.AssumedAbove}
	if out.assumedAbove == 0 {
		out.assumedAbove = assumedAbove
	}
	if out.workers <= 0 {
		out.workers = runtime.GOMAXPROCS(0)
	}
	for e := range m.Triangles {
		f := m.Triangles[e].Face
		if int(f) >= len(metal) || len(metal[f]) == 0 {
			return nil, fmt.Errorf("shell: element %d lies in face %d, which holds no metal", e, f)
		}
		if len(out.Sections[f].Metal) == 0 {
			s, err := NewSection(metal[f], o.ZRef)
			if err != nil {
				return nil, fmt.Errorf("face %d: %w", f, err)
			}
			out.Sections[f] = s
		}
	}
	return out, out.findForms()
}

// On is the same metal on another mesh of the same map.
func (m *Model) On(x *mesh.Mesh) (*Model, error) {
	out := *m
	out.Mesh, out.Forms = x, make([]Shear, len(x.Triangles))
	return &out, out.findForms()
}

// findForms chooses the form of shear of each element; the error is that of one that is
// folded over.
func (m *Model) findForms() error {
	for e := range m.Mesh.Triangles {
		x := m.Triangle(e)
		for k := range rule3 {
			if j := x.jacobian(&shapes3[k]); !(j.det > 0) {
				return fmt.Errorf("shell: element %d at %v is folded over", e, x[0])
			}
		}
		if x.LongestSide() > m.assumedAbove*m.Section(e).T {
			m.Forms[e] = Assumed
		}
	}
	return nil
}

// Workers is the number of goroutines that Each may use.
func (m *Model) Workers() int { return m.workers }

// Triangle returns the places of the nodes of an element.
func (m *Model) Triangle(e int) Triangle {
	var x Triangle
	for i, n := range m.Mesh.Triangles[e].Node {
		x[i] = m.Mesh.Nodes[n]
	}
	return x
}

// Section returns the metal of an element.
func (m *Model) Section(e int) *Section { return &m.Sections[m.Mesh.Triangles[e].Face] }

// Stiffness writes the stiffness matrix of an element to ke; see the function of
// that name.
func (m *Model) Stiffness(e int, ke []float64) {
	x := m.Triangle(e)
	Stiffness(&x, m.Section(e), m.Material, m.Forms[e], ke)
}

// Mass writes the mass matrix of an element to me; see the function of that name.
func (m *Model) Mass(e int, me []float64) {
	x := m.Triangle(e)
	Mass(&x, m.Section(e), m.Material, me)
}

// gather copies the unknowns of an element from a vector over all nodes.
func (m *Model) gather(e int, u []float64, ue *[ElementUnknowns]float64) {
	for i, n := range m.Mesh.Triangles[e].Node {
		copy(ue[5*i:5*i+5], u[Unknowns*int(n):])
	}
}

// share is the number of elements, or the like, that a goroutine takes at a time.
const share = 256

// Each calls f for 0…n−1, by up to Options.Workers goroutines; the calls must not
// depend on each other. If one panics, so does Each.
func (m *Model) Each(n int, f func(i int)) { m.inShares(n, share, f) }

// Few is Each for a few calls that take long.
func (m *Model) Few(n int, f func(i int)) { m.inShares(n, 1, f) }

func (m *Model) inShares(n, share int, f func(i int)) {
	var next atomic.Int64
	var trouble atomic.Pointer[any]
	run := func() {
		defer func() {
			if p := recover(); p != nil {
				trouble.CompareAndSwap(nil, &p)
				next.Store(int64(n)) // the others stop too
			}
		}()
		for {
			from := int(next.Add(int64(share))) - share
			if from >= n {
				return
			}
			for i := from; i < min(from+share, n); i++ {
				f(i)
			}
		}
	}
	var wg sync.WaitGroup
	for range min(m.workers, n/share) - 1 {
		wg.Go(run)
	}
	run()
	wg.Wait()
	if p := trouble.Load(); p != nil {
		panic(*p)
	}
}
