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
	Count        int        `json:"count"`
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
}

// meetings returns a flattener for the edges of all contours.
func meetings(t *testing.T, tol float64, cs ...Contour) flattener {
	t.Helper()
	d, err := Subdivide(shapes(cs))
	if err != nil {
		t.Fatal(err)
	}
	return flattener{tol, d.Vertices}
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
func (f flattener) piece(e Edge) []Point {
	d := e.B.Sub(e.A)
	var stops []Point
	for _, v := range f.contact {
		if t := v.Sub(e.A).Dot(d); t > 1e-5*d.Len() && t < d.Dot(d)-1e-5*d.Len() && e.Dist(v) < mergeDist {
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
		out = append(out, Contour{{A: a, B: b, C: e.C, R: e.R, Dir: e.Dir}}.Flatten(f.tol)...)
		a = b
	}
	return out
}

func sfRing(pts []Point) sf.LineString {
	co := make([]float64, 0, 2*len(pts)+2)
	for _, p := range append(pts, pts[0]) {
		co = append(co, p.X, p.Y)
	}
	return sf.NewLineString(sf.NewSequence(co, sf.DimXY))
}

func (f flattener) shape(s Shape) sf.Geometry {
	var ps []sf.Polygon
	for _, r := range s {
		rings := []sf.LineString{sfRing(f.chords(r.Outer))}
		for _, h := range r.Holes {
			rings = append(rings, sfRing(f.chords(h)))
		}
		ps = append(ps, sf.NewPolygon(rings))
	}
	return sf.NewMultiPolygon(ps).AsGeometry()
}

func (f flattener) union(t *testing.T, cs []Contour) sf.Geometry {
	t.Helper()
	// One at a time: the library's union of many loses pieces of some plates.
	var u sf.Geometry
	for i, c := range cs {
		// An arced rib may overlap itself, which a polygon must not.
		g := f.shape(must(Union(RegionOf(c))))
		if i == 0 {
			u = g
			continue
		}
		var err error
		if u, err = sf.Union(u, g); err != nil {
			t.Fatalf("outside library: %v", err)
		}
	}
	return u
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

// agree compares our shape with theirs, made of chords of the given sagitta. The
// areas, and the area of the symmetric difference, may differ by ⅔ of the arcs'
// length times the sagitta (the segments between arcs and chords) and 1e-9 of
// the area; the counts of regions and holes larger than that must be equal. It
// returns how many smaller ones only one of the two has.
func agree(what string, ours Shape, theirs sf.Geometry, sagitta float64) (small int, err error) {
	if err := ours.Check(); err != nil {
		return 0, fmt.Errorf("%s: %w", what, err)
	}
	area := ours.Area()
	bound := 2.0/3*arcLength(ours.Contours()...)*sagitta + 1e-9*area
	if d := area - theirs.Area(); math.Abs(d) > bound {
		return 0, fmt.Errorf("%s: area %.9g mm², the library has %.9g: differ by %.3g, bound %.3g", what, area, theirs.Area(), d, bound)
	}
	x, err := sf.SymmetricDifference(flattener{tol: sagitta / 8}.shape(ours), theirs)
	if err != nil {
		return 0, fmt.Errorf("%s: outside library: %w", what, err)
	}
	if d := x.Area(); d > bound {
		return 0, fmt.Errorf("%s: symmetric difference %.3g mm², bound %.3g", what, d, bound)
	}
	regions, holes := 0, 0
	for _, r := range ours {
		tally(r.Area(), bound, 1, &regions, &small)
		for _, h := range r.Holes {
			tally(-h.Area(), bound, 1, &holes, &small)
		}
	}
	for _, p := range polygonsOf(theirs) {
		tally(p.Area(), bound, -1, &regions, &small)
		for i := range p.NumInteriorRings() {
			tally(sf.NewPolygon([]sf.LineString{p.InteriorRingN(i)}).Area(), bound, -1, &holes, &small)
		}
	}
	if regions != 0 || holes != 0 {
		return 0, fmt.Errorf("%s: %+d regions, %+d holes against the library", what, regions, holes)
	}
	return small, nil
}

func tally(area, bound float64, step int, large, small *int) {
	if area > bound {
		*large += step
	} else {
		*small += step
	}
}

// comparePlate compares three combinations of one plate's shapes with the
// library's, on chords of the given sagitta.
func comparePlate(t *testing.T, e *Engine, p randomPlate, sagitta float64) (small int, err error) {
	t.Helper()
	f := meetings(t, sagitta, append([]Contour{p.inset}, p.metal...)...)
	inset := f.shape(RegionOf(p.inset))
	metal := f.union(t, p.metal)

	theirPockets, err := sf.Difference(inset, metal)
	if err != nil {
		return 0, fmt.Errorf("outside library: %w", err)
	}
	theirBoth, err := sf.Intersection(metal, inset)
	if err != nil {
		return 0, fmt.Errorf("outside library: %w", err)
	}
	union := must(e.Union(shapes(p.metal)...))
	for _, c := range []struct {
		what   string
		ours   Shape
		theirs sf.Geometry
	}{
		{"pockets", must(e.Difference(RegionOf(p.inset), shapes(p.metal)...)), theirPockets},
		{"metal", union, metal},
		{"metal inside", must(e.Intersection(union, RegionOf(p.inset))), theirBoth},
	} {
		n, err := agree(c.what, c.ours, c.theirs, sagitta)
		if err != nil {
			return 0, err
		}
		if n != 0 {
			small++
		}
	}
	return small, nil
}

// TestAgainstPolygonLibrary compares combinations of random plates, flattened,
// with simplefeatures' overlay. The library itself loses a hole on some inputs,
// and flattening breaks some tangencies inside an arc; such a plate must agree
// when it is flattened otherwise, and they must be few.
func TestAgainstPolygonLibrary(t *testing.T) {
	r := loadRanges(t)
	n := r.Count
	if testing.Short() {
		n /= 10
	}
	var e Engine
	var small, again []int
	for k := range n {
		p := r.plate(rand.New(rand.NewPCG(r.Seed, uint64(k))))
		m, err := comparePlate(t, &e, p, r.Sagitta)
		for _, f := range []float64{0.83, 0.61, 0.37} {
			if err == nil {
				break
			}
			t.Logf("plate %d, sagitta %.3g: %v", k, r.Sagitta, err)
			if f == 0.83 {
				again = append(again, k)
			}
			m, err = comparePlate(t, &e, p, f*r.Sagitta)
		}
		if err != nil {
			t.Errorf("seed %d plate %d: %v\ninset %v\nmetal %v", r.Seed, k, err, p.inset, p.metal)
		}
		if m != 0 {
			small = append(small, k)
		}
	}
	t.Logf("%d plates, %d retries of the kernel; flattened again: %v; regions or holes below the bound differ in count: %v", n, e.retries, again, small)
	if len(again) > n/50 {
		t.Errorf("%d of %d plates needed another flattening, want at most 2%%", len(again), n)
	}
}

// TestOffsetAgainstPolygonLibrary compares offsets with the shape united with,
// or less, the strips that a disc sweeps along its edges.
func TestOffsetAgainstPolygonLibrary(t *testing.T) {
	r := loadRanges(t)
	n := 60
	if testing.Short() {
		n = 6
	}
	var e Engine
	again := 0
	for k := range n {
		rg := rand.New(rand.NewPCG(r.Seed, uint64(k)))
		p := r.plate(rg)
		// None is half a rib: regions grown until they meet along a line are one for
		// us, and two or one by rounding for the library.
		d := []float64{0.8, 1.7, 3.1}[rg.IntN(3)]
		s := must(e.Difference(RegionOf(p.inset), shapes(p.metal)...))
		if len(s) == 0 {
			continue
		}
		var strips []Contour
		for _, c := range s.Contours() {
			for _, x := range c {
				strips = append(strips, Stroke(x, d))
			}
		}
		err := compareOffsets(t, &e, s, strips, d, r.Sagitta)
		if err != nil { // flattening breaks tangencies; see TestAgainstPolygonLibrary
			t.Logf("plate %d: %v", k, err)
			again++
			err = compareOffsets(t, &e, s, strips, d, 0.37*r.Sagitta)
		}
		if err != nil {
			t.Errorf("seed %d plate %d by %g: %v", r.Seed, k, d, err)
		}
	}
	if again > n/10 {
		t.Errorf("%d of %d plates needed another flattening, want at most a tenth", again, n)
	}
}

func compareOffsets(t *testing.T, e *Engine, s Shape, strips []Contour, d, sagitta float64) error {
	t.Helper()
	f := flattener{tol: sagitta}
	swept := f.union(t, strips)
	for _, c := range []struct {
		what   string
		ours   Shape
		theirs func(a, b sf.Geometry) (sf.Geometry, error)
	}{
		{"grown", must(e.Offset(s, d)), sf.Union},
		{"shrunk", must(e.Offset(s, -d)), sf.Difference},
	} {
		theirs, err := c.theirs(f.shape(s), swept)
		if err != nil {
			return fmt.Errorf("outside library: %w", err)
		}
		if _, err := agree(c.what, c.ours, theirs, sagitta); err != nil {
			return err
		}
	}
	return nil
}

// TestTwoRoutes shrinks pockets in two ways: by offsetting them, and by taking
// grown ribs and bosses from a shrunk inset.
func TestTwoRoutes(t *testing.T) {
	r := loadRanges(t)
	n := 400
	if testing.Short() {
		n = 40
	}
	var e Engine
	worst := 0.0
	for k := range n {
		rg := rand.New(rand.NewPCG(r.Seed+1, uint64(k)))
		p := r.plate(rg)
		d := []float64{1, 1.5, 3}[rg.IntN(3)]
		a := must(e.Offset(must(e.Difference(RegionOf(p.inset), shapes(p.metal)...)), -d))
		var grown []Shape
		for _, m := range p.metal {
			// An arced rib may overlap itself.
			grown = append(grown, must(e.Offset(must(e.Union(RegionOf(m))), d)))
		}
		b := must(e.Difference(must(e.Offset(RegionOf(p.inset), -d)), grown...))
		x := must(e.Xor(a, b)).Area()
		worst = max(worst, math.Abs(a.Area()-b.Area()), x)
		if x > 1e-9 || math.Abs(a.Area()-b.Area()) > 1e-9 || len(a) != len(b) {
			t.Errorf("seed %d plate %d by %g: %d regions of %.12g mm² by offset, %d of %.12g by grown ribs, differing in %.3g",
				r.Seed+1, k, d, len(a), a.Area(), len(b), b.Area(), x)
		}
	}
	t.Logf("%d plates, worst difference %.2g mm²", n, worst)
}
