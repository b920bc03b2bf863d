package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// clickable makes anything pressable by pointer and keyboard: a stage, a feature in a list, a finding, a figure of the
// ledger. The chosen one lies on paper with a bar of the accent colour at its left; the focus is a rule round it.
type clickable struct {
	widget.BaseWidget
	content fyne.CanvasObject
	onPress func()
	onArrow func(by int)       // up and down keys, when set
	onKey   func(fyne.KeyName) // other keys, when set
	pad     fyne.Size
	filled  bool // a button in the accent colour

	chosen, hovered, focused bool
}

var (
	_ fyne.Tappable      = (*clickable)(nil)
	_ fyne.Focusable     = (*clickable)(nil)
	_ desktop.Hoverable  = (*clickable)(nil)
	_ desktop.Cursorable = (*clickable)(nil)
)

func newClickable(content fyne.CanvasObject, pad fyne.Size, press func()) *clickable {
	c := &clickable{content: content, onPress: press, pad: pad}
	c.ExtendBaseWidget(c)
	return c
}

// newWordButton is a command written as a word in the accent colour.
func newWordButton(text string, press func()) *clickable {
	return newClickable(newLine(text, sizeText, toneAccent), fyne.NewSize(sideMargin, 4), press)
}

func (c *clickable) choose(chosen bool) {
	if c.chosen != chosen {
		c.chosen = chosen
		c.Refresh()
	}
}

// Tapped implements fyne.Tappable.
func (c *clickable) Tapped(*fyne.PointEvent) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil {
		cv.Focus(c) // a field that is being typed in commits
	}
	c.press()
}

func (c *clickable) press() {
	if c.onPress != nil {
		c.onPress()
	}
}

// MouseIn implements desktop.Hoverable.
func (c *clickable) MouseIn(*desktop.MouseEvent) { c.hovered = true; c.Refresh() }

// MouseMoved implements desktop.Hoverable.
func (c *clickable) MouseMoved(*desktop.MouseEvent) {}

// MouseOut implements desktop.Hoverable.
func (c *clickable) MouseOut() { c.hovered = false; c.Refresh() }

// Cursor implements desktop.Cursorable.
func (c *clickable) Cursor() desktop.Cursor { return desktop.PointerCursor }

// FocusGained implements fyne.Focusable.
func (c *clickable) FocusGained() { c.focused = true; c.Refresh() }

// FocusLost implements fyne.Focusable.
func (c *clickable) FocusLost() { c.focused = false; c.Refresh() }

// TypedRune implements fyne.Focusable.
func (c *clickable) TypedRune(rune) {}

// TypedKey implements fyne.Focusable.
func (c *clickable) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeySpace:
		c.press()
	case fyne.KeyUp, fyne.KeyDown:
		if c.onArrow != nil {
			c.onArrow(map[fyne.KeyName]int{fyne.KeyUp: -1, fyne.KeyDown: 1}[e.Name])
		}
	default:
		if c.onKey != nil {
			c.onKey(e.Name)
		}
	}
}

// CreateRenderer implements fyne.Widget.
func (c *clickable) CreateRenderer() fyne.WidgetRenderer {
	r := &clickableRenderer{
		c: c, back: canvas.NewRectangle(color.Transparent), bar: canvas.NewRectangle(color.Transparent),
		ring: canvas.NewRectangle(color.Transparent),
	}
	r.ring.StrokeWidth = 1
	r.Refresh()
	return r
}

type clickableRenderer struct {
	c               *clickable
	back, bar, ring *canvas.Rectangle
}

func (r *clickableRenderer) Destroy() {}

func (r *clickableRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.back, r.bar, r.c.content, r.ring}
}

func (r *clickableRenderer) MinSize() fyne.Size {
	return r.c.content.MinSize().AddWidthHeight(2*r.c.pad.Width, 2*r.c.pad.Height)
}

func (r *clickableRenderer) Layout(s fyne.Size) {
	const bar = 3
	r.back.Resize(s)
	r.ring.Move(fyne.NewPos(0.5, 0.5))
	r.ring.Resize(fyne.NewSize(s.Width-1, s.Height-1))
	r.bar.Resize(fyne.NewSize(bar, s.Height))
	r.c.content.Move(fyne.NewPos(r.c.pad.Width, r.c.pad.Height))
	r.c.content.Resize(fyne.NewSize(s.Width-2*r.c.pad.Width, s.Height-2*r.c.pad.Height))
}

func (r *clickableRenderer) Refresh() {
	p := ink()
	var back, bar, ring color.Color = color.Transparent, color.Transparent, color.Transparent
	if r.c.hovered {
		back = faded(p.Ink, 0x0C)
	}
	if r.c.chosen {
		back, bar = p.Paper, p.Selection
	}
	if r.c.filled {
		back = p.Selection
	}
	if r.c.focused {
		ring = faded(p.Selection, 0x90)
	}
	if r.c.focused && r.c.filled {
		ring = p.Ink
	}
	r.back.FillColor, r.bar.FillColor, r.ring.StrokeColor = back, bar, ring
	r.back.Refresh()
	r.bar.Refresh()
	r.ring.Refresh()
	r.c.content.Refresh()
}
