package desktop

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/geom"
)

// drag is what the pointer is doing between press and release.
type drag struct {
	pressed bool // a button is down
	pan     bool // the paper moves
	dead    bool // Escape was pressed: nothing happens until the release
	active  bool // a grip has begun to move
	free    bool // no snapping from the start
	loose   bool // no snapping now

	grip    grip
	down    fyne.Position // where the button went down
	moved   bool          // further than a trembling hand
	chosen  selection     // chosen by the press or the click
	hit     bool          // there is something to select
	mark    int           // finding whose ring was pressed, -1 for none
	offset  geom.Point    // from the pointer to the grip, mm
	from    geom.Point    // where the grip was
	to      geom.Point    // where it is wanted
	queued  bool          // a move waits to be applied
	gesture string
	guides  [][2]geom.Point
	nudging string // gesture of a run of arrow keys
}

// tremble is how far the pointer must go before a press becomes a drag, in the window's units.
const tremble = 3

// MouseDown implements desktop.Mouseable.
func (v *plateView) MouseDown(e *desktop.MouseEvent) {
	v.focus()
	if v.drag.pressed || v.drag.active {
		return // a second button changes nothing
	}
	x, y := xy(e.Position)
	v.drag = drag{pressed: true, mark: -1, down: e.Position, free: e.Modifier&fyne.KeyModifierShift != 0}
	switch e.Button {
	case desktop.MouseButtonTertiary:
		v.drag.pan = true
	case desktop.MouseButtonPrimary:
		doc := v.host.doc()
		t := v.pick(x, y)
		v.drag.mark = t.mark
		v.drag.chosen, v.drag.hit = t.sel, t.sel.stage != ""
		at, ok := t.grip.place(doc)
		if !ok {
			v.drag.pan = true
			break
		}
		v.drag.grip, v.drag.from, v.drag.to = t.grip, at, at
		v.drag.offset = at.Sub(v.cam.FromPx(x, y))
		v.host.choose(t.sel)
	default:
		v.drag.dead = true
	}
	v.redraw()
}

// TappedSecondary implements fyne.SecondaryTappable: the menu of what can be added at this place.
func (v *plateView) TappedSecondary(e *fyne.PointEvent) {
	v.placeAt(e.Position)
	v.host.offerAdding(e.AbsolutePosition)
}

// placeAt remembers where the next new feature goes.
func (v *plateView) placeAt(at fyne.Position) {
	q := v.cam.FromPx(xy(at))
	v.clicked = &q
}

// MouseUp implements desktop.Mouseable. It comes before DragEnd; whichever is first ends the drag.
func (v *plateView) MouseUp(e *desktop.MouseEvent) {
	d := v.drag
	v.finish()
	if d.pressed && e.Button == desktop.MouseButtonPrimary && !d.moved && !d.dead && d.grip.kind == gripNone {
		v.placeAt(e.Position)
		fs := v.host.placedFindings()
		if d.mark >= 0 && d.mark < len(fs) {
			v.host.show(fs[d.mark])
		} else if d.hit {
			v.host.choose(d.chosen)
		} else {
			v.host.choose(selection{stage: v.host.selected().stage})
		}
	}
}

// Dragged implements fyne.Draggable.
func (v *plateView) Dragged(e *fyne.DragEvent) {
	d := &v.drag
	if !d.pressed || d.dead {
		return
	}
	x, y := xy(e.Position)
	if !d.moved && math.Hypot(float64(e.Position.X-d.down.X), float64(e.Position.Y-d.down.Y)) >= tremble {
		d.moved = true
		if d.pan {
			v.cam, v.own = v.cam.Pan(xy(e.Position.Subtract(d.down))), true
			v.redraw()
			return
		}
	}
	if !d.moved {
		return
	}
	if d.pan {
		v.cam = v.cam.Pan(float64(e.Dragged.DX), float64(e.Dragged.DY))
		v.redraw()
		return
	}
	v.readAt = v.cam.FromPx(x, y).Add(d.offset)
	free := d.free || modifiers()&fyne.KeyModifierShift != 0
	d.to, d.guides = v.readAt, nil
	if d.loose = free; d.grip.snapsToPlaces() {
		d.to, d.guides = snapped(v.readAt, d.grip.others(v.host.doc()), v.cam.Scale, free)
	}
	v.readAt = d.to
	if !d.active {
		d.active, d.gesture = true, v.host.newGesture()
	}
	// Moves come faster than pictures: only the last before the next turn of the loop is applied.
	if !d.queued {
		d.queued = true
		v.host.later(v.applyDrag)
	}
	v.redraw()
}

func (v *plateView) applyDrag() {
	d := &v.drag
	if !d.active || !d.queued {
		return
	}
	d.queued = false
	doc := v.host.doc()
	// A place that is refused leaves the grip at its last good one; the host shows the sentence.
	if v.host.edit(d.grip.move(doc, d.to, d.loose), d.gesture) && d.grip.kind == gripMiddle {
		d.grip = d.grip.after()
		s := v.host.selected()
		s.corner = d.grip.index + 1
		v.host.follow(s)
	}
	v.redraw()
}

// DragEnd implements fyne.Draggable.
func (v *plateView) DragEnd() { v.finish() }

// finish ends whatever the pointer is doing, once.
func (v *plateView) finish() {
	if v.drag.active {
		v.applyDrag()
		v.host.endGesture()
	}
	v.drag = drag{nudging: v.drag.nudging}
	v.redraw()
}

// cancelDrag puts a dragged grip back to where it was and leaves the drag dead until the button is let go.
func (v *plateView) cancelDrag() bool {
	d := &v.drag
	if !d.pressed || d.dead {
		return false
	}
	if d.active {
		gesture := d.gesture
		d.active, d.queued, d.guides = false, false, nil
		v.host.abandon(gesture)
	}
	d.dead = true
	v.redraw()
	return true
}

// dimensions are the live ones of a drag: from a datum to the grip, with the change since it began.
func (d *drag) dimensions(doc plate.Plate) []scene.Dimension {
	at, ok := d.grip.place(doc)
	if !ok {
		return nil
	}
	datum, straight := d.grip.datum(doc, d.from)
	if d.grip.kind == gripTurn {
		w, _ := wheelOf(&doc, d.grip.id)
		return []scene.Dimension{{From: datum, To: at, Run: scene.Aligned, Text: angle().formatUnit(*w.angle)}}
	}
	if straight {
		return []scene.Dimension{{From: datum, To: at, Run: scene.Aligned, Change: round6(datum.Dist(at) - datum.Dist(d.from))}}
	}
	dx := math.Abs(at.X-datum.X) - math.Abs(d.from.X-datum.X)
	dy := math.Abs(at.Y-datum.Y) - math.Abs(d.from.Y-datum.Y)
	return []scene.Dimension{
		{From: datum, To: at, Run: scene.AlongX, Change: round6(dx), Row: 1}, // clear of the names of cut lines
		{From: datum, To: at, Run: scene.AlongY, Change: round6(dy)},
	}
}

// round6 takes away what binary fractions leave of decimal ones.
func round6(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// nudge moves the selected feature by whole steps: 1 mm, with Shift 10, with Alt a tenth. A run of repeats of a held key
// is one undo step.
func (v *plateView) nudge(dx, dy float64) {
	if v.drag.pressed {
		return
	}
	doc, sel := v.host.doc(), v.host.selected()
	g := grip{kind: gripCentre, id: sel.id}
	if sel.corner > 0 {
		g = grip{gripCorner, sel.id, sel.corner - 1}
		if doc.Outline.Kind == plate.Contour && sel.id == 0 {
			g.kind = gripVertex
		}
	}
	at, ok := g.place(doc)
	if !ok {
		return
	}
	if v.drag.nudging == "" {
		v.drag.nudging = v.host.newGesture()
	}
	if v.cam.Side == plate.Bottom { // the keys follow what is seen
		if v.cam.Turn == plate.AxisY {
			dx = -dx
		} else {
			dy = -dy
		}
	}
	by := stepFactor()
	to := geom.Pt(round6(at.X+dx*by), round6(at.Y+dy*by))
	v.host.edit(g.move(doc, to, true), v.drag.nudging)
}
