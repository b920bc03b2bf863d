// Package samples holds the example plates that come with the program, each with a short text that says what it shows and
// why it is shaped so. They are scenarios of our own, for demonstration: no real product, and no strength claim.
package samples

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

//go:embed *.plate *.txt
var files embed.FS

// names lists the samples in the order in which a newcomer should meet them.
var names = []string{"cargo-trike-side-plate", "field-robot-rocker", "camera-dolly-cheek"}

// Sample is one example document.
type Sample struct {
	Name  string // file name without ending, e.g. "field-robot-rocker"
	Title string // one line
	Text  string // what it shows and why it is shaped so
	Data  []byte // the .plate document; owned by the caller
}

// Names lists the samples' names.
func Names() []string { return slices.Clone(names) }

// Load returns the sample of the given name.
func Load(name string) (Sample, error) {
	if !slices.Contains(names, name) {
		return Sample{}, fmt.Errorf("no sample is called %q; there are %s", name, strings.Join(names, ", "))
	}
	data, err := files.ReadFile(name + ".plate")
	if err != nil {
		return Sample{}, err
	}
	text, err := files.ReadFile(name + ".txt")
	if err != nil {
		return Sample{}, err
	}
	title, rest, _ := strings.Cut(string(text), "\n")
	return Sample{Name: name, Title: title, Text: strings.TrimSpace(rest), Data: data}, nil
}

// All returns every sample.
func All() ([]Sample, error) {
	var all []Sample
	for _, n := range names {
		s, err := Load(n)
		if err != nil {
			return nil, fmt.Errorf("sample %s: %w", n, err)
		}
		all = append(all, s)
	}
	return all, nil
}
