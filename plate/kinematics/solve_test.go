package kinematics_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/kinematics"
	"platewright/plate/set"
)

// baseOffset finds the base offset in mm at which the machine, set down with the cam in its middle, has 4 in of trail.
func baseOffset(t *testing.T, axle plate.ID, state set.State) float64 {
	t.Helper()
	low, high := 0.0, 80.0
	for range 60 {
		mid := (low + high) / 2
		l := trike(t, axle)
		l.Plates[1].Bores[axle-3].X = mid
		l.Settings = []set.Setting{{Name: "s"}}
		for _, v := range state {
			l.Settings[0].Values = append(l.Settings[0].Values, v)
		}
		rows := table(t, l).Rows
		if *rows[len(rows)-1].Machine.Trail > 101.6 { // more offset, less trail
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// TestTrailInBothSettings solves for 3.5 to 4.5 in of trail at both clocked angles, each with its base offset, on the machine
// set down anew (common practice, no source, that both are kept with one eccentric).
func TestTrailInBothSettings(t *testing.T) {
	for _, c := range []struct {
		clocked float64
		axle    plate.ID
	}{{27, idNear}, {31, idFar}} {
		l := trike(t, c.axle)
		ring := set.Ref{Part: "side", Feature: idRing}
		state := set.State{ring: {Adjuster: ring, AngleDeg: c.clocked}}
		offset := baseOffset(t, c.axle, state)
		l.Plates[1].Bores[c.axle-3].X = offset
		for _, want := range []float64{3.5 * 25.4, 4 * 25.4, 4.5 * 25.4} {
			at := set.Ref{Part: "head", Feature: c.axle}
			got, err := kinematics.Solve(context.Background(), l, state, at, kinematics.Trail, want)
			if err != nil || len(got) != 2 {
				t.Errorf("clocked by %v°, trail %v: %d solutions, %v; want two", c.clocked, want, len(got), err)
				continue
			}
			for _, s := range got {
				if math.Abs(s.Got-want) > 1e-6 || math.Abs(*s.Row.Machine.Trail-want) > 1e-6 || s.Value.Adjuster != at {
					t.Errorf("clocked by %v°, cam at %v°: trail %v, want %v", c.clocked, s.Value.AngleDeg, s.Got, want)
				}
				if *s.Row.Adjusters[0].AngleDeg != c.clocked {
					t.Errorf("the clocked ring was moved to %v°", *s.Row.Adjusters[0].AngleDeg)
				}
			}
		}
		_, err := kinematics.Solve(context.Background(), l, state, set.Ref{Part: "head", Feature: c.axle}, kinematics.Trail, 200)
		var out *kinematics.RangeError
		if !errors.As(err, &out) || out.Least > 3.5*25.4 || out.Most < 4.5*25.4 || out.Most > 125 || offset < 10 || offset > 50 || !strings.Contains(err.Error(), "cam") {
			t.Errorf("a trail of 200 mm: %v; want an error that names cam and range", err)
		}
		// The ends of the range are reached, just.
		for _, end := range []float64{out.Least, out.Most} {
			if got, err := kinematics.Solve(context.Background(), l, state, set.Ref{Part: "head", Feature: c.axle}, kinematics.Trail, end); err != nil || len(got) == 0 {
				t.Errorf("the end %v of the range: %v, %v", end, got, err)
			}
		}
	}
}

// TestSolveRing: only angles at which three bolts fit are proposed.
func TestSolveRing(t *testing.T) {
	l := trike(t, idNear)
	at := set.Ref{Part: "side", Feature: idRing}
	got, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.HeadAngle, 60)
	if err != nil || len(got) != 1 {
		t.Fatal(got, err)
	}
	if s := got[0]; math.Abs(math.Mod(s.Value.AngleDeg, 120)-31) > 1e-6 || *s.Row.Adjusters[0].Bolts != 3 {
		t.Errorf("a head angle of 60°: clocked by %v°; want 31° or a third of a turn on", s.Value.AngleDeg)
	}
	l.Plates[0].Rings[0].LeastBolts = 7
	if got, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.HeadAngle, 60); err == nil || !strings.Contains(err.Error(), "7 bolts") {
		t.Errorf("with seven bolts wanted: %v, %v; want an error", got, err)
	}
}

// TestSolveSlot: a rear axle in a slot along the drawing's x sets the wheelbase, closed form on level equal wheels.
func TestSolveSlot(t *testing.T) {
	p := plate.New("bar")
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: -100, Y: -30, Radius: 5}, {X: 700, Y: -30, Radius: 5}, {X: 700, Y: 30, Radius: 5}, {X: -100, Y: 30, Radius: 5}}}
	p.Bores = []plate.Bore{{ID: 1, Name: "Front", X: 600, Diameter: 20}}
	p.Slots = []plate.Slot{{ID: 2, Name: "Chain", X: 0, Length: 40, Width: 12, Side: plate.Through, Adjusting: true, Position: 5}}
	p.NextID = 3
	s := set.Set{
		Name:  "bar",
		Parts: []set.Part{{Name: "bar", File: "bar.plate", Quantity: 1}},
		Wheels: []set.Wheel{
			{Name: "front", Role: set.Front, Axle: set.Ref{Part: "bar", Feature: 1}, Radius: 200},
			{Name: "rear", Role: set.Rear, Axle: set.Ref{Part: "bar", Feature: 2}, Radius: 200},
		},
	}
	l, found, err := set.Of(context.Background(), s, []plate.Plate{p})
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	r := table(t, l).Rows[0]
	if *r.Machine.Wheelbase != 595 || math.Abs(*r.Machine.Clearance-170) > 1e-9 || r.Machine.LowestPart != "bar" || r.Machine.Trail != nil {
		t.Errorf("as drawn: %+v; want a wheelbase of 595 and 170 mm under the bar", r.Machine)
	}
	if at := r.Machine.LowestAt; math.Abs(at[1]-170) > 1e-9 {
		t.Errorf("lowest at %v", at)
	}
	at := set.Ref{Part: "bar", Feature: 2}
	got, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.Wheelbase, 612)
	if err != nil || len(got) != 1 || math.Abs(got[0].Value.Position+12) > 1e-9 {
		t.Errorf("a wheelbase of 612: %+v, %v; want the slider at −12", got, err)
	}
	for _, end := range []float64{580, 620} {
		if got, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.Wheelbase, end); err != nil || len(got) != 1 {
			t.Errorf("a wheelbase of %v, the end of the slot: %v, %v", end, got, err)
		}
	}
	var out *kinematics.RangeError
	if _, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.Wheelbase, 620.1); !errors.As(err, &out) || math.Abs(out.Least-580) > 1e-6 || math.Abs(out.Most-620) > 1e-6 {
		t.Errorf("beyond the slot: %v; want the range 580 to 620", err)
	}
	if got, err := kinematics.Solve(context.Background(), l, nil, at, kinematics.Clearance, 170); err != nil || len(got) == 0 {
		t.Errorf("the clearance that it has anywhere: %v, %v", got, err)
	}
	for _, c := range []struct {
		at   set.Ref
		q    kinematics.Quantity
		want float64
		text string
	}{
		{at, kinematics.Trail, 90, "does not say enough"},
		{at, "weight", 90, "not one of"},
		{at, kinematics.Wheelbase, math.NaN(), "number"},
		{set.Ref{Part: "bar", Feature: 1}, kinematics.Wheelbase, 600, "not an adjuster"},
		{set.Ref{Part: "nobody", Feature: 1}, kinematics.Wheelbase, 600, "no part"},
	} {
		if got, err := kinematics.Solve(context.Background(), l, nil, c.at, c.q, c.want); err == nil || !strings.Contains(err.Error(), c.text) {
			t.Errorf("Solve(%v, %s, %v) = %v, %v; want an error with %q", c.at, c.q, c.want, got, err, c.text)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := kinematics.Solve(ctx, l, nil, at, kinematics.Wheelbase, 600); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := kinematics.Table(ctx, l); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}
