package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"platewright/export/dxf"
	"platewright/export/report"
	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
)

type dxfCmd struct {
	input
	Out          string `short:"o" placeholder:"OUT.dxf" help:"File to write."`
	Side         string `default:"top" enum:"top,bottom" placeholder:"SIDE" help:"The face that is up in the drawing: top or bottom. The bottom is turned over about the document's axis."`
	GeometryOnly bool   `help:"All contours on one layer, without depths in the layer names."`
	Panel        int    `placeholder:"N" help:"Draw inlay panel N alone instead of the plate; --panels lists them."`
	Panels       bool   `help:"List the inlay panels of the plate, and write nothing."`
}

// Help is the long help.
func (dxfCmd) Help() string {
	return `Examples:

    platewright dxf side-plate.plate -o side-plate-top.dxf
    platewright dxf side-plate.plate --side bottom -o side-plate-bottom.dxf
    platewright dxf side-plate.plate --geometry-only -o outline.dxf
    platewright dxf deck.plate --panels
    platewright dxf deck.plate --panel 1 -o name-plate.dxf

The drawing is in millimetres, 1:1, from the document's work zero, with true arcs, closed contours once each, and a layer for
each operation and depth. Nothing is written for a plate with errors.`
}

// Run writes the drawing.
func (c *dxfCmd) Run(e *env) error {
	if !c.Panels {
		if err := c.check(); err != nil {
			return err
		}
	}
	r, err := e.built(c.input)
	if err != nil {
		return err
	}
	if c.Panels {
		return c.list(e, r)
	}
	return c.write(e, r)
}

// check refuses a file name that cannot be written.
func (c *dxfCmd) check() error {
	if c.Out == "" {
		return usage("dxf: name the file to write with -o OUT.dxf")
	}
	if c.Panel < 0 {
		return usage("--panel %d: give a number of those that --panels lists", c.Panel)
	}
	return target(c.Out, []string{c.File}, ".dxf")
}

// list prints the inlay panels, each shape once.
func (c *dxfCmd) list(e *env, r report.Report) error {
	if c.Out != "" || c.Panel != 0 {
		return usage("--panels lists the panels and writes nothing; leave -o and --panel out")
	}
	if n := e.nameErrors(c.input, r.Findings()); n > 0 || !r.Layout.OK {
		return errShown
	}
	panels := dxf.Panels(r.Layout.Value)
	if len(panels) == 0 {
		_, err := fmt.Fprintln(e.stdout, "The plate has no inlay panels.")
		return err
	}
	for _, p := range panels {
		if _, err := fmt.Fprintf(e.stdout, "%d  %s, %g mm thick, %d on a plate\n", p.Number, p.Name, p.Height, p.Quantity); err != nil {
			return err
		}
	}
	return nil
}

// write writes the drawing of the plate of a report.
func (c *dxfCmd) write(e *env, r report.Report) error {
	if n := e.nameErrors(c.input, r.Findings()); n > 0 {
		return failed("%s: not written, because the plate has errors: %d; see %q", c.Out, n, program+" check "+c.File)
	}
	var buf bytes.Buffer
	if err := dxf.Write(&buf, r.Layout.Value, dxf.Options{Side: plate.Side(c.Side), GeometryOnly: c.GeometryOnly, Panel: c.Panel}); err != nil {
		return failed("%s: not written: %v", c.Out, err)
	}
	return e.write(c.Out, buf.Bytes())
}

type pictureCmd struct {
	input
	Out       string `short:"o" required:"" placeholder:"OUT.png|.svg" help:"File to write; its ending chooses the kind."`
	Side      string `default:"top" enum:"top,bottom" placeholder:"SIDE" help:"The face that is seen: top or bottom."`
	Operation string `placeholder:"N|all" help:"Draw the tool path of operation N of the plan, as \"time\" numbers them, over the plate; all writes a file for each, with its number in the name."`
	Dark      bool   `help:"Light ink on dark paper."`
	Width     int    `default:"1600" placeholder:"PX" help:"Width in pixels (default ${default})."`
	Height    int    `default:"1000" placeholder:"PX" help:"Height in pixels (default ${default})."`
}

// Help is the long help.
func (pictureCmd) Help() string {
	return `Examples:

    platewright picture side-plate.plate -o side-plate.png
    platewright picture side-plate.plate --dark --width 800 --height 600 -o side-plate.png
    platewright picture side-plate.plate --side bottom -o side-plate.svg
    platewright picture side-plate.plate --operation 3 -o third.svg
    platewright picture side-plate.plate --operation all -o path.png

A plate with errors is drawn as far as it can be, and the exit code is 1.`
}

// The sizes of picture that are drawn, in pixels, as export/scene draws them, and the usual one.
const (
	usualWidth      = 1600
	usualHeight     = 1000
	leastPicture    = 200
	greatestPicture = 8000
)

// Run draws the picture.
func (c *pictureCmd) Run(e *env) error {
	if err := c.check(); err != nil {
		return err
	}
	// The whole report, though the picture shows only its findings: their numbers are those of "platewright check".
	r, err := e.built(c.input)
	if err != nil {
		return err
	}
	if c.Operation != "" {
		return c.writePaths(e, r)
	}
	return c.write(e, r)
}

// check refuses a file name that cannot be written and sizes that cannot be drawn.
func (c *pictureCmd) check() error {
	if err := target(c.Out, []string{c.File}, ".png", ".svg"); err != nil {
		return err
	}
	for _, side := range []struct {
		name string
		px   int
	}{{"--width", c.Width}, {"--height", c.Height}} {
		if side.px < leastPicture || side.px > greatestPicture {
			return usage("%s %d: give %d to %d pixels", side.name, side.px, leastPicture, greatestPicture)
		}
	}
	return c.checkOperation()
}

// write draws the plate of a report. A plate with errors is drawn too, and the command fails.
func (c *pictureCmd) write(e *env, r report.Report) error {
	found := r.Findings()
	errors := e.nameErrors(c.input, found)
	if !r.Layout.OK {
		return failed("%s: not written, because the plate cannot be derived", c.Out)
	}
	data, err := c.draw(r, found)
	if err != nil {
		return failed("%s: not written: %v", c.Out, err)
	}
	if err := e.write(c.Out, data); err != nil {
		return err
	}
	if errors > 0 {
		return errShown
	}
	return nil
}

// draw paints the plate into a file of the kind that the name ends in.
func (c *pictureCmd) draw(r report.Report, found []finding.Finding) ([]byte, error) {
	o := c.options(r, found)
	var buf bytes.Buffer
	err := c.writer()(&buf, r.Layout.Value, o)
	return buf.Bytes(), err
}

// writer is what writes a picture of the kind that the name ends in.
func (c *pictureCmd) writer() func(io.Writer, *layout.Layout, scene.PictureOptions) error {
	if strings.EqualFold(filepath.Ext(c.Out), ".svg") {
		return scene.WriteSVG
	}
	return scene.WritePNG
}

// options are those of the picture of the plate.
func (c *pictureCmd) options(r report.Report, found []finding.Finding) scene.PictureOptions {
	o := scene.PictureOptions{
		Theme: scene.Light(), Side: plate.Side(c.Side), Show: scene.Usual,
		Width: float64(c.Width), Height: float64(c.Height), Title: r.Plate.Name, Findings: found,
	}
	room := float64(c.Width - textMargin - legendRoom)
	if c.Width < narrow {
		o.Show &^= scene.Legend
		room = float64(c.Width - 2*textMargin)
	}
	o.Lines = broken(r.Headline(), room)
	// The caution stands along the lower edge beside the scale bar, or above the plate where the picture is too narrow.
	if caution := strings.Join(report.Cautions(), " "); textWidth(caution) <= float64(c.Width-textMargin-scaleBarRoom) {
		o.Caution = caution
	} else {
		o.Lines = append(o.Lines, broken(caution, room)...)
	}
	if c.Dark {
		o.Theme = scene.Dark()
	}
	return o
}

// The text of a picture, in pixels: its size, the margin that export/scene keeps beside it, the room that legend and scale
// bar take, and the width of a picture below which there is no room for a legend.
const (
	textSize     = 13
	textMargin   = 24
	legendRoom   = 200
	scaleBarRoom = 240
	narrow       = 480
)

func textWidth(s string) float64 { return scene.TextWidth(s, scene.TextStyle{Size: textSize}) }

// broken breaks a text at spaces into lines of at most the given width in pixels; a longer word stands alone.
func broken(text string, width float64) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		last := len(lines) - 1
		if last >= 0 && textWidth(lines[last]+" "+word) <= width {
			lines[last] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// built is the report of a document, for commands that write files of its shape: all but the load cases, which take seconds
// and change no drawing. A document that cannot be read is an error that has been shown.
func (e *env) built(in input) (report.Report, error) {
	inputs, _, ok, err := e.open(in)
	if err != nil {
		return report.Report{}, err
	}
	if !ok {
		return report.Report{}, errShown
	}
	inputs.Want = report.All &^ report.Stress
	return e.build(e.ctx, inputs)
}

// nameErrors prints the errors among findings, each with what to do, and returns how many there are.
func (e *env) nameErrors(in input, found []finding.Finding) int {
	n := 0
	for _, f := range found {
		if f.Level == finding.Error {
			n++
			line := fmt.Sprintf("%s: error: %s", label(in.File), f.What)
			if f.Fix != "" {
				line += "; " + f.Fix
			}
			e.complain([]string{line})
		}
	}
	return n
}
