package report

import (
	"errors"

	"platewright/plate/finding"
	"platewright/plate/layout"
)

// deriveFinding turns the error of a derivation into a finding at the feature and place that it names.
func deriveFinding(err error) finding.Finding {
	f := finding.Finding{
		Code: "not-derived", Level: finding.Error, Stage: "outline",
		What:   finding.Words(err),
		Why:    "every figure is computed from the derived shape of the plate",
		Source: "Platewright",
		Fix:    "correct the form that is named",
	}
	var d *layout.DeriveError
	if !errors.As(err, &d) {
		return f
	}
	f.What = d.What
	if d.Err != nil {
		f.What += ": " + finding.Words(d.Err)
	}
	f.Feature, f.FeatureName, f.Stage = int64(d.Feature), d.FeatureName, d.Stage
	if d.HasWhere {
		f.Where, f.HasWhere = [2]float64{d.Where.X, d.Where.Y}, true
	}
	return f
}
