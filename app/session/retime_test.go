package session

import (
	"math"
	"testing"
	"time"

	"platewright/fea"
)

// While a bore is dragged the minutes are re-timed, marked as about and of a report that is not complete; when the hand rests the
// whole plan stands, the same as of a session that never dragged. An edit outside a gesture is planned whole at once.
func TestDraggingRetimes(t *testing.T) {
	l := newLoop()
	about := 0
	var s *Session
	cfg := Config{Post: l.post, AutosaveAfter: -1, Changed: func() {
		if m := s.Machining(); m.OK && m.Value.About {
			about++
			if s.Report().Complete() {
				t.Error("a report with re-timed minutes counts as complete")
			}
		}
	}}
	doc := sample(t, "cargo-trike-side-plate")
	doc.Cases = nil // they take seconds, and nothing here is of them
	s = New(cfg, doc)
	defer s.Wait()
	defer s.Close(true)
	l.settle(t, s)
	at := doc.Bores[0]
	if err := s.Do(moveBore(at.ID, at.X, at.Y+0.25), ""); err != nil {
		t.Fatal(err)
	}
	l.settle(t, s)
	if about != 0 {
		t.Fatal("an edit outside a gesture was re-timed")
	}
	key := s.NewGesture()
	for i := 1; i <= 4; i++ {
		if err := s.Do(moveBore(at.ID, at.X+float64(i)*0.5, at.Y), key); err != nil {
			t.Fatal(err)
		}
		for end := time.Now().Add(30 * time.Second); s.follow.busy() || s.frames.busy(); {
			select {
			case f := <-l.queue:
				f()
			case <-time.After(time.Until(end)):
				t.Fatal("no figures after 30 s")
			}
		}
	}
	if about == 0 {
		t.Fatal("nothing was re-timed during the drag")
	}
	s.EndGesture()
	l.settle(t, s)
	got := s.Machining()
	if got.Stale || got.Value.About || !s.Report().Complete() {
		t.Fatalf("at rest the plan is stale %v, about %v, report complete %v", got.Stale, got.Value.About, s.Report().Complete())
	}
	other := newLoop()
	fresh := New(Config{Post: other.post, AutosaveAfter: -1}, s.Doc())
	defer fresh.Wait()
	defer fresh.Close(true)
	other.settle(t, fresh)
	if want := fresh.Machining().Value.CycleMin; math.Abs(got.Value.CycleMin-want) > 1e-9*want {
		t.Errorf("after the drag %v min, a session that opens the document has %v", got.Value.CycleMin, want)
	}
	if a, b := s.Quote().Value, fresh.Quote().Value; len(a.Batches) == 0 || a.Batches[0].PiecePrice.String() != b.Batches[0].PiecePrice.String() {
		t.Errorf("after the drag the price differs from that of a session that opens the document")
	}
}

// While a bore is dragged the load cases are analysed coarsely, marked so and never in a report; at rest the fine analysis
// stands, the same as of a session that never dragged.
func TestDraggingAnalysesCoarsely(t *testing.T) {
	l := newLoop()
	coarse := 0
	var s *Session
	cfg := Config{Post: l.post, AutosaveAfter: -1, Changed: func() {
		if k := s.Cases(); k.OK && k.Value.Coarse && !k.Stale {
			coarse++
		}
		if c := s.Report().Cases; c.OK && c.Value.Coarse {
			t.Error("a coarse analysis is in the report")
		}
	}}
	doc := sample(t, "cargo-trike-side-plate")
	doc.Cases = doc.Cases[:1]
	s = New(cfg, doc)
	defer s.Wait()
	defer s.Close(true)
	l.settle(t, s)
	if k := s.Cases(); !k.OK || k.Value.Coarse {
		t.Fatalf("at first the cases are known %v, coarse %v", k.OK, k.OK && k.Value.Coarse)
	}
	key := s.NewGesture()
	at := doc.Bores[0]
	for i := 1; i <= 2; i++ {
		if err := s.Do(moveBore(at.ID, at.X+float64(i)*0.25, at.Y), key); err != nil {
			t.Fatal(err)
		}
		for end := time.Now().Add(60 * time.Second); s.coarse.busy() || s.frames.busy(); {
			select {
			case f := <-l.queue:
				f()
			case <-time.After(time.Until(end)):
				t.Fatal("no coarse analysis after 60 s")
			}
		}
	}
	if coarse == 0 {
		t.Fatal("nothing was analysed coarsely during the drag")
	}
	s.EndGesture()
	l.settle(t, s)
	k := s.Cases()
	if !k.OK || k.Stale || k.Value.Coarse || !s.Report().Complete() {
		t.Fatalf("at rest the cases are known %v, stale %v, coarse %v, the report complete %v", k.OK, k.Stale, k.OK && k.Value.Coarse, s.Report().Complete())
	}
	want, err := fea.Solve(t.Context(), s.Layout().Value, fea.Options{}, doc.Cases)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := k.Value.Cases[0].MaxVonMises, want.Cases[0].MaxVonMises; math.Abs(a-b) > 1e-9*b {
		t.Errorf("at rest %v MPa, a fresh analysis has %v", a, b)
	}
}
