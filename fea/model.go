package fea

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Options say how fine the model is and what is asked of it. The zero value is the
// usual choice.
type Options struct {
	// Size is the largest side of an element, mm. Zero means 3.5 times the thinnest
	// floor, within 1/120 and 1/25 of the plate's longer side.
	Size float64
	// Across is the least number of elements across a rib, 1 to 4; zero means 2, and 1 in
	// large plates.
	Across int
	// ArcEdges is the number of element sides round a bore, and round a hole that
	// carries a load or a support, 8 to 64; zero means 24, and 12 in large plates.
	ArcEdges int
	// Clear is how far from an idealised support or load and from a sharp inside
	// corner stress is left out of maxima, mm; zero means the plate's thickness, and
	// a negative number leaves nothing out.
	Clear float64
	// Coarse makes a quick model with elements as large as a rib is wide, marked so in
	// the result. It is for a plate that is being dragged.
	Coarse bool
	// From, if not nil, is a coarse model of the plate before the last step of a drag:
	// where the map has kept its topology a coarse model moves that mesh with the map
	// (see mesh.Follow) instead of making one.
	From *Model
	// Workers is the number of goroutines; zero means one per processor.
	Workers int
	// Buffers, if not nil, keeps memory from one analysis to the next.
	Buffers *sparse.Buffers

	even  bool // elements are not divided where stress peaks
	light bool // a large plate, but for Across
}

func (o Options) check() error {
	bad := func(what string, v float64, give string) error {
		return fmt.Errorf("fea: %s is %v; give %s", what, v, give)
	}
	switch {
	case !(o.Size >= 0) || math.IsInf(o.Size, 0):
		return bad("the largest side of an element", o.Size, "a length above zero, or zero for the usual one")
	case o.Across < 0 || o.Across > 4:
		return bad("the number of elements across a rib", float64(o.Across), "1 to 4, or 0 for the usual number")
	case o.ArcEdges != 0 && (o.ArcEdges < 8 || o.ArcEdges > 64):
		return bad("the number of sides round a loaded bore", float64(o.ArcEdges), "8 to 64, or 0 for the usual number")
	case math.IsNaN(o.Clear) || math.IsInf(o.Clear, 0):
		return bad("the distance left out at supports and loads", o.Clear, "a length, or 0 for the thickness")
	}
	return nil
}

// Model is a plate ready to be loaded: mesh, elements and what recovery of
// stresses needs. It is immutable and may serve any number of analyses.
type Model struct {
	Layout *layout.Layout
	Mesh   *mesh.Mesh
	Shell  *shell.Model
	Coarse bool // made with Options.Coarse

	o       Options
	large   bool                  // of the fineness of that name
	whole   *Model                // see Whole; nil if elements were not divided
	patches func() *shell.Patches // made at the first call
	clear   float64
	extent  float64    // the longer side of the plate, mm
	centre  [3]float64 // middle of the plate
	mass    float64    // of the mesh, kg
	corners []geom.Point
	metal   []bool // by face
	buffers *sparse.Buffers
	orders  *orders // of a coarse model and those that follow it
}

// NewModel meshes a layout and makes its elements. Bores and holes that carry
// loads or supports in the document get a finer ring of elements.
func NewModel(ctx context.Context, l *layout.Layout, o Options) (*Model, error) {
	if l == nil {
		return nil, fmt.Errorf("fea: no layout to analyse")
	}
	if err := o.check(); err != nil {
		return nil, err
	}
	mat := l.Plate.Stock.Material
	elastic := shell.Material{E: mat.Young, Nu: mat.Poisson, Density: mat.Density}
	if err := elastic.Check(); err != nil {
		return nil, fmt.Errorf("fea: material %s %s: %w", mat.Alloy, mat.Temper, err)
	}
	metal := make([]bool, len(l.Map.Metal))
	intervals := make([][]shell.Interval, len(l.Map.Metal))
	some, thinnest := false, l.Thickness
	for f, list := range l.Map.Metal {
		for _, iv := range list {
			intervals[f] = append(intervals[f], shell.Interval{Z0: iv.Z0, Z1: iv.Z1})
			thinnest = min(thinnest, iv.Z1-iv.Z0)
		}
		metal[f] = len(list) > 0
		some = some || metal[f]
	}
	if !some {
		return nil, fmt.Errorf("fea: the plate has no metal to analyse; check outline and windows")
	}
	box := l.Outline.Box()
	m := &Model{
		Layout: l, Coarse: o.Coarse, o: o, buffers: o.Buffers,
		extent: max(box.Width(), box.Height()),
		centre: [3]float64{box.Center().X, box.Center().Y, l.Thickness / 2},
	}
	if m.buffers == nil {
		m.buffers = &sparse.Buffers{}
	}
	m.clear = o.Clear
	if o.Clear == 0 {
		m.clear = l.Thickness
	}
	m.metal = metal
	if err := m.divide(ctx, thinnest); err != nil {
		return nil, fmt.Errorf("fea: the plate cannot be divided into elements: %w", err)
	}
	var err error
	m.Shell, err = shell.NewModel(m.Mesh, intervals, elastic, shell.Options{ZRef: l.Thickness / 2, Workers: m.o.Workers})
	if err != nil {
		return nil, fmt.Errorf("fea: %w", err)
	}
	m.patches = m.patchesOnce()
	for e := range m.Mesh.Triangles {
		x := m.Shell.Triangle(e)
		m.mass += x.Area() * m.Shell.Section(e).T * mat.Density * 1e-9
	}
	m.corners = m.sharpCorners()
	return m, nil
}

// Whole is the model before its elements were divided where stress peaks, by which
// displacements are found; the model itself if they were not.
func (m *Model) Whole() *Model {
	if m.whole != nil {
		return m.whole
	}
	return m
}

// patchesOnce is what recovery of stresses needs, made at the first call.
func (m *Model) patchesOnce() func() *shell.Patches {
	return sync.OnceValue(func() *shell.Patches { return shell.NewPatches(m.Shell) })
}

// divide finds the mesh.
func (m *Model) divide(ctx context.Context, thinnest float64) error {
	from := m.o.From
	m.o.From = nil // a drag must not keep all of its models
	if m.Coarse && from != nil && from.Coarse && slices.Equal(from.metal, m.metal) {
		var ok bool
		if m.Mesh, ok = from.Mesh.Follow(m.Layout.Map.Subdivision); ok {
			m.orders = from.orders
			return nil
		}
	}
	if m.Coarse {
		m.orders = &orders{}
	}
	how := usual
	switch {
	case m.Coarse:
		how = coarse
	case m.o.light || m.o.Size == 0 && m.o.Across == 0 && m.o.ArcEdges == 0:
		how = large
	}
	var err error
	for {
		m.large = how == large
		m.Mesh, err = mesh.Generate(ctx, m.Layout.Map.Subdivision, m.metal, m.meshOptions(how, thinnest))
		if err != nil || !m.large || m.o.light || len(m.Mesh.Triangles) > fewElements && m.chordError() < mostChordError {
			return err
		}
		how = usual
	}
}

// mostChordError is the share of the metal up to which a large plate's long sides may
// miss its arcs: usually they do by some 1 in 10,000, but beside walls thinner than an arc is
// high over its side, sides stay straight.
const mostChordError = 3e-3

// chordError is the share of the metal by which the mesh may miss it: what lies between arcs
// and the sides on them.
func (m *Model) chordError() float64 {
	missed, all := 0.0, 0.0
	for _, a := range m.Mesh.Quality.Areas {
		t := m.metalHeight(a.Face)
		missed, all = missed+t*a.ChordError, all+t*a.Map
	}
	return missed / all
}

// fineness is how fine a mesh is.
type fineness struct {
	across int // elements across a rib

	// Sides of elements round a full turn: of an inside corner of a floor; of the edge of an
	// opening or the outline; of a hole that carries nothing; of a bore, and of a hole that
	// carries a load.
	corner, edge, hole, loaded int

	grading, angle float64 // the least angle of elements where the layout allows it, rad
}

// The usual fineness serves all plates but those with many elements: the deflections of
// samples are within 0.1 to 0.3 % of a mesh with four times the elements. Large plates do
// with two thirds to half of the elements, and come out 0.2 to 0.8 % too stiff; in twist a
// panel with slender ribs and few elements would by 3 %, which is why small plates keep the
// usual one. Where stress peaks elements of both are divided, see peakEdges. Grading is
// quicker than the mesher's own, since the sizes asked for already follow the metal.
//
// With a coarse mesh, for drags, deflections of the samples are within 1 % of the fine ones,
// and stresses up to a sixth below, as peaks are not divided; 8 sides round corners take
// half as many elements again. Where a wall beside a round is thinner than the height of a side over its
// chord, the side stays straight: the heaviest of 400 hard layouts came out 1.8 % off.
var (
	usual  = fineness{across: 2, corner: 8, edge: 18, hole: 16, loaded: 24, grading: 1, angle: leastAngle}
	large  = fineness{across: 1, corner: 5, edge: 14, hole: 10, loaded: 12, grading: 1.5, angle: leastAngle}
	coarse = fineness{across: 1, corner: 5, edge: 8, hole: 8, loaded: 8, grading: 2, angle: coarseAngle}
)

// fewElements is the number of elements of a large plate up to which it is no such plate.
const fewElements = 4000

// coarseAngle is the least angle of a coarse mesh, rad.
const coarseAngle = 20 * math.Pi / 180

// leastAngle of elements where the layout allows it, rad. A smaller one than the
// mesher's own saves a twentieth of the elements, and changes displacements by less
// than 1 in 10,000.
const leastAngle = 25 * math.Pi / 180

// leastSliver is the width of metal, mm, below which a strip is meshed as it is: two
// elements across a ledge of some hundredths, where the edges of a top and a bottom
// pocket nearly meet, would cost more than the rest of the plate.
const leastSliver = 0.4

// meshOptions choose the size of the elements: floors no longer than 3.5
// thicknesses where that does not ask for a mesh without end.
func (m *Model) meshOptions(how fineness, thinnest float64) mesh.Options {
	o := mesh.Options{Size: m.o.Size, Across: how.across, ArcEdges: how.corner, Grading: how.grading, MinAngle: how.angle}
	if o.Size == 0 {
		o.Size = min(m.extent/25, max(3.5*thinnest, m.extent/120))
	}
	o.MinSize = min(o.Size/10, leastSliver)
	if m.Coarse {
		o.Size = max(o.Size, m.extent/20)
	} else {
		o.Across = cmp.Or(m.o.Across, how.across)
		how.loaded = cmp.Or(m.o.ArcEdges, how.loaded)
	}
	o.Single = make([]bool, len(m.metal))
	for f, metal := range m.Layout.Map.Metal {
		o.Single[f] = len(metal) > 1 // a groove's ring is no rib: it bends with the wall that it is cut into
	}
	busy := m.busyFeatures()
	o.Arcs = make([]int, len(m.Layout.Map.Edges))
	for i := range m.Layout.Map.Edges {
		sub := &m.Layout.Map.Edges[i]
		e := sub.Edge
		if !e.IsArc() {
			continue
		}
		if m.metalHeight(sub.Left) == 0 || m.metalHeight(sub.Right) == 0 {
			o.Arcs[i] = max(o.Arcs[i], how.edge)
		}
		for k := range m.Layout.Cuts {
			c := &m.Layout.Cuts[k]
			if c.Diameter > 0 && e.C.Dist(c.Center) < onWall && math.Abs(e.R-c.Diameter/2) < onWall {
				o.Arcs[i] = max(o.Arcs[i], how.hole)
				if busy[c.Feature] || c.Kind == layout.CutBore {
					o.Arcs[i] = max(o.Arcs[i], how.loaded)
				}
			}
		}
	}
	return o
}

// busyFeatures are those that carry loads or supports.
func (m *Model) busyFeatures() map[plate.ID]bool {
	ids := map[plate.ID]bool{}
	for _, s := range m.Layout.Plate.Supports {
		ids[s.On.Feature] = true
	}
	for _, l := range m.Layout.Plate.Loads {
		ids[l.On.Feature] = true
	}
	delete(ids, 0)
	return ids
}

// sharpTurn is from where a corner counts as sharp: 20°. Where arcs run into lines
// the turn is zero but for rounding.
const sharpTurn = 20 * math.Pi / 180

// sharpCorners are the inside corners of the metal without a radius, towards an
// opening or thinner metal: stress has no value there.
func (m *Model) sharpCorners() []geom.Point {
	var out []geom.Point
	for f := range m.Layout.Map.Faces {
		t := m.metalHeight(int32(f))
		if t == 0 {
			continue
		}
		for _, c := range m.Layout.Map.Faces[f].Contours() {
			for i := range c {
				next := c[(i+1)%len(c)]
				in, away := c[i].TangentB(), next.TangentA()
				// The face is on the left: the metal reaches more than half round
				// the corner where its boundary turns right.
				if turn := math.Atan2(in.Cross(away), in.Dot(away)); turn > -sharpTurn || len(c) == 1 {
					continue
				}
				beyond := c[i].B.Sub(in.Add(away).Perp().Unit().Mul(10 * onWall))
				if m.metalHeight(m.Layout.Map.Locate(beyond)) < t {
					out = append(out, c[i].B)
				}
			}
		}
	}
	return out
}

func (m *Model) metalHeight(f int32) float64 {
	t := 0.0
	for _, iv := range m.Layout.Map.Metal[f] {
		t += iv.Z1 - iv.Z0
	}
	return t
}

// pattern is that of all triangles; supports add their elements.
func (m *Model) pattern() sparse.Pattern {
	p := sparse.Pattern{
		Positions: make([][3]float64, len(m.Mesh.Nodes)),
		Sizes:     make([]int, len(m.Mesh.Nodes)),
		Elements:  make([][]int32, len(m.Mesh.Triangles)),
		Held:      make([]bool, shell.Unknowns*len(m.Mesh.Nodes)),
	}
	for i, q := range m.Mesh.Nodes {
		p.Positions[i] = [3]float64{q.X, q.Y}
		p.Sizes[i] = shell.Unknowns
	}
	for e := range p.Elements {
		p.Elements[e] = m.Mesh.Triangles[e].Node[:]
	}
	return p
}

func (m *Model) zeros() []float64 { return make([]float64, shell.Unknowns*len(m.Mesh.Nodes)) }
