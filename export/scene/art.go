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
	bosses   []float64 // of each cut: radius of the metal kept round it, mm; 0 where there is none
}

// chain is edges that follow each other.
type chain struct {
	edges  []geom.Edge
	closed bool
}

// floor is all faces of one form: recessed by near from the face looked at and by far from the other.
type floor struct {
	near, far float64
	borders   []chain
}

func (f *floor) addRegion(r geom.Region) {
	f.borders = append(f.borders, chain{slices.Clone(r.Outer), true})
	for _, h := range r.Holes {
		f.borders = append(f.borders, chain{slices.Clone(h), true})
	}
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
	a.addBosses(l)
	return a
}

// addBosses finds the boss of each round cut.
func (a *art) addBosses(l *layout.Layout) {
	type key struct {
		feature plate.ID
		hole    int
	}
	radius := make(map[key]float64, len(l.Bosses))
	for _, b := range l.Bosses {
		radius[key{b.Feature, b.Round}] = b.Radius
	}
	a.bosses = make([]float64, len(l.Cuts))
	for i := range l.Cuts {
		if c := &l.Cuts[i]; c.Feature != 0 {
			a.bosses[i] = radius[key{c.Feature, c.Hole}]
		}
	}
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
	a.rim = settle(link(rim, n, true), true)
	a.openings = settle(link(openings, n, true), true)
	a.steps = settle(link(steps, n, false), false)
	a.hidden = settle(link(hidden, n, false), false)
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
		a.floors[i].addRegion(m.Faces[f].Region)
	}
	for i := range a.floors {
		a.floors[i].borders = settle(a.floors[i].borders, true)
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
