package geom

import (
	"math"
	"testing"
)

// benchPlate is a plate of 600×400 mm with an isogrid of ribs, bosses and holes,
// the size of the largest plates expected: about 200 cells and 50 holes.
type benchPlate struct {
	outline, inset      Shape
	ribs, bosses, holes []Shape
}

func newBenchPlate() benchPlate {
	const w, h, pitch, rim, rib = 600.0, 400.0, 46.0, 8.0, 3.0
	p := benchPlate{
		outline: RegionOf(RoundedRect(Pt(0, 0), Pt(w, h), 25)),
		inset:   RegionOf(RoundedRect(Pt(rim, rim), Pt(w-rim, h-rim), 25-rim)),
	}
	dy := pitch * math.Sqrt(3) / 2
	node := func(i, j int) Point {
		return Pt(float64(i)*pitch+math.Mod(float64(j), 2)*pitch/2-10, float64(j)*dy-5)
	}
	for j := 0; j < 12; j++ {
		for i := 0; i < 15; i++ {
			a := node(i, j)
			odd := j & 1
			for _, b := range []Point{node(i+1, j), node(i+odd, j+1), node(i+odd-1, j+1)} {
				p.ribs = append(p.ribs, RegionOf(Capsule(a, b, rib/2)))
			}
			if (i+2*j)%3 == 0 && a.X > 30 && a.X < w-30 && a.Y > 30 && a.Y < h-30 {
				p.bosses = append(p.bosses, RegionOf(Circle(a, 8)))
				p.holes = append(p.holes, RegionOf(Circle(a, 3)))
			}
		}
	}
	return p
}

func (p benchPlate) metal() []Shape { return append(append([]Shape{}, p.ribs...), p.bosses...) }

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func BenchmarkDifferencePlate(b *testing.B) {
	p := newBenchPlate()
	m := p.metal()
	var e Engine
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n = len(must(e.Difference(p.inset, m...)))
	}
	b.ReportMetric(float64(n), "cells")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "µs/cell")
}

func BenchmarkOpenPlate(b *testing.B) {
	p := newBenchPlate()
	var e Engine
	s := must(e.Difference(p.inset, p.metal()...))
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n = len(must(e.Open(s, 3)))
	}
	b.ReportMetric(float64(n), "cells")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "µs/cell")
}

// BenchmarkCell is one edited cell: three ribs and a boss taken from a triangle,
// then opened.
func BenchmarkCell(b *testing.B) {
	var e Engine
	t := []Point{Pt(0, 0), Pt(46, 0), Pt(23, 40)}
	tri := RegionOf(Polygon(t...))
	cut := []Shape{
		RegionOf(Capsule(t[0], t[1], 1.5)), RegionOf(Capsule(t[1], t[2], 1.5)),
		RegionOf(Capsule(t[2], t[0], 1.5)), RegionOf(Circle(t[0], 8)),
	}
	b.ReportAllocs()
	for b.Loop() {
		must(e.Open(must(e.Difference(tri, cut...)), 3))
	}
}

func BenchmarkSubdividePlate(b *testing.B) {
	p := newBenchPlate()
	var e Engine
	s := must(e.Open(must(e.Difference(p.inset, p.metal()...)), 3))
	layers := append([]Shape{p.outline}, p.holes...)
	for _, r := range s {
		layers = append(layers, Shape{r})
	}
	b.ReportAllocs()
	n, edges := 0, 0
	for b.Loop() {
		d := must(e.Subdivide(layers))
		n, edges = len(d.Faces), len(d.Edges)
	}
	b.ReportMetric(float64(n), "faces")
	b.ReportMetric(float64(edges), "edges")
}

func BenchmarkMergePlate(b *testing.B) {
	p := newBenchPlate()
	d := must(Subdivide(append(append([]Shape{p.outline, p.inset}, p.metal()...), p.holes...)))
	b.ReportAllocs()
	for b.Loop() {
		_, _, err := d.Merge(func(f int) int { return min(len(d.Faces[f].Layers), 3) })
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(d.Faces)), "faces")
}

func BenchmarkGapsPlate(b *testing.B) {
	p := newBenchPlate()
	var e Engine
	s := must(e.Open(must(e.Difference(p.inset, p.metal()...)), 3))
	cs := append(s.Contours(), p.outline.Contours()...)
	for _, h := range p.holes {
		cs = append(cs, h.Contours()...)
	}
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n = len(Gaps(cs, 10))
	}
	b.ReportMetric(float64(n), "gaps")
}

func BenchmarkOffsetsPlate(b *testing.B) {
	p := newBenchPlate()
	var e Engine
	s := must(e.Open(must(e.Difference(p.inset, p.metal()...)), 3))
	b.ReportAllocs()
	for b.Loop() {
		must(e.Offsets(s, []float64{-3, -6, -9, -12}))
	}
}

func BenchmarkInscribedCell(b *testing.B) {
	var e Engine
	s := must(e.Open(must(e.Difference(RegionOf(Polygon(Pt(0, 0), Pt(46, 0), Pt(23, 40))), RegionOf(Circle(Pt(0, 0), 8)))), 3))
	b.ReportAllocs()
	for b.Loop() {
		InscribedCircle(s[0])
	}
}
