package layout

import (
	"platewright/plate"
	"platewright/plate/geom"
)

// barrier is metal that pockets keep out of and that is no disc: the boss of a slot, or a keep-out zone.
type barrier struct {
	owner   Owner        // of the labels
	a, b    geom.Point   // a boss: all points within half of the line a–b
	half    float64      // 0 for a zone
	outline geom.Contour // of a zone
	box     geom.Box     // of either
	grown   map[float64]geom.Shape
}

// makeZones lists the slots, their bosses and the keep-out zones.
func (d *deriver) makeZones() error {
	for i := range d.p.Slots {
		s := newSlot(&d.p.Slots[i])
		d.slots = append(d.slots, s)
		if s.Boss > 0 {
			half := s.Width/2 + s.Boss
			d.barriers = append(d.barriers, barrier{
				owner: Owner{Kind: OwnBoss, Feature: s.ID, Name: s.Name, Cell: -1},
				a:     s.a, b: s.b, half: half, box: geom.Box{}.Add(s.a).Add(s.b).Grow(half),
			})
		}
	}
	for i := range d.p.KeepOuts {
		k := &d.p.KeepOuts[i]
		c, e := path(k.Bounds)
		if e != nil {
			e.Stage, e.Feature, e.FeatureName = "pockets", k.ID, k.Name
			return e
		}
		d.barriers = append(d.barriers, barrier{owner: landOwner, outline: c, box: c.Box(), grown: map[float64]geom.Shape{}})
	}
	return nil
}

// shape is the barrier grown by r.
func (d *deriver) barrierShape(b *barrier, r float64) (geom.Shape, error) {
	if b.half > 0 {
		return geom.Shape{{Outer: geom.Capsule(b.a, b.b, b.half+r)}}, nil
	}
	s := geom.Shape{{Outer: b.outline}}
	if r == 0 {
		return s, nil
	}
	if g, ok := b.grown[r]; ok {
		return g, nil
	}
	g, err := d.eng.Offset(s, r)
	if err != nil {
		return nil, d.kernel("pockets", 0, "", err)
	}
	b.grown[r] = g
	return g, nil
}

// barriersNear are the barriers, grown by r, that come near the box.
func (d *deriver) barriersNear(r float64, box geom.Box) ([]geom.Shape, error) {
	var out []geom.Shape
	for i := range d.barriers {
		b := &d.barriers[i]
		if !box.Overlaps(b.box.Grow(r)) {
			continue
		}
		s, err := d.barrierShape(b, r)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// touchBarriers marks the triangles that barriers may meet.
func (m *tileMap) touchBarriers(d *deriver) {
	for i := range d.barriers {
		b := &d.barriers[i]
		if b.half == 0 {
			m.touchArea(geom.Shape{{Outer: b.outline}})
			continue
		}
		m.touchLine(b.a, b.b, b.half)
	}
}

// touchSlots marks the triangles that slots may meet.
func (m *tileMap) touchSlots(d *deriver) {
	for i := range d.slots {
		s := &d.slots[i]
		m.touchLine(s.a, s.b, s.Width/2)
	}
}

func (m *tileMap) touchLine(a, b geom.Point, half float64) {
	m.near(geom.Box{}.Add(a).Add(b), half, func(n int, _ geom.Point) {
		if m.state[n] == tileFree && m.meets(n, a, b, half) {
			m.state[n] = tileTouched
		}
	})
}

// pocketShape is the boundary of a pocket that is no field; nil for a field.
func pocketShape(p *plate.Pocket) geom.Contour {
	switch p.Kind {
	case plate.RoundPocket:
		return geom.Circle(geom.Pt(p.X, p.Y), p.Diameter/2)
	case plate.ObroundPocket:
		s := newSlot(&plate.Slot{X: p.X, Y: p.Y, Length: p.Length, Width: p.Diameter, AngleDeg: p.AngleDeg})
		return s.region.Outer
	}
	return nil
}
