package layout

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/material"
)

// rectangle is a plate of 15 mm with nothing in it.
func rectangle(w, h, radius, rim float64) plate.Plate {
	return plate.Plate{
		Name: "test", NextID: 1000,
		Stock: plate.Stock{
			Material: material.Material{}, Nominal: 15, Finished: 15, Top: plate.AsSupplied, Bottom: plate.AsSupplied,
			Blank: plate.Blank{Margin: 5},
		},
		Outline: plate.Outline{Corners: []plate.Corner{
			{X: 0, Y: 0, Radius: radius},
			{X: w, Y: 0, Radius: radius},
			{X: w, Y: h, Radius: radius},
			{X: 0, Y: h, Radius: radius},
		}},
		Rim: rim,
	}
}

func isogrid(id plate.ID, pitch, width, angle, x, y float64) plate.Grid {
	return plate.Grid{ID: id, Name: "grid", Pitch: pitch, Width: width, AngleDeg: angle, X: x, Y: y}
}

func pocket(id plate.ID, side plate.Side, depth, radius float64) plate.Pocket {
	return plate.Pocket{ID: id, Name: "pocket", Side: side, Depth: depth, Radius: radius, AllRibs: true}
}

// largePlate is 600 × 400 mm with an isogrid, 6 bores and 40 holes: the plate that speed is measured on.
func largePlate(pitch float64) plate.Plate {
	p := rectangle(600, 400, 40, 12)
	p.Grids = []plate.Grid{isogrid(1, pitch, 4, 7.5, 301, 202)}
	for i, c := range [][3]float64{{70, 70, 42}, {530, 70, 42}, {530, 330, 35}, {70, 330, 35}, {300, 200, 62}, {300, 80, 25}} {
		p.Bores = append(p.Bores, plate.Bore{ID: plate.ID(10 + i), Name: "bore", X: c[0], Y: c[1], Diameter: c[2], Boss: 8})
	}
	m := plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through, Boss: 4}
	b := plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 6, Boss: 3}
	p.Circles = []plate.BoltCircle{
		{ID: 30, Name: "ring", Bore: 14, Diameter: 90, Count: 8, StartDeg: 10, HoleForm: m},
		{ID: 31, Name: "ring", Bore: 10, Diameter: 64, Count: 6, HoleForm: b},
		{ID: 32, Name: "ring", Bore: 11, Diameter: 64, Count: 6, HoleForm: b},
	}
	for i := range 10 {
		p.Holes = append(p.Holes,
			plate.Hole{ID: plate.ID(40 + i), Name: "hole", X: 60 + 480*float64(i)/9, Y: 12, HoleForm: m},
			plate.Hole{ID: plate.ID(60 + i), Name: "hole", X: 60 + 480*float64(i)/9, Y: 388, HoleForm: m})
	}
	p.Pockets = []plate.Pocket{pocket(90, plate.Top, 11, 5)}
	return p
}

// ribbedPlate is the large plate with a pitch that puts about n ribs, from node to node, inside it: a triangle of side a
// has one and a half ribs of its own.
func ribbedPlate(n int) plate.Plate {
	pitch := math.Sqrt(1.5 * 600 * 400 / (math.Sqrt(3) / 4 * float64(n)))
	p := largePlate(pitch)
	p.Grids[0].Width = min(4, pitch/10)
	p.Pockets[0].Radius = min(5, pitch/20)
	return p
}

func mustDerive(t testing.TB, p plate.Plate) *Layout {
	t.Helper()
	l, err := Derive(p)
	if err != nil {
		t.Fatalf("Derive: %v", err)
	}
	return l
}

// near reports whether two figures agree to a relative tolerance (absolute below 1).
func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*max(1, math.Abs(a), math.Abs(b))
}

func codes(l *Layout) map[string]int {
	m := map[string]int{}
	for _, f := range l.Findings {
		m[f.Code]++
	}
	return m
}

// exact is the agreement asked of areas and volumes. Where edges pass within a micrometre of each other the geometry engine
// joins them, which shifts them by up to 2 µm: then agreement is only loose, and the tests on random plates bound how many
// may need it.
const (
	exact = 1e-9
	loose = 1e-7
)

// judge compares two figures and returns 1 when they agree only loosely.
func judge(t *testing.T, what string, a, b float64) int {
	t.Helper()
	switch {
	case near(a, b, exact):
		return 0
	case near(a, b, loose):
		t.Logf("only loosely: %s: %.15g and %.15g differ by %.3g", what, a, b, a-b)
		return 1
	}
	t.Errorf("%s: %.15g and %.15g differ by %.3g", what, a, b, a-b)
	return 1
}

// checkInvariants holds a layout to everything that must be true of any layout. It returns how many figures agree only
// loosely.
func checkInvariants(t *testing.T, l *Layout) (rough int) {
	t.Helper()
	checkEdges(t, "map", l.Map.Subdivision, func(a, b int32) bool {
		return sameMetal(l.Map.Metal[a], l.Map.Metal[b]) && l.inBlank(a) == l.inBlank(b)
	})
	checkEdges(t, "labels", l.Labels.Subdivision, func(a, b int32) bool { return false })
	area := 0.0
	for f := range l.Map.Faces {
		if l.inBlank(int32(f)) {
			area += l.Map.Faces[f].Area()
		}
		if len(l.Map.Metal[f]) > 0 {
			if q := justInside(l.Map.Faces[f].Outer); !l.Outline.Contains(q) {
				t.Errorf("metal at %v outside the outline", q)
			}
		}
	}
	checkRibsEnd(t, l)
	rough += judge(t, "areas of all faces, and of the blank", area, l.Blank.Width()*l.Blank.Height())
	v := l.Volume()
	w, err := l.VolumeFromCuts()
	if err != nil {
		t.Errorf("VolumeFromCuts: %v", err)
	} else {
		rough += judge(t, "volume from the map, and from the cuts", v, w)
	}
	sum := 0.0
	for _, s := range l.Labels.Shares {
		sum += s.Volume
	}
	if !near(sum, v, exact) {
		t.Errorf("owners hold %v mm³, plate is %v", sum, v)
	}
	return rough + judge(t, "volume of the plate, and of its owners before they were settled", v, v-l.rest)
}

// checkRibsEnd: every rib of a field ends at the outline, in a boss, hole or slot, or in another rib.
func checkRibsEnd(t *testing.T, l *Layout) {
	t.Helper()
	grids := map[plate.ID]bool{}
	for _, g := range l.Plate.Grids {
		grids[g.ID] = true
	}
	for i := range l.Strips {
		if s := &l.Strips[i]; grids[s.Feature] {
			for _, q := range [2]geom.Point{s.A, s.B} {
				if !l.inMetal(q, i) {
					t.Errorf("a rib of grid %d ends in the open at %v", s.Feature, q)
				}
			}
		}
	}
}

// inMetal reports whether the end q of strip i lies in something.
func (l *Layout) inMetal(q geom.Point, i int) bool {
	const slack = 1e-3 // on bounds that are grown by onBounds, and as near as centre lines of arcs are cut
	for _, e := range l.Outline.Outer {
		if e.Dist(q) < slack {
			return true
		}
	}
	for k := range l.Bosses {
		if b := &l.Bosses[k]; b.Center.Dist(q) <= b.Radius+slack {
			return true
		}
	}
	for k := range l.Strips {
		if s := &l.Strips[k]; k != i && s.Edge().Dist(q) <= s.Width/2+slack {
			return true
		}
	}
	for _, s := range l.Plate.Slots {
		if geom.Pt(s.X, s.Y).Dist(q) <= slack {
			return true
		}
	}
	return false
}

// justInside is a point 10 µm left of the middle of the longest edge. Outlines are no finer than that where they matter.
func justInside(c geom.Contour) geom.Point {
	long := c[0]
	for _, e := range c {
		if e.Length() > long.Length() {
			long = e
		}
	}
	m := long.Mid()
	u := long.B.Sub(long.A).Unit()
	if long.IsArc() {
		u = m.Sub(long.C).Unit().Perp().Mul(float64(long.Dir))
	}
	return m.Add(u.Perp().Mul(1e-5))
}

func (l *Layout) inBlank(f int32) bool {
	return len(l.Map.Faces[f].Layers) > 0 && l.Map.Faces[f].Layers[0] == layerBlank
}

func sameMetal(a, b []Interval) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i].Z0-b[i].Z0) > zSlack || math.Abs(a[i].Z1-b[i].Z1) > zSlack {
			return false
		}
	}
	return true
}

// checkEdges: every edge lies between two faces that differ, and bounds each of them once; no vertex joins just two edges
// that are one curve.
func checkEdges(t *testing.T, what string, s *geom.Subdivision, same func(a, b int32) bool) {
	t.Helper()
	uses := map[int32][]int{}
	length := make([]float64, len(s.Faces))
	for i := range s.Edges {
		e := &s.Edges[i]
		if e.Left == e.Right || e.Left < 0 || e.Right < 0 || int(e.Left) >= len(s.Faces) || int(e.Right) >= len(s.Faces) {
			t.Errorf("%s: edge %d lies between faces %d and %d", what, i, e.Left, e.Right)
			continue
		}
		if same(e.Left, e.Right) {
			t.Errorf("%s: edge %d (%v) between equal faces %d and %d", what, i, e.Mid(), e.Left, e.Right)
		}
		length[e.Left] += e.Length()
		length[e.Right] += e.Length()
		for _, v := range e.V {
			uses[v] = append(uses[v], i)
		}
	}
	for f := range s.Faces {
		n := 0.0
		for _, c := range s.Faces[f].Contours() {
			n += c.Length()
		}
		if !near(n, length[f], 1e-9) {
			t.Errorf("%s: contours of face %d are %v mm long, its edges %v", what, f, n, length[f])
		}
	}
	for v, es := range uses {
		if len(es) != 2 || es[0] == es[1] {
			continue
		}
		a, b := s.Edges[es[0]].Edge, s.Edges[es[1]].Edge
		// The geometry engine joins points within 2 µm; a piece little longer than that may stay one of its own.
		if min(a.Length(), b.Length()) > 1e-5 && oneCurve(a, b) {
			t.Errorf("%s: vertex %d at %v joins two pieces of one curve", what, v, s.Vertices[v])
		}
	}
}

// oneCurve reports whether two edges that share an end lie on one line or circle.
func oneCurve(a, b geom.Edge) bool {
	if a.IsArc() != b.IsArc() {
		return false
	}
	if a.IsArc() {
		return a.C.Dist(b.C) < 1e-9 && math.Abs(a.R-b.R) < 1e-9
	}
	return math.Abs(a.TangentA().Cross(b.TangentA())) < 1e-10
}
