package solid

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/material"
	"platewright/samples"
)

// bar is 120 × 40 × 10 with a bore of 16 at x = 90, fixed at its left end.
func bar(loads ...plate.Load) plate.Plate {
	p := plate.Plate{
		Name: "bar", NextID: 1000,
		Stock: plate.Stock{
			Material: material.Material{Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: 70000, Poisson: 0.3, Proof: 240, Ultimate: 295, Group: "N", Source: "test"},
			Nominal:  10, Finished: 10, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5},
		},
		Outline:  plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 120, Y: 0}, {X: 120, Y: 40}, {X: 0, Y: 40}}},
		Bores:    []plate.Bore{{ID: 1, Name: "eye", X: 90, Y: 20, Diameter: 16}},
		Supports: []plate.Support{{ID: 2, Name: "end", Kind: plate.Fixed, On: plate.Place{OnEdge: true, X1: 0, Y1: 0, X2: 0, Y2: 40}}},
		Loads:    loads,
	}
	return p
}

func modelOf(t testing.TB, p plate.Plate, size float64, o Options) *Model {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	metal := make([]bool, len(l.Map.Metal))
	for f, list := range l.Map.Metal {
		metal[f] = len(list) > 0
	}
	plane, err := mesh.Generate(t.Context(), l.Map.Subdivision, metal, mesh.Options{Size: size, Across: 1, ArcEdges: 8, Grading: 1, MinSize: size / 10})
	if err != nil {
		t.Fatal(err)
	}
	m, err := Of(l, plane, o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func caseOf(p *plate.Plate) plate.LoadCase {
	c := plate.LoadCase{ID: 900, Name: "one", Kind: plate.Limit, Factor: 1}
	for _, l := range p.Loads {
		c.Loads = append(c.Loads, plate.LoadFactor{Load: l.ID, Factor: 1})
	}
	return c
}

// TestCaseResultants: loads of each kind have the resultant that was asked, at its
// place, and reactions balance it.
func TestCaseResultants(t *testing.T) {
	weight := (120*40 - math.Pi*64) * 10 * 2700e-9 * plate.StandardGravity
	for _, tc := range []struct {
		load  plate.Load
		force Vec
		at    Vec
		share float64
	}{
		// The share is that of quadrature over the half wall's cosine; below, of eight
		// quadratic sides against the circle of the bore.
		{plate.Load{Kind: plate.BoreForce, On: plate.Place{Feature: 1}, Force: [3]float64{800, -600, 100}, At: [3]float64{2: 8}}, Vec{800, -600, 100}, Vec{90, 20, 8}, 2e-3},
		{plate.Load{Kind: plate.LineForce, On: plate.Place{OnEdge: true, X1: 120, Y1: 0, X2: 120, Y2: 40}, Force: [3]float64{10, 20, 30}}, Vec{10, 20, 30}, Vec{120, 20, 5}, 1e-9},
		{plate.Load{Kind: plate.AreaForce, On: plate.Place{Side: plate.Top}, Force: [3]float64{0, 0, -50}}, Vec{0, 0, -50}, Vec{(60*4800 - 90*math.Pi*64) / (4800 - math.Pi*64), 20, 10}, 2e-4},
		{plate.Load{Kind: plate.Acceleration, Force: [3]float64{0, -2, 1}}, Vec{0, -2 * weight, weight}, Vec{(60*4800 - 90*math.Pi*64) / (4800 - math.Pi*64), 20, 5}, 2e-4},
	} {
		tc.load.ID, tc.load.Name = 5, "load"
		p := bar(tc.load)
		r, err := modelOf(t, p, 10, Options{}).Solve(t.Context(), caseOf(&p))
		if err != nil {
			t.Errorf("%s: %v", tc.load.Kind, err)
			continue
		}
		force, moment := r.Model.Resultant(r.Load, tc.at)
		if d := force.add(tc.force, -1).len(); d > tc.share*tc.force.len() {
			t.Errorf("%s: force %v, want %v", tc.load.Kind, force, tc.force)
		}
		if moment.len() > 10*tc.share*tc.force.len()+1e-9 {
			t.Errorf("%s: moment %v about its place", tc.load.Kind, moment)
		}
		reaction, _ := r.Model.Resultant(r.Reaction, Vec{})
		if d := reaction.add(force, 1).len(); d > 1e-8*force.len() {
			t.Errorf("%s: reaction %v to %v", tc.load.Kind, reaction, force)
		}
		if !(r.Energy > 0) {
			t.Errorf("%s: energy %g", tc.load.Kind, r.Energy)
		}
	}
}

// TestPulledBar: away from its ends, a bar pulled by 4 kN has the stress of force
// over section, and all of it lengthens about as Hooke says.
func TestPulledBar(t *testing.T) {
	p := bar(plate.Load{ID: 5, Name: "pull", Kind: plate.LineForce, On: plate.Place{OnEdge: true, X1: 120, Y1: 0, X2: 120, Y2: 40}, Force: [3]float64{4000}})
	p.Bores = nil
	r, err := modelOf(t, p, 10, Options{}).Solve(t.Context(), caseOf(&p))
	if err != nil {
		t.Fatal(err)
	}
	v, _ := r.MaxVonMises(func(at Vec) bool { return at[0] > 60 })
	within(t, "stress", v, 10, 0.5)
	within(t, "stiffness", r.Stiffness, 70000*400/120., 2)
	d, at := r.MaxDeflection()
	within(t, "deflection", d, 4000*120/70000./400, 3)
	if !near(at[0], 120) {
		t.Errorf("the end does not move the most: %v", at)
	}
	c := caseOf(&p)
	c.Mirrored, c.Factor = true, 2
	q, err := r.Model.Solve(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "energy at twice the load, mirrored", q.Energy, 4*r.Energy, 1e-6)
	if force, _ := q.Model.Resultant(q.Load, Vec{}); force[0] > 0 {
		t.Error("the mirrored load is not")
	}
}

// TestVolume: the prisms of a sample hold the metal of its layout but for what is no
// prism.
func TestVolume(t *testing.T) {
	s, err := samples.Load("camera-dolly-cheek")
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(s.Data)
	if err != nil {
		t.Fatal(err)
	}
	m := modelOf(t, p, 12, Options{Layers: 1, LayerHeight: 100})
	within(t, "volume", m.Volume(), m.layout.Volume(), 0.5)
}

// TestCancelled: a cancelled context ends the work with its error.
func TestCancelled(t *testing.T) {
	p := bar(plate.Load{ID: 5, Name: "pull", Kind: plate.BoreForce, On: plate.Place{Feature: 1}, Force: [3]float64{4000}, At: [3]float64{2: 5}})
	m := modelOf(t, p, 10, Options{})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := m.Solve(ctx, caseOf(&p)); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want that of the context", err)
	}
}

// TestWrongCases: what cannot be analysed is refused in words that name it.
func TestWrongCases(t *testing.T) {
	eye := plate.Place{Feature: 1}
	good := plate.Load{ID: 5, Name: "pull", Kind: plate.BoreForce, On: eye, Force: [3]float64{4000}, At: [3]float64{2: 5}}
	with := func(change func(l *plate.Load)) plate.Plate {
		l := good
		change(&l)
		return bar(l)
	}
	supported := func(s ...plate.Support) plate.Plate {
		p := bar(good)
		p.Supports = s
		return p
	}
	for _, tc := range []struct {
		name, want string
		p          plate.Plate
		change     func(c *plate.LoadCase)
	}{
		{"no load", "no load", bar(), nil},
		{"factor", "factor is 0", bar(good), func(c *plate.LoadCase) { c.Factor = 0 }},
		{"factor of a load", "not finite", bar(good), func(c *plate.LoadCase) { c.Loads[0].Factor = math.NaN() }},
		{"setting", "setting 9", bar(good), func(c *plate.LoadCase) { c.Setting = 9 }},
		{"eccentric", `eccentric "cam"`, func() plate.Plate {
			p := bar(good)
			p.Eccentrics = []plate.Eccentric{{ID: 50, Name: "cam", Bore: 1, E: 2, Inner: 5}}
			return p
		}(), nil},
		{"unknown load", "load 77", bar(good), func(c *plate.LoadCase) { c.Loads[0].Load = 77 }},
		{"unknown support", "support 77", bar(good), func(c *plate.LoadCase) { c.Supports = []plate.ID{77} }},
		{"no support", "no support", supported(), nil},
		{"hinge", `support "pin" is of the kind`, supported(plate.Support{ID: 2, Name: "pin", Kind: plate.Hinged, On: eye}), nil},
		{"area", "acts on an area", supported(plate.Support{ID: 2, Name: "pad", Kind: plate.Fixed}), nil},
		{"moment", `load "pull" is of the kind`, with(func(l *plate.Load) { l.Kind = plate.Moment }), nil},
		{"infinite", "not finite", with(func(l *plate.Load) { l.Force[1] = math.Inf(1) }), nil},
		{"no such feature", "feature 66", with(func(l *plate.Load) { l.On.Feature = 66 }), nil},
		{"off the edge", "away from the outline", with(func(l *plate.Load) {
			l.Kind, l.On = plate.LineForce, plate.Place{OnEdge: true, X1: 500, X2: 600}
		}), nil},
		{"no length", "shorter than an element", with(func(l *plate.Load) {
			l.Kind, l.On = plate.LineForce, plate.Place{OnEdge: true, X1: 20, X2: 20}
		}), nil},
		{"press on an edge", "no round wall", with(func(l *plate.Load) { l.On = plate.Place{OnEdge: true, X1: 120, X2: 120, Y2: 40} }), nil},
		{"nothing", "nothing acts", with(func(l *plate.Load) { l.Force = [3]float64{} }), nil},
		{"middle", "all of the top or the bottom", with(func(l *plate.Load) {
			l.Kind, l.On = plate.AreaForce, plate.Place{Side: plate.Through}
		}), nil},
	} {
		c := caseOf(&tc.p)
		if tc.change != nil {
			tc.change(&c)
		}
		_, err := modelOf(t, tc.p, 20, Options{Layers: 1, LayerHeight: 20}).Solve(t.Context(), c)
		if err == nil || !strings.Contains(err.Error(), tc.want) || !strings.Contains(err.Error(), `load case "one"`) {
			t.Errorf("%s: error %v, want one with %q", tc.name, err, tc.want)
		}
	}
}
