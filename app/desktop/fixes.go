package desktop

import (
	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
)

// fixOf is the one change that clears a finding, where there is one, with lengths in the unit that is shown.
func (w *Window) fixOf(doc plate.Plate, f finding.Finding) (check.Fix, bool) {
	return check.Remedy(f, doc, w.job.Profile(), lengthIn(w.inch).formatUnit)
}

// applyFix applies the fix of a finding; a finding without one is left as it is.
func (w *Window) applyFix(f finding.Finding) {
	if x, ok := w.fixOf(w.job.Doc(), f); ok {
		w.edit(x.Edit, "")
	}
}

// fixText is the button of a finding's fix; empty for none.
func (w *Window) fixText(f finding.Finding) string {
	x, _ := w.fixOf(w.job.Doc(), f)
	return x.Text
}
