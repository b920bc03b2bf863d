package kinematics

import (
	"context"
	"testing"

	"platewright/plate"
	"platewright/plate/set"
)

// TestSolveWork bounds the work: 361 looks over the range, 60 for each solution, and for a range that is missed 121 and four
// ends at each extreme.
func TestSolveWork(t *testing.T) {
	p := plate.Plate{
		Name:       "cam",
		Bores:      []plate.Bore{{ID: 1, X: 500}, {ID: 2}},
		Eccentrics: []plate.Eccentric{{ID: 3, Bore: 1, E: 10}},
	}
	l := &set.Loaded{Set: set.Set{Parts: []set.Part{{Name: "p"}}, Wheels: []set.Wheel{
		{Role: set.Front, Axle: set.Ref{Part: "p", Feature: 3}, Radius: 200}, {Role: set.Rear, Axle: set.Ref{Part: "p", Feature: 2}, Radius: 200},
	}}, Plates: []plate.Plate{p}, Shapes: make([]set.Shape, 1)}
	for _, c := range []struct {
		want  float64
		found int
		most  int
	}{{505, 2, 361 + 2*61}, {520, 0, 361 + 2*125}} {
		s := &solver{ctx: context.Background(), full: l, lite: *l, at: set.Ref{Part: "p", Feature: 3}, q: Wheelbase, want: c.want}
		if err := s.find(); err != nil {
			t.Fatal(err)
		}
		got, _ := s.continuous()
		if len(got) != c.found || s.measured > c.most {
			t.Errorf("wheelbase %v: %d solutions in %d looks, want %d in at most %d", c.want, len(got), s.measured, c.found, c.most)
		}
	}
}
