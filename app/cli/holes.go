package cli

import (
	"bytes"
	"io"

	"platewright/export/report"
	"platewright/export/table"
)

type holesCmd struct {
	input
	Out  string `short:"o" placeholder:"HOLES.csv|.pdf" help:"Write the table to a file, as comma-separated values or as a sheet to print. Without it the values are printed."`
	Date string `placeholder:"DATE" help:"Date on the sheet, as 2026-11-25."`
}

// Help is the long help.
func (holesCmd) Help() string {
	return `Examples:

    platewright holes side-plate.plate
    platewright holes side-plate.plate -o holes.pdf --date 2026-11-25

Every bore, seat, groove, head and hole with its place from the work zero, its inspection limits when finished, and the limits to
machine to before a finish that grows into it. Sizes without a fit are to ISO 2768-1 m.`
}

// Run prints or writes the hole table.
func (c *holesCmd) Run(e *env) error {
	sheet, err := sheetDate(c.Date)
	if err != nil {
		return err
	}
	j := job{input: c.input, parts: report.Mass, text: func(report.Report) error { return nil }}
	if c.Out == "" {
		j.text = func(r report.Report) error {
			if !r.Layout.OK {
				return nil // the verdict names the errors
			}
			var buf bytes.Buffer
			if err := table.HolesCSV(&buf, r); err != nil {
				return failed("%s: %v", label(c.File), err)
			}
			_, err := io.Copy(e.stdout, &buf)
			return err
		}
		return e.print(j)
	}
	if err := target(c.Out, []string{c.File}, ".csv", ".pdf"); err != nil {
		return err
	}
	j.also = func(r report.Report) error {
		return e.sheet(c.input, c.Out, r, func(buf *bytes.Buffer) error {
			if isPDF(c.Out) {
				return table.HolesPDF(buf, r, sheet)
			}
			return table.HolesCSV(buf, r)
		})
	}
	return e.print(j)
}
