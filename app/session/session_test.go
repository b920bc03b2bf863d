package session

import (
	"context"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"platewright/plate"
	"platewright/plate/shop"
	"platewright/samples"
)

func sample(t testing.TB, name string) plate.Plate {
	t.Helper()
	s, err := samples.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(s.Data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEditUndoRedo(t *testing.T) {
	l := newLoop()
	s := New((&fake{}).config(l), sample(t, "cargo-trike-side-plate"))
	defer s.Wait()
	defer s.Close(true)
	start, bore := s.Doc(), s.Doc().Bores[0]
	if s.Dirty() || s.Undo() || s.Redo() {
		t.Errorf("a new session is dirty %v or can be undone", s.Dirty())
	}
	if err := s.Do(moveBore(bore.ID, bore.X+3, bore.Y), ""); err != nil {
		t.Fatal(err)
	}
	if label, ok := s.UndoLabel(); !ok || label != "move of bore "+bore.Name {
		t.Errorf("UndoLabel = %q, %v", label, ok)
	}
	if got := s.Doc().Bores[0].X; got != bore.X+3 || !s.Dirty() || start.Bores[0].X != bore.X {
		t.Errorf("after the move x = %v, dirty %v, and the old snapshot has %v", got, s.Dirty(), start.Bores[0].X)
	}
	gen := s.generation
	if !s.Undo() || s.Dirty() || s.generation <= gen || s.Doc().Bores[0].X != bore.X {
		t.Errorf("after undo dirty %v, generation %d then %d, x %v", s.Dirty(), gen, s.generation, s.Doc().Bores[0].X)
	}
	if label, ok := s.RedoLabel(); !ok || label != "move of bore "+bore.Name {
		t.Errorf("RedoLabel = %q, %v", label, ok)
	}
	if !s.Redo() || !s.Dirty() || s.Doc().Bores[0].X != bore.X+3 {
		t.Errorf("after redo dirty %v, x %v", s.Dirty(), s.Doc().Bores[0].X)
	}
}

func TestRefusedEditLeavesEverything(t *testing.T) {
	l := newLoop()
	s := New((&fake{}).config(l), plate.New("p"))
	defer s.Wait()
	defer s.Close(true)
	gen, rev := s.generation, s.Revision()
	edits := map[string]plate.Edit{
		"range":   setRim(-1),
		"gone":    plate.SetBore(plate.Bore{ID: 99}),
		"panic":   {Label: "break", Apply: func(plate.Plate) (plate.Plate, error) { panic("broken edit") }},
		"profile": plate.Replace("shop", func(p *plate.Plate) { p.Machining.Shop = "no such shop" }),
	}
	for name, e := range edits {
		if err := s.Do(e, ""); err == nil || err.Error() == "" {
			t.Errorf("%s: no error", name)
		}
		if _, ok := s.UndoLabel(); ok || s.generation != gen || s.Revision() != rev {
			t.Errorf("%s: a refused edit changed the session", name)
		}
	}
	if err := s.Do(setRim(s.Doc().Rim), ""); err != nil || s.generation != gen {
		t.Errorf("an edit that changes nothing: %v, generation %d, want %d", err, s.generation, gen)
	}
}

func TestGestureIsOneStep(t *testing.T) {
	l := newLoop()
	s := New((&fake{}).config(l), plate.New("p"))
	defer s.Wait()
	defer s.Close(true)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.Do(moved(1), ""))
	key := s.NewGesture()
	for x := 2.0; x < 50; x++ {
		must(s.Do(moved(x), key))
	}
	s.EndGesture()
	must(s.Do(moved(60), key)) // the key is dead
	for _, want := range []float64{49, 1, 0} {
		if !s.Undo() || s.Doc().Machining.ZeroX != want {
			t.Fatalf("undo led to %v, want %v", s.Doc().Machining.ZeroX, want)
		}
	}
	if s.NewGesture() == key {
		t.Error("a gesture key came twice")
	}
}

// Escape during a drag leaves everything as before it, what could be redone included.
func TestAbandonLeavesNoTrace(t *testing.T) {
	l := newLoop()
	s := New((&fake{}).config(l), plate.New("p"))
	defer s.Wait()
	defer s.Close(true)
	for _, x := range []float64{1, 2} {
		if err := s.Do(moved(x), ""); err != nil {
			t.Fatal(err)
		}
	}
	s.Undo()
	key := s.NewGesture()
	for x := 10.0; x < 20; x++ {
		if err := s.Do(moved(x), key); err != nil {
			t.Fatal(err)
		}
	}
	if !s.Abandon(key) || s.Doc().Machining.ZeroX != 1 || s.Abandon(key) {
		t.Errorf("abandon led to %v, want 1, once", s.Doc().Machining.ZeroX)
	}
	if !s.Redo() || s.Doc().Machining.ZeroX != 2 {
		t.Errorf("redo after abandon led to %v, want 2", s.Doc().Machining.ZeroX)
	}
}

func TestResultsFollowTheDocument(t *testing.T) {
	l := newLoop()
	changed := 0
	cfg := Config{Post: l.post, AutosaveAfter: -1, Changed: func() { changed++ }}
	s := New(cfg, sample(t, "cargo-trike-side-plate"))
	defer s.Wait()
	defer s.Close(true)
	if s.Mass().OK || fresh(s) {
		t.Error("results are known before anything ran")
	}
	l.settle(t, s)
	first := s.Mass()
	if !first.OK || first.Stale || !fresh(s) || !s.Machining().OK || !s.Sections().OK || !s.Findings().OK {
		t.Fatalf("after the first run: mass %v stale %v, fresh %v, machining %v", first.OK, first.Stale, fresh(s), s.Machining().OK)
	}
	if changed == 0 {
		t.Error("Changed was never called")
	}
	if base, ok := s.Baseline(); !ok || base.Mass.Value.MassKG != first.Value.MassKG {
		t.Errorf("the baseline is known %v with %v kg, want the opened state's %v", ok, base.Mass.Value.MassKG, first.Value.MassKG)
	}
	// The mass of a plate that is thicker by a tenth everywhere but in its pockets' depth grows; a stale value stays first.
	st := s.Doc().Stock
	st.Nominal, st.Finished = 20, 20
	if err := s.Do(plate.SetStock(st), ""); err != nil {
		t.Fatal(err)
	}
	if q := s.Quote(); !q.OK || !q.Stale {
		t.Errorf("right after the edit the price is known %v, stale %v; want the old one, stale", q.OK, q.Stale)
	}
	if m := s.Mass(); !m.OK || !m.Stale || m.Value.MassKG != first.Value.MassKG {
		t.Errorf("right after the edit: %+v, want the old mass, stale", m.Stale)
	}
	l.settle(t, s)
	if m := s.Mass(); m.Stale || m.Value.MassKG <= first.Value.MassKG {
		t.Errorf("thicker plate weighs %v, stale %v, want more than %v", m.Value.MassKG, m.Stale, first.Value.MassKG)
	}
	if q := s.Quote(); q.Stale || len(q.Value.Batches) == 0 {
		t.Errorf("after the follow-up the price has %d batches, stale %v", len(q.Value.Batches), q.Stale)
	}
	if base, _ := s.Baseline(); base.Mass.Value.MassKG != first.Value.MassKG {
		t.Errorf("the baseline moved to %v", base.Mass.Value.MassKG)
	}
	s.SetBaseline()
	l.settle(t, s)
	if base, _ := s.Baseline(); base.Mass.Value.MassKG != s.Mass().Value.MassKG {
		t.Errorf("the new baseline has %v, want %v", base.Mass.Value.MassKG, s.Mass().Value.MassKG)
	}
}

// Undo shows at once what is known already and computes nothing.
func TestUndoComputesNothing(t *testing.T) {
	l := newLoop()
	f := &fake{}
	s := New(f.config(l), plate.New("p"))
	defer s.Wait()
	defer s.Close(true)
	l.settle(t, s)
	if err := s.Do(setRim(20), ""); err != nil {
		t.Fatal(err)
	}
	l.settle(t, s)
	frames, follows := f.frames.Load(), f.follows.Load()
	heavy := s.Mass().Value.MassKG
	s.Undo()
	if m := s.Mass(); m.Stale || !fresh(s) {
		t.Errorf("after undo the mass is stale %v, fresh %v", m.Stale, fresh(s))
	}
	s.Redo()
	l.settle(t, s)
	if a, b := f.frames.Load()-frames, f.follows.Load()-follows; a != 0 || b != 0 {
		t.Errorf("undo and redo ran %d frames and %d follow-ups", a, b)
	}
	if m := s.Mass(); m.Stale || m.Value.MassKG != heavy {
		t.Errorf("after redo %v kg stale %v, want %v", m.Value.MassKG, m.Stale, heavy)
	}
}

// What was last known to be good stays when the plate cannot be derived, with its age.
func TestLastGoodStays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLoop()
		s := New((&fake{}).config(l), plate.New("p"))
		l.rest()
		good := s.Mass()
		// A radius that does not fit its corner is a matter for the layout, not for the document.
		c := s.Doc().Outline.Corners[0]
		c.Radius = 1000
		if err := s.Do(setCorner(0, c), ""); err != nil {
			t.Fatal(err)
		}
		time.Sleep(3 * time.Second)
		l.rest()
		m := s.Mass()
		if !m.OK || !m.Stale || m.Value.MassKG != good.Value.MassKG || m.Age(time.Now()) != 3*time.Second {
			t.Errorf("mass ok %v stale %v %v kg, age %v, want the last good one, 3 s old", m.OK, m.Stale, m.Value.MassKG, m.Age(time.Now()))
		}
		if lay := s.Layout(); !lay.OK || !lay.Stale {
			t.Errorf("layout ok %v stale %v", lay.OK, lay.Stale)
		}
		if fs := s.Findings(); fs.Stale || len(fs.Value) == 0 || fs.Value[0].Level != "error" {
			t.Errorf("findings stale %v: %v", fs.Stale, fs.Value)
		}
		s.Close(true)
		s.Wait()
	})
}

// A frame that takes longer than the next edit: the older result is shown as stale, never as current.
func TestLateFrameIsStale(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLoop()
		f := &fake{frameFor: 100 * time.Millisecond}
		s := New(f.config(l), plate.New("p"))
		time.Sleep(50 * time.Millisecond)
		if err := s.Do(setRim(30), ""); err != nil {
			t.Fatal(err)
		}
		time.Sleep(70 * time.Millisecond) // the first frame is there, the second is not
		l.rest()
		if m := s.Mass(); !m.OK || !m.Stale {
			t.Errorf("the frame of the older generation: ok %v stale %v, want shown and stale", m.OK, m.Stale)
		}
		time.Sleep(time.Second)
		l.rest()
		if m := s.Mass(); m.Stale {
			t.Error("the mass stays stale")
		}
		if base, ok := s.Baseline(); ok && base.Key.Revision == s.Revision() {
			t.Error("the baseline is the edited state")
		}
		s.Close(true)
		s.Wait()
	})
}

// 1,000 random edits, undos and redos over a computation that ignores its context leave no goroutine and the right result.
func TestThousandEditsLeaveNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		rnd := rand.New(rand.NewPCG(1, 2))
		l := newLoop()
		f := &fake{frameFor: 40 * time.Millisecond, deaf: true}
		s := New(f.config(l), plate.New("p"))
		for range 1000 {
			switch rnd.IntN(5) {
			case 0:
				s.Undo()
			case 1:
				s.Redo()
			default:
				if err := s.Do(moved(float64(rnd.IntN(2000))), []string{"", "a", "b"}[rnd.IntN(3)]); err != nil {
					t.Fatal(err)
				}
			}
			time.Sleep(time.Duration(rnd.IntN(20)) * time.Millisecond)
			l.drain()
		}
		time.Sleep(2 * time.Second)
		l.rest()
		if r := s.Report(); s.Mass().Stale || r.Key.Revision != s.Revision() {
			t.Errorf("at rest the mass is stale %v, of revision %.8s, want %.8s", s.Mass().Stale, r.Key.Revision, s.Revision())
		}
		s.Close(true)
		s.Wait()
	})
}

func TestPanicInWorkerIsATrouble(t *testing.T) {
	l := newLoop()
	f := &fake{panics: true}
	s := New(f.config(l), plate.New("p"))
	l.settle(t, s)
	var p *PanicError
	if ts := s.Troubles(); len(ts) != 1 || !errors.As(ts[0], &p) || p.Stack == "" {
		t.Errorf("troubles are %v, want one *PanicError with its stack", s.Troubles())
	}
	if err := s.Do(setRim(12), ""); err != nil || s.Doc().Rim != 12 {
		t.Errorf("the document is lost: %v", err)
	}
	s.Close(true)
	s.Wait()
}

func TestNothingAfterClose(t *testing.T) {
	l := newLoop()
	changed := 0
	cfg := (&fake{}).config(l)
	cfg.Changed = func() { changed++ }
	s := New(cfg, plate.New("p"))
	done := false
	s.Background("waiting", func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }, func(error) { done = true })
	s.Close(true)
	s.Close(true)
	s.Wait()
	l.drain()
	if changed != 0 || done {
		t.Errorf("after close Changed was called %d times, done %v", changed, done)
	}
}

func TestBackgroundReportsPanic(t *testing.T) {
	l := newLoop()
	s := New((&fake{}).config(l), plate.New("p"))
	var got error
	s.Background("writing a picture", func(context.Context) error { panic("no ink") }, func(err error) { got = err })
	l.settle(t, s)
	var p *PanicError
	if !errors.As(got, &p) || p.Doing != "writing a picture" {
		t.Errorf("got %v, want a *PanicError", got)
	}
	s.Close(true)
	s.Wait()
}

// A shop profile that is not known is said, and minutes are for the example.
func TestUnknownProfile(t *testing.T) {
	l := newLoop()
	cfg := (&fake{}).config(l)
	cfg.Profile = func(string) (shop.Profile, error) { return shop.Profile{}, errors.New("no such shop") }
	doc := plate.New("p")
	doc.Machining.Shop = "next door"
	s := New(cfg, doc)
	l.settle(t, s)
	if s.Profile().Name != "example" || len(s.Troubles()) != 1 || !strings.Contains(s.Troubles()[0].Error(), "no such shop") {
		t.Errorf("profile %q, troubles %v", s.Profile().Name, s.Troubles())
	}
	s.Close(true)
	s.Wait()
}

// fresh tells whether every result belongs to the document as it is now.
func fresh(s *Session) bool {
	return s.results.generation == s.generation && s.results.report.Complete() && s.results.report.Key.Revision == s.Revision()
}
