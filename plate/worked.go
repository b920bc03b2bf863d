package plate

import (
	"errors"
	"fmt"
	"math"
)

// StandardGravity is g in m/s², as defined by the 3rd General Conference on Weights and Measures (1901).
const StandardGravity = 9.80665

// WorkedForce is one result of a worked sum.
type WorkedForce struct {
	Name  string  // what it is and where it acts
	Value float64 // N; a moment N·mm
	Unit  string  // "N" or "N·mm"
}

// Work is the worked sum of a case's origin: the forces on the plate, that is, on the whole machine times the plate's
// share, and the lines of the sum for people to check. With m the mass, g standard gravity, n the acceleration or shock
// factor G, L the wheelbase, c the distance of the centre of mass behind the front axle and h its height:
//
//   - braking: F = n·m·g along the ground; the load on the front wheels is m·g·(L − c)/L + F·h/L, on the rear ones
//     m·g·c/L − F·h/L. Where that is below zero the rear wheels lift first: the sum is an error that gives the n at which
//     they do.
//   - cornering: F = n·m·g sideways, shared by the axles as the weight is, (L − c)/L in front, beside the static loads; it
//     turns the machine over with F·h.
//   - kerb strike: the static load on the front wheels, m·g·(L − c)/L, times the shock factor n, along the ground and
//     upwards alike.
//   - drop: the weight m·g times the shock factor n, upwards.
//
// These are the elementary sums of vehicle statics; shock factors are assumptions of the user.
func (o Origin) Work() ([]WorkedForce, []string, error) {
	if o.Kind != Worked {
		return nil, nil, fmt.Errorf("the origin is %s, not a worked sum", o.Kind)
	}
	if err := o.complete(); err != nil {
		return nil, nil, err
	}
	s := sum{o: o, weight: o.Mass * StandardGravity}
	s.line("weight: %.6g kg · %.5f m/s² = %.6g N", o.Mass, StandardGravity, s.weight)
	var err error
	switch o.Event {
	case Braking:
		err = s.braking()
	case Cornering:
		s.cornering()
	case KerbStrike:
		s.kerb()
	case Drop:
		s.line("drop: %.4g · weight = %.6g N", o.G, o.G*s.weight)
		s.force("upwards", o.G*s.weight, "N")
	default:
		err = fmt.Errorf("there is no worked sum for %q", o.Event)
	}
	if err != nil {
		return nil, nil, err
	}
	return s.forces, s.lines, nil
}

// complete says which figure a worked sum lacks.
func (o Origin) complete() error {
	for _, f := range []struct {
		name  string
		value float64
		limit limit
	}{{"the mass", o.Mass, vehicleMass}, {"the acceleration or shock factor", o.G, shock}, {"the plate's share", o.Share, shareOf}} {
		if !f.limit.holds(f.value) {
			return fmt.Errorf("%s is %v", f.name, f.value)
		}
	}
	if o.Event == Drop {
		return nil
	}
	if !(o.Wheelbase > 0) || math.IsInf(o.Wheelbase, 0) {
		return errors.New("the wheelbase is missing")
	}
	if !(o.CentreX >= 0 && o.CentreX <= o.Wheelbase) {
		return fmt.Errorf("the centre of mass is %v mm behind the front axle, not between the axles", o.CentreX)
	}
	if o.Event != KerbStrike && !(o.CentreHeight > 0 && finite(o.CentreHeight)) {
		return errors.New("the height of the centre of mass is missing")
	}
	return nil
}

// sum collects the results and lines of a worked sum.
type sum struct {
	o      Origin
	weight float64 // N
	forces []WorkedForce
	lines  []string
}

func (s *sum) line(format string, args ...any) {
	s.lines = append(s.lines, fmt.Sprintf(format, args...))
}

// force adds a result: the whole machine's times the plate's share.
func (s *sum) force(name string, whole float64, unit string) {
	s.forces = append(s.forces, WorkedForce{name, whole * s.o.Share, unit})
}

// front is the static load on the front wheels, N.
func (s *sum) front() float64 {
	o := s.o
	f := s.weight * (o.Wheelbase - o.CentreX) / o.Wheelbase
	s.line("static load in front: weight · (L − c)/L = %.6g · (%.6g − %.6g)/%.6g = %.6g N", s.weight, o.Wheelbase, o.CentreX, o.Wheelbase, f)
	return f
}

func (s *sum) braking() error {
	o := s.o
	front := s.front()
	f := o.G * s.weight
	s.line("braking force: %.4g · weight = %.6g N", o.G, f)
	moved := f * o.CentreHeight / o.Wheelbase
	s.line("load moved to the front: F · h/L = %.6g · %.6g/%.6g = %.6g N", f, o.CentreHeight, o.Wheelbase, moved)
	if rear := s.weight - front; moved > rear {
		return fmt.Errorf("braking with %.4g g lifts the rear wheels, which happens at c/h = %.4g g: give at most that", o.G, o.CentreX/o.CentreHeight)
	}
	s.force("braking force along the ground", f, "N")
	s.force("load on the front wheels", front+moved, "N")
	s.force("load on the rear wheels", s.weight-front-moved, "N")
	return nil
}

func (s *sum) cornering() {
	o := s.o
	part := s.front() / s.weight
	f := o.G * s.weight
	s.line("side force: %.4g · weight = %.6g N, of it %.4g in front", o.G, f, part)
	s.line("overturning moment: F · h = %.6g · %.6g = %.6g N·mm", f, o.CentreHeight, f*o.CentreHeight)
	s.force("static load on the front wheels", s.weight*part, "N")
	s.force("static load on the rear wheels", s.weight*(1-part), "N")
	s.force("side force in front", f*part, "N")
	s.force("side force behind", f*(1-part), "N")
	s.force("overturning moment", f*o.CentreHeight, "N·mm")
}

func (s *sum) kerb() {
	f := s.o.G * s.front()
	s.line("kerb strike: %.4g · static load in front = %.6g N", s.o.G, f)
	s.force("backwards on the front wheels", f, "N")
	s.force("upwards on the front wheels", f, "N")
}

// sumMatch is how far a load may lie from a force of a worked sum and still be it: figures are entered rounded.
const sumMatch = 0.02

// BesideSum names the loads of a case that are none of the forces of its worked sum. A load is one of them where it, or all
// loads of the case in its direction together, is as large within 2 %, or as both axles' forces together; factors of loads
// count, that of the case does not.
// Clamping, acceleration and warmth are no part of a worked sum and are left out. Errors are those of Origin.Work.
func (c *LoadCase) BesideSum(loads []Load) ([]WorkedForce, error) {
	forces, _, err := c.Origin.Work()
	if err != nil {
		return nil, err
	}
	if o := c.Origin; o.Event == Braking || o.Event == Cornering { // both axles on one plate
		weight := o.Mass * StandardGravity * o.Share
		forces = append(forces, WorkedForce{"weight", weight, "N"}, WorkedForce{"force along the ground", o.G * weight, "N"})
	}
	one := func(size float64, unit string) bool {
		for _, f := range forces {
			if f.Unit == unit && math.Abs(size-f.Value) <= sumMatch*f.Value {
				return true
			}
		}
		return false
	}
	type vector struct {
		name string
		v    [3]float64
		unit string
	}
	var all []vector
	for _, lf := range c.Loads {
		for i := range loads {
			l := &loads[i]
			if l.ID != lf.Load {
				continue
			}
			switch l.Kind {
			case ClampForce, Acceleration, Temperature:
			case Moment:
				all = append(all, vector{l.Name, times(lf.Factor, l.Moment), "N·mm"})
			default:
				all = append(all, vector{l.Name, times(lf.Factor, l.Force), "N"})
			}
		}
	}
	var out []WorkedForce
	for _, a := range all {
		size, together := math.Hypot(math.Hypot(a.v[0], a.v[1]), a.v[2]), 0.0
		for _, b := range all {
			along := (a.v[0]*b.v[0] + a.v[1]*b.v[1] + a.v[2]*b.v[2]) / size
			if across := b.v[0]*b.v[0] + b.v[1]*b.v[1] + b.v[2]*b.v[2] - along*along; b.unit == a.unit && along > 0 && across <= 1e-6*along*along {
				together += along
			}
		}
		if size > 0 && !one(size, a.unit) && !one(together, a.unit) {
			out = append(out, WorkedForce{a.name, size, a.unit})
		}
	}
	return out, nil
}

func times(k float64, v [3]float64) [3]float64 { return [3]float64{k * v[0], k * v[1], k * v[2]} }
