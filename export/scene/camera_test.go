package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/plate"
	"platewright/plate/geom"
)

func drawCamera(t *rapid.T) Camera {
	return Camera{
		Center: geom.Pt(rapid.Float64Range(-500, 500).Draw(t, "cx"), rapid.Float64Range(-500, 500).Draw(t, "cy")),
		Scale:  rapid.Float64Range(0.01, 100).Draw(t, "scale"),
		Width:  rapid.Float64Range(50, 4000).Draw(t, "w"), Height: rapid.Float64Range(50, 3000).Draw(t, "h"),
		Side: rapid.SampledFrom([]plate.Side{"", plate.Top, plate.Bottom}).Draw(t, "side"),
		Turn: rapid.SampledFrom([]plate.Axis{plate.AxisX, plate.AxisY}).Draw(t, "turn"),
	}
}

func drawPoint(t *rapid.T) geom.Point {
	return geom.Pt(rapid.Float64Range(-1000, 1000).Draw(t, "x"), rapid.Float64Range(-1000, 1000).Draw(t, "y"))
}

// There and back again is where one was; distances are multiplied by the scale.
func TestCameraThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p, q := drawCamera(t), drawPoint(t), drawPoint(t)
		x, y := c.ToPx(p)
		if back := c.FromPx(x, y); back.Dist(p) > 1e-9 {
			t.Errorf("%v came back as %v", p, back)
		}
		u, v := c.ToPx(q)
		if got, want := math.Hypot(u-x, v-y), p.Dist(q)*c.Scale; !closeTo(got, want, 1e-9*(1+want)) {
			t.Errorf("distance %g px, want %g", got, want)
		}
	})
}

// Zooming keeps the point under the pointer, and panning moves every point by the drag.
func TestCameraMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p := drawCamera(t), drawPoint(t)
		x, y := c.ToPx(p)
		z := c.Zoom(x, y, rapid.Float64Range(0.01, 100).Draw(t, "factor"))
		if u, v := z.ToPx(p); math.Hypot(u-x, v-y) > 1e-6 {
			t.Errorf("zooming moved the point under the pointer from (%g, %g) to (%g, %g)", x, y, u, v)
		}
		if z.Scale < LeastScale || z.Scale > GreatestScale {
			t.Errorf("scale %g beyond its limits", z.Scale)
		}
		dx, dy := rapid.Float64Range(-500, 500).Draw(t, "dx"), rapid.Float64Range(-500, 500).Draw(t, "dy")
		if u, v := c.Pan(dx, dy).ToPx(p); math.Hypot(u-x-dx, v-y-dy) > 1e-6 {
			t.Errorf("panning by (%g, %g) moved a point by (%g, %g)", dx, dy, u-x, v-y)
		}
	})
	c := Camera{Scale: 2, Width: 100, Height: 100}
	for _, f := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if got := c.Zoom(10, 10, f); got != c {
			t.Errorf("zooming by %g changed the camera to %+v", f, got)
		}
	}
}

// Seen from the top, x is right and y up; turned about X, y is down; turned about Y, x is left.
func TestCameraSides(t *testing.T) {
	for _, c := range []struct {
		side   plate.Side
		turn   plate.Axis
		dx, dy float64
	}{
		{plate.Top, plate.AxisX, 1, -1},
		{plate.Top, plate.AxisY, 1, -1},
		{plate.Bottom, plate.AxisX, 1, 1},
		{plate.Bottom, plate.AxisY, -1, -1},
	} {
		cam := Camera{Scale: 1, Width: 100, Height: 80, Side: c.side, Turn: c.turn}
		if x, y := cam.ToPx(geom.Pt(1, 1)); x != 50+c.dx || y != 40+c.dy {
			t.Errorf("%s turned about %s: (1, 1) at (%g, %g), want (%g, %g)", c.side, c.turn, x, y, 50+c.dx, 40+c.dy)
		}
		// An arc's middle lies where the camera puts the middle of the plate's arc.
		e := geom.Arc(geom.Pt(10, 0), geom.Pt(0, 10), geom.Pt(0, 0), 1)
		var p Path
		cam.chain(&p, []geom.Edge{e})
		g := p.segs[1]
		fx, fy := cam.ToPx(e.A)
		sin, cos := math.Sincos(g.sweep / 2)
		dx, dy := fx-g.cx, fy-g.cy
		mx, my := cam.ToPx(e.Mid())
		if x, y := g.cx+dx*cos-dy*sin, g.cy+dx*sin+dy*cos; !closeTo(x, mx, 1e-9) || !closeTo(y, my, 1e-9) {
			t.Errorf("%s turned about %s: the arc runs through (%g, %g), want (%g, %g)", c.side, c.turn, x, y, mx, my)
		}
	}
}

// A fitted plate is wholly on the canvas, as large as its margins let it be, with its cut line's ends.
func TestFitShowsThePlate(t *testing.T) {
	l := derive(t, block())
	for _, size := range [][2]float64{{1200, 800}, {300, 900}, {2000, 200}, {60, 40}, {1, 1}} {
		for _, side := range []plate.Side{plate.Top, plate.Bottom} {
			c := Fit(l, size[0], size[1], side)
			for _, q := range []geom.Point{geom.Pt(0, 0), geom.Pt(100, 60), geom.Pt(65, -4), geom.Pt(65, 64)} {
				if x, y := c.ToPx(q); x < 0 || x > size[0] || y < 0 || y > size[1] {
					t.Errorf("%v px, %s: %v is at (%g, %g)", size, side, q, x, y)
				}
			}
			if w := c.Scale * 100; w < size[0]/4 && c.Scale*68 < size[1]/4 {
				t.Errorf("%v px: the plate is only %.0f px wide", size, w)
			}
		}
	}
	if c := Fit(nil, 100, 100, plate.Top); c.Scale != 1 {
		t.Errorf("without a plate the scale is %g, want 1", c.Scale)
	}
	if c := (Camera{Scale: 3}).FitBox(geom.Box{}); c.Scale != 3 {
		t.Errorf("an empty box changed the scale to %g", c.Scale)
	}
}
