package scene

import (
	"math"
)

// Where dimension lines stand, px.
const (
	dimensionClear = 34 // from the plate to the first row
	dimensionRow   = 26 // from row to row
	dimensionEdge  = 40 // least distance from the edge of the canvas
	extensionGap   = 3  // between a point and its extension line
	extensionOver  = 5  // of the extension line beyond the dimension line
)

// dimensions draws the live dimensions in the colour of the selection, lettered as on a drawing (ISO 129): value in a gap
// of the line, reading from the right beside upright lines.
func (p *Painter) dimensions() {
	for i := range p.o.Dimensions {
		d := &p.o.Dimensions[i]
		if !finite(d.From) || !finite(d.To) {
			continue
		}
		switch d.Run {
		case AlongX:
			p.level(d)
		case AlongY:
			p.upright(d)
		default:
			p.aligned(d)
		}
	}
}

// plateBox is the plate on the canvas.
func (p *Painter) plateBox() (left, bottom float64) {
	if p.l == nil {
		return p.cam.Width / 2, p.cam.Height / 2
	}
	b := p.l.Outline.Outer.Box()
	x0, y0 := p.cam.ToPx(b.Min)
	x1, y1 := p.cam.ToPx(b.Max)
	return min(x0, x1), max(y0, y1)
}

// lastRow is the outermost row of the dimensions of one run: where the canvas ends, all rows move inwards together.
func (p *Painter) lastRow(run Run) int {
	last := 0
	for i := range p.o.Dimensions {
		if d := &p.o.Dimensions[i]; d.Run == run {
			last = max(last, d.Row)
		}
	}
	return last
}

func (p *Painter) level(d *Dimension) {
	x0, y0 := p.cam.ToPx(d.From)
	x1, y1 := p.cam.ToPx(d.To)
	_, bottom := p.plateBox()
	y := min(bottom+dimensionClear, p.cam.Height-dimensionEdge-dimensionRow*float64(p.lastRow(AlongX)))
	y = math.Round(max(y, dimensionEdge) + dimensionRow*float64(d.Row))
	p.path.Reset()
	p.extension(x0, y0, x0, y)
	p.extension(x1, y1, x1, y)
	p.measure(d, x0, y, x1, y, math.Abs(d.To.X-d.From.X))
}

func (p *Painter) upright(d *Dimension) {
	x0, y0 := p.cam.ToPx(d.From)
	x1, y1 := p.cam.ToPx(d.To)
	left, _ := p.plateBox()
	x := max(left-dimensionClear, dimensionEdge+dimensionRow*float64(p.lastRow(AlongY)))
	x = math.Round(min(x, p.cam.Width-dimensionEdge) - dimensionRow*float64(d.Row))
	p.path.Reset()
	p.extension(x0, y0, x, y0)
	p.extension(x1, y1, x, y1)
	p.measure(d, x, y0, x, y1, math.Abs(d.To.Y-d.From.Y))
}

func (p *Painter) aligned(d *Dimension) {
	x0, y0 := p.cam.ToPx(d.From)
	x1, y1 := p.cam.ToPx(d.To)
	p.path.Reset()
	p.measure(d, x0, y0, x1, y1, d.From.Dist(d.To))
}

// extension adds the thin line from a measured point past the dimension line.
func (p *Painter) extension(x0, y0, x1, y1 float64) {
	d := math.Hypot(x1-x0, y1-y0)
	if d <= extensionGap {
		return
	}
	ux, uy := (x1-x0)/d, (y1-y0)/d
	p.path.Line(x0+ux*extensionGap, y0+uy*extensionGap, x1+ux*extensionOver, y1+uy*extensionOver)
}

// measure draws the dimension line from (x0, y0) to (x1, y1) with the extension lines already in the path. The value stands
// in a gap in the middle, or beyond the end where the line is too short.
func (p *Painter) measure(d *Dimension, x0, y0, x1, y1, length float64) {
	ink := p.o.Theme.Selection
	style := TextStyle{Size: p.o.TextSize + 2, Align: Middle, Color: ink}
	text := p.dimensionText(d, length)
	w := TextWidth(text, style) + 10
	long := math.Hypot(x1-x0, y1-y0)
	ux, uy := 1.0, 0.0
	if long > 0 {
		ux, uy = (x1-x0)/long, (y1-y0)/long
	}
	up := math.Abs(ux) < 0.05 // upright: the text is turned
	style.Up = up
	span := w
	if !up && d.Run == Aligned {
		span = w*math.Abs(ux) + style.Size*1.4*math.Abs(uy)
	}
	mx, my := (x0+x1)/2, (y0+y1)/2
	const arrows = 24
	inside := long >= span+arrows
	if inside {
		p.path.Line(x0, y0, mx-ux*span/2, my-uy*span/2)
		p.path.Line(mx+ux*span/2, my+uy*span/2, x1, y1)
	} else {
		p.path.Line(x0-ux*16, y0-uy*16, x1+ux*16, y1+uy*16)
		mx, my = x1+ux*(16+span/2), y1+uy*(16+span/2)
	}
	p.stroke(Stroke{Width: 1, Color: ink})
	p.path.Reset()
	sign := 1.0
	if !inside {
		sign = -1
	}
	p.arrow(x0, y0, -ux*sign, -uy*sign)
	p.arrow(x1, y1, ux*sign, uy*sign)
	p.fill(Ink{Color: ink})
	drop := style.Size * 0.36
	if h := style.Size * 0.65; up {
		p.paper(mx-h, my-w/2+3, mx+h, my+w/2-3)
	} else {
		p.paper(mx-w/2+3, my-h, mx+w/2-3, my+h)
	}
	if up {
		p.c.Text(mx+drop, my, text, style)
		return
	}
	p.c.Text(mx, my+drop, text, style)
}

func (p *Painter) dimensionText(d *Dimension, length float64) string {
	text := d.Text
	if text == "" {
		text = p.o.Unit.Length(length)
	}
	if d.Change != 0 {
		c := p.o.Unit.Length(d.Change)
		if d.Change > 0 {
			c = "+" + c
		} else if c[0] == '-' {
			c = "\u2212" + c[1:]
		}
		text += "  " + c
	}
	return text
}
