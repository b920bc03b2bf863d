package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// answer is one button of a question.
type answer struct {
	text   string
	do     func()
	danger bool // loses something
}

// sheetDialog is a sheet of paper over the window with a heading, content, and buttons. Only one is open at a time.
type sheetDialog struct {
	pop     *widget.PopUp
	buttons []*clickable
	cv      fyne.Canvas
}

// openSheet shows a sheet. The answers stand in the order given; the one at safe has the focus, and Escape gives the one
// at escape.
func openSheet(cv fyne.Canvas, heading string, content fyne.CanvasObject, answers []answer, safe, escape int, width float32) *sheetDialog {
	d := &sheetDialog{cv: cv}
	row := container.New(trailing{gap: 10})
	for i, a := range answers {
		b := newSheetButton(a.text, a.danger, i == safe, func() { d.close(); a.do() })
		b.onKey = func(k fyne.KeyName) { d.key(k, i, answers[escape].do) }
		d.buttons = append(d.buttons, b)
		row.Add(b)
	}
	objects := []fyne.CanvasObject{newBold(heading, sizeHeading, toneInk)}
	if content != nil {
		objects = append(objects, content)
	}
	objects = append(objects, row)
	body := container.New(stack{gap: 14}, objects...)
	d.pop = widget.NewModalPopUp(container.New(inset{22, 18}, body), cv)
	d.pop.Resize(fyne.NewSize(width, 0))
	h := body.MinSize().Height
	if content != nil { // wrapped text knows its height only when it knows its width
		content.Resize(fyne.NewSize(width-44, content.MinSize().Height))
		h = body.MinSize().Height
	}
	d.pop.Resize(fyne.NewSize(width, h+2*18+8))
	d.pop.Show()
	if safe >= 0 && safe < len(d.buttons) {
		cv.Focus(d.buttons[safe])
	}
	return d
}

func (d *sheetDialog) close() { d.pop.Hide() }

// key is what the keys do on button i: Escape leaves, the arrows move on.
func (d *sheetDialog) key(k fyne.KeyName, i int, escape func()) {
	n := len(d.buttons)
	switch k {
	case fyne.KeyEscape:
		d.close()
		escape()
	case fyne.KeyLeft:
		d.cv.Focus(d.buttons[(i+n-1)%n])
	case fyne.KeyRight:
		d.cv.Focus(d.buttons[(i+1)%n])
	}
}

// newSheetButton is a word to press: filled where it is the safe one, in the colour of wrong where it loses something.
func newSheetButton(text string, danger, safe bool, press func()) *clickable {
	l := newLine(text, sizeText, toneInk)
	l.tight = true
	b := newClickable(l, fyne.NewSize(14, 6), press)
	switch {
	case safe:
		l.tone, b.filled = toneOnAccent, true
	case danger:
		l.tone = toneWrong
	}
	return b
}

// trailing lays objects out in a row at the right, each as wide as it asks for.
type trailing struct{ gap float32 }

func (r trailing) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, c := range o {
		m := c.MinSize()
		s.Width += m.Width + r.gap
		s.Height = max(s.Height, m.Height)
	}
	return s
}

func (r trailing) Layout(o []fyne.CanvasObject, s fyne.Size) {
	x := s.Width
	for i := len(o) - 1; i >= 0; i-- {
		m := o[i].MinSize()
		x -= m.Width
		o[i].Move(fyne.NewPos(x, (s.Height-m.Height)/2))
		o[i].Resize(m)
		x -= r.gap
	}
}

// ask shows a question in a few sentences.
func ask(cv fyne.Canvas, heading, text string, answers []answer, safe, escape int) *sheetDialog {
	return openSheet(cv, heading, container.New(inset{-innerPad(), -4}, newParagraph(text)), answers, safe, escape, 480)
}

// tell shows a message with one button.
func tell(cv fyne.Canvas, heading, text string) *sheetDialog {
	return ask(cv, heading, text, []answer{{text: "Close", do: func() {}}}, 0, 0)
}

// inset keeps a margin round one object.
type inset struct{ x, y float32 }

func (i inset) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		s = s.Max(o.MinSize())
	}
	return s.AddWidthHeight(2*i.x, 2*i.y)
}

func (i inset) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.NewPos(i.x, i.y))
		o.Resize(fyne.NewSize(s.Width-2*i.x, s.Height-2*i.y))
	}
}

// newOutline is a hairline round a sheet.
func newOutline() fyne.CanvasObject {
	r := canvas.NewRectangle(color.Transparent)
	r.StrokeColor, r.StrokeWidth = ink().Hairline, 1
	return r
}
