package sparse

// A sweep goes through the fronts, or through the elements, and adds to a vector
// by unknown. The tree is cut into tasks: whole subtrees, as many for every number
// of workers. What a task adds to unknowns that are eliminated outside it goes to
// private places behind the vector proper, which are added to it afterwards, task
// after task. So tasks run side by side, with the same bits in any order.

// task is a subtree.
type task struct {
	first, root int32   // fronts first…root, children first
	outside     []int32 // places in the order of elimination that its private ones stand for
	start       int     // of the private places
}

const (
	maxTasks = 16
	// leastTask is the least work of a front that is divided into tasks, in
	// flops and moves: some 0.2 ms.
	leastTask = 1e6
)

// chooseTasks divides the largest subtree until there are enough.
func (s *Symbolic) chooseTasks() {
	roots := append([]int32(nil), s.roots...)
	for len(roots) < maxTasks {
		best := -1
		for i, r := range roots {
			f := &s.fronts[r]
			if len(f.kids) > 0 && f.work > leastTask && (best < 0 || f.work > s.fronts[roots[best]].work) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		kids := s.fronts[roots[best]].kids
		roots = append(append(append([]int32(nil), roots[:best]...), kids...), roots[best+1:]...)
	}
	// Subtrees of small pieces are joined to one task where they are neighbours.
	for _, r := range roots {
		first := s.firstOf(r)
		if k := len(s.tasks) - 1; k >= 0 && len(s.tasks) >= maxTasks && s.fronts[r].parent < 0 && s.tasks[k].root+1 == first {
			s.tasks[k].root = r
			continue
		}
		s.tasks = append(s.tasks, task{first: first, root: r})
	}
	for t := range s.tasks {
		for i := s.tasks[t].first; i <= s.tasks[t].root; i++ {
			s.fronts[i].task = int32(t)
		}
	}
}

// firstOf is the first front of a subtree.
func (s *Symbolic) firstOf(f int32) int32 {
	for len(s.fronts[f].kids) > 0 {
		f = s.fronts[f].kids[0]
	}
	return f
}

// placeSweeps finds the places in a sweep's vector of the rows of all fronts and
// of the unknowns of all elements.
func (s *Symbolic) placeSweeps() {
	s.slots = len(s.order)
	private := make([]int32, len(s.order)) // place of an unknown in the task at hand
	stamp := make([]int32, len(s.order))   // 1 + the task that private is for
	for t := range s.tasks {
		tk := &s.tasks[t]
		tk.start = s.slots
		low, high := s.fronts[tk.first].start, s.fronts[tk.root].start+s.fronts[tk.root].own
		at := func(k int32) int32 {
			if int(k) >= low && int(k) < high {
				return k
			}
			if stamp[k] != int32(t+1) {
				stamp[k] = int32(t + 1)
				private[k] = int32(s.slots)
				tk.outside = append(tk.outside, k)
				s.slots++
			}
			return private[k]
		}
		for i := tk.first; i <= tk.root; i++ {
			s.placeFront(&s.fronts[i], at)
			for _, e := range s.fronts[i].elems {
				for k, u := range s.elements[e].unknowns {
					s.elements[e].sweep[k] = at(s.order[u])
				}
			}
		}
	}
	for i := range s.fronts {
		if s.fronts[i].task < 0 {
			s.placeFront(&s.fronts[i], func(k int32) int32 { return k })
		}
	}
}

// placeFront fills the places of the rows beyond a front's own.
func (s *Symbolic) placeFront(f *front, at func(int32) int32) {
	f.rows = make([]int32, 0, f.size-f.own)
	for _, n := range f.touches {
		for u := s.num.first[n]; u < s.num.first[n+1]; u++ {
			if !s.num.held[u] {
				f.rows = append(f.rows, at(s.order[u]))
			}
		}
	}
}
