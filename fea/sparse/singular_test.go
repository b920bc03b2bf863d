package sparse

import (
	"context"
	"errors"
	"math"
	"testing"
)

// membraneModel is a perforated rectangle in plane stress, with nothing held.
func membraneModel(nx, ny int) *model {
	at, triangles := grid(200, 100, nx, ny, holes(200, 100))
	m := &model{Pattern: Pattern{Positions: at, Elements: triangles, Held: make([]bool, 2*len(at))}}
	for range at {
		m.Sizes = append(m.Sizes, 2)
	}
	for _, e := range triangles {
		m.matrices = append(m.matrices, membrane(at, e, 70000, 0.33, 5))
	}
	return m
}

// components repeats the meanings of the unknowns for every node.
func (m *model) components(c ...Component) [][]Component {
	list := make([][]Component, len(m.Positions))
	for n := range list {
		list[n] = c
	}
	return list
}

// freeMotions asks which rigid motions are free.
func (m *model) freeMotions(t *testing.T, c ...Component) ([]Motion, [3]float64) {
	t.Helper()
	s, err := Analyse(t.Context(), m.Pattern, Options{})
	if err != nil {
		t.Fatal(err)
	}
	vectors, centre, err := s.RigidBody(m.Positions, m.components(c...))
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.FreeMotions(t.Context(), m.element, m.springs, vectors)
	if err != nil {
		t.Fatal(err)
	}
	return list, centre
}

// singularOf factors and wants a SingularError.
func singularOf(t *testing.T, m *model) *SingularError {
	t.Helper()
	s, err := Analyse(t.Context(), m.Pattern, Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Factor(t.Context(), m.element, m.springs, nil)
	var se *SingularError
	if !errors.As(err, &se) {
		t.Fatalf("got error %v, want a *SingularError", err)
	}
	if n, c := s.Locate(se.Unknown); n != se.Node || c != se.Component || s.Pieces().OfNode[n] != int32(se.Piece) {
		t.Errorf("%+v does not name its unknown", se)
	}
	return se
}

// A plate pinned at one node turns about it, wherever the node is. The pivots
// alone do not show it on the finer meshes.
func TestPinnedPlateTurns(t *testing.T) {
	for _, ny := range []int{6, 20, 40} {
		for part := range 4 {
			m := membraneModel(2*ny, ny)
			pin := part * (len(m.Positions) - 1) / 3
			m.Held[2*pin], m.Held[2*pin+1] = true, true
			singularOf(t, m)
			list, centre := m.freeMotions(t, MoveX, MoveY)
			if len(list) != 1 {
				t.Fatalf("%d cells, node %d: %d free motions, want 1: %v", ny, pin, len(list), list)
			}
			got := Rigid(list[0].Combination, centre, 200)
			want := m.Positions[pin]
			if math.Abs(math.Abs(got.Turn[2])-1) > 1e-9 || length([3]float64{got.At[0] - want[0], got.At[1] - want[1]}) > 1e-6 {
				t.Errorf("free motion %+v, want a turn about z at %v", got, want)
			}
			// One more unknown held, in a direction that the turn moves, is enough.
			other := (pin + len(m.Positions)/2) % len(m.Positions)
			c := 0
			if math.Abs(m.Positions[other][1]-want[1]) < math.Abs(m.Positions[other][0]-want[0]) {
				c = 1
			}
			m.Held[2*other+c] = true
			factored(t, m, Options{})
			if list, _ := m.freeMotions(t, MoveX, MoveY); len(list) != 0 {
				t.Errorf("held plate has free motions %v", list)
			}
		}
	}
}

// What is free of a shell plate with other supports.
func TestFreeMotions(t *testing.T) {
	edge := func(hold func(p [3]float64, c int) bool) func(m *model) {
		return func(m *model) {
			for n, p := range m.Positions {
				for c := range 5 {
					m.Held[5*n+c] = hold(p, c)
				}
			}
		}
	}
	z := [3]float64{0, 0, 1}
	for _, c := range []struct {
		name string
		hold func(m *model)
		want []RigidMotion
	}{
		{"free", edge(func([3]float64, int) bool { return false }), []RigidMotion{
			{Move: [3]float64{1, 0, 0}},
			{Move: [3]float64{0, 1, 0}},
			{Move: z},
			{Turn: [3]float64{1, 0, 0}},
			{Turn: [3]float64{0, 1, 0}},
			{Turn: z},
		}},
		{"hinged along x = 0", edge(func(p [3]float64, c int) bool { return p[0] == 0 && c < 3 }), []RigidMotion{
			{Turn: [3]float64{0, 1, 0}, At: [3]float64{0, 5, 0}},
		}},
		{"lies on a table", edge(func(_ [3]float64, c int) bool { return c == 2 }), []RigidMotion{
			{Move: [3]float64{1, 0, 0}}, {Move: [3]float64{0, 1, 0}}, {Turn: z},
		}},
		{"slides along y = 0", edge(func(p [3]float64, c int) bool { return p[1] == 0 && (c == 1 || c == 2 || c == 4) }), []RigidMotion{
			{Move: [3]float64{1, 0, 0}},
		}},
		{"clamped", edge(func(p [3]float64, _ int) bool { return p[0] == 0 }), nil},
	} {
		for _, thickness := range []float64{2, 0.02} {
			m := plateModel(20, 10, thickness)
			c.hold(m)
			list, centre := m.freeMotions(t, MoveX, MoveY, MoveZ, TiltX, TiltY)
			if len(list) != len(c.want) {
				t.Errorf("%s: %d free motions %v, want %d", c.name, len(list), list, len(c.want))
				continue
			}
			if len(list) > 0 {
				singularOf(t, m)
			}
			for i, want := range c.want {
				got := Rigid(list[i].Combination, centre, 20)
				for k := range 3 {
					if want.Turn != [3]float64{} && c.name != "hinged along x = 0" {
						want.At[k] = centre[k]
						if c.name == "lies on a table" {
							want.At[k] = got.At[k] // any place: it moves too
						}
					}
					if c.name == "hinged along x = 0" {
						want.At[1] = centre[1] // the nearest to the centre
					}
					if math.Abs(got.Turn[k]-want.Turn[k]) > 1e-6 && math.Abs(got.Turn[k]+want.Turn[k]) > 1e-6 ||
						math.Abs(got.At[k]-want.At[k]) > 1e-6 ||
						math.Abs(got.Move[k]-want.Move[k]) > 1e-6 && math.Abs(got.Move[k]+want.Move[k]) > 1e-6 {
						t.Errorf("%s, thickness %g: motion %d is %+v, want %+v", c.name, thickness, i, got, want)
						break
					}
				}
			}
		}
	}
}

// Springs hold as supports do, soft ones too.
func TestSpringsHold(t *testing.T) {
	m := membraneModel(12, 6)
	last := len(m.Positions) - 1
	for _, k := range []float64{1e-3, 1, 1e6} {
		m.springs = []Spring{{0, k}, {1, k}, {2*last + 1, k}}
		f := factored(t, m, Options{})
		if list, _ := m.freeMotions(t, MoveX, MoveY); len(list) != 0 {
			t.Errorf("stiffness %g: free motions %v", k, list)
		}
		// A force along x on the last node goes into the first spring alone.
		u, load := make([]float64, 2*last+2), make([]float64, 2*last+2)
		load[0] = 3
		accuracy, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil)
		if err != nil {
			t.Fatal(err)
		}
		condition, err := f.Condition(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		// The bound of Higham, theorem 7.2, is twice this; the estimate of the
		// condition may be too low by a factor of three.
		if got, want := u[0], 3/k; math.Abs(got-want) > 6*condition*(accuracy[0].BackwardError+1e-16)*want {
			t.Errorf("spring of %g N/mm under 3 N moves %g, want %g", k, got, want)
		}
	}
	m.springs = []Spring{{0, 1}, {1, 1}}
	singularOf(t, m)
	if list, _ := m.freeMotions(t, MoveX, MoveY); len(list) != 1 {
		t.Errorf("two springs at one node leave %d free motions, want 1", len(list))
	}
}

// Metal in two pieces: the one that is not held is named.
func TestDisconnectedMetal(t *testing.T) {
	at, triangles := grid(30, 10, 15, 5, func(x, _ float64) bool { return x > 14 && x < 16 })
	m := &model{Pattern: Pattern{Positions: at, Elements: triangles}}
	for _, p := range at {
		m.Sizes = append(m.Sizes, 2)
		m.Held = append(m.Held, p[0] == 0, p[0] == 0)
	}
	for _, e := range triangles {
		m.matrices = append(m.matrices, membrane(at, e, 70000, 0.33, 5))
	}
	s, err := Analyse(t.Context(), m.Pattern, Options{})
	if err != nil {
		t.Fatal(err)
	}
	pieces := s.Pieces()
	if pieces.Count != 2 {
		t.Fatalf("%d pieces, want 2", pieces.Count)
	}
	loose := pieces.OfNode[len(at)-1]
	for n, p := range at {
		if got, want := pieces.OfNode[n] == loose, p[0] > 15; got != want {
			t.Errorf("node at %v is in piece %d", p, pieces.OfNode[n])
		}
	}
	for e, nodes := range triangles {
		if pieces.OfElement[e] != pieces.OfNode[nodes[3]] {
			t.Errorf("element %d is in piece %d, its node in %d", e, pieces.OfElement[e], pieces.OfNode[nodes[3]])
		}
	}
	if se := singularOf(t, m); se.Piece != int(loose) {
		t.Errorf("piece %d has no stiffness, want %d", se.Piece, loose)
	}
	list, _ := m.freeMotions(t, MoveX, MoveY)
	if len(list) != 3 {
		t.Errorf("%d free motions, want 3", len(list))
	}
	for _, motion := range list {
		if motion.Piece != int(loose) {
			t.Errorf("piece %d is free, want %d", motion.Piece, loose)
		}
	}
}

// Unknowns without stiffness and matrices that are not positive are named.
func TestZeroAndNegativePivots(t *testing.T) {
	m := membraneModel(8, 4)
	for u := range 6 {
		m.Held[u] = true
	}
	m.Sizes[10] = 3 // nothing uses the third unknown
	m.Held = append(m.Held, false)
	for e, nodes := range m.Elements {
		old, size, at := m.matrices[e], 12, -1
		for i, n := range nodes {
			if n == 10 {
				size, at = 13, 2*i+2
			}
		}
		k := make([]float64, size*size)
		for i := range 12 {
			for j := range 12 {
				r, c := i, j
				if at >= 0 && r >= at {
					r++
				}
				if at >= 0 && c >= at {
					c++
				}
				k[r*size+c] = old[i*12+j]
			}
		}
		m.matrices[e] = k
	}
	se := singularOf(t, m)
	if se.Node != 10 || se.Component != 2 || se.Diagonal != 0 {
		t.Errorf("got %v, want unknown 2 of node 10 without stiffness", se)
	}
	m = membraneModel(8, 4)
	for u := range 6 {
		m.Held[u] = true
	}
	for i := range m.matrices[7] {
		m.matrices[7][i] *= -30
	}
	se = singularOf(t, m)
	if !(se.Pivot < 0) {
		t.Errorf("pivot of an inside-out element is %g, want a negative one", se.Pivot)
	}
}

func TestFreeMotionsWrongInput(t *testing.T) {
	m := membraneModel(8, 4)
	s, err := Analyse(t.Context(), m.Pattern, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.RigidBody(m.Positions[1:], m.components(MoveX, MoveY)); err == nil {
		t.Error("positions of too few nodes were taken")
	}
	if _, _, err := s.RigidBody(m.Positions, m.components(MoveX)); err == nil {
		t.Error("meanings of too few unknowns were taken")
	}
	if _, err := s.FreeMotions(t.Context(), m.element, nil, [][]float64{make([]float64, 3)}); err == nil {
		t.Error("a candidate of the wrong length was taken")
	}
	nan := make([]float64, s.Unknowns())
	nan[4] = math.NaN()
	if _, err := s.FreeMotions(t.Context(), m.element, nil, [][]float64{nan}); err == nil {
		t.Error("a candidate of NaN was taken")
	}
	nan[4] = 1
	broken := func(int, []float64) error { return errTest }
	if _, err := s.FreeMotions(t.Context(), broken, nil, [][]float64{nan}); !errors.Is(err, errTest) {
		t.Errorf("error of an element: got %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.FreeMotions(ctx, m.element, nil, [][]float64{nan}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
	if list, err := s.FreeMotions(t.Context(), m.element, nil, nil); list != nil || err != nil {
		t.Errorf("no candidates: got %v, %v", list, err)
	}
}

var errTest = errors.New("test")
