package scene

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// adjusters draws what is not of the plate but stands on it: the holes of a clocked ring's mate, an eccentric with the path
// of its moving centre, and where the centre of what slides in a slot stands, all in the document's setting.
func (p *Painter) adjusters() {
	if p.o.Show&Adjusters == 0 {
		return
	}
	doc := &p.l.Plate
	p.path.Reset()
	p.dot.Reset()
	for i := range doc.Rings {
		p.mate(&doc.Rings[i])
	}
	for i := range doc.Eccentrics {
		p.eccentric(&doc.Eccentrics[i])
	}
	for i := range doc.Slots {
		if s := &doc.Slots[i]; s.Adjusting {
			at := settingOf(doc, s.ID, plate.SettingValue{Position: s.Position}).Position
			dx, dy := math.Cos(s.AngleDeg*math.Pi/180), math.Sin(s.AngleDeg*math.Pi/180)
			p.crosshair(geom.Pt(s.X+at*dx, s.Y+at*dy))
			p.along(geom.Pt(s.X-s.Length/2*dx, s.Y-s.Length/2*dy), geom.Pt(s.X+s.Length/2*dx, s.Y+s.Length/2*dy))
		}
	}
	th := p.o.Theme
	if !p.dot.Empty() {
		p.c.Stroke(&p.dot, Stroke{Width: thinWidth, Dash: bossDash, Color: th.Selection})
	}
	p.stroke(Stroke{Width: openingWidth, Color: th.Selection})
}

// settingOf is the state of one adjuster: that of the document's setting, else as drawn.
func settingOf(doc *plate.Plate, id plate.ID, drawn plate.SettingValue) plate.SettingValue {
	for _, s := range doc.Settings {
		if s.ID != doc.Setting {
			continue
		}
		for _, v := range s.Values {
			if v.Feature == id {
				return v
			}
		}
	}
	return drawn
}

// mate adds the holes of the mating ring; those that meet a hole of the plate's ring, in which a bolt fits, are solid.
func (p *Painter) mate(r *plate.ClockedRing) {
	c := p.circleCenter(&r.BoltCircle)
	turned := settingOf(&p.l.Plate, r.ID, plate.SettingValue{AngleDeg: r.PositionDeg}).AngleDeg
	size := r.Diameter / 40
	for i := range p.l.Cuts {
		if k := &p.l.Cuts[i]; k.Feature == r.ID && k.Diameter > 0 && k.Kind != layout.CutPoint {
			size = k.Diameter / 2
			break
		}
	}
	own := ringAngles(r.Count, r.StartDeg, r.Angles)
	for _, a := range ringAngles(r.MateCount, r.MateStartDeg+turned, r.MateAngles) {
		sin, cos := math.Sincos(a * math.Pi / 180)
		x, y := p.cam.ToPx(geom.Pt(c.X+r.Diameter/2*cos, c.Y+r.Diameter/2*sin))
		path := &p.dot
		for _, b := range own {
			if math.Abs(math.Remainder(a-b, 360)) < meetingDeg {
				path = &p.path
			}
		}
		path.Circle(x, y, size*1.25*p.cam.Scale)
	}
}

// meetingDeg is how far apart two holes may stand that are drawn as meeting.
const meetingDeg = 0.01

func ringAngles(n int, start float64, angles []float64) []float64 {
	var out []float64
	if len(angles) > 0 {
		for _, a := range angles {
			out = append(out, start+a)
		}
		return out
	}
	for i := range n {
		out = append(out, start+360*float64(i)/float64(n))
	}
	return out
}

// eccentric adds its bore in the moving centre, the path of that centre, and the line from the axis to it.
func (p *Painter) eccentric(e *plate.Eccentric) {
	c := p.circleCenter(&plate.BoltCircle{Bore: e.Bore})
	a := settingOf(&p.l.Plate, e.ID, plate.SettingValue{AngleDeg: e.AngleDeg}).AngleDeg * math.Pi / 180
	at := geom.Pt(c.X+e.E*math.Cos(a), c.Y+e.E*math.Sin(a))
	x, y := p.cam.ToPx(c)
	p.dot.Circle(x, y, e.E*p.cam.Scale)
	mx, my := p.cam.ToPx(at)
	p.path.Circle(mx, my, e.Inner/2*p.cam.Scale)
	p.along(c, at)
	p.crosshair(at)
}

// crosshair adds a small cross.
func (p *Painter) crosshair(at geom.Point) {
	x, y := p.cam.ToPx(at)
	p.path.Line(x-5, y, x+5, y)
	p.path.Line(x, y-5, x, y+5)
}

func (p *Painter) along(a, b geom.Point) {
	x0, y0 := p.cam.ToPx(a)
	x1, y1 := p.cam.ToPx(b)
	p.dot.Line(x0, y0, x1, y1)
}

// panels draws the inlay panels as they lie in their cells.
func (p *Painter) panels() {
	if p.o.Show&Inlays == 0 || len(p.l.Panels) == 0 {
		return
	}
	p.path.Reset()
	for i := range p.l.Panels {
		if side := p.l.Cells[p.l.Panels[i].Cell].Side; side == p.side || side == plate.Through {
			p.addRegion(p.l.Panels[i].Region)
		}
	}
	x, y := p.cam.ToPx(geom.Point{})
	th := p.o.Theme
	p.fill(Ink{
		Color:   mix(th.Paper, th.Fine, 0.25),
		Hatches: [2]Hatch{{Pitch: 5, Width: 0.7, X: x, Y: y, Color: mix(th.Paper, th.Fine, 0.55)}, {Pitch: 5, Width: 0.7, X: x, Y: y, Falling: true, Color: mix(th.Paper, th.Fine, 0.55)}},
	})
	p.stroke(Stroke{Width: stepWidth, Color: th.Ink})
}

// heads draws what the map cannot show, since it is not a prism: countersinks open to the side looked at.
func (p *Painter) heads() {
	p.path.Reset()
	for i := range p.l.Cuts {
		if c := &p.l.Cuts[i]; c.Kind == layout.CutCountersink && c.Side == p.side {
			x, y := p.cam.ToPx(c.Center)
			p.path.Circle(x, y, c.Diameter/2*p.cam.Scale)
		}
	}
	p.stroke(Stroke{Width: stepWidth, Color: p.o.Theme.Ink})
}
