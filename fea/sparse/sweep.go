package sparse

import "gonum.org/v1/gonum/blas/blas64"

// Solution and products by sweeps over the fronts or elements (see tasks.go). A
// front's own unknowns are neighbours in the order of elimination, so that its
// panel is used in place; only rows beyond its own are looked up one by one.

// sweeper holds the vectors of one solution: in the order of elimination, with
// private places behind, one for each right-hand side.
type sweeper struct {
	f       *Factor
	crew    *crew
	vectors [][]float64
}

func newSweeper(f *Factor, c *crew, count int) *sweeper {
	s := &sweeper{f: f, crew: c, vectors: make([][]float64, count)}
	for i := range s.vectors {
		s.vectors[i] = make([]float64, f.sym.slots)
	}
	return s
}

// overTasks calls f for every task and every group of vectors.
func (s *sweeper) overTasks(f func(t *task, v [][]float64)) {
	tasks := s.f.sym.tasks
	groups := (len(s.vectors) + group - 1) / group
	s.crew.each(groups*len(tasks), func(i int) {
		g := i / len(tasks)
		f(&tasks[i%len(tasks)], s.vectors[g*group:min((g+1)*group, len(s.vectors))])
	})
}

// overGroups calls f for every group of vectors.
func (s *sweeper) overGroups(f func(v [][]float64)) {
	groups := (len(s.vectors) + group - 1) / group
	s.crew.each(groups, func(g int) { f(s.vectors[g*group : min((g+1)*group, len(s.vectors))]) })
}

// group is the number of right-hand sides that a panel is read for at a time.
const group = 8

// solve replaces the free unknowns of each vector by the solution for it.
func (s *sweeper) solve() {
	sym := s.f.sym
	s.overTasks(func(t *task, vs [][]float64) {
		for _, v := range vs {
			clear(v[t.start : t.start+len(t.outside)])
		}
		for i := t.first; i <= t.root && !s.crew.done(); i++ {
			s.f.forward(&sym.fronts[i], vs)
		}
	})
	s.overGroups(func(vs [][]float64) {
		s.collect(vs)
		for i := range sym.fronts {
			if sym.fronts[i].task < 0 && !s.crew.done() {
				s.f.forward(&sym.fronts[i], vs)
			}
		}
		for i := len(sym.fronts) - 1; i >= 0; i-- {
			if sym.fronts[i].task < 0 && !s.crew.done() {
				s.f.backward(&sym.fronts[i], vs)
			}
		}
		s.distribute(vs)
	})
	s.overTasks(func(t *task, vs [][]float64) {
		for i := t.root; i >= t.first && !s.crew.done(); i-- {
			s.f.backward(&sym.fronts[i], vs)
		}
	})
}

// collect adds the private places of the tasks to the unknowns they stand for.
func (s *sweeper) collect(vs [][]float64) {
	for i := range s.f.sym.tasks {
		t := &s.f.sym.tasks[i]
		for _, v := range vs {
			for k, place := range t.outside {
				v[place] += v[t.start+k]
			}
		}
	}
}

// distribute copies the unknowns outside each task to its private places.
func (s *sweeper) distribute(vs [][]float64) {
	for i := range s.f.sym.tasks {
		t := &s.f.sym.tasks[i]
		for _, v := range vs {
			for k, place := range t.outside {
				v[t.start+k] = v[place]
			}
		}
	}
}

// chunk is the number of rows of a panel that all vectors of a group are taken
// through before the next: so many stay in the cache.
func chunk(own int) int { return max(16384/max(own, 1), 8) }

// forward solves with the panel of a front. The triangle is solved by dot products
// here because gonum's Trsv adds up one by one.
func (f *Factor) forward(fr *front, vs [][]float64) {
	if fr.own == 0 {
		return
	}
	panel := f.panels[fr.panel : fr.panel+fr.size*fr.own]
	for _, v := range vs {
		own := v[fr.start : fr.start+fr.own]
		for r := range own {
			row := panel[r*fr.own : r*fr.own+r+1]
			own[r] = (own[r] - dot(row[:r], own[:r])) / row[r]
		}
	}
	step := chunk(fr.own)
	for from := 0; from < len(fr.rows); from += step {
		rows := fr.rows[from:min(from+step, len(fr.rows))]
		part := panel[(fr.own+from)*fr.own:]
		for _, v := range vs {
			own := v[fr.start : fr.start+fr.own]
			for r, place := range rows {
				v[place] -= dot(part[r*fr.own:(r+1)*fr.own], own)
			}
		}
	}
}

// backward solves with the transpose of the panel of a front.
func (f *Factor) backward(fr *front, vs [][]float64) {
	if fr.own == 0 {
		return
	}
	panel := f.panels[fr.panel : fr.panel+fr.size*fr.own]
	step := chunk(fr.own)
	for from := 0; from < len(fr.rows); from += step {
		rows := fr.rows[from:min(from+step, len(fr.rows))]
		part := panel[(fr.own+from)*fr.own:]
		for _, v := range vs {
			own := vector(v[fr.start : fr.start+fr.own])
			for r, place := range rows {
				blas64.Axpy(-v[place], vector(part[r*fr.own:(r+1)*fr.own]), own)
			}
		}
	}
	for _, v := range vs {
		own := v[fr.start : fr.start+fr.own]
		for r := fr.own - 1; r >= 0; r-- {
			row := panel[r*fr.own : r*fr.own+r+1]
			own[r] /= row[r]
			blas64.Axpy(-own[r], vector(row[:r]), vector(own[:r]))
		}
	}
}

func vector(v []float64) blas64.Vector { return blas64.Vector{N: len(v), Inc: 1, Data: v} }

// multiply sets to.vectors to K times the vectors of s, by element matrices and
// springs, for all unknowns. The private places of both are used.
func (s *sweeper) multiply(to *sweeper) {
	sym := s.f.sym
	s.overGroups(s.distribute)
	tasks := len(sym.tasks)
	s.crew.each(tasks*len(s.vectors), func(i int) {
		t, x, y := &sym.tasks[i%tasks], s.vectors[i/tasks], to.vectors[i/tasks]
		clear(y[sym.fronts[t.first].start : sym.fronts[t.root].start+sym.fronts[t.root].own])
		clear(y[t.start : t.start+len(t.outside)])
		for k := t.first; k <= t.root && !s.crew.done(); k++ {
			for _, e := range sym.fronts[k].elems {
				s.f.addProduct(&sym.elements[e], x, y)
			}
		}
	})
	for i, y := range to.vectors {
		for k := range sym.fronts {
			if f := &sym.fronts[k]; f.task < 0 {
				clear(y[f.start : f.start+f.own])
			}
		}
		clear(y[sym.free:len(sym.order)])
		to.collect(to.vectors[i : i+1])
		for k, stiffness := range s.f.springs {
			y[k] += stiffness * s.vectors[i][k]
		}
	}
}

// addProduct adds an element matrix times x to y.
func (f *Factor) addProduct(e *slot, x, y []float64) {
	at := e.at
	for i, p := range e.sweep {
		row := f.packed[at : at+i+1]
		at += i + 1
		xi, sum := x[p], 0.0
		for j, q := range e.sweep[:i] {
			a := row[j]
			sum += a * x[q]
			y[q] += a * xi
		}
		y[p] += sum + row[i]*xi
	}
}

func dot(a, b []float64) float64 { return blas64.Dot(vector(a), vector(b)) }
