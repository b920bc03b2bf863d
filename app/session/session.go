package session

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"platewright/export/report"
	"platewright/fea"
	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/shop"
)

// stepLimit bounds the history: a step of a document with 500 holes takes about 24 kB.
const stepLimit = 1000

// How long a run may go on when something newer waits: long enough that figures follow a drag of a slow plate, short enough
// that a run which hangs is soon given up.
const (
	framePatience  = 250 * time.Millisecond
	followPatience = 600 * time.Millisecond
	restPatience   = 50 * time.Millisecond // an analysis takes both processors, and its plate is gone
	coarsePatience = 3 * time.Second       // all cases of a large plate, beside the figures that follow the drag
)

// Config is how a session is tied to its owner.
type Config struct {
	// Post runs a function on the owner's goroutine, later and in order. It must not block and must not run it at once.
	Post func(func())
	// Changed is called on the owner's goroutine when a result, the file's state or a trouble has changed. May be nil.
	Changed func()
	// Profile gives the shop profile of a name in a document; nil means shop.ByName.
	Profile func(name string) (shop.Profile, error)
	// AutosaveAfter is how long after a change the document is kept beside its file; zero means 20 s, negative never.
	AutosaveAfter time.Duration
	// Scratch is the folder for the autosave of a document without a file; empty means none is kept.
	Scratch string

	// For tests; nil means report.Frame and report.Report.Follow.
	frame  func(context.Context, report.Inputs) (report.Report, error)
	follow func(context.Context, report.Report) (report.Report, error)
}

// Session is one open job. Make it with New or Open. All methods belong to the owner's goroutine.
type Session struct {
	cfg        Config
	history    *history
	generation uint64 // counts the changes of the document, undo and redo included; never falls
	file       file
	base       baseline
	results    results
	solid      Solid
	asked      Asked
	autosave   autosave
	troubles   []error
	gestures   int
	dragging   bool // the last edit belongs to a gesture that has not ended
	baseRuns   uint64
	profiles   map[string]namedProfile
	buffers    *sparse.Buffers // of the analyses, one after the other
	// Those of the coarse analyses, which may end while a fine one begins.
	coarseBuffers *sparse.Buffers
	coarseModel   atomic.Pointer[fea.Model] // of the last coarse analysis
	closed        bool

	ctx    context.Context
	cancel context.CancelFunc
	frames *runner[report.Inputs, report.Report]
	follow *runner[report.Report, report.Report]
	plans  *runner[report.Report, report.Report] // whole plans after re-timed ones
	rest   *runner[report.Report, report.Report]
	coarse *runner[report.Report, *fea.Result] // analyses while something is dragged
	bases  *runner[report.Inputs, report.Report]
	tasks  sync.WaitGroup
	active int // tasks that have not reported yet; the owner's goroutine only
}

// New opens a document that has no file yet. It counts as unsaved only after the first change.
func New(cfg Config, doc plate.Plate) *Session {
	s := &Session{cfg: cfg, history: newHistory(doc, stepLimit), profiles: map[string]namedProfile{}, buffers: &sparse.Buffers{}, coarseBuffers: &sparse.Buffers{}}
	if s.cfg.Profile == nil {
		s.cfg.Profile = shop.ByName
	}
	if s.cfg.frame == nil {
		s.cfg.frame = report.Frame
	}
	if s.cfg.follow == nil {
		s.cfg.follow = func(ctx context.Context, r report.Report) (report.Report, error) { return r.Follow(ctx) }
	}
	s.ctx, s.cancel = context.WithCancel(context.Background())
	s.frames = &runner[report.Inputs, report.Report]{
		what: "deriving the plate", compute: s.cfg.frame, deliver: s.frameDone,
		post: cfg.Post, patience: framePatience, base: s.ctx,
	}
	s.follow = &runner[report.Report, report.Report]{
		what: "computing sections and minutes", compute: s.cfg.follow, deliver: s.laterDone,
		post: cfg.Post, patience: followPatience, base: s.ctx,
	}
	s.plans = &runner[report.Report, report.Report]{
		what: "planning the machining", compute: func(ctx context.Context, r report.Report) (report.Report, error) { return r.Replan(ctx) },
		deliver: s.laterDone, post: cfg.Post, patience: restPatience, base: s.ctx,
	}
	s.rest = &runner[report.Report, report.Report]{
		what: "analysing the load cases", compute: func(ctx context.Context, r report.Report) (report.Report, error) { return r.Rest(ctx) },
		deliver: s.laterDone, post: cfg.Post, patience: restPatience, base: s.ctx,
	}
	s.coarse = &runner[report.Report, *fea.Result]{
		what:    "analysing the load cases coarsely",
		compute: s.coarsely,
		deliver: s.coarseDone, post: cfg.Post, patience: coarsePatience, base: s.ctx,
	}
	s.bases = &runner[report.Inputs, report.Report]{
		what: "computing the baseline", compute: s.wholeReport, deliver: s.baseDone,
		post: cfg.Post, patience: followPatience, base: s.ctx,
	}
	s.file.saved = s.history.now().revision
	s.base = baseline{doc: doc, revision: s.history.now().revision}
	s.generation = 1
	s.recompute()
	return s
}

// coarsely analyses a plate that is being dragged, from the model of the step before where there is one.
func (s *Session) coarsely(ctx context.Context, r report.Report) (*fea.Result, error) {
	res, err := r.Coarse(ctx, s.coarseBuffers, s.coarseModel.Load())
	if err == nil && res != nil {
		s.coarseModel.Store(res.Model)
	}
	return res, err
}

// Doc is the document as it is now. It must not be changed in place.
func (s *Session) Doc() plate.Plate { return s.history.now().doc }

// Revision is that of the document as it is now.
func (s *Session) Revision() string { return s.history.now().revision }

// Profile is the shop profile that times are for: the one that the document names, or the example where it names none.
// A name that is not known counts as none, and is reported once as a trouble.
func (s *Session) Profile() shop.Profile { return s.profile(s.Doc().Machining.Shop) }

// namedProfile is a shop profile that has been looked up.
type namedProfile struct {
	profile shop.Profile
	err     error
}

func (s *Session) lookUp(name string) namedProfile {
	if n, ok := s.profiles[name]; ok {
		return n
	}
	var n namedProfile
	if name == "" {
		n.profile, n.err = shop.Example()
	} else {
		n.profile, n.err = s.cfg.Profile(name)
	}
	s.profiles[name] = n
	return n
}

func (s *Session) profile(name string) shop.Profile {
	_, known := s.profiles[name]
	n := s.lookUp(name)
	if n.err == nil {
		return n.profile
	}
	if !known {
		s.trouble(fmt.Errorf("%w; minutes are for the example shop until another one is chosen under Machining", n.err))
	}
	return s.lookUp("").profile
}

// NewGesture returns a key that no other gesture of this session has.
func (s *Session) NewGesture() string {
	s.gestures++
	return fmt.Sprintf("gesture %d", s.gestures)
}

// Do makes an edit. Edits in a row with the same non-empty gesture key are one step of the history. An error leaves the
// document as it was and says what to do. An edit that changes nothing is no step.
func (s *Session) Do(e plate.Edit, gesture string) error {
	title := e.Title(s.Doc())
	doc, err := guarded("editing", func() (plate.Plate, error) { return e.Apply(s.Doc()) })
	if err != nil {
		return err
	}
	if plate.Revision(doc) == s.Revision() {
		return nil
	}
	if name := doc.Machining.Shop; name != s.Doc().Machining.Shop && name != "" {
		if n := s.lookUp(name); n.err != nil {
			return n.err
		}
	}
	s.history.do(doc, title, gesture)
	s.dragging = gesture != ""
	s.changed()
	return nil
}

// EndGesture ends the gesture: a later edit with its key is a step of its own.
func (s *Session) EndGesture() {
	s.dragging = false
	s.history.settle()
}

// Abandon takes the edits of the present gesture back, as if they had not been made.
func (s *Session) Abandon(gesture string) bool {
	s.dragging = false
	if !s.history.abandon(gesture) {
		return false
	}
	s.changed()
	return true
}

// Undo goes one step back.
func (s *Session) Undo() bool { return s.move(-1) }

// Redo goes one step forward.
func (s *Session) Redo() bool { return s.move(+1) }

func (s *Session) move(by int) bool {
	if !s.history.move(by) {
		return false
	}
	s.changed()
	return true
}

// UndoLabel is the label of the edit that Undo takes back; ok is false when there is none.
func (s *Session) UndoLabel() (label string, ok bool) {
	undo, _ := s.history.labels()
	return undo, s.history.canUndo()
}

// RedoLabel is the label of the edit that Redo makes again; ok is false when there is none.
func (s *Session) RedoLabel() (label string, ok bool) {
	_, redo := s.history.labels()
	return redo, s.history.canRedo()
}

// changed is called after every change of the document.
func (s *Session) changed() {
	s.generation++
	s.results.outdate(time.Now())
	s.StopSolid() // what it checks is gone
	s.recompute()
	s.scheduleAutosave()
	s.notify()
}

func (s *Session) notify() {
	if s.cfg.Changed != nil && !s.closed {
		s.cfg.Changed()
	}
}

// Background runs f on a goroutine of its own, with a context that ends when the session is closed, and then done on the
// owner's goroutine. A panic in f is a *PanicError.
func (s *Session) Background(doing string, f func(context.Context) error, done func(error)) {
	s.active++
	s.tasks.Go(func() {
		_, err := guarded(doing, func() (struct{}, error) { return struct{}{}, f(s.ctx) })
		s.cfg.Post(func() {
			s.active--
			if done != nil && !s.closed {
				done(err)
			}
		})
	})
}

// Busy tells whether anything is being computed or written.
func (s *Session) Busy() bool {
	return s.active > 0 || s.frames.busy() || s.follow.busy() || s.plans.busy() || s.rest.busy() || s.coarse.busy() || s.bases.busy()
}

// Troubles are the faults since the session was opened, oldest first: panics of workers, and an autosave that cannot be
// written.
func (s *Session) Troubles() []error { return s.troubles }

func (s *Session) trouble(err error) {
	const kept = 20
	if len(s.troubles) == kept {
		s.troubles = s.troubles[1:]
	}
	s.troubles = append(s.troubles, err)
}

// Close cancels everything that runs, and delivers nothing more. With discard the autosave is removed too, because the
// person has decided about the work; without, it stays for recovery. Close does not wait: see Wait.
func (s *Session) Close(discard bool) {
	if s.closed {
		return
	}
	s.closed = true
	s.autosave.drop.Store(discard)
	s.autosave.stop()
	s.cancel()
	s.frames.close()
	s.follow.close()
	s.plans.close()
	s.rest.close()
	s.coarse.close()
	s.bases.close()
	if discard {
		s.removeAutosave()
	}
}

// Wait returns when every goroutine of a closed session has ended.
func (s *Session) Wait() {
	s.frames.alive.Wait()
	s.follow.alive.Wait()
	s.plans.alive.Wait()
	s.rest.alive.Wait()
	s.coarse.alive.Wait()
	s.bases.alive.Wait()
	s.tasks.Wait()
}
