package sparse

import (
	"fmt"
	"math"
	"runtime"
)

// Limits on a pattern, against input that would ask for unbounded work.
const (
	maxSize     = 1 << 10 // unknowns of a node
	maxElement  = 1 << 12 // unknowns of an element: its matrix has 128 MB
	maxUnknowns = 1 << 27
	maxMemory   = 4 << 30
	maxWorkers  = 1 << 10
)

// Pattern says which unknowns there are and which elements couple them. Analyse
// does not keep or change it.
type Pattern struct {
	// Positions of the nodes, mm. They only steer the order of elimination and
	// need not be exact: nodes of a plane model have z = 0.
	Positions [][3]float64
	// Sizes is the number of unknowns at each node, from 0 to 1024.
	Sizes []int
	// Elements lists the nodes of each element, all different. Every node with
	// an unknown that is not held must belong to an element.
	Elements [][]int32
	// Held says for each unknown that its value is prescribed; nil means none.
	Held []bool
}

// Options steer analysis and factorisation; the zero value is the usual choice.
type Options struct {
	// Workers is the number of goroutines that work at a time; 0 means
	// GOMAXPROCS. Results do not depend on it.
	Workers int
	// Leaf is the number of elements that are no longer divided; 0 means
	// 4 to 24, of about 420 unknowns counted by element: fourteen shell triangles.
	Leaf int
	// GoodError is the backward error at which solutions are not refined any more,
	// below 1; 0 means 64 units of rounding, 7e-15.
	GoodError float64
	// MaxBytes is the memory that a factor may take; 0 means 4 GiB.
	MaxBytes int64
}

// A PatternError says what is wrong with a pattern, and where.
type PatternError struct {
	Element int // number of the element, or −1
	Node    int // number of the node, or −1
	Problem string
}

func (e *PatternError) Error() string {
	where := ""
	if e.Element >= 0 {
		where += fmt.Sprintf("element %d: ", e.Element)
	}
	if e.Node >= 0 {
		where += fmt.Sprintf("node %d: ", e.Node)
	}
	return "sparse: " + where + e.Problem
}

// numbering is where the unknowns of each node are.
type numbering struct {
	first []int32 // of each node; first[len(nodes)] is the number of unknowns
	held  []bool  // of each unknown
	free  []int32 // unknowns of each node that are not held
}

func (o Options) check() (Options, error) {
	switch {
	case o.Workers < 0 || o.Workers > maxWorkers:
		return o, fmt.Errorf("sparse: %d workers: give 1 to %d, or 0 for one per processor", o.Workers, maxWorkers)
	case o.Leaf < 0:
		return o, fmt.Errorf("sparse: leaves of %d elements: give 1 or more, or 0 for the usual size", o.Leaf)
	case !(o.GoodError >= 0 && o.GoodError < 1):
		return o, fmt.Errorf("sparse: refinement to a backward error of %g: give a number from 0 to 1, or 0 for the usual one", o.GoodError)
	case o.MaxBytes < 0:
		return o, fmt.Errorf("sparse: memory limit of %d bytes: give more than 0, or 0 for %d", o.MaxBytes, int64(maxMemory))
	}
	if o.Workers == 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	if o.GoodError == 0 {
		o.GoodError = goodError
	}
	if o.MaxBytes == 0 {
		o.MaxBytes = maxMemory
	}
	return o, nil
}

// check numbers the unknowns and finds what is wrong with the pattern.
func (p *Pattern) check() (numbering, error) {
	nodes := len(p.Positions)
	if len(p.Sizes) != nodes {
		return numbering{}, &PatternError{-1, -1, fmt.Sprintf("%d positions but %d sizes: give one of each for every node", nodes, len(p.Sizes))}
	}
	num := numbering{first: make([]int32, nodes+1)}
	for n, at := range p.Positions {
		for _, x := range at {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return numbering{}, &PatternError{-1, n, fmt.Sprintf("position %v is not finite", at)}
			}
		}
		if s := p.Sizes[n]; s < 0 || s > maxSize {
			return numbering{}, &PatternError{-1, n, fmt.Sprintf("%d unknowns: give 0 to %d", s, maxSize)}
		}
		total := int(num.first[n]) + p.Sizes[n]
		if total > maxUnknowns {
			return numbering{}, &PatternError{-1, n, fmt.Sprintf("more than %d unknowns: use a coarser mesh", maxUnknowns)}
		}
		num.first[n+1] = int32(total)
	}
	n := int(num.first[nodes])
	switch {
	case n == 0:
		return numbering{}, &PatternError{-1, -1, "no unknowns: give nodes with a size above 0"}
	case p.Held != nil && len(p.Held) != n:
		return numbering{}, &PatternError{-1, -1, fmt.Sprintf("%d marks of held unknowns but %d unknowns", len(p.Held), n)}
	}
	num.held = make([]bool, n)
	copy(num.held, p.Held)
	num.free = make([]int32, nodes)
	for n := range num.free {
		for _, h := range num.held[num.first[n]:num.first[n+1]] {
			if !h {
				num.free[n]++
			}
		}
	}
	return num, p.checkElements(num)
}

func (p *Pattern) checkElements(num numbering) error {
	seen := make([]int32, len(p.Positions)) // 1 + the last element that a node was met in
	for e, nodes := range p.Elements {
		size := 0
		for _, n := range nodes {
			if n < 0 || int(n) >= len(p.Positions) {
				return &PatternError{e, -1, fmt.Sprintf("node %d does not exist: there are %d", n, len(p.Positions))}
			}
			if int(seen[n]) == e+1 {
				return &PatternError{e, int(n), "listed twice in the element"}
			}
			seen[n] = int32(e + 1)
			size += p.Sizes[n]
		}
		switch {
		case size == 0:
			return &PatternError{e, -1, "has no unknowns: leave it out"}
		case size > maxElement:
			return &PatternError{e, -1, fmt.Sprintf("has %d unknowns, the limit is %d: divide it", size, maxElement)}
		}
	}
	for n, s := range seen {
		if s == 0 && num.free[n] > 0 {
			return &PatternError{-1, n, "has unknowns but belongs to no element: give it size 0, or hold its unknowns"}
		}
	}
	return nil
}
