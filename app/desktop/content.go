package desktop

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/plate"
	"platewright/plate/layout"
)

// content gathers what the particulars show for the selection.
func (w *Window) content() content {
	doc, s := w.job.Doc(), w.sel
	c := content{sel: s, doc: doc, inches: w.inch, title: w.selectionTitle(doc)}
	c.fields = selectedFields(doc, s)
	c.facts = w.facts(doc)
	c.actions = w.actions(doc)
	c.list = w.listOf(doc)
	for _, f := range w.job.Findings().Value {
		if s.id != 0 && !s.onCell && plate.ID(f.Feature) == s.id || s.id == 0 && f.Stage == s.stage {
			c.findings = append(c.findings, f)
		}
	}
	return c
}

func (w *Window) selectionTitle(doc plate.Plate) string {
	s := w.sel
	f, ok := doc.Find(s.id)
	switch {
	case s.corner > 0 && s.id == 0:
		return fmt.Sprintf("Outline: corner %d", s.corner)
	case s.corner > 0:
		return fmt.Sprintf("%s: boundary corner %d", f.Name, s.corner)
	case s.onCell:
		return "Cell of " + f.Name
	case s.id != 0 && ok:
		return upperFirst(string(f.Kind)) + ": " + f.Name
	}
	return stageTitle(s.stage)
}

// selectedFields are the fields of a selection.
func selectedFields(doc plate.Plate, s selection) []plate.Field {
	switch {
	case s.onCell:
		return nil
	case s.corner > 0 && s.id == 0:
		return plate.OutlineFields(doc, s.corner-1)
	case s.id != 0:
		return boundaryApart(plate.Fields(doc, s.id), s.corner)
	}
	switch s.stage {
	case stageJob:
		return plate.PlateFields()
	case plate.StageStock:
		return plate.StockFields(doc)
	case plate.StageOutline:
		return []plate.Field{plate.RimField()}
	case plate.StageMachining:
		return plate.MachiningFields()
	}
	return nil
}

// boundaryApart keeps the fields of one boundary corner (from 1), or those that belong to none.
func boundaryApart(fs []plate.Field, corner int) []plate.Field {
	prefix := fmt.Sprintf("bounds[%d].", corner-1)
	var out []plate.Field
	for _, f := range fs {
		if corner == 0 && !strings.HasPrefix(f.Key, "bounds[") || corner > 0 && strings.HasPrefix(f.Key, prefix) {
			out = append(out, f)
		}
	}
	return out
}

// facts are what is known about the selection: what it weighs and what it costs in time.
func (w *Window) facts(doc plate.Plate) []fact {
	s := w.sel
	var out []fact
	if s.onCell {
		return w.cellFacts()
	}
	if s.stage == stageJob {
		return w.jobFacts(doc)
	}
	m := w.job.Mass()
	t := toneInk
	if m.Stale {
		t = toneFaint
	}
	if m.OK && s.id == 0 && s.stage == plate.StageStock {
		v := m.Value
		return []fact{
			{"Blank " + grams(v.BlankMassKG) + ", plate " + grams(v.MassKG), t},
			{"Buy to fly " + strconv.FormatFloat(v.BuyToFly, 'f', 2, 64), t},
			{"By the stock's tolerance " + grams(v.MassLow) + " to " + grams(v.MassHigh), t},
		}
	}
	if s.id == 0 {
		return nil
	}
	if m.OK {
		kg := 0.0
		for _, h := range m.Value.Shares {
			if h.Feature == s.id {
				kg += h.MassKG
			}
		}
		if kg > 0 {
			out = append(out, fact{"Its metal: " + grams(kg), t})
		}
	}
	out = append(out, w.minutesFact(s.id)...)
	return append(out, w.sectionFacts(doc)...)
}

// minutesFact is the minutes of the operations that are for this feature alone, and of those shared with others.
func (w *Window) minutesFact(id plate.ID) []fact {
	m := w.job.Machining()
	if !m.OK {
		return nil
	}
	own, shared := 0.0, 0.0
	for _, o := range m.Value.Operations {
		switch {
		case !slices.Contains(o.Features, id):
		case len(o.Features) == 1:
			own += o.TotalMin
		default:
			shared += o.TotalMin
		}
	}
	t := toneInk
	if m.Stale {
		t = toneFaint
	}
	var out []fact
	if own > 0 {
		out = append(out, fact{"Its minutes: about " + twoDigits(own), t})
	}
	if shared > 0 {
		out = append(out, fact{"Minutes shared with others: about " + twoDigits(shared), t})
	}
	return out
}

// sectionFacts are the figures of a selected cut line.
func (w *Window) sectionFacts(doc plate.Plate) []fact {
	c := cutLineOf(&doc, w.sel.id)
	ss := w.job.Sections()
	if c == nil || !ss.OK {
		return nil
	}
	t := toneInk
	if ss.Stale {
		t = toneFaint
	}
	r, ok := sectionNamed(ss.Value, c.Name)
	if !ok {
		return nil
	}
	out := []fact{
		{"Area " + grouped(r.Area, 1) + " mm² in " + plural(r.Pieces, "piece"), t},
		{"EI about s " + grouped(r.EISS/1e6, 1) + " N·m²", t},
		{"EI about z " + grouped(r.EIZZ/1e6, 1) + " N·m²", t},
		{"EA " + grouped(r.EA/1e6, 2) + " MN", t},
	}
	if r.Label != "" {
		out = append(out, fact{upperFirst(r.Label), toneLook})
	}
	return out
}

func (w *Window) cellFacts() []fact {
	l := w.job.Layout()
	if !l.OK {
		return nil
	}
	t := toneInk
	if l.Stale {
		t = toneFaint
	}
	var out []fact
	density := l.Value.Plate.Stock.Material.Density * 1e-9
	cells := w.sel.cells(l.Value)
	for _, i := range cells {
		c := &l.Value.Cells[i]
		out1 := grams(c.Area * c.Depth * density)
		took := "cutting it would take out " + out1
		if c.State == layout.CellCut {
			took = "it takes out " + out1
		}
		if len(cells) > 1 { // one triangle of a grid can fall into several pieces
			out = append(out, fact{upperFirst(string(c.State)) + ", " + grouped(c.Area, 1) + " mm², " + out1, t})
			continue
		}
		out = append(out, fact{"State: " + string(c.State), t}, fact{"Area " + grouped(c.Area, 1) + " mm²", t}, fact{upperFirst(took), t})
	}
	if len(out) == 0 {
		return []fact{{"There is no cell at this place now", toneLook}}
	}
	return out
}

func (w *Window) jobFacts(doc plate.Plate) []fact {
	path := w.job.Path()
	if path == "" {
		path = "no file yet"
	}
	return []fact{
		{"File: " + path, toneQuiet},
		{"Revision " + plate.Revision(doc)[:12], toneQuiet},
	}
}

// listOf are the features of the selected stage, or the corners of a path.
func (w *Window) listOf(doc plate.Plate) []listRow {
	s := w.sel
	if s.corner > 0 || s.id == 0 && s.stage == plate.StageOutline || len(s.path(doc)) > 0 {
		return w.cornerList(doc)
	}
	if s.id != 0 {
		return w.keptList(doc)
	}
	var out []listRow
	mm := lengthIn(w.inch)
	for _, f := range doc.Features() {
		if f.Stage == s.stage {
			out = append(out, listRow{f.Name, featureValue(doc, f, mm), selection{stage: s.stage, id: f.ID}})
		}
	}
	return out
}

// mostListed bounds the rows of the particulars; more are reached on the plate.
const mostListed = 200

func (w *Window) cornerList(doc plate.Plate) []listRow {
	var out []listRow
	mm := lengthIn(w.inch)
	path := w.sel.path(doc)
	for i, c := range path[:min(len(path), mostListed)] {
		text := mm.format(c.X) + ", " + mm.format(c.Y)
		if c.Radius > 0 {
			text += "  r " + mm.format(c.Radius)
		}
		out = append(out, listRow{
			"Corner " + strconv.Itoa(i+1), text,
			selection{stage: w.sel.stage, id: w.sel.id, corner: i + 1},
		})
	}
	return out
}

// keptList are the cells of a pocket field that are kept solid.
func (w *Window) keptList(doc plate.Plate) []listRow {
	k := pocketOf(&doc, w.sel.id)
	if k == nil || w.sel.onCell {
		return nil
	}
	var out []listRow
	for i, a := range k.Kept[:min(len(k.Kept), mostListed)] {
		s := w.sel
		s.cell, s.onCell = a, true
		out = append(out, listRow{"Kept cell " + strconv.Itoa(i+1), "solid", s})
	}
	return out
}

// featureValue is the one figure of a feature that a list shows.
func featureValue(doc plate.Plate, f plate.FeatureRef, mm quantity) string {
	switch f.Kind {
	case plate.KindBore:
		return "⌀ " + mm.formatUnit(boreOf(&doc, f.ID).Diameter)
	case plate.KindHole:
		h := holeOf(&doc, f.ID)
		return h.Size + " " + string(h.Kind)
	case plate.KindCircle:
		c := circleOf(&doc, f.ID)
		return strconv.Itoa(c.Count) + " × " + c.Size
	case plate.KindRib:
		return mm.formatUnit(ribOf(&doc, f.ID).Width)
	case plate.KindGrid:
		return "side " + mm.formatUnit(gridOf(&doc, f.ID).Pitch)
	case plate.KindPocket:
		k := pocketOf(&doc, f.ID)
		if k.Side == plate.Through {
			return "through"
		}
		return string(k.Side) + " " + mm.formatUnit(k.Depth)
	case plate.KindCutLine:
		return "cut line"
	case plate.KindTarget:
		t := targetOf(&doc, f.ID)
		return senseWord(t.Sense) + " " + quantityOf(t.Quantity.Unit(), false).formatUnit(t.Value)
	}
	return ""
}

func senseWord(s plate.Sense) string {
	if s == plate.AtLeast {
		return "at least"
	}
	return "at most"
}

// grams writes a mass: grams below 1 kg, else kg.
func grams(kg float64) string {
	if math.Abs(kg) < 0.9995 {
		return grouped(kg*1000, 1) + " g"
	}
	return strconv.FormatFloat(kg, 'f', 3, 64) + " kg"
}

// grouped writes a number with at most so many decimals, fewer for large ones, and thin spaces between thousands.
func grouped(v float64, decimals int) string {
	switch a := math.Abs(v); {
	case a >= 1000:
		decimals = 0
	case a >= 100:
		decimals = min(decimals, 1)
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	sign, rest := "", s
	if s[0] == '-' {
		sign, rest = "−", s[1:]
	}
	whole, frac := rest, ""
	for i := range rest {
		if rest[i] == '.' {
			whole, frac = rest[:i], rest[i:]
			break
		}
	}
	out := ""
	for i, r := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 && len(whole) > 4 {
			out += "\u2009"
		}
		out += string(r)
	}
	if strings.Trim(out+frac, "0.") == "" {
		sign = ""
	}
	return sign + out + frac
}

// twoDigits writes an uncalibrated estimate: two significant figures.
func twoDigits(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	p := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	r := math.Round(v/p) * p
	decimals := max(0, 1-int(math.Floor(math.Log10(math.Abs(r))+1e-9)))
	return strconv.FormatFloat(r, 'f', decimals, 64)
}
