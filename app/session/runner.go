package session

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"
)

// runner computes something for the newest generation of the document on a goroutine of its own. Of what is submitted the
// latest wins. A run that is young when something newer comes may finish first, so that figures follow a drag instead of
// waiting for its end; after patience it is cancelled and given up, whether it listens to its context or not.
//
// What a run returns is posted to the owner with the generation that it was computed for, in growing order and at most
// once each; runs that were given up are dropped.
type runner[I, O any] struct {
	what     string // for the report of a panic
	compute  func(context.Context, I) (O, error)
	deliver  func(generation uint64, out O, err error) // on the owner's goroutine
	post     func(func())
	patience time.Duration
	base     context.Context

	mu      sync.Mutex // guards what follows
	running *run
	waiting *submission[I]
	timer   *time.Timer // gives up the running one
	posted  int         // results on their way to the owner
	closed  bool
	alive   sync.WaitGroup

	last uint64 // generation last delivered; the owner's goroutine only
}

type run struct {
	cancel  context.CancelFunc
	started time.Time
}

type submission[I any] struct {
	generation uint64
	in         I
}

// submit asks for the computation of a generation, which must grow from call to call.
func (r *runner[I, O]) submit(generation uint64, in I) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return
	}
	r.waiting = &submission[I]{generation, in}
	if r.running == nil {
		r.start()
		return
	}
	rest := r.patience - time.Since(r.running.started)
	if rest <= 0 {
		r.giveUp()
		return
	}
	if r.timer == nil {
		current := r.running
		r.timer = time.AfterFunc(rest, func() {
			r.mu.Lock()
			defer r.mu.Unlock()
			if r.running == current && r.waiting != nil && !r.closed {
				r.giveUp()
			}
		})
	}
}

// giveUp cancels the running computation and starts the waiting one. mu is held.
func (r *runner[I, O]) giveUp() {
	r.running.cancel()
	r.start()
}

// start runs what waits. mu is held.
func (r *runner[I, O]) start() {
	if r.timer != nil {
		r.timer.Stop()
		r.timer = nil
	}
	s := r.waiting
	r.waiting = nil
	ctx, cancel := context.WithCancel(r.base)
	me := &run{cancel: cancel, started: time.Now()}
	r.running = me
	r.alive.Go(func() {
		defer cancel()
		out, err := guarded(r.what, func() (O, error) { return r.compute(ctx, s.in) })
		r.finish(me, s.generation, out, err)
	})
}

func (r *runner[I, O]) finish(me *run, generation uint64, out O, err error) {
	r.mu.Lock()
	if r.running != me { // given up
		r.mu.Unlock()
		return
	}
	r.running = nil
	drop := r.closed || errors.Is(err, context.Canceled)
	if !drop {
		r.posted++
	}
	switch {
	case r.waiting != nil:
		r.start()
	case r.timer != nil:
		r.timer.Stop()
		r.timer = nil
	}
	r.mu.Unlock()
	if drop {
		return
	}
	r.post(func() {
		r.mu.Lock()
		r.posted--
		r.mu.Unlock()
		if generation > r.last {
			r.last = generation
			r.deliver(generation, out, err)
		}
	})
}

// busy tells whether anything runs, waits, or has not been delivered yet.
func (r *runner[I, O]) busy() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.running != nil || r.waiting != nil || r.posted > 0
}

// close cancels and delivers nothing more. It does not wait.
func (r *runner[I, O]) close() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.closed, r.waiting = true, nil
	if r.timer != nil {
		r.timer.Stop()
	}
	if r.running != nil {
		r.running.cancel()
	}
}

// PanicError is a fault of the program, caught so that the document is not lost: what was being done, and where it broke.
type PanicError struct {
	Doing string
	Value any
	Stack string
}

func (e *PanicError) Error() string {
	return fmt.Sprintf("a fault of the program while %s: %v; the document is unharmed, undo the last change and report the fault",
		e.Doing, e.Value)
}

// guarded calls f and turns a panic into a *PanicError.
func guarded[O any](doing string, f func() (O, error)) (out O, err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &PanicError{Doing: doing, Value: v, Stack: string(debug.Stack())}
		}
	}()
	return f()
}
