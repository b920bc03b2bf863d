package shell

import (
	"context"
	"fmt"

	"platewright/fea/sparse"
)

// Factor factors the model's stiffness with some unknowns held at zero: held has
// five marks a node, in the order of the unknowns. It is for meshes that come from
// no layout, such as those of published cases; package fea lays out its own
// equations. Errors are those of package sparse.
func (m *Model) Factor(ctx context.Context, held []bool, o sparse.Options, b *sparse.Buffers) (*sparse.Factor, error) {
	n := len(m.Mesh.Nodes)
	if len(held) != Unknowns*n {
		return nil, fmt.Errorf("shell: %d marks of held unknowns for %d nodes; give five a node", len(held), n)
	}
	p := sparse.Pattern{Positions: make([][3]float64, n), Sizes: make([]int, n), Elements: make([][]int32, len(m.Mesh.Triangles)), Held: held}
	for i, q := range m.Mesh.Nodes {
		p.Positions[i] = [3]float64{q.X, q.Y}
		p.Sizes[i] = Unknowns
	}
	for e := range p.Elements {
		p.Elements[e] = m.Mesh.Triangles[e].Node[:]
	}
	sym, err := sparse.Analyse(ctx, p, o)
	if err != nil {
		return nil, err
	}
	return sym.Factor(ctx, func(e int, k []float64) error { m.Stiffness(e, k); return nil }, nil, b)
}
