package session

import (
	"slices"

	"platewright/plate"
)

// step is one state of the document.
type step struct {
	doc      plate.Plate
	label    string // of the edit that led here; empty for the first
	gesture  string // equal non-empty keys in a row are one step
	revision string // of doc
}

// history holds the states of the document; at is the present one. Snapshots instead of inverse commands: undo has
// nothing to get wrong, and a copy of a large document costs some ten microseconds.
type history struct {
	steps []step
	at    int
	limit int
	tail  []step // what could be redone before the gesture of the present step began, for abandon
}

func newHistory(doc plate.Plate, limit int) *history {
	return &history{steps: []step{{doc: doc, revision: plate.Revision(doc)}}, limit: limit}
}

func (h *history) now() step     { return h.steps[h.at] }
func (h *history) canUndo() bool { return h.at > 0 }
func (h *history) canRedo() bool { return h.at < len(h.steps)-1 }

// do makes doc the present state and drops what could be redone. It replaces the present state when both belong to one
// gesture, which keeps the label of what began it.
func (h *history) do(doc plate.Plate, label, gesture string) {
	s := step{doc: doc, label: label, gesture: gesture, revision: plate.Revision(doc)}
	if h.inGesture(gesture) {
		s.label = h.steps[h.at].label
		h.steps = append(h.steps[:h.at:h.at], s)
		return
	}
	h.tail = slices.Clone(h.steps[h.at+1:])
	h.steps = append(h.steps[:h.at+1:h.at+1], s)
	h.at++
	if drop := len(h.steps) - h.limit; drop > 0 {
		h.steps = slices.Clone(h.steps[drop:])
		h.at -= drop
	}
}

func (h *history) inGesture(gesture string) bool {
	return gesture != "" && h.at > 0 && h.steps[h.at].gesture == gesture
}

// abandon goes back to where the gesture began, as if it had not been: nothing of it can be redone, and what could be
// redone before can be again.
func (h *history) abandon(gesture string) bool {
	if !h.inGesture(gesture) {
		return false
	}
	h.steps = append(h.steps[:h.at:h.at], h.tail...)
	h.tail = nil
	h.at--
	h.settle()
	return true
}

// settle ends the gesture of the present step, so that a later edit with the same key is a step of its own.
func (h *history) settle() { h.steps[h.at].gesture = "" }

// move goes one step back (-1) or forward (+1).
func (h *history) move(by int) bool {
	if h.at+by < 0 || h.at+by >= len(h.steps) {
		return false
	}
	h.settle()
	h.at += by
	h.settle()
	h.tail = nil
	return true
}

// labels are those of the steps that undo and redo would take, empty when there is none.
func (h *history) labels() (undo, redo string) {
	if h.canUndo() {
		undo = h.steps[h.at].label
	}
	if h.canRedo() {
		redo = h.steps[h.at+1].label
	}
	return undo, redo
}
