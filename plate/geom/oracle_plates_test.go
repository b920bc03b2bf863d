package geom

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

// long says that the long runs are wanted:
//
//	PLATEWRIGHT_LONG=1 go test -timeout 2h -v -run PolygonLibrary ./plate/geom
//
// compares 10,000 random plates and 2,000 degenerate scenes with the polygon
// library instead of some dozens, and takes about half an hour of two cores.
// Without -run the other long runs are done too: lattices, jittered grids,
// motions and the two routes.
func long() bool { return os.Getenv("PLATEWRIGHT_LONG") != "" }

// errOutside says that the library found its own result wanting.
var errOutside = errors.New("outside library")

// verdict is what the comparison of one plate came to.
type verdict struct {
	again int   // how often it had to be flattened otherwise
	small int   // regions and holes below the bound that only one of the two has
	first error // of the first flattening
	err   error // of the last
}

// views are how the library is shown a plate, one after the other until we agree:
// chords of a multiple of the sagitta, turned. The library itself loses a hole on
// some inputs and gives up on others, and flattening breaks some tangencies
// inside an arc. What we computed is the same in all of them. The last is for
// necks that close within a micrometre of the distance asked for.
var views = [...]struct{ finer, turn float64 }{{1, 0}, {0.83, 0}, {0.61, 0.7}, {0.37, 1.9}, {0.11, 0}, {0.53, 2.6}, {0.29, 4.1}, {0.01, 0}, {0.001, 0}}

// judge runs compare on n plates in two goroutines. Those that need another view
// must be few.
func judge(t *testing.T, n int, name func(k int) string, compare func(e *Engine, k int, finer, turn float64) (small int, err error)) {
	t.Helper()
	out := make([]verdict, n)
	var wg sync.WaitGroup
	const workers = 2
	var engines [workers]Engine
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for k := w; k < n; k += workers {
				v := &out[k]
				for _, f := range views {
					if v.small, v.err = compare(&engines[w], k, f.finer, f.turn); v.err == nil {
						break
					}
					if v.first == nil {
						v.first = v.err
					}
					v.again++
				}
			}
		}()
	}
	wg.Wait()
	retries := engines[0].retries + engines[1].retries
	var again, small, unjudged []int
	gaveUp := 0
	for k, v := range out {
		if v.again > 0 {
			again = append(again, k)
			if errors.Is(v.first, errOutside) {
				gaveUp++
			}
			t.Logf("%v: %s", v.first, name(k))
		}
		if v.small > 0 {
			small = append(small, k)
		}
		if errors.Is(v.err, errOutside) {
			unjudged = append(unjudged, k) // the library gave up in every view
		} else if v.err != nil {
			t.Errorf("%v: %s", v.err, name(k))
		}
	}
	t.Logf("%d compared, %d retries of the kernel; flattened again: %d (%d of them because the library gave up) %v; regions or holes below the bound differ in count: %d %v",
		n, retries, len(again), gaveUp, again, len(small), small)
	if len(unjudged) > 0 {
		t.Logf("the library gave up in every view: %v", unjudged)
	}
	if len(unjudged) > max(1, n/500) {
		t.Errorf("the library gave up on %d of %d, want at most one in 500", len(unjudged), n)
	}
	if len(again)-gaveUp > max(2, n/40) {
		t.Errorf("%d of %d needed another flattening, want at most a fortieth", len(again)-gaveUp, n)
	}
}

// compared is one result of ours with the library's; either of theirs will do.
type compared struct {
	what   string
	ours   Shape
	theirs []sf.Geometry
	beyond float64 // allowed beyond the bound, mm²
	open   bool    // the counts are not compared
}

// agreeAll compares each, and checks ours.
func agreeAll(f flattener, cs []compared) (small int, err error) {
	for _, c := range cs {
		if err := c.ours.Check(); err != nil {
			return 0, fmt.Errorf("%s: %w", c.what, err)
		}
		var n int
		for _, g := range c.theirs {
			if n, err = agree(f, c.ours, g, c.beyond); err == nil {
				break
			}
		}
		if c.open && errors.As(err, new(countError)) {
			err = nil
		}
		if err != nil {
			return 0, fmt.Errorf("%s: %w", c.what, err)
		}
		small += n
	}
	return small, nil
}

// overlays are the four combinations of the library.
var overlays = [...]struct {
	what   string
	theirs func(a, b sf.Geometry) (sf.Geometry, error)
	ours   func(e *Engine, a, b Shape) (Shape, error)
}{
	{"union", sfUnion, func(e *Engine, a, b Shape) (Shape, error) { return e.Union(a, b) }},
	{"intersection", sf.Intersection, (*Engine).Intersection},
	{"difference", sfDifference, func(e *Engine, a, b Shape) (Shape, error) { return e.Difference(a, b) }},
	{"exclusive or", func(a, b sf.Geometry) (sf.Geometry, error) {
		g, err := sf.SymmetricDifference(a, b)
		if err == nil {
			return g, nil
		}
		x, err1 := sfDifference(a, b)
		y, err2 := sfDifference(b, a)
		if err1 != nil || err2 != nil {
			return g, err
		}
		return sf.Union(x, y)
	}, (*Engine).Xor},
}

// sfDifference is what the library says is left of a, and sfUnion what it says a
// and b cover, asked in another way if it refuses its own answer to the plain
// question: by what is around, and on a grid of 6e-8 mm.
func sfDifference(a, b sf.Geometry) (sf.Geometry, error) {
	g, err := sf.Difference(a, b)
	if err == nil {
		return g, nil
	}
	around, err2 := sf.Difference(sfBox, b)
	if err2 != nil {
		return g, err
	}
	return sf.Intersection(a, around)
}

func sfUnion(a, b sf.Geometry) (sf.Geometry, error) {
	g, err := sf.Union(a, b)
	if err == nil {
		return g, nil
	}
	if g, err2 := sf.Union(a.TransformXY(onGrid), b.TransformXY(onGrid)); err2 == nil {
		return g, nil
	}
	return g, err
}

func onGrid(p sf.XY) sf.XY {
	return sf.XY{X: math.Round(p.X*(1<<24)) / (1 << 24), Y: math.Round(p.Y*(1<<24)) / (1 << 24)}
}

// sfBox holds every plate.
var sfBox = flattener{}.shape(RegionOf(Rect(Pt(-1e3, -1e3), Pt(1e3, 1e3))))

// combine returns the four combinations of two sets of contours, by us and by
// the library.
func combine(e *Engine, f flattener, a, b []Contour) ([]compared, error) {
	ga, err := f.union(a)
	if err != nil {
		return nil, err
	}
	gb, err := f.union(b)
	if err != nil {
		return nil, err
	}
	sa, err := e.Union(shapes(a)...)
	if err != nil {
		return nil, err
	}
	sb, err := e.Union(shapes(b)...)
	if err != nil {
		return nil, err
	}
	cs := []compared{{"a", sa, []sf.Geometry{ga}, 0, false}, {"b", sb, []sf.Geometry{gb}, 0, false}}
	for _, o := range overlays {
		theirs, err := o.theirs(ga, gb)
		if err != nil {
			return nil, fmt.Errorf("%s: %w: %w", o.what, errOutside, err)
		}
		ours, err := o.ours(e, sa, sb)
		if err != nil {
			return nil, err
		}
		cs = append(cs, compared{o.what, ours, []sf.Geometry{theirs}, 0, false})
	}
	return cs, nil
}

// TestPlatesAgainstPolygonLibrary compares all combinations of random plates,
// and offsets of their pockets, with simplefeatures' overlays of the plates
// flattened.
func TestPlatesAgainstPolygonLibrary(t *testing.T) {
	r := loadRanges(t)
	n := r.Quick
	if long() {
		n = r.Count
	} else {
		t.Logf("%d of %d plates; all with PLATEWRIGHT_LONG=1", n, r.Count)
	}
	plate := func(k int) (randomPlate, *rand.Rand) {
		rg := rand.New(rand.NewPCG(r.Seed, uint64(k)))
		return r.plate(rg), rg
	}
	judge(t, n, func(k int) string {
		p, _ := plate(k)
		return fmt.Sprintf("seed %d plate %d: inset %v metal %v", r.Seed, k, p.inset, p.metal)
	}, func(e *Engine, k int, finer, turn float64) (int, error) {
		p, rg := plate(k)
		f, err := meetings(finer*r.Sagitta, append([]Contour{p.inset}, p.metal...)...)
		if err != nil {
			return 0, err
		}
		f.turn = turn
		cs, err := combine(e, f, []Contour{p.inset}, p.metal)
		if err != nil {
			return 0, err
		}
		pockets, err := e.Difference(RegionOf(p.inset), shapes(p.metal)...)
		if err != nil {
			return 0, err
		}
		cs = append(cs, compared{"pockets", pockets, cs[4].theirs, 0, false})
		small, err := agreeAll(f, cs)
		if err != nil {
			return 0, err
		}
		// None is half a rib; TestDegenerate has offsets at which things collapse.
		n, err := compareOffsets(e, pockets, []float64{0.8, 1.7, 3.1}[rg.IntN(3)], 0, flattener{tol: f.tol, turn: turn})
		return small + n, err
	})
}

// compareOffsets compares the shape grown and shrunk by d with the shape united
// with, or less, the strips that a disc sweeps along its edges. With a spread
// above zero the library may answer for distances less or more by it.
func compareOffsets(e *Engine, s Shape, d, spread float64, f flattener) (small int, err error) {
	if len(s) == 0 {
		return 0, nil
	}
	both, err := e.Offsets(s, []float64{d, -d})
	if err != nil {
		return 0, err
	}
	cs := []compared{{what: fmt.Sprintf("grown by %g", d), ours: both[0]}, {what: fmt.Sprintf("shrunk by %g", d), ours: both[1]}}
	dists := []float64{d}
	if spread > 0 {
		dists = []float64{d - spread, d + spread}
	}
	touching, err := meetings(f.tol, s.Contours()...)
	if err != nil {
		return 0, err
	}
	touching.turn = f.turn
	g := touching.shape(s)
	for _, d := range dists {
		var strips []Contour
		for _, c := range s.Contours() {
			for _, x := range c {
				strips = append(strips, Stroke(x, d))
			}
		}
		swept, err := f.unite(strips)
		if err != nil {
			return 0, err
		}
		for i, op := range []func(a, b sf.Geometry) (sf.Geometry, error){sfUnion, sfDifference} {
			theirs := g
			for _, x := range swept {
				if theirs, err = op(theirs, x); err != nil {
					return 0, fmt.Errorf("%w: %w", errOutside, err)
				}
			}
			cs[i].theirs = append(cs[i].theirs, theirs)
		}
		if spread > 0 {
			// What the spread itself moves, and the segments of arcs that collapse.
			b := spread*s.Length() + 2.0/3*arcLength(s.Contours()...)*f.tol
			cs[0].beyond, cs[1].beyond = b, b
		}
	}
	return agreeAll(f, cs)
}

// TestDegenerateAgainstPolygonLibrary does the same on scenes made to be
// degenerate; see degenerate_test.go.
func TestDegenerateAgainstPolygonLibrary(t *testing.T) {
	r := loadRanges(t)
	n := r.Degenerate[0]
	if long() {
		n = r.Degenerate[1]
	} else {
		t.Logf("%d of %d scenes; all with PLATEWRIGHT_LONG=1", n, r.Degenerate[1])
	}
	scene := func(k int) degenerate { return newDegenerate(rand.New(rand.NewPCG(r.Seed+7, uint64(k))), k) }
	judge(t, n, func(k int) string {
		s := scene(k)
		return fmt.Sprintf("seed %d scene %d, %s, offset %g: a %v b %v", r.Seed+7, k, s.kind, s.d, s.a, s.b)
	}, func(e *Engine, k int, finer, turn float64) (int, error) {
		s := scene(k)
		sagitta := finer * r.Sagitta
		if s.sagitta > 0 {
			sagitta = finer * s.sagitta
		}
		return s.compare(e, sagitta, turn)
	})
}

// compare compares one degenerate scene with the library, which sees the shapes
// as they were before they were moved by less than the merge distance.
func (s *degenerate) compare(e *Engine, sagitta, turn float64) (small int, err error) {
	f, err := meetings(sagitta, slices.Concat(s.a, s.b)...)
	if err != nil {
		return 0, err
	}
	f.turn = turn
	cs, err := combine(e, f, s.a, s.b)
	if err != nil {
		return 0, err
	}
	plain := cs[4].ours
	if s.sagitta > 0 {
		plain = cs[0].ours // of what differs there are slivers left, too thin for chords
	}
	if s.jitter > 0 {
		moved, err := combineOurs(e, s.moved(s.a, 1), s.moved(s.b, 2))
		if err != nil {
			return 0, err
		}
		for i := range cs {
			cs[i].ours = moved[i]
			cs[i].beyond = 2 * s.jitter * arcOrLine(s.a, s.b)
			cs[i].open = s.open
		}
	}
	if small, err = agreeAll(f, cs); err != nil {
		return 0, err
	}
	if s.jitter > 0 {
		// Chords cannot follow slivers as thin as the jitter: only soundness is asked.
		off, err := e.Offsets(cs[4].ours, []float64{s.d, -s.d})
		if err != nil {
			return 0, err
		}
		for _, o := range off {
			if err := o.Check(); err != nil {
				return 0, fmt.Errorf("offset of moved shapes: %w", err)
			}
		}
	}
	n, err := compareOffsets(e, plain, s.d, s.spread, flattener{tol: sagitta, turn: turn})
	return small + n, err
}

// combineOurs is the part of combine that is ours.
func combineOurs(e *Engine, a, b []Contour) ([]Shape, error) {
	sa, err := e.Union(shapes(a)...)
	sb, err2 := e.Union(shapes(b)...)
	if err = errors.Join(err, err2); err != nil {
		return nil, err
	}
	out := []Shape{sa, sb}
	for _, o := range overlays {
		s, err := o.ours(e, sa, sb)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// arcOrLine is the length of all edges.
func arcOrLine(css ...[]Contour) float64 {
	l := 0.0
	for _, cs := range css {
		for _, c := range cs {
			l += math.Abs(c.Length())
		}
	}
	return l
}
