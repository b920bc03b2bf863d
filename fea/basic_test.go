package fea

import (
	"math"
	"slices"
	"testing"

	"platewright/plate"
)

// TestCantilever: a strip held at one end, loaded at the other, in and out of its
// plane, against beam theory with shear (S. Timoshenko, from memory):
// w = F L³/3EI + F L/κGA.
func TestCantilever(t *testing.T) {
	const l, b, h, f = 300.0, 20.0, 10.0, 100.0
	base := rectangle(l, b, h)
	base.Supports = []plate.Support{{ID: 1, Name: "wall", Kind: plate.Fixed, On: edge(0, 0, 0, b)}}
	g := alloy.Young / 2.6
	for _, c := range []struct {
		name  string
		force [3]float64
		want  float64
		k     int
	}{
		{"pull", [3]float64{f}, f * l / alloy.Young / b / h, 0},
		{"sideways", [3]float64{0, f}, f*l*l*l/3/alloy.Young/(h*b*b*b/12) + 1.2*f*l/g/b/h, 1},
		{"out of the plane", [3]float64{0, 0, f}, f*l*l*l/3/alloy.Young/(b*h*h*h/12) + 1.2*f*l/g/b/h, 2},
	} {
		p := base
		p.Loads = []plate.Load{{ID: 2, Name: c.name, Kind: plate.LineForce, On: edge(l, 0, l, b), Force: c.force}}
		r := solve(t, p, Options{})
		n := 0
		for i, q := range r.model.Mesh.Nodes {
			if q.X > l-1e-9 && q.Y > b/2-1 && q.Y < b/2+1 {
				n = i
			}
		}
		within(t, c.name+": end moves", r.Displacement(int32(n), h/2)[c.k], c.want, 1)
	}
}

// While a bore is dragged the coarse mesh moves with it, and displacements are those of
// a mesh made anew within what a coarse model is good for; where metal comes or goes,
// or on a fine model, the mesh is made anew.
func TestCoarseMeshFollows(t *testing.T) {
	p := trike(t)
	last, err := NewModel(t.Context(), derive(t, p), Options{Coarse: true})
	if err != nil {
		t.Fatal(err)
	}
	first := last
	for range 4 {
		p.Bores = slices.Clone(p.Bores)
		p.Bores[2].X += 0.3
		l := derive(t, p)
		if last, err = NewModel(t.Context(), l, Options{Coarse: true, From: last}); err != nil {
			t.Fatal(err)
		}
	}
	if !last.Mesh.Followed || len(last.Mesh.Triangles) != len(first.Mesh.Triangles) {
		t.Fatal("the mesh was made anew for four steps of 0.3 mm")
	}
	if _, err := first.Solve(t.Context(), oneCase(&p)); err != nil {
		t.Fatal(err)
	}
	ordered := first.orders.list
	got, err := last.Solve(t.Context(), oneCase(&p))
	if err != nil {
		t.Fatal(err)
	}
	if now := last.orders.list; len(ordered) != 1 || len(now) != 1 || now[0] != ordered[0] {
		t.Error("the order of elimination was not kept")
	}
	fixed := slices.Clone(p.Supports)
	fixed[0].Kind = plate.Fixed
	if h, err := last.hold(t.Context(), fixed, adjusted{}); err != nil || h.sym == ordered[0] {
		t.Errorf("another support was given the old order, or none: %v", err)
	}
	want := solve(t, p, Options{Coarse: true})
	if a, b := got.Cases[0].MaxDeflection, want.MaxDeflection; math.Abs(a/b-1) > 0.03 {
		t.Errorf("deflection %g on the mesh that followed, %g on a new one", a, b)
	}
	fine, err := NewModel(t.Context(), derive(t, p), Options{From: last})
	if err != nil {
		t.Fatal(err)
	}
	if fine.Mesh.Followed {
		t.Error("a fine mesh followed a coarse one")
	}
	p.Grids, p.Ribs = nil, nil
	other, err := NewModel(t.Context(), derive(t, p), Options{Coarse: true, From: last})
	if err != nil {
		t.Fatal(err)
	}
	if other.Mesh.Followed {
		t.Error("the mesh followed a plate of other metal")
	}
}

// trike is the cargo trike's side plate on two hinges, with a load on the third bore.
func trike(t testing.TB) plate.Plate {
	p := sample(t, "cargo-trike-side-plate")
	p.Supports = []plate.Support{
		{ID: 101, Name: "axle", Kind: plate.Hinged, On: at(1)},
		{ID: 102, Name: "motor", Kind: plate.Hinged, On: at(2)},
	}
	p.Loads = []plate.Load{{ID: 103, Name: "bed", Kind: plate.BoreForce, On: at(3), Force: [3]float64{0, -2000, 100}, At: [3]float64{0, 0, 7.5}}}
	return p
}
