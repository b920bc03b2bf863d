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

// TestBoltInASlotPressesWhereItStands: beside a long slot lies a strip of metal, 5 mm
// deep, that a bolt in the slot bends like a beam built in at both ends: by
// P·a³·b³/(3·E·I·L³) and P·a·b·6/5/(G·A·L) under the bolt (Roark, table of beams, from
// memory; shear by Timoshenko). Its ends give: the beam is longer than the slot's flanks,
// and no longer than the slot and half its own depth at each end. Pressing along the
// whole wall would bend it half as much as the shorter beam in the middle. Forces act beside the bolt
// alone; one along the slot finds metal at its end, or is carried by friction.
func TestBoltInASlotPressesWhereItStands(t *testing.T) {
	const force, depth, thick, free = 400.0, 5.0, 8.0, 80.0
	p := rectangle(200, 60, thick)
	p.Slots = []plate.Slot{{ID: 1, Name: "Guide", X: 100, Y: depth + 4, Length: free, Width: 8, Side: plate.Through, Adjusting: true}}
	p.Supports = []plate.Support{{ID: 2, Name: "wall", Kind: plate.Fixed, On: edge(0, 60, 200, 60)}}
	p.Loads = []plate.Load{
		{ID: 3, Name: "across", Kind: plate.BoreForce, On: at(1), Force: [3]float64{0, -force, 0}, At: [3]float64{2: thick / 2}},
		{ID: 4, Name: "along", Kind: plate.BoreForce, On: at(1), Force: [3]float64{force, 0, 0}, At: [3]float64{2: thick / 2}},
	}
	places := []float64{0, 20, free / 2}
	for i, x := range places {
		p.Settings = append(p.Settings, plate.Setting{ID: plate.ID(10 + i), Name: fmt.Sprint(x), Values: []plate.SettingValue{{Feature: 1, Position: x}}})
	}
	m := modelOf(t, p, Options{})
	for i, x := range places {
		var cases []plate.LoadCase
		for k := range p.Loads {
			cases = append(cases, plate.LoadCase{ID: 20, Name: "c", Kind: plate.Limit, Factor: 1, Setting: p.Settings[i].ID, Loads: []plate.LoadFactor{{Load: p.Loads[k].ID, Factor: 1}}})
		}
		r, err := m.Solve(t.Context(), cases)
		if err != nil {
			t.Fatal(err)
		}
		for k := range r.Cases {
			balanced(t, &r.Cases[k])
		}
		across, along := &r.Cases[0], &r.Cases[1]
		set, err := m.adjust(p.Settings[i].ID)
		if err != nil {
			t.Fatal(err)
		}
		loads, _, _, _, err := m.analysis(nil).loadsOf(&cases[0], set)
		if err != nil {
			t.Fatal(err)
		}
		for n, q := range m.Mesh.Nodes {
			if math.Hypot(loads[5*n], loads[5*n+1]) > 1e-9*force && q.Dist(geom.Pt(100+x, depth+4)) > 12 {
				t.Errorf("at %g the bolt presses on %v", x, q)
			}
		}
		if n := len(along.Notes); (n == 0) != (x == free/2) {
			t.Errorf("at %g along the slot: notes %q", x, along.Notes)
		}
		if x == free/2 {
			continue
		}
		inertia := thick * depth * depth * depth / 12
		beam := func(more float64) float64 {
			a, b := free/2-x+more, free/2+x+more
			return force*math.Pow(a*b/(a+b), 3)/(3*alloy.Young*inertia) + force*a*b*1.2*2*(1+alloy.Poisson)/(alloy.Young*thick*depth*(a+b))
		}
		least, most := beam(0), beam(4+depth/2)
		got := 0.0
		for n, q := range m.Mesh.Nodes {
			if math.Abs(q.Y) < 1e-9 && math.Abs(q.X-100-x) < 4 {
				got = max(got, -across.Displacement(int32(n), thick/2)[1])
			}
		}
		t.Logf("at %g: %.4f mm under the bolt, a beam %.4f to %.4f mm", x, got, least, most)
		if got < least || got > most {
			t.Errorf("at %g the strip bends by %.4g mm, want %.4g to %.4g", x, got, least, most)
		}
	}
}
