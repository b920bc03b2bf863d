package sparse

import (
	"context"
	"math"
	"slices"
	"sync"
)

// Nested dissection on the centroids of the elements. A set of elements, sorted
// along several directions, is cut across the direction and at the place where
// the fewest unknowns have elements on both sides; those unknowns are eliminated
// after both halves. Only straight cuts are looked at, which on plates is as good
// as a graph partitioner and takes a tenth of its time.

const (
	// leastShare is the smallest share of the elements in a half.
	leastShare = 0.38
	// imbalance is the price of unequal halves, as a share of the separator per
	// share of the elements; both this and leastShare were chosen by trial on
	// perforated plates, and are flat near the optimum.
	imbalance = 1.5
	// leafUnknowns is the number of unknowns of a leaf's elements, counted by
	// element. Larger leaves have fewer fronts to add up and to order, smaller ones
	// fewer operations and numbers: on the plate with 110,000 unknowns an analysis
	// with 240, 320, 420, 540 and 720 takes times as 1.18, 1.07, 1, 1.01 and 1.04, and
	// at 2·10⁵ unknowns a factor has 2.0, 2.05, 2.1, 2.2 and 2.35 kB for each.
	leafUnknowns = 420
	// ownGoroutine is the number of elements from which a half is dissected by a
	// goroutine of its own.
	ownGoroutine = 2000
)

// part is a set of elements in the dissection: a leaf, or two halves and the
// nodes between them.
type part struct {
	halves []*part
	nodes  []int32 // eliminated here
	elems  []int32 // of a leaf
}

// count is the number of parts in the dissection below p, itself included.
func (p *part) count() int {
	n := 1
	for _, h := range p.halves {
		n += h.count()
	}
	return n
}

type dissector struct {
	ctx      context.Context
	p        *Pattern
	centroid [][3]float64
	leaf     int
	tokens   chan struct{} // one for each goroutine that may be started
	// The following are of each node or element, and are touched only by the
	// goroutine that dissects the set which the node or element is in.
	nodes []dissected
	left  []bool // element is in the first half
}

// dissected is the state of a node.
type dissected struct {
	weight int32 // free unknowns; zero once the node is in a separator or leaf
	total  int32 // elements of the set at the node
	sweep  int32 // that count belongs to
	count  int32 // elements of the set at the node that the sweep has passed
}

// directions in which a set may be cut: the axes and, in the plane, the diagonals.
var directions = [...][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0}, {1, -1, 0}}

// dissect divides the elements, piece by piece, and returns one part per piece.
func dissect(ctx context.Context, p *Pattern, num numbering, pieces *Pieces, o Options) ([]*part, error) {
	d := &dissector{
		ctx: ctx, p: p, leaf: o.Leaf, tokens: make(chan struct{}, o.Workers-1),
		centroid: make([][3]float64, len(p.Elements)),
		nodes:    make([]dissected, len(p.Positions)), left: make([]bool, len(p.Elements)),
	}
	sum := 0
	for n, w := range num.free {
		d.nodes[n].weight = w
	}
	for e, nodes := range p.Elements {
		for _, n := range nodes {
			for k, x := range p.Positions[n] {
				d.centroid[e][k] += x / float64(len(nodes))
			}
			sum += p.Sizes[n]
		}
	}
	if d.leaf == 0 {
		d.leaf = min(max(leafUnknowns*len(p.Elements)/max(sum, 1), 4), 24)
	}
	ways := d.useful()
	orders := make([][][]int32, len(ways))
	newCrew(ctx, o.Workers).each(len(ways), func(i int) { orders[i] = d.sorted(ways[i], pieces) })
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	sets := make([][][]int32, pieces.Count)
	for _, list := range orders {
		for i, order := range list {
			sets[i] = append(sets[i], order)
		}
	}
	var parts []*part
	for _, set := range sets {
		if len(set[0]) == 0 {
			continue // a node of its own, with all unknowns held
		}
		root, err := d.divide(set)
		if err != nil {
			return nil, err
		}
		parts = append(parts, root)
	}
	return parts, nil
}

// useful lists the directions in which the centroids differ.
func (d *dissector) useful() []int {
	low, high := [3]float64{}, [3]float64{}
	for e, c := range d.centroid {
		for k := range c {
			if e == 0 {
				low[k], high[k] = c[k], c[k]
			}
			low[k], high[k] = min(low[k], c[k]), max(high[k], c[k])
		}
	}
	var list []int
	for k := range 3 {
		if high[k] > low[k] {
			list = append(list, k)
		}
	}
	if high[0] > low[0] && high[1] > low[1] {
		list = append(list, 3, 4)
	}
	if list == nil {
		list = []int{0}
	}
	return list
}

// along is the coordinate of a place in a direction.
func along(at [3]float64, direction int) float64 {
	v := directions[direction]
	return at[0]*v[0] + at[1]*v[1] + at[2]*v[2]
}

// sorted returns the elements of each piece in the order of a direction.
func (d *dissector) sorted(direction int, pieces *Pieces) [][]int32 {
	type key struct {
		at float64
		e  int32
	}
	keys := make([]key, len(d.centroid))
	for e, c := range d.centroid {
		keys[e] = key{along(c, direction), int32(e)}
	}
	slices.SortFunc(keys, func(a, b key) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return int(a.e - b.e)
	})
	sets := make([][]int32, pieces.Count)
	for _, k := range keys {
		i := pieces.OfNode[d.p.Elements[k.e][0]]
		sets[i] = append(sets[i], k.e)
	}
	return sets
}

// divide dissects the set of elements that is given in several orders.
func (d *dissector) divide(orders [][]int32) (*part, error) {
	if err := d.ctx.Err(); err != nil {
		return nil, err
	}
	set := orders[0]
	if len(set) <= d.leaf {
		return &part{elems: set, nodes: d.remaining(set)}, nil
	}
	direction, cut := d.bestCut(orders)
	between := d.separate(orders[direction], cut)
	first, second := d.halves(orders, cut)
	p := &part{halves: make([]*part, 2), nodes: d.inLine(between)}
	var wg sync.WaitGroup
	var errs [2]error
	started := false
	if len(set) >= ownGoroutine {
		select {
		case d.tokens <- struct{}{}:
			wg.Add(1)
			go func() {
				defer wg.Done()
				p.halves[1], errs[1] = d.divide(second)
				<-d.tokens
			}()
			started = true
		default:
		}
	}
	p.halves[0], errs[0] = d.divide(first)
	if !started {
		p.halves[1], errs[1] = d.divide(second)
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return p, nil
}

// remaining takes the nodes of a leaf that no separator holds.
func (d *dissector) remaining(set []int32) []int32 {
	var nodes []int32
	for _, e := range set {
		for _, n := range d.p.Elements[e] {
			if d.nodes[n].weight > 0 {
				d.nodes[n].weight = 0
				nodes = append(nodes, n)
			}
		}
	}
	return nodes
}

// bestCut sweeps the set along each order and finds where the fewest unknowns
// lie on both sides: the number of the order, and of elements before the cut.
func (d *dissector) bestCut(orders [][]int32) (best, cut int) {
	m := len(orders[0])
	for _, e := range orders[0] {
		for _, n := range d.p.Elements[e] {
			if s := &d.nodes[n]; s.weight > 0 {
				s.total++
			}
		}
	}
	// With two elements or more both ends lie within 1 and m−1.
	low := min(max(int(math.Ceil(leastShare*float64(m))), 1), m/2)
	least := math.Inf(1)
	for k, order := range orders {
		between := int32(0)
		for i, e := range order[:m-low] {
			for _, n := range d.p.Elements[e] {
				s := &d.nodes[n]
				if s.weight == 0 || s.total == 1 {
					continue
				}
				if s.sweep != int32(k+1) {
					s.sweep, s.count = int32(k+1), 0
					between += s.weight
				}
				if s.count++; s.count == s.total {
					between -= s.weight
				}
			}
			if c := i + 1; c >= low {
				price := (float64(between) + 1) * (1 + imbalance*math.Abs(float64(c)/float64(m)-0.5))
				if price < least {
					least, best, cut = price, k, c
				}
			}
		}
	}
	return best, cut
}

// separate takes the nodes between the first elements of the order and the rest,
// marks the first elements, and clears the counts.
func (d *dissector) separate(order []int32, cut int) []int32 {
	const own = -1 // sweep
	for i, e := range order {
		d.left[e] = i < cut
		if i >= cut {
			continue
		}
		for _, n := range d.p.Elements[e] {
			s := &d.nodes[n]
			if s.weight == 0 {
				continue
			}
			if s.sweep != own {
				s.sweep, s.count = own, 0
			}
			s.count++
		}
	}
	var between []int32
	for _, e := range order[:cut] {
		for _, n := range d.p.Elements[e] {
			if s := &d.nodes[n]; s.weight > 0 && s.count < s.total {
				s.weight = 0
				between = append(between, n)
			}
		}
	}
	for _, e := range order {
		for _, n := range d.p.Elements[e] {
			if s := &d.nodes[n]; s.weight > 0 {
				s.total, s.sweep = 0, 0
			}
		}
	}
	return between
}

// halves splits every order by the marks of separate.
func (d *dissector) halves(orders [][]int32, cut int) (first, second [][]int32) {
	for _, order := range orders {
		a, b := make([]int32, 0, cut), make([]int32, 0, len(order)-cut)
		for _, e := range order {
			if d.left[e] {
				a = append(a, e)
			} else {
				b = append(b, e)
			}
		}
		first, second = append(first, a), append(second, b)
	}
	return first, second
}

// inLine sorts the nodes of a separator along its longest extent, so that the
// parts of it that later fronts hold are runs of neighbours.
func (d *dissector) inLine(nodes []int32) []int32 {
	if len(nodes) == 0 {
		return nodes
	}
	low, high := d.p.Positions[nodes[0]], d.p.Positions[nodes[0]]
	for _, n := range nodes {
		for k, x := range d.p.Positions[n] {
			low[k], high[k] = min(low[k], x), max(high[k], x)
		}
	}
	axes := []int{0, 1, 2}
	slices.SortStableFunc(axes, func(a, b int) int {
		switch x, y := high[a]-low[a], high[b]-low[b]; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	slices.SortFunc(nodes, func(a, b int32) int {
		for _, k := range axes {
			switch x, y := d.p.Positions[a][k], d.p.Positions[b][k]; {
			case x < y:
				return -1
			case x > y:
				return 1
			}
		}
		return int(a - b)
	})
	return nodes
}
