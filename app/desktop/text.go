package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"platewright/export/scene"
)

// tone is the meaning of a colour; the theme says which colour that is. Words always say the same as the colour.
type tone int

const (
	toneInk tone = iota
	toneQuiet
	toneAccent
	toneFine
	toneLook
	toneWrong
	toneFaint    // stale
	toneOnAccent // on the accent colour
)

func (t tone) colour(p scene.Theme) color.Color {
	switch t {
	case toneQuiet:
		return p.Quiet
	case toneAccent:
		return p.Selection
	case toneFine:
		return p.Fine
	case toneLook:
		return p.Look
	case toneWrong:
		return p.Wrong
	case toneOnAccent:
		return p.Paper
	case toneFaint:
		return faded(p.Quiet, 0x99)
	}
	return p.Ink
}

// line is one line of text that never asks for more room than it gets: what does not fit ends in an ellipsis.
type line struct {
	widget.BaseWidget
	text  string
	size  float32
	bold  bool
	tone  tone
	align fyne.TextAlign
	tight bool // asks for the width of its text
}

func newLine(text string, size float32, t tone) *line {
	l := &line{text: text, size: size, tone: t}
	l.ExtendBaseWidget(l)
	return l
}

func newBold(text string, size float32, t tone) *line {
	l := newLine(text, size, t)
	l.bold = true
	return l
}

// set changes text and tone, and draws only when something differs.
func (l *line) set(text string, t tone) {
	if l.text == text && l.tone == t {
		return
	}
	l.text, l.tone = text, t
	l.Refresh()
}

func (l *line) style() fyne.TextStyle { return fyne.TextStyle{Bold: l.bold} }

func (l *line) width() float32 { return fyne.MeasureText(l.text, l.size, l.style()).Width }

// CreateRenderer implements fyne.Widget.
func (l *line) CreateRenderer() fyne.WidgetRenderer {
	t := canvas.NewText(l.text, color.Black)
	r := &lineRenderer{l, t}
	r.Refresh()
	return r
}

type lineRenderer struct {
	l *line
	t *canvas.Text
}

func (r *lineRenderer) Destroy()                     {}
func (r *lineRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.t} }

func (r *lineRenderer) MinSize() fyne.Size {
	s := fyne.MeasureText("Hg", r.l.size, r.l.style())
	s.Width = 0
	if r.l.tight {
		s.Width = r.l.width()
	}
	return s
}

func (r *lineRenderer) Layout(s fyne.Size) {
	r.t.Text = fitted(r.l.text, s.Width, r.l.size, r.l.style())
	r.t.Resize(s)
	r.t.Refresh()
}

func (r *lineRenderer) Refresh() {
	r.t.TextSize, r.t.TextStyle, r.t.Alignment = r.l.size, r.l.style(), r.l.align
	r.t.Color = r.l.tone.colour(ink())
	r.Layout(r.l.Size())
}

// fitted is the text, shortened with an ellipsis until it is no wider than w.
func fitted(text string, w, size float32, style fyne.TextStyle) string {
	if text == "" || w <= 0 {
		return ""
	}
	const slack = 0.5 // layouts round
	if fyne.MeasureText(text, size, style).Width <= w+slack {
		return text
	}
	runes := []rune(text)
	lo, hi := 0, len(runes) // the longest prefix that fits lies in [lo, hi)
	for lo+1 < hi {
		mid := (lo + hi) / 2
		if fyne.MeasureText(string(runes[:mid])+"…", size, style).Width <= w+slack {
			lo = mid
		} else {
			hi = mid
		}
	}
	return string(runes[:lo]) + "…"
}

// newParagraph is wrapped text.
func newParagraph(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	return l
}

// fill is an area of one colour of the palette: a thin rule, a panel, or empty space.
type fill struct {
	widget.BaseWidget
	colour func(scene.Theme) color.Color
	min    fyne.Size
}

func newFill(colour func(scene.Theme) color.Color, w, h float32) *fill {
	f := &fill{colour: colour, min: fyne.NewSize(w, h)}
	f.ExtendBaseWidget(f)
	return f
}

func newRule() *fill {
	return newFill(func(p scene.Theme) color.Color { return p.Hairline }, 1, 1)
}

func inkColour(p scene.Theme) color.Color { return p.Ink }

func noColour(scene.Theme) color.Color { return color.Transparent }

func paperFill() *fill { return newFill(func(p scene.Theme) color.Color { return p.Paper }, 0, 0) }

func panelFill() *fill { return newFill(func(p scene.Theme) color.Color { return p.Panel }, 0, 0) }

// gapOf is empty space of a height.
func gapOf(h float32) *fill { return newFill(noColour, 1, h) }

// CreateRenderer implements fyne.Widget.
func (f *fill) CreateRenderer() fyne.WidgetRenderer {
	r := &fillRenderer{f, canvas.NewRectangle(color.Transparent)}
	r.Refresh()
	return r
}

type fillRenderer struct {
	f    *fill
	rect *canvas.Rectangle
}

func (r *fillRenderer) Destroy()                     {}
func (r *fillRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.rect} }
func (r *fillRenderer) MinSize() fyne.Size           { return r.f.min }
func (r *fillRenderer) Layout(s fyne.Size)           { r.rect.Resize(s) }

func (r *fillRenderer) Refresh() {
	r.rect.FillColor = r.f.colour(ink())
	r.rect.Refresh()
}
