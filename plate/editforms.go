package plate

import (
	"errors"
	"slices"
)

// The edits that add a feature or replace it: see AddBore and SetBore.

// AddRing adds a clocked ring.
func AddRing(v ClockedRing) Edit {
	v = v.clone()
	return add(KindRing, v, ringID, func(v *ClockedRing) *string { return &v.Name }, func(p *Plate) *[]ClockedRing { return &p.Rings })
}

// SetRing replaces a clocked ring.
func SetRing(v ClockedRing) Edit {
	v = v.clone()
	return changeOf("change", KindRing, v.ID, rings, ringID, func(w *ClockedRing) { *w = v.clone() })
}

// AddEccentric adds an eccentric.
func AddEccentric(v Eccentric) Edit {
	return add(KindEccentric, v, eccentricID, func(v *Eccentric) *string { return &v.Name }, func(p *Plate) *[]Eccentric { return &p.Eccentrics })
}

// AddSlot adds a slot.
func AddSlot(v Slot) Edit {
	return add(KindSlot, v, slotID, func(v *Slot) *string { return &v.Name }, func(p *Plate) *[]Slot { return &p.Slots })
}

// AddKeepOut adds a keep-out.
func AddKeepOut(v KeepOut) Edit {
	v = v.clone()
	return add(KindKeepOut, v, keepOutID, func(v *KeepOut) *string { return &v.Name }, func(p *Plate) *[]KeepOut { return &p.KeepOuts })
}

// AddInlay adds an inlay.
func AddInlay(v Inlay) Edit {
	v = v.clone()
	return add(KindInlay, v, inlayID, func(v *Inlay) *string { return &v.Name }, func(p *Plate) *[]Inlay { return &p.Inlays })
}

// SetInlay replaces an inlay.
func SetInlay(v Inlay) Edit {
	v = v.clone()
	return changeOf("change", KindInlay, v.ID, inlays, inlayID, func(w *Inlay) { *w = v.clone() })
}

// AddSetting adds a setting.
func AddSetting(v Setting) Edit {
	v = v.clone()
	return add(KindSetting, v, settingID, func(v *Setting) *string { return &v.Name }, func(p *Plate) *[]Setting { return &p.Settings })
}

// AddSupport adds a support.
func AddSupport(v Support) Edit {
	v = v.clone()
	return add(KindSupport, v, supportID, func(v *Support) *string { return &v.Name }, func(p *Plate) *[]Support { return &p.Supports })
}

// AddLoad adds a load.
func AddLoad(v Load) Edit {
	v = v.clone()
	return add(KindLoad, v, loadID, func(v *Load) *string { return &v.Name }, func(p *Plate) *[]Load { return &p.Loads })
}

// AddCase adds a load case.
func AddCase(v LoadCase) Edit {
	v = v.clone()
	return add(KindCase, v, caseID, func(v *LoadCase) *string { return &v.Name }, func(p *Plate) *[]LoadCase { return &p.Cases })
}

// addItem adds an item of the plan, which takes the next id and has no name.
func addItem[T any](k Kind, v T, idOf func(*T) *ID, list func(*Plate) *[]T) Edit {
	return edit("new "+string(k), 0, func(p *Plate) error {
		v := v
		*idOf(&v) = p.NextID
		p.NextID++
		l := list(p)
		*l = append(*l, v)
		return nil
	})
}

// AddChange adds a change of the plan.
func AddChange(c OperationChange) Edit {
	return addItem(KindChange, c, changeID, func(p *Plate) *[]OperationChange { return &p.Machining.Changes })
}

// AddHolding adds something that holds the work.
func AddHolding(h Holding) Edit {
	return addItem(KindHolding, h, holdingID, func(p *Plate) *[]Holding { return &p.Machining.Holding })
}

// UseSetting draws and analyses the plate in one of its settings, or with id 0 with each adjuster as drawn.
func UseSetting(id ID) Edit { return Replace("choice of setting", func(p *Plate) { p.Setting = id }) }

// KeepSetting makes a setting of the adjusters as they are drawn now, with the given name or the first free one.
func KeepSetting(name string) Edit {
	return edit("new setting", 0, func(p *Plate) error {
		s := Setting{ID: p.NextID, Name: name}
		if name == "" {
			s.Name = p.freeName(KindSetting)
		}
		for _, c := range p.Rings {
			s.Values = append(s.Values, SettingValue{Feature: c.ID, AngleDeg: c.PositionDeg})
		}
		for _, e := range p.Eccentrics {
			s.Values = append(s.Values, SettingValue{Feature: e.ID, AngleDeg: e.AngleDeg})
		}
		for _, c := range p.Slots {
			if c.Adjusting {
				s.Values = append(s.Values, SettingValue{Feature: c.ID, Position: c.Position})
			}
		}
		p.NextID++
		p.Settings = append(p.Settings, s)
		return nil
	})
}

// ApplySetting draws the adjusters as a setting has them: a clocked ring and an eccentric at its angle, what slides in a slot
// at its position. Adjusters that the setting does not name stay.
func ApplySetting(id ID) Edit {
	return edit("apply setting", id, func(p *Plate) error {
		s, err := lookUp(p.Settings, id, settingID)
		if err != nil {
			return err
		}
		for _, v := range s.Values {
			if c, err := lookUp(p.Rings, v.Feature, ringID); err == nil {
				c.PositionDeg = v.AngleDeg
			} else if e, err := lookUp(p.Eccentrics, v.Feature, eccentricID); err == nil {
				e.AngleDeg = v.AngleDeg
			} else if c, err := lookUp(p.Slots, v.Feature, slotID); err == nil {
				c.Position = v.Position
			}
		}
		return nil
	})
}

// errNoWrap is for a round of the outline that is gone.
var errNoWrap = errors.New("there is no such round of the outline; it was deleted")

// AddWrap lets the outline pass one more round before round i, or at the end where i is their number.
func AddWrap(i int, w Wrap) Edit {
	return edit("new round of outline", 0, func(p *Plate) error {
		if i < 0 || i > len(p.Outline.Wraps) {
			return errNoWrap
		}
		p.Outline.Wraps = slices.Insert(p.Outline.Wraps, i, w)
		return nil
	})
}

// DeleteWrap takes round i, counted from 0, out of the outline.
func DeleteWrap(i int) Edit {
	return edit("delete of round of outline", 0, func(p *Plate) error {
		if i < 0 || i >= len(p.Outline.Wraps) {
			return errNoWrap
		}
		p.Outline.Wraps = slices.Delete(p.Outline.Wraps, i, i+1)
		return nil
	})
}
