package desktop

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Every form of the Add menu can be made on a sample, has every field shown, can be made again like itself, and is undone in
// one step. What needs something else first has it made before.
func TestEveryFormCanBeAdded(t *testing.T) {
	h := newHarness(t, Options{})
	first := map[string]string{
		"New setting of the adjusters": "New eccentric",
		"New load case":                "New support, New load",
	}
	for _, a := range adders() {
		start := plate.Revision(h.job.Doc())
		before := 0
		for _, need := range strings.Split(first[a.text], ", ") {
			if need != "" {
				h.menu(need)
				before++
			}
		}
		h.choose(selection{stage: a.stage})
		h.menu(a.text)
		f, ok := h.job.Doc().Find(h.sel.id)
		if !ok || f.Stage != a.stage {
			t.Errorf("%s: selected %+v (%v), said %q", a.text, h.sel, ok, h.said)
			continue
		}
		if l, _ := h.job.UndoLabel(); !strings.HasPrefix(l, "new ") {
			t.Errorf("%s: undo reads %q", a.text, l)
		}
		if got, want := len(h.side.bound), len(h.selectedFields(h.job.Doc(), h.sel)); got != want || got == 0 {
			t.Errorf("%s: %d fields are shown, want %d", a.text, got, want)
		}
		h.frame()
		for _, d := range h.job.Findings().Value {
			if d.Level == finding.Error && plate.ID(d.Feature) == f.ID {
				t.Errorf("%s: a new one is wrong from the start: %s", a.text, d.What)
			}
		}
		again := h.sel
		h.menu("Another like it")
		if f.Kind == plate.KindEccentric { // its bore holds one, and the sample has no other of this size
			if !strings.Contains(h.said, "a bore holds one eccentric") {
				t.Errorf("a second eccentric in one bore says %q", h.said)
			}
			h.menu("New hole")
		} else if g, ok := h.job.Doc().Find(h.sel.id); !ok || g.Kind != f.Kind || h.sel == again {
			t.Errorf("%s: another like it selected %+v, said %q", a.text, g, h.said)
		}
		h.deleteSelected()
		for range 3 + before {
			h.menu("Undo")
		}
		if plate.Revision(h.job.Doc()) != start {
			t.Errorf("%s: undo did not lead back", a.text)
		}
	}
}

// What is pressed last is where a new thing goes; used once, the middle of the view is meant again.
func TestAddAtThePlacePressed(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	var at geom.Point
	for i, c := range l.Cells { // the middle of a large cell is off every bore
		if c.State == layout.CellCut && c.Area > 400 {
			at = l.CellPoint(i)
			break
		}
	}
	h.click(at)
	h.menu("New slot")
	s := slotOf(ref(h.job.Doc()), h.sel.id)
	if s == nil || math.Abs(s.X-at.X) > 0.6 || math.Abs(s.Y-at.Y) > 0.6 {
		t.Fatalf("the slot is %+v, want it at %v", s, at)
	}
	if h.view.clicked != nil {
		t.Error("the place is kept after it was used")
	}
	h.view.TappedSecondary(&fyne.PointEvent{Position: h.at(at), AbsolutePosition: h.at(at)})
	if !h.sheetOpen() || h.view.clicked == nil {
		t.Error("the right button offers nothing")
	}
}

// Deleting what is used is refused with the users' names.
func TestDeleteNamesUsers(t *testing.T) {
	h := newHarness(t, Options{})
	h.choose(selectFeature(h.job.Doc(), h.boreNamed(motor).ID))
	h.menu("New eccentric")
	name := eccentricOf(ref(h.job.Doc()), h.sel.id).Name
	h.choose(selectFeature(h.job.Doc(), h.boreNamed(motor).ID))
	h.deleteSelected()
	if !strings.Contains(h.said, name) {
		t.Errorf("the refusal %q does not name %q", h.said, name)
	}
}

// frame runs the loop until the newest document is derived: minutes and price are given up by the next edit.
func (h *harness) frame() {
	h.t.Helper()
	for h.job.Mass().Stale || h.job.Layout().Stale {
		select {
		case f := <-h.queue:
			f()
		case <-time.After(60 * time.Second):
			h.t.Fatal("no frame after 60 s")
		}
	}
}

// One rib of a field, pressed on the plate, takes a width of its own and gives it up again.
func TestWidthOfOneRib(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	var at geom.Point
	found := -1
	for i := range l.Strips {
		s := &l.Strips[i]
		at = s.Edge().Mid()
		if id, k := l.FeatureAt(at, 2); k == layout.HitGrid && id == s.Feature && cellUnder(l, at, plate.Top) < 0 {
			found = i
			break
		}
	}
	if found < 0 {
		t.Skip("the sample has no free rib of a field")
	}
	h.click(at)
	if !h.sel.onRib || !strings.HasPrefix(h.side.title.text, "Rib of ") {
		t.Fatalf("a press on a rib selected %+v, title %q", h.sel, h.side.title.text)
	}
	mass := h.job.Mass().Value.MassKG
	h.typeIn(h.number("width_mm"), "9")
	enter(h.number("width_mm"))
	h.settle()
	g := gridOf(ref(h.job.Doc()), h.sel.id)
	if len(g.Widths) != 1 || g.Widths[0].Width != 9 || g.Widths[0].At != h.sel.rib {
		t.Fatalf("widths %+v, selected %+v", g.Widths, h.sel)
	}
	if got := h.job.Mass().Value.MassKG; got <= mass {
		t.Errorf("a wider rib weighs %v, before %v", got, mass)
	}
	h.choose(selectFeature(h.job.Doc(), h.sel.id))
	if rows := h.listOf(h.job.Doc()); len(rows) == 0 || !rows[0].sel.onRib {
		t.Errorf("the field does not list the choice: %+v", rows)
	}
	h.choose(h.listOf(h.job.Doc())[0].sel)
	h.action("As wide as the field's ribs again")
	if got := h.job.Mass().Value.MassKG; math.Abs(got-mass) > 1e-12 {
		t.Errorf("after giving it up the plate weighs %v, want %v", got, mass)
	}
}

// A cell takes a depth of its own, becomes a window, stays solid, and is as its pocket again.
func TestChoicesOfOneCell(t *testing.T) {
	h := newHarness(t, Options{})
	l := h.job.Layout().Value
	for i, c := range l.Cells {
		if c.State == layout.CellCut && c.Side != plate.Through && c.Area > 300 {
			h.click(l.CellPoint(i))
			break
		}
	}
	if !h.sel.onCell {
		t.Fatalf("selected %+v", h.sel)
	}
	was := h.job.Doc()
	choose := func(word string) {
		h.side.bound[0].focus.(interface{ SetSelected(string) }).SetSelected(word)
		h.settle()
	}
	choose(cellOwn)
	h.typeIn(h.number("depth_mm"), "2.5")
	enter(h.number("depth_mm"))
	k := pocketOf(ref(h.job.Doc()), h.sel.id)
	if len(k.Depths) != 1 || k.Depths[0].Depth != 2.5 {
		t.Fatalf("depths %+v, said %q, refused %q", k.Depths, h.said, refusals(h))
	}
	choose(cellThrough)
	if d := pocketOf(ref(h.job.Doc()), h.sel.id).Depths; len(d) != 1 || !d[0].Through {
		t.Errorf("as a window: %+v", d)
	}
	choose(cellSolid)
	if k := pocketOf(ref(h.job.Doc()), h.sel.id); len(k.Depths) != 0 || len(k.Kept) == 0 {
		t.Errorf("solid: depths %+v, kept %+v", k.Depths, k.Kept)
	}
	choose(cellAsField)
	if plate.Revision(h.job.Doc()) != plate.Revision(was) {
		t.Error("as the pocket again, the document differs from before")
	}
}

// Seats of a bore have a heading each and can be taken out one by one.
func TestSeats(t *testing.T) {
	h := newHarness(t, Options{})
	id := h.boreNamed(motor).ID
	h.choose(selectFeature(h.job.Doc(), id))
	h.action("Add a seat")
	h.action("Add a seat")
	b := boreOf(ref(h.job.Doc()), id)
	if len(b.Seats) != 2 {
		t.Fatalf("%d seats, said %q", len(b.Seats), h.said)
	}
	text := allText(h.side.object)
	if !strings.Contains(text, "Seat 1") || !strings.Contains(text, "Seat 2") || !strings.Contains(text, "Remove") {
		t.Errorf("no headings of the seats in %q", text)
	}
	keep := b.Seats[1]
	if err := h.tryEdit(removeEntry(id, "seats", 0), ""); err != nil {
		t.Fatal(err)
	}
	if got := boreOf(ref(h.job.Doc()), id).Seats; len(got) != 1 || got[0] != keep {
		t.Errorf("after removing the first: %+v, want %+v", got, keep)
	}
	if l, _ := h.job.UndoLabel(); l != "delete of seat of "+motor {
		t.Errorf("undo reads %q", l)
	}
}

// Every choice of every new form can be taken in the window: its fields follow, and what is refused is refused in words. The
// normal run takes every third form; PLATEWRIGHT_LONG=1 takes all.
func TestEveryChoiceOfEveryForm(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New support")
	h.menu("New load")
	for i, a := range adders() {
		if os.Getenv("PLATEWRIGHT_LONG") == "" && i%3 != 0 {
			continue
		}
		h.menu(a.text)
		id := h.sel.id
		if id == 0 {
			t.Errorf("%s: said %q", a.text, h.said)
			continue
		}
		for _, f := range plate.Fields(h.job.Doc(), id) {
			if f.Kind != plate.FieldChoice || strings.Contains(f.Key, "bore") {
				continue
			}
			was := f.Text(h.job.Doc())
			for _, c := range append(slices.Clone(f.Choices[:min(len(f.Choices), 8)]), was) {
				err := h.tryEdit(f.SetText(c), "")
				if err != nil && len(err.Error()) < 20 {
					t.Errorf("%s, %s as %q: refused with %q", a.text, f.Key, c, err)
				}
				if got, want := len(h.side.bound), len(h.selectedFields(h.job.Doc(), h.sel)); got != want {
					t.Errorf("%s, %s as %q: %d fields are shown, want %d", a.text, f.Key, c, got, want)
				}
				grips(h.job.Doc(), h.sel)
			}
		}
		h.drain()
	}
	h.frame()
}
