package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/shop"
)

// input is the document and the shop profile of a command.
type input struct {
	File string `arg:"" name:"FILE" help:"Plate document, or - for standard input."`
	Shop string `placeholder:"FILE.shop" help:"Shop profile that minutes and prices are for, as a file or by name; without it the one that the document names. Only \"example\" comes with the program."`
}

// stdinName is how standard input is called in messages.
const stdinName = "standard input"

// label is how a file is called in messages.
func label(file string) string {
	if file == "-" {
		return stdinName
	}
	return file
}

// read returns the bytes of a file, or of standard input.
func (e *env) read(file string) ([]byte, error) {
	var data []byte
	var err error
	if file == "-" {
		data, err = io.ReadAll(io.LimitReader(e.stdin, plate.MaxFileBytes+1))
	} else {
		data, err = readFile(file)
	}
	if err != nil {
		return nil, err
	}
	if len(data) > plate.MaxFileBytes {
		return nil, fmt.Errorf("larger than %d MiB, which no plate document is", plate.MaxFileBytes>>20)
	}
	return data, nil
}

func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, plainCause(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, plate.MaxFileBytes+1))
	return data, plainCause(err)
}

// plainCause takes the name of the file out of an error, because the message names it already.
func plainCause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// document reads and decodes a file. The problems are one line each, beginning with the file and, where there is one, the
// line and column.
func (e *env) document(file string) (p plate.Plate, problems []string) {
	if isSet(file) {
		return plate.Plate{}, []string{fmt.Sprintf("%s: it is a set, and this is asked of one plate; give one of the plate files that it names", label(file))}
	}
	data, err := e.read(file)
	if err != nil {
		return plate.Plate{}, []string{fmt.Sprintf("%s: %v", label(file), err)}
	}
	p, err = plate.Decode(data)
	if err == nil {
		return p, nil
	}
	var d *plate.DecodeErrors
	if !errors.As(err, &d) {
		return plate.Plate{}, []string{fmt.Sprintf("%s: %v", label(file), err)}
	}
	for _, q := range d.Problems {
		problems = append(problems, fmt.Sprintf("%s:%s", label(file), q))
	}
	if d.Omitted > 0 {
		problems = append(problems, fmt.Sprintf("%s: and %d more problems", label(file), d.Omitted))
	}
	return plate.Plate{}, problems
}

// profile finds the shop profile by the name of --shop, else by that of the document.
func (in input) profile(p plate.Plate) (shop.Profile, error) {
	if strings.EqualFold(filepath.Ext(in.Shop), ".shop") {
		return shopFile(in.Shop)
	}
	if in.Shop != "" {
		s, err := shop.ByName(in.Shop)
		if err != nil {
			return shop.Profile{}, usage("--shop: %v", err)
		}
		return s, nil
	}
	name := p.Machining.Shop
	if name == "" {
		return shop.Example()
	}
	return shop.ByName(name)
}

// shopFile reads a profile of the user's own.
func shopFile(name string) (shop.Profile, error) {
	data, err := readFile(name)
	if err != nil {
		return shop.Profile{}, failed("%s: %v", name, err)
	}
	p, err := shop.Load(data)
	if err != nil {
		return shop.Profile{}, failed("%s: %v", name, err)
	}
	return p, nil
}

// open reads the document and the profile of a command as the inputs of a report. When the document cannot be read, the
// problems are printed, and the report that says so is returned with ok false.
func (e *env) open(in input) (inputs report.Inputs, broken report.Report, ok bool, err error) {
	p, problems := e.document(in.File)
	profile, err := in.profile(p)
	if f := (*failure)(nil); errors.As(err, &f) {
		return inputs, broken, false, err
	}
	if err != nil && problems == nil {
		problems = []string{fmt.Sprintf("%s: machining.shop: %v; name another one in the document or with --shop", label(in.File), err)}
	}
	if err != nil {
		if profile, err = shop.Example(); err != nil {
			return inputs, broken, false, err
		}
	}
	inputs = report.Inputs{Plate: p, Profile: profile}
	if problems == nil {
		return inputs, broken, true, nil
	}
	e.complain(problems)
	return inputs, report.Unread(inputs, unreadFindings(problems)), false, nil
}

// unreadFindings are the problems of a document that cannot be read, as findings.
func unreadFindings(problems []string) []finding.Finding {
	var fs []finding.Finding
	for _, line := range problems {
		fs = append(fs, finding.Finding{
			Code: "document-unread", Level: finding.Error, What: line,
			Why:    "a plate document is read strictly, so that nothing in it is misunderstood",
			Source: "the document's JSON Schema: platewright schema",
			Fix:    "correct the document at the place that is named",
		})
	}
	return fs
}
