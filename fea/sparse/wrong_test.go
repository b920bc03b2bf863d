package sparse

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// What is wrong with a pattern is said, with the place.
func TestWrongPatterns(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(p *Pattern, o *Options)
		want   string
	}{
		{"no nodes", func(p *Pattern, _ *Options) { *p = Pattern{} }, "no unknowns"},
		{"sizes missing", func(p *Pattern, _ *Options) { p.Sizes = p.Sizes[1:] }, "positions but"},
		{"NaN", func(p *Pattern, _ *Options) { p.Positions[3][1] = math.NaN() }, "node 3: position"},
		{"infinite", func(p *Pattern, _ *Options) { p.Positions[3][2] = math.Inf(1) }, "node 3: position"},
		{"negative size", func(p *Pattern, _ *Options) { p.Sizes[2] = -1 }, "node 2: -1 unknowns"},
		{"huge size", func(p *Pattern, _ *Options) { p.Sizes[2] = 1 << 40 }, "node 2: 1099511627776 unknowns"},
		{"no sizes", func(p *Pattern, _ *Options) { clear(p.Sizes) }, "no unknowns"},
		{"held marks", func(p *Pattern, _ *Options) { p.Held = make([]bool, 3) }, "3 marks"},
		{"node below", func(p *Pattern, _ *Options) { p.Elements[4][1] = -1 }, "element 4: node -1 does not exist"},
		{"node above", func(p *Pattern, _ *Options) { p.Elements[4][1] = 1 << 30 }, "element 4: node 1073741824 does not exist"},
		{"node twice", func(p *Pattern, _ *Options) { p.Elements[4][1] = p.Elements[4][2] }, "listed twice"},
		{"empty element", func(p *Pattern, _ *Options) { p.Elements[4] = nil }, "element 4: has no unknowns"},
		{"loose node", func(p *Pattern, _ *Options) {
			p.Positions, p.Sizes, p.Held = append(p.Positions, [3]float64{}), append(p.Sizes, 1), append(p.Held, false)
		}, "belongs to no element"},
		{"large element", func(p *Pattern, _ *Options) {
			for i := range p.Sizes {
				p.Sizes[i] = 1024
			}
			p.Held = nil
		}, "the limit is 4096"},
		{"workers", func(_ *Pattern, o *Options) { o.Workers = -1 }, "-1 workers"},
		{"many workers", func(_ *Pattern, o *Options) { o.Workers = 1 << 40 }, "workers"},
		{"leaf", func(_ *Pattern, o *Options) { o.Leaf = -1 }, "leaves of -1"},
		{"memory", func(_ *Pattern, o *Options) { o.MaxBytes = -1 }, "memory limit"},
		{"refinement", func(_ *Pattern, o *Options) { o.GoodError = -1 }, "backward error of -1"},
		{"no refinement", func(_ *Pattern, o *Options) { o.GoodError = math.NaN() }, "backward error of NaN"},
	} {
		m := membraneModel(8, 4)
		var o Options
		c.change(&m.Pattern, &o)
		_, err := Analyse(t.Context(), m.Pattern, o)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "sparse: ") {
			t.Errorf("%s: got %v, want an error with %q", c.name, err, c.want)
		}
	}
}

func TestWrongFactor(t *testing.T) {
	m := membraneModel(8, 4)
	for u := range 8 {
		m.Held[u] = true
	}
	largest := 0.0
	for _, k := range m.matrices {
		largest = max(largest, slices.Max(k))
	}
	for _, c := range []struct {
		name    string
		o       Options
		element Element
		springs []Spring
		want    string
	}{
		{"memory", Options{MaxBytes: 1000}, m.element, nil, "more than the limit"},
		{"spring below", Options{}, m.element, []Spring{{0, 1}, {-1, 1}}, "spring 1: unknown -1"},
		{"spring above", Options{}, m.element, []Spring{{1 << 40, 1}}, "does not exist"},
		{"negative spring", Options{}, m.element, []Spring{{5, -1}}, "stiffness -1"},
		{"NaN spring", Options{}, m.element, []Spring{{5, math.NaN()}}, "stiffness NaN"},
		{"rigid spring", Options{}, m.element, []Spring{{5, math.Inf(1)}}, "hold the unknown"},
		{"element", Options{}, func(e int, dst []float64) error {
			if e == 5 {
				return errTest
			}
			return m.element(e, dst)
		}, nil, "element 5: test"},
		{"NaN", Options{}, func(e int, dst []float64) error {
			copy(dst, m.matrices[e])
			if e == 6 {
				dst[3*12+1] = math.NaN()
			}
			return nil
		}, nil, "element 6: row 3"},
		{"infinite", Options{}, func(e int, dst []float64) error {
			copy(dst, m.matrices[e])
			if e == 6 {
				dst[11*12+11] = math.Inf(1)
			}
			return nil
		}, nil, "element 6: row 11"},
		{"nothing", Options{}, func(int, []float64) error { return nil }, nil, "no stiffness"},
		{"overflow", Options{}, func(e int, dst []float64) error {
			for i := range dst {
				dst[i] = m.matrices[e][i] / largest * 1.5e308 // the sum at a node is infinite
			}
			return nil
		}, nil, "no stiffness"},
	} {
		s, err := Analyse(t.Context(), m.Pattern, c.o)
		if err != nil {
			t.Fatal(err)
		}
		_, err = s.Factor(t.Context(), c.element, c.springs, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "sparse: ") {
			t.Errorf("%s: got %v, want an error with %q", c.name, err, c.want)
		}
		if c.name == "element" && !errors.Is(err, errTest) {
			t.Errorf("%s: the cause is lost", c.name)
		}
	}
}

func TestWrongVectors(t *testing.T) {
	m := membraneModel(8, 4)
	for u := range 8 {
		m.Held[u] = true
	}
	f := factored(t, m, Options{})
	n := m.unknowns()
	good := func() []float64 { return make([]float64, n) }
	bad := func(x float64) []float64 {
		v := good()
		v[21] = x
		return v
	}
	list := func(v ...[]float64) [][]float64 { return v }
	for _, c := range []struct {
		name             string
		dst, loads, held [][]float64
		want             string
	}{
		{"too few results", list(), list(good()), nil, "0 results"},
		{"too few held", list(good()), list(good()), [][]float64{}, "0 lists of held values"},
		{"short load", list(good()), list(good()[1:]), nil, "vector 0"},
		{"short result", list(good(), good()[1:]), list(good(), good()), nil, "vector 1"},
		{"short held", list(good()), list(good()), list(good()[1:]), "held values 0"},
		{"NaN", list(good()), list(bad(math.NaN())), nil, "unknown 1 of node 10"},
		{"infinite", list(good()), list(good()), list(bad(math.Inf(-1))), "unknown 1 of node 10"},
		{"overflow", list(good()), list(bad(1e308)), list(bigHeld(n)), "no finite solution"},
	} {
		before := append([]float64(nil), f.panels[:10]...)
		if _, err := f.SolveTo(t.Context(), c.dst, c.loads, c.held); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want an error with %q", c.name, err, c.want)
		}
		for i := range before {
			if before[i] != f.panels[i] {
				t.Errorf("%s: the factor has changed", c.name)
			}
		}
	}
	if _, err := f.SolveWithForces(t.Context(), list(good()), list(good()[1:]), list(good()), nil); err == nil {
		t.Error("SolveWithForces took forces that are too short")
	}
	if a, err := f.SolveTo(t.Context(), nil, nil, nil); len(a) != 0 || err != nil {
		t.Errorf("no loads: got %v, %v", a, err)
	}
}

// bigHeld are held values whose forces are too large for a float64.
func bigHeld(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1e308
	}
	v[0] = -1e308
	return v
}

// Nothing to solve for: all unknowns held, or a node without unknowns.
func TestDegenerateModels(t *testing.T) {
	for _, m := range []*model{
		{Pattern: Pattern{Positions: [][3]float64{{}}, Sizes: []int{2}, Held: []bool{true, true}}},
		{Pattern: Pattern{Positions: [][3]float64{{}, {1}}, Sizes: []int{2, 0}, Held: []bool{true, true}, Elements: [][]int32{{0, 1}}}, matrices: [][]float64{{2, 0, 0, 2}}},
		{Pattern: Pattern{Positions: [][3]float64{{}, {}, {}}, Sizes: []int{0, 1, 0}, Elements: [][]int32{{1}}}, matrices: [][]float64{{2}}},
	} {
		f := factored(t, m, Options{})
		n := m.unknowns()
		u, held := make([]float64, n), make([]float64, n)
		for i := range held {
			held[i] = 5
		}
		if _, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{[]float64{6, 6}[:n]}, [][]float64{held}); err != nil {
			t.Error(err)
		}
		for i, x := range u {
			if want := (map[bool]float64{true: 5, false: 3})[m.Held != nil]; math.Abs(x-want) > 1e-15*want {
				t.Errorf("unknown %d is %g, want %g", i, x, want)
			}
		}
		if k, err := f.Condition(t.Context()); math.Abs(k-1) > 1e-15 || err != nil {
			t.Errorf("condition %g, %v, want 1", k, err)
		}
	}
}

// Places of nodes do not matter for the result, only for the order.
func TestSamePlaces(t *testing.T) {
	m := plateModel(8, 4, 0.3)
	for i := range m.Positions {
		m.Positions[i] = [3]float64{}
	}
	f := factored(t, m, Options{Leaf: 2})
	n := m.unknowns()
	u, load := make([]float64, n), make([]float64, n)
	load[n-1] = 1
	if a, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil); err != nil || a[0].BackwardError > 1e-14 {
		t.Errorf("got %v, %v", a, err)
	}
}

func TestLocate(t *testing.T) {
	m := &model{Pattern: Pattern{Positions: make([][3]float64, 6), Sizes: []int{0, 2, 0, 0, 3, 0}, Elements: [][]int32{{1, 4}}}}
	s, err := Analyse(t.Context(), m.Pattern, Options{})
	if err != nil {
		t.Fatal(err)
	}
	u := 0
	for n, size := range m.Sizes {
		for c := range size {
			if gotN, gotC := s.Locate(u); gotN != n || gotC != c {
				t.Errorf("Locate(%d) = %d, %d, want %d, %d", u, gotN, gotC, n, c)
			}
			if got := s.Unknown(n, c); got != u {
				t.Errorf("Unknown(%d, %d) = %d, want %d", n, c, got, u)
			}
			u++
		}
	}
}
