// Package scene draws the plate: one painter that speaks to a small Canvas, and sinks behind it for the screen (Raster),
// picture files (WritePNG, SVG) and tests (Recorder). What is seen is taken from the map, the cuts and the bosses of a
// layout, never from the document's forms, so the picture shows the plate that mass, section and DXF are computed from.
//
// Two frames are used. The plate's own: millimetres, x right, y up seen from the top, in float64. The canvas: device-
// independent pixels, x right, y down, the origin in the upper left corner. A Camera holds the way from one to the other;
// with Side set to plate.Bottom it looks at the plate turned over about the document's turn axis. Arcs stay arcs down to the
// sink, which decides how to draw them.
//
// The look is ink on paper: metal filled, pockets darker with depth under a hatch whose lines thicken with depth, windows
// as bare paper, visible edges solid, edges of the far side dashed, outline heavier than pocket edges. No meaning is carried
// by colour alone.
//
//	cam := scene.Fit(l, 1200, 800, plate.Top)
//	var r scene.Raster
//	r.Begin(1200, 800, 1, theme.Paper)
//	var p scene.Painter // keeps its buffers; one for each view
//	p.Paint(&r, l, cam, scene.Options{Theme: scene.Light(), Show: scene.Usual})
//	img := r.Image() // valid until the next Begin
package scene
