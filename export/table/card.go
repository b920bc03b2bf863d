package table

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/route"
)

// RouteCardPDF prints the plan of machining: set-ups with how the work is held, and every operation with its tool,
// conditions, minutes and what limits it. Errors: report.ErrIncomplete, report.ErrNoPlan, or that of the writer.
func RouteCardPDF(w io.Writer, r report.Report, s Sheet) error {
	if !r.Complete() {
		return report.ErrIncomplete
	}
	if !r.Machining.OK || r.Machining.Value.Incomplete {
		return report.ErrNoPlan
	}
	plan := r.Machining.Value
	p := newPrinter(r, s, "Route card", true)
	p.paragraph(fmt.Sprintf("Machining of one piece: %s. Floor to floor %s min, set-up %s min once for a batch.",
		report.About(plan), decimals(plan.FloorToFloorMin, 1), decimals(plan.SetupMin, 0)))
	if plan.Machine != "" {
		p.paragraph("Machine: " + plan.Machine + ".")
	}
	for _, u := range plan.SetUps {
		p.heading(setUpTitle(u))
		if u.Holding != "" {
			p.paragraph("Held: " + u.Holding + ".")
		}
		if u.Note != "" {
			p.paragraph(u.Note + ".")
		}
		p.operations(r, func(o route.Operation) bool { return o.Where == route.OnMachine && o.SetUp == u.Number })
	}
	if elsewhere := func(o route.Operation) bool { return o.Where != route.OnMachine }; anyOf(plan.Operations, elsewhere) {
		p.heading("By hand or elsewhere")
		p.operations(r, elsewhere)
	}
	return p.write(w)
}

func anyOf(list []route.Operation, keep func(route.Operation) bool) bool {
	for _, o := range list {
		if keep(o) {
			return true
		}
	}
	return false
}

func setUpTitle(u route.SetUp) string {
	s := fmt.Sprintf("Set-up %d: %s face up, work zero at X %s Y %s of the plate", u.Number, u.Face, decimals(u.Zero.X, 2), decimals(u.Zero.Y, 2))
	if u.Turn != "" {
		s += ", turned about " + strings.ToUpper(string(u.Turn))
	}
	return s + ", " + decimals(u.Minutes, 1) + " min"
}

// cardColumns are the columns of the route card.
var cardColumns = []column{
	{"no", 3, true},
	{"tool", 9, false},
	{"operation", 17, false},
	{"makes", 15, false},
	{"rpm", 5, true},
	{"feed mm/min", 6, true},
	{"depth mm", 5, true},
	{"width mm", 5, true},
	{"passes", 6, true},
	{"min", 5, true},
	{"path m", 5, true},
	{"limited by", 19, false},
}

func (p *printer) operations(r report.Report, keep func(route.Operation) bool) {
	var rows [][]string
	for i, o := range r.Machining.Value.Operations {
		if keep(o) {
			rows = append(rows, operationRow(r.Plate, i+1, o))
		}
	}
	p.table(cardColumns, rows)
}

// makesMost is how many features of one operation are named; a drill may make hundreds of holes.
const makesMost = 4

func operationRow(doc plate.Plate, no int, o route.Operation) []string {
	tool := o.Tool.ID
	if o.ToolNumber > 0 {
		tool = fmt.Sprintf("T%d %s", o.ToolNumber, tool)
	}
	if o.Where != route.OnMachine {
		tool = string(o.Where)
	}
	var makes []string
	for i, id := range o.Features {
		if i == makesMost {
			makes = append(makes, fmt.Sprintf("and %d more", len(o.Features)-i))
			break
		}
		if _, name, ok := doc.Feature(id); ok {
			makes = append(makes, name)
		}
	}
	return []string{
		strconv.Itoa(no), tool, o.Name, strings.Join(makes, ", "),
		orBlank(o.Spindle, 0), orBlank(o.Feed, 0), orBlank(o.Ap, 2), orBlank(o.Ae, 2), orBlank(float64(o.Passes), 0),
		decimals(o.TotalMin, 2), orBlank(o.PathMM/1e3, 2), limit(o),
	}
}

// limit is what limits an operation, and the minutes that would at most be saved without it where they can be printed.
func limit(o route.Operation) string {
	if gain := decimals(o.GainMin, 2); o.LimitedBy != "" && gain != "0.00" {
		return o.LimitedBy + " (costs up to " + gain + " min)"
	}
	return o.LimitedBy
}

func decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }

// orBlank leaves out a figure that an operation does not have, such as the spindle speed of work by hand.
func orBlank(v float64, n int) string {
	if v == 0 {
		return ""
	}
	return decimals(v, n)
}
