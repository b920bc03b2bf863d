package scene

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/palette/moreland"

	"platewright/plate/geom"
)

// Field is a quantity drawn over the plate in bands of colour, such as a stress or a deflection. It is read, not kept.
type Field struct {
	Title     string // what it is, for the scale, such as "von Mises stress, top face"
	Unit      string
	Triangles []FieldTriangle
	Low, High float64 // ends of the scale; values beyond are drawn in the end bands
	Digits    int     // decimals on the scale
	Spots     []Spot
	Shape     [][]geom.Point // lines drawn over it, such as the deflected outline
	ShapeNote string         // what they are and how much exaggerated
	Stale     string         // why the field is not of the plate that is drawn; empty when it is. A stale field is drawn grey
}

// FieldTriangle is one triangle with its values at the corners and at the middles of the sides: corner 0, 1, 2, then the
// middles of 0–1, 1–2, 2–0.
type FieldTriangle struct {
	P [6]geom.Point
	V [6]float64
}

// Spot is a place with a text, such as the worst one.
type Spot struct {
	At   geom.Point
	Text string
}

// fieldBands is the number of colours of a field: as many as a reader can tell apart on the scale.
const fieldBands = 12

// bandColors are the colours from the least to the greatest value. Their lightness falls evenly from paper to ink, so that
// the order can be seen without colour (K. Moreland's black-body scale, by gonum/plot). On dark paper the order is turned,
// so that the greatest value always stands out most.
func bandColors(dark, grey bool) [fieldBands]color.RGBA {
	var out [fieldBands]color.RGBA
	m := moreland.ExtendedBlackBody()
	m.SetMin(0)
	m.SetMax(1)
	for i := range out {
		v := 0.95 - 0.77*float64(i)/(fieldBands-1)
		if dark {
			v = 0.18 + 0.77*float64(i)/(fieldBands-1)
		}
		c, err := m.At(v)
		if err != nil { // v lies within the scale's range
			c = color.Gray{Y: uint8(255 * v)}
		}
		r, g, b, _ := c.RGBA()
		out[i] = color.RGBA{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8), A: 255}
		if grey {
			y := color.GrayModel.Convert(out[i]).(color.Gray).Y
			out[i] = mix(color.RGBA{R: y, G: y, B: y, A: 255}, rgb(0x808080), 0.4)
		}
	}
	return out
}

func (t Theme) dark() bool { return int(t.Paper.R)+int(t.Paper.G)+int(t.Paper.B) < 3*128 }

// field fills the bands, least first, each over all that reaches it, so that no seam of paper shows between two.
func (p *Painter) field() {
	f := p.o.Field
	if f == nil || len(f.Triangles) == 0 {
		return
	}
	ink := bandColors(p.o.Theme.dark(), f.Stale != "")
	for k := range fieldBands {
		p.path.Reset()
		level := math.Inf(-1)
		if k > 0 {
			level = f.Low + (f.High-f.Low)*float64(k)/fieldBands
			if !(f.High > f.Low) {
				break
			}
		}
		for i := range f.Triangles {
			p.above(&f.Triangles[i], level)
		}
		p.fill(Ink{Color: ink[k]})
	}
}

// quarters are the four triangles that the middles of the sides cut a triangle into.
var quarters = [4][3]int{{0, 3, 5}, {3, 1, 4}, {5, 4, 2}, {3, 4, 5}}

// above adds what of a triangle is at the level or higher, the values running straight between its six points.
func (p *Painter) above(t *FieldTriangle, level float64) {
	least, most := t.V[0], t.V[0]
	for _, v := range t.V[1:] {
		least, most = min(least, v), max(most, v)
	}
	if !(most >= level) {
		return
	}
	if least >= level {
		p.polygonPx(t.P[0], t.P[3], t.P[1], t.P[4], t.P[2], t.P[5])
		return
	}
	for _, q := range quarters {
		var out [4]geom.Point
		n := 0
		for k := range 3 {
			a, b := q[k], q[(k+1)%3]
			va, vb := t.V[a], t.V[b]
			if va >= level {
				out[n] = t.P[a]
				n++
			}
			if (va >= level) != (vb >= level) {
				out[n] = crossing(t.P[a], t.P[b], va, vb, level)
				n++
			}
		}
		if n > 2 {
			p.polygonPx(out[:n]...)
		}
	}
}

// crossing is where the level lies between two points. It is the same point whichever way the side is walked, so that the
// borders of neighbours cancel.
func crossing(a, b geom.Point, va, vb, level float64) geom.Point {
	if va > vb {
		a, b, va, vb = b, a, vb, va
	}
	s := (level - va) / (vb - va)
	return geom.Pt(a.X+s*(b.X-a.X), a.Y+s*(b.Y-a.Y))
}

func (p *Painter) polygonPx(q ...geom.Point) {
	for i, v := range q {
		x, y := p.cam.ToPx(v)
		if i == 0 {
			p.path.MoveTo(x, y)
		} else {
			p.path.LineTo(x, y)
		}
	}
	p.path.Close()
}

// fieldNotes draws the field's lines, its worst places and its scale.
func (p *Painter) fieldNotes() {
	f := p.o.Field
	if f == nil {
		return
	}
	th := p.o.Theme
	p.path.Reset()
	for _, line := range f.Shape {
		for i, v := range line {
			x, y := p.cam.ToPx(v)
			if i == 0 {
				p.path.MoveTo(x, y)
			} else {
				p.path.LineTo(x, y)
			}
		}
	}
	p.stroke(Stroke{Width: openingWidth, Dash: hiddenDash, Color: th.Selection})
	p.fieldScale(f)
	for _, s := range f.Spots {
		p.spot(s)
	}
}

// spot marks a place by a ring with a cross, and its text beside it.
func (p *Painter) spot(s Spot) {
	x, y := p.cam.ToPx(s.At)
	if !finite(s.At) || !p.onCanvas(x, y, 40) {
		return
	}
	const r = 8
	for _, k := range []Stroke{{Width: 4, Color: p.o.Theme.Paper}, {Width: 1.6, Color: p.o.Theme.Ink}} {
		p.path.Reset()
		p.path.Circle(x, y, r)
		p.path.Line(x-2*r, y, x-r, y)
		p.path.Line(x+r, y, x+2*r, y)
		p.path.Line(x, y-2*r, x, y-r)
		p.path.Line(x, y+r, x, y+2*r)
		p.stroke(k)
	}
	w := TextWidth(s.Text, TextStyle{Size: p.o.TextSize})
	tx := min(max(x+2*r+4, 8), max(p.cam.Width-8-w, 8))
	p.slip(tx, y-r, w)
	p.text(tx, y-r, s.Text, Start, p.o.Theme.Ink)
}

// fieldScale draws the bands with the values at their borders at the left of the canvas.
func (p *Painter) fieldScale(f *Field) {
	if len(f.Triangles) == 0 {
		return
	}
	size := p.o.TextSize
	const step = 17.0
	x, y := 20.0, math.Max(p.cam.Height/2-step*fieldBands/2, 60)
	title := f.Title
	if f.Unit != "" {
		title += ", " + f.Unit
	}
	most := scaleText * size / defaultTextSize
	lines := p.broken(title, most)
	for _, s := range []string{f.ShapeNote, f.Stale} {
		lines = append(lines, p.broken(s, most)...)
	}
	stale := len(p.broken(f.Stale, most))
	wide := 100.0
	for _, s := range lines {
		wide = max(wide, TextWidth(s, TextStyle{Size: size})+12)
	}
	top := y - size*1.5*float64(len(lines)) - 8
	p.paper(x-8, top-size, x+wide, y+step*fieldBands+size)
	for i, s := range lines {
		ink := p.o.Theme.Quiet
		if i >= len(lines)-stale {
			ink = p.o.Theme.Look
		}
		p.text(x, top+size*1.5*float64(i)+4, s, Start, ink)
	}
	ink := bandColors(p.o.Theme.dark(), f.Stale != "")
	for k := range fieldBands {
		p.path.Reset()
		p.path.Rect(x, y+step*float64(fieldBands-1-k), 22, step)
		p.fill(Ink{Color: ink[k]})
	}
	p.path.Reset()
	p.path.Rect(x+0.5, y+0.5, 22, step*fieldBands)
	p.stroke(Stroke{Width: 1, Color: p.o.Theme.Ink, Crisp: true})
	for k := 0; k <= fieldBands; k += 2 {
		v := f.Low + (f.High-f.Low)*float64(k)/fieldBands
		label := "0"
		if v != 0 {
			label = string(appendDecimal(nil, v, f.Digits, f.Digits))
		}
		p.text(x+30, y+step*float64(fieldBands-k)+size*0.36, label, Start, p.o.Theme.Quiet)
	}
}

// scaleText is the width to which the words beside a field's scale are broken, px at the usual size of letters.
const scaleText = 150

// broken breaks a text at spaces into lines of at most so many px; an empty text has none.
func (p *Painter) broken(s string, most float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && TextWidth(longer, TextStyle{Size: p.o.TextSize}) > most {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
