package sparse

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"go.uber.org/goleak"
)

// Every number of workers gives the same bits, in factor and solution, for one
// right-hand side and for many.
func TestWorkersGiveTheSameBits(t *testing.T) {
	m := plateModel(40, 20, 0.3)
	n := m.unknowns()
	loads := make([][]float64, 11)
	for i := range loads {
		loads[i] = make([]float64, n)
		for u := range loads[i] {
			loads[i][u] = float64((u*7+i*13)%17) - 8
		}
	}
	var want *Factor
	var wantSolution [][]float64
	for _, workers := range []int{1, 2, 3, 4, 7, 16} {
		f := factored(t, m, Options{Workers: workers})
		got := make([][]float64, len(loads))
		for i := range got {
			got[i] = make([]float64, n)
		}
		if _, err := f.SolveTo(t.Context(), got, loads, nil); err != nil {
			t.Fatal(err)
		}
		alone := [][]float64{make([]float64, n)}
		if _, err := f.SolveTo(t.Context(), alone, loads[4:5], nil); err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(alone[0], got[4]) {
			t.Errorf("%d workers: a load alone has another solution than among others", workers)
		}
		if want == nil {
			want, wantSolution = f, got
			continue
		}
		if !slices.Equal(want.sym.order, f.sym.order) {
			t.Errorf("%d workers: another order of elimination", workers)
		}
		for i := range f.sym.fronts {
			a, b := want.strips(&f.sym.fronts[i]), f.strips(&f.sym.fronts[i])
			for k := range a.count {
				if !slices.Equal(a.at(k), b.at(k)) {
					t.Fatalf("%d workers: strip %d of front %d differs", workers, k, i)
				}
			}
		}
		for i := range got {
			if !slices.Equal(got[i], wantSolution[i]) {
				t.Errorf("%d workers: solution %d differs", workers, i)
			}
		}
	}
}

// The same trouble is found whatever the number of workers.
func TestWorkersFindTheSameTrouble(t *testing.T) {
	m := plateModel(40, 20, 0.3)
	for _, e := range []int{100, 700, 1200} {
		for i := range m.matrices[e] {
			m.matrices[e][i] *= -40
		}
	}
	var want SingularError
	for _, workers := range []int{1, 2, 5, 16} {
		for range 5 {
			s, err := Analyse(t.Context(), m.Pattern, Options{Workers: workers})
			if err != nil {
				t.Fatal(err)
			}
			_, err = s.Factor(t.Context(), m.element, nil, nil)
			var got *SingularError
			if !errors.As(err, &got) {
				t.Fatalf("%d workers: got %v, want a *SingularError", workers, err)
			}
			if want.Diagonal == 0 {
				want = *got
			}
			if *got != want {
				t.Errorf("%d workers: got %+v, want %+v", workers, *got, want)
			}
		}
	}
}

// countdown is a context that ends at a look, and counts the looks after that.
type countdown struct {
	context.Context
	left, after atomic.Int64
}

func (c *countdown) Err() error {
	if c.left.Add(-1) < 0 {
		c.after.Add(1)
		return context.Canceled
	}
	return nil
}

func newCountdown(t *testing.T, looks int64) *countdown {
	c := &countdown{Context: t.Context()}
	c.left.Store(looks)
	return c
}

// Whenever the context ends, everything stops within one piece of work for each
// goroutine, and what was begun can be begun again.
func TestCancel(t *testing.T) {
	defer goleak.VerifyNone(t)
	m := plateModel(40, 20, 0.3)
	const workers = 3
	const many = 1 << 40
	s, err := Analyse(t.Context(), m.Pattern, Options{Workers: workers})
	if err != nil {
		t.Fatal(err)
	}
	f, err := s.Factor(t.Context(), m.element, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	v := [][]float64{make([]float64, m.unknowns())}
	v[0][m.unknowns()-3] = 1
	var buffers Buffers
	for _, c := range []struct {
		name  string
		least int64 // looks that the work takes
		call  func(ctx context.Context) error
	}{
		{"Analyse", int64(len(s.fronts)), func(ctx context.Context) error {
			_, err := Analyse(ctx, m.Pattern, Options{Workers: workers})
			return err
		}},
		{"Factor", factorPieces(s), func(ctx context.Context) error {
			f, err := s.Factor(ctx, m.element, nil, &buffers)
			if err == nil {
				f.Release()
			}
			return err
		}},
		{"SolveTo", 2 * int64(len(s.fronts)), func(ctx context.Context) error {
			_, err := f.SolveTo(ctx, [][]float64{make([]float64, m.unknowns())}, v, nil)
			return err
		}},
		{"Condition", 4 * int64(len(s.fronts)), func(ctx context.Context) error {
			_, err := f.Condition(ctx)
			return err
		}},
	} {
		ctx := newCountdown(t, many)
		if err := c.call(ctx); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		looks := many - ctx.left.Load()
		if looks < c.least {
			t.Errorf("%s looks at its context %d times, want %d or more", c.name, looks, c.least)
		}
		for k := range int64(12) {
			ctx := newCountdown(t, k*k*looks/144)
			if err := c.call(ctx); !errors.Is(err, context.Canceled) {
				t.Errorf("%s, cancelled at look %d of %d: got %v", c.name, k*k*looks/144, looks, err)
			}
			// Analyse has no flag beside the context: every set on the way up
			// and every 256th front looks once more.
			if after := ctx.after.Load(); after > 3*workers+30 {
				t.Errorf("%s looks at its context %d times after its end", c.name, after)
			}
		}
	}
}

// factorPieces counts the elements, tiles and corners of a factorisation that is
// shared: each is done after a look of its own.
func factorPieces(s *Symbolic) int64 {
	n := len(s.elements)
	for i := range s.fronts {
		f := &s.fronts[i]
		n += (f.own + tile - 1) / tile
		if f.own > 0 {
			tiles := (f.size - f.own + tile - 1) / tile
			n += tiles * (tiles - 1) / 2
		}
	}
	return int64(n)
}

// No element is asked for after the end, but those that were begun.
func TestCancelStopsElements(t *testing.T) {
	m := plateModel(40, 20, 0.3)
	const workers = 4
	s, err := Analyse(t.Context(), m.Pattern, Options{Workers: workers})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	var calls, after atomic.Int64
	_, err = s.Factor(ctx, func(e int, dst []float64) error {
		if ctx.Err() != nil {
			after.Add(1)
		}
		if calls.Add(1) == 300 {
			cancel()
		}
		return m.element(e, dst)
	}, nil, nil)
	if !errors.Is(err, context.Canceled) || after.Load() >= workers {
		t.Errorf("got %v, %d elements after the end", err, after.Load())
	}
}

// A panic of an element on any goroutine reaches the caller's.
func TestPanicReachesTheCaller(t *testing.T) {
	defer goleak.VerifyNone(t)
	m := plateModel(40, 20, 0.3)
	s, err := Analyse(t.Context(), m.Pattern, Options{Workers: 4})
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []int{0, 500, len(m.Elements) - 1} {
		func() {
			defer func() {
				if p := recover(); p != errTest {
					t.Errorf("panic at element %d: got %v", at, p)
				}
			}()
			_, err := s.Factor(t.Context(), func(e int, dst []float64) error {
				if e == at {
					panic(errTest)
				}
				return m.element(e, dst)
			}, nil, nil)
			t.Errorf("panic at element %d: no panic, %v", at, err)
		}()
	}
}

// Buffers serve one factor after another, also larger and smaller ones, and
// several at a time; nothing of the old shows in the new.
func TestBuffers(t *testing.T) {
	var buffers Buffers
	models := []*model{plateModel(20, 10, 0.3), plateModel(8, 4, 0.1), plateModel(24, 12, 0.2), membraneModel(20, 10)}
	for u := range 200 {
		models[3].Held[u] = true
	}
	var want [][]float64
	solve := func(m *model, b *Buffers) []float64 {
		s, err := Analyse(t.Context(), m.Pattern, Options{})
		if err != nil {
			t.Error(err)
			return nil
		}
		f, err := s.Factor(t.Context(), m.element, nil, b)
		if err != nil {
			t.Error(err)
			return nil
		}
		defer f.Release()
		u, load := make([]float64, m.unknowns()), make([]float64, m.unknowns())
		for i := range load {
			load[i] = float64(i % 5)
		}
		if _, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{load}, nil); err != nil {
			t.Error(err)
		}
		return u
	}
	for _, m := range models {
		want = append(want, solve(m, nil))
	}
	for range 3 {
		for i, m := range models {
			if !slices.Equal(solve(m, &buffers), want[i]) {
				t.Errorf("model %d has another solution with used buffers", i)
			}
		}
	}
	var wg sync.WaitGroup
	for k := range 8 {
		wg.Go(func() {
			if !slices.Equal(solve(models[k%len(models)], &buffers), want[k%len(models)]) {
				t.Errorf("model %d has another solution with shared buffers", k%len(models))
			}
		})
	}
	wg.Wait()
	if len(buffers.large) == 0 || len(buffers.large) > maxLarge {
		t.Errorf("%d large blocks are kept, want 1 to %d", len(buffers.large), maxLarge)
	}
	buffers.Drop()
	if len(buffers.large) != 0 {
		t.Error("Drop left blocks")
	}
}

// A factorisation with kept buffers asks the system for little: the panels come
// from the last one.
func TestBuffersAreUsed(t *testing.T) {
	m := plateModel(24, 12, 0.2)
	s, err := Analyse(t.Context(), m.Pattern, Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	var buffers Buffers
	var first *float64
	for range 3 {
		f, err := s.Factor(t.Context(), m.element, nil, &buffers)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = &f.panels[0]
		}
		if &f.panels[0] != first {
			t.Error("the panels are new memory")
		}
		f.Release()
	}
}

func TestSizeClasses(t *testing.T) {
	last, lastSize := -1, 0
	for n := 1; n < 5000; n++ {
		k, size := class(n)
		if size < n || k < last || k == last && size != lastSize {
			t.Fatalf("class(%d) = %d, %d after %d, %d", n, k, size, last, lastSize)
		}
		if again, s := class(size); again != k || s != size {
			t.Fatalf("class(%d) = %d, %d but class(%d) = %d, %d", n, k, size, size, again, s)
		}
		last, lastSize = k, size
	}
}

// From 10⁴ to 2·10⁵ unknowns operations grow no faster than with the power 1.5,
// and the factor little faster than the unknowns: n^1.5 and n·log n are the orders
// of nested dissection in the plane (George 1973).
func TestGrowth(t *testing.T) {
	var last Size
	var lastFree float64
	for _, ny := range []int{17, 78} {
		s, err := Analyse(t.Context(), platePattern(2*ny, ny).Pattern, Options{})
		if err != nil {
			t.Fatal(err)
		}
		size, free := s.Size(), float64(s.Free())
		// Leaves of 420 unknowns (see leafUnknowns) were chosen for their speed, and
		// take 2108 at 2·10⁵.
		if perUnknown := float64(size.Bytes) / free; perUnknown > 2150 {
			t.Errorf("%g unknowns: %.0f bytes for each, want at most 2150", free, perUnknown)
		}
		if last.Flops > 0 {
			grown := math.Log(free / lastFree)
			if e := math.Log(size.Flops/last.Flops) / grown; e > 1.5 {
				t.Errorf("from %g to %g unknowns operations grow with the power %.2f, want at most 1.5", lastFree, free, e)
			}
			if e := math.Log(float64(size.Entries)/float64(last.Entries)) / grown; e > 1.2 {
				t.Errorf("from %g to %g unknowns the factor grows with the power %.2f, want at most 1.2", lastFree, free, e)
			}
		}
		last, lastFree = size, free
	}
}
