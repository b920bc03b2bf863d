package desktop

import (
	"strconv"

	"platewright/export/report"
	"platewright/fea"
	"platewright/plate"
)

// solidLabel is what the command of the solid check does now.
func (w *Window) solidLabel() string {
	if w.job.Solid().Running {
		return "Stop the solid check"
	}
	return "Solid check"
}

// toggleSolid starts the solid check of the load cases in the background, or stops it.
func (w *Window) toggleSolid() {
	if w.job.Solid().Running {
		w.job.StopSolid()
		return
	}
	if err := w.job.CheckSolid(); err != nil {
		w.say(err.Error())
		return
	}
	if w.open != tableCases {
		w.openTable(tableCases)
	}
}

// solidOf is the solid check of one load case; nil for none.
func (w *Window) solidOf(id plate.ID) (c *fea.SolidCase, stale bool) {
	s := w.job.Solid()
	if s.Value == nil {
		return nil, false
	}
	for i := range s.Value.Cases {
		if s.Value.Cases[i].Case.ID == id {
			return &s.Value.Cases[i], s.Stale
		}
	}
	return nil, false
}

// solidText says what the solid check found of a load case: the live model's error.
func solidText(c *fea.SolidCase) string {
	if c.Refused != "" {
		return "not checked: " + c.Refused
	}
	e := c.LiveError
	return "the live model's error: stiffness " + report.Percent(e.Stiffness) + ", deflection " + report.Percent(e.Deflection) + ", stress " + report.Percent(e.VonMises)
}

// solidRow is the row of a load case for the solid check: its figures beside the live model's, greyed where the plate is
// newer; empty before the first check.
func (w *Window) solidRow(id plate.ID, sel selection) []row {
	c, stale := w.solidOf(id)
	if c == nil {
		return nil
	}
	r := row{sel: sel, tone: toneInk, cells: []string{"   solid check", "", "", "", "", "", "", solidText(c)}}
	if c.Refused == "" {
		r.cells[3], r.cells[5] = grouped(c.MaxVonMises, 1), strconv.FormatFloat(c.MaxDeflection, 'g', 3, 64)
	}
	if stale {
		r.tone = toneFaint
		r.cells[7] += "; of the plate before the last change"
	}
	return []row{r}
}

// solidNotes are the rows below all cases: what runs, why nothing came of it, and what the check leaves out.
func (w *Window) solidNotes() []row {
	s := w.job.Solid()
	say := func(text string, t tone) row {
		return row{tone: t, cells: []string{"Solid check", "", "", "", "", "", "", text}}
	}
	var rows []row
	switch {
	case s.Running && s.Doing != "":
		rows = append(rows, say("running, "+s.Doing, toneInk))
	case s.Running:
		rows = append(rows, say("running", toneInk))
	case s.Trouble != "":
		rows = append(rows, say(s.Trouble, toneLook))
	}
	if s.Value != nil {
		for _, n := range append([]string{s.Value.String()}, s.Value.Notes...) {
			rows = append(rows, say(n, toneQuiet))
		}
	}
	return rows
}
