package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// lattice is a grid in numbers. The nodes of an isogrid and an orthogrid are origin + i·e1 + j·e2. An isogrid's triangle
// (i, j, 0) has the corners (i, j), (i+1, j), (i, j+1); its triangle (i, j, 1) has (i+1, j), (i+1, j+1), (i, j+1). An
// orthogrid's rectangle (i, j, 0) has the corners (i, j), (i+1, j), (i+1, j+1), (i, j+1). All are counter-clockwise, and
// are called tiles.
//
// The families of rib centre lines run along e1, e2 and, in an isogrid, e2−e1. Their lines are named by the lattice
// coordinate that is the same at all their nodes: j, i, and i+j. A segment of a line, from node to node, is named by the
// smaller of the other coordinate of its ends: i, j, and j. A parallel field has one family and no nodes; spokes and fields
// along directions have none.
type lattice struct {
	kind    plate.GridKind
	id      plate.ID
	name    string
	origin  geom.Point
	e1, e2  geom.Point
	n1, n2  geom.Point // dual vectors: i = n1·(p − origin), j = n2·(p − origin)
	pitch   float64
	h       float64    // isogrid: height of the triangle
	step    [3]float64 // by family: distance of its lines
	along   [3]float64 // by family: distance of the nodes on one line
	in      float64    // radius of the circle inscribed in a tile of centre lines; 0 without tiles
	half    float64    // of the rib width
	fillet  float64
	widths  map[segment]float64 // half widths of ribs with one of their own
	changed map[[2]int][]int    // by family and line: the segments in widths, ascending
	bounds  geom.Shape
	edge    geom.Contour // the boundary as drawn
	free    bool         // holds over the whole plate
}

// segment names one rib of a lattice from node to node.
type segment struct{ family, line, at int }

func newLattice(g *plate.Grid) lattice {
	// The remainder first: the sine of a large angle loses its last digits. The pattern repeats every 60° or 90°, but the
	// names of its tiles do not.
	a := math.Mod(g.AngleDeg, 360) * math.Pi / 180
	l := lattice{
		kind: g.Kind, id: g.ID, name: g.Name, origin: geom.Pt(g.X, g.Y), pitch: g.Pitch, half: g.Width / 2,
		fillet: g.Fillet, free: len(g.Bounds) == 0,
	}
	p, q, turn := g.Pitch, g.Pitch, math.Pi/2
	switch g.Kind {
	case plate.Isogrid:
		turn = math.Pi / 3
		l.h = g.Pitch * math.Sqrt(3) / 2
		l.step, l.along = [3]float64{l.h, l.h, l.h}, [3]float64{p, p, p}
		l.in = l.h / 3
	case plate.Orthogrid:
		if g.PitchY > 0 {
			q = g.PitchY
		}
		l.step, l.along = [3]float64{p, q}, [3]float64{q, p}
		l.in = min(p, q) / 2
	case plate.Parallel:
		l.step[0] = p
	default:
		return l
	}
	l.e1 = geom.Pt(math.Cos(a), math.Sin(a)).Mul(q)
	l.e2 = geom.Pt(math.Cos(a+turn), math.Sin(a+turn)).Mul(p)
	det := l.e1.Cross(l.e2)
	l.n1 = geom.Pt(l.e2.Y/det, -l.e2.X/det)
	l.n2 = geom.Pt(-l.e1.Y/det, l.e1.X/det)
	return l
}

// tiled reports whether the lattice divides the plane into tiles.
func (l *lattice) tiled() bool { return l.in > 0 }

// families is the number of families of lines.
func (l *lattice) families() int {
	switch l.kind {
	case plate.Isogrid:
		return 3
	case plate.Orthogrid:
		return 2
	case plate.Parallel:
		return 1
	}
	return 0
}

// node is the lattice point (i, j).
func (l *lattice) node(i, j int) geom.Point {
	return l.origin.Add(l.e1.Mul(float64(i))).Add(l.e2.Mul(float64(j)))
}

// nearestNode is the lattice point nearest to p.
func (l *lattice) nearestNode(p geom.Point) geom.Point {
	v := p.Sub(l.origin)
	x, y := math.Floor(l.n1.Dot(v)), math.Floor(l.n2.Dot(v))
	best := l.node(int(x), int(y))
	for _, n := range [3][2]int{{1, 0}, {0, 1}, {1, 1}} {
		if q := l.node(int(x)+n[0], int(y)+n[1]); q.Dist(p) < best.Dist(p) {
			best = q
		}
	}
	return best
}

// tile names one tile of a lattice; k is 0 but for the hanging triangles of an isogrid.
type tile struct{ i, j, k int }

// locate names the tile that p lies in.
func (l *lattice) locate(p geom.Point) tile {
	v := p.Sub(l.origin)
	x, y := l.n1.Dot(v), l.n2.Dot(v)
	i, j := math.Floor(x), math.Floor(y)
	t := tile{i: int(i), j: int(j)}
	if l.kind == plate.Isogrid && x-i+y-j > 1 {
		t.k = 1
	}
	return t
}

// has reports whether the lattice has tiles with number k.
func (l *lattice) has(k int) bool { return k == 0 || k == 1 && l.kind == plate.Isogrid }

// corners are the nodes of the tile moved inwards so that its sides lie inset further in; counter-clockwise. The caller
// keeps inset below the inscribed radius.
func (l *lattice) corners(t tile, inset float64) []geom.Point {
	return l.cornersIn(new([4]geom.Point), t, inset)
}

// cornersIn is corners in the caller's memory.
func (l *lattice) cornersIn(o *[4]geom.Point, t tile, inset float64) []geom.Point {
	if l.kind == plate.Orthogrid {
		u, v := l.e1.Mul(inset/l.along[0]), l.e2.Mul(inset/l.along[1])
		*o = [4]geom.Point{
			l.node(t.i, t.j).Add(u).Add(v), l.node(t.i+1, t.j).Sub(u).Add(v),
			l.node(t.i+1, t.j+1).Sub(u).Sub(v), l.node(t.i, t.j+1).Add(u).Sub(v),
		}
		return o[:]
	}
	c := l.centre(t)
	f := 1 - inset/l.in
	if t.k == 0 {
		o[0], o[1], o[2] = l.node(t.i, t.j), l.node(t.i+1, t.j), l.node(t.i, t.j+1)
	} else {
		o[0], o[1], o[2] = l.node(t.i+1, t.j), l.node(t.i+1, t.j+1), l.node(t.i, t.j+1)
	}
	for i := range o[:3] {
		o[i] = c.Add(o[i].Sub(c).Mul(f))
	}
	return o[:3]
}

// centre is the middle of the tile.
func (l *lattice) centre(t tile) geom.Point {
	f := (1 + float64(t.k)) / 3
	if l.kind == plate.Orthogrid {
		f = 0.5
	}
	return l.origin.Add(l.e1.Mul(float64(t.i) + f)).Add(l.e2.Mul(float64(t.j) + f))
}

// outer is the radius of the circle through the furthest corners of a tile whose sides lie inset in.
func (l *lattice) outer(inset float64) float64 {
	if l.kind == plate.Orthogrid {
		return math.Hypot(l.along[0]/2-inset, l.along[1]/2-inset)
	}
	return 2 * (l.in - inset)
}

// family returns the unit direction of family m and the unit normal along which its lines are a step apart, counted from
// the origin.
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

// lineName is the name of the line that is k steps from the origin along the normal of family m.
func lineName(m int, k float64) int {
	if m > 0 {
		k = -k
	}
	return int(k)
}

// place is where along a line of family m the point at distance s from the foot of the origin lies, counted in segments:
// whole at the nodes.
func (l *lattice) place(m, line int, s float64) float64 { return s/l.along[m] + l.shift(m, line) }

// nodeAt is the inverse of place.
func (l *lattice) nodeAt(m, line int, u float64) float64 { return (u - l.shift(m, line)) * l.along[m] }

func (l *lattice) shift(m, line int) float64 {
	if l.kind != plate.Isogrid {
		return 0
	}
	if m == 2 {
		return float64(line) / 2
	}
	return -float64(line) / 2
}

// span is the range of lines of family m that come within slack of the box.
func (l *lattice) span(m int, b geom.Box, slack float64) (lo, hi float64) {
	_, n := l.family(m)
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range [4]geom.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		v := n.Dot(p.Sub(l.origin))
		lo, hi = min(lo, v), max(hi, v)
	}
	return math.Ceil((lo - slack) / l.step[m]), math.Floor((hi + slack) / l.step[m])
}

// tiles is the range of lattice coordinates of the tiles that may meet the box.
func (l *lattice) tiles(b geom.Box) (i0, i1, j0, j1 int) {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range [4]geom.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		v := p.Sub(l.origin)
		x, y := l.n1.Dot(v), l.n2.Dot(v)
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	return int(math.Floor(x0)), int(math.Floor(x1)), int(math.Floor(y0)), int(math.Floor(y1))
}

// sharpTile is the tile with its sides inset from the centre lines.
func (l *lattice) sharpTile(t tile, inset float64) geom.Contour {
	return geom.Polygon(l.corners(t, inset)...)
}

// roundedTile is the tile with its sides inset from the centre lines and corners of radius r.
func (l *lattice) roundedTile(t tile, inset, r float64) geom.Contour {
	if r <= 0 {
		return l.sharpTile(t, inset)
	}
	var buf, n [4]geom.Point // n: outward normals of side i → i+1
	c := l.cornersIn(&buf, t, inset+r)
	out := make(geom.Contour, 0, 2*len(c))
	for i := range c {
		n[i] = c[(i+1)%len(c)].Sub(c[i]).Unit().Perp().Mul(-r)
	}
	for i := range c {
		k := (i + 1) % len(c)
		a, b := c[i].Add(n[i]), c[k].Add(n[i])
		out = append(out, geom.Line(a, b), geom.Edge{A: b, B: c[k].Add(n[k]), C: c[k], R: r, Dir: 1})
	}
	return out
}

// holds reports whether the contour lies in the tile t, to within slack.
func (l *lattice) holds(t tile, c geom.Contour, slack float64) bool {
	var buf [4]geom.Point
	q := l.cornersIn(&buf, t, 0)
	for i := range q {
		n := q[(i+1)%len(q)].Sub(q[i]).Unit().Perp().Mul(-1) // outward
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
