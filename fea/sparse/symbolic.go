package sparse

import (
	"context"
	"fmt"
	"slices"
)

// Symbolic is what a pattern fixes before any number is known: the order of
// elimination, the fronts and their memory. It is immutable.
type Symbolic struct {
	opts     Options
	num      numbering
	pieces   *Pieces
	order    []int32 // of each unknown: its place in the order of elimination; held ones come last
	unknown  []int32 // the inverse of order
	free     int     // unknowns that are not held
	fronts   []front // children before parents
	roots    []int32 // fronts without parent
	elements []slot  // of each element
	tasks    []task
	slots    int // length of the vectors of a sweep: unknowns and the private places of the tasks
	panels   int // doubles in all panels
	packed   int // doubles in all element matrices, lower triangles
	flops    float64
	entries  int64
	widest   int
	width    int // most own unknowns of a front
	scratch  int // doubles in the largest Schur complement
}

// front is one dense step of the elimination. Its rows are its own unknowns, then
// the unknowns of later fronts that it touches, by order of elimination.
type front struct {
	start   int   // of its own unknowns in the order of elimination
	own     int   // number of its own unknowns
	size    int   // number of rows
	panel   int   // where its panel starts: its strips
	parent  int32 // or −1
	task    int32 // or −1
	kids    []int32
	elems   []int32
	runs    []run   // where the rows beyond its own lie in the parent's front
	rows    []int32 // places in a sweep's vector of the rows beyond its own
	work    float64 // flops and moves of its subtree
	touches []int32 // nodes of later fronts, by order of elimination; dropped after analysis
	nodes   []int32 // its own nodes; dropped after analysis
}

// run is a run of neighbouring rows of a Schur complement, and where it goes.
type run struct{ from, to, n int32 }

// slot says where the unknowns of an element lie.
type slot struct {
	at       int // start of its matrix among the packed ones
	unknowns []int32
	local    []int32 // row in the front of each unknown, or −1 for held ones
	sweep    []int32 // place in a sweep's vector of each unknown
}

// Analyse numbers the unknowns, finds the connected pieces, orders the
// elimination and lays out the fronts. It looks at ctx in every set that it
// divides. Errors: *PatternError, options out of range, the error of ctx.
func Analyse(ctx context.Context, p Pattern, o Options) (*Symbolic, error) {
	o, err := o.check()
	if err != nil {
		return nil, err
	}
	num, err := p.check()
	if err != nil {
		return nil, err
	}
	s := &Symbolic{opts: o, num: num, pieces: findPieces(&p)}
	parts, err := dissect(ctx, &p, num, s.pieces, o)
	if err != nil {
		return nil, err
	}
	count := 0
	for _, root := range parts {
		count += root.count()
	}
	s.fronts = make([]front, 0, count)
	for _, root := range parts {
		s.roots = append(s.roots, s.flatten(root))
	}
	s.eliminate()
	rank := s.rank(&p)
	for i := range s.fronts {
		s.shape(&p, i, rank)
		if i&255 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
	}
	s.place(&p, rank)
	s.chooseTasks()
	s.placeSweeps()
	for i := range s.fronts {
		s.fronts[i].touches, s.fronts[i].nodes = nil, nil
	}
	return s, nil
}

// Serves reports whether a pattern has the unknowns, the elements and the held unknowns
// that s was made for. Its nodes may have other positions, which steer the order of
// elimination but are not needed for it.
func (s *Symbolic) Serves(p *Pattern) bool {
	if len(p.Sizes)+1 != len(s.num.first) || len(p.Elements) != len(s.elements) || len(p.Held) != len(s.num.held) && p.Held != nil {
		return false
	}
	for n, size := range p.Sizes {
		if int(s.num.first[n+1]-s.num.first[n]) != size {
			return false
		}
	}
	for u, held := range s.num.held {
		if held != (p.Held != nil && p.Held[u]) {
			return false
		}
	}
	for e, nodes := range p.Elements {
		mine := s.elements[e].unknowns
		for _, n := range nodes {
			if n < 0 || int(n) >= len(p.Sizes) || len(mine) < p.Sizes[n] {
				return false
			}
			if p.Sizes[n] > 0 && mine[0] != s.num.first[n] {
				return false
			}
			mine = mine[p.Sizes[n]:]
		}
		if len(mine) > 0 {
			return false
		}
	}
	return true
}

// flatten appends the fronts of a part, children first, and returns its number.
func (s *Symbolic) flatten(p *part) int32 {
	var kids []int32
	for _, h := range p.halves {
		kids = append(kids, s.flatten(h))
	}
	i := int32(len(s.fronts))
	for _, k := range kids {
		s.fronts[k].parent = i
	}
	s.fronts = append(s.fronts, front{kids: kids, elems: p.elems, nodes: p.nodes, parent: -1, task: -1})
	return i
}

// eliminate numbers the free unknowns in the order of the fronts, then the held.
func (s *Symbolic) eliminate() {
	n := len(s.num.held)
	s.order = make([]int32, n)
	next := int32(0)
	for i := range s.fronts {
		f := &s.fronts[i]
		f.start = int(next)
		for _, node := range f.nodes {
			for u := s.num.first[node]; u < s.num.first[node+1]; u++ {
				if !s.num.held[u] {
					s.order[u] = next
					next++
				}
			}
		}
		f.own = int(next) - f.start
	}
	s.free = int(next)
	for u, h := range s.num.held {
		if h {
			s.order[u] = next
			next++
		}
	}
	s.unknown = make([]int32, n)
	for u, k := range s.order {
		s.unknown[k] = int32(u)
	}
}

// rank is the place of each node in the order of elimination.
func (s *Symbolic) rank(p *Pattern) []int32 {
	rank := make([]int32, len(p.Positions))
	next := int32(0)
	for i := range s.fronts {
		for _, node := range s.fronts[i].nodes {
			rank[node] = next
			next++
		}
	}
	return rank
}

// shape finds the nodes of later fronts that front i touches, and its sizes.
func (s *Symbolic) shape(p *Pattern, i int, rank []int32) {
	f := &s.fronts[i]
	last := int32(-1) // rank of the last own node: neither halves nor elements hold an earlier one
	if len(f.nodes) > 0 {
		last = rank[f.nodes[len(f.nodes)-1]]
	}
	var touches []int32
	for _, k := range f.kids {
		f.work += s.fronts[k].work
		for _, n := range s.fronts[k].touches {
			if rank[n] > last {
				touches = append(touches, n)
			}
		}
	}
	for _, e := range f.elems {
		for _, n := range p.Elements[e] {
			if rank[n] > last && s.num.free[n] > 0 {
				touches = append(touches, n)
			}
		}
	}
	slices.SortFunc(touches, func(a, b int32) int { return int(rank[a] - rank[b]) })
	f.touches = slices.Compact(touches)
	f.size = f.own
	for _, n := range f.touches {
		f.size += int(s.num.free[n])
	}
	own1, rest := float64(f.own), float64(f.size-f.own)
	flops := own1*own1*own1/3 + own1*own1*rest + own1*rest*rest
	s.flops += flops
	f.work += flops + 16*float64(f.size)*float64(f.size)
	s.entries += int64(f.own) * int64(2*f.size-f.own+1) / 2
	s.widest = max(s.widest, f.size)
	f.panel = s.panels
	s.panels += (stripSize(f.own, f.size) + 7) &^ 7 // panels start at cache lines
	s.width = max(s.width, f.own)
	s.scratch = max(s.scratch, scratchSize(f.size-f.own))
}

// scratchSize is the length of a Schur complement with its diagonal beside it.
func scratchSize(rest int) int { return rest*rest + rest }

// place finds where the rows of each front lie in its parent, and where the
// unknowns of each element lie in its front.
func (s *Symbolic) place(p *Pattern, rank []int32) {
	at := make([]int32, len(p.Positions)) // row of the node's first free unknown
	s.elements = make([]slot, len(p.Elements))
	s.placeElements(p)
	for i := range s.fronts {
		f := &s.fronts[i]
		row := int32(0)
		for _, list := range [2][]int32{f.nodes, f.touches} {
			for _, n := range list {
				at[n] = row
				row += s.num.free[n]
			}
		}
		for _, k := range f.kids {
			s.fronts[k].runs = s.runsOf(&s.fronts[k], at, int32(f.own))
		}
		for _, e := range f.elems {
			s.rowsOf(p.Elements[e], at, s.elements[e].local)
		}
	}
}

// placeElements lists the unknowns of each element and makes room for the rest of
// its slot.
func (s *Symbolic) placeElements(p *Pattern) {
	total := 0
	for _, nodes := range p.Elements {
		for _, node := range nodes {
			total += p.Sizes[node]
		}
	}
	unknowns, local, sweep := make([]int32, 0, total), make([]int32, total), make([]int32, total)
	for e, nodes := range p.Elements {
		first := len(unknowns)
		for _, node := range nodes {
			for u := s.num.first[node]; u < s.num.first[node+1]; u++ {
				unknowns = append(unknowns, u)
			}
		}
		end := len(unknowns)
		s.elements[e] = slot{s.packed, unknowns[first:end], local[first:end], sweep[first:end]}
		s.packed += (end - first) * (end - first + 1) / 2
	}
}

// runsOf joins neighbouring rows of a child's front that are neighbours in the
// parent's too; runs end where the parent's own rows do.
func (s *Symbolic) runsOf(kid *front, at []int32, own int32) []run {
	var runs []run
	from := int32(0)
	for _, n := range kid.touches {
		size := s.num.free[n]
		to := at[n]
		if k := len(runs) - 1; k >= 0 && runs[k].to+runs[k].n == to && to != own {
			runs[k].n += size
		} else {
			runs = append(runs, run{from, to, size})
		}
		from += size
	}
	return runs
}

// rowsOf fills the rows in the front of the unknowns of an element.
func (s *Symbolic) rowsOf(nodes []int32, at, local []int32) {
	k := 0
	for _, n := range nodes {
		row := at[n]
		for u := s.num.first[n]; u < s.num.first[n+1]; u++ {
			local[k] = -1
			if !s.num.held[u] {
				local[k] = row
				row++
			}
			k++
		}
	}
}

// Unknowns is the number of unknowns, held ones included.
func (s *Symbolic) Unknowns() int { return len(s.num.held) }

// Free is the number of unknowns that are not held.
func (s *Symbolic) Free() int { return s.free }

// Unknown is the number of unknown c of a node.
func (s *Symbolic) Unknown(node, c int) int { return int(s.num.first[node]) + c }

// Locate is the node of an unknown, and which of the node's unknowns it is.
func (s *Symbolic) Locate(unknown int) (node, c int) {
	n, ok := slices.BinarySearch(s.num.first, int32(unknown))
	for ok && n+1 < len(s.num.first) && s.num.first[n+1] == int32(unknown) {
		n++ // nodes without unknowns share the number of the next
	}
	if !ok {
		n--
	}
	return n, unknown - int(s.num.first[n])
}

// Pieces are the connected parts of the model. The caller must not change them.
func (s *Symbolic) Pieces() *Pieces { return s.pieces }

// Size tells how large the factorisation is.
type Size struct {
	Entries int64   // of the triangular factor
	Flops   float64 // multiplications and additions
	Widest  int     // rows of the largest front
	Fronts  int
	Bytes   int64 // of a Factor with the element matrices, without the passing memory of its making
}

// Size tells how large the factorisation is.
func (s *Symbolic) Size() Size {
	return Size{s.entries, s.flops, s.widest, len(s.fronts), 8 * (int64(s.panels) + int64(s.packed) + 2*int64(s.free))}
}

// checkMemory refuses a factorisation that would take more than the limit.
func (s *Symbolic) checkMemory() error {
	// At its peak the largest Schur complement stands beside those of its
	// children, which are no larger in sum than two of it.
	if need := s.Size().Bytes + 8*3*int64(s.scratch); need > s.opts.MaxBytes {
		return fmt.Errorf("sparse: the factor of %d unknowns takes about %d MB, more than the limit of %d MB: use a coarser mesh",
			s.free, need>>20, s.opts.MaxBytes>>20)
	}
	return nil
}
