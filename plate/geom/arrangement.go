package geom

import (
	"fmt"
	"math"
	"slices"
)

// The arrangement is the one machine behind every combination and offset.
//
// Oriented lines and arcs, each with a weight, are cut into pieces that are
// monotone in x and y; ends are merged into vertices; pieces are split where
// they cross or where a vertex lies on them; pieces that coincide become one,
// with their weights added, so that opposed copies vanish. What is left is a
// plane graph whose pieces meet only in vertices. The weight of a piece is how
// much the winding number on its left exceeds that on its right, in up to two
// layers (combine.go) or in any number (subdivide.go).

// prim is one input piece of the arrangement: a line, or an arc of at most a
// quarter turn that is monotone in x and y.
type prim struct {
	A, B, C Point
	R       float64
	dir     int8
	src     int32    // the edge this was cut from
	deltas  int32    // head of its list of layers in arrangement.given, for subdivisions
	d       [2]int32 // weight in each layer, for combinations
}

// piece is one edge of the arrangement, from vertex a to vertex b with a < b.
type piece struct {
	A, B, C Point
	R       float64
	dir     int8
	keep    int8 // +1 kept as it is, -1 kept reversed, 0 dropped
	used    bool
	a, b    int32
	src     int32
	d       [2]int32 // winding on the left less winding on the right, per layer
	r       [2]int32 // winding on the right, per layer
	deltas  int32    // head of the list of layers, for subdivisions
}

// delta is a weight in one of many layers; lists of them are chained by next.
type delta struct {
	layer, w, next int32
}

type split struct {
	t    float64
	v    int32
	next int32
}

// arrangement holds the buffers; it is reused from call to call.
type arrangement struct {
	vs     []Point
	slots  []int32 // open addressing: vertex number + 1, or 0
	prims  []prim
	ends   [][2]int32
	sweep  sweep
	heads  []int32 // first split of each primitive
	splits []split
	tmp    []split
	pc     []piece
	pslots []int32 // open addressing over pieces by end vertices
	given  []delta // weights of the primitives
	deltas []delta // weights of the pieces
	multi  bool    // weights are in lists of layers, not in d
	nsrc   int32
	near   float64 // distance at which an end lies on a curve, this round
	merge  float64 // distance at which two vertices are one
	cell   float64 // side of a cell of the vertex hash

	// unsettled says that this round moved pieces or made vertices whose place is
	// uncertain, so that a third curve may pass them unnoticed.
	unsettled bool

	topo topology
	ex   extractScratch
}

// reset empties the input and sets the tolerances to so many times their normal
// values.
func (r *arrangement) reset(times float64) {
	r.prims, r.given = r.prims[:0], r.given[:0]
	r.nsrc = 0
	r.near, r.merge, r.cell = times*nearCurve, times*mergeDist, times*hashCell
}

// weight is what one edge of the input weighs, and in which layer.
type weight struct {
	w     int32
	layer int32
}

// source returns the primitive common to all parts of the next edge.
func (r *arrangement) source(w weight) prim {
	p := prim{src: r.nsrc, deltas: -1}
	r.nsrc++
	if r.multi {
		r.given = append(r.given, delta{w.layer, w.w, -1})
		p.deltas = int32(len(r.given) - 1)
	} else {
		p.d[w.layer] = w.w
	}
	return p
}

// addLine appends a line; one without length does no harm.
func (r *arrangement) addLine(a, b Point, w weight) {
	p := r.source(w)
	p.A, p.B = a, b
	r.prims = append(r.prims, p)
}

// addArc appends an arc, cut at its extreme points in x and y. One whose ends lie off its circle by
// more than those of results is put back on them first, or it would cross beside its ends what
// comes to them.
func (r *arrangement) addArc(given *Edge, w weight) {
	p := r.source(w)
	e := *given
	e.seat(maxOff)
	c, rad := e.C, e.R
	sweep := e.Sweep()
	tol := r.merge / max(rad, r.merge) // an extreme point nearer than this to an end is that end
	if math.Abs(sweep) <= tol {
		p.A, p.B = e.A, e.B
		r.prims = append(r.prims, p)
		return
	}
	p.C, p.R, p.dir = c, rad, e.Dir
	ext := [4]Point{{c.X + rad, c.Y}, {c.X, c.Y + rad}, {c.X - rad, c.Y}, {c.X, c.Y - rad}}
	const q = math.Pi / 2
	a0 := math.Atan2(e.A.Y-c.Y, e.A.X-c.X)
	end := a0 + sweep
	p.A = e.A
	put := func(b Point) {
		p.B = b
		r.prims = append(r.prims, p)
		p.A = b
	}
	if e.Dir > 0 {
		for k := int(math.Floor((a0+tol)/q)) + 1; float64(k)*q < end-tol; k++ {
			put(ext[k&3])
		}
	} else {
		for k := int(math.Ceil((a0-tol)/q)) - 1; float64(k)*q > end+tol; k-- {
			put(ext[k&3])
		}
	}
	put(e.B)
}

// addContour appends every edge of a contour.
func (r *arrangement) addContour(c Contour, w weight) {
	for i := range c {
		if c[i].Dir == 0 {
			r.addLine(c[i].A, c[i].B, w)
		} else {
			r.addArc(&c[i], w)
		}
	}
}

// maxRounds bounds how often an arrangement is built again from its own pieces.
const maxRounds = 4

// build computes the pieces from the primitives. Where vertices merge, pieces
// bend by up to the merge distance, and where curves cross at a small angle the
// crossing is uncertain along them; a third curve may then pass within the
// merge distance unnoticed. So the pieces are built once more, now with those
// vertices as ends, until nothing moves.
func (r *arrangement) build() error {
	if len(r.prims) > 5*MaxEdges {
		return fmt.Errorf("%d pieces of edges in one combination, the limit is %d", len(r.prims), 5*MaxEdges)
	}
	for round := 0; ; round++ {
		r.vs = r.vs[:0]
		r.growSlots(2 * len(r.prims))
		r.unsettled = false
		r.locateEnds()
		if err := r.crossPairs(); err != nil {
			return err
		}
		r.cut()
		if !r.unsettled || round+1 == maxRounds {
			return nil
		}
		r.again()
		r.near = r.merge
	}
}

func (r *arrangement) locateEnds() {
	n := len(r.prims)
	r.ends = slices.Grow(r.ends[:0], n)[:n]
	r.sweep.reset()
	for i := range r.prims {
		p := &r.prims[i]
		a, b := r.vert(p.A), r.vert(p.B)
		r.ends[i] = [2]int32{a, b}
		p.A, p.B = r.vs[a], r.vs[b]
		r.sweep.add(min(p.A.X, p.B.X), min(p.A.Y, p.B.Y), max(p.A.X, p.B.X), max(p.A.Y, p.B.Y), r.near)
	}
}

// crossPairs splits every pair of primitives that meets.
func (r *arrangement) crossPairs() error {
	n := len(r.prims)
	r.heads = slices.Grow(r.heads[:0], n)[:n]
	for i := range r.heads {
		r.heads[i] = -1
	}
	r.splits = r.splits[:0]
	return r.sweep.run(MaxPairs, r.crossPair)
}

func (r *arrangement) crossPair(i, j int32) bool {
	p, q := &r.prims[i], &r.prims[j]
	ei, ej := r.ends[i], r.ends[j]
	for e := 0; e < 2; e++ {
		if v := ej[e]; v != ei[0] && v != ei[1] && p.near(r.vs[v], r.near) {
			r.split(i, v)
			r.unsettled = r.unsettled || p.moves(r.vs[v])
		}
		if v := ei[e]; v != ej[0] && v != ej[1] && q.near(r.vs[v], r.near) {
			r.split(j, v)
			r.unsettled = r.unsettled || q.moves(r.vs[v])
		}
	}
	var buf [2]Point
	var n int
	var flat bool
	switch {
	case p.dir == 0 && q.dir == 0:
		n, flat = crossLines(p, q, &buf)
	case p.dir == 0:
		n, flat = crossLineArc(p, q, &buf)
	case q.dir == 0:
		n, flat = crossLineArc(q, p, &buf)
	default:
		n, flat = crossArcs(p, q, &buf)
	}
	for _, x := range buf[:n] {
		r.meet(i, j, x, flat)
	}
	return true
}

// meet splits the pieces i and j at their crossing x. A crossing that merges
// with a vertex beyond an end of one piece is at that end.
func (r *arrangement) meet(i, j int32, x Point, flat bool) {
	v := r.vert(x)
	ti, endI := r.place(i, v)
	tj, endJ := r.place(j, v)
	if ti < 0 {
		v, endI = r.nearEnd(i, v), true
		tj, endJ = r.place(j, v)
	} else if tj < 0 {
		v, endJ = r.nearEnd(j, v), true
		ti, endI = r.place(i, v)
	}
	if ti < 0 && !endI || tj < 0 && !endJ || endI && endJ {
		return
	}
	p, q := &r.prims[i], &r.prims[j]
	if !endI {
		r.splitAt(i, v, ti)
	}
	if !endJ {
		r.splitAt(j, v, tj)
	}
	if !r.unsettled {
		r.unsettled = flat && !endI && !endJ || dist2(x, r.vs[v]) > settled*settled && (p.moves(r.vs[v]) || q.moves(r.vs[v]))
	}
}

// place returns where vertex v lies along piece i, or -1 if it does not lie
// between the ends, and whether it is one of the ends.
func (r *arrangement) place(i, v int32) (t float64, end bool) {
	if v == r.ends[i][0] || v == r.ends[i][1] {
		return 0, true
	}
	p := &r.prims[i]
	d := p.B.Sub(p.A)
	t = r.vs[v].Sub(p.A).Dot(d)
	if t <= 0 || t >= d.Dot(d) {
		return -1, false
	}
	return t, false
}

// nearEnd returns the end of piece i nearer to vertex v.
func (r *arrangement) nearEnd(i, v int32) int32 {
	p := &r.prims[i]
	if dist2(r.vs[v], p.A) < dist2(r.vs[v], p.B) {
		return r.ends[i][0]
	}
	return r.ends[i][1]
}

func (r *arrangement) split(i, v int32) {
	p := &r.prims[i]
	r.splitAt(i, v, r.vs[v].Sub(p.A).Dot(p.B.Sub(p.A)))
}

func (r *arrangement) splitAt(i, v int32, t float64) {
	r.splits = append(r.splits, split{t, v, r.heads[i]})
	r.heads[i] = int32(len(r.splits) - 1)
}
