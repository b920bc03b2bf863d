// Command platewright is the command line of Platewright: every job of the window without one. It builds with CGO disabled.
package main

import (
	"os"

	"platewright/app/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
