package desktop

import (
	"math"
	"slices"
	"strconv"
	"time"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/quote"
)

// priceFigure is the ledger's cell of the piece price: at the first quantity of the break table, with its range.
func (w *Window) priceFigure(now time.Time, base report.Report, known bool, ts []report.Target) figure {
	k := w.job.Quote()
	f := figure{caption: "Piece price", stale: k.Stale, age: k.Age(now)}
	if !k.OK || len(k.Value.Batches) == 0 {
		return f
	}
	q := k.Value
	b := q.Batches[0]
	f.caption, f.unit = "Piece price at "+strconv.Itoa(b.Quantity), q.Currency
	f.value = "about " + amount(b.PiecePrice)
	if known && base.Quote.OK {
		if d, ok := priceChange(base.Quote.Value, q, b.Quantity, ""); ok {
			f.diff = signed(d, 0, "")
		}
	}
	f.note, f.noteTo = targetNote(ts, plate.PieceCost, 0)
	f.remark = amount(b.Low) + " to " + amount(b.High)
	if q.Example {
		f.remark += ", example rates"
	}
	if f.note == "" { // no target: the range moves up
		f.note, f.noteTo, f.remark = f.remark, toneQuiet, ""
	}
	return f
}

// amount writes an estimated price with two significant digits, as the minutes that it comes from; the price's own table has
// the cents.
func amount(m quote.Money) string {
	v := m.InexactFloat64()
	digits := 1 // decimals that leave two significant digits
	if v != 0 {
		digits = 1 - int(math.Floor(math.Log10(math.Abs(v))))
	}
	return grouped(m.Round(int32(digits)).InexactFloat64(), max(digits, 0))
}

// priceChange is how much a line differs from the baseline's at a quantity; the empty name is the piece price.
func priceChange(from, to quote.Quote, quantity int, line string) (float64, bool) {
	for _, c := range quote.Compare(from, to) {
		if c.Quantity == quantity && c.Line == line {
			return c.To.Sub(c.From).InexactFloat64(), true
		}
	}
	return 0, false
}

// linesGone are rows for the lines of a quantity that only the baseline has.
func linesGone(from, to quote.Quote, b quote.Batch) []row {
	var rows []row
	for _, c := range quote.Compare(from, to) {
		if c.Quantity != b.Quantity || c.Line == "" || slices.ContainsFunc(b.Lines, func(l quote.Line) bool { return l.Name == c.Line }) {
			continue
		}
		rows = append(rows, row{sel: selection{stage: plate.StagePrice}, tone: toneQuiet, cells: []string{
			"   " + c.Line + ", no longer", "", signed(-c.From.InexactFloat64(), 2, ""), "",
		}})
	}
	return rows
}

// priceRows is the drawer behind the price: every line of every quantity with what it was computed from.
func (d *drawer) priceRows() (string, []row) {
	k := d.w.job.Quote()
	if !k.OK {
		return "Price: not known yet; the stages marked wrong say what it lacks", nil
	}
	q := k.Value
	base, known := d.w.job.Baseline()
	diff := func(b quote.Batch, line string) string {
		if !known || !base.Quote.OK {
			return ""
		}
		v, _ := priceChange(base.Quote.Value, q, b.Quantity, line)
		return signed(v, 2, "")
	}
	at := selection{stage: plate.StagePrice}
	var rows []row
	for _, b := range q.Batches {
		rows = append(rows, row{bold: true, sel: at, cells: []string{
			"one piece of " + strconv.Itoa(b.Quantity), b.PiecePrice.StringFixed(2), diff(b, ""),
			"between " + b.Low.StringFixed(2) + " and " + b.High.StringFixed(2) + "; all of them " + b.Total.StringFixed(2),
		}})
		for _, l := range b.Lines {
			rows = append(rows, row{sel: at, cells: []string{"   " + l.Name, l.Amount.StringFixed(2), diff(b, l.Name), l.Sum}})
			for _, in := range l.Inputs {
				rows = append(rows, row{sel: at, tone: toneQuiet, cells: []string{
					"      " + in.Name, in.Printed(), "", in.From,
				}})
			}
		}
		if known && base.Quote.OK {
			rows = append(rows, linesGone(base.Quote.Value, q, b)...)
		}
	}
	for _, n := range q.Notes {
		rows = append(rows, row{sel: at, tone: toneLook, cells: []string{"not in the price", "", "", upperFirst(n)}})
	}
	title := "Price of one piece in " + q.Currency + ", tax excluded"
	if q.Example {
		title += ", at made-up example rates"
	}
	return title + staleWord(k.Stale), rows
}

// priceFacts are the break table in short, for the stage's particulars.
func (w *Window) priceFacts() []fact {
	k := w.job.Quote()
	if !k.OK {
		return []fact{{"The price is not known yet", toneQuiet}}
	}
	t := toneInk
	if k.Stale {
		t = toneFaint
	}
	var out []fact
	for _, b := range k.Value.Batches {
		out = append(out, fact{
			"One of " + strconv.Itoa(b.Quantity) + ": about " + amount(b.PiecePrice) + " " + k.Value.Currency +
				" (" + amount(b.Low) + " to " + amount(b.High) + ")", t,
		})
	}
	if k.Value.Example {
		out = append(out, fact{"With made-up example rates", toneLook})
	}
	return out
}
