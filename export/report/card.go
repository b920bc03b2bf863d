package report

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"platewright/plate/finding"
	"platewright/plate/route"
)

// ErrNoPlan says that a route card was asked of a report whose machining plan is absent or lacks operations.
var ErrNoPlan = errors.New("report: there is no whole machining plan to write a route card from; see the findings about machining")

// cardColumns are the columns of the route card, units in the names.
var cardColumns = []string{
	"no", "setup", "face", "tool_number", "tool", "tool_kind", "tool_diameter_mm", "operation", "where", "features",
	"spindle_rpm", "feed_mm_min", "depth_of_cut_mm", "width_of_cut_mm", "passes",
	"total_min", "cutting_min", "rapid_min", "minutes_are", "path_mm", "removed_mm3", "limited_by", "source",
}

// RouteCard writes the operations of the plan as comma-separated values (RFC 4180), one row each in the order in which they
// are done, with a header row. The error is ErrIncomplete, ErrNoPlan or that of the writer.
func (r Report) RouteCard(w io.Writer) error {
	if !r.Complete() {
		return ErrIncomplete
	}
	if !r.Machining.OK || r.Machining.Value.Incomplete {
		return ErrNoPlan
	}
	p := r.Machining.Value
	faces := map[int]string{}
	for _, s := range p.SetUps {
		faces[s.Number] = string(s.Face)
	}
	out := csv.NewWriter(w)
	if err := out.Write(cardColumns); err != nil {
		return err
	}
	for i, o := range p.Operations {
		if err := out.Write(r.cardRow(i+1, faces[o.SetUp], o)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// cardRow is one operation. A figure that it does not have, such as the spindle speed of work by hand, is empty.
func (r Report) cardRow(no int, face string, o route.Operation) []string {
	number := func(v float64, decimals int) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'f', decimals, 64)
	}
	minutes := func(v float64) string { return strings.ReplaceAll(round2(v), " ", "") }
	count := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	return []string{
		strconv.Itoa(no), count(o.SetUp), face, count(o.ToolNumber), Cell(toolName(o)), Cell(string(o.Tool.Kind)), number(o.Tool.Diameter, 3),
		Cell(o.Name), string(o.Where), Cell(strings.Join(r.featureNames(o), "; ")),
		number(o.Spindle, 0), number(o.Feed, 0), number(o.Ap, 3), number(o.Ae, 3), count(o.Passes),
		minutes(o.TotalMin), minutes(o.CuttingMin), minutes(o.RapidMin), band(r.Machining.Value),
		number(o.PathMM, 1), number(o.Removed, 1),
		Cell(o.LimitedBy), Cell(o.Source),
	}
}

// band says how far the minutes of a plan may be off, in percent.
func band(p route.Plan) string {
	if !(p.CycleMin > 0) {
		return "uncalibrated"
	}
	by := "uncalibrated"
	if p.CalibratedBy > 0 {
		by = fmt.Sprintf("by %d past jobs", p.CalibratedBy)
	}
	return fmt.Sprintf("%s %+.0f/%+.0f %%", by, 100*(p.CycleLow/p.CycleMin-1), 100*(p.CycleHigh/p.CycleMin-1))
}

// Cell guards a text that a spreadsheet would take for a formula, by the usual leading apostrophe.
func Cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// toolName is how a tool is called on a card: its name in the shop's list. Work by hand may have none.
func toolName(o route.Operation) string { return o.Tool.ID }

// featureNames are the names of the features that an operation makes, in its order.
func (r Report) featureNames(o route.Operation) []string {
	var names []string
	for _, id := range o.Features {
		if _, name, ok := r.Plate.Feature(id); ok {
			names = append(names, name)
		}
	}
	return names
}

// featureName is the feature of a finding as people know it.
func featureName(f finding.Finding) string {
	if f.FeatureName == "" && f.Feature != 0 {
		return "feature " + strconv.FormatInt(f.Feature, 10)
	}
	return f.FeatureName
}
