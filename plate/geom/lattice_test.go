package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// latticeShapes returns random discs, capsules and rectangles whose corners,
// centres and radii lie on a coarse lattice, so that tangent, coincident and
// concentric edges are the rule.
func latticeShapes(rg *rand.Rand, n int) []Shape {
	g := func() float64 { return float64(rg.IntN(9)) * 5 }
	rr := []float64{2.5, 5, 7.5, 10}
	var out []Shape
	for range n {
		var c Contour
		switch rg.IntN(4) {
		case 0:
			c = Circle(Pt(g(), g()), rr[rg.IntN(4)])
		case 1:
			a, b := Pt(g(), g()), Pt(g(), g())
			if a == b {
				b.X += 5
			}
			c = Capsule(a, b, rr[rg.IntN(3)])
		case 2:
			lo := Pt(g(), g())
			c = RoundedRect(lo, lo.Add(Pt(5+g(), 5+g())), []float64{0, 2.5}[rg.IntN(2)])
		case 3:
			a, b := Pt(g(), g()), Pt(g(), g())
			if a == b {
				b.Y += 5
			}
			c = Strip(a, b, rr[rg.IntN(3)])
		}
		out = append(out, RegionOf(c))
	}
	return out
}

// sceneResult holds the areas of everything computed from one scene.
type sceneResult struct {
	names []string
	areas []float64
}

func (z *sceneResult) put(t *testing.T, k int, name string, s Shape, err error) Shape {
	t.Helper()
	if err != nil {
		t.Fatalf("scene %d: %s: %v", k, name, err)
	}
	if err := s.Check(); err != nil {
		t.Errorf("scene %d: %s: %v\n%v", k, name, err, s)
	}
	z.names = append(z.names, name)
	z.areas = append(z.areas, s.Area())
	return s
}

func (z *sceneResult) get(name string) float64 {
	for i, n := range z.names {
		if n == name {
			return z.areas[i]
		}
	}
	return math.NaN()
}

func computeScene(t *testing.T, e *Engine, k int, a, b []Shape, f Affine) *sceneResult {
	t.Helper()
	move := func(s []Shape) []Shape {
		o := make([]Shape, len(s))
		for i := range s {
			o[i] = s[i].Transform(f)
		}
		return o
	}
	a, b = move(a), move(b)
	z := &sceneResult{}
	sa, err := e.Union(a...)
	z.put(t, k, "a", sa, err)
	sb, err := e.Union(b...)
	z.put(t, k, "b", sb, err)
	u, err := e.Union(sa, sb)
	z.put(t, k, "or", u, err)
	n, err := e.Intersection(sa, sb)
	z.put(t, k, "and", n, err)
	x, err := e.Xor(sa, sb)
	z.put(t, k, "xor", x, err)
	d, err := e.Difference(sa, b...)
	z.put(t, k, "not", d, err)
	in, err := e.Offset(d, -1.7)
	z.put(t, k, "in", in, err)
	out, err := e.Offset(d, 2.5)
	z.put(t, k, "out", out, err)
	op, err := e.Open(d, 2)
	z.put(t, k, "open", op, err)
	rest, err := e.Difference(op, d)
	z.put(t, k, "open beyond", rest, err)
	sub, err := e.Subdivide(append(append([]Shape{}, a...), b...))
	if err != nil {
		t.Fatalf("scene %d: subdivide: %v", k, err)
	}
	z.put(t, k, "sub or", faceShape(sub, func(l []int32) bool { return len(l) > 0 }), nil)
	split := int32(len(a))
	z.put(t, k, "sub not", faceShape(sub, func(l []int32) bool { return len(l) > 0 && l[len(l)-1] < split }), nil)
	checkSubdivision(t, k, sub)
	m, _, err := sub.Merge(func(f int) int {
		l := sub.Faces[f].Layers
		if len(l) > 0 && l[len(l)-1] < split {
			return 1
		}
		return 0
	})
	if err != nil {
		t.Fatalf("scene %d: merge: %v", k, err)
	}
	checkSubdivision(t, k, m)
	z.put(t, k, "merged not", faceShape(m, func(l []int32) bool { return len(l) > 0 && l[len(l)-1] < split }), nil)
	return z
}

func faceShape(s *Subdivision, in func([]int32) bool) Shape {
	var o Shape
	for _, f := range s.Faces[1:] {
		if in(f.Layers) {
			o = append(o, f.Region)
		}
	}
	return o
}

func checkSubdivision(t *testing.T, k int, s *Subdivision) {
	t.Helper()
	sum := s.Faces[0].Area()
	for i, f := range s.Faces[1:] {
		if err := f.Region.Check(); err != nil {
			t.Errorf("scene %d: face %d: %v", k, i+1, err)
		}
		sum += f.Area()
	}
	if math.Abs(sum) > 1e-3 { // a joined edge may pass a dropped vertex at the merge distance
		t.Errorf("scene %d: face areas add up to %g, want 0", k, sum)
	}
	for i, e := range s.Edges {
		if e.Left == e.Right {
			t.Errorf("scene %d: edge %d has face %d on both sides", k, i, e.Left)
		}
		if s.Vertices[e.V[0]] != e.A || s.Vertices[e.V[1]] != e.B {
			t.Errorf("scene %d: edge %d does not end at its vertices", k, i)
		}
	}
}

// compareScenes checks the identities between the areas of one scene, and the
// scene turned, to within tol mm².
func compareScenes(t *testing.T, seed, k int, x, y *sceneResult, tol float64, exact bool) (worst float64) {
	t.Helper()
	chk := func(name string, d float64) {
		worst = max(worst, math.Abs(d))
		if !(math.Abs(d) <= tol) {
			t.Errorf("seed %d scene %d: %s differs by %g", seed, k, name, d)
		}
	}
	chk("or + and - a - b", x.get("or")+x.get("and")-x.get("a")-x.get("b"))
	chk("xor + and - or", x.get("xor")+x.get("and")-x.get("or"))
	chk("a - not - and", x.get("a")-x.get("not")-x.get("and"))
	chk("sub or", x.get("sub or")-x.get("or"))
	chk("sub not", x.get("sub not")-x.get("not"))
	chk("merged not", x.get("merged not")-x.get("not"))
	chk("open beyond", x.get("open beyond"))
	for i, name := range x.names {
		// Where slivers are kept or not, offsets differ by what they grow into.
		if name != "open beyond" && (exact || name != "in" && name != "out" && name != "open") {
			chk("turned "+name, x.areas[i]-y.areas[i])
		}
	}
	return worst
}

// latticeScenes is how many scenes are computed: ten times as many in the long
// run (see long).
func latticeScenes() int {
	if long() {
		return 5000
	}
	return 500
}

func TestLattice(t *testing.T) {
	const seed = 7
	rg := rand.New(rand.NewPCG(seed, 1))
	n := latticeScenes()
	var e Engine
	worst := 0.0
	for k := 0; k < n && !t.Failed(); k++ {
		a, b := latticeShapes(rg, 1+rg.IntN(6)), latticeShapes(rg, 1+rg.IntN(6))
		x := computeScene(t, &e, k, a, b, Affine{})
		y := computeScene(t, &e, k, a, b, Rotation(rg.Float64()*6).Then(Translation(Pt(rg.Float64()*500, rg.Float64()*500))))
		worst = max(worst, compareScenes(t, seed, k, x, y, 1e-4, true))
	}
	t.Logf("%d scenes, worst difference %.2g mm², %d retries", n, worst, e.retries)
	if e.retries != 0 {
		t.Errorf("%d retries, want none on lattice scenes", e.retries)
	}
}

// TestLatticeJittered moves every shape of a lattice scene by 1e-7 to 1e-5 mm:
// coincident edges become slivers about as wide as the merge distance.
func TestLatticeJittered(t *testing.T) {
	const seed = 11
	rg := rand.New(rand.NewPCG(seed, 1))
	n := latticeScenes()
	var e Engine
	worst := 0.0
	for k := 0; k < n && !t.Failed(); k++ {
		a, b := latticeShapes(rg, 1+rg.IntN(6)), latticeShapes(rg, 1+rg.IntN(6))
		size := math.Pow(10, -7+2*rg.Float64())
		jitter := func(ss []Shape) {
			for i := range ss {
				d := Pt(rg.Float64()-0.5, rg.Float64()-0.5).Mul(2 * size)
				f := Translation(Pt(-20, -20)).Then(Rotation(size / 20 * (rg.Float64() - 0.5))).Then(Translation(Pt(20, 20).Add(d)))
				ss[i] = ss[i].Transform(f)
			}
		}
		jitter(a)
		jitter(b)
		x := computeScene(t, &e, k, a, b, Affine{})
		y := computeScene(t, &e, k, a, b, Rotation(rg.Float64()*6).Then(Translation(Pt(rg.Float64()*500, rg.Float64()*500))))
		// A metre of edges, each moved by a few merge distances.
		worst = max(worst, compareScenes(t, seed, k, x, y, 1e-2, false))
	}
	t.Logf("%d scenes, worst difference %.2g mm², %d retries", n, worst, e.retries)
}
