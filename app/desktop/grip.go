package desktop

import (
	"fmt"
	"math"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// grip is a point of the document that can be moved by hand.
type grip struct {
	kind  gripKind
	id    plate.ID // feature; 0 for the outline and the plate
	index int      // of a corner, from 0; of an end, 0 or 1
}

type gripKind int

const (
	gripNone    gripKind = iota
	gripCentre           // of a bore, hole or bolt circle
	gripCorner           // of the outline, or of the boundary of feature id
	gripThrough          // the point that the arc after a corner goes through
	gripEnd              // of a rib or cut line
	gripNode             // of a grid
	gripZero             // the work zero
)

// at returns where the grip's coordinates lie in a document; nil when it has gone or cannot be moved by itself.
func (g grip) at(p *plate.Plate) (x, y *float64) {
	switch g.kind {
	case gripCentre:
		return g.centre(p)
	case gripCorner, gripThrough:
		path := selection{stage: plate.StageOutline, id: g.id}.pathOf(p)
		if path == nil || g.index >= len(*path) {
			return nil, nil
		}
		c := &(*path)[g.index]
		if g.kind == gripThrough {
			if !c.Arc {
				return nil, nil
			}
			return &c.ThroughX, &c.ThroughY
		}
		return &c.X, &c.Y
	case gripEnd:
		return g.end(p)
	case gripNode:
		if n := gridOf(p, g.id); n != nil {
			return &n.X, &n.Y
		}
	case gripZero:
		return &p.Machining.ZeroX, &p.Machining.ZeroY
	}
	return nil, nil
}

func (g grip) centre(p *plate.Plate) (x, y *float64) {
	if b := boreOf(p, g.id); b != nil {
		return &b.X, &b.Y
	}
	if h := holeOf(p, g.id); h != nil {
		return &h.X, &h.Y
	}
	if c := circleOf(p, g.id); c != nil && c.Bore == 0 {
		return &c.X, &c.Y
	}
	return nil, nil
}

func (g grip) end(p *plate.Plate) (x, y *float64) {
	if r := ribOf(p, g.id); r != nil {
		e := &r.From
		if g.index == 1 {
			e = &r.To
		}
		if e.Feature == 0 {
			return &e.X, &e.Y
		}
		return nil, nil
	}
	if c := cutLineOf(p, g.id); c != nil {
		if g.index == 1 {
			return &c.X2, &c.Y2
		}
		return &c.X1, &c.Y1
	}
	return nil, nil
}

// place is where the grip is; ok is false when it has gone.
func (g grip) place(p plate.Plate) (at geom.Point, ok bool) {
	x, y := g.at(&p)
	if x == nil {
		return geom.Point{}, false
	}
	return geom.Pt(*x, *y), true
}

// name is what the grip moves, for labels: bore Axle, corner 3 of the outline.
func (g grip) name(p plate.Plate) string {
	of := "the outline"
	if f, ok := p.Find(g.id); ok {
		of = featureTitle(f)
	}
	switch g.kind {
	case gripCorner:
		return fmt.Sprintf("corner %d of %s", g.index+1, of)
	case gripThrough:
		return fmt.Sprintf("arc after corner %d of %s", g.index+1, of)
	case gripEnd:
		return fmt.Sprintf("end %d of %s", g.index+1, of)
	case gripNode:
		return "node of " + of
	case gripZero:
		return "work zero"
	}
	return of
}

// move is the edit that puts the grip to q.
func (g grip) move(p plate.Plate, q geom.Point) plate.Edit {
	return plate.Replace("move of "+g.name(p), func(p *plate.Plate) {
		if x, y := g.at(p); x != nil {
			*x, *y = q.X, q.Y
		}
	})
}

// grips are the handles that the selection shows.
func grips(p plate.Plate, s selection) []grip {
	var out []grip
	add := func(g grip) {
		if x, _ := g.at(&p); x != nil {
			out = append(out, g)
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
		add(grip{kind: gripCentre, id: s.id})
		add(grip{gripEnd, s.id, 0})
		add(grip{gripEnd, s.id, 1})
		add(grip{kind: gripNode, id: s.id})
	case s.stage == plate.StageMachining:
		add(grip{kind: gripZero})
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
	mark int            // index of the finding whose ring it is, -1 for none
}

func nothingHit() target { return target{cell: -1, mark: -1} }

// pick finds what lies at a place of the canvas: first the handles of the selection, then the rings of findings, then what
// the layout has there.
func pick(l *layout.Layout, p plate.Plate, s selection, fs []finding.Finding, cam scene.Camera, x, y float64) target {
	t := nothingHit()
	best := float64(reach)
	for _, g := range grips(p, s) {
		at, _ := g.place(p)
		hx, hy := cam.ToPx(at)
		if d := math.Hypot(hx-x, hy-y); d <= best {
			best, t.grip, t.sel, t.id = d, g, s, g.id
			if g.kind == gripCorner || g.kind == gripThrough {
				t.sel.corner = g.index + 1
			}
		}
	}
	if t.grip.kind != gripNone {
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
	case layout.HitBore, layout.HitHole, layout.HitCircle:
		t.grip = grip{kind: gripCentre, id: t.id}
		if x, _ := t.grip.at(&p); x == nil {
			t.grip = grip{}
		}
	}
	if i := cellUnder(l, q, cam.Side); i >= 0 && (t.kind == layout.HitPocket || t.kind == layout.HitPlate || t.kind == layout.HitRib || t.kind == layout.HitGrid) {
		t.cell, t.id, t.kind = i, l.Cells[i].Pocket, layout.HitPocket
		t.sel = selectFeature(p, t.id)
		t.sel.cell, t.sel.onCell = l.Cells[i].Anchor, true
	}
	return t
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
	if path := (selection{stage: plate.StageOutline, id: g.id}).path(p); g.kind == gripCorner {
		for i, c := range path {
			if i != g.index {
				out = append(out, geom.Pt(c.X, c.Y))
			}
		}
	}
	return out
}

// datum is what the live dimensions of a moved grip are measured from: the nearest other bore, else the work zero.
func (g grip) datum(p plate.Plate, at geom.Point) geom.Point {
	best, found := geom.Pt(p.Machining.ZeroX, p.Machining.ZeroY), false
	for _, b := range p.Bores {
		c := geom.Pt(b.X, b.Y)
		if b.ID != g.id && (!found || c.Dist(at) < best.Dist(at)) {
			best, found = c, true
		}
	}
	if g.kind == gripZero {
		return geom.Point{}
	}
	return best
}
