package desktop

import (
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// ledgerView says which table is open.
type ledgerView string

const (
	tableNone     ledgerView = ""
	tableMass     ledgerView = "mass"
	tableCard     ledgerView = "route card"
	tablePrice    ledgerView = "price"
	tableSections ledgerView = "sections"
	tableFindings ledgerView = "findings"
	tableCases    ledgerView = "load cases"
	// Those that follow stand not behind a figure of the ledger.
	tableSettings ledgerView = "settings"
	tableJoints   ledgerView = "joints"
	tableAsked    ledgerView = "on request"
	tableSweep    ledgerView = "sweep"
)

// figure is what one cell of the ledger shows.
type figure struct {
	caption string
	value   string // large; empty while it was never computed
	unit    string
	diff    string // to the opened state, with its sign; empty for none
	note    string
	noteTo  tone
	remark  string
	stale   bool
	age     time.Duration
	hidden  bool
}

// ledger is the strip of totals along the lower edge.
type ledger struct {
	cells  []*ledgerCell
	row    *fyne.Container
	object fyne.CanvasObject
}

type ledgerCell struct {
	opens                                    ledgerView
	caption, value, unit, diff, note, remark *line
	figure                                   *fyne.Container
	press                                    *clickable
}

func newLedger(open func(ledgerView)) *ledger {
	l := &ledger{row: container.New(ledgerRow{})}
	for _, v := range []ledgerView{tableMass, tableSections, tableCases, tableCard, tablePrice, tableFindings} {
		c := &ledgerCell{
			opens: v, caption: newLine("", sizeSmall, toneQuiet), value: newLine("", sizeFigure, toneInk),
			unit: newLine("", sizeText, toneQuiet), diff: newLine("", sizeText, toneAccent),
			note: newLine("", sizeSmall, toneQuiet), remark: newLine("", sizeSmall, toneQuiet),
		}
		c.value.tight, c.unit.tight, c.diff.tight = true, true, true
		c.figure = container.New(figureLine{}, c.value, c.unit, c.diff)
		body := container.New(stack{gap: 1}, c.caption, c.figure, c.note, c.remark)
		c.press = newClickable(body, fyne.NewSize(18, 9), func() { open(v) })
		l.cells = append(l.cells, c)
		l.row.Add(container.New(ruled{}, c.press, newRule()))
	}
	l.object = l.row
	return l
}

// figureLine sets a large figure, its unit and its difference on one base line.
type figureLine struct{}

func (figureLine) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(60, o[0].MinSize().Height)
}

func (figureLine) Layout(o []fyne.CanvasObject, s fyne.Size) {
	const gap, lift = 7, 4 // the large letters stand lower in their box
	x := float32(0)
	for i, c := range o {
		m := c.MinSize()
		y := float32(0)
		if i > 0 {
			y = s.Height - m.Height - lift
		}
		c.Move(fyne.NewPos(x, y))
		c.Resize(fyne.NewSize(max(min(m.Width+1, s.Width-x), 0), m.Height))
		if m.Width > 0 {
			x += m.Width + gap
		}
		if i == 1 {
			x += gap
		}
	}
}

// ledgerRow shares the width equally among the cells that are shown, with hairlines between.
type ledgerRow struct{}

func (ledgerRow) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, c := range o {
		s.Height = max(s.Height, c.MinSize().Height)
	}
	s.Width = 480
	return s
}

func (ledgerRow) Layout(o []fyne.CanvasObject, s fyne.Size) {
	n := float32(0)
	for _, c := range o {
		if c.Visible() {
			n++
		}
	}
	x := float32(0)
	for _, c := range o {
		if c.Visible() {
			c.Move(fyne.NewPos(x, 0))
			c.Resize(fyne.NewSize(s.Width/n, s.Height))
			x += s.Width / n
		}
	}
}

// oldEnough is when the age of a stale figure is written: before that, greying alone says it.
const oldEnough = time.Second

// show brings the cells up to date.
func (l *ledger) show(figures map[ledgerView]figure, open ledgerView) {
	changed := false
	for i, c := range l.cells {
		f := figures[c.opens]
		if box := l.row.Objects[i]; box.Visible() == f.hidden {
			changed = true
			visible(box, !f.hidden)
		}
		if !f.hidden {
			c.show(f)
		}
		c.press.choose(open == c.opens && open != tableNone)
	}
	if changed {
		l.row.Refresh()
	}
}

func (c *ledgerCell) show(f figure) {
	valueTone, diffTone := toneInk, toneAccent
	caption := f.caption
	if f.stale {
		valueTone, diffTone = toneFaint, toneFaint
		if f.age >= oldEnough {
			caption += " · " + age(f.age) + " old"
		}
	}
	value, unit := f.value, f.unit
	if value == "" {
		value, unit, valueTone = "–", "", toneFaint
	}
	moved := c.value.text != value || c.unit.text != unit || c.diff.text != f.diff
	c.caption.set(caption, toneQuiet)
	c.value.set(value, valueTone)
	c.unit.set(unit, toneQuiet)
	c.diff.set(f.diff, diffTone)
	if moved { // each stands behind the one before
		c.figure.Refresh()
	}
	noteTone := f.noteTo
	if f.stale {
		noteTone = toneQuiet
	}
	c.note.set(f.note, noteTone)
	c.remark.set(f.remark, toneQuiet)
}

// age writes a duration in its largest unit; the narrow cell has no room for words.
func age(d time.Duration) string {
	switch {
	case d < time.Minute:
		return strconv.Itoa(int(d/time.Second)) + " s"
	case d < time.Hour:
		return strconv.Itoa(int(d/time.Minute)) + " min"
	}
	return strconv.Itoa(int(d/time.Hour)) + " h"
}
