package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/export/table"
	"platewright/plate/finding"
)

type quoteCmd struct {
	input
	Batch   []int  `placeholder:"N,N" help:"Quantities of the break table, instead of those of the document."`
	Explain bool   `help:"Say what every line was computed from."`
	Out     string `short:"o" placeholder:"QUOTE.pdf|.csv" help:"Write the quote as a sheet to print, or as comma-separated values."`
	Date    string `placeholder:"DATE" help:"Date on the sheet, as 2026-11-25."`
	JSON    bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (quoteCmd) Help() string {
	return `Examples:

    platewright quote side-plate.plate
    platewright quote side-plate.plate --batch 1,10,100 --explain
    platewright quote side-plate.plate --shop our-mill.shop -o quote.pdf --date 2026-11-25
    platewright quote trike.set --batch 1,10

Of a set the quantities are numbers of sets. Prices are without tax. They come from the plan of machining, whose minutes are an
estimate, and from the rates of the shop profile; the rates that come with the program are a made-up example.`
}

// Run prints the quote and writes the sheet.
func (c *quoteCmd) Run(e *env) error {
	sheet, err := sheetDate(c.Date)
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := target(c.Out, []string{c.File}, ".pdf", ".csv"); err != nil {
			return err
		}
	}
	for _, n := range c.Batch {
		if n < 1 {
			return usage("--batch: %d pieces; give quantities from 1 on, as 1,10,100", n)
		}
	}
	if strings.EqualFold(filepath.Ext(c.File), ".set") {
		return c.set(e, sheet)
	}
	j := job{input: c.input, json: c.JSON, parts: report.Mass | report.Price}
	j.choose = func(in *report.Inputs) ([]finding.Finding, error) {
		if len(c.Batch) > 0 {
			in.Batches = c.Batch
		}
		return nil, nil
	}
	j.text = func(r report.Report) error { return r.PriceText(e.stdout, c.Explain) }
	if c.Out != "" {
		j.also = func(r report.Report) error {
			return e.sheet(c.input, c.Out, r, func(buf *bytes.Buffer) error {
				if isPDF(c.Out) {
					return table.QuotePDF(buf, r, sheet)
				}
				return table.QuoteCSV(buf, r)
			})
		}
	}
	return e.print(j)
}

func isPDF(name string) bool { return strings.EqualFold(filepath.Ext(name), ".pdf") }

// sheet writes a file that is printed from a report. Where it cannot be made, the findings that say why are named.
func (e *env) sheet(in input, name string, r report.Report, make func(*bytes.Buffer) error) error {
	var buf bytes.Buffer
	if err := make(&buf); err != nil {
		e.nameErrors(in, r.Findings())
		return failed("%s: not written: %v", name, err)
	}
	return e.write(name, buf.Bytes())
}

// sheetDate takes the date that is printed on a sheet: three numbers with hyphens, or nothing.
func sheetDate(s string) (table.Sheet, error) {
	var y, m, d int
	if s != "" {
		if n, err := fmt.Sscanf(s, "%4d-%2d-%2d", &y, &m, &d); err != nil || n != 3 || len(s) != 10 || m < 1 || m > 12 || d < 1 || d > 31 {
			return table.Sheet{}, usage("--date: %q is no date; write it as 2026-11-25", s)
		}
	}
	return table.Sheet{Date: s}, nil
}
