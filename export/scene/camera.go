package scene

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// The least and greatest scale of a camera, px per mm: a 100 m plate still shows as a dot, a micrometre as a pixel.
const (
	LeastScale    = 1e-4
	GreatestScale = 1e3
)

// Camera is the way from plate coordinates (mm, y up) to canvas pixels (y down). It is a value: the methods that move it
// return another one.
type Camera struct {
	Center        geom.Point // the point of the plate in the middle of the canvas, mm
	Scale         float64    // px per mm
	Width, Height float64    // of the canvas, px
	Side          plate.Side // Bottom to look at the plate turned over; else from the top
	Turn          plate.Axis // the axis it was turned about: AxisX puts y downwards, AxisY x to the left
}

// signs are +1 or −1 for each axis of the plate as seen: x to the right, y upwards.
func (c Camera) signs() (x, y float64) {
	switch {
	case c.Side != plate.Bottom:
		return 1, 1
	case c.Turn == plate.AxisY:
		return -1, 1
	}
	return 1, -1
}

// ToPx returns where on the canvas a point of the plate is.
func (c Camera) ToPx(p geom.Point) (x, y float64) {
	sx, sy := c.signs()
	return c.Width/2 + sx*c.Scale*(p.X-c.Center.X), c.Height/2 - sy*c.Scale*(p.Y-c.Center.Y)
}

// FromPx returns the point of the plate at a place of the canvas.
func (c Camera) FromPx(x, y float64) geom.Point {
	sx, sy := c.signs()
	return geom.Pt(c.Center.X+sx*(x-c.Width/2)/c.Scale, c.Center.Y-sy*(y-c.Height/2)/c.Scale)
}

// Pan returns the camera after the paper was dragged by (dx, dy) px.
func (c Camera) Pan(dx, dy float64) Camera {
	sx, sy := c.signs()
	c.Center.X -= sx * dx / c.Scale
	c.Center.Y += sy * dy / c.Scale
	return c
}

// Zoom returns the camera with its scale multiplied by factor, within the limits, and the plate's point under (x, y) px
// kept where it is.
func (c Camera) Zoom(x, y, factor float64) Camera {
	if !(factor > 0) || math.IsInf(factor, 0) {
		return c
	}
	under := c.FromPx(x, y)
	c.Scale = min(max(c.Scale*factor, LeastScale), GreatestScale)
	now := c.FromPx(x, y)
	c.Center = c.Center.Add(under.Sub(now))
	return c
}

// Resize returns the camera for a canvas of another size, with the middle kept.
func (c Camera) Resize(w, h float64) Camera {
	c.Width, c.Height = w, h
	return c
}

// The pixels kept free round a plate that is fitted: room for the legend above, for dimensions and the scale below.
const (
	marginSide   = 48
	marginTop    = 76
	marginBottom = 64
)

// Fit returns the camera that shows the whole plate in a canvas of w × h px, seen from side. A plate without extent is shown
// at 1 px per mm.
func Fit(l *layout.Layout, w, h float64, side plate.Side) Camera {
	c := Camera{Scale: 1, Width: w, Height: h, Side: side}
	if l == nil {
		return c
	}
	c.Turn = l.Plate.Machining.Turn
	return c.FitBox(extent(l))
}

// extent is the plate with the ends of its cut lines, as far as they stand out by less than a sixth of its size.
func extent(l *layout.Layout) geom.Box {
	b := l.Outline.Outer.Box()
	if b.Empty() {
		return b
	}
	room := b.Grow(max(b.Width(), b.Height()) / 6)
	all := b
	for _, k := range l.Plate.CutLines {
		for _, q := range [...]geom.Point{geom.Pt(k.X1, k.Y1), geom.Pt(k.X2, k.Y2)} {
			if room.Contains(q) {
				all = all.Add(q)
			}
		}
	}
	return all
}

// FitBox returns the camera that shows the box, in plate coordinates, with its margins.
func (c Camera) FitBox(b geom.Box) Camera {
	if b.Empty() {
		return c
	}
	c.Center = b.Center()
	across := max(c.Width-2*marginSide, c.Width/2, 1) / b.Width()
	up := max(c.Height-marginTop-marginBottom, c.Height/2, 1) / b.Height()
	if s := min(across, up); s > 0 && !math.IsInf(s, 0) {
		c.Scale = min(max(s, LeastScale), GreatestScale)
	}
	if c.Height-marginTop-marginBottom > c.Height/2 {
		c = c.Pan(0, (marginTop-marginBottom)/2)
	}
	return c
}

// contour appends a closed contour.
func (c Camera) contour(p *Path, edges []geom.Edge) {
	c.chain(p, edges)
	p.Close()
}

// chain appends the edges as one subpath.
func (c Camera) chain(p *Path, edges []geom.Edge) {
	for i, e := range edges {
		if i == 0 {
			p.MoveTo(c.ToPx(e.A))
		}
		x, y := c.ToPx(e.B)
		if e.Dir == 0 {
			p.LineTo(x, y)
			continue
		}
		cx, cy := c.ToPx(e.C)
		p.ArcTo(cx, cy, c.sweep(e), x, y)
	}
}

// sweep is the canvas angle of an arc: y points down, so the sense turns over, and once more for each mirrored axis.
func (c Camera) sweep(e geom.Edge) float64 {
	sx, sy := c.signs()
	return -sx * sy * e.Sweep()
}
