package desktop

import (
	"errors"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"platewright/plate"
)

// loneField is a number field in a window of its own.
type loneField struct {
	*numberEntry
	row      *fieldRow
	got      []float64
	gestures []string
	refuse   error
}

func newLoneField(t *testing.T, kind quantity, l limits) *loneField {
	test.NewTempApp(t)
	f := &loneField{}
	f.row, f.numberEntry = newNumberField("Diameter", kind, l, 1)
	f.commit = func(v float64, g string) error {
		if f.refuse != nil {
			return f.refuse
		}
		f.got, f.gestures = append(f.got, v), append(f.gestures, g)
		return nil
	}
	n := 0
	f.gesture = func() string { n++; return strings.Repeat("g", n) }
	w := test.NewTempWindow(t, f.row)
	w.Resize(fyne.NewSize(300, 100))
	f.set(20)
	return f
}

func (f *loneField) write(text string) {
	f.FocusGained()
	for _, r := range text {
		f.TypedRune(r)
	}
}

func TestFieldCommits(t *testing.T) {
	f := newLoneField(t, lengthIn(false), over(0, 500))
	f.write("3/8 in")
	if len(f.got) != 0 {
		t.Fatalf("typing alone committed %v", f.got)
	}
	enter(f)
	if len(f.got) != 1 || math.Abs(f.got[0]-9.525) > 1e-12 || f.Text != "9.525" {
		t.Fatalf("Enter committed %v and shows %q, want 9.525 mm", f.got, f.Text)
	}
	enter(f)
	if len(f.got) != 1 {
		t.Errorf("a second Enter committed again: %v", f.got)
	}
	f.write("2*12.5")
	f.FocusLost()
	if len(f.got) != 2 || f.got[1] != 25 {
		t.Errorf("leaving committed %v, want 25", f.got)
	}
	f.write("25.0")
	enter(f)
	if len(f.got) != 2 || f.Text != "25" {
		t.Errorf("the same value in other words committed %v and shows %q", f.got, f.Text)
	}
}

func TestFieldGoesBackOnEscape(t *testing.T) {
	f := newLoneField(t, lengthIn(false), limits{})
	f.write("99")
	key(f, fyne.KeyEscape)
	f.FocusLost()
	if len(f.got) != 0 || f.Text != "20" {
		t.Errorf("after Escape committed %v and shows %q, want nothing and 20", f.got, f.Text)
	}
}

func TestFieldRefusesInASentence(t *testing.T) {
	f := newLoneField(t, lengthIn(false), limits{min: 0, max: 500, set: true, above: true, why: "a round has a diameter"})
	tests := []struct{ text, want string }{
		{"abc", "not a unit of length"},
		{"600", "allowed is above 0, up to 500 mm (a round has a diameter)"},
		{"0", "above 0"},
		{"3 kg", "not a unit"},
	}
	for _, c := range tests {
		f.write(c.text)
		enter(f)
		if len(f.got) != 0 || !strings.Contains(f.row.refusal.Text, c.want) || f.Text != c.text {
			t.Errorf("%q: committed %v, says %q, shows %q; want the sentence %q and the text left to correct", c.text, f.got, f.row.refusal.Text, f.Text, c.want)
		}
		f.FocusLost()
		if f.Text != "20" || !strings.Contains(f.row.refusal.Text, "20 mm stays") {
			t.Errorf("%q: after leaving shows %q and says %q", c.text, f.Text, f.row.refusal.Text)
		}
	}
	f.refuse = errors.New("the document will not have it")
	f.write("30")
	enter(f)
	if !strings.Contains(f.row.refusal.Text, "will not have it") {
		t.Errorf("a refused edit says %q", f.row.refusal.Text)
	}
	f.refuse = nil
	enter(f)
	if f.row.refusal.Text != "" || len(f.got) != 1 {
		t.Errorf("after a good value the field still says %q", f.row.refusal.Text)
	}
}

// A value from outside neither fires nor destroys what is being typed.
func TestFieldKeepsTypedText(t *testing.T) {
	f := newLoneField(t, lengthIn(false), limits{})
	f.set(21)
	if len(f.got) != 0 || f.Text != "21" {
		t.Errorf("set committed %v and shows %q", f.got, f.Text)
	}
	f.write("33")
	f.set(22)
	if f.Text != "33" || len(f.got) != 0 {
		t.Errorf("set while typing left %q, want 33", f.Text)
	}
	key(f, fyne.KeyEscape)
	if f.Text != "22" {
		t.Errorf("Escape shows %q, want the newest value 22", f.Text)
	}
}

func TestFieldSteps(t *testing.T) {
	f := newLoneField(t, lengthIn(false), between(0, 23))
	f.set(20.4)
	f.FocusGained()
	key(f, fyne.KeyUp)
	key(f, fyne.KeyUp)
	key(f, fyne.KeyUp) // the range ends at 23
	key(f, fyne.KeyUp)
	key(f, fyne.KeyDown)
	want := []float64{21, 22, 23, 22}
	if len(f.got) != len(want) {
		t.Fatalf("steps committed %v, want %v", f.got, want)
	}
	for i := range want {
		if f.got[i] != want[i] || f.gestures[i] != "g" {
			t.Errorf("step %d: %v in gesture %q, want %v in one gesture", i, f.got[i], f.gestures[i], want[i])
		}
	}
	f.FocusLost()
	f.FocusGained()
	key(f, fyne.KeyDown)
	if g := f.gestures[len(f.gestures)-1]; g != "gg" {
		t.Errorf("after leaving, steps go on in gesture %q, want a new one", g)
	}
}

func TestFieldWheelNeedsTheFocus(t *testing.T) {
	f := newLoneField(t, lengthIn(false), limits{})
	notch := &fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, 25)}
	f.Scrolled(notch)
	if len(f.got) != 0 {
		t.Errorf("the wheel over a field without the focus committed %v", f.got)
	}
	f.FocusGained()
	f.Scrolled(notch)
	f.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -50)})
	if len(f.got) != 2 || f.got[0] != 21 || f.got[1] != 20 {
		t.Errorf("the wheel committed %v, want 21 and 20", f.got)
	}
}

func TestFieldStepsInInches(t *testing.T) {
	f := newLoneField(t, lengthIn(true), limits{})
	f.step = 0.05
	f.set(25.4)
	f.FocusGained()
	key(f, fyne.KeyUp)
	if len(f.got) != 1 || math.Abs(f.got[0]-1.05*25.4) > 1e-9 || f.Text != "1.05" {
		t.Errorf("a step from 1 in committed %v and shows %q, want 1.05 in", f.got, f.Text)
	}
}

func TestFieldForwardsOtherShortcuts(t *testing.T) {
	f := newLoneField(t, lengthIn(false), limits{})
	var got []string
	f.forward = func(s fyne.Shortcut) { got = append(got, s.ShortcutName()) }
	f.TypedShortcut(&fyne.ShortcutSelectAll{})
	f.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierControl})
	if len(got) != 1 || !strings.Contains(got[0], "S") {
		t.Errorf("forwarded %v, want the save shortcut only", got)
	}
}

// Every field of every form of every sample is there, shows the document's value, and its range is the document's: a value
// beyond it is refused, the ends (where they are allowed) are left to the document.
func TestEveryFieldOfEveryForm(t *testing.T) {
	for _, name := range []string{"cargo-trike-side-plate", "field-robot-rocker", "camera-dolly-cheek"} {
		h := newHarness(t, Options{Sample: name})
		doc := h.job.Doc()
		sels := []selection{{stage: stageJob}}
		for _, s := range stages {
			sels = append(sels, selection{stage: s.stage})
		}
		for _, f := range doc.Features() {
			sels = append(sels, selection{stage: f.Stage, id: f.ID})
		}
		sels = append(sels, selection{stage: plate.StageOutline, corner: 1})
		for _, s := range sels {
			h.choose(s)
			fields := h.selectedFields(doc, s)
			if len(fields) != len(h.side.bound) {
				t.Errorf("%s %+v: %d fields are shown, the document has %d", name, s, len(h.side.bound), len(fields))
				continue
			}
			for _, f := range fields {
				h.checkField(f)
			}
		}
		if h.job.Doc().Name != doc.Name || h.job.Dirty() {
			t.Errorf("%s: looking at fields changed the document", name)
		}
	}
}

func (h *harness) checkField(f plate.Field) {
	h.t.Helper()
	doc := h.job.Doc()
	switch e := h.field(f.Key).(type) {
	case *numberEntry:
		if want := e.kind.format(f.Number(doc)); e.Text != want {
			h.t.Errorf("%s shows %q, want %q", f.Key, e.Text, want)
		}
		if f.Max < 1e17 {
			said, note := "", e.note
			e.note = func(text string, _ bool) { said = text }
			h.typeIn(e, e.kind.format(f.Max*1.5+1))
			enter(e)
			if h.job.Dirty() || !strings.Contains(said, "allowed is") {
				h.t.Errorf("%s took %v, beyond its range, and says %q", f.Key, f.Max*1.5+1, said)
			}
			key(e, fyne.KeyEscape)
			e.note = note
		}
	case *textEntry:
		if e.Text != f.Text(doc) {
			h.t.Errorf("%s shows %q, want %q", f.Key, e.Text, f.Text(doc))
		}
	}
}

// refusals are the sentences under the fields.
func refusals(h *harness) string {
	out := ""
	for _, o := range test.LaidOutObjects(h.side.object) {
		if r, ok := o.(*fieldRow); ok {
			out += r.refusal.Text
		}
	}
	return out
}
