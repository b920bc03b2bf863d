package session

import (
	"context"
	"errors"
	"fmt"

	"platewright/fea"
	"platewright/plate/finding"
)

// Solid is the solid check of the load cases: asked for by hand, because it takes from seconds to some minutes.
type Solid struct {
	Running bool
	Doing   string // which case is being checked, while it runs
	Trouble string // why the last one gave nothing; empty else
	// Value is the newest that was finished, nil for none; Stale says that it is of another state of the plate.
	Value *fea.SolidResult
	Stale bool

	revision string // of Value
	run      uint64
	stop     context.CancelFunc
}

// Solid is the solid check as it stands.
func (s *Session) Solid() Solid {
	out := s.solid
	out.Stale = out.Value != nil && out.revision != s.Revision()
	return out
}

// CheckSolid starts the solid check of the load cases in the background, unless it runs. The error says what is to be done
// first.
func (s *Session) CheckSolid() error {
	k := s.results.cases
	switch {
	case s.closed || s.solid.Running:
		return nil
	case !k.OK:
		return errors.New("no load case has been analysed; add supports, loads and a load case under Loads")
	case k.Stale || k.Value.Coarse || !s.results.report.Complete():
		return errors.New("the load cases are being analysed; run the solid check when they are known")
	}
	ctx, cancel := context.WithCancel(s.ctx)
	run, r, revision := s.solid.run+1, s.results.report, s.Revision()
	s.solid.run, s.solid.Running, s.solid.Trouble, s.solid.Doing, s.solid.stop = run, true, "", "", cancel
	progress := func(done, all int, name string) {
		s.cfg.Post(func() {
			if s.solid.run == run && s.solid.Running && !s.closed {
				s.solid.Doing = fmt.Sprintf("case %d of %d: %s", done+1, all, name)
				s.notify()
			}
		})
	}
	s.active++
	s.tasks.Go(func() {
		defer cancel()
		out, err := guarded("running the solid check", func() (*fea.SolidResult, error) { return r.SolidCheck(ctx, "", progress) })
		s.cfg.Post(func() {
			s.active--
			s.solidDone(out, revision, err)
		})
	})
	s.notify()
	return nil
}

// StopSolid ends a solid check that runs; what was known before stays.
func (s *Session) StopSolid() {
	if s.solid.Running {
		s.solid.stop()
	}
}

func (s *Session) solidDone(out *fea.SolidResult, revision string, err error) {
	if s.closed {
		return
	}
	s.solid.Running, s.solid.Doing = false, ""
	switch {
	case errors.Is(err, context.Canceled):
		s.solid.Trouble = "the solid check was stopped"
	case err != nil:
		s.solid.Trouble = finding.Words(err)
	default:
		s.solid.Value, s.solid.revision = out, revision
	}
	s.notify()
}
