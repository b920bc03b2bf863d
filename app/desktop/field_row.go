package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"platewright/export/scene"
	"platewright/plate/finding"
)

// fieldRow is a field with all that stands round it: a caption, what is allowed, the unit behind the value, a hairline, and
// the sentence that a value was refused with.
type fieldRow struct {
	widget.BaseWidget
	caption *line
	allowed *line
	unit    *line
	inner   fyne.CanvasObject // the entry or the choice
	value   func() string     // what stands in the entry, for the place of the unit; nil without a unit
	focused func() bool
	rule    *fill
	refusal *widget.Label
	resized func() // tells the form that the row needs another height
}

func newFieldRow(caption string, inner fyne.CanvasObject) *fieldRow {
	r := &fieldRow{
		caption: newLine(caption, sizeSmall, toneQuiet), allowed: newLine("", sizeSmall, toneQuiet),
		unit: newLine("", sizeText, toneQuiet), inner: inner, refusal: newParagraph(""),
	}
	r.allowed.align = fyne.TextAlignTrailing
	r.refusal.Importance = widget.DangerImportance
	r.refusal.SizeName = captionSize
	r.refusal.Hide()
	r.rule = newFill(func(p scene.Theme) color.Color {
		if r.focused != nil && r.focused() {
			return p.Selection
		}
		return faded(p.Quiet, 0x70)
	}, 1, 1)
	r.ExtendBaseWidget(r)
	return r
}

// note shows a sentence under the field, or takes it away.
func (r *fieldRow) note(text string, refused bool) {
	if text == r.refusal.Text {
		return
	}
	r.refusal.Importance = widget.MediumImportance
	if refused {
		r.refusal.Importance = widget.DangerImportance
	}
	r.refusal.SetText(text)
	if text == "" {
		r.refusal.Hide()
	} else {
		r.refusal.Show()
	}
	r.Refresh()
	if r.resized != nil {
		r.resized()
	}
}

// CreateRenderer implements fyne.Widget.
func (r *fieldRow) CreateRenderer() fyne.WidgetRenderer { return &fieldRowRenderer{r} }

type fieldRowRenderer struct{ r *fieldRow }

func (f *fieldRowRenderer) Destroy() {}

func (f *fieldRowRenderer) Objects() []fyne.CanvasObject {
	r := f.r
	return []fyne.CanvasObject{r.caption, r.allowed, r.unit, r.inner, r.rule, r.refusal}
}

func (f *fieldRowRenderer) MinSize() fyne.Size {
	r := f.r
	h := r.caption.MinSize().Height + r.inner.MinSize().Height + 1
	if r.refusal.Visible() {
		h += r.refusal.MinSize().Height
	}
	return fyne.NewSize(60, h)
}

// overlap is how far the entry's own padding reaches under the caption: the two read as one.
const overlap = 4

func (f *fieldRowRenderer) Layout(s fyne.Size) {
	r := f.r
	top := r.caption.MinSize().Height
	r.caption.Resize(fyne.NewSize(s.Width, top))
	rest := s.Width - r.caption.width() - 8
	if r.focused == nil || !r.focused() { // what is allowed is of interest only while one types
		rest = 0
	}
	r.allowed.Move(fyne.NewPos(s.Width-max(rest, 0), 0))
	r.allowed.Resize(fyne.NewSize(max(rest, 0), top))
	h := r.inner.MinSize().Height
	pad := innerPad()
	r.inner.Move(fyne.NewPos(-pad, top-overlap+2))
	r.inner.Resize(fyne.NewSize(s.Width+2*pad, h))
	f.placeUnit(s, top, h)
	r.rule.Move(fyne.NewPos(0, top+h-overlap+1))
	r.rule.Resize(fyne.NewSize(s.Width, 1))
	r.refusal.Move(fyne.NewPos(-pad, top+h-2))
	r.refusal.Resize(fyne.NewSize(s.Width+2*pad, r.refusal.MinSize().Height))
}

// placeUnit puts the unit right behind the number, as it is written by hand.
func (f *fieldRowRenderer) placeUnit(s fyne.Size, top, h float32) {
	r := f.r
	if r.value == nil || r.unit.text == "" {
		r.unit.Resize(fyne.NewSize(0, 0))
		return
	}
	w := fyne.MeasureText(r.value(), sizeText, fyne.TextStyle{}).Width
	const gap = 7
	uh := r.unit.MinSize().Height
	uw := max(min(s.Width-w-gap, r.unit.width()+1), 0)
	r.unit.Move(fyne.NewPos(w+gap, top-overlap+2+(h-uh)/2))
	r.unit.Resize(fyne.NewSize(uw, uh))
}

func (f *fieldRowRenderer) Refresh() {
	r := f.r
	f.Layout(r.Size())
	for _, o := range []fyne.CanvasObject{r.caption, r.allowed, r.unit, r.rule} {
		o.Refresh()
	}
}

// newNumberField is a row with a number.
func newNumberField(caption string, kind quantity, l limits, step float64) (*fieldRow, *numberEntry) {
	n := newNumberEntry(kind, l, step)
	r := newFieldRow(caption, n)
	r.unit.text, r.allowed.text = kind.unit, l.text(kind)
	r.value = func() string { return n.Text }
	r.focused = func() bool { return n.focused }
	n.note = r.note
	n.shaped = r.Refresh
	return r, n
}

// textEntry is the line for a name or a remark: it commits on Enter and when the focus leaves, goes back on Escape.
type textEntry struct {
	widget.Entry
	commit  func(string) error
	note    func(text string, refused bool)
	forward func(fyne.Shortcut)
	shaped  func()
	value   string
	typed   bool
	focused bool
	silent  bool
}

func newTextField(caption string) (*fieldRow, *textEntry) {
	e := &textEntry{}
	e.Wrapping = fyne.TextWrap(fyne.TextTruncateClip)
	e.ExtendBaseWidget(e)
	r := newFieldRow(caption, e)
	r.focused = func() bool { return e.focused }
	e.note, e.shaped = r.note, r.Refresh
	e.OnChanged = func(string) {
		if !e.silent {
			e.typed = true
		}
	}
	e.OnSubmitted = func(string) { e.take(true) }
	return r, e
}

func (e *textEntry) set(s string) {
	e.value = s
	if !e.typed && e.Text != s {
		e.silent = true
		e.SetText(s)
		e.silent = false
	}
}

func (e *textEntry) take(keep bool) {
	if !e.typed {
		return
	}
	var err error
	if e.Text != e.value {
		err = e.commit(e.Text)
	}
	if err != nil && keep {
		e.note(finding.Words(err), true)
		return
	}
	e.typed = false
	if err == nil {
		e.value = e.Text
		e.note("", false)
		return
	}
	e.set(e.value)
	e.note(finding.Words(err)+"; the text before stays", true)
}

// FocusGained implements fyne.Focusable.
func (e *textEntry) FocusGained() {
	e.focused = true
	e.Entry.FocusGained()
	e.shaped()
}

// FocusLost implements fyne.Focusable.
func (e *textEntry) FocusLost() {
	e.focused = false
	e.Entry.FocusLost()
	e.take(false)
	e.shaped()
}

// TypedKey implements fyne.Focusable.
func (e *textEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.typed = false
		e.set(e.value)
		e.note("", false)
		return
	}
	e.Entry.TypedKey(k)
}

// TypedShortcut implements fyne.Shortcutable.
func (e *textEntry) TypedShortcut(s fyne.Shortcut) {
	if isTextShortcut(s) || e.forward == nil {
		e.Entry.TypedShortcut(s)
		return
	}
	e.forward(s)
}

// choiceField is one of a few words.
type choiceField struct {
	*fieldRow
	sel    *widget.Select
	commit func(string) error
	value  string
	silent bool
}

func newChoiceField(caption string, options []string) *choiceField {
	c := &choiceField{sel: widget.NewSelect(options, nil)}
	c.fieldRow = newFieldRow(caption, c.sel)
	c.sel.OnChanged = func(s string) {
		if c.silent || s == c.value {
			return
		}
		if err := c.commit(s); err != nil {
			c.set(c.value)
			c.note(finding.Words(err), true)
			return
		}
		c.note("", false)
		c.value = s
	}
	return c
}

// set shows the document's value; one that is not among the options is added.
func (c *choiceField) set(s string) {
	c.value = s
	if c.sel.Selected == s {
		return
	}
	c.silent = true
	c.sel.SetSelected(s)
	if c.sel.Selected != s { // not among the options
		c.sel.SetOptions(append(c.sel.Options, s))
		c.sel.SetSelected(s)
	}
	c.silent = false
}

// columns puts objects side by side in equal widths with a gap.
type columns struct{ gap float32 }

func (c columns) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		m := o.MinSize()
		s.Height = max(s.Height, m.Height)
		s.Width = max(s.Width, m.Width)
	}
	n := float32(len(objects))
	return fyne.NewSize(s.Width*n+c.gap*max(n-1, 0), s.Height)
}

func (c columns) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	n := float32(len(objects))
	if n == 0 {
		return
	}
	w := (s.Width - c.gap*(n-1)) / n
	for i, o := range objects {
		o.Move(fyne.NewPos(float32(i)*(w+c.gap), 0))
		o.Resize(fyne.NewSize(w, s.Height))
	}
}

// headed puts the first object above the second, which gets what is left.
type headed struct{}

func (headed) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+b.Height)
}

func (headed) Layout(o []fyne.CanvasObject, s fyne.Size) {
	h := o[0].MinSize().Height
	o[0].Resize(fyne.NewSize(s.Width, h))
	o[1].Move(fyne.NewPos(0, h))
	o[1].Resize(fyne.NewSize(s.Width, max(s.Height-h, 0)))
}

// ruled puts a hairline along the left or right edge of what it lays over: rule first, then the rest.
type ruled struct{ right bool }

func (ruled) MinSize(o []fyne.CanvasObject) fyne.Size { return o[0].MinSize() }

func (r ruled) Layout(o []fyne.CanvasObject, s fyne.Size) {
	o[0].Resize(s)
	if r.right {
		o[1].Move(fyne.NewPos(s.Width-1, 0))
	}
	o[1].Resize(fyne.NewSize(1, s.Height))
}

func sideBySide(objects ...fyne.CanvasObject) fyne.CanvasObject {
	return container.New(columns{gap: 18}, objects...)
}

// stack puts objects below each other with a gap, each as wide as there is room.
type stack struct{ gap float32 }

func (k stack) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		if s.Height > 0 {
			s.Height += k.gap
		}
		s.Height += m.Height
		s.Width = max(s.Width, m.Width)
	}
	return s
}

func (k stack) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	y := float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(s.Width, h))
		// A wrapped text knows its height only now that it knows its width.
		if m := o.MinSize().Height; m != h {
			h = m
			o.Resize(fyne.NewSize(s.Width, h))
		}
		y += h + k.gap
	}
}
