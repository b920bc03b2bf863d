package scene

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate/geom"
)

// half is an edge of the map walked in one direction.
type half struct {
	geom.Edge
	from, to int32
}

func (h half) reverse() half { return half{h.Edge.Reverse(), h.to, h.from} }

// linker chains edges at their shared vertices.
type linker struct {
	edges    []half
	directed bool
	first    []int32 // first entry of each vertex, −1 for none
	next     []int32 // next entry; entry 2i is the start of edge i, 2i+1 its end
	degree   []int32
	used     []bool
}

// link joins edges into chains. Directed edges keep their direction and close up; others are turned as needed, and a chain
// ends where its vertex is not shared by exactly two.
func link(edges []half, vertices int, directed bool) []chain {
	if len(edges) == 0 {
		return nil
	}
	k := linker{
		edges: edges, directed: directed,
		first: make([]int32, vertices), next: make([]int32, 2*len(edges)),
		degree: make([]int32, vertices), used: make([]bool, len(edges)),
	}
	for v := range k.first {
		k.first[v] = -1
	}
	for i := len(edges) - 1; i >= 0; i-- {
		ends := [2]int32{edges[i].from, edges[i].to}
		for side, v := range ends {
			k.degree[v]++
			if side == 0 || !directed {
				k.next[2*i+side] = k.first[v]
				k.first[v] = int32(2*i + side)
			}
		}
	}
	var out []chain
	if !directed {
		for i, e := range edges {
			if !k.used[i] && k.degree[e.from] != 2 {
				out = append(out, k.walk(i, false))
			}
			if !k.used[i] && k.degree[e.to] != 2 {
				out = append(out, k.walk(i, true))
			}
		}
	}
	for i := range edges {
		if !k.used[i] {
			out = append(out, k.walk(i, false))
		}
	}
	return out
}

// walk follows unused edges from edge i until the chain ends or closes.
func (k *linker) walk(i int, reversed bool) chain {
	var c chain
	start := k.edges[i].from
	if reversed {
		start = k.edges[i].to
	}
	for at := start; ; {
		k.used[i] = true
		h := k.edges[i]
		if reversed {
			h = h.reverse()
		}
		c.edges = append(c.edges, h.Edge)
		at = h.to
		if at == start {
			c.closed = true
			return c
		}
		if !k.directed && k.degree[at] != 2 {
			return c
		}
		entry := k.first[at]
		for entry >= 0 && k.used[entry/2] {
			entry = k.next[entry]
		}
		if entry < 0 {
			return c
		}
		i, reversed = int(entry/2), entry%2 == 1
	}
}

// settle brings chains into an order of their own, so that neither a record nor the place of a dash depends on how the map
// came about: a closed chain starts at its leftmost point, and runs counter-clockwise where its direction means nothing; an
// open one starts at its left end; chains are sorted by where they start. It changes the chains.
func settle(cs []chain, directed bool) []chain {
	for i := range cs {
		c := &cs[i]
		switch {
		case !c.closed:
			if comparePoints(c.edges[len(c.edges)-1].B, c.edges[0].A) < 0 {
				c.edges = geom.Contour(c.edges).Reverse()
			}
			continue
		case !directed && area(c.edges) < 0:
			c.edges = geom.Contour(c.edges).Reverse()
		}
		if len(c.edges) == 1 {
			e := &c.edges[0]
			e.A = geom.Pt(e.C.X-e.R, e.C.Y)
			e.B = e.A
			continue
		}
		first := 0
		for k := range c.edges {
			if comparePoints(c.edges[k].A, c.edges[first].A) < 0 {
				first = k
			}
		}
		c.edges = append(slices.Clone(c.edges[first:]), c.edges[:first]...)
	}
	slices.SortStableFunc(cs, func(a, b chain) int {
		return cmp.Or(comparePoints(a.edges[0].A, b.edges[0].A), comparePoints(a.edges[0].Mid(), b.edges[0].Mid()))
	})
	return cs
}

func area(edges []geom.Edge) float64 { return geom.Contour(edges).Area() }

// comparePoints orders points from left to right, then upwards; what differs by arithmetic noise only is equal.
func comparePoints(p, q geom.Point) int {
	grid := func(v float64) float64 { return math.Round(v / sameHeight) }
	return cmp.Or(cmp.Compare(grid(p.X), grid(q.X)), cmp.Compare(grid(p.Y), grid(q.Y)))
}
