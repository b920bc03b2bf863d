package desktop

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"platewright/plate"
	"platewright/plate/geom"
)

// harness is a window on the toolkit's test driver. What workers post waits until the test runs it, on the test's
// goroutine, as the real loop would.
type harness struct {
	*Window
	t     *testing.T
	queue chan func()
	dir   string
}

func newHarness(t *testing.T, opt Options) *harness {
	t.Helper()
	h := &harness{t: t, queue: make(chan func(), 100000), dir: t.TempDir()}
	app := test.NewTempApp(t)
	if opt.Sample == "" && opt.File == "" {
		opt.Sample = "cargo-trike-side-plate"
	}
	opt.prepare = unloaded
	opt.Post = func(f func()) { h.queue <- f }
	if opt.Scratch == "" {
		opt.Scratch = filepath.Join(h.dir, "scratch")
	}
	win := app.NewWindow("")
	w, err := New(app, win, opt)
	if err != nil {
		t.Fatal(err)
	}
	h.Window = w
	h.app.Preferences().SetBool(prefHintDone, true)
	h.win.Resize(fyne.NewSize(1360, 860))
	t.Cleanup(func() {
		if !w.closed { // a window of the test driver must not be closed twice
			win.Close()
		}
		w.stop()
		w.job.Wait()
	})
	h.settle()
	return h
}

// unloaded is a document without loads and load cases, whose analysis would make every test wait.
func unloaded(p plate.Plate) plate.Plate {
	p = p.Clone()
	p.Supports, p.Loads, p.Cases = nil, nil, nil
	p.Targets = slices.DeleteFunc(p.Targets, func(t plate.Target) bool { return t.Quantity == plate.Reserve || t.Quantity == plate.Deflect })
	return p
}

// settle runs the loop until nothing is being computed or written.
func (h *harness) settle() {
	h.t.Helper()
	h.drain()
	for h.job.Busy() {
		select {
		case f := <-h.queue:
			f()
		case <-time.After(60 * time.Second):
			h.t.Fatal("the window is still busy after 60 s")
		}
		h.drain()
	}
}

// drain runs what has been posted so far.
func (h *harness) drain() {
	for {
		select {
		case f := <-h.queue:
			f()
		default:
			return
		}
	}
}

// menu presses a menu item by the start of its label.
func (h *harness) menu(label string) {
	h.t.Helper()
	var find func(items []*fyne.MenuItem) *fyne.MenuItem
	find = func(items []*fyne.MenuItem) *fyne.MenuItem {
		for _, i := range items {
			if strings.HasPrefix(i.Label, label) {
				return i
			}
			if i.ChildMenu != nil {
				if f := find(i.ChildMenu.Items); f != nil {
					return f
				}
			}
		}
		return nil
	}
	for _, m := range h.cmds.menu.Items {
		if i := find(m.Items); i != nil {
			i.Action()
			return
		}
	}
	h.t.Fatalf("no menu item starts with %q", label)
}

// button presses a button of the open sheet.
func (h *harness) button(text string) {
	h.t.Helper()
	for _, o := range test.LaidOutObjects(h.win.Canvas().Overlays().Top()) {
		if b, ok := o.(*clickable); ok && b.content.(*line).text == text {
			test.Tap(b)
			h.settle()
			return
		}
	}
	h.t.Fatalf("the open sheet has no button %q", text)
}

func (h *harness) sheetOpen() bool { return h.win.Canvas().Overlays().Top() != nil }

// sheetText is all the text of the open sheet.
func (h *harness) sheetText() string {
	if !h.sheetOpen() {
		return ""
	}
	return allText(h.win.Canvas().Overlays().Top())
}

func allText(o fyne.CanvasObject) string {
	var b strings.Builder
	for _, c := range test.LaidOutObjects(o) {
		switch w := c.(type) {
		case *line:
			b.WriteString(w.text + "\n")
		case *widget.Label:
			b.WriteString(w.Text + "\n")
		}
	}
	return b.String()
}

// number is the entry of the field with the given key.
func (h *harness) number(key string) *numberEntry {
	h.t.Helper()
	n, ok := h.field(key).(*numberEntry)
	if !ok {
		h.t.Fatalf("field %q is a %T, not a number", key, h.field(key))
	}
	return n
}

func (h *harness) field(key string) fyne.Focusable {
	h.t.Helper()
	for _, b := range h.side.bound {
		if b.key == key {
			return b.focus
		}
	}
	h.t.Fatalf("there is no field %q", key)
	return nil
}

// typeIn replaces the text of a field as a person does: focus, which selects all, then keys.
func (h *harness) typeIn(f fyne.Focusable, text string) {
	h.win.Canvas().Unfocus()
	h.win.Canvas().Focus(f)
	if e, ok := f.(fyne.Shortcutable); ok {
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
	for _, r := range text {
		f.TypedRune(r)
	}
}

func enter(f fyne.Focusable) { f.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn}) }

func key(f fyne.Focusable, k fyne.KeyName) { f.TypedKey(&fyne.KeyEvent{Name: k}) }

// at is where a point of the plate is in the view.
func (h *harness) at(p geom.Point) fyne.Position {
	x, y := h.view.cam.ToPx(p)
	return fyne.NewPos(float32(x), float32(y))
}

func (h *harness) press(at fyne.Position, m fyne.KeyModifier) {
	h.view.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}})
	h.view.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary, Modifier: m})
}

// dragTo moves the pressed pointer in steps, as a hand does.
func (h *harness) dragTo(from, to fyne.Position) {
	const steps = 6
	last := from
	for i := 1; i <= steps; i++ {
		f := float32(i) / steps
		q := fyne.NewPos(from.X+(to.X-from.X)*f, from.Y+(to.Y-from.Y)*f)
		h.view.Dragged(&fyne.DragEvent{
			PointEvent: fyne.PointEvent{Position: q},
			Dragged:    fyne.Delta{DX: q.X - last.X, DY: q.Y - last.Y},
		})
		last = q
		h.drain()
	}
}

// release lets go: MouseUp comes before DragEnd.
func (h *harness) release(at fyne.Position) {
	h.view.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary})
	h.view.DragEnd()
	h.drain()
}

func (h *harness) click(p geom.Point) {
	q := h.at(p)
	h.press(q, 0)
	h.release(q)
	h.settle()
}

func (h *harness) boreNamed(name string) plate.Bore {
	h.t.Helper()
	for _, b := range h.job.Doc().Bores {
		if b.Name == name {
			return b
		}
	}
	h.t.Fatalf("there is no bore %q", name)
	return plate.Bore{}
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func setRim(width float64) plate.Edit {
	return plate.Replace("change of rim", func(p *plate.Plate) { p.Rim = width })
}

func setCorner(i int, c plate.Corner) plate.Edit {
	return plate.Replace("change of outline corner", func(p *plate.Plate) { p.Outline.Corners[i] = c })
}

func moveBore(id plate.ID, x, y float64) plate.Edit {
	e := plate.Replace("move of bore", func(p *plate.Plate) {
		for i := range p.Bores {
			if b := &p.Bores[i]; b.ID == id {
				b.X, b.Y = x, y
			}
		}
	})
	e.Feature = id
	return e
}
