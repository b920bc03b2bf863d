package geom

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestSubdivideSmall(t *testing.T) {
	// A plate with a bore, and a disc across the plate's edge that covers the bore.
	plate := must(Difference(block(0, 0, 40, 20), disc(32, 10, 3)))
	s := must(Subdivide([]Shape{plate, disc(40, 10, 12), disc(-50, 0, 5)}))
	got := map[string]float64{}
	key := func(l []int32) string {
		k := ""
		for _, i := range l {
			k += string(rune('0' + i))
		}
		return k
	}
	for _, f := range s.Faces[1:] {
		got[key(f.Layers)] += f.Area()
	}
	over := must(Intersection(plate, disc(40, 10, 12))).Area()
	near(t, "plate only", got["0"], plate.Area()-over, 1e-12)
	near(t, "both", got["01"], over, 1e-12)
	near(t, "disc only", got["1"], 144*math.Pi-over, 1e-12)
	near(t, "far disc", got["2"], 25*math.Pi, 1e-12)
	if len(s.Faces) != 6 || len(got) != 4 {
		t.Errorf("%d faces with %d kinds of cover, want 6 and 4", len(s.Faces), len(got))
	}
	if s.Faces[0].Outer != nil || len(s.Faces[0].Layers) != 0 || len(s.Faces[0].Holes) != 2 {
		t.Errorf("face 0 is %+v", s.Faces[0])
	}
	checkSubdivision(t, 0, s)

	m, from, err := s.Merge(func(f int) int { return min(1, len(s.Faces[f].Layers)) })
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Faces) != 3 || len(from) != 3 || len(from[0]) != 1 {
		t.Errorf("merged into %d faces from %v, want 3", len(m.Faces), from)
	}
	near(t, "merged outside", m.Faces[0].Area(), s.Faces[0].Area(), 1e-12)
	checkSubdivision(t, 0, m)

	all, from, err := s.Merge(func(int) int { return 7 })
	if err != nil || len(all.Faces) != 1 || len(all.Edges) != 0 || len(all.Vertices) != 0 || len(from[0]) != len(s.Faces) {
		t.Errorf("all merged: %+v from %v, %v", all, from, err)
	}
}

func TestSubdivideNothing(t *testing.T) {
	for _, l := range [][]Shape{nil, {nil}, {{}, {}}} {
		s, err := Subdivide(l)
		if err != nil || len(s.Faces) != 1 || len(s.Edges) != 0 {
			t.Errorf("Subdivide(%v) = %+v, %v; want face 0 alone", l, s, err)
			continue
		}
		if s.Locate(Pt(1, 1)) != 0 {
			t.Errorf("Locate finds a face in nothing")
		}
		if m, _, err := s.Merge(func(int) int { return 0 }); err != nil || len(m.Faces) != 1 {
			t.Errorf("merge of nothing: %+v, %v", m, err)
		}
	}
	s := must(Subdivide([]Shape{disc(3, 4, 5)}))
	if len(s.Edges) != 1 || len(s.Vertices) != 1 || s.Edges[0].V != [2]int32{0, 0} || s.Edges[0].A != s.Edges[0].B {
		t.Errorf("a lone circle has edges %+v and vertices %v, want one of each", s.Edges, s.Vertices)
	}
}

// TestSubdivideSamples asks at random points whether the face found there is
// covered by just the layers that contain the point.
func TestSubdivideSamples(t *testing.T) {
	rg := rand.New(rand.NewPCG(6, 1))
	var e Engine
	for k := range 60 {
		layers := latticeShapes(rg, 2+rg.IntN(30))
		if k%3 == 0 { // nested rings
			for r := 1.0; r < 18; r += 2.5 {
				layers = append(layers, disc(20, 20, r))
			}
		}
		s, err := e.Subdivide(layers)
		if err != nil {
			t.Fatal(err)
		}
		checkSubdivision(t, k, s)
		merged, from, err := s.Merge(func(f int) int { return len(s.Faces[f].Layers) % 2 })
		if err != nil {
			t.Fatal(err)
		}
		checkSubdivision(t, k, merged)
		for range 200 {
			p := Pt(rg.Float64()*70-10, rg.Float64()*70-10)
			f := s.Locate(p)
			var want []int32
			for i, l := range layers {
				if l.Contains(p) {
					want = append(want, int32(i))
				}
			}
			if got := s.Faces[f].Layers; !slices.Equal(got, want) {
				t.Fatalf("scene %d: face %d at %v is covered by %v, want %v", k, f, p, got, want)
			}
			if m := merged.Locate(p); !slices.Contains(from[m], f) {
				t.Fatalf("scene %d: merged face %d at %v comes from %v, not from %d", k, m, p, from[m], f)
			}
		}
		for i, e := range s.Edges {
			// A step to either side of the middle reaches the faces named.
			n := e.TangentA().Perp()
			if e.Dir != 0 {
				n = e.C.Sub(e.Mid()).Unit().Mul(float64(e.Dir))
			}
			for side, f := range map[float64]int32{1e-4: e.Left, -1e-4: e.Right} {
				p := e.Mid().Add(n.Mul(side))
				if aloneAt(s, i) && s.Locate(p) != f {
					t.Fatalf("scene %d: edge %d has face %d beside it, says %d", k, i, s.Locate(p), f)
				}
			}
		}
	}
}

// aloneAt reports whether no other edge is near the middle of edge i.
func aloneAt(s *Subdivision, i int) bool {
	m := s.Edges[i].Mid()
	for k := range s.Edges {
		if k != i && s.Edges[k].Dist(m) < 3e-4 {
			return false
		}
	}
	return true
}

// TestMergeIsMaximal checks that no two faces of a merged subdivision with one
// key share an edge, and that no vertex is left within a line or circle.
func TestMergeIsMaximal(t *testing.T) {
	rg := rand.New(rand.NewPCG(7, 1))
	for k := range 40 {
		s := must(Subdivide(latticeShapes(rg, 12)))
		key := func(f int) int { return min(len(s.Faces[f].Layers), 2) }
		m, from, err := s.Merge(key)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for f, old := range from {
			seen += len(old)
			for _, o := range old {
				if key(int(o)) != key(int(old[0])) {
					t.Errorf("scene %d: face %d joins different keys", k, f)
				}
			}
			if !slices.Equal(m.Faces[f].Layers, s.Faces[old[0]].Layers) {
				t.Errorf("scene %d: face %d has not the layers of its lowest old face", k, f)
			}
		}
		if seen != len(s.Faces) {
			t.Errorf("scene %d: %d of %d faces are accounted for", k, seen, len(s.Faces))
		}
		deg := make([]int, len(m.Vertices))
		at := make([][]chainEdge, len(m.Vertices))
		for _, e := range m.Edges {
			if key(int(from[e.Left][0])) == key(int(from[e.Right][0])) {
				t.Errorf("scene %d: faces %d and %d should be one", k, e.Left, e.Right)
			}
			for i, v := range e.V {
				deg[v]++
				x := e.Edge
				if i == 1 {
					x = x.Reverse()
				}
				at[v] = append(at[v], chainEdge{x, e.src})
			}
		}
		for v, d := range deg {
			if d != 2 || len(at[v]) != 2 {
				continue
			}
			in := at[v][0]
			in.Edge = in.Reverse()
			if in.A != in.B && in.continues(&at[v][1]) {
				t.Errorf("scene %d: vertex %d lies within one edge", k, v)
			}
		}
	}
}

// TestSubdivideManyLayers is a plate like those of the program: every cell,
// bore and boss is a layer of its own.
func TestSubdivideManyLayers(t *testing.T) {
	p := newBenchPlate()
	var e Engine
	cells := must(e.Open(must(e.Difference(p.inset, p.metal()...)), 3))
	layers := append([]Shape{p.outline}, p.holes...)
	layers = append(layers, p.bosses...)
	sum := p.outline.Area()
	for _, r := range cells {
		layers = append(layers, Shape{r})
		sum -= r.Area()
	}
	s := must(e.Subdivide(layers))
	checkSubdivision(t, 0, s)
	if e.retries != 0 {
		t.Errorf("%d retries", e.retries)
	}
	solid := 0.0
	for _, f := range s.Faces[1:] {
		cell := false
		for _, l := range f.Layers {
			cell = cell || int(l) > len(p.holes)+len(p.bosses)
		}
		if !cell {
			solid += f.Area()
		}
	}
	near(t, "plate without its cells", solid, sum, 1e-10)
}

// TestLocateLooksOnlyNear compares Locate with a look at every face, and counts
// the faces that it has to look at.
func TestLocateLooksOnlyNear(t *testing.T) {
	p := newBenchPlate()
	s := must(Subdivide(append([]Shape{p.outline, p.inset}, p.metal()...)))
	rg := rand.New(rand.NewPCG(3, 1))
	looks := 0
	const n = 3000
	for range n {
		q := Pt(rg.Float64()*640-20, rg.Float64()*440-20)
		want := int32(0)
		for i := 1; i < len(s.Faces); i++ {
			if s.Faces[i].Contains(q) {
				want = int32(i)
				break
			}
		}
		if got := s.Locate(q); got != want {
			t.Fatalf("Locate(%v) = %d, want %d", q, got, want)
		}
		if x := &s.index; x.all.Contains(q) {
			i, j := x.cell(q)
			looks += int(x.start[j*x.nx+i+1] - x.start[j*x.nx+i])
		}
	}
	if looks > 30*n {
		t.Errorf("%.1f faces of %d listed for a point on average, want at most 30", float64(looks)/n, len(s.Faces))
	}
}
