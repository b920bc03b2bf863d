package desktop

import (
	"math"

	"platewright/plate/finding"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// numberEntry is the line that a number is typed into. It commits on Enter and when the focus leaves, goes back on Escape,
// steps on the arrow keys and, with the focus, on the wheel. A value that comes from outside never destroys what is being
// typed.
type numberEntry struct {
	widget.Entry
	kind   quantity
	limits limits
	step   float64 // in the unit shown

	// commit takes a new value and returns the sentence that it is refused with. Steps in a row have the same gesture.
	commit func(v float64, gesture string) error
	// note shows a sentence under the field; refused tells a refusal from the allowed range.
	note func(text string, refused bool)
	// forward takes shortcuts that are not about text.
	forward func(fyne.Shortcut)
	// gesture makes a key for a run of steps.
	gesture func() string
	// outer scrolls when the wheel turns over a field without the focus.
	outer *container.Scroll
	// shaped is called when the text changed, so that the unit can follow it.
	shaped func()

	value   float64
	typed   bool // text typed since the last commit
	focused bool
	silent  bool
	stepKey string
}

var (
	_ fyne.Focusable    = (*numberEntry)(nil)
	_ fyne.Scrollable   = (*numberEntry)(nil)
	_ fyne.Shortcutable = (*numberEntry)(nil)
)

func newNumberEntry(kind quantity, l limits, step float64) *numberEntry {
	n := &numberEntry{kind: kind, limits: l, step: step}
	n.Wrapping = fyne.TextWrap(fyne.TextTruncateClip)
	n.ExtendBaseWidget(n)
	n.OnChanged = func(string) {
		if !n.silent {
			n.typed, n.stepKey = true, ""
		}
		if n.shaped != nil {
			n.shaped()
		}
	}
	n.OnSubmitted = func(string) { n.take(true) }
	n.show(0)
	return n
}

// set shows the document's value, unless something is being typed.
func (n *numberEntry) set(v float64) {
	n.value = v
	if !n.typed {
		n.show(v)
	}
}

func (n *numberEntry) show(v float64) {
	if s := n.kind.format(v); s != n.Text {
		n.silent = true
		n.SetText(s)
		n.CursorColumn = len([]rune(s))
		n.silent = false
	}
}

// take reads what was typed and commits it. What cannot be taken stays, with a sentence, when keep is set; else the field
// goes back to the document's value and the sentence says so.
func (n *numberEntry) take(keep bool) {
	if !n.typed {
		return
	}
	v, err := n.kind.parse(n.Text)
	if err == nil && !n.limits.contains(v) {
		err = &rangeError{n.limits.text(n.kind), n.limits.why}
	}
	if err == nil && n.kind.format(v) != n.kind.format(n.value) {
		if err = n.commit(v, ""); err == nil {
			n.value = v
		}
	}
	if err == nil {
		n.typed = false
		n.show(n.value)
		n.say("", false)
		return
	}
	if keep {
		n.say(finding.Words(err), true)
		return
	}
	n.typed = false
	n.show(n.value)
	n.say(finding.Words(err)+"; "+n.kind.formatUnit(n.value)+" stays", true)
}

// rangeError is a value outside what the field takes.
type rangeError struct{ allowed, why string }

func (e *rangeError) Error() string {
	if e.why == "" {
		return "allowed is " + e.allowed
	}
	return "allowed is " + e.allowed + " (" + e.why + ")"
}

func (n *numberEntry) revert() {
	n.typed = false
	n.show(n.value)
	n.say("", false)
}

func (n *numberEntry) say(text string, refused bool) {
	if n.note != nil {
		n.note(text, refused)
	}
}

// stepBy adds so many steps to the value; a run of steps is one change. The value lands on whole steps.
func (n *numberEntry) stepBy(steps float64) {
	n.take(true)
	if n.typed {
		return
	}
	by := n.step * steps
	shown := n.kind.shown(n.value) + by
	if s := math.Abs(by); s > 0 {
		const crumb = 1e-9 // of a step: what is left of decimal fractions in binary
		shown = math.Round(shown/s+crumb*math.Copysign(1, by)) * s
	}
	v := n.kind.kept(shown)
	if n.limits.set {
		v = min(max(v, n.limits.min), n.limits.max)
	}
	if v == n.value || !n.limits.contains(v) {
		return
	}
	if n.stepKey == "" && n.gesture != nil {
		n.stepKey = n.gesture()
	}
	if err := n.commit(v, n.stepKey); err != nil {
		n.say(finding.Words(err), true)
		return
	}
	n.say("", false)
	n.set(v)
}

// FocusGained implements fyne.Focusable. The text is selected, so that typing replaces it.
func (n *numberEntry) FocusGained() {
	n.focused = true
	n.Entry.FocusGained()
	n.Entry.TypedShortcut(&fyne.ShortcutSelectAll{})
	if n.shaped != nil {
		n.shaped()
	}
}

// FocusLost implements fyne.Focusable.
func (n *numberEntry) FocusLost() {
	n.focused = false
	n.Entry.FocusLost()
	n.stepKey = ""
	n.take(false)
	if n.shaped != nil {
		n.shaped()
	}
}

// TypedKey implements fyne.Focusable.
func (n *numberEntry) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyEscape:
		n.revert()
	case fyne.KeyUp:
		n.stepBy(stepFactor())
	case fyne.KeyDown:
		n.stepBy(-stepFactor())
	default:
		n.Entry.TypedKey(e)
	}
}

// TypedShortcut implements fyne.Shortcutable: what is about text stays here, the rest goes to the window.
func (n *numberEntry) TypedShortcut(s fyne.Shortcut) {
	if isTextShortcut(s) || n.forward == nil {
		n.Entry.TypedShortcut(s)
		return
	}
	n.forward(s)
}

// Scrolled implements fyne.Scrollable.
func (n *numberEntry) Scrolled(e *fyne.ScrollEvent) {
	if !n.focused {
		if n.outer != nil {
			n.outer.Scrolled(e)
		}
		return
	}
	switch {
	case e.Scrolled.DY > 0:
		n.stepBy(stepFactor())
	case e.Scrolled.DY < 0:
		n.stepBy(-stepFactor())
	}
}

// stepFactor is ten with Shift held, a tenth with Alt, else one.
func stepFactor() float64 {
	switch m := modifiers(); {
	case m&fyne.KeyModifierShift != 0:
		return 10
	case m&fyne.KeyModifierAlt != 0:
		return 0.1
	}
	return 1
}

// modifiers are the keys held; none where the driver does not tell.
func modifiers() fyne.KeyModifier {
	if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		return d.CurrentKeyModifiers()
	}
	return 0
}

// isTextShortcut tells whether a shortcut belongs to the text that has the focus.
func isTextShortcut(s fyne.Shortcut) bool {
	switch c := s.(type) {
	case *fyne.ShortcutCut, *fyne.ShortcutCopy, *fyne.ShortcutPaste, *fyne.ShortcutSelectAll, *fyne.ShortcutUndo, *fyne.ShortcutRedo:
		return true
	case *desktop.CustomShortcut:
		switch c.KeyName {
		case fyne.KeyLeft, fyne.KeyRight, fyne.KeyBackspace, fyne.KeyDelete:
			return true
		}
	}
	return false
}
