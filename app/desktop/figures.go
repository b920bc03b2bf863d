package desktop

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/section"
)

// figures are the cells of the ledger as they are now.
func (w *Window) figures() map[ledgerView]figure {
	now := time.Now()
	base, known := w.job.Baseline()
	targets := w.job.Report().Targets()
	return map[ledgerView]figure{
		tableMass:     w.massFigure(now, base, known, targets),
		tableCard:     w.minutesFigure(now, base, known, targets),
		tableCases:    w.reserveFigure(now, base, known, targets),
		tablePrice:    w.priceFigure(now, base, known, targets),
		tableSections: w.sectionFigure(now, base, known, targets),
		tableFindings: w.findingsFigure(now, base, known),
	}
}

func (w *Window) massFigure(now time.Time, base report.Report, known bool, ts []report.Target) figure {
	m := w.job.Mass()
	f := figure{caption: "Mass", unit: "kg", stale: m.Stale, age: m.Age(now)}
	if !m.OK {
		return f
	}
	f.value = strconv.FormatFloat(m.Value.MassKG, 'f', 3, 64)
	if known && base.Mass.OK {
		f.diff = signed((m.Value.MassKG-base.Mass.Value.MassKG)*1000, 1, "g")
	}
	f.note, f.noteTo = targetNote(ts, plate.MassKG, 0)
	f.remark = "buy to fly " + strconv.FormatFloat(m.Value.BuyToFly, 'f', 1, 64)
	if text, _ := targetNote(ts, plate.BuyToFly, 0); text != "" {
		f.remark += " · " + text
	}
	return f
}

func (w *Window) minutesFigure(now time.Time, base report.Report, known bool, ts []report.Target) figure {
	m := w.job.Machining()
	f := figure{caption: "Minutes, button to button", unit: "min", stale: m.Stale, age: m.Age(now)}
	if !m.OK {
		return f
	}
	p := m.Value
	f.value = "about " + twoDigits(p.CycleMin)
	if known && base.Machining.OK {
		f.diff = signed(p.CycleMin-base.Machining.Value.CycleMin, 1, "")
	}
	f.note, f.noteTo = targetNote(ts, plate.CycleMin, 0)
	by := "uncalibrated "
	if p.CalibratedBy > 0 {
		by = "by " + plural(p.CalibratedBy, "past job") + " "
	}
	f.remark = by + twoDigits(p.CycleLow) + " to " + twoDigits(p.CycleHigh) + ", " + w.job.Profile().Name + " shop"
	if p.About {
		f.remark = "re-timed, the whole plan follows; " + f.remark
	}
	if p.Incomplete {
		f.remark = "not all of it can be made; " + f.remark
	}
	return f
}

// shownSection is the cut line that the ledger shows: the selected one, else that of the first stiffness target, else the
// first.
func (w *Window) shownSection() (plate.CutLine, bool) {
	doc := w.job.Doc()
	if c := cutLineOf(&doc, w.sel.id); c != nil {
		return *c, true
	}
	for _, t := range doc.Targets {
		if c := cutLineOf(&doc, t.CutLine); t.Quantity == plate.SectionEI && c != nil {
			return *c, true
		}
	}
	if len(doc.CutLines) == 0 {
		return plate.CutLine{}, false
	}
	return doc.CutLines[0], true
}

func (w *Window) sectionFigure(now time.Time, base report.Report, known bool, ts []report.Target) figure {
	c, ok := w.shownSection()
	if !ok {
		return figure{hidden: true}
	}
	ss := w.job.Sections()
	f := figure{caption: "Section EI, " + c.Name, unit: "N·m²", stale: ss.Stale, age: ss.Age(now)}
	r, ok := sectionNamed(ss.Value, c.Name)
	if !ok {
		return f
	}
	f.value = grouped(r.EISS/1e6, 1)
	if b, ok := sectionNamed(base.Sections.Value, c.Name); ok && known {
		f.diff = signed((r.EISS-b.EISS)/1e6, 1, "")
	}
	f.note, f.noteTo = targetNote(ts, plate.SectionEI, c.ID)
	f.remark = plural(r.Pieces, "piece") + " of metal"
	if r.Pieces > 1 {
		f.remark += ", as if tied together"
	}
	return f
}

func sectionNamed(rs []section.Result, name string) (section.Result, bool) {
	for _, r := range rs {
		if r.Name == name {
			return r, true
		}
	}
	return section.Result{}, false
}

func (w *Window) findingsFigure(now time.Time, base report.Report, known bool) figure {
	k := w.job.Findings()
	wrong, look := finding.Count(k.Value, finding.Error), finding.Count(k.Value, finding.Warning)
	f := figure{caption: "Findings", stale: k.Stale, age: k.Age(now)}
	if !k.OK {
		return f
	}
	f.value = strconv.Itoa(wrong + look)
	if known && !w.job.Layout().Stale { // a plate with errors hides what else is to be found
		was := base.Findings()
		f.diff = signed(float64(wrong+look-finding.Count(was, finding.Error)-finding.Count(was, finding.Warning)), 0, "")
	}
	switch {
	case wrong > 0:
		f.note, f.noteTo = fmt.Sprintf("%d wrong", wrong), toneWrong
		if look > 0 {
			f.note += fmt.Sprintf(", %d to look at", look)
		}
	case look > 0:
		f.note, f.noteTo = plural(look, "place")+" to look at", toneLook
	default:
		f.note, f.noteTo = "nothing wrong found", toneFine
	}
	f.remark = some(finding.Count(k.Value, finding.Note), "note")
	return f
}

// targetNote says what is aimed at and whether it is met; the first target of the quantity counts, missed ones before met.
func targetNote(ts []report.Target, q plate.Quantity, cutLine plate.ID) (string, tone) {
	text, t := "", toneQuiet
	for _, k := range ts {
		if k.Quantity != q || q == plate.SectionEI && k.CutLine != cutLine {
			continue
		}
		line := "target " + senseWord(k.Sense) + " " + quantityOf(k.Unit, false).format(k.Value)
		switch {
		case !k.Known:
			if text == "" {
				text = line
			}
		case !k.Met:
			return line + ", missed", toneWrong
		case text == "":
			text, t = line+", met", toneFine
		}
	}
	return text, t
}

// signed writes a difference with its sign and unit; empty where it rounds to nothing.
func signed(v float64, decimals int, unit string) string {
	if math.Abs(v) < 0.5*math.Pow(10, -float64(decimals)) {
		return ""
	}
	s := grouped(math.Abs(v), decimals)
	if v < 0 {
		s = "−" + s
	} else {
		s = "+" + s
	}
	if unit != "" {
		s += " " + unit
	}
	return s
}
