package session

import (
	"context"
	"errors"

	"platewright/export/report"
	"platewright/fea"
	"platewright/fea/torsion"
	"platewright/plate/finding"
)

// Question is what is computed of the plate only when it is asked for: either a sweep, or what More says.
type Question struct {
	Name  string // in words, for messages; an answer replaces the one before to a question of the same name
	More  report.More
	Sweep *report.SweepWant
}

// Answer is what came of a question. It is immutable.
type Answer struct {
	Question
	Extra    *report.Extra     // nil for a sweep
	Cases    []fea.CaseResult  // those that Extra is about, in their order
	Swept    torsion.Sweep     // of a sweep
	Findings []finding.Finding // what could not be computed
	Stale    bool              // it is of another state of the plate

	revision string
}

// Of tells whether the answer is of a report's plate.
func (a Answer) Of(r report.Report) bool { return a.revision == r.Key.Revision }

// Asked are the questions and answers as they stand.
type Asked struct {
	Running string // name of the question that is being answered; empty for none
	Trouble string // why the last one gave nothing; empty else
	Answers []Answer

	run  uint64
	stop context.CancelFunc
}

// Asked are the questions and answers as they stand, oldest first.
func (s *Session) Asked() Asked {
	out := s.asked
	out.Answers = make([]Answer, len(s.asked.Answers))
	for i, a := range s.asked.Answers {
		a.Stale = a.revision != s.Revision()
		out.Answers[i] = a
	}
	return out
}

// Ask starts answering a question in the background. One is answered at a time; the error says what is to be done first.
func (s *Session) Ask(q Question) error {
	switch {
	case s.closed:
		return nil
	case s.asked.Running != "":
		return errors.New("the " + s.asked.Running + " are being computed; wait for them, or stop them in the Job menu")
	case !s.results.report.Complete() || s.results.report.Key.Revision != s.Revision():
		return errors.New("the plate is being computed; ask when its figures are known")
	}
	ctx, cancel := context.WithCancel(s.ctx)
	run, r, revision := s.asked.run+1, s.results.report, s.Revision()
	s.asked.run, s.asked.Running, s.asked.Trouble, s.asked.stop = run, q.Name, "", cancel
	s.active++
	s.tasks.Go(func() {
		defer cancel()
		out, err := guarded("computing the "+q.Name, func() (Answer, error) { return answer(ctx, r, q) })
		out.revision = revision
		s.cfg.Post(func() {
			s.active--
			s.askDone(out, err)
		})
	})
	s.notify()
	return nil
}

// answer computes what a question asks of a report.
func answer(ctx context.Context, r report.Report, q Question) (Answer, error) {
	a := Answer{Question: q}
	var err error
	if q.Sweep != nil {
		a.Swept, err = r.Along(ctx, *q.Sweep)
		return a, err
	}
	if a.Extra, a.Findings, err = r.Ask(ctx, q.More); err == nil && r.Cases.OK {
		a.Cases = r.Cases.Value.Cases
	}
	return a, err
}

// StopAsked ends what is being computed on request; what was known before stays.
func (s *Session) StopAsked() {
	if s.asked.Running != "" {
		s.asked.stop()
	}
}

func (s *Session) askDone(a Answer, err error) {
	if s.closed {
		return
	}
	s.asked.Running = ""
	switch {
	case errors.Is(err, context.Canceled):
		s.asked.Trouble = "the " + a.Name + " were stopped"
	case err != nil:
		s.asked.Trouble = finding.Words(err)
	default:
		var kept []Answer
		for _, old := range s.asked.Answers {
			if old.Name != a.Name {
				kept = append(kept, old)
			}
		}
		s.asked.Answers = append(kept, a)
	}
	s.notify()
}
