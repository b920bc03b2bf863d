package sparse

import (
	"context"
	"math"
)

// Condition estimates the condition number of the stiffness of the free unknowns
// in the 1-norm, with every unknown scaled to a stiffness of 1 of its own. Times
// the backward error it bounds the relative error of the displacements. The
// estimate is a lower bound, nearly always within a factor of three. It takes
// about ten solutions.
func (f *Factor) Condition(ctx context.Context) (float64, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	if f.panels == nil {
		return 0, ErrReleased
	}
	c := newCrew(ctx, f.sym.opts.Workers)
	x, y := newSweeper(f, c, 1), newSweeper(f, c, 1)
	v := x.vectors[0]
	norm := f.estimateNorm(func(u []float64) {
		clear(v)
		for k, s := range f.scale {
			v[k] = s * u[k]
		}
		x.multiply(y)
		for k, s := range f.scale {
			u[k] = s * y.vectors[0][k]
		}
	})
	inverse := f.estimateNorm(func(u []float64) {
		clear(v)
		for k, s := range f.scale {
			v[k] = u[k] / s
		}
		x.solve()
		for k, s := range f.scale {
			u[k] = v[k] / s
		}
	})
	if c.ended.Load() {
		return 0, ctx.Err()
	}
	return norm * inverse, nil
}

// estimateNorm estimates the 1-norm of a symmetric matrix from its products
// (Hager's method with Higham's test vector: Higham, algorithm 15.1).
func (f *Factor) estimateNorm(product func(u []float64)) float64 {
	n := f.sym.free
	if n == 0 {
		return 1
	}
	u := make([]float64, n)
	for k := range u {
		u[k] = 1 / float64(n)
	}
	best, at := 0.0, -1
	for range 5 {
		product(u)
		sum := 0.0
		for k, x := range u {
			sum += math.Abs(x)
			u[k] = math.Copysign(1, x)
		}
		if sum <= best {
			break
		}
		best = sum
		product(u)
		next, largest := 0, 0.0
		for k, x := range u {
			if math.Abs(x) > largest {
				next, largest = k, math.Abs(x)
			}
		}
		if next == at {
			break
		}
		at = next
		clear(u)
		u[at] = 1
	}
	for k := range u {
		u[k] = 1 + float64(k)/float64(max(n-1, 1))
		if k&1 == 1 {
			u[k] = -u[k]
		}
	}
	product(u)
	sum := 0.0
	for _, x := range u {
		sum += math.Abs(x)
	}
	return max(best, 2*sum/(3*float64(n)))
}
