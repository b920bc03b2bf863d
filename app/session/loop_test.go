package session

import (
	"context"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"go.uber.org/goleak"

	"platewright/export/report"
	"platewright/plate"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// loop stands for the goroutine of a window: what is posted waits until the test runs it.
type loop struct{ queue chan func() }

func newLoop() *loop { return &loop{make(chan func(), 10000)} }

func (l *loop) post(f func()) { l.queue <- f }

// drain runs what has been posted, without waiting.
func (l *loop) drain() int {
	for n := 0; ; n++ {
		select {
		case f := <-l.queue:
			f()
		default:
			return n
		}
	}
}

// rest runs the loop of a synctest bubble until nothing moves any more without the clock.
func (l *loop) rest() {
	for {
		synctest.Wait()
		if l.drain() == 0 {
			return
		}
	}
}

// settle runs the loop until nothing is being computed or written any more.
func (l *loop) settle(t *testing.T, s *Session) {
	t.Helper()
	for s.Busy() {
		select {
		case f := <-l.queue:
			f()
		case <-time.After(30 * time.Second):
			t.Fatal("the session is still busy after 30 s")
		}
	}
	l.drain()
}

// fake stands for the computations: it counts them and lasts as long as the test says.
type fake struct {
	frames, follows atomic.Int64
	frameFor        time.Duration
	deaf            bool // ignores its context
	panics          bool
}

func (f *fake) config(l *loop) Config {
	return Config{
		Post: l.post, AutosaveAfter: -1,
		frame: func(ctx context.Context, in report.Inputs) (report.Report, error) {
			f.frames.Add(1)
			if f.panics {
				panic("the frame broke")
			}
			if f.deaf {
				time.Sleep(f.frameFor)
			} else if f.frameFor > 0 {
				select {
				case <-time.After(f.frameFor):
				case <-ctx.Done():
					return report.Report{}, ctx.Err()
				}
			}
			in.Want = report.Mass // enough for a report that is complete by the frame alone
			r, err := report.Frame(context.Background(), in)
			return r, err
		},
		follow: func(_ context.Context, r report.Report) (report.Report, error) {
			f.follows.Add(1)
			return r, nil
		},
	}
}

// moved is an edit that puts the work zero to x.
func moved(x float64) plate.Edit {
	return plate.Replace("move of work zero", func(p *plate.Plate) { p.Machining.ZeroX = x })
}

func setRim(width float64) plate.Edit {
	return plate.Replace("change of rim", func(p *plate.Plate) { p.Rim = width })
}

func setCorner(i int, c plate.Corner) plate.Edit {
	return plate.Replace("change of outline corner", func(p *plate.Plate) { p.Outline.Corners[i] = c })
}

func moveBore(id plate.ID, x, y float64) plate.Edit {
	e := plate.Replace("move of bore", func(p *plate.Plate) {
		for i := range p.Bores {
			if b := &p.Bores[i]; b.ID == id {
				b.X, b.Y = x, y
			}
		}
	})
	e.Feature = id
	return e
}
