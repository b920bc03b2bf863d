package cli

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/material"
	"platewright/samples"
)

type newCmd struct {
	Out       string  `short:"o" placeholder:"FILE" help:"Write the document there; the file must not exist yet. Without it the document is printed."`
	Name      string  `default:"New plate" help:"Name of the plate."`
	Alloy     string  `placeholder:"ALLOY" help:"Alloy and temper, e.g. 6082-T651."`
	Thickness float64 `placeholder:"MM" help:"Thickness of the stock, both faces as supplied."`
	Width     float64 `placeholder:"MM" help:"Width of the plate, along x."`
	Height    float64 `placeholder:"MM" help:"Height of the plate, along y."`
}

// Help is the long help.
func (newCmd) Help() string {
	return `Examples:

    platewright new -o bracket.plate
    platewright new --name "Rear bracket" --alloy 6082-T651 --thickness 12 --width 180 --height 90 -o bracket.plate

The plate is a rounded rectangle with its lower left corner at the origin.`
}

// Run writes the document.
func (c *newCmd) Run(e *env) error {
	if c.Out != "" {
		if err := target(c.Out, nil, ".plate"); err != nil {
			return err
		}
	}
	p, err := c.plate()
	if err != nil {
		return err
	}
	for _, f := range p.Validate() {
		if f.Level == finding.Error {
			return usage("new: %s: %s", f.What, f.Fix)
		}
	}
	data, err := plate.Encode(p)
	if err != nil {
		return err
	}
	return e.deliver(c.Out, data)
}

// plate is the template with the options applied.
func (c *newCmd) plate() (plate.Plate, error) {
	if strings.TrimSpace(c.Name) == "" {
		return plate.Plate{}, usage("--name: give the plate a name")
	}
	p := plate.New(c.Name)
	for _, o := range []struct {
		name  string
		value float64
	}{{"--thickness", c.Thickness}, {"--width", c.Width}, {"--height", c.Height}} {
		if o.value < 0 || math.IsNaN(o.value) || math.IsInf(o.value, 0) {
			return plate.Plate{}, usage("%s %v: give a length above zero in mm", o.name, o.value)
		}
	}
	if c.Thickness != 0 {
		p.Stock.Nominal, p.Stock.Finished = c.Thickness, c.Thickness
	}
	alloy, temper := p.Stock.Material.Alloy, p.Stock.Material.Temper
	if c.Alloy != "" {
		var err error
		if alloy, temper, err = findAlloy(c.Alloy); err != nil {
			return plate.Plate{}, err
		}
	}
	m, err := material.Lookup(alloy, temper, p.Stock.Nominal)
	if err != nil {
		return plate.Plate{}, usage("--alloy, --thickness: %v", err)
	}
	p.Stock.Material = m
	resize(&p, c.Width, c.Height)
	return p, nil
}

// roundShare is the outline radius of a small new plate as a share of its shorter side.
const roundShare = 0.2

// resize makes the rounded rectangle of the template width × height; 0 keeps a side. The outline radius shrinks where the
// sides are too short for it.
func resize(p *plate.Plate, width, height float64) {
	cs := p.Outline.Corners
	oldWidth, oldHeight := cs[2].X, cs[2].Y
	width, height = cmp.Or(width, oldWidth), cmp.Or(height, oldHeight)
	for i := range cs {
		if cs[i].X == oldWidth {
			cs[i].X = width
		}
		if cs[i].Y == oldHeight {
			cs[i].Y = height
		}
		cs[i].Radius = min(cs[i].Radius, roundShare*min(width, height))
	}
}

// findAlloy finds an alloy by a name like 6082-T651, EN AW-6082-T651 or "EN AW-6082 T651".
func findAlloy(name string) (alloy, temper string, err error) {
	plainly := func(s string) string {
		s = strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(s))
		return strings.TrimPrefix(s, "ENAW")
	}
	var known []string
	for _, m := range material.Alloys() {
		if plainly(m.Alloy+m.Temper) == plainly(name) {
			return m.Alloy, m.Temper, nil
		}
		known = append(known, fmt.Sprintf("%q", m.Alloy+"-"+m.Temper))
	}
	return "", "", usage("--alloy %s: no such alloy and temper; there are %s", name, strings.Join(known, ", "))
}

type samplesCmd struct {
	Name string `arg:"" optional:"" name:"NAME" help:"Sample to print or copy; \"list\", or nothing, lists them."`
	Out  string `short:"o" placeholder:"FILE" help:"Write the sample there; the file must not exist yet. Without it the document is printed."`
}

// Help is the long help.
func (samplesCmd) Help() string {
	return `Examples:

    platewright samples
    platewright samples field-robot-rocker -o rocker.plate
    platewright samples field-robot-rocker | platewright mass -
    platewright samples cargo-trike -o trike/cargo-trike.set

A set is written with its plates beside it, under the names that it gives them.`
}

// Run lists the samples or delivers one.
func (c *samplesCmd) Run(e *env) error {
	if c.Name == "" || c.Name == "list" {
		if c.Out != "" {
			return usage("-o %s: name the sample to write there", c.Out)
		}
		return e.listSamples()
	}
	if slices.Contains(samples.SetNames(), c.Name) {
		return c.set(e)
	}
	s, err := samples.Load(c.Name)
	if err != nil {
		return usage("samples: %v, and the sets %s", err, strings.Join(samples.SetNames(), ", "))
	}
	if c.Out != "" {
		if err := target(c.Out, nil, ".plate"); err != nil {
			return err
		}
	}
	return e.deliver(c.Out, s.Data)
}

// set prints a sample set, or writes it with its plates beside it. Nothing is written where one of the files is there already.
func (c *samplesCmd) set(e *env) error {
	s, err := samples.LoadSet(c.Name)
	if err != nil {
		return err
	}
	if c.Out == "" {
		return e.deliver("", s.Data)
	}
	if err := target(c.Out, nil, ".set"); err != nil {
		return err
	}
	dir := filepath.Dir(c.Out)
	for _, p := range append([]samples.File{{Name: filepath.Base(c.Out)}}, s.Plates...) {
		if name := filepath.Join(dir, p.Name); exists(name) {
			return failed("%s: not written: a file of that name is there already; choose an empty folder", name)
		}
	}
	for _, p := range s.Plates {
		if err := e.write(filepath.Join(dir, p.Name), p.Data); err != nil {
			return err
		}
	}
	return e.write(c.Out, s.Data)
}

func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

func (e *env) listSamples() error {
	all, err := samples.All()
	if err != nil {
		return err
	}
	for _, name := range samples.SetNames() {
		s, err := samples.LoadSet(name)
		if err != nil {
			return err
		}
		all = append(all, s.Sample)
	}
	for i, s := range all {
		if i > 0 {
			fmt.Fprintln(e.stdout)
		}
		fmt.Fprintf(e.stdout, "%s\n  %s\n", s.Name, s.Title)
		for _, line := range strings.Split(s.Text, "\n") {
			fmt.Fprintln(e.stdout, strings.TrimRight("  "+line, " "))
		}
	}
	return nil
}

type schemaCmd struct{}

// Help is the long help.
func (schemaCmd) Help() string {
	return `Example:

    platewright schema > plate.schema.json

The schema (JSON Schema, draft 2020-12) describes the form of a .plate document; "platewright check" says what it means.`
}

// Run prints the schema.
func (schemaCmd) Run(e *env) error {
	_, err := e.stdout.Write(plate.Schema())
	return err
}
