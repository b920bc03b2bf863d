// Package cli is the command line of Platewright: it reads plate documents and prints their figures, findings and files.
//
// Results go to standard output, messages to standard error, one line each, as "platewright: file:line:column: what". With
// --json standard output holds one JSON value, also when the job has errors. Exit codes: 0 done, 1 the job has errors (it
// cannot be read, is not valid, or has findings that make it fail), 2 wrong usage. Lengths on the command line are
// millimetres.
//
//	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
package cli
