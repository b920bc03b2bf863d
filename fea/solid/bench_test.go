package solid

import "testing"

// BenchmarkCheck is the whole solid check of a ribbed panel of about 150,000 unknowns
// under one load, from the plane mesh to stresses, and the memory of its factor.
func BenchmarkCheck(b *testing.B) {
	plane, metal := panelMesh(b, 50, 10, 4.25, Interval{0, 3})
	b.ReportAllocs()
	for b.Loop() {
		m := build(b, plane, metal, Material{E: 70000, Nu: 0.33}, Options{})
		held := make([]bool, m.Unknowns())
		m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) })
		load := m.Zeros()
		m.AddBody(nil, func(Vec) Vec { return Vec{0, 0, 1e-3} }, load)
		s, err := m.Factor(b.Context(), held, nil)
		if err != nil {
			b.Fatal(err)
		}
		r, err := s.Solve(b.Context(), load)
		if err != nil {
			b.Fatal(err)
		}
		r.NodeStress()
		b.ReportMetric(float64(m.Unknowns()), "unknowns")
		b.ReportMetric(float64(s.Factor.Bytes())/(1<<20), "MiB-factor")
		s.Release()
	}
}
