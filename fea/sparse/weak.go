package sparse

import "math"

// A stiffness without enough supports is singular, but rounding makes it a regular
// one whose weakest motion has a stiffness of some 1e-17 of its unknowns' own.
// The pivots need not show it: where the motion moves the last unknown by 1e-4 of
// what it moves others, the pivot there is 1e8 times the stiffness of the motion.
// Two steps of inverse iteration do show it, at the price of two solutions.

const (
	// doubtful is the least pivot, as a share of its diagonal, from which the
	// weakest motion is looked at. A hinged plate of 40 × 80 cells, 0.01 thick,
	// leaves 5e-9; the rounding error of a pivot is at most about
	// u·Σ zᵢ² for the motion z that moves its unknown by 1 (every unknown scaled
	// to a stiffness of 1), 1e-16 · 10⁵ unknowns · (10³)² / 10 at the worst.
	doubtful = 1e-4
	// weakFloor is the stiffness of the weakest motion, every unknown scaled to
	// a stiffness of 1, below which nothing of a solution is right: nine units of
	// rounding. Rounding leaves less than one of a motion without stiffness; the
	// plates of the tests have 1e-13 and more at span/thickness 10⁴.
	weakFloor = 1e-15
)

// checkWeakest estimates the weakest motion and returns a *SingularError, with the
// unknown that it moves most, if it has no stiffness.
func (f *Factor) checkWeakest(c *crew) error {
	s := newSweeper(f, c, 1)
	v := s.vectors[0][:f.sym.free]
	for k := range v {
		// A fixed sequence of signs: odd multiples of the golden ratio.
		sign := float64(1 - 2*int(uint64(k)*0x9e3779b97f4a7c15>>63))
		v[k] = sign / f.scale[k] / math.Sqrt(float64(len(v)))
	}
	stiffness := 0.0
	for range 2 {
		s.solve()
		if c.done() {
			return c.ctx.Err()
		}
		sum := 0.0
		for k, x := range v {
			sum += x / f.scale[k] * (x / f.scale[k])
		}
		stiffness = 1 / math.Sqrt(sum)
		for k, scale := range f.scale {
			v[k] *= stiffness / scale / scale
		}
	}
	if stiffness > weakFloor {
		return nil
	}
	most, largest := 0, 0.0
	for k, x := range v {
		if x := math.Abs(x * f.scale[k]); x > largest {
			most, largest = k, x
		}
	}
	return f.sym.singular(most, stiffness*f.diagonal[most], f.diagonal[most])
}
