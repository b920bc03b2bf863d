package sparse

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// Spring is a spring from an unknown to the ground.
type Spring struct {
	Unknown   int
	Stiffness float64 // force per displacement of the unknown, not negative
}

// Element fills dst with the stiffness matrix of element e, row after row in the
// order of its unknowns. dst is cleared before; only its lower triangle is read.
// It is called from several goroutines at a time, once for each element; if it
// panics, so does the call that it serves.
type Element func(e int, dst []float64) error

// Factor is a factored stiffness. It does not change until it is released, and
// may be used by several goroutines at a time.
type Factor struct {
	sym      *Symbolic
	buffers  *Buffers
	mu       sync.RWMutex // held for reading while the memory below is used
	panels   []float64    // strips of all fronts, nil once released
	packed   []float64    // lower triangles of the element matrices
	springs  []float64    // by place in the order of elimination; nil if there are none
	diagonal []float64    // stiffness of each free unknown alone, by order of elimination
	scale    []float64    // 1/√diagonal
	largest  float64      // of diagonal
}

// Factor adds up the element matrices and factors their sum. The memory comes
// from buffers, which may be nil. It looks at ctx at every element and tile, and
// returns its error. Other errors: *ElementError for what an element returns or
// for numbers that are not finite; *SingularError; springs that are not; memory
// over the limit. Of several troubles, that of the earliest front is returned.
func (s *Symbolic) Factor(ctx context.Context, element Element, springs []Spring, buffers *Buffers) (*Factor, error) {
	if err := s.checkMemory(); err != nil {
		return nil, err
	}
	ground, err := s.checkSprings(springs)
	if err != nil {
		return nil, err
	}
	if buffers == nil {
		buffers = new(Buffers)
	}
	f := &Factor{
		sym: s, buffers: buffers, springs: ground,
		panels: buffers.takeLarge(s.panels), packed: buffers.takeLarge(s.packed),
		diagonal: make([]float64, s.free),
	}
	b := &builder{f: f, sym: s, element: element, crew: newCrew(ctx, s.opts.Workers), least: make([]float64, len(s.fronts))}
	b.failed.Store(int64(len(s.fronts)))
	if err := b.run(); err != nil {
		f.Release()
		return nil, err
	}
	f.scale = make([]float64, s.free)
	for k, d := range f.diagonal {
		f.scale[k] = 1 / math.Sqrt(d)
		f.largest = max(f.largest, d)
	}
	if len(b.least) > 0 && slices.Min(b.least) < doubtful {
		err = f.checkWeakest(b.crew)
	}
	if err != nil {
		f.Release()
		return nil, err
	}
	return f, nil
}

// strips is the factor of a front.
func (f *Factor) strips(fr *front) strips {
	return newStrips(fr.own, fr.size, f.panels[fr.panel:])
}

// checkSprings adds springs up by place in the order of elimination.
func (s *Symbolic) checkSprings(springs []Spring) ([]float64, error) {
	if len(springs) == 0 {
		return nil, nil
	}
	ground := make([]float64, len(s.order))
	for i, sp := range springs {
		switch {
		case sp.Unknown < 0 || sp.Unknown >= len(s.order):
			return nil, fmt.Errorf("sparse: spring %d: unknown %d does not exist: there are %d", i, sp.Unknown, len(s.order))
		case !(sp.Stiffness >= 0) || math.IsInf(sp.Stiffness, 0):
			return nil, fmt.Errorf("sparse: spring %d: stiffness %g: give a finite number, 0 or more; hold the unknown for a rigid support", i, sp.Stiffness)
		}
		ground[s.order[sp.Unknown]] += sp.Stiffness
	}
	return ground, nil
}

// Release gives the factor's memory to its buffers. The factor cannot be used
// afterwards. It waits for running solutions.
func (f *Factor) Release() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.panels != nil {
		f.buffers.giveLarge(f.panels)
		f.buffers.giveLarge(f.packed)
		f.panels, f.packed = nil, nil
	}
}

// Symbolic is the analysis that the factor was made from.
func (f *Factor) Symbolic() *Symbolic { return f.sym }

// Bytes is the memory that the factor holds, element matrices included.
func (f *Factor) Bytes() int64 { return f.sym.Size().Bytes }

// builder makes a factor.
type builder struct {
	f       *Factor
	sym     *Symbolic
	element Element
	crew    *crew
	work    sync.Pool // of *workspace
	least   []float64 // pivot of each front, as a share of its diagonal
	failed  atomic.Int64
	mu      sync.Mutex
	err     error // of front failed; guarded by mu
}

// workspace is the memory of one goroutine at one front.
type workspace struct {
	matrix   []float64
	diagonal []float64
	columns  columns
}

// columns is where the own columns of a front are added up, in its strips: entry
// (r, c) is data[base[r]+c·strip].
type columns struct {
	data []float64
	base []int32
}

func (b *builder) run() error {
	b.work.New = func() any { return new(workspace) }
	defer func() {
		if p := recover(); p != nil {
			b.crew.ended.Store(true) // the other goroutines stop too
			panic(p)
		}
	}()
	for _, schur := range b.all(b.sym.roots) {
		if schur != nil {
			b.f.buffers.give(schur)
		}
	}
	b.crew.rethrow()
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.crew.ended.Load() {
		return b.crew.ctx.Err()
	}
	return b.err
}

// fail notes the trouble of a front. Fronts before it go on, so that the
// earliest trouble is found whatever the number of workers.
func (b *builder) fail(i int, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if int64(i) < b.failed.Load() {
		b.failed.Store(int64(i))
		b.err = err
	}
}

func (b *builder) stopped(i int) bool {
	return int64(i) > b.failed.Load() || b.crew.done()
}

// ownTask is the work of a subtree, in flops and moves, from which it is given to
// a goroutine of its own: some 50 µs.
const ownTask = 3e5

// all computes the subtrees of several fronts, side by side where they are large.
func (b *builder) all(fronts []int32) [][]float64 {
	schur := make([][]float64, len(fronts))
	var wg sync.WaitGroup
	for k := len(fronts) - 1; k >= 0; k-- {
		do := func() { schur[k] = b.subtree(int(fronts[k])) }
		if k == 0 || b.sym.fronts[fronts[k]].work < ownTask || !b.crew.start(&wg, do) {
			do()
		}
	}
	wg.Wait()
	return schur
}

// subtree computes the fronts of a subtree and returns the Schur complement of
// its root, or nil if there was trouble.
func (b *builder) subtree(i int) []float64 {
	f := &b.sym.fronts[i]
	kids := b.all(f.kids)
	defer func() {
		for _, k := range kids {
			if k != nil {
				b.f.buffers.give(k)
			}
		}
	}()
	for _, k := range kids {
		if k == nil {
			return nil
		}
	}
	if b.stopped(i) {
		return nil
	}
	w := b.work.Get().(*workspace)
	defer b.work.Put(w)
	rest := f.size - f.own
	schur := b.f.buffers.take(scratchSize(rest))
	for r := range rest {
		clear(schur[r*rest : r*rest+r+1]) // the lower triangle is all that is used
	}
	done := &work{crew: b.crew, schur: schur, least: 1}
	strips := b.f.strips(f)
	clear(strips.data)
	w.columns = strips.columns(w.columns.base)
	w.diagonal = sized(w.diagonal, f.size)
	clear(w.diagonal)
	if err := b.assemble(f, w, schur, kids); err != nil {
		b.fail(i, err)
		b.f.buffers.give(schur)
		return nil
	}
	own := w.diagonal[:f.own]
	copy(b.f.diagonal[f.start:], own)
	copy(schur[rest*rest:], w.diagonal[f.own:])
	if bad, pivot := b.eliminate(&strips, done, own); bad >= 0 {
		b.fail(i, b.sym.singular(f.start+bad, pivot, own[bad]))
		b.f.buffers.give(schur)
		return nil
	}
	b.least[i] = done.least
	return schur
}

// eliminate factors the strips of a front and updates the Schur complement. diagonal
// holds the stiffness of each own unknown alone. It returns the first own unknown
// without a good pivot, and that pivot, or −1.
func (b *builder) eliminate(s *strips, w *work, diagonal []float64) (bad int, pivot float64) {
	if s.own == 0 {
		return -1, 0 // a separator whose unknowns are all held
	}
	if hasKernels {
		return (&stripwise{s, w}).run(diagonal)
	}
	rows := b.f.buffers.take(s.size * s.own)
	defer b.f.buffers.give(rows)
	s.unpack(rows)
	if bad, pivot = (&eliminator{w, s.own, s.size, rows}).run(diagonal); bad < 0 {
		s.pack(rows)
	}
	return bad, pivot
}

// assemble adds up springs, elements and the Schur complements of the halves. The
// diagonal of the sum of the element matrices, of which the Schur complements
// show nothing any more, is handed up beside them.
func (b *builder) assemble(f *front, w *workspace, schur []float64, kids [][]float64) error {
	if b.f.springs != nil {
		for r, k := range b.f.springs[f.start : f.start+f.own] {
			w.columns.data[int(w.columns.base[r])+r*strip] += k
			w.diagonal[r] += k
		}
	}
	for _, e := range f.elems {
		if b.crew.done() {
			return b.crew.ctx.Err()
		}
		if err := b.addElement(int(e), f, w, schur); err != nil {
			return &ElementError{int(e), err}
		}
	}
	for k, kid := range f.kids {
		b.addSchur(&b.sym.fronts[kid], f, kids[k], w, schur)
	}
	return nil
}

// addElement computes an element matrix, keeps its lower triangle and adds it.
func (b *builder) addElement(e int, f *front, w *workspace, schur []float64) error {
	local := b.sym.elements[e].local
	n := len(local)
	w.matrix = sized(w.matrix, n*n)
	clear(w.matrix)
	if err := b.element(e, w.matrix); err != nil {
		return err
	}
	at, rest, own := b.sym.elements[e].at, f.size-f.own, &w.columns
	for i, p := range local {
		row := w.matrix[i*n : i*n+i+1]
		kept := b.f.packed[at : at+i+1]
		at += i + 1
		check := 0.0
		for j, v := range row {
			kept[j] = v
			check += v * 0 // not zero if v is not finite
		}
		if check != 0 {
			return fmt.Errorf("row %d of its matrix is not finite: %v", i, row)
		}
		if p < 0 {
			continue
		}
		w.diagonal[p] += row[i]
		for j, v := range row {
			if q := local[j]; q >= 0 {
				r, c := int(max(p, q)), int(min(p, q))
				if c < f.own {
					own.data[int(own.base[r])+c*strip] += v
				} else {
					schur[(r-f.own)*rest+c-f.own] += v
				}
			}
		}
	}
	return nil
}

// addSchur adds the Schur complement of a half, run by run.
func (b *builder) addSchur(kid, f *front, from []float64, w *workspace, schur []float64) {
	n, rest := kid.size-kid.own, f.size-f.own
	for k, rows := range kid.runs {
		if b.crew.done() {
			return
		}
		for r := rows.from; r < rows.from+rows.n; r++ {
			source := from[int(r)*n : int(r)*n+int(r)+1]
			to := int(rows.to + r - rows.from)
			w.diagonal[to] += from[n*n+int(r)]
			for _, cols := range kid.runs[:k+1] {
				part := source[cols.from:min(cols.from+cols.n, r+1)]
				if int(cols.to) < f.own {
					w.columns.add(to, int(cols.to), part)
					continue
				}
				dst := schur[(to-f.own)*rest+int(cols.to)-f.own:][:len(part)]
				for j, v := range part {
					dst[j] += v
				}
			}
		}
	}
}

// add adds numbers to row r from column c on.
func (o *columns) add(r, c int, part []float64) {
	at := int(o.base[r]) + c*strip
	for _, v := range part {
		o.data[at] += v
		at += strip
	}
}

// sized returns a slice of n numbers of any value, the old one if it is enough.
func sized(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n+n/4)[:n]
	}
	return s[:n]
}
