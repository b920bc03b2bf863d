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
	c.fields = w.selectedFields(doc, s)
	c.facts = w.facts(doc)
	c.actions = w.actions(doc)
	c.list = w.listOf(doc)
	for _, f := range w.job.Findings().Value {
		if s.id != 0 && !s.onCell && !s.onRib && plate.ID(f.Feature) == s.id || s.id == 0 && f.Stage == s.stage {
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
		return fmt.Sprintf("Outline: %s %d", cornerWord(doc.Outline.Kind), s.corner)
	case s.corner > 0:
		return fmt.Sprintf("%s: boundary corner %d", f.Name, s.corner)
	case s.onCell:
		return "Cell of " + f.Name
	case s.onRib:
		return "Rib of " + f.Name
	case s.id != 0 && ok:
		return upperFirst(string(f.ShownKind())) + ": " + f.Name
	}
	return stageTitle(s.stage)
}

// facts are what is known about the selection: what it weighs and what it costs in time.
func (w *Window) facts(doc plate.Plate) []fact {
	s := w.sel
	var out []fact
	if s.onCell {
		return w.cellFacts()
	}
	if s.onRib {
		return w.ribFacts()
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
	if s.id == 0 && s.stage == plate.StagePrice {
		return w.priceFacts()
	}
	if s.id == 0 {
		return nil
	}
	out = append(out, w.adjusterFacts(doc)...)
	out = append(out, w.caseFacts()...)
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

// listOf are the features of the selected stage, or the corners of a path, or the choices about parts of a feature.
func (w *Window) listOf(doc plate.Plate) []listRow {
	s := w.sel
	if s.corner > 0 || s.id == 0 && s.stage == plate.StageOutline || len(s.path(doc)) > 0 && !s.onCell && !s.onRib {
		return append(w.partList(doc), w.cornerList(doc)...)
	}
	if s.id != 0 {
		return w.partList(doc)
	}
	var out []listRow
	mm := lengthIn(w.inch)
	for _, f := range slices.Concat(doc.Features(), doc.PlanItems()) {
		if f.Stage == s.stage {
			name := f.Name
			if f.Kind == plate.KindChange {
				name = upperFirst(f.Name)
			}
			out = append(out, listRow{name, featureValue(doc, f, mm), selection{stage: s.stage, id: f.ID}})
		}
	}
	return out
}

// mostListed bounds the rows of the particulars; more are reached on the plate.
const mostListed = 200

func (w *Window) cornerList(doc plate.Plate) []listRow {
	var out []listRow
	mm := lengthIn(w.inch)
	row := func(i int, word, text string) {
		s := selection{stage: w.sel.stage, id: w.sel.id, corner: i + 1}
		out = append(out, listRow{upperFirst(word) + " " + strconv.Itoa(i+1), text, s})
	}
	if w.sel.id == 0 && doc.Outline.Kind == plate.Wrapped {
		for i, v := range doc.Outline.Wraps[:min(len(doc.Outline.Wraps), mostListed)] {
			f, _ := doc.Find(v.Feature)
			text := f.Name + "  " + mm.format(v.Width)
			if v.Hollow {
				text += ", hollow"
			}
			row(i, "round", text)
		}
		return out
	}
	path, word := w.sel.path(doc), "corner"
	if w.sel.id == 0 && doc.Outline.Kind == plate.Contour {
		path, word = vertexPath(doc.Outline.Vertices), "vertex"
	}
	for i, c := range path[:min(len(path), mostListed)] {
		text := mm.format(c.X) + ", " + mm.format(c.Y)
		switch {
		case c.Radius > 0:
			text += "  r " + mm.format(c.Radius)
		case c.Chamfer > 0:
			text += "  c " + mm.format(c.Chamfer)
		}
		row(i, word, text)
	}
	return out
}

// partList are the choices that have been made about cells of a pocket, or ribs of a field.
func (w *Window) partList(doc plate.Plate) []listRow {
	if w.sel.onCell || w.sel.onRib || w.sel.id == 0 || w.sel.corner > 0 {
		return nil
	}
	var out []listRow
	mm := lengthIn(w.inch)
	s := selection{stage: w.sel.stage, id: w.sel.id}
	if k := pocketOf(&doc, s.id); k != nil {
		s.onCell = true
		for i, a := range k.Kept[:min(len(k.Kept), mostListed)] {
			s.cell = plainCell(a)
			out = append(out, listRow{"Kept cell " + strconv.Itoa(i+1), "solid", s})
		}
		for i, d := range k.Depths[:min(len(k.Depths), mostListed)] {
			s.cell = plainCell(d.At)
			text := "through"
			if !d.Through {
				text = mm.formatUnit(d.Depth)
			}
			out = append(out, listRow{"Cell " + strconv.Itoa(i+1), text, s})
		}
	}
	if g := gridOf(&doc, s.id); g != nil {
		s.onRib = true
		for i, v := range g.Widths[:min(len(g.Widths), mostListed)] {
			s.rib = plainRib(v.At)
			out = append(out, listRow{"Rib " + strconv.Itoa(i+1), "width " + mm.formatUnit(v.Width), s})
		}
	}
	return out
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
