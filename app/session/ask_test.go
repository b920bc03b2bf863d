package session

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"platewright/export/report"
	"platewright/plate/geom"
)

// What is asked for is computed once at a time, is stale over another state of the plate and current again after undo; a stopped
// question and a closed session leave nothing behind (TestMain looks for goroutines).
func TestAsk(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	l := newLoop()
	s := New(Config{Post: l.post, AutosaveAfter: -1}, lever())
	defer s.Close(true)
	sweep := Question{Name: "sections", Sweep: &report.SweepWant{From: geom.Pt(0, 0), To: geom.Pt(10, 0), Stations: 3}}
	if err := s.Ask(sweep); err == nil || !strings.Contains(err.Error(), "being computed") {
		t.Errorf("before the plate is known: %v", err)
	}
	l.settle(t, s)
	modes := Question{Name: "frequencies", More: report.More{Modes: 2}}
	if err := s.Ask(modes); err != nil {
		t.Fatal(err)
	}
	if err := s.Ask(sweep); err == nil {
		t.Error("two questions are answered at once")
	}
	s.StopAsked()
	l.settle(t, s)
	if a := s.Asked(); len(a.Answers) != 0 || !strings.Contains(a.Trouble, "stopped") {
		t.Fatalf("stopped, it stands at %+v", a)
	}
	for range 2 { // an answer replaces the one before
		if err := s.Ask(sweep); err != nil {
			t.Fatal(err)
		}
		l.settle(t, s)
	}
	a := s.Asked()
	if len(a.Answers) != 1 || a.Answers[0].Stale || math.Abs(a.Answers[0].Swept.Length-10) > 1e-12 || a.Trouble != "" {
		t.Fatalf("answered, it stands at %+v", a)
	}
	if err := s.Do(anEdit(rand.New(rand.NewPCG(1, 1))), ""); err != nil {
		t.Fatal(err)
	}
	if !s.Asked().Answers[0].Stale {
		t.Error("over a newer plate the answer counts as current")
	}
	s.Undo()
	l.settle(t, s)
	if s.Asked().Answers[0].Stale {
		t.Error("back on its plate the answer is old still")
	}
	if err := s.Ask(modes); err != nil {
		t.Fatal(err)
	}
	s.Close(true)
	s.Wait()
	l.drain()
}
