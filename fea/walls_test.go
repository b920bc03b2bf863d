package fea

import (
	"fmt"
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestWallForces: the shares of a joint's holes. A moment about a bolt circle is held
// by equal forces square to their arms, as of rigid parts; loads and reactions at the
// walls add up to those of the case.
func TestWallForces(t *testing.T) {
	p := rectangle(200, 120, 10)
	p.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: 40, Y: 60, Diameter: 24}}
	p.Circles = []plate.BoltCircle{{
		ID: 2, Name: "Flange", X: 140, Y: 60, Diameter: 60, Count: 4,
		HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through},
	}}
	p.Supports = []plate.Support{{ID: 3, Name: "fixed", Kind: plate.Fixed, On: at(1)}}
	p.Loads = []plate.Load{
		{ID: 4, Name: "twist", Kind: plate.Moment, On: at(2), Moment: [3]float64{2: 12000}},
		{ID: 5, Name: "bolts", Kind: plate.ClampForce, On: at(2), Clamp: 9000, Bearing: 16, Friction: 0.15},
	}
	c := solve(t, p, Options{})
	var total Wrench
	holes := 0
	for _, w := range c.Walls {
		total = total.Add(w.Wrench.Move(w.At, c.model.centre))
		if w.Feature == 1 {
			if !w.Held || math.Abs(w.Moment[2]+12000) > 1 {
				t.Errorf("the pivot: %+v, want −12 000 N·mm about z", w)
			}
			continue
		}
		holes++
		if w.Preload != 9000 || w.Annulus != 16 || w.Friction != 0.15 || w.Held {
			t.Errorf("hole %d: %+v, want the bolt's preload, 9000 N under 16 mm with friction 0.15", w.Hole, w)
		}
		arm := geom.Pt(w.At[0]-140, w.At[1]-60)
		f := geom.Pt(w.Force[0], w.Force[1])
		// 12 000/(4·30), less what each wall turns about itself.
		if turned := arm.Cross(f); math.Abs(turned+w.Moment[2]-3000) > 10 || turned < 2700 {
			t.Errorf("hole %d takes %.4g N·mm by its arm and %.4g by itself, want 3000 together", w.Hole, turned, w.Moment[2])
		}
	}
	if holes != 4 {
		t.Errorf("%d holes, want 4", holes)
	}
	if v := total.size(c.model.extent); v > 1e-6*c.Magnitude {
		t.Errorf("walls do not balance: %.3g N of %.3g N", v, c.Magnitude)
	}
}

// TestSlotAtItsSetting: a bolt in a slot holds and loads the plate where the setting
// puts it. A cantilever fixed at its left edge, with a slot along its middle line whose
// middle is 120 mm from the edge, is loaded across by a bolt in the slot: the reaction's
// moment is the force times the place. A spring on the bolt takes the force alone.
func TestSlotAtItsSetting(t *testing.T) {
	const force = 500.0
	p := rectangle(200, 60, 10)
	p.Slots = []plate.Slot{{ID: 1, Name: "Guide", X: 120, Y: 30, Length: 60, Width: 8, Side: plate.Through, Position: 10, Adjusting: true}}
	p.Supports = []plate.Support{{ID: 2, Name: "wall", Kind: plate.Fixed, On: edge(0, 60, 0, 0)}}
	p.Loads = []plate.Load{{ID: 3, Name: "bolt", Kind: plate.BoreForce, On: at(1), Force: [3]float64{0, force, 0}, At: [3]float64{2: 5}}}
	p.Settings = []plate.Setting{
		{ID: 10, Name: "out", Values: []plate.SettingValue{{Feature: 1, Position: 30}}},
		{ID: 11, Name: "in", Values: []plate.SettingValue{{Feature: 1, Position: -30}}},
		{ID: 12, Name: "beyond", Values: []plate.SettingValue{{Feature: 1, Position: 31}}},
	}
	p.Cases = nil
	for i, s := range []plate.ID{0, 10, 11} {
		p.Cases = append(p.Cases, plate.LoadCase{ID: plate.ID(20 + i), Name: fmt.Sprint(s), Kind: plate.Limit, Factor: 1, Setting: s, Loads: []plate.LoadFactor{{Load: 3, Factor: 1}}})
	}
	m := modelOf(t, p, Options{})
	r, err := m.Solve(t.Context(), p.Cases)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range []float64{130, 150, 90} {
		c := &r.Cases[i]
		moment := -c.Reactions[0].Move(c.Reactions[0].At, [3]float64{0, 30, 5}).Moment[2]
		within(t, fmt.Sprintf("setting %s: moment at the wall", c.Case.Name), moment, force*x, 1e-4)
		for _, w := range c.Walls {
			if w.Feature == 1 && (math.Abs(w.At[0]-x) > 1e-9 || math.Abs(w.Force[1]-force) > 1e-6 || math.Abs(w.Moment[2]) > 1e-4*force*x) {
				t.Errorf("setting %s: the slot's wall %+v, want the force at x = %g", c.Case.Name, w, x)
			}
		}
	}
	c := p.Cases[1]
	c.Setting = 12
	if _, err := m.Solve(t.Context(), []plate.LoadCase{c}); err == nil {
		t.Error("a bolt beyond the end of its slot is analysed")
	}
	// A spring on the slot holds about the bolt: at the place of the force it takes all of it.
	p.Supports = append(p.Supports[:0], plate.Support{ID: 2, Name: "bolt", Kind: plate.Spring, On: at(1), Stiffness: [6]float64{1e4, 1e4, 1e4, 1e8, 1e8, 1e8}})
	m = modelOf(t, p, Options{})
	if r, err = m.Solve(t.Context(), p.Cases); err != nil {
		t.Fatal(err)
	}
	for i := range r.Cases {
		if w := r.Cases[i].Reactions[0]; math.Abs(w.Force[1]+force) > 1e-3 || math.Abs(w.Moment[2]) > 1e-2*force {
			t.Errorf("case %s: spring at the bolt %+v, want the force alone", r.Cases[i].Case.Name, w)
		}
	}
}
