package fea

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/plate"
)

// sound is a bar on two fixed bores under a load, that each wrong case spoils.
func sound() plate.Plate {
	p := link(120, 20, 10, 16)
	p.Holes = []plate.Hole{{ID: 3, Name: "Clip", X: 80, Y: 20, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}}}
	p.Supports = []plate.Support{
		{ID: 11, Name: "left", Kind: plate.Fixed, On: at(1)},
		{ID: 12, Name: "right", Kind: plate.Hinged, On: at(2)},
	}
	p.Loads = []plate.Load{
		{ID: 13, Name: "clip", Kind: plate.BoreForce, On: at(3), Force: [3]float64{0, 100}, At: [3]float64{2: 5}},
		{ID: 14, Name: "edge", Kind: plate.LineForce, On: edge(10, 40, 60, 40), Force: [3]float64{0, 0, -50}},
		{ID: 15, Name: "patch", Kind: plate.AreaForce, On: plate.Place{Bounds: []plate.Corner{{X: 50, Y: 10}, {X: 70, Y: 10}, {X: 70, Y: 30}, {X: 50, Y: 30}}}, Force: [3]float64{0, 0, -50}},
	}
	return p
}

// TestWrongInput: each spoilt document gives one sentence that names what is wrong.
func TestWrongInput(t *testing.T) {
	type spoil func(p *plate.Plate, cs *[]plate.LoadCase, o *Options)
	nan, inf := math.NaN(), math.Inf(1)
	only := func(p *plate.Plate, k plate.SupportKind, on plate.Place) {
		p.Supports = []plate.Support{{ID: 11, Name: "only", Kind: k, On: on}}
	}
	for _, c := range []struct {
		name string
		want string // part of the message
		do   spoil
	}{
		{"no support", "no support", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Supports = nil }},
		{"one hinge", "turn about an axis along z through (20, 20) near bore \"Left\"", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Hinged, at(1)) }},
		{"one slide", "free to", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Sliding, at(1)) }},
		{"slides along an edge", "move along x", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Sliding, edge(5, 0, 150, 0)) }},
		{"spring one way", "free to", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			only(p, plate.Spring, at(1))
			p.Supports[0].Stiffness[0] = 10
		}},
		{"spring of nothing", "all stiffnesses", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Spring, at(1)) }},
		{"spring below nothing", "zero or more", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			only(p, plate.Spring, at(1))
			p.Supports[0].Stiffness[0] = -1
		}},
		{"spring not a number", "zero or more", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			only(p, plate.Spring, at(1))
			p.Supports[0].Stiffness[3] = nan
		}},
		{"all held", "holds the whole plate", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Fixed, plate.Place{}) }},
		{"hinge on an edge", "give a bore or a hole", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Hinged, edge(0, 5, 0, 35)) }},
		{"symmetry at a bore", "give an edge", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Symmetry, at(1)) }},
		{"symmetry round a corner", "off straight", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Symmetry, edge(0, 5, 60, 0)) }},
		{"support of no kind", "unknown kind", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, "glued", at(1)) }},
		{"support on nothing", "does not have", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Fixed, at(77)) }},
		{"support off the edge", "away from the outline", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Fixed, edge(80, 20, 60, 20)) }},
		{"support on air", "no metal", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			only(p, plate.Fixed, plate.Place{Bounds: []plate.Corner{{X: 500}, {X: 510}, {X: 510, Y: 10}}})
		}},
		{"support unknown", "does not have", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { (*cs)[0].Supports = []plate.ID{5} }},
		{"held and free", "either held or not", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Supports[1].Kind = plate.Free }},
		{"free without mass", "density", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Supports = []plate.Support{{ID: 1, Kind: plate.Free}}
			p.Stock.Material.Density = 0
		}},
		{"weight without mass", "density", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Loads[0].Kind = plate.Acceleration
			p.Stock.Material.Density = 0
		}},
		{"modulus zero", "modulus", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Stock.Material.Young = 0 }},
		{"modulus below zero", "modulus", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Stock.Material.Young = -1 }},
		{"modulus not a number", "modulus", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Stock.Material.Young = nan }},
		{"Poisson's ratio", "Poisson", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Stock.Material.Poisson = 0.5 }},
		{"no load", "no load; add one", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { (*cs)[0].Loads = nil }},
		{"load unknown", "does not have", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { (*cs)[0].Loads[0].Load = 99 }},
		{"load on nothing", "does not have", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[0].On.Feature = 99 }},
		{"load on air", "no metal", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Loads[2].On.Bounds = []plate.Corner{{X: 15, Y: 15}, {X: 25, Y: 15}, {X: 25, Y: 25}, {X: 15, Y: 25}}
		}},
		{"area that crosses itself", "cannot be drawn", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Loads[2].On.Bounds = []plate.Corner{{X: 50, Y: 10}, {X: 70, Y: 30}, {X: 70, Y: 10}, {X: 50, Y: 30}}
		}},
		{"held on an edge shorter than an element", "shorter than an element", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { only(p, plate.Fixed, edge(61, 0, 61.01, 0)) }},
		{"clamped by less than the hole", "no larger than its hole", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Loads[0].Kind, p.Loads[0].Clamp, p.Loads[0].Bearing = plate.ClampForce, 5000, 6
		}},
		{"load zero", "cancel", func(p *plate.Plate, cs *[]plate.LoadCase, _ *Options) {
			p.Loads[0].Force = [3]float64{}
			(*cs)[0].Loads = (*cs)[0].Loads[:1]
		}},
		{"loads that cancel", "cancel", func(p *plate.Plate, cs *[]plate.LoadCase, _ *Options) {
			(*cs)[0].Loads = []plate.LoadFactor{{Load: 13, Factor: 1}, {Load: 13, Factor: -1}}
		}},
		{"load not a number", "not finite", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[0].Force[1] = nan }},
		{"load without end", "not finite", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[0].At[2] = inf }},
		{"load of no kind", "unknown kind", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[0].Kind = "push" }},
		{"bore force on an edge", "give a bore", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[1].Kind = plate.BoreForce }},
		{"line force on an area", "give an edge", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) { p.Loads[2].Kind = plate.LineForce }},
		{"factor zero", "factor", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { (*cs)[0].Factor = 0 }},
		{"factor not a number", "factor", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { (*cs)[0].Loads[1].Factor = nan }},
		{"lifted off", "off the pins", func(p *plate.Plate, cs *[]plate.LoadCase, _ *Options) {
			// Two pins in one bore's wall that is cut open towards the load.
			p.Outline.Corners = []plate.Corner{{X: 20, Y: 0}, {X: 160, Y: 0}, {X: 160, Y: 40}, {X: 20, Y: 40}}
			p.Supports = []plate.Support{{ID: 11, Name: "hook", Kind: plate.Hinged, On: at(1)}, {ID: 12, Name: "guide", Kind: plate.Sliding, On: edge(30, 0, 150, 0)}}
			p.Loads = []plate.Load{{ID: 13, Name: "away", Kind: plate.LineForce, On: edge(160, 5, 160, 35), Force: [3]float64{100}}}
			(*cs)[0].Loads = []plate.LoadFactor{{Load: 13, Factor: 1}}
		}},
		{"open wall", "open on the side", func(p *plate.Plate, cs *[]plate.LoadCase, _ *Options) {
			p.Outline.Corners = []plate.Corner{{X: 20, Y: 0}, {X: 160, Y: 0}, {X: 160, Y: 40}, {X: 20, Y: 40}}
			p.Loads[0].On, p.Loads[0].Force = at(1), [3]float64{-100}
			p.Supports = p.Supports[1:]
			p.Supports[0].Kind = plate.Fixed
		}},
		{"in two pieces", "pieces", func(p *plate.Plate, _ *[]plate.LoadCase, _ *Options) {
			p.Pockets = []plate.Pocket{{ID: 50, Name: "slit", Kind: plate.DrawnPocket, Side: plate.Through, Radius: 2, Bounds: []plate.Corner{{X: 60, Y: -10}, {X: 70, Y: -10}, {X: 70, Y: 50}, {X: 60, Y: 50}}}}
		}},
		{"too many cases", "at most", func(_ *plate.Plate, cs *[]plate.LoadCase, _ *Options) { *cs = make([]plate.LoadCase, 100000) }},
		{"size below zero", "largest side", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.Size = -1 }},
		{"size not a number", "largest side", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.Size = nan }},
		{"size too small", "elements", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.Size = 0.01 }},
		{"across", "across a rib", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.Across = 9 }},
		{"sides round a bore", "round a loaded bore", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.ArcEdges = 3 }},
		{"clear", "left out", func(_ *plate.Plate, _ *[]plate.LoadCase, o *Options) { o.Clear = inf }},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := sound()
			cs := oneCase(&p)
			var o Options
			c.do(&p, &cs, &o)
			_, err := Solve(t.Context(), derive(t, p), o, cs)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			} else {
				t.Log(err)
			}
		})
	}
	p := sound()
	if r, err := Solve(t.Context(), derive(t, p), Options{}, oneCase(&p)); err != nil {
		t.Errorf("the sound plate gives %v", err)
	} else {
		balanced(t, &r.Cases[0])
	}
	if _, err := Solve(t.Context(), nil, Options{}, nil); err == nil {
		t.Error("no layout gives no error")
	}
}

// TestCancelled: work that is called off ends with the context's error.
func TestCancelled(t *testing.T) {
	p := sound()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Solve(ctx, derive(t, p), Options{}, oneCase(&p)); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
}
