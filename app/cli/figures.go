package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/export/table"
	"platewright/plate"
	"platewright/plate/finding"
)

type reportCmd struct {
	input
	Baseline string `placeholder:"OTHER" help:"Another plate document, whose figures the differences are shown against."`
	DXF      string `name:"dxf" placeholder:"OUT.dxf" help:"Also write the drawing file for the shop, top face up."`
	Picture  string `placeholder:"OUT.png|.svg" help:"Also draw the plate, top face up."`
	JSON     bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (reportCmd) Help() string {
	return `Examples:

    platewright report side-plate.plate
    platewright report side-plate.plate --dxf side-plate.dxf --picture side-plate.png
    platewright report side-plate.plate --baseline last-week.plate
    platewright report side-plate.plate --json > side-plate.json
    platewright samples field-robot-rocker | platewright report -

The exit code is 1 when the plate has errors; the report is printed all the same.`
}

// Run prints the report.
func (c *reportCmd) Run(e *env) error {
	if c.File == "-" && c.Baseline == "-" {
		return usage("FILE and --baseline cannot both be standard input")
	}
	baseline := func(in *report.Inputs) ([]finding.Finding, error) {
		if c.Baseline == "" {
			return nil, nil
		}
		p, problems := e.document(c.Baseline)
		if problems == nil {
			in.Baseline = &p
			return nil, nil
		}
		e.complain(problems)
		return unreadFindings(problems), nil
	}
	also, err := c.files(e)
	if err != nil {
		return err
	}
	return e.print(job{input: c.input, json: c.JSON, parts: report.All, choose: baseline, also: also})
}

// files is what writes the files that are asked for besides the report. Names that cannot be written are refused before any
// work.
func (c *reportCmd) files(e *env) (func(report.Report) error, error) {
	drawing := &dxfCmd{input: c.input, Out: c.DXF, Side: string(plate.Top)}
	picture := &pictureCmd{input: c.input, Out: c.Picture, Side: string(plate.Top), Width: usualWidth, Height: usualHeight}
	var writers []func(*env, report.Report) error
	if c.DXF != "" {
		if err := drawing.check(); err != nil {
			return nil, err
		}
		writers = append(writers, drawing.write)
	}
	if c.Picture != "" {
		if err := picture.check(); err != nil {
			return nil, err
		}
		writers = append(writers, picture.write)
	}
	return func(r report.Report) error {
		var first error // a plate with errors has no drawing, but is drawn
		for _, write := range writers {
			first = cmp.Or(first, write(e, r))
		}
		return first
	}, nil
}

type massCmd struct {
	input
	JSON bool `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (massCmd) Help() string {
	return `Examples:

    platewright mass side-plate.plate
    platewright mass side-plate.plate --json

The inertia is the tensor about the centre of mass: its products are −∫ρxy dV.`
}

// Run prints the mass.
func (c *massCmd) Run(e *env) error {
	return e.print(job{input: c.input, json: c.JSON, parts: report.Mass})
}

// usualStations is the default of --stations.
const usualStations = 25

type sectionCmd struct {
	input
	Cut      string `placeholder:"CUT" help:"Name of a cut line of the document, or the ends of another one as x1,y1:x2,y2 in mm. Without it every cut line of the document."`
	Sweep    string `placeholder:"A:B" help:"Also EI and GJ along the plate from one bore, hole or slot to another, by name, or between two places as x1,y1:x2,y2."`
	Stations int    `default:"25" help:"Sections of the sweep."`
	Out      string `short:"o" placeholder:"OUT.csv" help:"Also write the sweep as comma-separated values."`
	JSON     bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (sectionCmd) Help() string {
	return `Examples:

    platewright section side-plate.plate
    platewright section side-plate.plate --cut Waist
    platewright section side-plate.plate --cut 120,-10:120,200
    platewright section side-plate.plate --sweep "Bed pivot:Axle" --stations 41 -o stiffness.csv

In a section s runs along the cut line from its first end, z is through the thickness from the finished bottom face.`
}

// Run prints the sections.
func (c *sectionCmd) Run(e *env) error {
	if c.Sweep == "" && c.Stations != usualStations {
		return usage("--stations belongs to --sweep")
	}
	if c.Out != "" {
		if c.Sweep == "" {
			return usage("-o belongs to --sweep")
		}
		if err := target(c.Out, []string{c.File}, ".csv"); err != nil {
			return err
		}
	}
	choose := func(in *report.Inputs) (_ []finding.Finding, err error) {
		if c.Sweep != "" {
			if in.Sweep, err = sweepOf(in.Plate, c.Sweep, c.Stations); err != nil {
				return nil, err
			}
		}
		if c.Cut == "" {
			if len(in.Plate.CutLines) == 0 && c.Sweep == "" {
				fmt.Fprintf(e.stderr, "%s: %s: the document has no cut lines; give one with --cut x1,y1:x2,y2\n", program, label(c.File))
			}
			return nil, nil
		}
		line, err := cutLine(in.Plate, c.Cut)
		in.CutLines = []plate.CutLine{line}
		return nil, err
	}
	j := job{input: c.input, json: c.JSON, parts: report.Sections, choose: choose}
	if c.Out != "" {
		j.also = func(r report.Report) error {
			var buf bytes.Buffer
			if err := r.SweepCSV(&buf); err != nil {
				return failed("%s: not written: %v", c.Out, err)
			}
			return e.write(c.Out, buf.Bytes())
		}
	}
	return e.print(j)
}

// cutLine finds a cut line by name, or reads one given by its ends.
func cutLine(p plate.Plate, s string) (plate.CutLine, error) {
	var names []string
	for _, l := range p.CutLines {
		if l.Name == s {
			return l, nil
		}
		names = append(names, strconv.Quote(l.Name))
	}
	known := "the document has no cut lines"
	if len(names) > 0 {
		known = "the document has " + strings.Join(names, ", ")
	}
	from, to, ok := strings.Cut(s, ":")
	if !ok {
		return plate.CutLine{}, usage("--cut %s: no cut line has that name (%s); give a name, or ends as x1,y1:x2,y2", s, known)
	}
	x1, y1, err1 := point(from)
	x2, y2, err2 := point(to)
	if err1 != nil || err2 != nil {
		return plate.CutLine{}, usage("--cut %s: neither a name (%s) nor two ends as x1,y1:x2,y2 in mm", s, known)
	}
	if x1 == x2 && y1 == y2 {
		return plate.CutLine{}, usage("--cut %s: both ends are one point; give two", s)
	}
	return plate.CutLine{Name: s, X1: x1, Y1: y1, X2: x2, Y2: y2}, nil
}

// farthest bounds coordinates on the command line, mm.
const farthest = 1e6

func point(s string) (x, y float64, err error) {
	a, b, ok := strings.Cut(s, ",")
	if !ok {
		return 0, 0, strconv.ErrSyntax
	}
	for _, c := range []struct {
		text string
		v    *float64
	}{{a, &x}, {b, &y}} {
		v, err := strconv.ParseFloat(strings.TrimSpace(c.text), 64)
		if err != nil || math.IsNaN(v) || math.Abs(v) > farthest {
			return 0, 0, strconv.ErrSyntax
		}
		*c.v = v
	}
	return x, y, nil
}

type timeCmd struct {
	input
	calibration
	Out  string `short:"o" placeholder:"CARD.pdf|.csv" help:"Write the route card, as a sheet to print or as comma-separated values: set-ups and operations with tool, conditions and minutes."`
	Date string `placeholder:"DATE" help:"Date on the sheet, as 2026-11-25."`
	JSON bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (timeCmd) Help() string {
	return `Examples:

    platewright time side-plate.plate
    platewright time side-plate.plate -o route-card.csv
    platewright time side-plate.plate -o route-card.pdf --date 2026-11-25
    platewright time side-plate.plate --shop example --json
    platewright time side-plate.plate --actual jobs.csv --save our-mill.shop

Minutes are for one piece, button to button, with the set-up of the batch apart. They are an estimate, not a program to run.

JOBS.csv is a table of past jobs with a head row: the columns job and actual_min, and for each group of operations (facing,
roughing, finishing, boring, drilling, threading, edges, other) the minutes that were estimated without a calibration.`
}

// Run prints the minutes and writes the route card.
func (c *timeCmd) Run(e *env) error {
	j := job{input: c.input, json: c.JSON, parts: report.Machining}
	if err := c.check(c.File, c.Shop); err != nil {
		return err
	}
	j.choose = func(in *report.Inputs) ([]finding.Finding, error) { return nil, c.apply(e, in, c.JSON) }
	if c.Out == "" {
		return e.print(j)
	}
	sheet, err := sheetDate(c.Date)
	if err != nil {
		return err
	}
	if err := target(c.Out, []string{c.File}, ".pdf", ".csv"); err != nil {
		return err
	}
	j.also = func(r report.Report) error {
		return e.sheet(c.input, c.Out, r, func(buf *bytes.Buffer) error {
			if isPDF(c.Out) {
				return table.RouteCardPDF(buf, r, sheet)
			}
			return r.RouteCard(buf)
		})
	}
	return e.print(j)
}

type checkCmd struct {
	input
	Strict bool `help:"Fail on warnings too."`
	JSON   bool `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (checkCmd) Help() string {
	return `Examples:

    platewright check side-plate.plate
    platewright check side-plate.plate --strict
    platewright check side-plate.plate --json

The exit code is 1 when there are errors, with --strict also when there are warnings. Each finding says what, where, why (with
the source of the rule) and what to do.`
}

// Run prints the findings.
func (c *checkCmd) Run(e *env) error {
	inputs, r, ok, err := e.open(c.input)
	if err != nil {
		return err
	}
	if ok {
		if r, err = e.build(e.ctx, inputs); err != nil {
			return err
		}
	}
	switch {
	case c.JSON:
		err = e.printJSON(r, 0)
	case ok:
		err = r.FindingsText(e.stdout)
	}
	if err != nil {
		return err
	}
	found := r.Findings()
	if finding.Count(found, finding.Error) > 0 || c.Strict && finding.Count(found, finding.Warning) > 0 {
		return errShown
	}
	return nil
}

// job is one call of a command that prints parts of a report.
type job struct {
	input
	json   bool
	parts  report.Parts
	choose func(*report.Inputs) ([]finding.Finding, error) // changes the inputs before; may add findings
	text   func(report.Report) error                       // prints for people in its own way
	value  func(report.Report) error                       // prints JSON in its own way
	also   func(report.Report) error                       // does something more with the report
}

// print computes the parts and prints them; a job with errors fails after that.
func (e *env) print(j job) error {
	inputs, r, ok, err := e.open(j.input)
	if err != nil {
		return err
	}
	if !ok {
		if j.json {
			err = e.printJSON(r, j.parts)
		}
		return cmp.Or(err, errShown)
	}
	inputs.Want = j.parts
	var more []finding.Finding
	if j.choose != nil {
		if more, err = j.choose(&inputs); err != nil {
			return err
		}
	}
	if r, err = e.build(e.ctx, inputs); err != nil {
		return err
	}
	r = r.Adding(more)
	switch {
	case j.json && j.value != nil:
		err = j.value(r)
	case j.json:
		err = e.printJSON(r, j.parts)
	case j.text != nil:
		err = j.text(r)
	default:
		err = r.Text(e.stdout, j.parts)
	}
	if err == nil && j.also != nil {
		err = j.also(r)
	}
	if err != nil {
		return err
	}
	return e.verdict(j, r.Findings())
}

// verdict fails a job with errors. Where only one part is printed for people it names the errors and counts the warnings.
func (e *env) verdict(j job, found []finding.Finding) error {
	if !j.json && j.parts != report.All {
		e.nameErrors(j.input, found)
		n := 0
		for _, f := range found { // what "check" would not show is said in the text itself
			if f.Level == finding.Warning && f.Code != report.BandAbsent {
				n++
			}
		}
		if n > 0 {
			e.complain([]string{fmt.Sprintf("%s: warnings: %d; see %q", label(j.File), n, program+" check "+j.File)})
		}
	}
	if finding.Count(found, finding.Error) > 0 {
		return errShown
	}
	return nil
}

// complain prints messages, one a line.
func (e *env) complain(lines []string) {
	for _, l := range lines {
		fmt.Fprintf(e.stderr, "%s: %s\n", program, l)
	}
}

func (e *env) printJSON(r report.Report, show report.Parts) error {
	data, err := r.JSON(show)
	if err != nil {
		return err
	}
	_, err = e.stdout.Write(data)
	return err
}
