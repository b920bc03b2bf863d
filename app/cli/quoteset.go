package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/export/table"
	"platewright/plate/quote"
	"platewright/plate/set"
)

// jsonSetQuote is what quote prints of a set with --json. Money is decimal text.
type jsonSetQuote struct {
	Format         string         `json:"format"`
	ProgramVersion string         `json:"program_version"`
	Name           string         `json:"name"`
	Revision       string         `json:"revision"`
	ProfileHash    string         `json:"profile_hash"`
	Currency       string         `json:"currency"`
	ExampleRates   bool           `json:"example_rates"`
	Batches        []jsonSetBatch `json:"batches"`
}

type jsonSetBatch struct {
	Sets  int           `json:"sets"`
	Price string        `json:"set_price"`
	Parts []jsonSetLine `json:"parts"`
}

type jsonSetLine struct {
	Name       string `json:"name"`
	PerSet     int    `json:"quantity_per_set"`
	PiecePrice string `json:"piece_price"`
	Amount     string `json:"amount"`
}

// set prices a set: each part number once, for all its pieces in all sets together.
func (c *quoteCmd) set(e *env, sheet table.Sheet) error {
	l, revision, err := e.assembly(c.File)
	if err != nil {
		return err
	}
	profile, err := c.profile(l.Plates[0])
	if err != nil {
		return err
	}
	numbers, err := l.PartNumbers(e.ctx, set.DefaultTolerance)
	if err != nil {
		return failed("%s: %v", c.File, err)
	}
	var parts []quote.SetPart
	for _, n := range numbers {
		at := l.Part(n.Members[0].Part)
		r, err := e.build(e.ctx, report.Inputs{Plate: l.Plates[at], Profile: profile, Want: report.Mass | report.Machining})
		if err != nil {
			return err
		}
		if !r.Mass.OK || !r.Machining.OK || r.Machining.Value.Incomplete {
			file := filepath.Join(filepath.Dir(c.File), filepath.FromSlash(l.Parts[at].File))
			return failed("%s: part %q has no complete plan, so that it has no price; see %q", c.File, l.Parts[at].Name, program+" check "+file)
		}
		var names []string
		for _, m := range n.Members {
			names = append(names, m.Part)
		}
		parts = append(parts, quote.SetPart{
			Name: strings.Join(names, ", "), PerSet: n.Quantity,
			Job: quote.Job{Layout: r.Layout.Value, Mass: r.Mass.Value, Plan: r.Machining.Value, Profile: profile},
		})
	}
	sets := c.Batch
	if len(sets) == 0 {
		sets = quote.DefaultBatches()
	}
	prices, err := quote.MakeSets(parts, sets)
	if err != nil {
		return failed("%s: %v", c.File, err)
	}
	if c.Out != "" {
		job := table.SetJob{Name: l.Name, Revision: revision, Profile: profile, Prices: prices}
		var buf bytes.Buffer
		make := table.SetQuoteCSV
		if isPDF(c.Out) {
			make = func(w io.Writer, j table.SetJob) error { return table.SetQuotePDF(w, j, sheet) }
		}
		if err := make(&buf, job); err != nil {
			return failed("%s: not written: %v", c.Out, err)
		}
		if err := e.write(c.Out, buf.Bytes()); err != nil {
			return err
		}
	}
	if !c.JSON {
		text := setQuoteText(l.Name, revision, profile.Rates.Currency, profile.Example, prices)
		if c.Explain {
			text += setTrace(profile.Rates.Currency, prices)
		}
		_, err := fmt.Fprint(e.stdout, text)
		return err
	}
	out := jsonSetQuote{
		Format: report.Format, ProgramVersion: report.Version(), Name: l.Name, Revision: revision, ProfileHash: profile.Hash(),
		Currency: profile.Rates.Currency, ExampleRates: profile.Example,
	}
	for _, p := range prices {
		b := jsonSetBatch{Sets: p.Sets, Price: p.Price.StringFixed(2)}
		for _, k := range p.Parts {
			b.Parts = append(b.Parts, jsonSetLine{k.Name, k.PerSet, k.PiecePrice.StringFixed(2), k.Amount.StringFixed(2)})
		}
		out.Batches = append(out.Batches, b)
	}
	enc := json.NewEncoder(e.stdout)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// setTrace says what every line of every part number was computed from.
func setTrace(currency string, prices []quote.SetPrice) string {
	var b strings.Builder
	for _, p := range prices {
		for _, k := range p.Parts {
			fmt.Fprintf(&b, "\n%d × %s, where there are %d of the set\n%s", k.PerSet, k.Name, p.Sets, report.QuoteTrace(k.Batch, currency))
		}
	}
	return b.String()
}

// setQuoteText is the break table of a set for people.
func setQuoteText(name, revision, currency string, example bool, prices []quote.SetPrice) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nrevision %.12s, platewright %s\n\nPrice of one set, %s, tax excluded\n", name, revision, report.Version(), currency)
	if example {
		b.WriteString("  the rates are a made-up example; a quote needs the rates of a shop\n")
	}
	row := func(name string, cell func(p quote.SetPrice) string) {
		fmt.Fprintf(&b, "  %-32s", name)
		for _, p := range prices {
			fmt.Fprintf(&b, " %11s", cell(p))
		}
		b.WriteString("\n")
	}
	row("sets", func(p quote.SetPrice) string { return fmt.Sprint(p.Sets) })
	for i, k := range prices[0].Parts {
		row(fmt.Sprintf("%d × %s", k.PerSet, k.Name), func(p quote.SetPrice) string { return p.Parts[i].Amount.StringFixed(2) })
	}
	row("one set", func(p quote.SetPrice) string { return p.Price.StringFixed(2) })
	b.WriteString("\nEqual parts are one batch. " + strings.Join(report.Cautions(), "\n") + "\n")
	return b.String()
}
