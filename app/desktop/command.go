package desktop

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// command is something that can be asked for by menu, key or button. All of them go through one gate (see run), because a
// menu's shortcut fires even when its item is disabled, a dialog is open, or a text has the focus.
type command struct {
	label   func() string // of the menu item; it may name what it will do
	key     fyne.Shortcut
	enabled func() bool // nil for always
	do      func()
	text    fyne.Shortcut // what it means to a text that has the focus; nil when it means nothing to one
	item    *fyne.MenuItem
}

// gate runs commands for one window.
type gate struct {
	canvas func() fyne.Canvas
	busy   func() bool // the pointer is in the middle of something
}

// committer is a field that may hold typed text which is not in the document yet.
type committer interface {
	commitTyped()
	holdsText() bool
}

// run runs a command if it is allowed now: no dialog on top, nothing half dragged, and a text with the focus is asked
// first.
func (g gate) run(c *command) {
	cv := g.canvas()
	if cv == nil || g.busy() {
		return
	}
	focused := cv.Focused()
	if cv.Overlays().Top() != nil { // only a text of the open sheet gets anything
		if t, ok := focused.(fyne.Shortcutable); ok && c.text != nil {
			t.TypedShortcut(c.text)
		}
		return
	}
	if t, ok := focused.(fyne.Shortcutable); ok && c.text != nil && wantsText(focused, c.text) {
		t.TypedShortcut(c.text)
		return
	}
	if f, ok := focused.(committer); ok {
		f.commitTyped()
	}
	if c.enabled == nil || c.enabled() {
		c.do()
	}
}

// wantsText tells whether a text with the focus takes an editing shortcut itself. Undo and redo are the document's unless
// something has been typed that is not in the document yet.
func wantsText(focused fyne.Focusable, s fyne.Shortcut) bool {
	f, ok := focused.(committer)
	if !ok {
		_, isView := focused.(*plateView)
		return !isView
	}
	switch s.(type) {
	case *fyne.ShortcutUndo, *fyne.ShortcutRedo:
		return f.holdsText()
	}
	return true
}

func (n *numberEntry) commitTyped()    { n.take(true) }
func (n *numberEntry) holdsText() bool { return n.typed }
func (e *textEntry) commitTyped()      { e.take(true) }
func (e *textEntry) holdsText() bool   { return e.typed }

var (
	_ committer = (*numberEntry)(nil)
	_ committer = (*textEntry)(nil)
)

// menuItem makes the command's menu item.
func (g gate) menuItem(c *command) *fyne.MenuItem {
	c.item = fyne.NewMenuItem(c.label(), func() { g.run(c) })
	c.item.Shortcut = c.key
	c.item.Disabled = c.enabled != nil && !c.enabled()
	return c.item
}

// update brings the item's text and state up to date and tells whether anything changed.
func (c *command) update() bool {
	if c.item == nil {
		return false
	}
	label, disabled := c.label(), c.enabled != nil && !c.enabled()
	if label == c.item.Label && disabled == c.item.Disabled {
		return false
	}
	c.item.Label, c.item.Disabled = label, disabled
	return true
}

func always(s string) func() string { return func() string { return s } }

// ctrl is the platform's shortcut modifier with a key.
func ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

func ctrlShift(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}
