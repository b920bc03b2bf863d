//go:build desktop

package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"time"

	"fyne.io/fyne/v2/app"

	"platewright/app/desktop"
)

// appID names the folder of preferences and unsaved work.
const appID = "org.platewright.desktop"

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// leave ends the program shortly after its window has closed. The toolkit's driver was seen, rarely and under load, not to
// return from its loop then; the work is safe by that time, and a process that nobody can see must not stay.
func leave() { time.AfterFunc(patience, func() { os.Exit(0) }) }

// patience is what the driver gets to end by itself.
const patience = 5 * time.Second

// run opens the window and returns when it is closed. Exit codes: 0 done, 1 the window could not be opened, 2 wrong usage.
func run(args []string, stderr io.Writer) int {
	fs := flag.NewFlagSet("platewright-desktop", flag.ContinueOnError)
	fs.SetOutput(stderr)
	sample := fs.String("sample", "", "open this sample instead of the first one; \"platewright samples\" lists them")
	fs.Usage = func() {
		fmt.Fprintln(stderr, "usage: platewright-desktop [-sample NAME] [FILE.plate]")
		fs.PrintDefaults()
	}
	switch err := fs.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err != nil:
		return 2
	case fs.NArg() > 1:
		fs.Usage()
		return 2
	}
	a := app.NewWithID(appID)
	w, err := desktop.New(a, a.NewWindow("Platewright"), desktop.Options{File: fs.Arg(0), Sample: *sample, Closing: leave})
	if err != nil {
		fmt.Fprintf(stderr, "platewright-desktop: %v\n", err)
		return 1
	}
	w.ShowAndRun()
	return 0
}
