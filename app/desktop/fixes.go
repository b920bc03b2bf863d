package desktop

import (
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/material"
)

// fix is an edit that clears a finding, with the words of the button that applies it.
type fix struct {
	text string
	edit plate.Edit
}

// Values that the fixes give: a margin that a cutter of 10 mm goes round in (common practice, no source), and the least floor
// of the check named floor-thin.
const (
	fixedMargin = 5.0 // mm
	fixedFloor  = 1.0 // mm
)

// fixOf is the one change that clears a finding, where there is one that a person could hardly mean otherwise. A finding's
// own words say more often what could be done, and leave the choice.
func (w *Window) fixOf(doc plate.Plate, f finding.Finding) (fix, bool) {
	mm := lengthIn(w.inch)
	switch f.Code {
	case "blank-small", "blank-margin":
		b := plate.Blank{Margin: fixedMargin}
		if doc.Stock.Blank == b {
			return fix{}, false
		}
		return fix{"Give the blank " + mm.formatUnit(fixedMargin) + " round the outline", plate.Replace("margin of blank", func(p *plate.Plate) {
			p.Stock.Blank = b
		})}, true
	case "profile-changed":
		hash := w.job.Profile().Hash()
		return fix{"Record the shop profile as it is now", plate.Replace("record of shop profile", func(p *plate.Plate) {
			p.Machining.ShopHash = hash
		})}, true
	case "floor-thin":
		return floorFix(doc, plate.ID(f.Feature), mm)
	case "thickness-not-stocked":
		return stockFix(doc, mm)
	}
	return fix{}, false
}

// floorFix makes a pocket from one face as shallow as the least floor asks.
func floorFix(doc plate.Plate, id plate.ID, mm quantity) (fix, bool) {
	k := pocketOf(&doc, id)
	depth := round6(doc.Stock.Thickness() - fixedFloor)
	if k == nil || k.Side != plate.Top && k.Side != plate.Bottom || k.Depth <= depth || depth <= 0 {
		return fix{}, false
	}
	return fix{"Leave a floor of " + mm.formatUnit(fixedFloor), plate.Replace("floor of pocket "+k.Name, func(p *plate.Plate) {
		if k := pocketOf(p, id); k != nil {
			k.Depth = depth
		}
	})}, true
}

// stockFix buys the next stocked thickness and machines the top face down to the plate's own.
func stockFix(doc plate.Plate, mm quantity) (fix, bool) {
	next, ok := material.NextStock(doc.Stock.Finished + 0.5) // what facing takes at least: common practice, no source
	if !ok {
		return fix{}, false
	}
	s := doc.Stock
	s.Nominal = next
	if s.Top == plate.AsSupplied && s.Bottom == plate.AsSupplied {
		s.Top = plate.Machined
	}
	if m, err := material.Lookup(s.Material.Alloy, s.Material.Temper, next); err == nil {
		if was, err := material.Lookup(s.Material.Alloy, s.Material.Temper, doc.Stock.Nominal); err == nil && was == s.Material {
			s.Material = m
		}
	}
	return fix{"Buy " + mm.formatUnit(next) + " and machine it to " + mm.formatUnit(s.Finished), plate.SetStock(s)}, true
}

// applyFix applies the fix of a finding and says what it did not do.
func (w *Window) applyFix(f finding.Finding) {
	if x, ok := w.fixOf(w.job.Doc(), f); ok {
		w.edit(x.edit, "")
	}
}

// fixText is the button of a finding's fix; empty for none.
func (w *Window) fixText(f finding.Finding) string {
	x, _ := w.fixOf(w.job.Doc(), f)
	return x.text
}
