package session

import (
	"testing"

	"pgregory.net/rapid"

	"platewright/plate"
)

func named(name string) plate.Plate {
	p := plate.New("p")
	p.Note = name
	return p
}

// The history against a plain reference: two stacks of texts.
func TestHistoryAgainstTwoStacks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := newHistory(named("start"), 1000)
		past, future := []string{"start"}, []string{}
		var before []string // future when the present gesture began
		gesture := ""
		n := 0
		t.Repeat(map[string]func(*rapid.T){
			"do": func(t *rapid.T) {
				n++
				doc := named(string(rune('a' + n%26)))
				key := rapid.SampledFrom([]string{"", "g", "h"}).Draw(t, "gesture")
				h.do(doc, "edit", key)
				if key != "" && key == gesture {
					past[len(past)-1] = doc.Note
				} else {
					past, before = append(past, doc.Note), future
				}
				future, gesture = nil, key
			},
			"undo": func(t *rapid.T) {
				if ok := h.move(-1); ok != (len(past) > 1) {
					t.Fatalf("undo = %v with %d past states", ok, len(past))
				} else if ok {
					future = append([]string{past[len(past)-1]}, future...)
					past, gesture = past[:len(past)-1], ""
				}
			},
			"redo": func(t *rapid.T) {
				if ok := h.move(+1); ok != (len(future) > 0) {
					t.Fatalf("redo = %v with %d future states", ok, len(future))
				} else if ok {
					past, future, gesture = append(past, future[0]), future[1:], ""
				}
			},
			"settle": func(*rapid.T) { h.settle(); gesture = "" },
			"abandon": func(t *rapid.T) {
				key := rapid.SampledFrom([]string{"g", "h"}).Draw(t, "gesture")
				if ok := h.abandon(key); ok != (gesture == key) {
					t.Fatalf("abandon(%q) = %v in gesture %q", key, ok, gesture)
				} else if ok {
					past, future, gesture = past[:len(past)-1], before, ""
				}
			},
			"": func(t *rapid.T) {
				if got, want := h.now().doc.Note, past[len(past)-1]; got != want {
					t.Fatalf("the present state is %q, want %q", got, want)
				}
				if h.canUndo() != (len(past) > 1) || h.canRedo() != (len(future) > 0) {
					t.Fatalf("canUndo %v canRedo %v with %d and %d", h.canUndo(), h.canRedo(), len(past), len(future))
				}
			},
		})
	})
}

func TestHistoryIsBounded(t *testing.T) {
	h := newHistory(named("start"), 5)
	for i := range 20 {
		h.do(named(string(rune('a'+i))), "edit", "")
	}
	if len(h.steps) != 5 {
		t.Errorf("%d steps are kept, want 5", len(h.steps))
	}
	undone := 0
	for h.move(-1) {
		undone++
	}
	if undone != 4 || h.now().doc.Note != "p" {
		t.Errorf("undone %d steps to %q, want 4 to %q", undone, h.now().doc.Note, "p")
	}
}

// A gesture keeps the label of the edit that began it: a corner that is put in and dragged on is one "new corner".
func TestGestureKeepsItsFirstLabel(t *testing.T) {
	h := newHistory(named("0"), 10)
	h.do(named("1"), "new corner", "g")
	h.do(named("2"), "move of corner", "g")
	if undo, _ := h.labels(); undo != "new corner" || h.now().revision != plate.Revision(named("2")) || h.at != 1 {
		t.Errorf("undo reads %q at step %d, want %q at 1 with the second document", undo, h.at, "new corner")
	}
}
