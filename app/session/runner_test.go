package session

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

type delivery struct {
	generation uint64
	out        int
	err        error
}

// newTestRunner computes its input after so many milliseconds.
func newTestRunner(l *loop, patience time.Duration, deaf bool) (*runner[int, int], *[]delivery) {
	got := &[]delivery{}
	r := &runner[int, int]{
		what: "waiting", post: l.post, patience: patience, base: context.Background(),
		compute: func(ctx context.Context, ms int) (int, error) {
			if ms < 0 {
				panic("negative")
			}
			d := time.Duration(ms) * time.Millisecond
			if deaf {
				time.Sleep(d)
				return ms, nil
			}
			select {
			case <-time.After(d):
				return ms, nil
			case <-ctx.Done():
				return 0, ctx.Err()
			}
		},
		deliver: func(g uint64, out int, err error) { *got = append(*got, delivery{g, out, err}) },
	}
	return r, got
}

func generations(ds []delivery) []uint64 {
	var out []uint64
	for _, d := range ds {
		out = append(out, d.generation)
	}
	return out
}

// Without patience the newest cancels all before it.
func TestLatestWins(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLoop()
		r, got := newTestRunner(l, 0, false)
		for g := uint64(1); g <= 50; g++ {
			r.submit(g, 1000-int(g)) // later ones would finish sooner
			time.Sleep(time.Millisecond)
		}
		time.Sleep(2 * time.Second)
		l.rest()
		if g := generations(*got); !slices.Equal(g, []uint64{50}) {
			t.Errorf("delivered %v, want [50]", g)
		}
		r.close()
		r.alive.Wait()
	})
}

// A computation that ignores its context must not deliver when it is out of date, nor hold up the newest.
func TestDeafComputation(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLoop()
		r, got := newTestRunner(l, 100*time.Millisecond, true)
		r.submit(1, 60_000)
		r.submit(2, 10)
		time.Sleep(200 * time.Millisecond)
		l.rest()
		if g := generations(*got); !slices.Equal(g, []uint64{2}) {
			t.Errorf("delivered %v after 200 ms, want [2]", g)
		}
		time.Sleep(2 * time.Minute)
		l.rest()
		if g := generations(*got); !slices.Equal(g, []uint64{2}) {
			t.Errorf("delivered %v after the deaf one ended, want [2]", g)
		}
		r.close()
		r.alive.Wait()
	})
}

// With patience a drag of 16 ms steps over a computation of 40 ms shows pictures all along, in order, the last one right.
func TestPatienceFollowsADrag(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLoop()
		r, got := newTestRunner(l, 250*time.Millisecond, false)
		for g := uint64(1); g <= 100; g++ {
			r.submit(g, 40)
			time.Sleep(16 * time.Millisecond)
			l.drain()
		}
		time.Sleep(time.Second)
		l.rest()
		g := generations(*got)
		if !slices.IsSorted(g) || len(g) == 0 || g[len(g)-1] != 100 {
			t.Errorf("delivered %v, want growing up to 100", g)
		}
		if len(g) < 25 || len(g) > 60 {
			t.Errorf("%d results in a drag of 1.6 s over runs of 40 ms, want about 40", len(g))
		}
		r.close()
		r.alive.Wait()
	})
}

// Results that were posted out of order (two workers racing to the queue) are delivered in order or not at all.
func TestDeliveryGrows(t *testing.T) {
	l := newLoop()
	r, got := newTestRunner(l, 0, true)
	r.last = 7
	r.submit(5, 0)
	for r.busy() {
		(<-l.queue)()
	}
	if len(*got) != 0 {
		t.Errorf("generation 5 was delivered after 7: %v", *got)
	}
	r.close()
	r.alive.Wait()
}

func TestPanicBecomesAnError(t *testing.T) {
	l := newLoop()
	r, got := newTestRunner(l, time.Hour, false)
	r.submit(1, -1)
	for r.busy() {
		(<-l.queue)()
	}
	var p *PanicError
	if len(*got) != 1 || !errors.As((*got)[0].err, &p) {
		t.Fatalf("delivered %v, want one *PanicError", *got)
	}
	if p.Doing != "waiting" || p.Value != "negative" || !strings.Contains(p.Stack, "runner_test.go") {
		t.Errorf("the report says doing %q, value %v, stack %q", p.Doing, p.Value, p.Stack)
	}
	if !strings.Contains(p.Error(), "waiting") || !strings.Contains(p.Error(), "negative") {
		t.Errorf("the error reads %q", p.Error())
	}
	r.submit(2, 1) // the runner lives on
	for r.busy() {
		(<-l.queue)()
	}
	if n := len(*got); n != 2 || (*got)[1].out != 1 {
		t.Errorf("after the panic delivered %v", *got)
	}
	r.close()
	r.alive.Wait()
}

// After close nothing is delivered and nothing is left running.
func TestCloseCancels(t *testing.T) {
	l := newLoop()
	r, got := newTestRunner(l, time.Hour, false)
	r.submit(1, 3_600_000)
	r.submit(2, 3_600_000)
	r.close()
	r.alive.Wait()
	r.submit(3, 0)
	l.drain()
	if len(*got) != 0 || r.busy() {
		t.Errorf("after close delivered %v, busy %v", *got, r.busy())
	}
}
