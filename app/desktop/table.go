package desktop

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"platewright/plate"
)

// column is one column of a table. Width is in the window's units; the last column of width 0 takes what is left.
type column struct {
	title string
	width float32
	right bool // figures stand at the right
}

// row is one row of a table, with what it means on the plate.
type row struct {
	cells    []string
	tone     tone
	bold     bool
	wide     int // from this cell on, where it is not 0, cells stand at the left, and the last given one has all the room that is left
	word     int // the cell that is in wordTone, where that is not the zero tone
	wordTone tone
	sel      selection   // what a press selects; the zero selection for nothing
	where    *[2]float64 // where to look
	over     overlay     // what a press draws over the plate; the zero overlay for nothing
	says     string      // what a press says in full, since a cell may be cut short
	id       plate.ID    // for marking the row of the feature that is selected
}

// table is a list of rows under a heading.
type table struct {
	columns []column
	rows    []row
	list    *widget.List
	object  fyne.CanvasObject
	press   func(row)
	silent  bool
	drawn   bool // a row has been drawn, so that there is something to scroll
	still   bool // a feature that is selected elsewhere moves the table nowhere
	picked  int  // the row that was pressed last, of those of one feature the one to mark
}

func newTable(cs []column, press func(row)) *table {
	t := &table{columns: cs, press: press}
	t.list = widget.NewList(func() int { return len(t.rows) }, t.newRow, t.fillRow)
	t.list.HideSeparators = true
	t.list.OnSelected = func(i widget.ListItemID) {
		if !t.silent && i < len(t.rows) {
			t.picked = i
			t.press(t.rows[i])
		}
	}
	head := container.New(&cellsLayout{columns: cs})
	for _, c := range cs {
		l := newLine(c.title, sizeSmall, toneQuiet)
		if c.right {
			l.align = fyne.TextAlignTrailing
		}
		head.Add(l)
	}
	top := container.New(stack{}, container.New(inset{innerPad(), 2}, head), newRule())
	if !slices.ContainsFunc(cs, func(c column) bool { return c.title != "" }) {
		top = container.New(stack{}, newRule())
	}
	t.object = container.New(headed{}, top, t.list)
	return t
}

func (t *table) newRow() fyne.CanvasObject {
	c := container.New(&cellsLayout{columns: t.columns})
	for range t.columns {
		c.Add(newLine("", sizeText-1, toneInk))
	}
	return container.New(inset{innerPad(), 3}, c)
}

func (t *table) fillRow(i widget.ListItemID, o fyne.CanvasObject) {
	if i >= len(t.rows) {
		return
	}
	t.drawn = true
	r := t.rows[i]
	box := o.(*fyne.Container).Objects[0].(*fyne.Container)
	given := 0
	if r.wide > 0 {
		given = len(r.cells)
	}
	if l := box.Layout.(*cellsLayout); l.given != given {
		l.given = given
		l.Layout(box.Objects, box.Size())
	}
	for k, c := range box.Objects {
		l := c.(*line)
		text := ""
		if k < len(r.cells) {
			text = r.cells[k]
		}
		align := fyne.TextAlignLeading
		if t.columns[k].right && (r.wide == 0 || k < r.wide) {
			align = fyne.TextAlignTrailing
		}
		if l.bold != r.bold || l.align != align {
			l.bold, l.align = r.bold, align
			l.tone = -1 // draw again whatever the text
		}
		t := r.tone
		if k == r.word && r.wordTone != toneInk {
			t = r.wordTone
		}
		l.set(text, t)
	}
}

// set shows other rows; the scroll position stays.
func (t *table) set(rows []row) {
	t.rows = rows
	t.list.Refresh()
}

// toTop shows the first rows.
func (t *table) toTop() {
	if t.drawn { // the toolkit's list has no scroll before
		t.list.ScrollToTop()
	}
}

// mark shows which row belongs to the selected feature.
func (t *table) mark(id plate.ID) {
	t.silent = true
	defer func() { t.silent = false }()
	if id != 0 && t.picked < len(t.rows) && t.rows[t.picked].id == id {
		t.list.Select(t.picked)
		return
	}
	for i, r := range t.rows {
		if id != 0 && r.id == id && !t.still {
			t.list.Select(i)
			return
		}
	}
	t.list.UnselectAll()
}

// cellsLayout lays the cells of a row out in the table's columns.
type cellsLayout struct {
	columns []column
	given   int // so many cells are there, of which the last has all the room that is left; 0 for as the columns are
}

const cellGap = 14

func (c *cellsLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		s.Height = max(s.Height, o.MinSize().Height)
	}
	return s
}

func (c *cellsLayout) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	rest := s.Width
	for _, k := range c.columns {
		rest -= k.width + cellGap
	}
	x := float32(0)
	for i, o := range objects {
		w := c.columns[i].width
		if w == 0 {
			w = max(rest, 40)
		}
		if c.given > 0 && i >= c.given-1 {
			w = s.Width
		}
		o.Move(fyne.NewPos(x, 0))
		o.Resize(fyne.NewSize(max(min(w, s.Width-x), 0), s.Height))
		x += w + cellGap
	}
}
