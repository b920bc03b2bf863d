package fea

import (
	"testing"

	"platewright/fea/sparse"
	"platewright/plate"
)

// trike is the largest sample on two hinges, with a load on the third bore.
func trike(t testing.TB) plate.Plate {
	p := sample(t, "cargo-trike-side-plate")
	p.Supports = []plate.Support{
		{ID: 101, Name: "axle", Kind: plate.Hinged, On: at(1)},
		{ID: 102, Name: "motor", Kind: plate.Hinged, On: at(2)},
	}
	p.Loads = []plate.Load{{ID: 103, Name: "bed", Kind: plate.BoreForce, On: at(3), Force: [3]float64{0, -2000, 100}, At: [3]float64{0, 0, 7.5}}}
	return p
}

// BenchmarkSolve is the whole live analysis of the largest sample, layout apart:
// on hinges, fixed, and coarse.
func BenchmarkSolve(b *testing.B) {
	p := trike(b)
	for _, c := range []struct {
		name string
		kind plate.SupportKind
		o    Options
	}{{"hinged", plate.Hinged, Options{}}, {"fixed", plate.Fixed, Options{}}, {"coarse", plate.Fixed, Options{Coarse: true}}} {
		b.Run(c.name, func(b *testing.B) {
			for i := range p.Supports {
				p.Supports[i].Kind = c.kind
			}
			l := derive(b, p)
			c.o.Buffers = &sparse.Buffers{}
			b.ReportAllocs()
			for b.Loop() {
				r, err := Solve(b.Context(), l, c.o, oneCase(&p))
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(r.Model.Mesh.Triangles)), "elements")
			}
		})
	}
}
