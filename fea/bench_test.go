package fea

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/layout"
)

// BenchmarkSolve is the whole live analysis of the largest samples with their own load
// cases, layout apart, with its parts: mesh, equations (order of elimination), factor,
// solution (loads, pins and reactions included), what lies about the peaks, and stresses.
// Buffers are kept from one to the next, as the program does. The coarse ones are steps of
// a drag: a bore goes to and fro by 0.3 mm, and mesh and order of elimination of the step
// before are followed.
func BenchmarkSolve(b *testing.B) {
	for _, name := range []string{"cargo-trike-side-plate", "field-robot-bogie-arm", "camera-dolly-deck", "cargo-trike-frame-side"} {
		p := anySample(b, name)
		for _, coarse := range []bool{false, true} {
			o, what := Options{Coarse: coarse}, name
			if coarse {
				what += "/coarse"
			}
			b.Run(what, func(b *testing.B) {
				steps := []*layout.Layout{derive(b, p)}
				if coarse {
					moved := p
					moved.Bores = slices.Clone(p.Bores)
					moved.Bores[len(moved.Bores)-1].X += 0.3
					steps = append(steps, derive(b, moved))
				}
				o.Buffers = &sparse.Buffers{}
				parts := map[string]time.Duration{}
				// The first run has no buffers yet.
				m, r := inParts(b, steps[0], o, map[string]time.Duration{})
				b.ReportAllocs()
				for n := 1; b.Loop(); n++ {
					o.From = m
					m, r = inParts(b, steps[n%len(steps)], o, parts)
					if m.Mesh.Followed != coarse {
						b.Fatal("a mesh followed that should not, or did not that should")
					}
				}
				b.ReportMetric(float64(len(p.Cases)), "cases")
				b.ReportMetric(float64(len(m.Mesh.Triangles)), "elements")
				b.ReportMetric(float64(len(r.Mesh.Triangles)), "divided")
				for name, d := range parts {
					b.ReportMetric(d.Seconds()*1e3/float64(b.N), "ms-"+name)
				}
			})
		}
	}
}

// inParts does what NewModel and Solve do, part by part. It returns the model of the
// displacements and that of the stresses.
func inParts(b *testing.B, l *layout.Layout, o Options, parts map[string]time.Duration) (whole, fine *Model) {
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
	for i := range l.Plate.Cases {
		c := &l.Plate.Cases[i]
		set, err := m.adjust(c.Setting)
		must(err)
		key := heldKey(c)
		if a.held[key] != nil {
			continue
		}
		list, err := supportsIn(a.supports, c)
		must(err)
		hold, err := m.hold(ctx, list, set)
		must(err)
		done("equations")
		a.held[key], err = hold.factored(ctx)
		must(err)
		done("factor")
	}
	solved, failed, err := a.solveCases(ctx, l.Plate.Cases)
	must(errors.Join(append(failed, err)...))
	done("solution")
	fine, _, err = a.refined(ctx, solved)
	must(err)
	done("peaks")
	m.Shell.Few(len(solved), func(i int) { fine.finish(solved[i]) })
	done("stresses")
	return m, fine
}

// anySample is a sample by itself or in a set.
func anySample(b *testing.B, name string) plate.Plate {
	if name == "cargo-trike-frame-side" {
		return ofSet(b, "cargo-trike", name+".plate")
	}
	return sample(b, name)
}
