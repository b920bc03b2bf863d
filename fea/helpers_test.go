package fea

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/material"
	"platewright/samples"
)

var alloy = material.Material{
	Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: 70000, Poisson: 0.3, Proof: 240, Ultimate: 295, Group: "N", Source: "test",
}

// rectangle is a plate w × h × t with nothing in it.
func rectangle(w, h, t float64) plate.Plate {
	return plate.Plate{
		Name: "test", NextID: 1000,
		Stock: plate.Stock{
			Material: alloy, Nominal: t, Finished: t, Top: plate.AsSupplied, Bottom: plate.AsSupplied,
			Blank: plate.Blank{Margin: 5},
		},
		Outline:   plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}},
		Machining: plate.Machining{},
	}
}

func derive(t testing.TB, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// edge is the place between two points of the outline.
func edge(x1, y1, x2, y2 float64) plate.Place {
	return plate.Place{OnEdge: true, X1: x1, Y1: y1, X2: x2, Y2: y2}
}

func at(id plate.ID) plate.Place { return plate.Place{Feature: id} }

// oneCase is a limit case of all loads of a plate at factor 1.
func oneCase(p *plate.Plate) []plate.LoadCase {
	c := plate.LoadCase{ID: 900, Name: "one", Kind: plate.Limit, Factor: 1}
	for _, l := range p.Loads {
		c.Loads = append(c.Loads, plate.LoadFactor{Load: l.ID, Factor: 1})
	}
	return []plate.LoadCase{c}
}

func solve(t testing.TB, p plate.Plate, o Options) *CaseResult {
	t.Helper()
	r, err := Solve(t.Context(), derive(t, p), o, oneCase(&p))
	if err != nil {
		t.Fatal(err)
	}
	c := &r.Cases[0]
	balanced(t, c)
	return c
}

// balanced holds a case to what must be true of any: the load is what was asked,
// and reactions balance it.
func balanced(t testing.TB, c *CaseResult) {
	t.Helper()
	arm := c.model.extent
	d := c.Applied.Add(c.Asked.Scale(-1)).size(arm)
	if size := c.Asked.size(arm); d > 1e-10*max(size, c.Magnitude) {
		t.Errorf("resultant of the load differs from what was asked by %.2g of it: %v and %v", d/size, c.Applied, c.Asked)
	}
	if c.Imbalance > 1e-8 {
		t.Errorf("loads and reactions are out of balance by %.2g of the loads", c.Imbalance)
	}
}

func sample(t testing.TB, name string) plate.Plate {
	t.Helper()
	s, err := samples.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	return decoded(t, s.Data)
}

func decoded(t testing.TB, data []byte) plate.Plate {
	t.Helper()
	p, err := plate.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// ofSet is a plate of a sample set.
func ofSet(t testing.TB, set, file string) plate.Plate {
	t.Helper()
	s, err := samples.LoadSet(set)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Plates {
		if f.Name == file {
			return decoded(t, f.Data)
		}
	}
	t.Fatalf("the set %s has no plate %s", set, file)
	return plate.Plate{}
}

func within(t testing.TB, what string, got, want, percent float64) {
	t.Helper()
	d := 100 * (got/want - 1)
	if !(math.Abs(d) <= percent) {
		t.Errorf("%s = %.6g, want %.6g: off by %.2f %%, allowed %g %%", what, got, want, d, percent)
	} else {
		t.Logf("%s = %.6g, want %.6g: %+.3f %%", what, got, want, d)
	}
}

// modelOf is the model of a document.
func modelOf(t testing.TB, p plate.Plate, o Options) *Model {
	t.Helper()
	m, err := NewModel(t.Context(), derive(t, p), o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
