package sparse

import (
	"context"
	"sync"
	"sync/atomic"
)

// crew is the goroutines of one call. There is always the one that called; the
// others are started where there is work for them and a token is free.
type crew struct {
	ctx    context.Context
	tokens chan struct{}
	ended  atomic.Bool // ctx was found to be done
	panics atomic.Pointer[any]
}

func newCrew(ctx context.Context, workers int) *crew {
	return &crew{ctx: ctx, tokens: make(chan struct{}, workers-1)}
}

// done looks at the context. Between two looks of a goroutine lies a bounded
// amount of work: one element, one tile of a front (see tile), or the assembly of
// one row of tiles.
func (c *crew) done() bool {
	if c.ended.Load() {
		return true
	}
	if c.ctx.Err() != nil {
		c.ended.Store(true)
		return true
	}
	return false
}

// each calls f for 0…n−1, on as many goroutines as are free, and waits. The calls
// must not depend on each other. After the context is done the rest is left out.
func (c *crew) each(n int, f func(i int)) {
	var next atomic.Int64
	run := func() {
		for {
			i := int(next.Add(1)) - 1
			if i >= n || c.done() {
				return
			}
			f(i)
		}
	}
	var wg sync.WaitGroup
	for k := 1; k < n; k++ {
		if !c.start(&wg, run) {
			break
		}
	}
	run()
	wg.Wait()
}

// start runs f on a goroutine of its own, if one is free. If f panics the work is
// ended, and rethrow panics in its stead.
func (c *crew) start(wg *sync.WaitGroup, f func()) bool {
	select {
	case c.tokens <- struct{}{}:
	default:
		return false
	}
	wg.Add(1)
	go func() {
		defer wg.Done()
		defer func() {
			if p := recover(); p != nil {
				c.panics.CompareAndSwap(nil, &p)
				c.ended.Store(true)
			}
			<-c.tokens
		}()
		f()
	}()
	return true
}

// rethrow panics on the goroutine of the call if another one did, where the
// program can deal with it.
func (c *crew) rethrow() {
	if p := c.panics.Load(); p != nil {
		panic(*p)
	}
}
