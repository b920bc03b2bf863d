package plate

import "slices"

// Find returns the feature, or the item of the plan, with the given id.
func (p Plate) Find(id ID) (FeatureRef, bool) {
	for _, list := range [2][]FeatureRef{p.Features(), p.PlanItems()} {
		for _, f := range list {
			if f.ID == id {
				return f, true
			}
		}
	}
	return FeatureRef{}, false
}

// Feature returns the stage and name of the feature with the given id; ok is false when there is none.
func (p Plate) Feature(id ID) (stage, name string, ok bool) {
	f, ok := p.Find(id)
	return f.Stage, f.Name, ok
}

// EndPoint is where a rib end lies, in mm: the centre of its bore, hole or slot, or its own place. An end on a feature that does
// not exist lies at the origin; Validate reports it.
func (p Plate) EndPoint(e RibEnd) (x, y float64) {
	if e.Feature == 0 {
		return e.X, e.Y
	}
	if i := p.bore(e.Feature); i >= 0 {
		return p.Bores[i].X, p.Bores[i].Y
	}
	if i := p.hole(e.Feature); i >= 0 {
		return p.Holes[i].X, p.Holes[i].Y
	}
	if i := slices.IndexFunc(p.Slots, func(s Slot) bool { return s.ID == e.Feature }); i >= 0 {
		return p.Slots[i].X, p.Slots[i].Y
	}
	return 0, 0
}

// CircleCentre is the centre of a bolt circle, in mm: that of its bore, or its own. A circle about a bore that does not
// exist lies at the origin; Validate reports it.
func (p Plate) CircleCentre(c BoltCircle) (x, y float64) {
	if c.Bore == 0 {
		return c.X, c.Y
	}
	if i := p.bore(c.Bore); i >= 0 {
		return p.Bores[i].X, p.Bores[i].Y
	}
	return 0, 0
}

func (p Plate) bore(id ID) int {
	return slices.IndexFunc(p.Bores, func(b Bore) bool { return b.ID == id })
}

func (p Plate) hole(id ID) int {
	return slices.IndexFunc(p.Holes, func(h Hole) bool { return h.ID == id })
}
