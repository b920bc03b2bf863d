package plate

import "platewright/plate/material"

// text is one free text of the document with where it belongs.
type text struct {
	FeatureRef        // the zero value but for its stage for the plate
	label      string // in words
	value      string
	most       int // characters
	empty      bool
	lines      bool // may have several lines
}

// visitTexts calls visit for every free text of the document.
func (p Plate) visitTexts(visit func(text)) {
	stock, outline, machining := onPlate(StageStock), onPlate(StageOutline), onPlate(StageMachining)
	visit(text{outline, "the name", p.Name, maxName, false, false})
	visit(text{outline, "the note", p.Note, maxNote, true, true})
	materialTexts(visit, stock, p.Stock.Material)
	visit(text{stock, "the finish's name", p.Stock.Finish.Name, maxName, true, false})
	visit(text{machining, "the shop profile's name", p.Machining.Shop, maxName, false, false})
	visit(text{machining, "the shop profile's hash", p.Machining.ShopHash, maxName, true, false})
	for _, f := range p.Features() {
		visit(text{f, "the name", f.Name, maxName, false, false})
	}
	p.visitForms(func(f FeatureRef, h HoleForm) {
		if h.Kind != Reamed {
			visit(text{f, "the size", h.Size, maxName, false, false})
		}
	})
	for _, i := range p.Inlays {
		materialTexts(visit, i.ref(), i.Material)
	}
	for _, c := range p.Cases {
		visit(text{c.ref(), "the origin's text", c.Origin.Text, maxText, true, false})
	}
	for _, c := range p.Machining.Changes {
		visit(text{c.ref(), "the class of operation", c.Class, maxName, true, false})
		visit(text{c.ref(), "the tool", c.Tool, maxName, true, false})
		visit(text{c.ref(), "the note", c.Note, maxText, true, true})
	}
}

func materialTexts(visit func(text), f FeatureRef, m material.Material) {
	visit(text{f, "the material's alloy", m.Alloy, maxText, false, false})
	visit(text{f, "the material's temper", m.Temper, maxText, true, false})
	visit(text{f, "the material's machining group", m.Group, maxText, false, false})
	visit(text{f, "the material's source", m.Source, maxText, true, false})
}

// visitForms calls visit for the form of every hole: single ones, those of bolt circles and clocked rings, and the locking
// screws' of eccentrics.
func (p Plate) visitForms(visit func(FeatureRef, HoleForm)) {
	for _, h := range p.Holes {
		visit(h.ref(), h.HoleForm)
	}
	for _, c := range p.Circles {
		visit(p.circleRef(c, KindCircle), c.HoleForm)
	}
	for _, c := range p.Rings {
		visit(p.circleRef(c.BoltCircle, KindRing), c.HoleForm)
	}
	for _, e := range p.Eccentrics {
		if e.LockCircle != 0 {
			visit(p.eccentricRef(e), e.Lock)
		}
	}
}

// Unit is the unit of the quantity's values, empty for a ratio.
func (q Quantity) Unit() string {
	switch q {
	case MassKG:
		return "kg"
	case CycleMin:
		return "min"
	case SectionEI:
		return "N·mm²"
	case Deflect:
		return "mm"
	}
	return ""
}
