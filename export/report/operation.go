package report

import (
	"fmt"
	"strings"

	"platewright/plate/route"
)

// OperationConditions is the tool of an operation, what it runs at, and how long it takes, in one line.
func OperationConditions(o route.Operation) string {
	var parts []string
	if o.Tool.ID != "" {
		t := o.Tool.ID
		if o.ToolNumber > 0 {
			t = fmt.Sprintf("T%d %s", o.ToolNumber, t)
		}
		parts = append(parts, t)
	}
	for _, v := range []struct {
		value  float64
		format string
	}{
		{o.Spindle, "%.0f rpm"}, {o.Feed, "%.0f mm/min"}, {o.Ap, "%.2f mm deep"}, {o.Ae, "%.2f mm wide"},
	} {
		if v.value > 0 {
			parts = append(parts, fmt.Sprintf(v.format, v.value))
		}
	}
	if o.PathMM > 0 {
		parts = append(parts, fmt.Sprintf("%.2f m at feed", o.PathMM/1e3))
	}
	return strings.Join(append(parts, round2(o.TotalMin)+" min"), ", ")
}

// OperationLimit says what limits an operation and what would at most be gained without it; empty for work without a limit.
func OperationLimit(o route.Operation) string {
	if o.LimitedBy == "" {
		return ""
	}
	s := "limited by " + o.LimitedBy
	if o.GainMin > 0 {
		s += fmt.Sprintf(": at most %s min less without it", round2(o.GainMin))
	}
	return s
}
