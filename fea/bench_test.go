package fea

import (
	"context"
	"slices"
	"testing"
	"time"

	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/layout"
)

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

// BenchmarkSolve is the whole live analysis of large samples, layout apart, with its
// parts: the coarse analysis that finds peaks, mesh, equations (order of elimination),
// factor, solution (pins included) and stresses. Buffers are kept from one to the next, as the program does. The coarse ones
// are steps of a drag: a bore goes to and fro by 0.3 mm, and mesh and order of elimination
// of the step before are followed.
func BenchmarkSolve(b *testing.B) {
	trike := trike(b)
	fixed := trike
	fixed.Supports = append([]plate.Support(nil), trike.Supports...)
	for i := range fixed.Supports {
		fixed.Supports[i].Kind = plate.Fixed
	}
	deck := sample(b, "camera-dolly-deck")
	arm := sample(b, "field-robot-bogie-arm")
	frame := ofSet(b, "cargo-trike", "cargo-trike-frame-side.plate")
	for _, p := range []*plate.Plate{&deck, &arm, &frame} {
		p.Supports = []plate.Support{{ID: 101, Name: "left", Kind: plate.Hinged, On: at(1)}, {ID: 102, Name: "right", Kind: plate.Fixed, On: at(2)}}
		p.Loads = []plate.Load{{ID: 103, Name: "push", Kind: plate.BoreForce, On: at(3), Force: [3]float64{0, -500, 100}, At: [3]float64{0, 0, 7.5}}}
	}
	for _, c := range []struct {
		name string
		p    plate.Plate
		o    Options
	}{
		{"hinged", trike, Options{}},
		{"fixed", fixed, Options{}},
		{"coarse", trike, Options{Coarse: true}},
		{"coarse-deck", deck, Options{Coarse: true}},
		{"coarse-arm", arm, Options{Coarse: true}},
		{"deck", deck, Options{}},
		{"arm", arm, Options{}},
		{"frame", frame, Options{}},
		{"coarse-frame", frame, Options{Coarse: true}},
	} {
		b.Run(c.name, func(b *testing.B) {
			steps := []*layout.Layout{derive(b, c.p)}
			if c.o.Coarse {
				moved := c.p
				moved.Bores = slices.Clone(c.p.Bores)
				moved.Bores[len(moved.Bores)-1].X += 0.3
				steps = append(steps, derive(b, moved))
			}
			c.o.Buffers = &sparse.Buffers{}
			parts := map[string]time.Duration{}
			// The first run has no buffers yet.
			h := inParts(b, steps[0], c.o, map[string]time.Duration{})
			b.ReportAllocs()
			for n := 1; b.Loop(); n++ {
				c.o.From = h.m
				h = inParts(b, steps[n%len(steps)], c.o, parts)
				if h.m.Mesh.Followed != c.o.Coarse {
					b.Fatal("a mesh followed that should not, or did not that should")
				}
			}
			b.ReportMetric(float64(len(h.m.Mesh.Triangles)), "elements")
			b.ReportMetric(float64(h.sym.Free()), "unknowns")
			for name, d := range parts {
				b.ReportMetric(d.Seconds()*1e3/float64(b.N), "ms-"+name)
			}
		})
	}
}

// inParts does what Solve does for the one case of a plate, part by part.
func inParts(b *testing.B, l *layout.Layout, o Options, parts map[string]time.Duration) *holding {
	from := time.Now()
	done := func(name string) {
		now := time.Now()
		parts[name] += now.Sub(from)
		from = now
	}
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	ctx := context.Background()
	m, err := NewModel(ctx, l, o)
	must(err)
	done("mesh")
	a := m.analysis(l.Plate.Supports)
	defer a.release()
	c := &oneCase(&l.Plate)[0]
	load, warm, _, used, err := a.loadsOf(c, adjusted{})
	must(err)
	hold, err := m.hold(ctx, l.Plate.Supports, adjusted{})
	must(err)
	done("equations")
	h, err := hold.factored(ctx)
	must(err)
	a.held[""] = h
	done("factor")
	s := solution{load: load}
	must(h.solve(ctx, &s))
	x := &solvedCase{h: h.holding, used: used, warm: warm}
	x.Case, x.U = *c, s.u
	m.react(&x.CaseResult, h.holding, &s)
	done("solution")
	fine, err := a.refined(ctx, []*solvedCase{x})
	must(err)
	done("peaks")
	fine.finish(x)
	done("stresses")
	return hold
}
