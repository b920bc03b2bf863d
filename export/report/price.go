package report

import (
	"fmt"
	"io"
	"strings"

	"platewright/plate/quote"
)

// PriceText writes the quote alone, as "platewright quote" prints it; explain adds what every line was computed from. The
// error is ErrIncomplete or that of the writer; a job without a price prints the findings that say why.
func (r Report) PriceText(w io.Writer, explain bool) error {
	if !r.Complete() {
		return ErrIncomplete
	}
	var b strings.Builder
	r.writeHead(&b)
	if r.Quote.OK {
		writeQuote(&b, r.Quote.Value, explain)
	} else {
		writeFindings(&b, r.Findings())
	}
	b.WriteString("\n")
	for _, c := range Cautions() {
		wrap(&b, c, pageWidth, "", "")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeQuote writes the break table, one column for each quantity.
func writeQuote(b *strings.Builder, q quote.Quote, explain bool) {
	fmt.Fprintf(b, "\nPrice of one piece, %s, tax excluded", q.Currency)
	if q.ValidDays > 0 {
		fmt.Fprintf(b, ", valid for %d days", q.ValidDays)
	}
	b.WriteString("\n")
	if q.Example {
		b.WriteString("  The rates are a made-up example: enter the shop's own before relying on any amount.\n")
	}
	t := table{right: "l" + strings.Repeat("r", len(q.Batches))}
	row := func(name string, cell func(quote.Batch) string) {
		cells := []string{name}
		for _, x := range q.Batches {
			cells = append(cells, cell(x))
		}
		t.add(cells...)
	}
	row("quantity", func(x quote.Batch) string { return fmt.Sprint(x.Quantity) })
	for _, name := range lineNames(q) {
		row(name, func(x quote.Batch) string {
			for _, l := range x.Lines {
				if l.Name == name {
					return money(l.Amount)
				}
			}
			return "–"
		})
	}
	row("piece price", func(x quote.Batch) string { return money(x.PiecePrice) })
	row("with the band of the minutes, from", func(x quote.Batch) string { return money(x.Low) })
	row("to", func(x quote.Batch) string { return money(x.High) })
	row("all pieces", func(x quote.Batch) string { return money(x.Total) })
	t.write(b, "  ")
	for _, n := range q.Notes {
		wrap(b, n+".", pageWidth, "  ", "    ")
	}
	if explain {
		for _, x := range q.Batches {
			writeTrace(b, x, q.Currency)
		}
	}
}

// lineNames are the names of the lines of all batches, in the order in which they come.
func lineNames(q quote.Quote) []string {
	var names []string
	seen := map[string]bool{}
	for _, x := range q.Batches {
		for _, l := range x.Lines {
			if !seen[l.Name] {
				seen[l.Name] = true
				names = append(names, l.Name)
			}
		}
	}
	return names
}

// QuoteTrace says in lines of text what every line of one quantity was computed from.
func QuoteTrace(x quote.Batch, currency string) string {
	var b strings.Builder
	writeTrace(&b, x, currency)
	return b.String()
}

// writeTrace writes what every line of one quantity was computed from.
func writeTrace(b *strings.Builder, x quote.Batch, currency string) {
	pieces := "pieces"
	if x.Quantity == 1 {
		pieces = "piece"
	}
	fmt.Fprintf(b, "\n  %d %s: how each line was computed\n", x.Quantity, pieces)
	for _, l := range x.Lines {
		wrap(b, fmt.Sprintf("%s %s %s = %s", l.Name, money(l.Amount), currency, l.Sum), pageWidth, "    ", "      ")
		for _, in := range l.Inputs {
			wrap(b, fmt.Sprintf("%s: %s (%s)", in.Name, in.Printed(), in.From), pageWidth, "        ", "          ")
		}
	}
}
