package scene

import (
	"math"
	"strconv"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// labels are texts that were put together for one layout and unit, and the last scale bar.
type labels struct {
	ready   bool
	unit    Unit
	size    float64
	heading string
	rows    []string
	more    string
	width   float64 // of the legend, px
	lines   int
	step    float64 // length of the last scale bar, and its label
	scale   string

	scaleUnit Unit
}

// legend lists, in the upper right corner, the face looked at and what each depth looks like.
func (p *Painter) legend() {
	if p.o.Show&Legend == 0 || p.l == nil {
		return
	}
	if !p.labels.ready || p.labels.unit != p.o.Unit || p.labels.size != p.o.TextSize {
		p.writeLegend()
	}
	size := p.o.TextSize
	right, y := p.cam.Width-20, 12+size
	ink := p.o.Theme.Quiet
	if p.o.Field != nil { // its colours stand where those of the floors would
		p.text(right, y, p.labels.heading, End, ink)
		return
	}
	p.paper(right-p.labels.width-6, 8, right+6, y+size*1.55*float64(p.labels.lines-1)+6)
	p.text(right, y, p.labels.heading, End, ink)
	pitch := size * 1.55
	for i, row := range p.art.legend[:len(p.labels.rows)] {
		y += pitch
		near, far := row.depth, 0.0
		if row.far {
			near, far = far, near
		}
		p.swatch(right, y, p.floorInk(near, far, right, y), row.far)
		p.text(right-34, y, p.labels.rows[i], End, ink)
	}
	if p.labels.more != "" {
		y += pitch
		p.text(right, y, p.labels.more, End, ink)
	}
	if p.art.windows {
		y += pitch
		p.swatch(right, y, Ink{Color: p.o.Theme.Paper}, false)
		p.text(right-34, y, "through", End, ink)
	}
}

// swatch draws a sample of a floor with its lower right corner at (right, y).
func (p *Painter) swatch(right, y float64, ink Ink, far bool) {
	p.path.Reset()
	p.path.Rect(math.Round(right)-26.5, math.Round(y)-10.5, 26, 12)
	p.fill(ink)
	s := Stroke{Width: stepWidth, Color: p.o.Theme.Ink, Crisp: true}
	if far {
		s.Width, s.Dash = hiddenWidth, hiddenDash
	}
	p.stroke(s)
}

func (p *Painter) writeLegend() {
	u := p.o.Unit
	face, other := "top", "bottom"
	if p.side == plate.Bottom {
		face, other = other, face
	}
	t := labels{ready: true, unit: u, size: p.o.TextSize, step: p.labels.step, scale: p.labels.scale, scaleUnit: p.labels.scaleUnit}
	t.heading = face + " face, plate " + u.Length(p.l.Thickness) + " " + u.Symbol()
	if p.side == plate.Bottom {
		t.heading += ", turned about " + axisName(p.cam.Turn)
	}
	for i, row := range p.art.legend {
		if i == maxLegendRows {
			t.more = "and " + strconv.Itoa(len(p.art.legend)-i) + " more depths"
			break
		}
		name := face
		if row.far {
			name = other
		}
		t.rows = append(t.rows, name+" "+u.Length(row.depth)+" "+u.Symbol()+" deep")
	}
	style := TextStyle{Size: p.o.TextSize}
	t.width = max(TextWidth(t.heading, style), TextWidth(t.more, style))
	for _, row := range t.rows {
		t.width = max(t.width, TextWidth(row, style)+34)
	}
	t.lines = 1 + len(t.rows) + btoi(t.more != "") + btoi(p.art.windows)
	p.labels = t
}

func axisName(a plate.Axis) string {
	if a == plate.AxisY {
		return "Y"
	}
	return "X"
}

// longestScale is how long the scale bar gets, px.
const longestScale = 170.0

// scaleBar draws a bar of a round length in the lower right corner.
func (p *Painter) scaleBar() {
	if p.o.Show&Scale == 0 || !(p.cam.Scale > 0) {
		return
	}
	unit := 1.0
	if p.o.Unit == Inches {
		unit = mmPerInch
	}
	step := roundLength(longestScale / p.cam.Scale / unit)
	w := step * unit * p.cam.Scale
	if p.labels.step != step || p.labels.scaleUnit != p.o.Unit || p.labels.scale == "" {
		p.labels.step, p.labels.scaleUnit = step, p.o.Unit
		p.labels.scale = string(appendDecimal(nil, step, 0, 6)) + " " + p.o.Unit.Symbol()
	}
	x, y := math.Round(p.cam.Width-24-w), math.Round(p.cam.Height-24)
	half := max(w, TextWidth(p.labels.scale, TextStyle{Size: p.o.TextSize})) / 2
	p.paper(x+w/2-half-6, y-8-p.o.TextSize, x+w/2+half+6, y+6)
	p.path.Reset()
	p.path.MoveTo(x, y-6)
	p.path.LineTo(x, y)
	p.path.LineTo(x+w, y)
	p.path.LineTo(x+w, y-6)
	p.stroke(Stroke{Width: 1, Color: p.o.Theme.Quiet, Crisp: true})
	p.text(x+w/2, y-5, p.labels.scale, Middle, p.o.Theme.Quiet)
}

// roundLength is the greatest of 1, 2 and 5 times a power of ten that is not above most.
func roundLength(most float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(most)))
	for _, k := range [...]float64{5, 2} {
		if k*p <= most {
			return k * p
		}
	}
	return p
}

// readout writes the sentence in the lower left corner, in several lines where it would reach the scale bar or the edge.
func (p *Painter) readout() {
	if p.o.Readout == "" {
		return
	}
	room := p.cam.Width - 40
	if p.o.Show&Scale != 0 {
		room -= longestScale + 24
	}
	room = max(room, scaleText)
	size := p.o.TextSize
	w := TextWidth(p.o.Readout, TextStyle{Size: size})
	if w <= room {
		p.paper(14, p.cam.Height-23-size, 26+w, p.cam.Height-14)
		p.text(20, p.cam.Height-20, p.o.Readout, Start, p.o.Theme.Quiet)
		return
	}
	lines := p.broken(p.o.Readout, room)
	for i, line := range lines {
		y := p.cam.Height - 20 - size*1.5*float64(len(lines)-1-i)
		p.paper(14, y-size-3, 26+TextWidth(line, TextStyle{Size: size}), y+6)
		p.text(20, y, line, Start, p.o.Theme.Quiet)
	}
}

// mark is a finding on the canvas: its place and the middle of its ring.
type mark struct {
	index  int // in Options.Findings
	x, y   float64
	rx, ry float64
}

const markRadius = 9

// findings draws a numbered ring near the place of each finding, joined to it by a leader. The ring's form tells the level:
// filled for an error, heavy for a warning, thin for a note.
func (p *Painter) findings() {
	if p.o.Show&Findings == 0 {
		return
	}
	p.marks = p.marks[:0]
	for i := range p.o.Findings {
		f := &p.o.Findings[i]
		at := geom.Pt(f.Where[0], f.Where[1])
		if !f.HasWhere || !finite(at) || len(p.marks) == maxMarks {
			continue
		}
		if x, y := p.cam.ToPx(at); p.onCanvas(x, y, markRadius) {
			p.marks = append(p.marks, mark{index: i, x: x, y: y})
		}
	}
	for k := range p.marks {
		p.placeRing(k)
	}
	for k := range p.marks {
		m := &p.marks[k]
		p.ring(p.o.Findings[m.index].Level, m)
	}
}

// placeRing looks for a place for the ring of mark k that covers no ring before it and no place of another finding: eight
// directions, then further out. Where none is free, the first is taken.
func (p *Painter) placeRing(k int) {
	m := &p.marks[k]
	for try := range 24 {
		d := 20 + 14*float64(try/8)
		s, c := math.Sincos(-math.Pi/4 - float64(try%8)*math.Pi/4)
		x, y := m.x+d*c, m.y+d*s
		if try == 0 {
			m.rx, m.ry = x, y
		}
		if p.free(k, x, y) {
			m.rx, m.ry = x, y
			return
		}
	}
}

func (p *Painter) free(k int, x, y float64) bool {
	const ringToRing, ringToPlace = 2*markRadius + 2, markRadius + 3
	for j := range p.marks {
		o := &p.marks[j]
		if dx, dy := o.x-x, o.y-y; dx*dx+dy*dy < ringToPlace*ringToPlace {
			return false
		}
		if dx, dy := o.rx-x, o.ry-y; j < k && dx*dx+dy*dy < ringToRing*ringToRing {
			return false
		}
	}
	return true
}

func (p *Painter) ring(level finding.Level, m *mark) {
	th := p.o.Theme
	ink, width := th.Quiet, 1.0
	switch level {
	case finding.Error:
		ink, width = th.Wrong, 2
	case finding.Warning:
		ink, width = th.Look, 2
	}
	p.path.Reset()
	d := math.Hypot(m.rx-m.x, m.ry-m.y)
	p.path.Line(m.x, m.y, m.rx-(m.rx-m.x)/d*markRadius, m.ry-(m.ry-m.y)/d*markRadius)
	p.stroke(Stroke{Width: 1, Color: ink})
	p.path.Reset()
	p.path.Circle(m.x, m.y, 2)
	p.fill(Ink{Color: ink})
	p.path.Reset()
	p.path.Circle(m.rx, m.ry, markRadius)
	back, text := th.Paper, ink
	if level == finding.Error {
		back, text = ink, th.Paper
	}
	p.fill(Ink{Color: back})
	p.stroke(Stroke{Width: width, Color: ink})
	n, size := m.index+1, p.o.TextSize-1
	if n > 99 {
		size -= 2
	}
	style := TextStyle{Size: size, Bold: true, Align: Middle, Color: text}
	p.c.Text(m.rx, m.ry+size*0.36, strconv.Itoa(n), style)
}

// selection marks what is selected and what the pointer is over.
func (p *Painter) selection() {
	th := p.o.Theme
	if p.o.Hover != 0 && p.o.Hover != p.o.Selected {
		p.mark(p.o.Hover, Stroke{Width: hoverWidth, Color: th.Selection})
	}
	if p.o.Selected != 0 {
		p.mark(p.o.Selected, Stroke{Width: selectWidth, Color: th.Selection})
	}
	p.path.Reset()
	for _, i := range p.o.Cells {
		if i >= 0 && i < len(p.l.Cells) {
			p.addRegion(p.l.Cells[i].Region)
		}
	}
	p.stroke(Stroke{Width: selectWidth, Color: th.Selection})
}

// mark draws the outline of a feature: rings round its bosses, the borders of its cells and ribs.
func (p *Painter) mark(id plate.ID, s Stroke) {
	p.path.Reset()
	p.dot.Reset()
	for _, b := range p.l.Bosses {
		if b.Feature != id {
			continue
		}
		x, y := p.cam.ToPx(b.Center)
		p.path.Circle(x, y, max(b.Radius*p.cam.Scale, b.Hole/2*p.cam.Scale+4))
		p.dot.Circle(x, y, min(4, max(b.Hole/4*p.cam.Scale, 1.5)))
	}
	for i := range p.l.Cells {
		if c := &p.l.Cells[i]; c.Pocket == id && c.State == layout.CellCut {
			p.addRegion(c.Region)
		}
	}
	p.markRibs(id)
	p.stroke(s)
	if s.Width == selectWidth && !p.dot.Empty() {
		p.c.Fill(&p.dot, Ink{Color: s.Color})
	}
}

// markRibs adds the border of a rib, or the centre lines of a grid: the borders of a hundred ribs would hide the plate.
func (p *Painter) markRibs(id plate.ID) {
	n := 0
	for i := range p.l.Strips {
		n += btoi(p.l.Strips[i].Feature == id)
	}
	for i := range p.l.Strips {
		r := &p.l.Strips[i]
		switch {
		case r.Feature != id:
		case n == 1 && !r.Arc:
			p.cam.contour(&p.path, geom.Strip(r.A, r.B, r.Width/2))
		default:
			p.cam.chain(&p.path, []geom.Edge{r.Edge()})
		}
	}
}

func (p *Painter) handles() {
	th := p.o.Theme
	for _, h := range p.o.Handles {
		x, y := p.cam.ToPx(h.At)
		if !finite(h.At) || !p.onCanvas(x, y, 8) {
			continue
		}
		x, y = math.Round(x), math.Round(y)
		p.path.Reset()
		p.path.Rect(x-4, y-4, 8, 8)
		ink := Ink{Color: th.Paper}
		if h.Hot {
			ink.Color = th.Selection
		}
		p.fill(ink)
		p.stroke(Stroke{Width: 1.6, Color: th.Selection})
	}
}

func (p *Painter) guides() {
	p.path.Reset()
	for _, g := range p.o.Guides {
		if finite(g[0]) && finite(g[1]) {
			x0, y0 := p.cam.ToPx(g[0])
			x1, y1 := p.cam.ToPx(g[1])
			p.path.Line(x0, y0, x1, y1)
		}
	}
	p.stroke(Stroke{Width: thinWidth, Dash: chainDash, Color: p.o.Theme.Selection})
}
