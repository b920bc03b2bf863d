package scene

import (
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// What a window costs: a frame of 1200 × 800 px of a plate with over two hundred cells.

func BenchmarkFrame(b *testing.B) {
	l := derive(b, large())
	var r Raster
	var p Painter
	cam := Fit(l, 1200, 800, plate.Top)
	o := Options{
		Theme: Light(), Show: Usual, Selected: 1, Findings: l.Findings,
		Handles: []Handle{{At: geom.Pt(70, 70), Hot: true}},
	}
	frame := func() {
		r.Begin(1200, 800, 1, o.Theme.Paper)
		p.Paint(&r, l, cam, o)
	}
	frame()
	b.ReportAllocs()
	for b.Loop() {
		frame()
	}
}

// The same plate after each edit: nothing of the last layout can be used again.
func BenchmarkFrameOfNewLayout(b *testing.B) {
	l := derive(b, large())
	var r Raster
	cam := Fit(l, 1200, 800, plate.Top)
	o := Options{Theme: Light(), Show: Usual}
	b.ReportAllocs()
	for b.Loop() {
		r.Begin(1200, 800, 1, o.Theme.Paper)
		Paint(&r, l, cam, o)
	}
}
