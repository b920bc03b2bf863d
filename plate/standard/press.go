package standard

import (
	"errors"
	"fmt"
	"math"
)

// Press is a ring pressed into a round boss, both elastic. Lengths mm, moduli MPa.
type Press struct {
	Diameter     float64 // of the seat, d
	Outer        float64 // outside diameter of the boss, D; must be larger
	Inner        float64 // inside diameter of the ring, 0 for a solid plug; for a bearing's outer ring about its raceway
	Interference float64 // on the diameter, δ ≥ 0
	BossE        float64 // Young's modulus of the boss
	BossNu       float64 // Poisson's ratio of the boss, in [0, 0.5)
	RingE        float64
	RingNu       float64
}

// PressStress is what a press fit does to both parts, MPa and mm.
type PressStress struct {
	Pressure float64 // between ring and boss
	Hoop     float64 // tension round the bore of the boss, its greatest stress
	VonMises float64 // at the bore of the boss
	RingHoop float64 // at the inside of the ring (at the outside of a solid plug); compression is negative
	BossGrow float64 // by how much the bore of the boss grows on the diameter
	RingGive float64 // by how much the ring shrinks on its outside diameter, by which a bearing loses clearance
}

// Stress is Lamé's thick-ring solution in plane stress: p = δ / (d (Co/Eo + Ci/Ei)) with Co = (D²+d²)/(D²−d²) + νo and
// Ci = (d²+di²)/(d²−di²) − νi; the hoop stress at the bore is p (D²+d²)/(D²−d²). See any text on machine elements, e.g.
// Shigley, "press and shrink fits". A boss that is not round, or stands next to a pocket, is weaker.
func (p Press) Stress() (PressStress, error) {
	if err := p.check(); err != nil {
		return PressStress{}, err
	}
	d2 := p.Diameter * p.Diameter
	boss := (p.Outer*p.Outer + d2) / (p.Outer*p.Outer - d2)
	ring := (d2 + p.Inner*p.Inner) / (d2 - p.Inner*p.Inner)
	grow, give := p.Diameter*(boss+p.BossNu)/p.BossE, p.Diameter*(ring-p.RingNu)/p.RingE
	q := p.Interference / (grow + give)
	s := PressStress{Pressure: q, Hoop: q * boss, BossGrow: q * grow, RingGive: q * give}
	s.VonMises = math.Sqrt(s.Hoop*s.Hoop + s.Hoop*q + q*q) // radial stress is −q
	s.RingHoop = -q
	if p.Inner > 0 {
		s.RingHoop = -2 * q * d2 / (d2 - p.Inner*p.Inner)
	}
	return s, nil
}

func (p Press) check() error {
	for _, v := range []float64{p.Diameter, p.Outer, p.Inner, p.Interference, p.BossE, p.BossNu, p.RingE, p.RingNu} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return errors.New("standard: a press fit has a value that is not a number")
		}
	}
	switch {
	case !(p.Diameter > 0):
		return fmt.Errorf("standard: the seat of a press fit has the diameter %g mm; it must be above 0", p.Diameter)
	case p.Outer <= p.Diameter:
		return fmt.Errorf("standard: the boss of a press fit is %g mm across, no more than its seat of %g mm", p.Outer, p.Diameter)
	case p.Inner < 0 || p.Inner >= p.Diameter:
		return fmt.Errorf("standard: the ring of a press fit has the inside diameter %g mm; it must be from 0 to below %g mm", p.Inner, p.Diameter)
	case p.Interference < 0:
		return fmt.Errorf("standard: the interference is %g mm; a fit with clearance presses nothing", p.Interference)
	case !(p.BossE > 0) || !(p.RingE > 0):
		return errors.New("standard: Young's modulus of boss and ring must be above 0 MPa")
	case p.BossNu < 0 || p.BossNu >= 0.5 || p.RingNu < 0 || p.RingNu >= 0.5:
		return errors.New("standard: Poisson's ratio of boss and ring must be from 0 to below 0.5")
	}
	return nil
}

// LeastBoss is the least outside diameter in mm of the boss at which the hoop stress stays at the allowable MPa, found by
// bisection; the error says so when no boss is strong enough.
func (p Press) LeastBoss(allowable float64) (float64, error) {
	hoop := func(outer float64) float64 {
		p.Outer = outer
		s, err := p.Stress()
		if err != nil {
			return math.NaN()
		}
		return s.Hoop
	}
	low, high := p.Diameter*(1+1e-6), p.Diameter*100
	if h := hoop(high); !(h <= allowable) { // also when the fit itself is wrong
		p.Outer = high
		if _, err := p.Stress(); err != nil {
			return 0, err
		}
		return 0, fmt.Errorf("standard: the hoop stress is %.3g MPa in a boss however wide, above the %.3g MPa allowed; choose a looser fit", h, allowable)
	}
	if hoop(low) <= allowable {
		return low, nil
	}
	for range 60 {
		if mid := (low + high) / 2; hoop(mid) > allowable {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}
