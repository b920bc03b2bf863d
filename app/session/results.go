package session

import (
	"context"
	"slices"
	"time"

	"platewright/export/report"
	"platewright/fea"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/quote"
	"platewright/plate/route"
	"platewright/plate/section"
)

// Known is a result as it can be shown: the newest that could be computed. The zero Known was never computed.
type Known[T any] struct {
	Value T
	OK    bool // there is a value
	Stale bool // it does not belong to the document as it is now
	// Since is when a stale value was first out of date.
	Since      time.Time
	generation uint64
}

// Age is how long a stale value has been out of date at the given time; zero for one that is not stale.
func (k Known[T]) Age(now time.Time) time.Duration {
	if !k.Stale {
		return 0
	}
	return now.Sub(k.Since)
}

// put stores a result of a generation.
func (k *Known[T]) put(v T, generation, current uint64, at time.Time) {
	*k = Known[T]{Value: v, OK: true, Stale: generation != current, Since: at, generation: generation}
}

func (k *Known[T]) outdate(now time.Time) {
	if k.OK && !k.Stale {
		k.Stale, k.Since = true, now
	}
}

// results is what was last computed. Reports are kept so that undo shows at once what is already known.
type results struct {
	frame      report.Report // newest, without the follow-up
	frameFrom  uint64        // its generation; 0 for none
	report     report.Report // newest, with the newest follow-up
	layout     Known[*layout.Layout]
	mass       Known[mass.Result]
	sections   Known[[]section.Result]
	machining  Known[route.Plan]
	quote      Known[quote.Quote]
	cases      Known[*fea.Result]
	findings   Known[[]finding.Finding]
	recent     []report.Report // complete ones, newest last
	generation uint64
}

// keptReports is how many complete reports are kept for undo and redo.
const keptReports = 12

func (r *results) outdate(now time.Time) {
	r.layout.outdate(now)
	r.mass.outdate(now)
	r.sections.outdate(now)
	r.machining.outdate(now)
	r.quote.outdate(now)
	r.cases.outdate(now)
	r.findings.outdate(now)
}

// Layout is the newest layout that could be derived.
func (s *Session) Layout() Known[*layout.Layout] { return s.results.layout }

// Mass is the newest mass that could be computed.
func (s *Session) Mass() Known[mass.Result] { return s.results.mass }

// Sections are the newest sections at the cut lines.
func (s *Session) Sections() Known[[]section.Result] { return s.results.sections }

// Machining is the newest machining plan.
func (s *Session) Machining() Known[route.Plan] { return s.results.machining }

// Quote is the newest price.
func (s *Session) Quote() Known[quote.Quote] { return s.results.quote }

// Cases are the newest analysis of the load cases: while something is dragged a coarse one, marked so (fea.Result.Coarse).
func (s *Session) Cases() Known[*fea.Result] { return s.results.cases }

// Findings are the newest findings, worst first. They are stale while part of them is being looked for again.
func (s *Session) Findings() Known[[]finding.Finding] { return s.results.findings }

// Report is the newest report. Its parts may be out of date; see report.Report.Complete.
func (s *Session) Report() report.Report { return s.results.report }

func (s *Session) inputs(doc plate.Plate) report.Inputs {
	return report.Inputs{
		Plate: doc, Profile: s.profile(doc.Machining.Shop),
		Want:    report.Mass | report.Sections | report.Machining | report.Price | report.Stress | report.Targets,
		Buffers: s.buffers,
	}
}

// recompute asks for the results of the document as it is now.
func (s *Session) recompute() {
	if r, ok := s.recentReport(s.Revision()); ok {
		s.takeFrame(s.generation, r)
		s.takeFollow(s.generation, r)
		return
	}
	if !s.base.known && s.Revision() != s.base.revision && !s.base.asked {
		s.submitBase()
	}
	s.frames.submit(s.generation, s.inputs(s.Doc()))
}

func (s *Session) submitBase() {
	s.base.asked = true
	s.baseRuns++
	s.bases.submit(s.baseRuns, s.inputs(s.base.doc))
}

func (s *Session) recentReport(revision string) (report.Report, bool) {
	i := slices.IndexFunc(s.results.recent, func(r report.Report) bool { return r.Key.Revision == revision })
	if i < 0 {
		return report.Report{}, false
	}
	return s.results.recent[i], true
}

// frameDone takes a frame from its worker. The frame of an older generation is shown as stale; the follow-up starts from
// the newest frame there is.
func (s *Session) frameDone(generation uint64, r report.Report, err error) {
	if s.closed {
		return
	}
	if err != nil {
		s.trouble(err)
		s.notify()
		return
	}
	if generation <= s.results.frameFrom {
		return
	}
	s.takeFrame(generation, r)
	if m := s.results.machining; s.dragging && m.OK {
		r = r.After(m.Value)
	}
	s.follow.submit(generation, r)
	if s.dragging {
		s.coarse.submit(generation, r)
	}
	s.notify()
}

// coarseDone takes a coarse analysis from its worker. It is shown until the fine one of the same plate, or a newer coarse one,
// is there.
func (s *Session) coarseDone(generation uint64, r *fea.Result, err error) {
	if s.closed {
		return
	}
	if err != nil {
		s.trouble(err)
		s.notify()
		return
	}
	if r == nil || generation <= s.results.cases.generation {
		return
	}
	s.results.cases.put(r, generation, s.generation, time.Now())
	s.notify()
}

func (s *Session) takeFrame(generation uint64, r report.Report) {
	now := time.Now()
	res := &s.results
	res.frame, res.frameFrom = r, generation
	if r.Layout.OK {
		res.layout.put(r.Layout.Value, generation, s.generation, now)
	}
	if r.Mass.OK {
		res.mass.put(r.Mass.Value, generation, s.generation, now)
	}
	res.report = r.With(res.report)
	res.findings.put(res.report.Findings(), generation, s.generation, now)
	if !res.report.Complete() {
		res.findings.Stale = true
	}
}

// laterDone takes a follow-up or an analysis from its worker, and asks for the analysis where the report still wants it. What
// is of a plate that has moved on stays greyed until the next one.
func (s *Session) laterDone(generation uint64, r report.Report, err error) {
	if s.closed {
		return
	}
	if err != nil {
		s.trouble(err)
		s.notify()
		return
	}
	if generation < s.results.generation {
		return
	}
	s.takeFollow(generation, r)
	switch {
	case r.Complete():
		s.remember(r)
	case r.About():
		if generation == s.generation { // else the hand has moved on, and its own plan follows
			s.plans.submit(generation, r)
		}
	case r.Cases.Key != r.Key:
		s.rest.submit(generation, r)
	}
	s.notify()
}

func (s *Session) takeFollow(generation uint64, r report.Report) {
	now := time.Now()
	res := &s.results
	res.generation = generation
	if r.Sections.OK {
		res.sections.put(r.Sections.Value, generation, s.generation, now)
	}
	if r.Machining.OK {
		res.machining.put(r.Machining.Value, generation, s.generation, now)
	}
	if r.Quote.OK {
		res.quote.put(r.Quote.Value, generation, s.generation, now)
	}
	if r.Cases.OK && generation >= res.cases.generation { // else a coarse one of a newer plate is shown
		res.cases.put(r.Cases.Value, generation, s.generation, now)
	} else if r.Cases.Key == r.Key && generation == s.generation { // there are no cases any more, or none that can be analysed
		res.cases = Known[*fea.Result]{}
	}
	older := res.report
	res.report = res.frame.With(r)
	if generation == res.frameFrom {
		res.report = r
	}
	res.report = res.report.With(older) // what the rest has still to compute is shown as old
	res.findings.put(res.report.Findings(), generation, s.generation, now)
	if !res.report.Complete() {
		res.findings.Stale = true
	}
	if !s.base.known && r.Complete() && r.Key.Revision == s.base.revision {
		s.base.report, s.base.known = r, true
	}
}

func (s *Session) remember(r report.Report) {
	if _, ok := s.recentReport(r.Key.Revision); ok {
		return
	}
	if len(s.results.recent) == keptReports {
		s.results.recent = slices.Clone(s.results.recent[1:])
	}
	s.results.recent = append(s.results.recent, r)
}

// baseline is the state that differences are shown against.
type baseline struct {
	doc      plate.Plate
	revision string
	report   report.Report
	known    bool
	asked    bool
}

// Baseline is the report of the state that differences are shown against: the one opened, or that of SetBaseline. ok is
// false until it is known.
func (s *Session) Baseline() (r report.Report, ok bool) { return s.base.report, s.base.known }

// SetBaseline shows differences against the document as it is now.
func (s *Session) SetBaseline() {
	s.base = baseline{doc: s.Doc(), revision: s.Revision()}
	if r, ok := s.recentReport(s.base.revision); ok {
		s.base.report, s.base.known = r, true
	} else {
		s.submitBase()
	}
	s.notify()
}

// wholeReport computes frame and follow-up in one go.
func (s *Session) wholeReport(ctx context.Context, in report.Inputs) (report.Report, error) {
	r, err := s.cfg.frame(ctx, in)
	if err != nil {
		return r, err
	}
	if r, err = s.cfg.follow(ctx, r); err != nil {
		return r, err
	}
	return r.Rest(ctx)
}

func (s *Session) baseDone(_ uint64, r report.Report, err error) {
	if s.closed {
		return
	}
	switch {
	case err != nil:
		s.trouble(err)
	case r.Key.Revision == s.base.revision:
		s.base.report, s.base.known = r, true
	}
	s.notify()
}
