package geom

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

// plateRanges are the ranges of the random plates, fixed in a file so that every
// oracle draws the same ones.
type plateRanges struct {
	Comment      string     `json:"comment"`
	Seed         uint64     `json:"seed"`
	Count        int        `json:"count"` // in the long run
	Quick        int        `json:"quick"` // in every run
	Degenerate   [2]int     `json:"degenerate"`
	Grid         float64    `json:"grid"`
	OffGrid      float64    `json:"off_grid"`
	Width        [2]float64 `json:"width"`
	Height       [2]float64 `json:"height"`
	CornerRadius []float64  `json:"corner_radius"`
	Rim          []float64  `json:"rim"`
	Ribs         [2]int     `json:"ribs"`
	RibHalfWidth []float64  `json:"rib_half_width"`
	Bosses       [2]int     `json:"bosses"`
	BossRadius   []float64  `json:"boss_radius"`
	Holes        [2]int     `json:"holes"`
	HoleRadius   []float64  `json:"hole_radius"`
	ArcedRibs    [2]int     `json:"arced_ribs"`
	Sagitta      float64    `json:"sagitta"`
}

func loadRanges(t testing.TB) plateRanges {
	t.Helper()
	b, err := os.ReadFile("../../testdata/geom/random_plates.json")
	if err != nil {
		t.Fatal(err)
	}
	var r plateRanges
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// randomPlate is one plate: what is inside the rim, and what stays metal there.
type randomPlate struct {
	outline, inset Contour
	metal          []Contour // ribs and bosses
	holes          []Contour
}

func (r plateRanges) plate(rg *rand.Rand) randomPlate {
	pick := func(v []float64) float64 { return v[rg.IntN(len(v))] }
	count := func(v [2]int) int { return v[0] + rg.IntN(v[1]-v[0]+1) }
	// coord returns a coordinate in [0, hi], usually on the grid.
	coord := func(hi float64) float64 {
		if rg.Float64() < r.OffGrid {
			return rg.Float64() * hi
		}
		return r.Grid * float64(rg.IntN(int(hi/r.Grid)+1))
	}
	size := func(v [2]float64) float64 { return v[0] + r.Grid*float64(rg.IntN(int((v[1]-v[0])/r.Grid)+1)) }
	w, h := size(r.Width), size(r.Height)
	point := func() Point { return Pt(coord(w), coord(h)) }
	var p randomPlate
	c, rim := pick(r.CornerRadius), pick(r.Rim)
	p.outline = RoundedRect(Pt(0, 0), Pt(w, h), c)
	p.inset = RoundedRect(Pt(rim, rim), Pt(w-rim, h-rim), c-rim)
	for range count(r.Ribs) {
		a, b := point(), point()
		if a == b {
			b.X += r.Grid
		}
		p.metal = append(p.metal, Capsule(a, b, pick(r.RibHalfWidth)))
	}
	for range count(r.ArcedRibs) {
		if e, err := ArcThrough(point(), point(), point()); err == nil && e.R < 200 && e.R > 6 {
			p.metal = append(p.metal, Stroke(e, pick(r.RibHalfWidth)))
		}
	}
	for range count(r.Bosses) {
		p.metal = append(p.metal, Circle(point(), pick(r.BossRadius)))
	}
	for range count(r.Holes) {
		p.holes = append(p.holes, Circle(point(), pick(r.HoleRadius)))
	}
	return p
}

// flattener turns contours into chords. Points where edges meet are vertices of
// the chords, so that what touches there still does.
type flattener struct {
	tol     float64
	contact []Point
	turn    float64 // of the chords, before the library sees them
}

// meetings returns a flattener for the edges of all contours.
func meetings(tol float64, cs ...Contour) (flattener, error) {
	d, err := Subdivide(shapes(cs))
	if err != nil {
		return flattener{}, err
	}
	return flattener{tol: tol, contact: d.Vertices}, nil
}

func (f flattener) chords(c Contour) []Point {
	var out []Point
	for i := range c {
		e := c[i]
		var r arrangement
		r.reset(1)
		if e.Dir == 0 {
			r.addLine(e.A, e.B, weight{w: 1})
		} else {
			r.addArc(&e, weight{w: 1}) // quarters
		}
		for _, p := range r.prims {
			out = append(out, f.piece(Edge{A: p.A, B: p.B, C: p.C, R: p.R, Dir: p.dir})...)
		}
	}
	return out
}

// piece flattens a line or an arc of at most a quarter turn, without its end.
// Both directions give the same points, so that what coincides still does.
func (f flattener) piece(e Edge) []Point {
	if e.Dir < 0 {
		out := append(f.piece(e.Reverse()), e.A)
		slices.Reverse(out)
		return out[:len(out)-1]
	}
	d := e.B.Sub(e.A)
	var stops []Point
	for _, v := range f.contact {
		if t := v.Sub(e.A).Dot(d); t > 1e-5*d.Len() && t < d.Dot(d)-1e-5*d.Len() && e.Dist(v) < settled {
			stops = append(stops, v)
		}
	}
	slices.SortFunc(stops, func(a, b Point) int { return cmp.Compare(a.Sub(e.A).Dot(d), b.Sub(e.A).Dot(d)) })
	var out []Point
	a := e.A
	for _, b := range append(stops, e.B) {
		if b == a {
			continue
		}
		g := Edge{A: a, B: b, C: e.C, R: e.R, Dir: e.Dir}
		chords := Contour{g}.Flatten(f.tol)
		if len(chords) == 1 && g.Dir != 0 {
			chords = append(chords, g.Mid()) // not to fall on a line through both ends
		}
		out = append(out, chords...)
		a = b
	}
	return out
}

func (f flattener) ring(c Contour) sf.LineString {
	pts := f.chords(c)
	co := make([]float64, 0, 2*len(pts)+2)
	for _, p := range append(pts, pts[0]) {
		if f.turn != 0 {
			p = p.Rotate(f.turn)
			p = Pt(math.Round(p.X*(1<<30))/(1<<30), math.Round(p.Y*(1<<30))/(1<<30)) // what is one point stays one
		}
		co = append(co, p.X, p.Y)
	}
	return sf.NewLineString(sf.NewSequence(co, sf.DimXY))
}

func (f flattener) shape(s Shape) sf.Geometry {
	var ps []sf.Polygon
	for _, r := range s {
		rings := []sf.LineString{f.ring(r.Outer)}
		for _, h := range r.Holes {
			rings = append(rings, f.ring(h))
		}
		ps = append(ps, sf.NewPolygon(rings))
	}
	return sf.NewMultiPolygon(ps).AsGeometry()
}

// union unites the contours in the library, one at a time: its union of many
// loses pieces of some plates.
func (f flattener) union(cs []Contour) (sf.Geometry, error) {
	gs, err := f.unite(cs)
	if err != nil || len(gs) == 0 {
		return sf.Geometry{}, err
	}
	u := gs[0]
	for _, g := range gs[1:] {
		if u, err = sfUnion(u, g); err != nil {
			return u, fmt.Errorf("%w: %w", errOutside, err)
		}
	}
	return u, nil
}

// unite unites the contours in the library as far as it can: into one geometry,
// or into several where it refuses to unite them.
func (f flattener) unite(cs []Contour) ([]sf.Geometry, error) {
	var out []sf.Geometry
	for _, c := range cs {
		// An arced rib may overlap itself, which a polygon must not.
		s, err := Union(RegionOf(c))
		if err != nil {
			return nil, err
		}
		g, done := f.shape(s), false
		for i := range out {
			if u, err := sf.Union(out[i], g); err == nil {
				out[i], done = u, true
				break
			}
		}
		if !done {
			out = append(out, g)
		}
	}
	return out, nil
}

func polygonsOf(g sf.Geometry) []sf.Polygon {
	var out []sf.Polygon
	for _, x := range g.Dump() {
		if x.Type() == sf.TypePolygon {
			out = append(out, x.MustAsPolygon())
		}
	}
	return out
}

func shapes(cs []Contour) []Shape {
	out := make([]Shape, len(cs))
	for i, c := range cs {
		out[i] = RegionOf(c)
	}
	return out
}

func arcLength(cs ...Contour) float64 {
	l := 0.0
	for _, c := range cs {
		for i := range c {
			if c[i].Dir != 0 {
				l += c[i].Length()
			}
		}
	}
	return l
}

// agree compares our shape with theirs, made of chords by f. The
// areas, and the area of the symmetric difference, may differ by ⅔ of the arcs'
// length times the sagitta (the segments between arcs and chords), 1e-9 of the
// area, and what the caller allows beyond; regions and holes larger than that must
// pair up. It returns how many smaller ones only one of the two has.
func agree(f flattener, ours Shape, theirs sf.Geometry, beyond float64) (small int, err error) {
	area := ours.Area()
	bound := 2.0/3*arcLength(ours.Contours()...)*f.tol + 1e-9*area + beyond
	if d := area - theirs.Area(); math.Abs(d) > bound {
		return 0, fmt.Errorf("area %.9g mm², the library has %.9g: differ by %.3g, bound %.3g", area, theirs.Area(), d, bound)
	}
	finer, err := meetings(f.tol/8, ours.Contours()...)
	if err != nil {
		return 0, err
	}
	finer.turn = f.turn
	if d, err := apart(finer.shape(ours), theirs); err != nil {
		return 0, err
	} else if d > bound {
		return 0, fmt.Errorf("symmetric difference %.3g mm², bound %.3g", d, bound)
	}
	small, err = pairAll(ours, polygonsOf(theirs), bound)
	if err == nil {
		return small, nil
	}
	// The library sometimes leaves what it should join as neighbours.
	var again sf.Geometry
	for i, p := range polygonsOf(theirs) {
		if i == 0 {
			again = p.AsGeometry().TransformXY(onGrid)
			continue
		}
		u, err2 := sf.Union(again, p.AsGeometry().TransformXY(onGrid))
		if err2 != nil {
			return 0, err
		}
		again = u
	}
	if n, err2 := pairAll(ours, polygonsOf(again), bound); err2 == nil {
		return n, nil
	}
	return 0, err
}

// pairAll compares the regions and holes of both; see pairUp.
func pairAll(ours Shape, theirs []sf.Polygon, bound float64) (small int, err error) {
	var us, them counted
	for _, r := range ours {
		us.regions = append(us.regions, r.Area())
		for _, h := range r.Holes {
			us.holes = append(us.holes, -h.Area())
		}
	}
	for _, p := range theirs {
		them.regions = append(them.regions, p.Area())
		for i := range p.NumInteriorRings() {
			them.holes = append(them.holes, sf.NewPolygon([]sf.LineString{p.InteriorRingN(i)}).Area())
		}
	}
	for _, k := range [2][2][]float64{{us.regions, them.regions}, {us.holes, them.holes}} {
		n, err := pairUp(k[0], k[1], bound)
		if err != nil {
			return 0, err
		}
		small += n
	}
	return small, nil
}

// counted holds the areas of what a shape consists of, without its sign.
type counted struct{ regions, holes []float64 }

// pairUp compares two lists of areas by size. One that has no partner, or whose
// partner is of another size, must be below the bound; how many have none is
// returned.
func pairUp(a, b []float64, bound float64) (single int, err error) {
	for _, s := range [2][]float64{a, b} {
		slices.SortFunc(s, func(x, y float64) int { return cmp.Compare(y, x) })
	}
	for i := range max(len(a), len(b)) {
		var x, y float64
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if math.Abs(x-y) > bound {
			return 0, countError{len(a), len(b), x, y, bound}
		}
		if i >= min(len(a), len(b)) {
			single++
		}
	}
	return single, nil
}

// apart is the area of the symmetric difference. The library tells it in four
// ways, which it sometimes refuses and sometimes gets wrong; the median is taken.
func apart(a, b sf.Geometry) (float64, error) {
	var out []float64
	x, err := sf.SymmetricDifference(a, b)
	if err == nil {
		out = append(out, x.Area())
	}
	if err != nil || x.Area() > 1e-3 {
		if x, err := sf.SymmetricDifference(a.TransformXY(onGrid), b.TransformXY(onGrid)); err == nil {
			out = append(out, x.Area())
		}
		if x, err := sf.Intersection(a, b); err == nil {
			out = append(out, a.Area()+b.Area()-2*x.Area())
		}
		x, errX := sf.Difference(a, b)
		y, errY := sf.Difference(b, a)
		if errX == nil && errY == nil {
			out = append(out, x.Area()+y.Area())
		}
	}
	if len(out) == 0 {
		return 0, fmt.Errorf("%w: %w", errOutside, err)
	}
	slices.Sort(out)
	return out[(len(out)-1)/2], nil
}

// countError says that regions or holes could not be paired: ours and theirs are
// so many, and the first pair that differs has these areas.
type countError struct {
	ours, theirs int
	x, y, bound  float64
}

func (e countError) Error() string {
	return fmt.Sprintf("%d regions or holes against the library's %d: one of %.6g mm² against %.6g, bound %.3g", e.ours, e.theirs, e.x, e.y, e.bound)
}
