package scene

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// art is what is seen of one layout from one side, in plate coordinates: taken from the map alone, so that an edge is drawn
// where the metal changes and nowhere else. It is computed once for a layout and kept by the painter.
type art struct {
	rim      []chain // outer border of the plate, metal on the left
	openings []chain // bores, holes and windows, metal on the left
	steps    []chain // edges on the near face: pockets seen from here
	hidden   []chain // edges that lie on the far face or inside
	floors   []floor // where the metal is not at full height, by depth
	legend   []depthRow
	windows  bool
}

// chain is edges that follow each other.
type chain struct {
	edges  []geom.Edge
	closed bool
}

// floor is all faces of one form: recessed by near from the face looked at and by far from the other.
type floor struct {
	near, far float64
	regions   []geom.Region
}

// depthRow is one pocket depth for the legend.
type depthRow struct {
	far   bool
	depth float64
}

// sameHeight is the difference in mm below which two heights count as one: a nanometre, far below what is drawn and above
// what arithmetic leaves.
const sameHeight = 1e-6

// faceView is how one face of the map looks.
type faceView struct {
	void, outside bool
	near, far     float64
	split         bool // more than one interval of metal
}

func newArt(l *layout.Layout, side plate.Side) *art {
	a := &art{}
	if l == nil || l.Map == nil || l.Map.Subdivision == nil {
		return a
	}
	views := viewFaces(l, side)
	a.link(l.Map, views)
	a.addFloors(l.Map, views)
	a.addLegend(l, side)
	return a
}

// viewFaces looks at each face from one side.
func viewFaces(l *layout.Layout, side plate.Side) []faceView {
	views := make([]faceView, len(l.Map.Faces))
	for f := range views {
		metal := l.Map.Metal[f]
		if len(metal) == 0 {
			views[f] = faceView{void: true, outside: f == 0}
			continue
		}
		down, up := l.Thickness-metal[len(metal)-1].Z1, metal[0].Z0
		if side == plate.Bottom {
			down, up = up, down
		}
		views[f] = faceView{near: down, far: up, split: len(metal) > 1}
	}
	// Void faces that meet the outside are outside too. Faces are maximal, so this hardly ever takes a second round.
	for again := true; again; {
		again = false
		for _, e := range l.Map.Edges {
			a, b := &views[e.Left], &views[e.Right]
			if a.void && b.void && a.outside != b.outside {
				a.outside, b.outside, again = true, true, true
			}
		}
	}
	return views
}

// link sorts the edges into kinds and chains them.
func (a *art) link(m *layout.Map, views []faceView) {
	var rim, openings, steps, hidden []half
	for i := range m.Edges {
		e := &m.Edges[i]
		l, r := views[e.Left], views[e.Right]
		h := half{e.Edge, e.V[0], e.V[1]}
		switch {
		case l.void && r.void:
		case l.void || r.void:
			if l.void {
				h = h.reverse()
			}
			if l.outside || r.outside {
				rim = append(rim, h)
			} else {
				openings = append(openings, h)
			}
		case math.Abs(l.near-r.near) > sameHeight:
			steps = append(steps, h)
		default:
			hidden = append(hidden, h)
		}
	}
	n := len(m.Vertices)
	a.rim = link(rim, n, true)
	a.openings = link(openings, n, true)
	a.steps = link(steps, n, false)
	a.hidden = link(hidden, n, false)
}

func (a *art) addFloors(m *layout.Map, views []faceView) {
	for f, v := range views {
		if v.void || v.near <= sameHeight && v.far <= sameHeight {
			continue
		}
		i := slices.IndexFunc(a.floors, func(o floor) bool {
			return math.Abs(o.near-v.near) <= sameHeight && math.Abs(o.far-v.far) <= sameHeight
		})
		if i < 0 {
			i = len(a.floors)
			a.floors = append(a.floors, floor{near: v.near, far: v.far})
		}
		a.floors[i].regions = append(a.floors[i].regions, m.Faces[f].Region)
	}
	slices.SortStableFunc(a.floors, func(p, q floor) int {
		return cmp.Or(cmp.Compare(p.near, q.near), cmp.Compare(p.far, q.far))
	})
}

// addLegend lists the depths of the pockets that are cut, near side first, shallow first.
func (a *art) addLegend(l *layout.Layout, side plate.Side) {
	if side != plate.Bottom {
		side = plate.Top
	}
	for _, c := range l.Cells {
		if c.State != layout.CellCut {
			continue
		}
		if c.Side == plate.Through {
			a.windows = true
			continue
		}
		row := depthRow{far: c.Side != side, depth: c.Depth}
		known := func(o depthRow) bool { return o.far == row.far && math.Abs(o.depth-row.depth) <= sameHeight }
		if !slices.ContainsFunc(a.legend, known) {
			a.legend = append(a.legend, row)
		}
	}
	slices.SortFunc(a.legend, func(p, q depthRow) int {
		return cmp.Or(cmp.Compare(btoi(p.far), btoi(q.far)), cmp.Compare(p.depth, q.depth))
	})
}

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
