package desktop

import (
	"math"
	"slices"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// grips are the handles that the selection shows.
func grips(p plate.Plate, s selection) []grip {
	var out []grip
	add := func(gs ...grip) {
		for _, g := range gs {
			if _, ok := g.place(p); ok {
				out = append(out, g)
			}
		}
	}
	for i, c := range s.path(p) {
		add(grip{gripCorner, s.id, i})
		if c.Arc {
			add(grip{gripThrough, s.id, i})
		}
	}
	switch {
	case s.id != 0:
		add(grip{kind: gripCentre, id: s.id}, grip{gripEnd, s.id, 0}, grip{gripEnd, s.id, 1}, grip{kind: gripArc, id: s.id},
			grip{kind: gripTurn, id: s.id}, grip{kind: gripSlide, id: s.id})
		if !s.onRib {
			add(grip{kind: gripNode, id: s.id})
		}
		if g := gridOf(&p, s.id); g != nil && g.Kind == plate.Directions {
			for i := range g.Samples {
				add(grip{gripSample, s.id, i})
			}
		}
	case s.stage == plate.StageMachining:
		add(grip{kind: gripZero})
	case s.stage == plate.StageOutline && p.Outline.Kind == plate.Contour:
		for i := range p.Outline.Vertices {
			add(grip{gripVertex, 0, i})
		}
	case s.stage == plate.StageOutline && p.Outline.Kind == plate.Wrapped:
		for i := range p.Outline.Wraps {
			add(grip{gripSkin, 0, i})
		}
	}
	return out
}

// middles are the handles that put a new corner into a side. They are shown only under the pointer.
func middles(p plate.Plate, s selection) []grip {
	var out []grip
	for i := range s.path(p) {
		g := grip{gripMiddle, s.id, i}
		if _, ok := g.place(p); ok {
			out = append(out, g)
		}
	}
	return out
}

// reach is how far from a handle or a thin line a press may be, in the window's units.
const reach = 8

// target is what lies under the pointer.
type target struct {
	grip grip           // to drag; kind gripNone for none
	sel  selection      // to select by a click
	kind layout.HitKind // what was found
	id   plate.ID       // feature found
	cell int            // index of the cell, -1 for none
	rib  int            // index of the rib of a field, -1 for none
	mark int            // index of the finding whose ring it is, -1 for none
}

func nothingHit() target { return target{cell: -1, rib: -1, mark: -1} }

// pick finds what lies at a place of the canvas: first the handles of the selection, then the rings of findings, then what
// the layout has there.
func pick(l *layout.Layout, p plate.Plate, s selection, fs []finding.Finding, cam scene.Camera, x, y float64) target {
	t := nothingHit()
	if pickGrip(&t, grips(p, s), p, s, cam, x, y) || pickGrip(&t, middles(p, s), p, s, cam, x, y) {
		return t
	}
	if t.mark = findingAt(fs, cam, x, y); t.mark >= 0 || l == nil {
		return t
	}
	q := cam.FromPx(x, y)
	t.id, t.kind = l.FeatureAt(q, reach/cam.Scale)
	t.sel = selectFeature(p, t.id)
	switch t.kind {
	case layout.HitNothing:
		t.sel = selection{}
	case layout.HitOutline:
		t.sel = selection{stage: plate.StageOutline}
	case layout.HitPlate:
		t.sel = selection{stage: plate.StageStock}
	case layout.HitBore, layout.HitHole, layout.HitCircle, layout.HitRing, layout.HitSlot:
		t.grip = grip{kind: gripCentre, id: t.id}
		if x, _ := t.grip.at(&p); x == nil {
			t.grip = grip{}
		}
	}
	ofCell := []layout.HitKind{layout.HitPocket, layout.HitPlate, layout.HitRib, layout.HitGrid}
	if i := cellUnder(l, q, cam.Side); i >= 0 && slices.Contains(ofCell, t.kind) {
		t.cell, t.id, t.kind = i, l.Cells[i].Pocket, layout.HitPocket
		t.sel = selectFeature(p, t.id)
		if k := pocketOf(&p, t.id); k != nil && (k.Kind == plate.RoundPocket || k.Kind == plate.ObroundPocket) {
			t.cell, t.grip = -1, grip{kind: gripCentre, id: t.id} // it is its own only cell
		} else {
			t.sel.cell, t.sel.onCell = plainCell(l.Cells[i].Anchor), true
		}
	} else if t.kind == layout.HitGrid {
		if i := l.StripAt(q, 0); i >= 0 && l.Strips[i].Feature == t.id {
			t.rib, t.sel.rib, t.sel.onRib = i, plainRib(l.Strips[i].Anchor), true
		}
	}
	return t
}

// pickGrip finds the nearest of some handles within reach.
func pickGrip(t *target, gs []grip, p plate.Plate, s selection, cam scene.Camera, x, y float64) bool {
	best := float64(reach)
	for _, g := range gs {
		at, _ := g.place(p)
		hx, hy := cam.ToPx(at)
		if d := math.Hypot(hx-x, hy-y); d <= best {
			best, t.grip, t.sel, t.id = d, g, s, g.id
			switch g.kind {
			case gripCorner, gripThrough, gripVertex, gripSkin:
				t.sel.corner = g.index + 1
			}
		}
	}
	return t.grip.kind != gripNone
}

// cellUnder is the cell at q of the side looked at, then of the other; -1 for none.
func cellUnder(l *layout.Layout, q geom.Point, side plate.Side) int {
	order := [2]plate.Side{plate.Top, plate.Bottom}
	if side == plate.Bottom {
		order = [2]plate.Side{plate.Bottom, plate.Top}
	}
	for _, s := range order {
		if i := l.CellAt(q, s); i >= 0 {
			return i
		}
	}
	return -1
}

// snapReach is how near, in the window's units, the x or y of something else draws a moved point to itself.
const snapReach = 5

// snapped is where a point that is moved to q comes to rest: on the x or y of another point that is near, else on whole
// millimetres; free with the modifier held. The guides lead to what it snapped to.
func snapped(q geom.Point, others []geom.Point, scale float64, free bool) (geom.Point, [][2]geom.Point) {
	if free {
		const fine = 1000 // a micrometre, so that the document does not fill with noise
		return geom.Pt(math.Round(q.X*fine)/fine, math.Round(q.Y*fine)/fine), nil
	}
	out := geom.Pt(math.Round(q.X), math.Round(q.Y))
	var alongX, alongY *geom.Point
	dx, dy := snapReach/scale, snapReach/scale
	for i, o := range others {
		if d := math.Abs(o.X - q.X); d < dx {
			dx, alongX = d, &others[i]
		}
		if d := math.Abs(o.Y - q.Y); d < dy {
			dy, alongY = d, &others[i]
		}
	}
	if alongX != nil {
		out.X = alongX.X
	}
	if alongY != nil {
		out.Y = alongY.Y
	}
	var guides [][2]geom.Point
	for _, o := range []*geom.Point{alongX, alongY} {
		if o != nil {
			guides = append(guides, [2]geom.Point{*o, out})
		}
	}
	return out, guides
}

// others are the points that a moved grip can snap to.
func (g grip) others(p plate.Plate) []geom.Point {
	var out []geom.Point
	for _, b := range p.Bores {
		if b.ID != g.id {
			out = append(out, geom.Pt(b.X, b.Y))
		}
	}
	for _, h := range p.Holes {
		if h.ID != g.id {
			out = append(out, geom.Pt(h.X, h.Y))
		}
	}
	for _, s := range p.Slots {
		if s.ID != g.id {
			out = append(out, geom.Pt(s.X, s.Y))
		}
	}
	if path := (selection{stage: plate.StageOutline, id: g.id}).path(p); g.kind == gripCorner {
		for i, c := range path {
			if i != g.index {
				out = append(out, geom.Pt(c.X, c.Y))
			}
		}
	}
	return out
}

// datum is what the live dimensions of a moved grip are measured from, and whether it is measured straight, as what hangs on
// a centre or another end is: else along x and y from the nearest other bore, or the work zero.
func (g grip) datum(p plate.Plate, at geom.Point) (from geom.Point, straight bool) {
	switch g.kind {
	case gripZero:
		return geom.Point{}, false
	case gripTurn:
		if w, ok := wheelOf(&p, g.id); ok {
			return w.centre, true
		}
	case gripSkin:
		if s, ok := skinOf(&p, g.index); ok {
			return s.wall, true
		}
	case gripSlide:
		if s := slotOf(&p, g.id); s != nil {
			return geom.Pt(s.X, s.Y), true
		}
	case gripEnd:
		if b, ok := barOf(&p, g.id); ok {
			return b.end(1 - g.index), true
		}
	}
	best, found := geom.Pt(p.Machining.ZeroX, p.Machining.ZeroY), false
	for _, b := range p.Bores {
		c := geom.Pt(b.X, b.Y)
		if b.ID != g.id && (!found || c.Dist(at) < best.Dist(at)) {
			best, found = c, true
		}
	}
	return best, false
}
