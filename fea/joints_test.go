package fea

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestHinge pulls a bar by one bore with the other on a pin: the pin pushes back
// with the load, without a moment about its axis, and the wall touches it on the
// far half only.
func TestHinge(t *testing.T) {
	const pull = 5000.0
	p := link(120, 20, 10, 16)
	p.Supports = []plate.Support{
		{ID: 11, Name: "pin", Kind: plate.Hinged, On: at(1)},
		{ID: 12, Name: "guide", Kind: plate.Sliding, On: at(2)},
	}
	p.Loads = []plate.Load{{ID: 13, Name: "pull", Kind: plate.BoreForce, On: at(2), Force: [3]float64{pull}, At: [3]float64{2: 5}}}
	c := solve(t, p, Options{})
	pin := c.Reactions[0]
	if math.Abs(pin.Force[0]+pull) > 1e-6*pull || math.Abs(pin.Moment[2]) > 1e-6*pull {
		t.Errorf("the pin answers with %v, want -%g along x and no moment about its axis", pin.Wrench, pull)
	}
	if c.ContactRounds < 2 {
		t.Errorf("%d rounds to find where the pin presses: nothing came off it", c.ContactRounds)
	}
	// Where the wall is pressed it is squeezed across it; on the free half the wall
	// moves away from the pin.
	for n, q := range c.model.Mesh.Nodes {
		d := q.Sub(geom.Pt(20, 20))
		if d.Len() > 8+1e-6 {
			continue
		}
		u := c.Displacement(int32(n), 5)
		gap := (u[0]*d.X + u[1]*d.Y) / 8
		switch {
		case d.X < -6 && math.Abs(gap) > 1e-4:
			t.Errorf("the wall at %v should press on the pin, and is %.3g mm off it", q, gap)
		case d.X > 4 && gap < 1e-4:
			t.Errorf("the wall at %v should have come off the pin, and is %.3g mm from it", q, gap)
		}
	}
	// Fixed holds more than a hinge.
	p.Supports[0].Kind = plate.Fixed
	if f := solve(t, p, Options{}); !(f.Stiffness[0].Value > c.Stiffness[0].Value) {
		t.Errorf("fixed: %g N/mm, hinged: %g N/mm; want the first larger", f.Stiffness[0].Value, c.Stiffness[0].Value)
	}
}

// TestPinCompliance: the bed that stands for a rigid pin gives next to nothing.
func TestPinCompliance(t *testing.T) {
	// The bed's own give under a load F is about F/(π/4·2·pinHard·E·t).
	const e, h, f = 70000.0, 10.0, 5000.0
	give := f / (math.Pi / 2 * pinHard * e * h)
	p := link(120, 20, h, 16)
	p.Supports = []plate.Support{
		{ID: 11, Name: "pin", Kind: plate.Hinged, On: at(1)},
		{ID: 12, Name: "guide", Kind: plate.Sliding, On: at(2)},
	}
	p.Loads = []plate.Load{{ID: 13, Name: "pull", Kind: plate.BoreForce, On: at(2), Force: [3]float64{f}, At: [3]float64{2: 5}}}
	if c := solve(t, p, Options{}); give > 1e-3*c.MaxDeflection {
		t.Errorf("the pin's bed gives %g of %g mm, want under a thousandth", give, c.MaxDeflection)
	}
}

// TestInertiaRelief pulls a free bar at one end: the stress falls straight from F/A
// to nothing at the other end, since each piece pulls the mass behind it.
func TestInertiaRelief(t *testing.T) {
	const l, b, h, pull = 300.0, 30.0, 10.0, 6000.0
	p := rectangle(l, b, h)
	p.Supports = []plate.Support{{ID: 1, Name: "none", Kind: plate.Free}}
	p.Loads = []plate.Load{{ID: 2, Name: "pull", Kind: plate.LineForce, On: edge(l, 0, l, b), Force: [3]float64{pull}}}
	c := solve(t, p, Options{})
	for e, tr := range c.model.Mesh.Triangles {
		for i, n := range tr.Node {
			q := c.model.Mesh.Nodes[n]
			if math.Abs(q.X-l/2) < 60 && math.Abs(q.Y-b/2) < 5 {
				if got, want := c.Stress(e, i, 5).XX, pull/b/h*q.X/l; math.Abs(got-want) > 0.01*pull/b/h {
					t.Errorf("stress at x = %g is %.4g, want %.4g", q.X, got, want)
				}
			}
		}
	}
	if len(c.Reactions) != 0 {
		t.Errorf("a free plate has reactions: %v", c.Reactions)
	}
	within(t, "inertia", c.Inertia.Force[0], -pull, 1e-6)
}

// TestWarm: warmed by 50 K, a bar held at both ends takes −E α ΔT, a free one grows
// without stress.
func TestWarm(t *testing.T) {
	const l, b, h, rise = 300.0, 20.0, 10.0, 50.0
	p := rectangle(l, b, h)
	p.Loads = []plate.Load{{ID: 2, Name: "sun", Kind: plate.Temperature, Temperature: rise}}
	p.Supports = []plate.Support{
		{ID: 1, Name: "left", Kind: plate.Symmetry, On: edge(0, 0, 0, b)},
		{ID: 3, Name: "right", Kind: plate.Symmetry, On: edge(l, 0, l, b)},
		{ID: 4, Name: "rest", Kind: plate.Spring, On: edge(l, 0, l, b), Stiffness: [6]float64{1: 10, 2: 10, 3: 1e4, 5: 1e4}},
	}
	c := solve(t, p, Options{})
	want := -70000 * 23e-6 * rise
	within(t, "held: von Mises", c.MaxVonMises, -want, 0.1)
	p.Supports = []plate.Support{{ID: 1, Name: "left", Kind: plate.Spring, On: edge(0, 0, 0, b), Stiffness: [6]float64{1e3, 1e3, 1e3, 1e6, 1e6, 1e6}}}
	c = solve(t, p, Options{})
	if c.MaxVonMises != 0 || !math.IsInf(c.ReserveProof, 1) || len(c.LeftOut) > 0 {
		t.Errorf("free: von Mises %g, reserve %g, left out %v: want no stress", c.MaxVonMises, c.ReserveProof, c.LeftOut)
	}
	within(t, "free: growth", c.MaxDeflection, math.Hypot(23e-6*rise*l, 23e-6*rise*b/2), 1)
}

// TestSymmetry: half of a bar with a hole, held in its plane of symmetry, does what
// the whole does.
func TestSymmetry(t *testing.T) {
	const l, b, h, q = 200.0, 60.0, 10.0, 8000.0
	whole := rectangle(l, b, h)
	whole.Supports = []plate.Support{{ID: 1, Name: "none", Kind: plate.Free}}
	whole.Loads = []plate.Load{
		{ID: 2, Name: "right", Kind: plate.LineForce, On: edge(l, 0, l, b), Force: [3]float64{q, 0, 100}},
		{ID: 3, Name: "left", Kind: plate.LineForce, On: edge(0, 0, 0, b), Force: [3]float64{-q, 0, 100}},
		{ID: 4, Name: "middle", Kind: plate.AreaForce, On: plate.Place{Bounds: []plate.Corner{{X: 80, Y: 0}, {X: 120, Y: 0}, {X: 120, Y: b}, {X: 80, Y: b}}, Side: plate.Through}, Force: [3]float64{0, 0, -200}},
	}
	half := rectangle(l/2, b, h)
	half.Supports = []plate.Support{
		{ID: 1, Name: "cut", Kind: plate.Symmetry, On: edge(0, 0, 0, b)},
		{ID: 5, Name: "rest", Kind: plate.Spring, On: edge(0, 0, 0, b), Stiffness: [6]float64{0, 1, 1, 1, 0, 1}},
	}
	half.Loads = []plate.Load{
		{ID: 2, Name: "right", Kind: plate.LineForce, On: edge(l/2, 0, l/2, b), Force: [3]float64{q, 0, 100}},
		{ID: 4, Name: "middle", Kind: plate.AreaForce, On: plate.Place{Bounds: []plate.Corner{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: b}, {X: 0, Y: b}}, Side: plate.Through}, Force: [3]float64{0, 0, -100}},
	}
	a, c := solve(t, whole, Options{Size: 8}), solve(t, half, Options{Size: 8})
	at := func(c *CaseResult, p geom.Point) (best [3]float64) {
		d := math.Inf(1)
		for n, q := range c.model.Mesh.Nodes {
			if v := q.Dist(p); v < d {
				d, best = v, c.Displacement(int32(n), h)
			}
		}
		return best
	}
	mid, end := at(a, geom.Pt(l/2, b/2)), at(a, geom.Pt(l, b/2))
	mid2, end2 := at(c, geom.Pt(0, b/2)), at(c, geom.Pt(l/2, b/2))
	for k := range 3 {
		if got, want := end2[k]-mid2[k], end[k]-mid[k]; math.Abs(got-want) > 0.01*length(end) {
			t.Errorf("the end moves by %.5g along %c against the middle, of the whole bar by %.5g", got, "xyz"[k], want)
		}
	}
}

// TestSpring: a plate on one spring moves by force over stiffness, and turns by
// moment over stiffness.
func TestSpring(t *testing.T) {
	p := rectangle(100, 60, 20)
	p.Bores = []plate.Bore{{ID: 1, Name: "Seat", X: 50, Y: 30, Diameter: 20}}
	k := [6]float64{100, 200, 50, 4e5, 3e5, 2e5}
	p.Supports = []plate.Support{{ID: 2, Name: "rubber", Kind: plate.Spring, On: at(1), Stiffness: k}}
	p.Loads = []plate.Load{
		{ID: 3, Name: "force", Kind: plate.BoreForce, On: at(1), Force: [3]float64{10, 20, 5}, At: [3]float64{2: 10}},
		{ID: 4, Name: "moment", Kind: plate.Moment, On: at(1), Moment: [3]float64{400, 300, 200}},
	}
	c := solve(t, p, Options{})
	q := c.model.meanOf(mustFind(t, c.model, at(1)), [3]float64{50, 30, 10})
	for i, v := range q.motion(c.U) {
		want := []float64{0.1, 0.1, 0.1, 1e-3, 1e-3, 1e-3}[i]
		within(t, "motion of the bore", v, want, 1e-4)
	}
}

func mustFind(t *testing.T, m *Model, p plate.Place) *place {
	t.Helper()
	out, err := m.find(p, "the test", adjusted{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestRemoteForce: a force off the plate is a force and its moment; the same as
// the two given apart.
func TestRemoteForce(t *testing.T) {
	p := link(200, 25, 12, 20)
	p.Supports = []plate.Support{{ID: 11, Name: "left", Kind: plate.Fixed, On: at(1)}}
	p.Loads = []plate.Load{{ID: 12, Name: "arm", Kind: plate.RemoteForce, On: at(2), Force: [3]float64{30, -50, 20}, At: [3]float64{300, 80, 60}}}
	a := solve(t, p, Options{})
	// By hand: r = (300 − 225, 80 − 25, 60 − 6), M = r × F.
	m := [3]float64{55*20 - 54*-50, 54*30 - 75*20, 75*-50 - 55*30}
	p.Loads = []plate.Load{
		{ID: 12, Name: "force", Kind: plate.RemoteForce, On: at(2), Force: [3]float64{30, -50, 20}, At: [3]float64{225, 25, 6}},
		{ID: 13, Name: "moment", Kind: plate.Moment, On: at(2), Moment: m},
	}
	b := solve(t, p, Options{})
	for i, v := range a.U {
		if math.Abs(v-b.U[i]) > 1e-9*a.MaxDeflection {
			t.Fatalf("unknown %d is %g by a remote force, %g by force and moment", i, v, b.U[i])
		}
	}
	r := a.Reactions[0].Move(a.Reactions[0].At, [3]float64{225, 25, 6})
	for k := range 3 {
		if math.Abs(r.Moment[k]+m[k]) > 1e-6*length(m) {
			t.Errorf("moment of the reaction about %c is %g, want %g", "xyz"[k], r.Moment[k], -m[k])
		}
	}
}

// TestResultants: each kind of load acts with the resultant that its figures ask for, in
// size and line of action, worked out here from the figures alone: to 1e-10 of the force
// times the plate's length, on a mesh that ends nowhere where the loads do. A line over
// an arc and an area that a window cuts have closed forms too. Temperature has none.
func TestResultants(t *testing.T) {
	p := link(120, 20, 10, 16) // 160 × 40, bores at (20, 20) and (140, 20)
	p.Outline.Corners = []plate.Corner{{X: 0, Y: 0}, {X: 160, Y: 0}, {X: 160, Y: 40, Radius: 12}, {X: 0, Y: 40}}
	p.Pockets = []plate.Pocket{
		{ID: 50, Name: "floor", Kind: plate.DrawnPocket, Side: plate.Top, Depth: 6, Radius: 3, Bounds: []plate.Corner{{X: 40, Y: 8}, {X: 70, Y: 8}, {X: 70, Y: 32}, {X: 40, Y: 32}}},
		{ID: 51, Name: "window", Kind: plate.DrawnPocket, Side: plate.Through, Radius: 3, Bounds: []plate.Corner{{X: 90, Y: 10}, {X: 115, Y: 10}, {X: 115, Y: 30}, {X: 90, Y: 30}}},
	}
	box := func(x0, y0, x1, y1 float64, side plate.Side) plate.Place {
		return plate.Place{Side: side, Bounds: []plate.Corner{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}
	}
	f := [3]float64{50, -60, 70}
	arc, line := 12*math.Pi/2, 63.0                                   // a line from (85, 40) round the corner of radius 12 to (160, 28)
	toCorner := math.Sqrt2 * 12 * math.Sin(math.Pi/4) / (math.Pi / 2) // of each way: R·sin(α)/α/√2 with α = π/4
	for _, c := range []struct {
		load plate.Load
		want Wrench // about the origin
	}{
		{plate.Load{Kind: plate.BoreForce, On: at(2), Force: f, At: [3]float64{2: 3}}, Wrench{Force: f}.Move([3]float64{140, 20, 3}, [3]float64{})},
		{plate.Load{Kind: plate.Moment, On: at(1), Moment: f}, Wrench{Moment: f}},
		{plate.Load{Kind: plate.RemoteForce, On: at(1), Force: f, Moment: f, At: [3]float64{-30, 70, 20}}, Wrench{f, f}.Move([3]float64{-30, 70, 20}, [3]float64{})},
		{plate.Load{Kind: plate.LineForce, On: edge(43, 0, 121.3, 0), Force: f}, Wrench{Force: f}.Move([3]float64{82.15, 0, 5}, [3]float64{})},
		{plate.Load{Kind: plate.LineForce, On: edge(0, 3.3, 27, 0), Force: f}, Wrench{Force: f}.Move([3]float64{27 * 13.5 / 30.3, 3.3 * 1.65 / 30.3, 5}, [3]float64{})},
		{plate.Load{Kind: plate.LineForce, On: edge(85, 40, 160, 28), Force: f}, Wrench{Force: f}.Move([3]float64{
			(line*(85+line/2) + arc*(148+toCorner)) / (line + arc), (line*40 + arc*(28+toCorner)) / (line + arc), 5,
		}, [3]float64{})},
		{plate.Load{Kind: plate.AreaForce, On: box(73.3, 11, 86.1, 29, plate.Top), Force: f}, Wrench{Force: f}.Move([3]float64{79.7, 20, 10}, [3]float64{})},
		{plate.Load{Kind: plate.AreaForce, On: box(73.3, 11, 86.1, 29, plate.Bottom), Force: f}, Wrench{Force: f}.Move([3]float64{79.7, 20, 0}, [3]float64{})},
		// On top partly of the floor, 4 mm high: 5 × 10 of it and 7 × 10 beside it.
		{plate.Load{Kind: plate.AreaForce, On: box(65, 13, 77, 23, plate.Top), Force: f}, Wrench{Force: f}.Move([3]float64{71, 18, (5*4 + 7*10) / 12.}, [3]float64{})},
		// 8 × 6 of it are over the window.
		{plate.Load{Kind: plate.AreaForce, On: box(80, 15, 98, 21, plate.Through), Force: f}, Wrench{Force: f}.Move([3]float64{85, 18, 5}, [3]float64{})},
	} {
		c.load.ID, c.load.Name = 13, string(c.load.Kind)
		m := modelOf(t, p, Options{})
		l, err := m.makeLoad(&c.load, false, adjusted{})
		if err != nil {
			t.Errorf("%s on %+v: %v", c.load.Kind, c.load.On, err)
			continue
		}
		if off := m.resultant(l.f, [3]float64{}).Add(c.want.Scale(-1)).size(160) / c.want.size(160); off > 1e-10 {
			t.Errorf("%s on %+v: resultant %v, want %v: off by %.2g", c.load.Kind, c.load.On, m.resultant(l.f, [3]float64{}), c.want, off)
		}
	}
	m := modelOf(t, p, Options{})
	l, err := m.makeLoad(&plate.Load{ID: 13, Kind: plate.Temperature, Temperature: 40}, false, adjusted{})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, v := range l.f {
		sum = max(sum, math.Abs(v))
	}
	if off := m.resultant(l.f, m.centre).size(160); off > 1e-10*sum {
		t.Errorf("warming has a resultant of %g N beside forces of %g N", off, sum)
	}
}

// TestWeight: gravity on a plate that lies flat, held at a bore: the reaction is
// its weight by density and volume.
func TestWeight(t *testing.T) {
	p := rectangle(200, 100, 15)
	p.Bores = []plate.Bore{{ID: 1, Name: "Seat", X: 50, Y: 50, Diameter: 30}}
	p.Supports = []plate.Support{{ID: 2, Name: "stud", Kind: plate.Fixed, On: at(1)}}
	p.Loads = []plate.Load{{ID: 3, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{0, 0, -1}}}
	c := solve(t, p, Options{})
	want := (200*100 - math.Pi*15*15) * 15 * 2700e-9 * 9.80665
	within(t, "reaction", c.Reactions[0].Force[2], want, 1e-6)
}

// TestCombination: with supports that hold both ways the displacements of loads
// together are the sum of those apart, times factors; a mirrored case of a plate
// that is its own mirror image is the mirror image.
func TestCombination(t *testing.T) {
	p := link(160, 25, 12, 20)
	p.Supports = []plate.Support{{ID: 11, Name: "left", Kind: plate.Fixed, On: at(1)}, {ID: 12, Name: "right", Kind: plate.Fixed, On: at(2)}}
	p.Loads = []plate.Load{
		{ID: 13, Name: "side", Kind: plate.LineForce, On: edge(60, 50, 150, 50), Force: [3]float64{400, -300, 50}},
		{ID: 14, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{1, 0, -3}},
	}
	of := func(fs ...float64) plate.LoadCase {
		c := plate.LoadCase{ID: 900, Name: "c", Kind: plate.Limit, Factor: 1}
		for i, f := range fs {
			if f != 0 {
				c.Loads = append(c.Loads, plate.LoadFactor{Load: plate.ID(13 + i), Factor: f})
			}
		}
		return c
	}
	both := of(2, -1)
	both.Factor = 1.5
	mirrored := of(1, 0)
	mirrored.Mirrored = true
	r, err := Solve(t.Context(), derive(t, p), Options{}, []plate.LoadCase{of(1, 0), of(0, 1), both, mirrored})
	if err != nil {
		t.Fatal(err)
	}
	for i := range r.Cases[0].U {
		want := 1.5 * (2*r.Cases[0].U[i] - r.Cases[1].U[i])
		if math.Abs(r.Cases[2].U[i]-want) > 1e-9*r.Cases[2].MaxDeflection {
			t.Fatalf("unknown %d of the combination is %g, want %g", i, r.Cases[2].U[i], want)
		}
	}
	if f := r.Cases[3].Applied.Force; math.Abs(f[0]+400) > 1e-9 || math.Abs(f[1]+300) > 1e-9 || math.Abs(f[2]-50) > 1e-9 {
		t.Errorf("the mirrored load is %v, want (-400, -300, 50)", f)
	}
}

// TestEnergy: the energy of all owners is half the work of the loads, ribs and
// floors among them.
func TestEnergy(t *testing.T) {
	p := sample(t, "field-robot-rocker")
	p.Supports = []plate.Support{{ID: 101, Name: "pivot", Kind: plate.Fixed, On: at(1)}}
	p.Loads = []plate.Load{{ID: 102, Name: "wheel", Kind: plate.BoreForce, On: at(2), Force: [3]float64{100, 900, 50}, At: [3]float64{2: 6}}}
	c := solve(t, p, Options{Size: 20, Across: 1})
	list, err := c.Energy(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	kinds := map[string]float64{}
	for _, o := range list {
		sum += o.Energy
		kinds[string(o.Owner.Kind)] += o.Energy
		if o.Energy < 0 {
			t.Errorf("%v has the energy %g", o.Owner, o.Energy)
		}
	}
	work := 0.0
	l, err := c.model.makeLoad(&p.Loads[0], false, adjusted{})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range l.f {
		work += f * c.U[i] / 2
	}
	// The shear of thin elements carries energy at the points of integration only,
	// so that the sum over elements is a little off.
	within(t, "energy of all owners", sum, work, 0.5)
	if kinds["rib"] == 0 || kinds["boss"] == 0 {
		t.Errorf("energy by kind of owner: %v, want ribs and bosses among them", kinds)
	}
}

// TestRingBolts: a plate held by the bolts of a clocked ring of six holes against a
// mate of ten. Turned by a, 60·i = 36·j + a: at 0° holes 1 and 4 meet (0° and 180°),
// at 24° two others (60° = 36° + 24° and 240°), at 5° none.
func TestRingBolts(t *testing.T) {
	p := rectangle(200, 120, 10)
	p.Bores = []plate.Bore{{ID: 1, Name: "Wheel", X: 160, Y: 60, Diameter: 20}}
	hole := plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}
	p.Rings = []plate.ClockedRing{{
		BoltCircle: plate.BoltCircle{ID: 2, Name: "Ring", X: 50, Y: 60, Diameter: 70, Count: 6, HoleForm: hole},
		MateCount:  10, LeastBolts: 1,
	}}
	p.Settings = []plate.Setting{
		{ID: 21, Name: "straight"},
		{ID: 22, Name: "turned", Values: []plate.SettingValue{{Feature: 2, AngleDeg: 24}}},
		{ID: 23, Name: "between", Values: []plate.SettingValue{{Feature: 2, AngleDeg: 5}}},
	}
	p.Supports = []plate.Support{{ID: 11, Name: "bolts", Kind: plate.Fixed, On: at(2)}}
	p.Loads = []plate.Load{{ID: 13, Name: "wheel", Kind: plate.BoreForce, On: at(1), Force: [3]float64{0, 500, 100}, At: [3]float64{2: 5}}}
	l := derive(t, p)
	m, err := NewModel(t.Context(), l, Options{})
	if err != nil {
		t.Fatal(err)
	}
	cs := oneCase(&p)
	for _, c := range []struct {
		setting plate.ID
		bolts   int
	}{{21, 2}, {22, 2}} {
		set, err := m.adjust(c.setting)
		if err != nil {
			t.Fatal(err)
		}
		pl, err := m.find(at(2), "the test", set)
		if err != nil {
			t.Fatal(err)
		}
		if len(pl.rounds) != c.bolts {
			t.Errorf("setting %d: %d bolts hold, want %d", c.setting, len(pl.rounds), c.bolts)
		}
	}
	cs[0].Setting = 21
	r, err := m.Solve(t.Context(), cs)
	if err != nil {
		t.Fatal(err)
	}
	balanced(t, &r.Cases[0])
	cs[0].Setting = 23
	if _, err := m.Solve(t.Context(), cs); err == nil || !strings.Contains(err.Error(), "none of whose bolts fits") {
		t.Errorf("no bolt fits: error %v", err)
	}
	cs[0].Setting = 99
	if _, err := m.Solve(t.Context(), cs); err == nil || !strings.Contains(err.Error(), "setting 99") {
		t.Errorf("setting that is not there: error %v", err)
	}
}

// TestEccentric: a force on an eccentric acts through the eccentric's own centre.
func TestEccentric(t *testing.T) {
	p := link(120, 20, 10, 16)
	p.Eccentrics = []plate.Eccentric{{ID: 5, Name: "Cam", Bore: 2, E: 3, Inner: 6, AngleDeg: 0}}
	p.Supports = []plate.Support{{ID: 11, Name: "left", Kind: plate.Fixed, On: at(1)}}
	p.Loads = []plate.Load{{ID: 12, Name: "push", Kind: plate.BoreForce, On: at(2), Force: [3]float64{0, 200}, At: [3]float64{2: 5}}}
	c := solve(t, p, Options{})
	got := c.Reactions[0].Move(c.Reactions[0].At, [3]float64{140, 20, 5}).Moment[2]
	within(t, "moment of the reaction about the bore's axis", got, -3*200, 1e-6)
}
