package torsion

import (
	"context"
	"errors"
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/fea/sparse"
	"platewright/plate/geom"
	"platewright/plate/section"
)

// LowerBound labels the torsion constant of a section of more than one piece.
const LowerBound = "lower bound: pieces act alone"

// Result is the torsion of a section.
type Result struct {
	J      float64 // mm⁴, the sum over the pieces
	GJ     float64 // N·mm²; 0 where no modulus was given
	Label  string  // LowerBound when there is more than one piece, else empty
	Pieces []Piece
}

// Piece is the torsion of one connected piece.
type Piece struct {
	J           float64
	Area        float64
	Centroid    [2]float64 // s, z in mm
	ShearCentre [2]float64 // s, z in mm
	Warping     float64    // about the shear centre, mm⁶
	Triangles   int
}

// Options say how fine the mesh is. The zero value is the usual choice.
type Options struct {
	Across int // least number of elements across the metal, 1 to 4; 0 is 2
}

// ShearModulus is E / (2 (1 + ν)) in MPa.
func ShearModulus(young, poisson float64) float64 { return young / (2 * (1 + poisson)) }

// Of computes the torsion of a section of a plate. The shear modulus is that of the plate's material in MPa; 0 leaves GJ out.
func Of(ctx context.Context, r section.Result, shearModulus float64) (Result, error) {
	shape, err := Shape(r)
	if err != nil {
		return Result{}, err
	}
	t, err := OfShape(ctx, shape, Options{})
	if err != nil {
		return Result{}, fmt.Errorf("section %q: %w", r.Name, err)
	}
	t.GJ = t.J * shearModulus
	return t, nil
}

// Shape is the metal of a section as regions in the plane (s, z), one for each piece.
func Shape(r section.Result) (geom.Shape, error) {
	parts := make([]geom.Shape, 0, len(r.Slabs))
	for _, b := range r.Slabs {
		corners := []geom.Point{geom.Pt(b.S0, b.Bottom0), geom.Pt(b.S1, b.Bottom1), geom.Pt(b.S1, b.Top1), geom.Pt(b.S0, b.Top0)}
		var c geom.Contour
		for i, p := range corners {
			if q := corners[(i+1)%4]; p != q {
				c = append(c, geom.Line(p, q))
			}
		}
		if len(c) > 2 {
			parts = append(parts, geom.Shape{{Outer: c}})
		}
	}
	s, err := geom.Union(parts...)
	if err != nil {
		return nil, fmt.Errorf("section %q: joining its metal: %w", r.Name, err)
	}
	return s, nil
}

// OfShape computes the torsion of any shape; each of its regions is a piece. Errors: no metal, a shape that is none, the
// errors of the mesher and of the solver, and that of ctx.
func OfShape(ctx context.Context, shape geom.Shape, o Options) (Result, error) {
	if len(shape) == 0 {
		return Result{}, errors.New("torsion: there is no metal")
	}
	var r Result
	for _, region := range shape {
		p, err := ofRegion(ctx, region, o)
		if err != nil {
			return Result{}, fmt.Errorf("torsion: %w", err)
		}
		r.Pieces = append(r.Pieces, p)
		r.J += p.J
	}
	if len(r.Pieces) > 1 {
		r.Label = LowerBound
	}
	return r, nil
}

func ofRegion(ctx context.Context, region geom.Region, o Options) (Piece, error) {
	m, err := divide(ctx, region, o)
	if err != nil {
		return Piece{}, err
	}
	w := newWarping(m)
	if err := w.solve(ctx); err != nil {
		return Piece{}, err
	}
	return w.piece(), nil
}

// divide meshes one region, finer towards its inward corners, where the shear stress is unbounded.
func divide(ctx context.Context, region geom.Region, o Options) (*mesh.Mesh, error) {
	sub, err := geom.Subdivide([]geom.Shape{{region}})
	if err != nil {
		return nil, err
	}
	metal := make([]bool, len(sub.Faces))
	for f := 1; f < len(metal); f++ {
		metal[f] = len(sub.Faces[f].Layers) > 0
	}
	box := region.Box()
	// Twice the area over the perimeter is the thickness of a thin section. Elements of a third of it keep J of a rectangle within
	// 0.1 % at every ratio of its sides.
	size := min(max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)/12, 0.6*region.Area()/perimeter(region))
	sharp := inward(region)
	opt := mesh.Options{Size: size, Across: o.Across, ArcEdges: 48}
	if len(sharp) > 0 {
		opt.Field = func(p geom.Point) float64 {
			h := size
			for _, c := range sharp {
				h = min(h, 0.25*p.Dist(c.at)+c.least)
			}
			return h
		}
		opt.MinSize = max(size/4000, leastSide)
	}
	return mesh.Generate(ctx, sub, metal, opt)
}

// leastSide is the shortest side that the mesher makes, mm.
const leastSide = 1e-4

func perimeter(region geom.Region) float64 {
	sum := 0.0
	for _, c := range append([]geom.Contour{region.Outer}, region.Holes...) {
		for _, e := range c {
			sum += e.Length()
		}
	}
	return sum
}

// corner is an inward corner and the size of the elements at it.
type corner struct {
	at    geom.Point
	least float64
}

// inward lists the corners at which metal turns by more than half a turn, with an element size of a hundredth of the
// shorter of the two sides that meet there.
func inward(region geom.Region) []corner {
	var out []corner
	for _, c := range append([]geom.Contour{region.Outer}, region.Holes...) {
		for i, e := range c {
			next := c[(i+1)%len(c)]
			if e.TangentB().Cross(next.TangentA()) < -0.02 { // metal on the left: a right turn is an inward corner
				out = append(out, corner{e.B, min(e.Length(), next.Length()) / 100})
			}
		}
	}
	return out
}

// warping is the warping function of one meshed region.
type warping struct {
	m        *mesh.Mesh
	centroid geom.Point
	area     float64
	ixx, iyy float64   // ∫x², ∫y² about the centroid
	ixy      float64   // ∫xy
	omega    []float64 // at the nodes
	points   []gauss   // of all elements in turn
}

// gauss is one integration point: shape functions, their derivatives in s and z, place about the centroid, weight.
type gauss struct {
	n, dx, dy [6]float64
	x, y, w   float64
}

// perElement is the number of integration points of an element: Strang and Fix's formula of degree 5 integrates what a
// straight element needs for the stiffness exactly, and ω² (degree 4).
const perElement = 7

func newWarping(m *mesh.Mesh) *warping {
	w := &warping{m: m, points: make([]gauss, 0, perElement*len(m.Triangles))}
	var sx, sy float64
	for i := range m.Triangles {
		w.element(&m.Triangles[i])
	}
	for _, g := range w.points {
		w.area += g.w
		sx += g.w * g.x
		sy += g.w * g.y
	}
	w.centroid = geom.Pt(sx/w.area, sy/w.area)
	for i := range w.points {
		g := &w.points[i]
		g.x -= w.centroid.X
		g.y -= w.centroid.Y
		w.ixx += g.w * g.x * g.x
		w.iyy += g.w * g.y * g.y
		w.ixy += g.w * g.x * g.y
	}
	return w
}

// element appends the integration points of one element.
func (w *warping) element(t *mesh.Triangle) {
	for _, q := range rule {
		var g gauss
		n, da, db := shapes(q.a, q.b)
		var xa, xb, ya, yb float64
		for k, node := range t.Node {
			p := w.m.Nodes[node]
			g.x += n[k] * p.X
			g.y += n[k] * p.Y
			xa += da[k] * p.X
			xb += db[k] * p.X
			ya += da[k] * p.Y
			yb += db[k] * p.Y
		}
		det := xa*yb - xb*ya
		for k := range 6 {
			g.dx[k] = (da[k]*yb - db[k]*ya) / det
			g.dy[k] = (db[k]*xa - da[k]*xb) / det
		}
		g.n, g.w = n, q.w*det/2
		w.points = append(w.points, g)
	}
}

// shapes are the six shape functions and their derivatives at area coordinates 1−a−b, a, b, in the mesher's order: the
// corners, then the middles of the sides opposite to them.
func shapes(a, b float64) (n, da, db [6]float64) {
	c := 1 - a - b
	n = [6]float64{c * (2*c - 1), a * (2*a - 1), b * (2*b - 1), 4 * a * b, 4 * b * c, 4 * c * a}
	da = [6]float64{1 - 4*c, 4*a - 1, 0, 4 * b, -4 * b, 4 * (c - a)}
	db = [6]float64{1 - 4*c, 0, 4*b - 1, 4 * a, 4 * (c - b), -4 * a}
	return n, da, db
}

// rule is the seven-point formula of degree 5 on the triangle (G. Strang and G. J. Fix, An Analysis of the Finite Element
// Method, 1973; J. Radon, 1948), in closed form.
var rule = func() (q [perElement]struct{ a, b, w float64 }) {
	s := math.Sqrt(15)
	q[0] = struct{ a, b, w float64 }{1. / 3, 1. / 3, 9. / 40}
	i := 1
	for _, f := range [2]struct{ p, w float64 }{{(6 - s) / 21, (155 - s) / 1200}, {(6 + s) / 21, (155 + s) / 1200}} {
		for _, c := range [3][2]float64{{f.p, f.p}, {1 - 2*f.p, f.p}, {f.p, 1 - 2*f.p}} {
			q[i] = struct{ a, b, w float64 }{c[0], c[1], f.w}
			i++
		}
	}
	return q
}()

// solve finds ω at the nodes. It is known but for a constant, which the first node takes.
func (w *warping) solve(ctx context.Context) error {
	n := len(w.m.Nodes)
	p := sparse.Pattern{
		Positions: make([][3]float64, n), Sizes: make([]int, n),
		Elements: make([][]int32, len(w.m.Triangles)), Held: make([]bool, n),
	}
	for i, q := range w.m.Nodes {
		p.Positions[i], p.Sizes[i] = [3]float64{q.X, q.Y, 0}, 1
	}
	for i := range w.m.Triangles {
		p.Elements[i] = w.m.Triangles[i].Node[:]
	}
	p.Held[0] = true
	sym, err := sparse.Analyse(ctx, p, sparse.Options{})
	if err != nil {
		return err
	}
	f, err := sym.Factor(ctx, w.stiffness, nil, nil)
	if err != nil {
		return err
	}
	load := w.load()
	u := [][]float64{make([]float64, n)}
	if _, err := f.SolveTo(ctx, u, [][]float64{load}, nil); err != nil {
		return err
	}
	w.omega = u[0]
	return nil
}

func (w *warping) stiffness(e int, dst []float64) error {
	for _, g := range w.points[perElement*e : perElement*(e+1)] {
		for i := range 6 {
			for j := range i + 1 {
				dst[6*i+j] += g.w * (g.dx[i]*g.dx[j] + g.dy[i]*g.dy[j])
			}
		}
	}
	return nil
}

// load is ∫(y ∂N/∂x − x ∂N/∂y).
func (w *warping) load() []float64 {
	f := make([]float64, len(w.m.Nodes))
	for e := range w.m.Triangles {
		for _, g := range w.points[perElement*e : perElement*(e+1)] {
			for k, node := range w.m.Triangles[e].Node {
				f[node] += g.w * (g.y*g.dx[k] - g.x*g.dy[k])
			}
		}
	}
	return f
}

// piece gathers what the warping function says. With ω about the centroid, that about a point P is ω − y_P x + x_P y + c, and
// at the shear centre it has no first moments.
func (w *warping) piece() Piece {
	var grad, io, ixo, iyo, ioo float64
	w.eachPoint(func(g *gauss, om, ox, oy float64) {
		grad += g.w * (ox*ox + oy*oy)
		io += g.w * om
		ixo += g.w * g.x * om
		iyo += g.w * g.y * om
	})
	det := w.ixx*w.iyy - w.ixy*w.ixy
	xp := (w.ixy*ixo - w.ixx*iyo) / det
	yp := (w.iyy*ixo - w.ixy*iyo) / det
	c := -io / w.area
	w.eachPoint(func(g *gauss, om, _, _ float64) {
		about := om - yp*g.x + xp*g.y + c
		ioo += g.w * about * about
	})
	return Piece{
		J: w.ixx + w.iyy - grad, Area: w.area,
		Centroid:    [2]float64{w.centroid.X, w.centroid.Y},
		ShearCentre: [2]float64{w.centroid.X + xp, w.centroid.Y + yp},
		Warping:     ioo, Triangles: len(w.m.Triangles),
	}
}

// eachPoint calls f for each integration point with ω and its derivatives.
func (w *warping) eachPoint(f func(g *gauss, om, ox, oy float64)) {
	for e := range w.m.Triangles {
		for i := range perElement {
			g := &w.points[perElement*e+i]
			var om, ox, oy float64
			for k, node := range w.m.Triangles[e].Node {
				v := w.omega[node]
				om += g.n[k] * v
				ox += g.dx[k] * v
				oy += g.dy[k] * v
			}
			f(g, om, ox, oy)
		}
	}
}
