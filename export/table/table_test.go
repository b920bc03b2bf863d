package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/shop"
	"platewright/samples"
)

func sample(t *testing.T, name string) report.Report {
	t.Helper()
	s, err := samples.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(s.Data)
	if err != nil {
		t.Fatal(err)
	}
	profile, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	r, err := report.Build(t.Context(), report.Inputs{Plate: p, Profile: profile, Want: report.All &^ report.Stress})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// printed is the text of a sheet as an outside reader (Debian's poppler) finds it; the test skips where there is none.
func printed(t *testing.T, pdf []byte) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("PLATEWRIGHT_OUTSIDE") == "1" {
			t.Fatal("pdftotext is missing; install Debian's poppler-utils")
		}
		t.Skip("pdftotext is missing: install Debian's poppler-utils to read the sheets back")
	}
	name := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(name, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), tool, "-layout", name, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// The sheets hold what the report says, as an outside reader finds it: every operation, every amount, the cautions.
func TestSheetsReadBackOutside(t *testing.T) {
	r := sample(t, "cargo-trike-side-plate")
	var card, quote bytes.Buffer
	if err := RouteCardPDF(&card, r, Sheet{Date: "2026-11-25"}); err != nil {
		t.Fatal(err)
	}
	if err := QuotePDF(&quote, r, Sheet{Date: "2026-11-25"}); err != nil {
		t.Fatal(err)
	}
	text := printed(t, card.Bytes())
	for _, o := range r.Machining.Value.Operations {
		if !strings.Contains(text, strings.Fields(o.Name)[0]) || !strings.Contains(text, o.Tool.ID) {
			t.Errorf("the route card does not name %q with %s", o.Name, o.Tool.ID)
		}
	}
	for _, u := range r.Machining.Value.SetUps {
		if !strings.Contains(text, setUpTitle(u)) {
			t.Errorf("the route card lacks %q", setUpTitle(u))
		}
	}
	prices := printed(t, quote.Bytes())
	for _, b := range r.Quote.Value.Batches {
		for _, want := range []string{b.PiecePrice.StringFixed(2), b.Total.StringFixed(2), b.Low.StringFixed(2) + " to " + b.High.StringFixed(2)} {
			if !strings.Contains(prices, want) {
				t.Errorf("the quote of %d lacks %s", b.Quantity, want)
			}
		}
	}
	for _, s := range []string{text, prices} {
		for _, want := range append(report.Cautions(), r.Key.Revision[:12], "2026-11-25", r.Plate.Name) {
			if !strings.Contains(s, want) {
				t.Errorf("a sheet lacks %q", want)
			}
		}
	}
	if dir := os.Getenv("PLATEWRIGHT_PICTURES"); dir != "" {
		for name, data := range map[string][]byte{"route-card.pdf": card.Bytes(), "quote.pdf": quote.Bytes()} {
			if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestSheetsAreTheSameTwice(t *testing.T) {
	r := sample(t, "field-robot-rocker")
	for name, f := range map[string]func(*bytes.Buffer) error{
		"route card": func(b *bytes.Buffer) error { return RouteCardPDF(b, r, Sheet{}) },
		"quote":      func(b *bytes.Buffer) error { return QuotePDF(b, r, Sheet{}) },
		"csv":        func(b *bytes.Buffer) error { return QuoteCSV(b, r) },
	} {
		var a, b bytes.Buffer
		if err := errors.Join(f(&a), f(&b)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("two %ss of one report differ", name)
		}
	}
}

func TestQuoteCSVAddsUp(t *testing.T) {
	r := sample(t, "field-robot-rocker")
	var b bytes.Buffer
	if err := QuoteCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	for _, row := range rows[1:] {
		if row[0] != "" && !strings.HasPrefix(row[1], "piece price") {
			lines++
		}
	}
	want := 0
	for _, x := range r.Quote.Value.Batches {
		want += len(x.Lines)
	}
	if lines != want {
		t.Errorf("%d lines in the file, %d in the quote", lines, want)
	}
}

// Names that a spreadsheet or a sheet cannot hold as they are do not spoil it.
func TestTroublesomeTexts(t *testing.T) {
	r := sample(t, "field-robot-rocker")
	r.Plate.Name = "Rocker\x00\n=1+1 \U0001F6B2 " + strings.Repeat("wide ", 200)
	r.Plate.Note = string([]byte{0xff, 0xfe})
	var b bytes.Buffer
	if err := RouteCardPDF(&b, r, Sheet{}); err != nil {
		t.Fatal(err)
	}
	if got := report.Cell("=SUM(A1)"); got != "'=SUM(A1)" {
		t.Errorf("a formula is written as %q", got)
	}
}

func TestNothingToPrint(t *testing.T) {
	var b bytes.Buffer
	if err := QuotePDF(&b, report.Report{}, Sheet{}); !errors.Is(err, report.ErrIncomplete) {
		t.Errorf("an empty report: %v", err)
	}
	if err := RouteCardPDF(&b, report.Report{}, Sheet{}); !errors.Is(err, report.ErrIncomplete) {
		t.Errorf("an empty report: %v", err)
	}
	r := sample(t, "field-robot-rocker")
	r.Quote.OK, r.Machining.OK = false, false
	if err := QuoteCSV(&b, r); !errors.Is(err, ErrNoQuote) {
		t.Errorf("a report without price: %v", err)
	}
	if err := RouteCardPDF(&b, r, Sheet{}); !errors.Is(err, report.ErrNoPlan) {
		t.Errorf("a report without plan: %v", err)
	}
}

// Every sample's sheets have the pages that their lines need: a row that is taller than what is left of a page must not put
// each of its cells on a page of its own. The figures are those counted on the printed sheets.
func TestSheetsHaveFewPages(t *testing.T) {
	for _, name := range samples.Names() {
		r := sample(t, name)
		var card, quote, holes bytes.Buffer
		if err := errors.Join(RouteCardPDF(&card, r, Sheet{}), QuotePDF(&quote, r, Sheet{}), HolesPDF(&holes, r, Sheet{})); err != nil {
			t.Fatal(err)
		}
		for what, b := range map[string][]byte{"route card": card.Bytes(), "quote": quote.Bytes(), "hole table": holes.Bytes()} {
			if n := pages(b); n < 1 || n > 6 {
				t.Errorf("the %s of %s has %d pages", what, name, n)
			}
		}
	}
}

func pages(pdf []byte) int { return bytes.Count(pdf, []byte("/Type /Page\n")) }

// A row taller than a page is broken over pages, and loses none of its words.
func TestTallRowsAreBroken(t *testing.T) {
	r := sample(t, "field-robot-rocker")
	p := newPrinter(r, Sheet{}, "Tall", false)
	var words []string
	for i := range 3000 {
		words = append(words, "w"+strconv.Itoa(i))
	}
	p.table([]column{{"a", 1, false}, {"b", 4, false}}, [][]string{{"short", "row"}, {"tall", strings.Join(words, " ")}, {"last", "row"}})
	var b bytes.Buffer
	if err := p.write(&b); err != nil {
		t.Fatal(err)
	}
	if n := pages(b.Bytes()); n < 3 || n > 8 {
		t.Errorf("3000 words take %d pages", n)
	}
	text := printed(t, b.Bytes())
	for _, w := range append([]string{"last"}, words...) {
		if !strings.Contains(text, w) {
			t.Fatalf("the sheet lost %q", w)
		}
	}
}
