package desktop

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// The steps of the hint that a first start shows. Doing what a step says goes on to the next.
const (
	hintSelect = 1
	hintDrag   = 2
	hintLedger = 3
	hintDone   = 4
)

var hintTexts = map[int][2]string{
	hintSelect: {"1 of 3", "Click a bore, a hole or a pocket: everything about it stands at the right, and every number there takes arithmetic and units, such as 3/8 in or 2*12.5."},
	hintDrag:   {"2 of 3", "Drag a bore. Mass and findings follow in the next picture, minutes a moment later. Undo takes a whole drag back."},
	hintLedger: {"3 of 3", "Click a figure below: the table behind it opens, and its rows point at their metal."},
}

// hintSheet is the three-step hint of a first start, a slip of paper in a corner of the plate view.
type hintSheet struct {
	w      *Window
	step   int
	count  *line
	text   *widget.Label
	box    *fyne.Container
	object *fyne.Container
}

const prefHintDone = "hint done"

func newHintSheet(w *Window) *hintSheet {
	h := &hintSheet{w: w, count: newLine("", sizeSmall, toneAccent), text: newParagraph("")}
	word := newLine("Do not show again", sizeSmall, toneAccent)
	word.tight = true
	leave := newClickable(word, fyne.NewSize(innerPad(), 3), func() { h.set(hintDone) })
	body := container.New(stack{gap: 2}, container.New(inset{innerPad(), 0}, h.count), h.text,
		container.NewBorder(nil, nil, nil, leave))
	h.box = container.NewStack(panelFill(), newOutline(), container.New(inset{8, 8}, body))
	h.object = container.New(corner{width: 300, margin: 16}, h.box)
	h.step = hintSelect
	if w.app.Preferences().Bool(prefHintDone) {
		h.step = hintDone
	}
	h.update()
	return h
}

// corner puts one object into the upper left corner.
type corner struct{ width, margin float32 }

func (c corner) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(0, 0) }

func (c corner) Layout(o []fyne.CanvasObject, s fyne.Size) {
	for _, b := range o {
		b.Move(fyne.NewPos(c.margin, c.margin))
		w := min(c.width, s.Width-2*c.margin)
		b.Resize(fyne.NewSize(w, b.MinSize().Height))
		b.Resize(fyne.NewSize(w, b.MinSize().Height)) // wrapped text knows its height only now
	}
}

// did tells that the person has done what a step says.
func (h *hintSheet) did(step int) {
	if h.step == step {
		h.set(step + 1)
	}
}

func (h *hintSheet) set(step int) {
	h.step = step
	if step == hintDone {
		h.w.app.Preferences().SetBool(prefHintDone, true)
	}
	h.update()
}

func (h *hintSheet) update() {
	t, ok := hintTexts[h.step]
	if !ok {
		h.object.Hide()
		return
	}
	h.count.set(t[0], toneAccent)
	h.text.SetText(t[1])
	h.object.Show()
	h.object.Refresh()
}
