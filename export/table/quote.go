package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/plate/quote"
)

// ErrNoQuote says that a quote was asked of a report without a price.
var ErrNoQuote = errors.New("there is no price to write a quote from; see the findings about price and machining")

// priced is the quote of a complete report.
func priced(r report.Report) (quote.Quote, error) {
	switch {
	case !r.Complete():
		return quote.Quote{}, report.ErrIncomplete
	case !r.Quote.OK || len(r.Quote.Value.Batches) == 0:
		return quote.Quote{}, ErrNoQuote
	}
	return r.Quote.Value, nil
}

// QuotePDF prints the price: the break table, and how every line of the first quantity was computed. Errors:
// report.ErrIncomplete, ErrNoQuote, or that of the writer.
func QuotePDF(w io.Writer, r report.Report, s Sheet) error {
	q, err := priced(r)
	if err != nil {
		return err
	}
	p := newPrinter(r, s, "Quote", false)
	terms := "Prices in " + q.Currency + ", tax excluded"
	if q.ValidDays > 0 {
		terms += fmt.Sprintf(", valid for %d days", q.ValidDays)
		if s.Date != "" {
			terms += " from " + s.Date
		}
	}
	p.paragraph(terms + ".")
	if q.Example {
		p.paragraph("The rates are a made-up example: enter the shop's own before relying on any amount.")
	}
	p.paragraph("Machining of one piece: " + report.About(r.Machining.Value) + "; the range of the price comes from that of the minutes.")
	p.heading("Price of one piece")
	cols := []column{{"", 4, false}}
	for _, b := range q.Batches {
		cols = append(cols, column{pieces(b.Quantity), 2, true})
	}
	p.table(cols, breakTable(q))
	for _, n := range q.Notes {
		p.paragraph("Not included: " + n + ".")
	}
	p.heading("How each line was computed, for " + pieces(q.Batches[0].Quantity))
	p.table([]column{{"line", 3, false}, {q.Currency, 1.5, true}, {"sum", 5, false}, {"inputs", 8, false}}, traceRows(q.Batches[0]))
	return p.write(w)
}

func pieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// breakTable is one row for each line, in the order in which they come, and the totals.
func breakTable(q quote.Quote) [][]string {
	var rows [][]string
	at := map[string]int{}
	for k, b := range q.Batches {
		for _, l := range b.Lines {
			i, known := at[l.Name]
			if !known {
				i = len(rows)
				at[l.Name] = i
				rows = append(rows, append([]string{l.Name}, make([]string, len(q.Batches))...))
			}
			rows[i][k+1] = l.Amount.StringFixed(2)
		}
	}
	total := func(name string, of func(quote.Batch) string) {
		row := []string{name}
		for _, b := range q.Batches {
			row = append(row, of(b))
		}
		rows = append(rows, row)
	}
	total("piece price", func(b quote.Batch) string { return b.PiecePrice.StringFixed(2) })
	total("range of the piece price", func(b quote.Batch) string { return b.Low.StringFixed(2) + " to " + b.High.StringFixed(2) })
	total("all pieces", func(b quote.Batch) string { return b.Total.StringFixed(2) })
	return rows
}

func traceRows(b quote.Batch) [][]string {
	var rows [][]string
	for _, l := range b.Lines {
		var in []string
		for _, i := range l.Inputs {
			in = append(in, i.Name+" "+i.Printed()+" ("+i.From+")")
		}
		rows = append(rows, []string{l.Name, l.Amount.StringFixed(2), l.Sum, strings.Join(in, "; ")})
	}
	return rows
}

// QuoteCSV writes one row for each line of each quantity as comma-separated values (RFC 4180). Errors as of QuotePDF.
func QuoteCSV(w io.Writer, r report.Report) error {
	q, err := priced(r)
	if err != nil {
		return err
	}
	out := csv.NewWriter(w)
	rows := [][]string{{"quantity", "line", "amount_each", "currency", "sum"}}
	for _, b := range q.Batches {
		n := strconv.Itoa(b.Quantity)
		for _, l := range b.Lines {
			rows = append(rows, []string{n, report.Cell(l.Name), l.Amount.StringFixed(2), q.Currency, report.Cell(l.Sum)})
		}
		rows = append(rows,
			[]string{n, "piece price", b.PiecePrice.StringFixed(2), q.Currency, "sum of the lines, tax excluded"},
			[]string{n, "piece price, low", b.Low.StringFixed(2), q.Currency, "with the fewest minutes of the plan's range"},
			[]string{n, "piece price, high", b.High.StringFixed(2), q.Currency, "with the most minutes of the plan's range"})
	}
	for _, note := range append(q.Notes, report.Cautions()...) {
		rows = append(rows, []string{"", "note", "", "", report.Cell(note)})
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("writing a quote: %w", err)
	}
	return nil
}
