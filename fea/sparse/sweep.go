package sparse

// Solution and products by sweeps over the fronts or elements (see tasks.go). A
// front's own unknowns are neighbours in the order of elimination; only rows beyond
// its own are looked up one by one.

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
	s.forward()
	sym := s.f.sym
	s.overGroups(func(vs [][]float64) {
		scratch := s.scratch()
		for i := len(sym.fronts) - 1; i >= 0; i-- {
			if sym.fronts[i].task < 0 && !s.crew.done() {
				s.f.backward(&sym.fronts[i], vs, scratch)
			}
		}
		s.distribute(vs)
	})
	s.overTasks(func(t *task, vs [][]float64) {
		scratch := s.scratch()
		for i := t.root; i >= t.first && !s.crew.done(); i-- {
			s.f.backward(&sym.fronts[i], vs, scratch)
		}
	})
}

// forward replaces the free unknowns of each vector by L⁻¹ times them.
func (s *sweeper) forward() {
	sym := s.f.sym
	s.overTasks(func(t *task, vs [][]float64) {
		for _, v := range vs {
			clear(v[t.start : t.start+len(t.outside)])
		}
		scratch := s.scratch()
		for i := t.first; i <= t.root && !s.crew.done(); i++ {
			s.f.forward(&sym.fronts[i], vs, scratch)
		}
	})
	s.overGroups(func(vs [][]float64) {
		s.collect(vs)
		scratch := s.scratch()
		for i := range sym.fronts {
			if sym.fronts[i].task < 0 && !s.crew.done() {
				s.f.forward(&sym.fronts[i], vs, scratch)
			}
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

// scratch is memory for the own unknowns of a front of every vector of a group.
func (s *sweeper) scratch() []float64 {
	return make([]float64, min(group, len(s.vectors))*(s.f.sym.width+strip))
}

// forward solves with the panel of a front.
func (f *Factor) forward(fr *front, vs [][]float64, scratch []float64) {
	if fr.own == 0 {
		return
	}
	s := f.strips(fr)
	for k, v := range vs {
		x := s.vector(k, scratch)
		own := v[fr.start : fr.start+fr.own]
		clear(x[copy(x, own):])
		s.forward(x)
		copy(own, x)
	}
	var sum [strip]float64
	for i := s.corner; i < s.count; i++ {
		first, rows := s.rows(i)
		places := fr.rows[first-s.own:][:rows]
		for k, v := range vs {
			timesStrip(s.width, s.at(i), s.vector(k, scratch), &sum)
			for r, place := range places {
				v[place] -= sum[r]
			}
		}
	}
}

// backward solves with the transpose of the panel of a front.
func (f *Factor) backward(fr *front, vs [][]float64, scratch []float64) {
	if fr.own == 0 {
		return
	}
	s := f.strips(fr)
	for k, v := range vs {
		x := s.vector(k, scratch)
		clear(x[copy(x, v[fr.start:fr.start+fr.own]):])
	}
	for i := s.corner; i < s.count; i++ {
		first, rows := s.rows(i)
		places := fr.rows[first-s.own:][:rows]
		for k, v := range vs {
			var y [strip]float64
			for r, place := range places {
				y[r] = v[place]
			}
			takeTransposed(s.width, s.at(i), &y, s.vector(k, scratch))
		}
	}
	for k, v := range vs {
		x := s.vector(k, scratch)
		s.backward(x)
		copy(v[fr.start:fr.start+fr.own], x)
	}
}

// vector is the memory for the own unknowns of vector k of a group.
func (s *strips) vector(k int, scratch []float64) []float64 {
	return scratch[k*s.width : (k+1)*s.width]
}

// multiply sets to.vectors to K times the vectors of s, by element matrices and
// springs, for all unknowns. The private places of both are used.
func (s *sweeper) multiply(to *sweeper) {
	sym := s.f.sym
	s.overGroups(s.distribute)
	tasks := len(sym.tasks)
	groups := (len(s.vectors) + group - 1) / group
	s.crew.each(tasks*groups, func(i int) {
		t, g := &sym.tasks[i%tasks], i/tasks
		end := min((g+1)*group, len(s.vectors))
		xs, ys := s.vectors[g*group:end], to.vectors[g*group:end]
		for _, y := range ys {
			clear(y[sym.fronts[t.first].start : sym.fronts[t.root].start+sym.fronts[t.root].own])
			clear(y[t.start : t.start+len(t.outside)])
		}
		for k := t.first; k <= t.root && !s.crew.done(); k++ {
			for _, e := range sym.fronts[k].elems {
				for j, x := range xs {
					s.f.addProduct(&sym.elements[e], x, ys[j])
				}
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
