package session

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"platewright/export/report"
	"platewright/plate"
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

// Frequencies rest on the supports of the case that is named, or on all; both answers stay, and with bores fixed a plate is at least
// as stiff as with bores hinged.
func TestAskByCase(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	l := newLoop()
	p := lever()
	p.Supports = append(p.Supports, plate.Support{ID: 8, Name: "Far end", Kind: plate.Fixed, On: plate.Place{Feature: 2}})
	p.Cases[0].Supports = []plate.ID{5}
	p.NextID = 9
	s := New(Config{Post: l.post, AutosaveAfter: -1}, p)
	defer s.Close(true)
	l.settle(t, s)
	for _, q := range []Question{
		{Name: "modes on all", More: report.More{Modes: 1}},
		{Name: "modes on one", More: report.More{Modes: 1, Case: 7}},
		{Name: "band", More: report.More{Band: true}},
	} {
		if err := s.Ask(q); err != nil {
			t.Fatal(err)
		}
		l.settle(t, s)
	}
	as := s.Asked().Answers
	if len(as) != 3 || !as[0].Of(s.Report()) {
		t.Fatalf("it stands at %+v", s.Asked())
	}
	all, one := as[0].Extra, as[1].Extra
	if len(all.Held) != 1 || len(one.Held) != 1 || !(one.Held[0] < 0.7*all.Held[0]) {
		t.Errorf("held at both ends %v Hz, at one %v Hz", all.Held, one.Held)
	}
	if strings.Contains(one.Supports, "Far end") || !strings.Contains(all.Supports, "Far end") {
		t.Errorf("the supports are called %q and %q", all.Supports, one.Supports)
	}
	if one.Free[0] != all.Free[0] {
		t.Errorf("free, the plate swings at %v Hz and at %v Hz", all.Free[0], one.Free[0])
	}
	// On one hinge the plate turns, which is said; on two it stands.
	if b := as[2]; len(b.Extra.Band) != 1 || len(b.Extra.Band[0]) != 0 || len(b.Findings) != 1 || !strings.Contains(b.Findings[0].What, "Pulling") {
		t.Errorf("on one hinge the band is %v with findings %v", b.Extra.Band, b.Findings)
	}
	if err := s.Do(anEdit(rand.New(rand.NewPCG(1, 1))), ""); err != nil {
		t.Fatal(err)
	}
	l.settle(t, s)
	if as[0].Of(s.Report()) {
		t.Error("the answer counts as one of the newer plate")
	}
}
