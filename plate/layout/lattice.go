package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// lattice is an isogrid in numbers. Its nodes are origin + i·e1 + j·e2. The triangle (i, j, 0) has the corners (i, j),
// (i+1, j), (i, j+1); the triangle (i, j, 1) has (i+1, j), (i+1, j+1), (i, j+1). Both are counter-clockwise. The three
// families of rib centre lines run along e1, e2 and e2−e1.
type lattice struct {
	id     plate.ID
	name   string
	origin geom.Point
	e1, e2 geom.Point
	n1, n2 geom.Point // dual vectors: i = n1·(p − origin), j = n2·(p − origin)
	pitch  float64
	h      float64 // height of the triangle = distance of the lines of one family
	half   float64 // of the rib width
	bounds geom.Shape
	free   bool // holds over the whole plate
}

func newLattice(g *plate.Grid) lattice {
	// The remainder first: the sine of a large angle loses its last digits. The pattern repeats every 60°, but the
	// names of its triangles do not.
	a := math.Mod(g.AngleDeg, 360) * math.Pi / 180
	l := lattice{
		id: g.ID, name: g.Name, origin: geom.Pt(g.X, g.Y), pitch: g.Pitch, half: g.Width / 2,
		h: g.Pitch * math.Sqrt(3) / 2, free: len(g.Bounds) == 0,
	}
	l.e1 = geom.Pt(math.Cos(a), math.Sin(a)).Mul(g.Pitch)
	l.e2 = geom.Pt(math.Cos(a+math.Pi/3), math.Sin(a+math.Pi/3)).Mul(g.Pitch)
	det := l.e1.Cross(l.e2)
	l.n1 = geom.Pt(l.e2.Y/det, -l.e2.X/det)
	l.n2 = geom.Pt(-l.e1.Y/det, l.e1.X/det)
	return l
}

// node is the lattice point (i, j).
func (l *lattice) node(i, j int) geom.Point {
	return l.origin.Add(l.e1.Mul(float64(i))).Add(l.e2.Mul(float64(j)))
}

// tile names one triangle of a lattice.
type tile struct{ i, j, k int }

// locate names the triangle that p lies in.
func (l *lattice) locate(p geom.Point) tile {
	v := p.Sub(l.origin)
	x, y := l.n1.Dot(v), l.n2.Dot(v)
	i, j := math.Floor(x), math.Floor(y)
	t := tile{i: int(i), j: int(j)}
	if x-i+y-j > 1 {
		t.k = 1
	}
	return t
}

// corners are the nodes of the triangle moved inwards so that its sides lie inset further in; counter-clockwise. The
// caller keeps inset below a third of h.
func (l *lattice) corners(t tile, inset float64) [3]geom.Point {
	c := l.centre(t)
	f := 1 - inset/(l.h/3)
	var o [3]geom.Point
	if t.k == 0 {
		o = [3]geom.Point{l.node(t.i, t.j), l.node(t.i+1, t.j), l.node(t.i, t.j+1)}
	} else {
		o = [3]geom.Point{l.node(t.i+1, t.j), l.node(t.i+1, t.j+1), l.node(t.i, t.j+1)}
	}
	for i := range o {
		o[i] = c.Add(o[i].Sub(c).Mul(f))
	}
	return o
}

// centre is the middle of the triangle.
func (l *lattice) centre(t tile) geom.Point {
	f := (1 + float64(t.k)) / 3
	return l.origin.Add(l.e1.Mul(float64(t.i) + f)).Add(l.e2.Mul(float64(t.j) + f))
}

// family returns the unit direction of family m (0, 1, 2) and the unit normal along which its lines are h apart, counted
// from the origin.
func (l *lattice) family(m int) (dir, normal geom.Point) {
	switch m {
	case 0:
		dir = l.e1
	case 1:
		dir = l.e2
	default:
		dir = l.e2.Sub(l.e1)
	}
	dir = dir.Unit()
	return dir, dir.Perp()
}

// span is the range of lines of family m that come within slack of the box.
func (l *lattice) span(m int, b geom.Box, slack float64) (lo, hi float64) {
	_, n := l.family(m)
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range [4]geom.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		v := n.Dot(p.Sub(l.origin))
		lo, hi = min(lo, v), max(hi, v)
	}
	return math.Ceil((lo - slack) / l.h), math.Floor((hi + slack) / l.h)
}

// tiles is the range of lattice coordinates of the triangles that may meet the box.
func (l *lattice) tiles(b geom.Box) (i0, i1, j0, j1 int) {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range [4]geom.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		v := p.Sub(l.origin)
		x, y := l.n1.Dot(v), l.n2.Dot(v)
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	return int(math.Floor(x0)), int(math.Floor(x1)), int(math.Floor(y0)), int(math.Floor(y1))
}

// sharpTriangle is the triangle with its sides inset from the centre lines.
func (l *lattice) sharpTriangle(t tile, inset float64) geom.Contour {
	c := l.corners(t, inset)
	return geom.Polygon(c[0], c[1], c[2])
}

// roundedTriangle is the opening of sharpTriangle(t, half) by r: straight sides half from the centre lines, corners of
// radius r.
func (l *lattice) roundedTriangle(t tile, r float64) geom.Contour {
	c := l.corners(t, l.half+r)
	out := make(geom.Contour, 0, 6)
	var n [3]geom.Point // outward normals of side i → i+1
	for i := range n {
		n[i] = c[(i+1)%3].Sub(c[i]).Unit().Perp().Mul(-r)
	}
	for i := range c {
		k := (i + 1) % 3
		a, b := c[i].Add(n[i]), c[k].Add(n[i])
		out = append(out, geom.Line(a, b), geom.Edge{A: b, B: c[k].Add(n[k]), C: c[k], R: r, Dir: 1})
	}
	return out
}

// holds reports whether the contour lies in the triangle t, to within slack.
func (l *lattice) holds(t tile, c geom.Contour, slack float64) bool {
	q := l.corners(t, 0)
	for i := range q {
		n := q[(i+1)%3].Sub(q[i]).Unit().Perp().Mul(-1) // outward
		if support(c, n) > n.Dot(q[i])+slack {
			return false
		}
	}
	return true
}

// support is the largest n·p over the contour, for a unit vector n.
func support(c geom.Contour, n geom.Point) float64 {
	s := math.Inf(-1)
	for i := range c {
		e := &c[i]
		s = max(s, n.Dot(e.A))
		if !e.IsArc() {
			continue
		}
		if top := e.C.Add(n.Mul(e.R)); e.Dist(top) < 1e-9*(1+e.R) {
			s = max(s, n.Dot(top))
		}
	}
	return s
}
