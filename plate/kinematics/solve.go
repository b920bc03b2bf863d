package kinematics

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/set"
)

// Quantity is a figure of the machine that a setting can be sought for.
type Quantity string

// The quantities, in the units of Machine.
const (
	Trail      Quantity = "trail"
	RideHeight Quantity = "ride height"
	HeadAngle  Quantity = "head angle"
	Wheelbase  Quantity = "wheelbase"
	Clearance  Quantity = "ground clearance"
)

// Quantities lists all quantities.
func Quantities() []Quantity {
	return []Quantity{Trail, RideHeight, HeadAngle, Wheelbase, Clearance}
}

// of takes the quantity from a machine; nil when it is not known.
func (q Quantity) of(m *Machine) *float64 {
	if m == nil {
		return nil
	}
	switch q {
	case Trail:
		return m.Trail
	case RideHeight:
		return m.RideHeight
	case HeadAngle:
		return m.HeadDeg
	case Wheelbase:
		return m.Wheelbase
	case Clearance:
		return m.Clearance
	}
	return nil
}

// Solution is a state of one adjuster that gives what is wanted.
type Solution struct {
	Value set.Value // of the adjuster
	Got   float64   // the quantity there; with a clocked ring the nearest that bolts allow
	Row   Row       // the whole setting
}

// RangeError says that a quantity cannot be had by an adjuster.
type RangeError struct {
	Quantity    Quantity
	Adjuster    string
	Wanted      float64
	Least, Most float64 // what the adjuster reaches
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("kinematics: %s reaches a %s of %.4g to %.4g, and %.4g is wanted; change the range of the adjuster or set another one with it",
		e.Adjuster, e.Quantity, e.Least, e.Most, e.Wanted)
}

// Solve finds the states of one adjuster at which the quantity is as wanted, the other adjusters staying as the state says. An
// eccentric is sought over its whole turn and mostly has two solutions; a slot over its length; a clocked ring has only the
// angles at which enough bolts fit, and the nearest of these is given. The error is a *RangeError when the wanted value lies
// outside what the adjuster reaches.
func Solve(ctx context.Context, l *set.Loaded, state set.State, adjuster set.Ref, q Quantity, want float64) ([]Solution, error) {
	if !slices.Contains(Quantities(), q) {
		return nil, fmt.Errorf("kinematics: the quantity %q is not one of %q", q, Quantities())
	}
	if math.IsNaN(want) || math.IsInf(want, 0) {
		return nil, fmt.Errorf("kinematics: a %s of %g is wanted; give a number", q, want)
	}
	s := &solver{ctx: ctx, full: l, base: state, at: adjuster, q: q, want: want}
	s.lite = *l
	if q != Clearance { // outlines matter to nothing else
		s.lite.Shapes = make([]set.Shape, len(l.Parts))
	}
	if err := s.find(); err != nil {
		return nil, err
	}
	if s.ring != nil {
		return s.clocked()
	}
	return s.continuous()
}

// solver holds one search.
type solver struct {
	ctx      context.Context
	full     *set.Loaded
	lite     set.Loaded
	base     set.State
	at       set.Ref
	q        Quantity
	want     float64
	name     string
	angle    bool // the adjuster's state is an angle
	low      float64
	high     float64
	ring     *plate.ClockedRing
	why      error // why the quantity could not be measured, the first time
	measured int   // how often, for tests of the bound
}

// find looks the adjuster up and sets its range.
func (s *solver) find() error {
	i := s.full.Part(s.at.Part)
	if i < 0 {
		return fmt.Errorf("kinematics: the set has no part %q; name one of its parts", s.at.Part)
	}
	p := s.full.Plates[i]
	for j, c := range p.Rings {
		if c.ID == s.at.Feature {
			s.ring, s.angle, s.name = &p.Rings[j], true, fmt.Sprintf("clocked ring %q", c.Name)
			return nil
		}
	}
	for _, e := range p.Eccentrics {
		if e.ID == s.at.Feature {
			s.angle, s.low, s.high, s.name = true, 0, 360, fmt.Sprintf("eccentric %q", e.Name)
			return nil
		}
	}
	for _, t := range p.Slots {
		if t.ID == s.at.Feature && t.Adjusting {
			s.low, s.high, s.name = -t.Length/2, t.Length/2, fmt.Sprintf("slot %q", t.Name)
			return nil
		}
	}
	return fmt.Errorf("kinematics: feature %d of part %q is not an adjuster; name a clocked ring, an eccentric or an adjusting slot", s.at.Feature, s.at.Part)
}

func (s *solver) value(x float64) set.Value {
	v := set.Value{Adjuster: s.at}
	if s.angle {
		v.AngleDeg = x
	} else {
		v.Position = x
	}
	return v
}

func (s *solver) state(x float64) set.State {
	state := make(set.State, len(s.base)+1)
	for r, v := range s.base {
		state[r] = v
	}
	state[s.at] = s.value(x)
	return state
}

// measure is the quantity less what is wanted; NaN when it cannot be measured.
func (s *solver) measure(x float64) float64 {
	s.measured++
	state := s.state(x)
	poses, err := s.lite.Poses(state)
	var problems []string
	var m *Machine
	if err == nil {
		m, _, problems = machineOf(&s.lite, state, poses)
	}
	if v := s.q.of(m); v != nil {
		return *v - s.want
	}
	if s.why == nil {
		switch {
		case err != nil:
			s.why = err
		case len(problems) > 0:
			s.why = errors.New(problems[0])
		default:
			s.why = errors.New("the set does not say enough: mark front and rear wheel, steering axis or ride height")
		}
	}
	return math.NaN()
}

func (s *solver) solution(x float64) Solution {
	return Solution{s.value(x), s.measure(x) + s.want, rowOf(s.full, wanted{fmt.Sprintf("%s %.6g", s.q, s.want), "", s.state(x)})}
}

// unmeasured is the error when the quantity is known nowhere.
func (s *solver) unmeasured() error {
	return fmt.Errorf("kinematics: the %s cannot be measured: %w", s.q, s.why)
}

// clocked looks at every angle at which enough bolts fit.
func (s *solver) clocked() ([]Solution, error) {
	own, mate := RingsOf(*s.ring)
	all, err := Clock(own, mate, DefaultDeg)
	if err != nil {
		return nil, err
	}
	best, bestDeg := math.Inf(1), 0.0
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range all {
		if err := s.ctx.Err(); err != nil {
			return nil, err
		}
		if p.Bolts < max(1, s.ring.LeastBolts) {
			continue
		}
		d := s.measure(p.AngleDeg)
		if math.IsNaN(d) { // an angle at which the machine does not stand
			continue
		}
		least, most = min(least, d), max(most, d)
		if math.Abs(d) < math.Abs(best) {
			best, bestDeg = d, p.AngleDeg
		}
	}
	switch {
	case math.IsInf(best, 0) && s.why != nil:
		return nil, s.unmeasured()
	case math.IsInf(best, 0):
		return nil, fmt.Errorf("kinematics: %s holds by %d bolts at no angle", s.name, max(1, s.ring.LeastBolts))
	case least > 0 && !closeTo(least) || most < 0 && !closeTo(most):
		return nil, &RangeError{s.q, s.name, s.want, least + s.want, most + s.want}
	}
	return []Solution{s.solution(bestDeg)}, nil
}

// closeTo says whether a difference is within rounding, in mm or degrees.
func closeTo(d float64) bool { return math.Abs(d) < 1e-6 }

// continuous scans the range in steps, halves every step across which the sign changes, and looks closer at the extremes, which
// a wanted value may just touch.
func (s *solver) continuous() ([]Solution, error) {
	const steps = 360
	x := func(i int) float64 { return s.low + (s.high-s.low)*float64(i)/steps }
	d := make([]float64, steps+1)
	least, most := -1, -1 // where the extremes are
	for i := range d {
		if err := s.ctx.Err(); err != nil {
			return nil, err
		}
		if d[i] = s.measure(x(i)); math.IsNaN(d[i]) {
			continue
		}
		if least < 0 || d[i] < d[least] {
			least = i
		}
		if most < 0 || d[i] > d[most] {
			most = i
		}
	}
	if least < 0 {
		return nil, s.unmeasured()
	}
	var at []float64
	for i := range steps {
		switch {
		case d[i] == 0:
			at = append(at, x(i))
		case d[i]*d[i+1] < 0:
			at = append(at, s.halve(x(i), x(i+1), d[i]))
		}
	}
	if !s.angle && d[steps] == 0 { // a turn ends where it begins
		at = append(at, x(steps))
	}
	if len(at) == 0 {
		v, err := s.touch([2]float64{x(least - 1), x(least + 1)}, [2]float64{x(most - 1), x(most + 1)})
		if err != nil {
			return nil, err
		}
		at = append(at, v)
	}
	var out []Solution
	for _, v := range at {
		out = append(out, s.solution(v))
	}
	return out, nil
}

// touch looks at the extremes, each known to lie between two states: the wanted value may be one of them, else it is out of
// range.
func (s *solver) touch(least, most [2]float64) (float64, error) {
	xl, low := s.extreme(least[0], least[1], 1)
	xm, high := s.extreme(most[0], most[1], -1)
	switch {
	case closeTo(low):
		return xl, nil
	case closeTo(high):
		return xm, nil
	}
	return 0, &RangeError{s.q, s.name, s.want, low + s.want, high + s.want}
}

// halve closes in on a change of sign.
func (s *solver) halve(a, b, atA float64) float64 {
	for range 60 {
		mid := (a + b) / 2
		d := s.measure(mid)
		if d == 0 {
			return mid
		}
		if (d < 0) == (atA < 0) {
			a = mid
		} else {
			b = mid
		}
	}
	return (a + b) / 2
}

// extreme closes in on the least (sign 1) or the greatest (−1) difference between a and b by golden sections. A slot is not
// left; an eccentric turns on.
func (s *solver) extreme(a, b, sign float64) (x, d float64) {
	if !s.angle {
		a, b = max(a, s.low), min(b, s.high)
	}
	f := func(x float64) float64 {
		if v := s.measure(x); !math.IsNaN(v) {
			return sign * v
		}
		return math.Inf(1)
	}
	const golden = 0.6180339887498949 // (√5 − 1)/2
	for range 60 {
		w := golden * (b - a)
		if f(b-w) <= f(a+w) {
			b = a + w
		} else {
			a = b - w
		}
	}
	best, at := f((a+b)/2), (a+b)/2
	for _, e := range []float64{a, b, s.low, s.high} { // the ends of a slot are extremes of their own
		if v := f(e); v < best {
			best, at = v, e
		}
	}
	return at, sign * best
}
