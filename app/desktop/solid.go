package desktop

import (
	"platewright/export/report"
	"platewright/fea"
	"platewright/plate"
	"platewright/plate/finding"
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
		w.say(finding.Words(err))
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

// solidRow are the rows of a load case for the solid check: its figures beside the live model's, greyed where the plate is
// newer; empty before the first check.
func (w *Window) solidRow(id plate.ID, sel selection) []row {
	c, stale := w.solidOf(id)
	if c == nil {
		return nil
	}
	r := row{sel: sel, cells: []string{"   solid check", "", "", "", "", "", ""}}
	if c.Refused == "" {
		r.cells[3], r.cells[5] = grouped(c.MaxVonMises, 1), report.Significant(c.MaxDeflection)
	}
	off := row{sel: sel, wide: 1, says: solidText(c), cells: []string{"", solidText(c)}}
	if stale {
		off.cells[1] += "; of the plate before the last change"
		r.tone, off.tone = toneFaint, toneFaint
	}
	return []row{r, off}
}

// solidState is the row above all cases: what runs, or why nothing came of it.
func (w *Window) solidState() []row {
	s := w.job.Solid()
	say := func(text string, t tone) []row {
		return []row{{tone: t, wide: 1, says: text, cells: []string{"Solid check", text}}}
	}
	switch {
	case s.Running && s.Doing != "":
		return say("running, "+s.Doing+"; the Job menu stops it", toneInk)
	case s.Running:
		return say("running; the Job menu stops it", toneInk)
	case s.Trouble != "":
		return say(s.Trouble, toneLook)
	}
	return nil
}
