package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/plate/set"
)

type nestCmd struct {
	File string `arg:"" name:"FILE" help:"Set that names its plates and a sheet."`
	Sets int    `default:"1" placeholder:"N" help:"Number of sets to lay."`
	JSON bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (nestCmd) Help() string {
	return `Examples:

    platewright nest trike.set
    platewright nest trike.set --sets 5 --json

The boxes of the plates' outlines are laid on the set's sheet, with its gap between them and its edge left free.`
}

// Run lays the plates of a set on sheets.
func (c *nestCmd) Run(e *env) error {
	if !strings.EqualFold(filepath.Ext(c.File), ".set") {
		return usage("nest: %s is no set; a set's name ends in .set", c.File)
	}
	if c.Sets < 1 {
		return usage("--sets: %d; give 1 or more", c.Sets)
	}
	l, revision, err := e.assembly(c.File)
	if err != nil {
		return err
	}
	masses := map[string]float64{}
	for i, p := range l.Parts {
		r, err := report.Frame(e.ctx, report.Inputs{Plate: l.Plates[i], Want: report.Mass})
		if err != nil {
			return err
		}
		if !r.Mass.OK {
			return failed("%s: part %q has errors; see platewright check %s", c.File, p.Name, p.File)
		}
		masses[p.Name] = r.Mass.Value.MassKG
	}
	nests, err := l.Nest(e.ctx, c.Sets, masses)
	if err != nil {
		return failed("%s: %v", c.File, err)
	}
	if c.JSON {
		return printNests(e.stdout, l, revision, c.Sets, nests)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s\nrevision %.12s, platewright %s\n", l.Name, counted(c.Sets, "set"), revision, report.Version())
	for _, n := range nests {
		fmt.Fprintf(&b, "\n%s %s, %g mm: %s, %.3f kg used up, buy to fly %.2f\n",
			n.Material.Alloy, n.Material.Temper, n.Thickness, counted(len(n.Layers), "sheet"), n.SheetKG, n.BuyToFly)
		for i, s := range n.Layers {
			fmt.Fprintf(&b, "  sheet %d: %.1f × %.1f mm used up\n", i+1, s.Cut[0], s.Cut[1])
			for _, d := range s.Laid {
				turned := ""
				if d.Turned {
					turned = ", turned by 90°"
				}
				fmt.Fprintf(&b, "    %-24s at %8.1f, %8.1f%s\n", d.Part, d.X, d.Y, turned)
			}
		}
	}
	b.WriteString("\n" + strings.Join(report.Cautions(), "\n") + "\n")
	_, err = io.WriteString(e.stdout, b.String())
	return err
}

// counted is a number of things, like "1 sheet" or "3 sheets".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// printNests writes nests as JSON with units in the keys.
func printNests(w io.Writer, l *set.Loaded, revision string, sets int, nests []set.Nest) error {
	type laid struct {
		Part   string     `json:"part"`
		At     [2]float64 `json:"at_mm"`
		Size   [2]float64 `json:"size_mm"`
		Turned bool       `json:"turned"`
	}
	type layer struct {
		Cut  [2]float64 `json:"used_up_mm"`
		Laid []laid     `json:"plates"`
	}
	type nest struct {
		Alloy     string  `json:"alloy"`
		Temper    string  `json:"temper"`
		Thickness float64 `json:"thickness_mm"`
		SheetKG   float64 `json:"used_up_kg"`
		PlatesKG  float64 `json:"outlines_kg"`
		BuyToFly  float64 `json:"buy_to_fly"`
		Sheets    []layer `json:"sheets"`
	}
	out := struct {
		Format         string `json:"format"`
		ProgramVersion string `json:"program_version"`
		Name           string `json:"name"`
		Revision       string `json:"revision"`
		Sets           int    `json:"sets"`
		Nests          []nest `json:"nests"`
	}{report.Format, report.Version(), l.Name, revision, sets, nil}
	for _, n := range nests {
		j := nest{Alloy: n.Material.Alloy, Temper: n.Material.Temper, Thickness: n.Thickness, SheetKG: n.SheetKG, PlatesKG: n.PlatesKG, BuyToFly: n.BuyToFly}
		for _, s := range n.Layers {
			k := layer{Cut: s.Cut}
			for _, d := range s.Laid {
				k.Laid = append(k.Laid, laid{d.Part, [2]float64{d.X, d.Y}, [2]float64{d.Width, d.Height}, d.Turned})
			}
			j.Sheets = append(j.Sheets, k)
		}
		out.Nests = append(out.Nests, j)
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}
