package verify

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate/geom"
)

// aluminium of the cases that leave the material open.
var aluminium = shell.Material{E: 70000, Nu: 0.3, Density: 2700}

// bending is the plate stiffness D = E t³/12(1 − ν²).
func bending(m shell.Material, t float64) float64 { return m.E * t * t * t / 12 / (1 - m.Nu*m.Nu) }

// grid maps the unit square, divided into nx × ny pairs of triangles, by at; middle nodes are mapped too. The face of a
// triangle is face of its middle; nil means 0. A map that turns the plane over has its triangles turned back.
func grid(nx, ny int, at func(a, b float64) geom.Point, face func(a, b float64) int32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 2*nx + 1 {
		for j := range 2*ny + 1 {
			m.Nodes = append(m.Nodes, at(float64(i)/float64(2*nx), float64(j)/float64(2*ny)))
		}
	}
	node := func(i, j int) int32 { return int32(i*(2*ny+1) + j) }
	add := func(c [3][2]int) {
		var t mesh.Triangle
		var a, b float64
		for k, p := range c {
			t.Node[k] = node(p[0], p[1])
			q, r := c[(k+1)%3], c[(k+2)%3]
			t.Node[3+k] = node((q[0]+r[0])/2, (q[1]+r[1])/2)
			a += float64(p[0]) / float64(6*nx)
			b += float64(p[1]) / float64(6*ny)
		}
		if face != nil {
			t.Face = face(a, b)
		}
		n := &t.Node
		if p := m.Nodes; p[n[1]].Sub(p[n[0]]).Cross(p[n[2]].Sub(p[n[0]])) < 0 {
			n[1], n[2], n[4], n[5] = n[2], n[1], n[5], n[4]
		}
		m.Triangles = append(m.Triangles, t)
	}
	for i := 0; i < 2*nx; i += 2 {
		for j := 0; j < 2*ny; j += 2 {
			p, q, r, s := [2]int{i, j}, [2]int{i + 2, j}, [2]int{i + 2, j + 2}, [2]int{i, j + 2}
			if (i+j)/2%2 == 0 {
				add([3][2]int{p, q, r})
				add([3][2]int{p, r, s})
			} else {
				add([3][2]int{p, q, s})
				add([3][2]int{q, r, s})
			}
		}
	}
	return m
}

func rectangle(lx, ly float64) func(a, b float64) geom.Point {
	return func(a, b float64) geom.Point { return geom.Pt(lx*a, ly*b) }
}

// quarterRing is a mesh, by the program's own mesher, of a quarter of the area between two circles about the origin;
// r0 0 means a disc.
func quarterRing(ctx context.Context, r0, r1, size float64, arcs int) (*mesh.Mesh, error) {
	o := geom.Pt(0, 0)
	c := geom.Contour{geom.Arc(geom.Pt(r1, 0), geom.Pt(0, r1), o, 1), geom.Line(geom.Pt(0, r1), geom.Pt(0, r0))}
	if r0 > 0 {
		c = append(c, geom.Arc(geom.Pt(0, r0), geom.Pt(r0, 0), o, -1))
	}
	c = append(c, geom.Line(geom.Pt(r0, 0), geom.Pt(r1, 0)))
	sub, err := geom.Subdivide([]geom.Shape{geom.RegionOf(c)})
	if err != nil {
		return nil, err
	}
	return mesh.Generate(ctx, sub, []bool{false, true}, mesh.Options{Size: size, ArcEdges: arcs})
}

// body is a shell model with its loads.
type body struct {
	*shell.Model
	f []float64
}

// sheet is a model of one thickness all over, from z 0 to t, referred to its middle.
func sheet(m *mesh.Mesh, t float64, mat shell.Material) (*body, error) {
	faces := int32(0)
	for _, tr := range m.Triangles {
		faces = max(faces, tr.Face)
	}
	metal := make([][]shell.Interval, faces+1)
	for i := range metal {
		metal[i] = []shell.Interval{{Z0: 0, Z1: t}}
	}
	return newBody(m, metal, mat, t/2)
}

func newBody(m *mesh.Mesh, metal [][]shell.Interval, mat shell.Material, zRef float64) (*body, error) {
	md, err := shell.NewModel(m, metal, mat, shell.Options{ZRef: zRef})
	if err != nil {
		return nil, err
	}
	return &body{md, make([]float64, shell.Unknowns*len(m.Nodes))}, nil
}

// pressure adds q along z on every element.
func (b *body) pressure(q float64) {
	for e := range b.Mesh.Triangles {
		b.AddArea(e, b.ZRef, func(geom.Point) shell.Vector { return shell.Vector{0, 0, q} }, b.f)
	}
}

// edge adds forces per length at the reference plane on every side of an element that lies where says.
func (b *body) edge(where func(geom.Point) bool, force func(shell.SidePoint) shell.Vector) {
	p := b.Mesh.Nodes
	for _, tr := range b.Mesh.Triangles {
		for k := range 3 {
			n := [3]int32{tr.Node[(k+1)%3], tr.Node[(k+2)%3], tr.Node[3+k]}
			if where(p[n[0]]) && where(p[n[1]]) && where(p[n[2]]) {
				b.AddSide(n, b.ZRef, force, b.f)
			}
		}
	}
}

// hold says which unknowns of a node are held at zero: u, v, w and two tilts.
type hold func(p geom.Point) [shell.Unknowns]bool

// flat holds besides the given what a load in the plane does not move.
func flat(u, v bool) [shell.Unknowns]bool { return [shell.Unknowns]bool{u, v, true, true, true} }

var clamped = [shell.Unknowns]bool{true, true, true, true, true}

// solve returns all unknowns under each of the loads.
func (b *body) solve(ctx context.Context, held hold, loads ...[]float64) ([][]float64, error) {
	var marks []bool
	for _, q := range b.Mesh.Nodes {
		h := held(q)
		marks = append(marks, h[:]...)
	}
	f, err := b.Factor(ctx, marks, sparse.Options{}, nil)
	if err != nil {
		return nil, err
	}
	u := make([][]float64, len(loads))
	for i := range u {
		u[i] = make([]float64, len(b.f))
	}
	_, err = f.SolveTo(ctx, u, loads, nil)
	return u, err
}

// deflection solves and returns one unknown of the node nearest to a place.
func (b *body) deflection(ctx context.Context, held hold, at geom.Point, unknown int) (float64, error) {
	u, err := b.solve(ctx, held, b.f)
	if err != nil {
		return 0, err
	}
	return u[0][shell.Unknowns*b.nodeAt(at)+unknown], nil
}

func (b *body) nodeAt(p geom.Point) int {
	best := 0
	for i, q := range b.Mesh.Nodes {
		if q.Dist(p) < b.Mesh.Nodes[best].Dist(p) {
			best = i
		}
	}
	return best
}

// stressAt is the smoothed stress in the reference plane at the node nearest to a place.
func (b *body) stressAt(f *shell.Field, p geom.Point) (shell.Stress, error) {
	n := int32(b.nodeAt(p))
	for e, tr := range b.Mesh.Triangles {
		for i, k := range tr.Node {
			if k == n {
				return f.Stress(e, i, b.ZRef), nil
			}
		}
	}
	return shell.Stress{}, fmt.Errorf("no element at (%g, %g)", p.X, p.Y)
}

func on(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// symmetric holds a quarter of a plate by its symmetry about x = 0 and y = 0.
func symmetric(p geom.Point, h [shell.Unknowns]bool) [shell.Unknowns]bool {
	if on(p.X, 0) {
		h[0], h[3] = true, true
	}
	if on(p.Y, 0) {
		h[1], h[4] = true, true
	}
	return h
}
