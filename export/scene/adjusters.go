package scene

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
	"platewright/plate/layout"
	"platewright/plate/set"
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
		if doc.Slots[i].Adjusting {
			p.slider(doc.Slots[i])
		}
	}
	th := p.o.Theme
	if !p.dot.Empty() {
		p.c.Stroke(&p.dot, Stroke{Width: thinWidth, Dash: bossDash, Color: th.Selection})
	}
	p.stroke(Stroke{Width: openingWidth, Color: th.Selection})
}

// mate adds the holes of the mating ring; those that meet a hole of the plate's ring, in which a bolt fits, are solid.
func (p *Painter) mate(r *plate.ClockedRing) {
	c := p.circleCenter(&r.BoltCircle)
	turned := set.Chosen(p.l.Plate, plate.SettingValue{Feature: r.ID, AngleDeg: r.PositionDeg}).AngleDeg
	size := r.Diameter / 40
	for i := range p.l.Cuts {
		if k := &p.l.Cuts[i]; k.Feature == r.ID && k.Diameter > 0 && k.Kind != layout.CutPoint {
			size = k.Diameter / 2
			break
		}
	}
	own, mate := kinematics.RingsOf(*r)
	at, err := kinematics.At(own, mate, turned, kinematics.DefaultDeg)
	if err != nil {
		return // no rings; the findings say so
	}
	for i, a := range mate {
		sin, cos := math.Sincos((a + turned) * math.Pi / 180)
		x, y := p.cam.ToPx(geom.Pt(c.X+r.Diameter/2*cos, c.Y+r.Diameter/2*sin))
		path := &p.dot
		if slices.Contains(at.Mate, i+1) {
			path = &p.path
		}
		path.Circle(x, y, size*1.25*p.cam.Scale)
	}
}

// slider adds the line that a slot's slider moves on, and where it stands.
func (p *Painter) slider(s plate.Slot) {
	from, err := kinematics.Slide(s, -s.Length/2)
	to, err2 := kinematics.Slide(s, s.Length/2)
	at, err3 := kinematics.Slide(s, set.Chosen(p.l.Plate, plate.SettingValue{Feature: s.ID, Position: s.Position}).Position)
	if err != nil || err2 != nil || err3 != nil {
		return // beyond its slot; the document's checks say so
	}
	p.crosshair(at)
	p.along(from, to)
}

// eccentric adds its bore in the moving centre, the path of that centre, and the line from the axis to it.
func (p *Painter) eccentric(e *plate.Eccentric) {
	k, ok := kinematics.EccentricOf(p.l.Plate, *e)
	if !ok {
		return
	}
	c, at := k.Axis, k.Centre(set.Chosen(p.l.Plate, plate.SettingValue{Feature: e.ID, AngleDeg: e.AngleDeg}).AngleDeg)
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
