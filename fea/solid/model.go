package solid

import (
	"fmt"
	"math"
	"slices"

	"platewright/fea/mesh"
	"platewright/plate/layout"
)

// Interval is a piece of metal from Z0 up to Z1, mm.
type Interval struct{ Z0, Z1 float64 }

// Options say how fine the model is. The zero value is the usual choice.
type Options struct {
	// Layers is the least number of layers of prisms between two heights at which
	// metal begins or ends, 1 to 8; zero means 2. With one, shear through a floor is a
	// fifth too stiff: its stress is constant over the height there, not a parabola.
	Layers int
	// LayerHeight is the greatest height of a layer, mm; zero means a third of the
	// plate's.
	LayerHeight float64
	// MaxUnknowns is where New stops with an error; zero means 600 000, about 6 GB.
	MaxUnknowns int
	// Workers is the number of goroutines; zero means one per processor.
	Workers int
}

// maxUnknowns and sameLevel: heights closer than a thousandth of a micrometre are
// one, since they differ by rounding alone.
const (
	maxUnknowns = 600_000
	sameLevel   = 1e-6
	maxLayers   = 8   // in one gap, asked for
	maxLevels   = 400 // of the plate
)

// Element is a prism: a triangle of the plane mesh in a layer.
type Element struct {
	Node     [nodesOf]int32
	Triangle int32 // of the mesh
	Layer    int32 // between Levels[Layer] and Levels[Layer+1]
}

// Model is a mesh of prisms. It is immutable.
type Model struct {
	Mesh     *mesh.Mesh
	Material Material
	// Levels are the heights between layers, mm, from the lowest.
	Levels []float64
	// Nodes are ordered by node of the plane mesh, then by height.
	Nodes    []Vec
	Elements []Element

	o     Options
	at    []int32 // node by plane node and half layer; -1 where no metal is
	prism []int32 // element by triangle and layer; -1 where no metal is
}

// Of makes the model of a layout from a mesh of its map, such as that of its live
// model.
func Of(l *layout.Layout, m *mesh.Mesh, o Options) (*Model, error) {
	if l == nil {
		return nil, fmt.Errorf("solid: no layout to analyse")
	}
	metal := make([][]Interval, len(l.Map.Metal))
	for f, list := range l.Map.Metal {
		for _, iv := range list {
			metal[f] = append(metal[f], Interval(iv))
		}
	}
	mat := l.Plate.Stock.Material
	return New(m, metal, Material{E: mat.Young, Nu: mat.Poisson}, o)
}

// New extrudes a mesh: metal[f] lists the metal of face f of its map. Errors: a
// material or an interval out of range, an element in a face without metal, one folded
// over, more unknowns than allowed.
func New(m *mesh.Mesh, metal [][]Interval, mat Material, o Options) (*Model, error) {
	if m == nil || len(m.Triangles) == 0 {
		return nil, fmt.Errorf("solid: the mesh holds no element; check outline and windows")
	}
	if err := mat.Check(); err != nil {
		return nil, err
	}
	if o.Layers < 0 || o.Layers > maxLayers {
		return nil, fmt.Errorf("solid: %d layers between two heights; give 1 to %d, or 0 for 2", o.Layers, maxLayers)
	}
	if !(o.LayerHeight >= 0) || math.IsInf(o.LayerHeight, 0) {
		return nil, fmt.Errorf("solid: layers are at most %v mm high; give a height above zero, or 0 for a third of the plate's", o.LayerHeight)
	}
	if o.MaxUnknowns < 0 || o.Workers < 0 {
		return nil, fmt.Errorf("solid: at most %d unknowns on %d goroutines; give numbers above zero, or 0 for the usual ones", o.MaxUnknowns, o.Workers)
	}
	out := &Model{Mesh: m, Material: mat, o: o}
	if o.Layers == 0 {
		out.o.Layers = 2
	}
	if o.MaxUnknowns == 0 {
		out.o.MaxUnknowns = maxUnknowns
	}
	if err := out.findLevels(metal); err != nil {
		return nil, err
	}
	if err := out.extrude(metal); err != nil {
		return nil, err
	}
	return out, out.check()
}

// findLevels collects the heights at which metal begins or ends, and divides
// between them.
func (m *Model) findLevels(metal [][]Interval) error {
	var z []float64
	seen := make([]bool, len(metal))
	for e, t := range m.Mesh.Triangles {
		if t.Face < 0 || int(t.Face) >= len(metal) || len(metal[t.Face]) == 0 {
			return fmt.Errorf("solid: element %d lies in face %d, which holds no metal", e, t.Face)
		}
		if seen[t.Face] {
			continue
		}
		seen[t.Face] = true
		for _, iv := range metal[t.Face] {
			if math.IsInf(iv.Z0, 0) || math.IsInf(iv.Z1, 0) || !(iv.Z1-iv.Z0 > 2*sameLevel) {
				return fmt.Errorf("solid: the metal of face %d goes from %v to %v mm; give a height above zero", t.Face, iv.Z0, iv.Z1)
			}
			z = append(z, iv.Z0, iv.Z1)
		}
	}
	slices.Sort(z)
	height := m.o.LayerHeight
	if height == 0 {
		height = (z[len(z)-1] - z[0]) / 3
	}
	for _, v := range z {
		n := len(m.Levels)
		if n > 0 && v-m.Levels[n-1] <= sameLevel {
			continue
		}
		if n > 0 {
			low := m.Levels[n-1]
			parts := max(float64(m.o.Layers), math.Ceil((v-low)/height-sameLevel))
			if parts+float64(n) > maxLevels {
				return fmt.Errorf("solid: the plate would have more than %d layers; allow higher ones", maxLevels)
			}
			for k := 1.0; k < parts; k++ {
				m.Levels = append(m.Levels, low+(v-low)*k/parts)
			}
		}
		m.Levels = append(m.Levels, v)
	}
	if grid := len(m.Mesh.Nodes) * len(m.Levels); grid > 10*m.o.MaxUnknowns {
		return fmt.Errorf("solid: %d nodes of the plane at %d heights are too many; use larger elements", len(m.Mesh.Nodes), len(m.Levels))
	}
	return nil
}

// layers is the number of layers, half of its double the rows of nodes less one.
func (m *Model) layers() int { return len(m.Levels) - 1 }

// extrude makes prisms where the metal is, and numbers the nodes that they use.
func (m *Model) extrude(metal [][]Interval) error {
	layers := m.layers()
	rows := 2*layers + 1
	m.at = make([]int32, rows*len(m.Mesh.Nodes))
	m.prism = make([]int32, layers*len(m.Mesh.Triangles))
	for e := range m.Mesh.Triangles {
		t := &m.Mesh.Triangles[e]
		for k := range layers {
			m.prism[e*layers+k] = -1
			mid := (m.Levels[k] + m.Levels[k+1]) / 2
			if !slices.ContainsFunc(metal[t.Face], func(iv Interval) bool { return iv.Z0 < mid && mid < iv.Z1 }) {
				continue
			}
			m.prism[e*layers+k] = int32(len(m.Elements))
			m.Elements = append(m.Elements, Element{Triangle: int32(e), Layer: int32(k)})
			for _, n := range t.Node {
				for h := range 3 {
					m.at[int(n)*rows+2*k+h] = 1
				}
			}
		}
	}
	count := 0
	for _, used := range m.at {
		count += int(used)
	}
	if 3*count > m.o.MaxUnknowns {
		return &SizeError{3 * count, m.o.MaxUnknowns}
	}
	for i, used := range m.at {
		if used == 0 {
			m.at[i] = -1
			continue
		}
		m.at[i] = int32(len(m.Nodes))
		p, k := m.Mesh.Nodes[i/rows], i%rows
		z := m.Levels[k/2]
		if k%2 == 1 {
			z = (z + m.Levels[k/2+1]) / 2
		}
		m.Nodes = append(m.Nodes, Vec{p.X, p.Y, z})
	}
	for i := range m.Elements {
		el := &m.Elements[i]
		for j, n := range m.Mesh.Triangles[el.Triangle].Node {
			for h := range 3 {
				el.Node[6*h+j] = m.at[int(n)*rows+2*int(el.Layer)+h]
			}
		}
	}
	return nil
}

// check refuses folded elements.
func (m *Model) check() error {
	var g [nodesOf]Vec
	for e := range m.Elements {
		x := m.Prism(e)
		for k := range shapes {
			if !(x.slopes(&shapes[k], &g) > 0) {
				return fmt.Errorf("solid: element %d at (%.4g, %.4g, %.4g) is folded over; check the mesh", e, x[0][0], x[0][1], x[0][2])
			}
		}
	}
	return nil
}

// Prism returns the places of the nodes of an element.
func (m *Model) Prism(e int) Prism {
	var x Prism
	for i, n := range m.Elements[e].Node {
		x[i] = m.Nodes[n]
	}
	return x
}

// Unknowns is their number: three a node, unknown c of node n is 3n+c.
func (m *Model) Unknowns() int { return 3 * len(m.Nodes) }

// Volume is that of all elements, mm³.
func (m *Model) Volume() float64 {
	v := 0.0
	for e := range m.Elements {
		x := m.Prism(e)
		v += x.Volume()
	}
	return v
}

// SizeError says that a model would have more unknowns than are allowed.
type SizeError struct{ Unknowns, Allowed int }

func (e *SizeError) Error() string {
	return fmt.Sprintf("solid: the model would have %d unknowns, more than the %d allowed; use larger elements or fewer layers", e.Unknowns, e.Allowed)
}
