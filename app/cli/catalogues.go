package cli

import (
	"encoding/json"
	"fmt"
	"strings"
	"text/tabwriter"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/material"
	"platewright/plate/shop"
)

type materialsCmd struct {
	JSON bool `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (materialsCmd) Help() string {
	return `Examples:

    platewright materials
    platewright materials --json

The values of the wrought alloys are least values of their product standards for the thickness that is named with each; a
document keeps the values that it was made with.`
}

// jsonMaterial is one alloy as it is printed with --json.
type jsonMaterial struct {
	Alloy    string  `json:"alloy"`
	Temper   string  `json:"temper"`
	Density  float64 `json:"density_kg_m3"`
	Young    float64 `json:"young_mpa"`
	Poisson  float64 `json:"poisson"`
	Proof    float64 `json:"proof_mpa"`
	Ultimate float64 `json:"ultimate_mpa"`
	Group    string  `json:"cutting_group"`
	Source   string  `json:"source"`
}

// Run prints the catalogue.
func (c *materialsCmd) Run(e *env) error {
	if c.JSON {
		out := struct {
			Materials []jsonMaterial `json:"materials"`
			Stock     []float64      `json:"stocked_thickness_mm"`
		}{Stock: material.StockThicknesses()}
		for _, m := range material.Alloys() {
			out.Materials = append(out.Materials, jsonMaterial(m))
		}
		return e.json(out)
	}
	t := tabwriter.NewWriter(e.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "alloy\ttemper\tkg/m³\tE MPa\tproof MPa\tultimate MPa\tsource")
	for _, m := range material.Alloys() {
		fmt.Fprintf(t, "%s\t%s\t%g\t%g\t%g\t%g\t%s\n", m.Alloy, m.Temper, m.Density, m.Young, m.Proof, m.Ultimate, m.Source)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	var mm []string
	for _, v := range material.StockThicknesses() {
		mm = append(mm, fmt.Sprintf("%g", v))
	}
	_, err := fmt.Fprintf(e.stdout, "\nStocked plate, mm: %s\n", strings.Join(mm, ", "))
	return err
}

type toolsCmd struct {
	Shop string `placeholder:"FILE.shop" help:"Shop profile, as a file or by name; without it the example that comes with the program."`
	JSON bool   `name:"json" help:"Print the whole profile as JSON, the form of a .shop file."`
}

// Help is the long help.
func (toolsCmd) Help() string {
	return `Examples:

    platewright tools
    platewright tools --shop our-mill.shop
    platewright tools --json > our-mill.shop

The profile that comes with the program is a made-up example.`
}

// Run prints the profile's machines, tools and cutting data.
func (c *toolsCmd) Run(e *env) error {
	p, err := input{Shop: c.Shop}.profile(plate.Plate{})
	if err != nil {
		return err
	}
	if c.JSON {
		return e.json(p)
	}
	note := ""
	if p.Example {
		note = ", a made-up example"
	}
	fmt.Fprintf(e.stdout, "Shop profile %q %.12s%s, platewright %s\n\n", p.Name, p.Hash(), note, report.Version())
	t := tabwriter.NewWriter(e.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "machine\ttravel mm\tspindle rpm\trapids m/min\taccel m/s²\tpath tolerance mm\ttool change s")
	for _, m := range append([]shop.Machine{p.Machine}, p.Others...) {
		fmt.Fprintf(t, "%s\t%g × %g × %g\t%g to %g\t%g, %g, %g\t%g, %g, %g\t%g\t%g\n", m.Name, m.Travel[0], m.Travel[1], m.Travel[2],
			m.SpindleMin, m.SpindleMax, m.Rapid[0]/1e3, m.Rapid[1]/1e3, m.Rapid[2]/1e3, m.Accel[0]/1e3, m.Accel[1]/1e3, m.Accel[2]/1e3,
			m.PathTolerance, m.ToolChange)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(e.stdout)
	fmt.Fprintln(t, "tool\tkind\tdiameter mm\tcorner mm\tflutes\tflute length mm\treach mm\tstick-out mm\tmaterial\tthread")
	for _, k := range p.Tools {
		fmt.Fprintf(t, "%s\t%s\t%g\t%g\t%d\t%g\t%g\t%g\t%s\t%s\n", k.ID, k.Kind, k.Diameter, k.CornerRadius, k.Flutes, k.FluteLength,
			k.Reach, k.StickOut, k.Material, k.Thread)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(e.stdout)
	fmt.Fprintln(t, "cutting\twork\ttool\tdiameters mm\tspeed m/min\tfeed mm\tkc1.1 MPa\tmc\tsource of the speed")
	for _, d := range p.Cutting {
		fmt.Fprintf(t, "%s\t%s\t%s %s\t%g to %g\t%g\t%g per %s\t%g\t%g\t%s\n", strings.TrimSpace(d.Group+" "+d.Alloy), d.Operation, d.ToolMaterial,
			d.ToolKind, d.DMin, d.DMax, d.Speed.Vc, d.Feed.Feed, d.Feed.Per, d.Force.KC11, d.Force.MC, d.Speed.Source)
	}
	return t.Flush()
}

// json prints one value.
func (e *env) json(v any) error {
	enc := json.NewEncoder(e.stdout)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
