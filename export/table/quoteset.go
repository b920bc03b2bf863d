package table

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/quote"
	"platewright/plate/shop"
)

// SetJob is the price of a set as it is printed.
type SetJob struct {
	Name     string
	Revision string // of the set
	Profile  shop.Profile
	Prices   []quote.SetPrice // one for each number of sets
}

// SetQuotePDF prints the price of a set: the break table, and how every line of every part number was computed for the first
// number of sets. Errors: ErrNoQuote, or that of the writer.
func SetQuotePDF(w io.Writer, j SetJob, s Sheet) error {
	if len(j.Prices) == 0 {
		return ErrNoQuote
	}
	head := report.Unread(report.Inputs{Profile: j.Profile}, nil) // the name, revision and shop of every page
	head.Key.Revision, head.Plate = j.Revision, plate.Plate{Name: j.Name}
	currency := j.Profile.Rates.Currency
	p := newPrinter(head, s, "Quote of a set", false)
	p.paragraph("Prices in " + currency + ", tax excluded. Equal parts are one batch.")
	if j.Profile.Example {
		p.paragraph("The rates are a made-up example: enter the shop's own before relying on any amount.")
	}
	p.heading("Price of one set")
	cols := []column{{"", 4, false}}
	for _, x := range j.Prices {
		cols = append(cols, column{setCount(x.Sets), 2, true})
	}
	var rows [][]string
	for i, k := range j.Prices[0].Parts {
		row := []string{fmt.Sprintf("%d × %s", k.PerSet, k.Name)}
		for _, x := range j.Prices {
			row = append(row, x.Parts[i].Amount.StringFixed(2))
		}
		rows = append(rows, row)
	}
	row := []string{"one set"}
	for _, x := range j.Prices {
		row = append(row, x.Price.StringFixed(2))
	}
	p.table(cols, append(rows, row))
	first := j.Prices[0]
	for _, k := range first.Parts {
		p.heading(fmt.Sprintf("%s: how each line of one piece was computed, for %s", k.Name, setCount(first.Sets)))
		p.table([]column{{"line", 3, false}, {currency, 1.5, true}, {"sum", 5, false}, {"inputs", 8, false}}, traceRows(k.Batch))
	}
	return p.write(w)
}

func setCount(n int) string {
	if n == 1 {
		return "1 set"
	}
	return strconv.Itoa(n) + " sets"
}

// SetQuoteCSV writes the price of a set as comma-separated values: every line of every part number at each number of sets, the
// part number's amount in one set, and the price of one set.
func SetQuoteCSV(w io.Writer, j SetJob) error {
	if len(j.Prices) == 0 {
		return ErrNoQuote
	}
	currency := j.Profile.Rates.Currency
	rows := [][]string{{"sets", "part", "per_set", "line", "amount_each", "currency", "sum"}}
	for _, x := range j.Prices {
		n := strconv.Itoa(x.Sets)
		for _, k := range x.Parts {
			per, name := strconv.Itoa(k.PerSet), report.Cell(k.Name)
			for _, l := range k.Batch.Lines {
				rows = append(rows, []string{n, name, per, report.Cell(l.Name), l.Amount.StringFixed(2), currency, report.Cell(l.Sum)})
			}
			rows = append(rows,
				[]string{n, name, per, "piece price", k.PiecePrice.StringFixed(2), currency, "sum of the lines, tax excluded"},
				[]string{n, name, per, "in one set", k.Amount.StringFixed(2), currency, "pieces in a set × piece price"})
		}
		rows = append(rows, []string{n, "", "", "price of one set", x.Price.StringFixed(2), currency, "sum of its parts"})
	}
	for _, note := range report.Cautions() {
		rows = append(rows, []string{"", "", "", "note", "", "", report.Cell(note)})
	}
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("writing a quote: %w", err)
	}
	return nil
}
