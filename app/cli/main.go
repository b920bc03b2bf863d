package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/alecthomas/kong"

	"platewright/export/report"
	"platewright/plate/finding"
)

// The exit codes.
const (
	exitDone  = 0
	exitJob   = 1 // the job has errors, or something could not be read or written
	exitUsage = 2
)

const program = "platewright"

const description = `Platewright designs flat aluminium frame plates: what a plate weighs, how stiff its sections are, how many
minutes it takes to machine, and the drawing file for the shop. Lengths are millimetres. FILE is a .plate document, or - for
standard input.`

// grammar is the command line.
type grammar struct {
	Version kong.VersionFlag `help:"Print the version and stop."`

	Report    reportCmd    `cmd:"" help:"Print every figure of the plate: mass, sections, machining, targets, findings."`
	Mass      massCmd      `cmd:"" help:"Print mass, centre of mass, inertia, blank and surface."`
	Section   sectionCmd   `cmd:"" help:"Print area, second moments and stiffness of the sections at cut lines."`
	Time      timeCmd      `cmd:"" help:"Print the machining minutes, and the operations that they come from."`
	Stress    stressCmd    `cmd:"" help:"Analyse the load cases: deflection, stress, reserve, reactions, stiffness."`
	Quote     quoteCmd     `cmd:"" help:"Print the price of one piece at each quantity, and what it is made of."`
	Check     checkCmd     `cmd:"" help:"Print what is wrong with the plate or worth a look."`
	Settings  settingsCmd  `cmd:"" help:"Print what each setting of the adjusters makes of the plate, or of a set's machine."`
	Nest      nestCmd      `cmd:"" help:"Lay the plates of a set on sheets."`
	Holes     holesCmd     `cmd:"" help:"Print the hole table: places, fits and inspection limits."`
	DXF       dxfCmd       `cmd:"" name:"dxf" help:"Write the drawing file for the shop."`
	Picture   pictureCmd   `cmd:"" help:"Draw the plate as a PNG or SVG picture."`
	New       newCmd       `cmd:"" help:"Write a small plate to start from."`
	Samples   samplesCmd   `cmd:"" help:"List the sample plates, or copy one."`
	Schema    schemaCmd    `cmd:"" help:"Print the JSON Schema of plate documents."`
	Materials materialsCmd `cmd:"" help:"Print the alloys and the plate that is stocked."`
	Tools     toolsCmd     `cmd:"" help:"Print a shop's tools and machines, and where its cutting data come from."`
	Verify    verifyCmd    `cmd:"" help:"Compute published check cases and print each result beside the published value."`
}

// env is what a command runs in.
type env struct {
	ctx            context.Context
	stdin          io.Reader
	stdout, stderr io.Writer
	build          func(context.Context, report.Inputs) (report.Report, error) // report.Build; tests keep what it made
}

// failure ends a command with an exit code. Its text, if any, is printed on standard error.
type failure struct {
	code int
	text string
}

func (f *failure) Error() string { return f.text }

// usage is the failure of a command line that makes no sense.
func usage(format string, args ...any) error {
	return &failure{exitUsage, fmt.Sprintf(format, args...)}
}

// failed is the failure of a job; the text says what, where and what to do, and names no package.
func failed(format string, args ...any) error {
	for i, a := range args {
		if err, ok := a.(error); ok {
			args[i] = finding.Words(err)
		}
	}
	return &failure{exitJob, fmt.Sprintf(format, args...)}
}

// errShown fails a command whose trouble has been printed already.
var errShown error = &failure{code: exitJob}

// stopped leaves kong after it has printed help or the version; Main recovers it.
type stopped struct{ code int }

// Main runs the command line with the arguments after the program's name and returns the exit code.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	return exitCode(&env{ctx, stdin, stdout, stderr, report.Build}, args)
}

// exitCode runs a command, says what is the matter with it, and returns its exit code.
func exitCode(e *env, args []string) int {
	err := e.run(args)
	if err == nil {
		return exitDone
	}
	if e.ctx.Err() != nil && errors.Is(err, context.Canceled) {
		fmt.Fprintln(e.stderr, program+": interrupted")
		return exitJob
	}
	var f *failure
	if !errors.As(err, &f) {
		f = &failure{exitJob, finding.Words(err)}
	}
	if f.text != "" {
		fmt.Fprintf(e.stderr, "%s: %s\n", program, f.text)
	}
	return f.code
}

// run parses the arguments and runs the command that they name.
func (e *env) run(args []string) (err error) {
	defer func() {
		switch s := recover().(type) {
		case nil:
		case stopped:
			err = nil
			if s.code != 0 {
				err = &failure{code: s.code}
			}
		default:
			panic(s)
		}
	}()
	parser, err := kong.New(&grammar{},
		kong.Name(program),
		kong.Description(description),
		kong.Vars{"version": program + " " + report.Version()},
		kong.Writers(e.stdout, e.stderr),
		kong.Exit(func(code int) { panic(stopped{code}) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.WithHyphenPrefixedParameters(true), // cut lines may begin with a minus sign
	)
	if err != nil {
		return fmt.Errorf("command line: %w", err) // a fault of the grammar above, which the tests would find
	}
	call, err := parser.Parse(args)
	if err != nil {
		return usage("%s. See %q", strings.TrimSuffix(err.Error(), "."), helpFor(call, err))
	}
	return call.Run(e)
}

// helpFor is the command that explains the command line that failed to parse.
func helpFor(call *kong.Context, err error) string {
	var p *kong.ParseError
	if call == nil && errors.As(err, &p) {
		call = p.Context
	}
	if call != nil && call.Selected() != nil {
		return program + " " + call.Selected().Name + " --help"
	}
	return program + " --help"
}
