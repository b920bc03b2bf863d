package scene

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// What a drawing office adds to the bare shape: axes, threads, cut lines, names, work zero.

// axes draws chain lines through bores and holes, pitch circles, and the thin three-quarter circle of threads (ISO 6410).
func (p *Painter) axes() {
	if p.o.Show&Axes == 0 {
		return
	}
	p.path.Reset()
	p.dot.Reset()
	for i := range p.l.Cuts {
		c := &p.l.Cuts[i]
		switch c.Kind {
		case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed:
			p.axis(c, p.bossRadius(i))
		}
	}
	for i := range p.l.Plate.Circles {
		p.pitchCircle(&p.l.Plate.Circles[i])
	}
	for i := range p.l.Plate.Rings {
		p.pitchCircle(&p.l.Plate.Rings[i].BoltCircle)
	}
	thin := Stroke{Width: thinWidth, Color: p.o.Theme.Thin}
	if !p.dot.Empty() {
		p.c.Stroke(&p.dot, thin)
	}
	thin.Dash = chainDash
	p.stroke(thin)
}

// axis adds the cross of one round cut: four lines from its centre outwards, so that each begins with a long dash.
func (p *Painter) axis(c *layout.Cut, boss float64) {
	x, y := p.cam.ToPx(c.Center)
	r := c.Diameter / 2 * p.cam.Scale
	reach := p.crossReach(c, boss)
	if r < 2 || !p.onCanvas(x, y, reach) {
		return
	}
	path := &p.path
	if c.Kind != layout.CutBore {
		path = &p.dot // a small cross is too short for a chain line
	}
	path.Line(x, y, x+reach, y)
	path.Line(x, y, x-reach, y)
	path.Line(x, y, x, y-reach)
	path.Line(x, y, x, y+reach)
	if c.Kind == layout.CutTapped && c.Pitch > 0 && p.near(c) {
		p.thread(x, y, (c.Diameter+c.Pitch)/2*p.cam.Scale)
	}
}

// crossReach is half the length of a round cut's axes, px: a little beyond what is seen of it.
func (p *Painter) crossReach(c *layout.Cut, boss float64) float64 {
	r := c.Diameter / 2 * p.cam.Scale
	if c.Kind != layout.CutBore {
		return r + min(max(r/2, 2), 5)
	}
	return max(r, boss*p.cam.Scale) + 8
}

// bossRadius is the boss of cut i; a layout without a map has none worked out.
func (p *Painter) bossRadius(i int) float64 {
	if i < len(p.art.bosses) {
		return p.art.bosses[i]
	}
	return 0
}

// near reports whether a cut is open to the side looked at.
func (p *Painter) near(c *layout.Cut) bool { return c.Side == plate.Through || c.Side == p.side }

// thread adds three quarters of a circle, open in the lower left as seen on the canvas.
func (p *Painter) thread(x, y, r float64) {
	if r < 3 {
		return
	}
	const from, turn = 190 * math.Pi / 180, 250 * math.Pi / 180
	s0, c0 := math.Sincos(from)
	s1, c1 := math.Sincos(from + turn)
	p.dot.MoveTo(x+r*c0, y+r*s0)
	p.dot.ArcTo(x, y, turn, x+r*c1, y+r*s1)
}

func (p *Painter) pitchCircle(b *plate.BoltCircle) {
	x, y := p.cam.ToPx(p.circleCenter(b))
	if r := b.Diameter / 2 * p.cam.Scale; r > 4 && p.onCanvas(x, y, r) {
		p.path.Circle(x, y, r)
	}
}

func (p *Painter) circleCenter(b *plate.BoltCircle) geom.Point {
	for i := range p.l.Plate.Bores {
		if bore := &p.l.Plate.Bores[i]; b.Bore != 0 && bore.ID == b.Bore {
			return geom.Pt(bore.X, bore.Y)
		}
	}
	return geom.Pt(b.X, b.Y)
}

// cutLines draws each cut line as a chain line with heavy ends (ISO 128) and its name at the first.
func (p *Painter) cutLines() {
	if p.o.Show&CutLines == 0 {
		return
	}
	for i := range p.l.Plate.CutLines {
		k := &p.l.Plate.CutLines[i]
		ink := p.o.Theme.Ink
		if k.ID == p.o.Selected {
			ink = p.o.Theme.Selection
		}
		x0, y0 := p.cam.ToPx(geom.Pt(k.X1, k.Y1))
		x1, y1 := p.cam.ToPx(geom.Pt(k.X2, k.Y2))
		d := math.Hypot(x1-x0, y1-y0)
		if !(d > 1) {
			continue
		}
		ux, uy := (x1-x0)/d, (y1-y0)/d
		p.path.Reset()
		p.path.Line(x0, y0, x1, y1)
		p.stroke(Stroke{Width: thinWidth, Dash: chainDash, Color: ink})
		p.path.Reset()
		p.path.Line(x0-ux*8, y0-uy*8, x0+ux*4, y0+uy*4)
		p.path.Line(x1+ux*8, y1+uy*8, x1-ux*4, y1-uy*4)
		p.stroke(Stroke{Width: rimWidth, Color: ink})
		p.endLabel(x0-ux*12, y0-uy*12, -ux, -uy, k.Name, ink)
	}
}

// endLabel writes a name at the end of a line that runs out in direction (ux, uy): above a level line, beyond an upright
// one, and never off the canvas to the left or right.
func (p *Painter) endLabel(x, y, ux, uy float64, name string, ink rgba) {
	size := p.o.TextSize
	w := TextWidth(name, TextStyle{Size: size})
	switch {
	case ux > 0.5:
		x, y = x-8, y-6
	case ux < -0.5:
		x, y = x+8-w, y-6
	default:
		x, y = x-w/2, y+size*(0.36+0.6*uy)
	}
	p.text(max(min(x, p.cam.Width-8-w), 8), y, name, Start, ink)
}

// names writes the names of the bores: inside where there is room, else beside on a slip of paper.
func (p *Painter) names() {
	if p.o.Show&Names == 0 {
		return
	}
	size := p.o.TextSize
	for i := range p.l.Plate.Bores {
		b := &p.l.Plate.Bores[i]
		x, y := p.cam.ToPx(geom.Pt(b.X, b.Y))
		r := b.Diameter / 2 * p.cam.Scale
		style := TextStyle{Size: size, Align: Middle, Color: p.o.Theme.Ink}
		w := TextWidth(b.Name, style)
		if !p.onCanvas(x, y, r+w) {
			continue
		}
		// Inside, on the side of the axis where the work zero's arrow does not point; without room, below.
		ty := y + size*2
		if _, sy := p.cam.signs(); sy < 0 {
			ty = y - size*1.25
		}
		if math.Hypot(w/2+3, size*2.2) > r-3 {
			ty = y + r + size*1.5
		}
		p.slip(x-w/2, ty, w)
		p.c.Text(x, ty, b.Name, style)
	}
}

// slip lays a piece of paper under a line of text that starts at (x, y) and is w long.
func (p *Painter) slip(x, y, w float64) {
	size := p.o.TextSize
	p.paper(x-3, y-size*0.95, x+w+3, y+size*0.3)
}

// paper covers a rectangle, so that what is written on it can be read wherever the plate is.
func (p *Painter) paper(x0, y0, x1, y1 float64) {
	p.path.Reset()
	p.path.Rect(x0, y0, x1-x0, y1-y0)
	p.fill(Ink{Color: p.o.Theme.Paper})
}

// zero draws the work zero, a circle with two dark quarters, and arrows along the plate's X and Y, which point as the plate
// is seen.
func (p *Painter) zero() {
	if p.o.Show&Zero == 0 {
		return
	}
	m := p.l.Plate.Machining
	at := geom.Pt(m.ZeroX, m.ZeroY)
	x, y := p.cam.ToPx(at)
	const reach, r = 44, 5
	if !finite(at) || !p.onCanvas(x, y, reach+20) {
		return
	}
	sx, sy := p.cam.signs()
	ink := p.o.Theme.Ink
	p.path.Reset()
	p.path.Line(x, y, x+sx*reach, y)
	p.path.Line(x, y, x, y-sy*reach)
	p.stroke(Stroke{Width: 1, Color: ink})
	p.path.Reset()
	p.path.Circle(x, y, r)
	p.fill(Ink{Color: p.o.Theme.Paper})
	p.stroke(Stroke{Width: 1, Color: ink})
	p.path.Reset()
	p.quarter(x, y, r, 0)
	p.quarter(x, y, r, math.Pi)
	p.arrow(x+sx*(reach+6), y, sx, 0)
	p.arrow(x, y-sy*(reach+6), 0, -sy)
	p.fill(Ink{Color: ink})
	// The letters stand on the far side of the axes: outside the plate, when the zero is at its corner.
	size := p.o.TextSize
	p.text(x+sx*reach, y+sy*size*0.85+size*0.36, "X", Middle, ink)
	p.text(x-sx*size*0.85, y-sy*reach+size*0.36, "Y", Middle, ink)
}

func (p *Painter) quarter(x, y, r, from float64) {
	s0, c0 := math.Sincos(from)
	s1, c1 := math.Sincos(from + math.Pi/2)
	p.path.MoveTo(x, y)
	p.path.LineTo(x+r*c0, y+r*s0)
	p.path.ArcTo(x, y, math.Pi/2, x+r*c1, y+r*s1)
	p.path.Close()
}

// arrow adds a filled arrowhead with its tip at (x, y), three times as long as wide (ISO 129), pointing along (ux, uy).
func (p *Painter) arrow(x, y, ux, uy float64) {
	const long, half = 9, 1.8
	bx, by := x-ux*long, y-uy*long
	p.path.MoveTo(x, y)
	p.path.LineTo(bx-uy*half, by+ux*half)
	p.path.LineTo(bx+uy*half, by-ux*half)
	p.path.Close()
}
