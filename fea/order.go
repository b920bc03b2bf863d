package fea

import (
	"context"
	"sync"

	"platewright/fea/sparse"
)

// orders keeps the orders of elimination of a coarse model for the models of the next
// steps of a drag, whose meshes follow: they hold as long as supports hold the same
// nodes.
type orders struct {
	mu   sync.Mutex
	list []*sparse.Symbolic // guarded by mu; the newest last
}

// mostOrders bounds what is kept: one for every set of supports and setting that the
// load cases name.
const mostOrders = 8

// order lays out the equations of a pattern, or finds them laid out.
func (m *Model) order(ctx context.Context, p *sparse.Pattern) (*sparse.Symbolic, error) {
	if !m.Coarse {
		return sparse.Analyse(ctx, *p, sparse.Options{Workers: m.o.Workers})
	}
	if s := m.orders.find(p); s != nil {
		return s, nil
	}
	s, err := sparse.Analyse(ctx, *p, sparse.Options{Workers: m.o.Workers, GoodError: coarseError})
	if err == nil {
		m.orders.keep(s)
	}
	return s, err
}

// coarseError is the backward error with which a solution of a coarse model is not
// corrected any more. A first solution has one of 1e-14 or so.
const coarseError = 1e-11

func (o *orders) find(p *sparse.Pattern) *sparse.Symbolic {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, s := range o.list {
		if s.Serves(p) {
			return s
		}
	}
	return nil
}

func (o *orders) keep(s *sparse.Symbolic) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if len(o.list) == mostOrders {
		o.list = append(o.list[:0:0], o.list[1:]...)
	}
	o.list = append(o.list, s)
}
