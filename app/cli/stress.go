package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/export/scene"
	"platewright/fea"
	"platewright/fea/shell"
	"platewright/plate"
	"platewright/plate/finding"
)

type stressCmd struct {
	input
	stiffness
	Case       string `placeholder:"NAME" help:"Only the load case of that name."`
	Picture    string `placeholder:"OUT.png|.svg" help:"Also draw the stress of a case on the plate: that of --case, else of the case with the least reserve."`
	Surface    string `enum:"worst,top,middle,bottom" default:"worst" help:"Surface of the picture: worst, top, middle or bottom."`
	Solid      bool   `help:"Run the slower solid check instead, and print it beside the live model."`
	Deflection bool   `help:"Draw the deflection instead of the stress."`
	JSON       bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (stressCmd) Help() string {
	return `Examples:

    platewright stress side-plate.plate
    platewright stress side-plate.plate --case Braking --picture braking.png
    platewright stress side-plate.plate --picture bent.png --deflection
    platewright stress side-plate.plate --json
    platewright stress side-plate.plate --case Braking --solid
    platewright stress side-plate.plate --between "Bed pivot:Axle" --at Axle --frequencies 6 --energy
    platewright stress side-plate.plate --case Braking --band

Of a .set the torsional stiffness of two plates that cross members tie is printed:

    platewright stress trike.set

Loads, supports and factors are those of the document, and are the designer's. The live model is a shell of the plate's metal:
stress at the root of a rib is nominal, and what lies within one thickness of an idealised support, load or sharp corner is left
out of the figures and listed apart. The solid check divides the same plate into prisms: it takes from seconds to some minutes by the
size of the plate, and its difference to the live model is the live model's error.`
}

// Run analyses the load cases and prints them.
func (c *stressCmd) Run(e *env) error {
	if isSet(c.File) {
		return c.frame(e)
	}
	if c.Picture != "" {
		if err := target(c.Picture, []string{c.File}, ".png", ".svg"); err != nil {
			return err
		}
	} else if c.Deflection || c.Surface != "worst" {
		return usage("--deflection and --surface belong to --picture")
	}
	if c.Solid && (c.Picture != "" || c.stiffness.asked()) {
		return usage("--solid prints the solid check alone; ask for pictures, stiffness, frequencies and energies without it")
	}
	j := job{input: c.input, json: c.JSON, parts: report.Stress}
	j.choose = func(in *report.Inputs) (_ []finding.Finding, err error) {
		in.More, err = c.more(in.Plate, c.Case)
		return nil, err
	}
	write := func(r report.Report, text string, err error) error {
		if errors.Is(err, report.ErrNoCase) {
			return c.noCase(e, r)
		}
		if err != nil {
			return err
		}
		_, err = io.WriteString(e.stdout, text)
		return err
	}
	j.text = func(r report.Report) error {
		text, err := r.StressText(c.Case)
		return write(r, text, err)
	}
	if c.Case != "" {
		j.value = func(r report.Report) error {
			data, err := r.CaseJSON(c.Case)
			return write(r, string(data), err)
		}
	}
	if c.Solid {
		j.text = func(r report.Report) error { return c.solid(e, r, solidText) }
		j.value = func(r report.Report) error { return c.solid(e, r, report.Report.SolidJSON) }
	}
	if c.Picture != "" {
		j.also = func(r report.Report) error { return c.draw(e, r) }
	}
	return e.print(j)
}

func solidText(r report.Report, s *fea.SolidResult) (string, error) { return r.SolidText(s), nil }

// solid runs the solid check and prints it in the given way. Ctrl-C ends it.
func (c *stressCmd) solid(e *env, r report.Report, in func(report.Report, *fea.SolidResult) (string, error)) error {
	var progress func(done, all int, name string)
	if onTerminal(e.stderr) {
		progress = func(done, all int, name string) {
			fmt.Fprintf(e.stderr, "\r\x1b[Ksolid check, case %d of %d: %s", done+1, all, name)
		}
	}
	s, err := r.SolidCheck(e.ctx, c.Case, progress)
	if progress != nil {
		fmt.Fprint(e.stderr, "\r\x1b[K")
	}
	switch {
	case e.ctx.Err() != nil:
		return e.ctx.Err()
	case errors.Is(err, report.ErrNoCase):
		return c.noCase(e, r)
	case err != nil:
		return failed("%s: %v", label(c.File), err)
	}
	text, err := in(r, s)
	if err != nil {
		return err
	}
	_, err = io.WriteString(e.stdout, text)
	return err
}

// noCase says why a case is not printed: it is not in the document, or an error, which is named, keeps it from being analysed.
func (c *stressCmd) noCase(e *env, r report.Report) error {
	var names []string
	for _, k := range r.Plate.Cases {
		if c.Case != "" && k.Name == c.Case && e.nameErrors(c.input, r.Findings()) > 0 {
			return errShown
		}
		names = append(names, fmt.Sprintf("%q", k.Name))
	}
	switch {
	case len(names) == 0:
		return failed("%s: the document has no load case", label(c.File))
	case c.Case == "" && e.nameErrors(c.input, r.Findings()) > 0:
		return errShown
	case c.Case == "":
		return failed("%s: no load case could be analysed; see the findings", label(c.File))
	}
	return failed("%s: there is no load case %q that could be analysed; the document has %s", label(c.File), c.Case, strings.Join(names, ", "))
}

// draw writes the picture of one case.
func (c *stressCmd) draw(e *env, r report.Report) error {
	i := c.pick(r)
	if i < 0 {
		return c.noCase(e, r)
	}
	res := r.Cases.Value
	field := scene.DeflectionField(res, i)
	if !c.Deflection {
		field = scene.StressField(res, i, surfaceOf(c.Surface, res.Cases[i].Surface))
	}
	o := scene.PictureOptions{
		Theme: scene.Light(), Side: plate.Top, Width: usualWidth, Height: usualHeight, Show: scene.Scale | scene.Zero,
		Title: r.Plate.Name, Lines: []string{r.Headline(), field.Title}, Caution: strings.Join(report.Cautions(), " "), Field: field,
	}
	var buf bytes.Buffer
	var err error
	if strings.EqualFold(filepath.Ext(c.Picture), ".svg") {
		err = scene.WriteSVG(&buf, r.Layout.Value, o)
	} else {
		err = scene.WritePNG(&buf, r.Layout.Value, o)
	}
	if err != nil {
		return failed("%s: not written: %v", c.Picture, err)
	}
	return e.write(c.Picture, buf.Bytes())
}

// pick is the case to draw: the one asked for, else the one with the least reserve; -1 where there is none.
func (c *stressCmd) pick(r report.Report) int {
	if !r.Cases.OK {
		return -1
	}
	best := -1
	for i := range r.Cases.Value.Cases {
		k := &r.Cases.Value.Cases[i]
		if c.Case != "" {
			if k.Case.Name == c.Case {
				return i
			}
			continue
		}
		if best < 0 || k.Reserve < r.Cases.Value.Cases[best].Reserve {
			best = i
		}
	}
	return best
}

func surfaceOf(name string, worst shell.Surface) shell.Surface {
	switch name {
	case "top":
		return shell.Top
	case "middle":
		return shell.Middle
	case "bottom":
		return shell.Bottom
	}
	return worst
}
