package sparse

// Pieces are the connected parts of a model: nodes joined by elements, whether
// their unknowns are held or not.
type Pieces struct {
	// Count is the number of pieces. They are numbered by their first node.
	Count int
	// OfNode is the piece of each node. A node that no element joins to another
	// is a piece of its own; one without unknowns in no element is in none: −1.
	OfNode []int32
	// OfElement is the piece of each element.
	OfElement []int32
}

// findPieces joins nodes by union–find with path halving.
func findPieces(p *Pattern) *Pieces {
	parent := make([]int32, len(p.Positions))
	inElement := make([]bool, len(p.Positions))
	for n := range parent {
		parent[n] = int32(n)
	}
	find := func(n int32) int32 {
		for parent[n] != n {
			parent[n] = parent[parent[n]]
			n = parent[n]
		}
		return n
	}
	for _, nodes := range p.Elements {
		root := find(nodes[0])
		for _, n := range nodes {
			inElement[n] = true
			// The lowest node is the root, so that pieces are numbered by it.
			a, b := root, find(n)
			root = min(a, b)
			parent[a], parent[b] = root, root
		}
	}
	ps := &Pieces{OfNode: make([]int32, len(p.Positions)), OfElement: make([]int32, len(p.Elements))}
	for n := range parent {
		switch root := find(int32(n)); {
		case !inElement[n] && p.Sizes[n] == 0:
			ps.OfNode[n] = -1
		case int(root) == n:
			ps.OfNode[n] = int32(ps.Count)
			ps.Count++
		default:
			ps.OfNode[n] = ps.OfNode[root]
		}
	}
	for e, nodes := range p.Elements {
		ps.OfElement[e] = ps.OfNode[nodes[0]]
	}
	return ps
}
