package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// answer is one button of a question.
type answer struct {
	text   string
	do     func()
	danger bool // loses something
}

// keyButton is a button that Enter presses too, Escape leaves by, and the arrow keys move on from.
type keyButton struct {
	widget.Button
	escape func()
	move   func(by int)
}

func newKeyButton(text string, press, escape func()) *keyButton {
	b := &keyButton{escape: escape}
	b.Text, b.OnTapped = text, press
	b.ExtendBaseWidget(b)
	return b
}

// TypedKey implements fyne.Focusable.
func (b *keyButton) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		b.Tapped(nil)
	case fyne.KeyEscape:
		if b.escape != nil {
			b.escape()
		}
	case fyne.KeyLeft, fyne.KeyRight:
		if b.move != nil {
			b.move(map[fyne.KeyName]int{fyne.KeyLeft: -1, fyne.KeyRight: 1}[e.Name])
		}
	default:
		b.Button.TypedKey(e)
	}
}

// sheetDialog is a sheet of paper over the window with a heading, content, and buttons. Only one is open at a time.
type sheetDialog struct {
	pop     *widget.PopUp
	buttons []*keyButton
	cv      fyne.Canvas
}

// openSheet shows a sheet. The answers stand in the order given; the one at safe has the focus, and Escape gives the one
// at escape.
func openSheet(cv fyne.Canvas, heading string, content fyne.CanvasObject, answers []answer, safe, escape int, width float32) *sheetDialog {
	d := &sheetDialog{cv: cv}
	row := container.NewHBox()
	row.Add(newSpacer())
	for i, a := range answers {
		b := newKeyButton(a.text, func() { d.close(); a.do() }, func() { d.close(); answers[escape].do() })
		if a.danger {
			b.Importance = widget.DangerImportance
		}
		if i == safe {
			b.Importance = widget.HighImportance
		}
		b.move = func(by int) {
			n := len(d.buttons)
			cv.Focus(d.buttons[(i+by+n)%n])
		}
		d.buttons = append(d.buttons, b)
		row.Add(b)
	}
	objects := []fyne.CanvasObject{newBold(heading, sizeHeading, toneInk)}
	if content != nil {
		objects = append(objects, content)
	}
	objects = append(objects, row)
	body := container.New(stack{gap: 14}, objects...)
	edge := newOutline()
	d.pop = widget.NewModalPopUp(container.NewStack(edge, container.New(inset{22, 18}, body)), cv)
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

// ask shows a question in a few sentences.
func ask(cv fyne.Canvas, heading, text string, answers []answer, safe, escape int) *sheetDialog {
	return openSheet(cv, heading, newParagraph(text), answers, safe, escape, 480)
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

// newSpacer pushes what follows it to the end of a row.
func newSpacer() fyne.CanvasObject { return layout.NewSpacer() }

// newOutline is a hairline round a sheet.
func newOutline() fyne.CanvasObject {
	r := canvas.NewRectangle(color.Transparent)
	r.StrokeColor, r.StrokeWidth = ink().Hairline, 1
	return r
}
