package table

import (
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"

	"platewright/export/report"
)

// Sheet is what a printed sheet needs besides the report.
type Sheet struct {
	Date string // as it is printed, such as 2026-11-25; empty to print none
}

// Sizes on the sheet: margins and gaps in mm, letters in points.
const (
	margin    = 14.0
	gap       = 1.2
	textSize  = 8.0
	smallSize = 7.0
	titleSize = 16.0
	headSize  = 10.5
	lineRatio = 0.45 // mm of a line for each point of the letters
)

// headRoom is the height that a heading asks for below it, mm, so that it does not stand alone at the foot of a page.
const headRoom = 30.0

// column is one column of a table: its head, its share of the width, and whether it holds numbers.
type column struct {
	head   string
	share  float64
	number bool
}

// printer writes sheets.
type printer struct {
	pdf   *fpdf.Fpdf
	width float64 // between the margins
	foot  float64 // height of the footer
}

// newPrinter starts a document. Landscape sheets lie on their side.
func newPrinter(r report.Report, s Sheet, title string, landscape bool) *printer {
	orientation := "P"
	if landscape {
		orientation = "L"
	}
	f := fpdf.New(orientation, "mm", "A4", "")
	// The bytes must not depend on the clock: the date that is printed is passed in, that of the file is fixed.
	fixed := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(fixed)
	f.SetModificationDate(fixed)
	f.SetCatalogSort(true)
	f.SetProducer("platewright "+r.Key.Program, true)
	f.SetTitle(title+" – "+r.Plate.Name, true)
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gomedium.TTF)
	f.SetMargins(margin, margin, margin)
	f.AliasNbPages("")
	w, _ := f.GetPageSize()
	p := &printer{pdf: f, width: w - 2*margin}
	p.foot = float64(len(report.Cautions())+2)*smallSize*lineRatio + 6
	f.SetAutoPageBreak(true, margin+p.foot)
	f.SetFooterFunc(func() { p.footer(r, s) })
	f.AddPage()
	p.font("B", titleSize)
	p.line(title)
	p.font("", headSize)
	p.line(r.Plate.Name)
	p.font("", textSize)
	if r.Plate.Stock.Nominal > 0 { // a set has no stock of its own
		p.line(r.Headline())
	}
	if r.Plate.Note != "" {
		p.paragraph(r.Plate.Note)
	}
	return p
}

func (p *printer) font(style string, size float64) { p.pdf.SetFont("go", style, size) }

func (p *printer) lineHeight() float64 {
	points, _ := p.pdf.GetFontSize()
	return points * lineRatio
}

// line writes one line of text in the current font, broken where it is too long.
func (p *printer) line(s string) {
	p.pdf.MultiCell(p.width, p.lineHeight()+gap, printable(s), "", "L", false)
}

func (p *printer) paragraph(s string) {
	p.font("", textSize)
	p.line(s)
}

func (p *printer) heading(s string) {
	if p.room() < headRoom {
		p.pdf.AddPage()
	}
	p.pdf.Ln(2.5)
	p.font("B", headSize)
	p.line(s)
}

// printable keeps a text within what the sheet's typeface and the file can hold: line breaks and control characters would end
// a cell, and the typeface stops at the Basic Multilingual Plane.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < ' ' || r == 0x7f:
			return ' '
		case r > 0xffff:
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

func (p *printer) footer(r report.Report, s Sheet) {
	_, h := p.pdf.GetPageSize()
	y := h - margin - p.foot + 3
	p.pdf.SetDrawColor(0x80, 0x80, 0x80)
	p.pdf.Line(margin, y, margin+p.width, y)
	p.pdf.SetXY(margin, y+1)
	p.font("B", smallSize)
	for _, c := range report.Cautions() {
		p.pdf.MultiCell(p.width, smallSize*lineRatio, c, "", "L", false)
	}
	p.font("", smallSize)
	parts := []string{fmt.Sprintf("%s, revision %.12s", r.Plate.Name, r.Key.Revision), fmt.Sprintf("shop profile %q %.12s", r.Profile().Name, r.Key.Profile)}
	if s.Date != "" {
		parts = append(parts, s.Date)
	}
	parts = append(parts, "platewright "+r.Key.Program, fmt.Sprintf("page %d of {nb}", p.pdf.PageNo()))
	p.pdf.MultiCell(p.width, smallSize*lineRatio, printable(strings.Join(parts, ", ")), "", "L", false)
}

// table writes rows under repeated heads; cells are broken into lines where they are too long.
func (p *printer) table(cols []column, rows [][]string) {
	width := make([]float64, len(cols))
	sum := 0.0
	for _, c := range cols {
		sum += c.share
	}
	for i, c := range cols {
		width[i] = p.width * c.share / sum
	}
	heads := make([]string, len(cols))
	for i, c := range cols {
		heads[i] = c.head
	}
	first := 0.0
	if len(rows) > 0 {
		first = min(p.rowHeight(width, rows[0], ""), 4*p.lineHeight())
	}
	if p.rowHeight(width, heads, "B")+first > p.room() { // a head does not stand alone at the foot of a page
		p.pdf.AddPage()
	}
	p.row(cols, width, heads, "B")
	for _, r := range rows {
		for len(r) > 0 {
			now, later := p.fitting(width, r)
			if now == nil {
				p.pdf.AddPage()
				p.row(cols, width, heads, "B")
				continue
			}
			p.row(cols, width, now, "")
			r = later
		}
	}
}

// fitting is what of a row fits on the page, and what goes to the next one: nil and all of it where the row is short and
// belongs together, the lines beyond the page's end where it is longer than that.
func (p *printer) fitting(width []float64, row []string) (now, later []string) {
	if p.rowHeight(width, row, "") <= p.room() {
		return row, nil
	}
	lines := int((p.room() - 2*gap) / p.lineHeight())
	if p.rowHeight(width, row, "") <= p.page()/2 || lines < 1 {
		return nil, row
	}
	now, later = make([]string, len(row)), make([]string, len(row))
	for i, text := range row {
		broken := p.broken(width[i], text)
		n := min(lines, len(broken))
		now[i], later[i] = strings.Join(broken[:n], "\n"), strings.Join(broken[n:], " ")
	}
	return now, later
}

// page is the height between head margin and footer.
func (p *printer) page() float64 {
	_, h := p.pdf.GetPageSize()
	return h - 2*margin - p.foot
}

// room is the height left on the page.
func (p *printer) room() float64 {
	_, h := p.pdf.GetPageSize()
	return h - margin - p.foot - p.pdf.GetY()
}

// broken is a cell's text in lines.
func (p *printer) broken(width float64, text string) []string {
	if text == "" {
		return nil
	}
	var lines []string
	for part := range strings.SplitSeq(text, "\n") { // lines that were broken before stay as they are
		lines = append(lines, p.pdf.SplitText(printable(part), width-2*gap)...)
	}
	return lines
}

func (p *printer) rowHeight(width []float64, cells []string, style string) float64 {
	p.font(style, textSize)
	most := 1
	for i, c := range cells {
		most = max(most, len(p.broken(width[i], c)))
	}
	return float64(most)*p.lineHeight() + 2*gap
}

func (p *printer) row(cols []column, width []float64, cells []string, style string) {
	height := p.rowHeight(width, cells, style)
	x, y := margin, p.pdf.GetY()
	// The table looks for room itself: a break within a row would put each of its cells on a page of its own.
	p.pdf.SetAutoPageBreak(false, 0)
	defer p.pdf.SetAutoPageBreak(true, margin+p.foot)
	for i, c := range cells {
		align := "L"
		if cols[i].number {
			align = "R"
		}
		for k, l := range p.broken(width[i], c) {
			p.pdf.SetXY(x+gap, y+gap+float64(k)*p.lineHeight())
			p.pdf.CellFormat(width[i]-2*gap, p.lineHeight(), l, "", 0, align, false, 0, "")
		}
		x += width[i]
	}
	p.pdf.SetXY(margin, y+height)
	p.pdf.SetDrawColor(0xb0, 0xb0, 0xb0)
	if style == "B" {
		p.pdf.SetDrawColor(0, 0, 0)
	}
	p.pdf.Line(margin, y+height, margin+p.width, y+height)
}

func (p *printer) write(w io.Writer) error {
	if err := p.pdf.Error(); err != nil {
		return fmt.Errorf("printing a sheet: %w", err)
	}
	if err := p.pdf.Output(w); err != nil {
		return fmt.Errorf("printing a sheet: %w", err)
	}
	return nil
}
