package plate

import "math"

// Mirrored is the plate's other hand: x becomes −x, all else stays, names and threads too. Choices about cells and ribs of a
// lattice, angles of adjusters and loads are turned with the metal that they are about, so that each stays where it was on
// the part. The lattice of an isogrid at the angle a becomes one at 120° − a, that of other fields one at 180° − a.
// Mirroring twice gives the plate back; angles and the place of a fixed blank are worked out to 1e-9° and 1e-9 mm.
func Mirrored(p Plate) Plate {
	p = p.Clone()
	m := mirror{kinds: make(map[ID]GridKind, len(p.Grids)), turned: make(map[ID]bool)}
	for _, g := range p.Grids {
		m.kinds[g.ID] = g.Kind
	}
	for _, r := range p.Rings {
		m.turned[r.ID] = true
	}
	if b := &p.Stock.Blank; b.Fixed {
		b.X = tidy(-(b.X + b.Width))
	}
	m.outline(&p.Outline)
	m.round(&p)
	m.fields(&p)
	m.loads(&p)
	for i := range p.CutLines {
		c := &p.CutLines[i]
		c.X1, c.X2 = flip(c.X1), flip(c.X2)
	}
	p.Machining.ZeroX = flip(p.Machining.ZeroX)
	for i := range p.Machining.Changes {
		m.anchor(&p.Machining.Changes[i].At)
	}
	for i := range p.Machining.Holding {
		h := &p.Machining.Holding[i]
		h.X = flip(h.X)
		if h.Kind == Clamp {
			h.AngleDeg = acrossY(h.AngleDeg)
		}
	}
	return p
}

// flip is −x, without a negative zero.
func flip(x float64) float64 { return 0 - x }

// tidy takes off what a difference of decimal numbers leaves behind, so that taking it twice gives the number back.
func tidy(v float64) float64 { return math.Round(v*1e9)/1e9 + 0 }

// about mirrors an angle so that it and its image add up to sum, modulo a turn, within one turn either way.
func about(sum, deg float64) float64 {
	a := sum - deg
	if a > 360 {
		a -= 720
	}
	return tidy(a)
}

// acrossY is the direction that mirroring in x makes of one.
func acrossY(deg float64) float64 { return about(180, deg) }

type mirror struct {
	kinds  map[ID]GridKind // of the rib fields
	turned map[ID]bool     // clocked rings: their settings turn with the mate, the other way round
}

func flipCorners(list []Corner) {
	for i := range list {
		c := &list[i]
		c.X = flip(c.X)
		if c.Arc {
			c.ThroughX = flip(c.ThroughX)
		}
	}
}

func flipAll(list []float64) {
	for i := range list {
		list[i] = flip(list[i])
	}
}

func (m mirror) outline(o *Outline) {
	flipCorners(o.Corners)
	if o.Mirror.Axis == AxisY {
		o.Mirror.At = flip(o.Mirror.At)
	}
	for i := range o.Vertices {
		o.Vertices[i].X, o.Vertices[i].Bulge = flip(o.Vertices[i].X), flip(o.Vertices[i].Bulge)
	}
	// The rounds run counter-clockwise, so that their order turns round, and each side with it to its other end.
	n := len(o.Wraps)
	wraps := make([]Wrap, n)
	for k := range wraps {
		j := n - 1 - k
		side := o.Wraps[(j+n-1)%n]
		wraps[k] = Wrap{o.Wraps[j].Feature, o.Wraps[j].Width, side.Hollow, side.Blend}
	}
	if n > 0 {
		o.Wraps = wraps
	}
}

// round mirrors bores, holes, circles, adjusters and their settings.
func (m mirror) round(p *Plate) {
	for i := range p.Bores {
		b := &p.Bores[i]
		b.X = flip(b.X)
		if b.Keyway.Width != 0 {
			b.Keyway.AngleDeg = acrossY(b.Keyway.AngleDeg)
		}
	}
	for i := range p.Holes {
		p.Holes[i].X = flip(p.Holes[i].X)
	}
	for i := range p.Circles {
		m.circle(&p.Circles[i])
	}
	for i := range p.Rings {
		c := &p.Rings[i]
		m.circle(&c.BoltCircle)
		c.MateStartDeg, c.PositionDeg = acrossY(c.MateStartDeg), flip(c.PositionDeg)
		flipAll(c.MateAngles)
		flipAll(c.WantedDeg)
	}
	for i := range p.Eccentrics {
		e := &p.Eccentrics[i]
		e.AngleDeg = acrossY(e.AngleDeg)
		if e.LockCircle != 0 {
			e.LockStart = acrossY(e.LockStart)
		}
	}
	slots := p.slotIDs()
	for i := range p.Slots {
		s := &p.Slots[i]
		s.X, s.AngleDeg = flip(s.X), acrossY(s.AngleDeg)
	}
	for i := range p.Settings {
		for j := range p.Settings[i].Values {
			switch v := &p.Settings[i].Values[j]; {
			case m.turned[v.Feature]:
				v.AngleDeg = flip(v.AngleDeg)
			case !slots[v.Feature]:
				v.AngleDeg = acrossY(v.AngleDeg)
			}
		}
	}
}

func (m mirror) circle(c *BoltCircle) {
	c.X, c.StartDeg = flip(c.X), acrossY(c.StartDeg)
	flipAll(c.Angles)
}

// fields mirrors ribs, rib fields, pockets and inlays.
func (m mirror) fields(p *Plate) {
	for i := range p.Ribs {
		r := &p.Ribs[i]
		r.From.X, r.To.X, r.ThroughX = flip(r.From.X), flip(r.To.X), flip(r.ThroughX)
	}
	for i := range p.Grids {
		m.grid(&p.Grids[i])
	}
	for i := range p.Pockets {
		k := &p.Pockets[i]
		flipCorners(k.Bounds)
		k.X = flip(k.X)
		if k.Kind == ObroundPocket {
			k.AngleDeg = acrossY(k.AngleDeg)
		}
		for j := range k.Kept {
			m.anchor(&k.Kept[j])
		}
		for j := range k.Depths {
			m.anchor(&k.Depths[j].At)
		}
	}
	for i := range p.KeepOuts {
		flipCorners(p.KeepOuts[i].Bounds)
	}
	for i := range p.Inlays {
		for j := range p.Inlays[i].Cells {
			m.anchor(&p.Inlays[i].Cells[j])
		}
	}
}

func (m mirror) grid(g *Grid) {
	g.X = flip(g.X)
	flipCorners(g.Bounds)
	switch g.Kind {
	case Isogrid:
		g.AngleDeg = about(120, g.AngleDeg)
	case Orthogrid, Parallel:
		g.AngleDeg = acrossY(g.AngleDeg)
	}
	for i := range g.Samples {
		s := &g.Samples[i]
		s.X, s.AngleDeg = flip(s.X), acrossY(s.AngleDeg)
	}
	for i := range g.Widths {
		a := &g.Widths[i].At
		a.X = flip(a.X)
		if a.Lattice {
			m.rib(g.Kind, a)
		}
	}
}

// rib mirrors the lattice coordinates of a rib. An isogrid's first family becomes its second, and its third is counted from
// the other end; an orthogrid is counted the other way along its second direction.
func (m mirror) rib(kind GridKind, a *RibAnchor) {
	switch {
	case kind == Isogrid && a.Family < 2:
		a.Family = 1 - a.Family
	case kind == Isogrid:
		a.Segment = a.Line - 1 - a.Segment
	case a.Family == 0:
		a.Line = -a.Line
	case kind == Orthogrid:
		a.Segment = -1 - a.Segment
	}
}

// anchor mirrors the place of a cell.
func (m mirror) anchor(a *Anchor) {
	a.X = flip(a.X)
	if a.Grid == 0 {
		return
	}
	if m.kinds[a.Grid] == Isogrid {
		a.I, a.J = a.J, a.I
	} else {
		a.J = -1 - a.J
	}
}

func (m mirror) loads(p *Plate) {
	place := func(on *Place) {
		on.X1, on.X2 = flip(on.X1), flip(on.X2)
		flipCorners(on.Bounds)
	}
	for i := range p.Supports {
		s := &p.Supports[i]
		place(&s.On)
		if s.Kind == Sliding {
			s.DirectionDeg = acrossY(s.DirectionDeg)
		}
	}
	for i := range p.Loads {
		l := &p.Loads[i]
		place(&l.On)
		l.Force[0], l.At[0] = flip(l.Force[0]), flip(l.At[0])
		l.Moment[1], l.Moment[2] = flip(l.Moment[1]), flip(l.Moment[2]) // a moment turns the other way about y and z
	}
}
