package desktop

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// plateView shows the plate as one painted picture. It owns the camera and what the pointer is doing, and no document: it
// asks its host for what to draw and tells it what the person means.
type plateView struct {
	widget.BaseWidget
	host   viewHost
	raster *canvas.Raster
	sink   scene.Raster
	paint  scene.Painter

	cam     scene.Camera
	fitted  bool
	own     bool // the person has moved or zoomed the paper: a resize keeps it
	hover   target
	hoverOf *layout.Layout // in which the cell and the rib of hover are counted
	readAt  geom.Point     // plate coordinates under the pointer
	inside  bool
	drag    drag
	// clicked is where the plate was last pressed, until something new was put there; nil for nowhere.
	clicked *geom.Point
}

// viewHost is what the view needs of the window.
type viewHost interface {
	doc() plate.Plate
	lastLayout() *layout.Layout
	selected() selection
	placedFindings() []finding.Finding
	lengthUnit() scene.Unit
	shownParts() scene.Parts
	message() string // a sentence instead of the pointer's coordinates, empty for none

	choose(selection)
	show(finding.Finding)
	edit(e plate.Edit, gesture string) bool // shows the sentence of a refusal
	follow(selection)                       // selects without ending the gesture
	offerAdding(at fyne.Position)
	overlay() (paths []scene.ToolRun, field *scene.Field)
	leftKept() float64 // width at the left that the plate is fitted beside, px
	newGesture() string
	endGesture()
	abandon(gesture string)
	later(func())
	deleteSelected()
	escape()
	step(by int) // to the next or the previous feature
	enterFields()
}

var (
	_ desktop.Mouseable  = (*plateView)(nil)
	_ desktop.Hoverable  = (*plateView)(nil)
	_ desktop.Cursorable = (*plateView)(nil)
	_ desktop.Keyable    = (*plateView)(nil)
	_ fyne.Draggable     = (*plateView)(nil)
	_ fyne.Scrollable    = (*plateView)(nil)
	_ fyne.Focusable     = (*plateView)(nil)

	_ fyne.SecondaryTappable = (*plateView)(nil)
)

func newPlateView(h viewHost) *plateView {
	v := &plateView{host: h, cam: scene.Camera{Scale: 1, Width: 1, Height: 1}}
	v.hover = nothingHit()
	v.raster = canvas.NewRaster(v.draw)
	v.ExtendBaseWidget(v)
	return v
}

// CreateRenderer implements fyne.Widget.
func (v *plateView) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(v.raster) }

// MinSize implements fyne.CanvasObject.
func (v *plateView) MinSize() fyne.Size { return fyne.NewSize(240, 180) }

// Resize implements fyne.CanvasObject. The plate is fitted when it is first shown.
func (v *plateView) Resize(s fyne.Size) {
	v.BaseWidget.Resize(s)
	v.cam = v.cam.Resize(float64(s.Width), float64(s.Height))
	if v.fitted && !v.own && s.Width > 0 {
		v.fit()
	}
	v.fitOnce()
}

func (v *plateView) fitOnce() {
	l := v.host.lastLayout()
	if !v.fitted && l != nil && v.cam.Width > 100 {
		v.fitted = true
		v.fit()
	}
}

// fit shows the whole plate.
func (v *plateView) fit() {
	w, h := v.cam.Width, v.cam.Height
	left := v.host.leftKept()
	if left > w/3 {
		left = 0
	}
	v.cam = scene.Fit(v.host.lastLayout(), w-left, h, v.cam.Side).Resize(w, h).Pan(left/2, 0)
	v.own = false
	v.redraw()
}

// turn shows the other face.
func (v *plateView) turn() {
	if v.cam.Side == plate.Bottom {
		v.cam.Side = plate.Top
	} else {
		v.cam.Side = plate.Bottom
	}
	v.cam.Turn = v.host.doc().Machining.Turn
	v.fit()
}

// centre moves the camera so that q is in the middle, unless it is in sight.
func (v *plateView) centre(q geom.Point) {
	x, y := v.cam.ToPx(q)
	const rim = 0.02
	if x > v.cam.Width*rim && x < v.cam.Width*(1-rim) && y > v.cam.Height*rim && y < v.cam.Height*(1-rim) {
		v.redraw()
		return
	}
	v.cam.Center, v.own = q, true
	v.redraw()
}

// zoomBy zooms about the middle.
func (v *plateView) zoomBy(f float64) {
	v.cam, v.own = v.cam.Zoom(v.cam.Width/2, v.cam.Height/2, f), true
	v.redraw()
}

func (v *plateView) redraw() { v.raster.Refresh() }

// draw paints the picture of w × h device pixels.
func (v *plateView) draw(w, h int) image.Image {
	p := ink()
	size := v.Size()
	if w <= 0 || h <= 0 || size.Width <= 0 {
		v.sink.Begin(1, 1, 1, p.Paper)
		return v.sink.Image()
	}
	v.sink.Begin(w, h, float64(w)/float64(size.Width), p.Paper)
	v.paint.Paint(&v.sink, v.host.lastLayout(), v.cam, v.options(p))
	return v.sink.Image()
}

func (v *plateView) options(p scene.Theme) scene.Options {
	doc, sel := v.host.doc(), v.host.selected()
	o := scene.Options{
		Theme: p, Show: v.host.shownParts(), Unit: v.host.lengthUnit(),
		Selected: sel.id, Hover: v.hover.id, Findings: v.host.placedFindings(), Readout: v.readout(),
	}
	l := v.host.lastLayout()
	o.Paths, o.Field = v.host.overlay()
	if sel.onCell {
		o.Cells, o.Selected = sel.cells(l), 0
	}
	if sel.onRib {
		o.Selected, o.Paths = 0, append(o.Paths, ribMarks(l, sel.strips(l))...)
	}
	o.Paths = append(o.Paths, loadMarks(doc, sel, v.cam.Scale)...)
	if on := placeOf(&doc, sel.id); on != nil && on.Feature != 0 {
		o.Selected = on.Feature // what it acts on
	}
	if v.hover.cell >= 0 || v.hover.rib >= 0 {
		o.Hover = 0 // a part, not its whole field
	}
	if !v.drag.pressed && v.hoverOf == l {
		if v.hover.cell >= 0 {
			o.Cells = append(o.Cells, v.hover.cell)
		}
		if v.hover.rib >= 0 {
			o.Paths = append(o.Paths, ribMarks(l, []int{v.hover.rib})...)
		}
	}
	if v.drag.active {
		o.Hover, o.Guides, o.Dimensions = 0, v.drag.guides, v.drag.dimensions(doc)
	}
	if at, ok := v.hover.grip.place(doc); ok && v.hover.grip.kind == gripMiddle && !v.drag.active {
		o.Handles = append(o.Handles, scene.Handle{At: at, Hot: true})
	}
	for _, g := range grips(doc, sel) {
		if at, ok := g.place(doc); ok {
			chosen := (g.kind == gripCorner || g.kind == gripVertex || g.kind == gripSkin) && g.index+1 == sel.corner
			o.Handles = append(o.Handles, scene.Handle{At: at, Hot: chosen || g == v.hover.grip || v.drag.active && g == v.drag.grip})
		}
	}
	return o
}

// ribMarks are lines along both sides of ribs: what marks one rib of a field. An index past the layout's end is passed over.
func ribMarks(l *layout.Layout, strips []int) []scene.ToolRun {
	var out []scene.ToolRun
	for _, i := range strips {
		if l == nil || i >= len(l.Strips) {
			continue
		}
		s := &l.Strips[i]
		chain := []geom.Point{s.A, s.B}
		if s.Arc {
			const pieces = 24
			chain = chain[:0]
			for e, k := s.Edge(), 0; k <= pieces; k++ {
				chain = append(chain, e.At(float64(k)/pieces))
			}
		}
		var left, right []geom.Edge
		for k := 1; k < len(chain); k++ {
			a, b := chain[k-1], chain[k]
			if a == b {
				continue
			}
			u := b.Sub(a).Unit()
			off := geom.Pt(-u.Y, u.X).Mul(s.Width / 2)
			left = append(left, geom.Line(a.Add(off), b.Add(off)))
			right = append(right, geom.Line(a.Sub(off), b.Sub(off)))
		}
		out = append(out, scene.ToolRun{Edges: left}, scene.ToolRun{Edges: right})
	}
	return out
}

func (v *plateView) readout() string {
	if m := v.host.message(); m != "" {
		return m
	}
	face := "top face"
	if v.cam.Side == plate.Bottom {
		face = "bottom face"
	}
	if !v.inside {
		return face
	}
	u := v.host.lengthUnit()
	step := 0.1
	if u == scene.Inches {
		step = 0.0254
	}
	at := func(x float64) string { return u.Length(math.Round(x/step) * step) }
	return face + "   x " + at(v.readAt.X) + "   y " + at(v.readAt.Y) + " " + u.Symbol()
}

// pick is what lies at a place of the view, as it is shown.
func (v *plateView) pick(x, y float64) target {
	var fs []finding.Finding
	if v.host.shownParts()&scene.Findings != 0 {
		fs = v.host.placedFindings()
	}
	return pick(v.host.lastLayout(), v.host.doc(), v.host.selected(), fs, v.cam, x, y)
}

func xy(p fyne.Position) (x, y float64) { return float64(p.X), float64(p.Y) }

func (v *plateView) focus() {
	if c := fyne.CurrentApp().Driver().CanvasForObject(v); c != nil && c.Focused() != v {
		c.Focus(v) // a field that is being typed in commits, and keys arrive here
	}
}

// Scrolled implements fyne.Scrollable: the wheel zooms at the pointer.
func (v *plateView) Scrolled(e *fyne.ScrollEvent) {
	const perUnit = 0.004 // a notch is 25 units: about a tenth
	x, y := xy(e.Position)
	v.cam, v.own = v.cam.Zoom(x, y, math.Exp(float64(e.Scrolled.DY)*perUnit)), true
	v.redraw()
}

// MouseIn implements desktop.Hoverable.
func (v *plateView) MouseIn(e *desktop.MouseEvent) { v.MouseMoved(e) }

// MouseMoved implements desktop.Hoverable.
func (v *plateView) MouseMoved(e *desktop.MouseEvent) {
	x, y := xy(e.Position)
	v.inside, v.readAt = true, v.cam.FromPx(x, y)
	if !v.drag.pressed {
		v.hover, v.hoverOf = v.pick(x, y), v.host.lastLayout()
	}
	v.redraw() // the coordinates follow the pointer
}

// MouseOut implements desktop.Hoverable.
func (v *plateView) MouseOut() {
	v.inside, v.hover = false, nothingHit()
	v.redraw()
}

// Cursor implements desktop.Cursorable.
func (v *plateView) Cursor() desktop.Cursor {
	if v.hover.grip.kind != gripNone || v.hover.mark >= 0 {
		return desktop.PointerCursor
	}
	return desktop.CrosshairCursor
}

// FocusGained implements fyne.Focusable.
func (v *plateView) FocusGained() {}

// FocusLost implements fyne.Focusable.
func (v *plateView) FocusLost() {}

// TypedRune implements fyne.Focusable.
func (v *plateView) TypedRune(r rune) {
	switch r {
	case '+', '=':
		v.zoomBy(1.25)
	case '-':
		v.zoomBy(0.8)
	case 'f', 'F':
		v.fit()
	}
}

// TypedKey implements fyne.Focusable.
func (v *plateView) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyEscape:
		if !v.cancelDrag() {
			v.host.escape()
		}
	case fyne.KeyHome:
		v.fit()
	case fyne.KeyDelete, fyne.KeyBackspace:
		v.host.deleteSelected()
	case fyne.KeyPageDown:
		v.host.step(1)
	case fyne.KeyPageUp:
		v.host.step(-1)
	case fyne.KeyReturn, fyne.KeyEnter:
		v.host.enterFields()
	case fyne.KeyLeft:
		v.nudge(-1, 0)
	case fyne.KeyRight:
		v.nudge(1, 0)
	case fyne.KeyUp:
		v.nudge(0, 1)
	case fyne.KeyDown:
		v.nudge(0, -1)
	}
}

// KeyDown implements desktop.Keyable.
func (v *plateView) KeyDown(*fyne.KeyEvent) {}

// KeyUp implements desktop.Keyable: letting go of an arrow key ends the run of nudges.
func (v *plateView) KeyUp(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
		if v.drag.nudging != "" {
			v.drag.nudging = ""
			v.host.endGesture()
		}
	}
}
