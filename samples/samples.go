// Package samples holds the example plates and sets that come with the program, each with a short text that says what it shows
// and why it is shaped so. They are scenarios of our own, for demonstration: no real product, and no strength claim.
//
//	s, err := samples.Load("field-robot-rocker") // a plate
//	t, err := samples.LoadSet("cargo-trike")     // a set with the plates that it names
package samples

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

//go:embed *.plate *.set *.txt
var files embed.FS

// names lists the samples in the order in which a newcomer should meet them.
var names = []string{"cargo-trike-side-plate", "field-robot-rocker", "camera-dolly-cheek", "camera-dolly-deck", "field-robot-bogie-arm"}

// sets lists the sample sets with the plates that each names. A plate that only a set names is no sample by itself.
var sets = []struct {
	name   string
	plates []string
}{
	{"cargo-trike", []string{"cargo-trike-frame-side.plate", "cargo-trike-head.plate", "cargo-trike-axle-block.plate"}},
}

// Sample is one example document.
type Sample struct {
	Name  string // file name without ending, e.g. "field-robot-rocker"
	Title string // one line
	Text  string // what it shows and why it is shaped so
	Data  []byte // the .plate document; owned by the caller
}

// Names lists the samples' names.
func Names() []string { return slices.Clone(names) }

// Load returns the sample plate of the given name.
func Load(name string) (Sample, error) {
	if !slices.Contains(names, name) {
		return Sample{}, fmt.Errorf("no sample is called %q; there are %s", name, strings.Join(names, ", "))
	}
	return load(name, ".plate")
}

// load reads a document and its text.
func load(name, ending string) (Sample, error) {
	data, err := files.ReadFile(name + ending)
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

// Set is one example set.
type Set struct {
	Sample        // Data is the .set document
	Plates []File // in the order of the set, each once
}

// File is a plate of a set under the name that the set gives it.
type File struct {
	Name string // e.g. "cargo-trike-head.plate"
	Data []byte // owned by the caller
}

// SetNames lists the sample sets' names.
func SetNames() []string {
	var all []string
	for _, s := range sets {
		all = append(all, s.name)
	}
	return all
}

// LoadSet returns the sample set of the given name, with its plates.
func LoadSet(name string) (Set, error) {
	for _, s := range sets {
		if s.name != name {
			continue
		}
		document, err := load(name, ".set")
		if err != nil {
			return Set{}, err
		}
		out := Set{Sample: document}
		for _, p := range s.plates {
			data, err := files.ReadFile(p)
			if err != nil {
				return Set{}, fmt.Errorf("sample set %s: %w", name, err)
			}
			out.Plates = append(out.Plates, File{p, data})
		}
		return out, nil
	}
	return Set{}, fmt.Errorf("no sample set is called %q; there are %s", name, strings.Join(SetNames(), ", "))
}

// All returns every sample plate.
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
